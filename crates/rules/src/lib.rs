//! The rule book: facts in, findings with edition and working out.
