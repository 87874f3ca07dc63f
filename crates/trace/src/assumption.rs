//! A value nobody gave: what was taken instead, why, and how much that matters.

use crate::{RecordPath, Source};
use serde::{Deserialize, Serialize};
use std::fmt;

/// How much an assumption can move the answer.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "lowercase")]
pub enum Influence {
    /// Moves a printed figure a little.
    Low,
    /// Can move a figure that people plan with.
    Medium,
    /// Can turn a finding.
    High,
}

impl fmt::Display for Influence {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Low => "low",
            Self::Medium => "medium",
            Self::High => "high",
        })
    }
}

/// A default that stands in for a value the record does not give.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Assumption {
    /// The field of the job record that would replace it.
    pub field: RecordPath,
    /// What it is about, in plain words.
    pub subject: String,
    /// The value taken, as printed.
    pub value: String,
    /// Why this value.
    pub reason: String,
    /// How much it can move the answer.
    pub influence: Influence,
    /// How to find the real value on site.
    pub measure: String,
    /// Where the default comes from.
    pub source: Source,
}
