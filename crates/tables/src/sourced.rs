//! A value from a table together with where it was read.
//!
//! Sources of embedded tables live as long as the program, so a value carries a reference and costs nothing to copy.

use trace::Source;

/// A value and its source.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sourced<T> {
    /// The value.
    pub value: T,
    /// Where it comes from.
    pub source: &'static Source,
}

impl<T> Sourced<T> {
    /// The same source for a value worked out from this one.
    pub fn map<U>(self, change: impl FnOnce(T) -> U) -> Sourced<U> {
        Sourced {
            value: change(self.value),
            source: self.source,
        }
    }
}
