//! Input that cannot be used: what is wrong, where in the record, and what to do.
//!
//! Not a finding: a finding is about the house, a problem is about the record.

use serde::{Deserialize, Serialize};
use std::fmt;

/// The place of a value in the job record, such as `piping.pipes[3].length`.
#[derive(
    Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(transparent)]
pub struct RecordPath(pub String);

impl RecordPath {
    /// The record as a whole.
    pub fn root() -> Self {
        Self::default()
    }

    /// The field `name` below this place.
    #[must_use]
    pub fn field(&self, name: &str) -> Self {
        if self.0.is_empty() {
            Self(name.to_owned())
        } else {
            Self(format!("{}.{name}", self.0))
        }
    }

    /// The item at `index` below this place.
    #[must_use]
    pub fn item(&self, index: usize) -> Self {
        Self(format!("{}[{index}]", self.0))
    }
}

impl From<&str> for RecordPath {
    fn from(path: &str) -> Self {
        Self(path.to_owned())
    }
}

impl fmt::Display for RecordPath {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(if self.0.is_empty() { "the record" } else { &self.0 })
    }
}

/// One thing in the record that cannot be used.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Problem {
    /// Where.
    pub at: RecordPath,
    /// What is wrong, with the value in backticks.
    pub message: String,
    /// What to do about it.
    pub fix: String,
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}; {}", self.at, self.message, self.fix)
    }
}
