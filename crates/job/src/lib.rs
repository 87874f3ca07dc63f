//! The job record as types with invariants.
