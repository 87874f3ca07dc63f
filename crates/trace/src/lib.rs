//! How any figure says where it comes from: source, assumption, finding, problem.
//!
//! Plain data that every crate may hand upward: engines and tables name sources, the record names problems, rules give
//! findings. Start at [`Finding`]. Holds no rule, no table, no wording of a particular check, and judges nothing.

mod assumption;
mod finding;
mod problem;
mod source;

pub use assumption::{Assumption, Influence};
pub use finding::{Finding, Missing, Severity, Turn, Working, WorkingInput};
pub use problem::{Problem, RecordPath};
pub use source::{Origin, Source, SourceStatus};
