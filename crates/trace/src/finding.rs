//! One result of a check, with its working.

use crate::{Origin, Source};
use serde::{Deserialize, Serialize};
use std::fmt;

/// What a finding asks of people; the worst comes first in order.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Do not energise or open.
    Stop,
    /// The design must change.
    Change,
    /// A licensed person decides.
    Judge,
    /// Cannot be evaluated: facts are missing. Never counts as met.
    Unknown,
    /// Worth knowing.
    Note,
    /// The rule was applied and its requirement is met.
    Met,
}

impl Severity {
    /// All, worst first.
    pub const ALL: [Self; 6] = [
        Self::Stop,
        Self::Change,
        Self::Judge,
        Self::Unknown,
        Self::Note,
        Self::Met,
    ];

    /// The word shown.
    pub fn word(self) -> &'static str {
        match self {
            Self::Stop => "stop",
            Self::Change => "change",
            Self::Judge => "judge",
            Self::Unknown => "unknown",
            Self::Note => "note",
            Self::Met => "met",
        }
    }

    /// A sign that differs in shape, not in color, and prints in any font.
    pub fn sign(self) -> &'static str {
        match self {
            Self::Stop => "[X]",
            Self::Change => "[!]",
            Self::Judge => "[?]",
            Self::Unknown => "[ ]",
            Self::Note => "[i]",
            Self::Met => "[=]",
        }
    }

    /// What the word means.
    pub fn meaning(self) -> &'static str {
        match self {
            Self::Stop => "do not energize or open",
            Self::Change => "the design must change",
            Self::Judge => "a licensed person decides",
            Self::Unknown => "facts are missing; the rule could not be applied",
            Self::Note => "worth knowing",
            Self::Met => "rule applied, requirement met",
        }
    }
}

impl fmt::Display for Severity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.word())
    }
}

/// One value that went into a check.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct WorkingInput {
    /// Name used in the formula.
    pub symbol: String,
    /// What it is, in plain words.
    pub meaning: String,
    /// The value with its unit, as printed.
    pub value: String,
    /// How it entered.
    pub origin: Origin,
}

/// How far one input may move, the others as they are, before the answer turns.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Turn {
    /// Name used in the formula.
    pub symbol: String,
    /// The value as it is, as printed.
    pub value: String,
    /// The value at which the answer turns, as printed.
    pub at: String,
    /// How the value entered.
    pub origin: Origin,
}

/// The working of a check: what went in, the formula, the numbers put in, what came out.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Working {
    /// The inputs.
    pub inputs: Vec<WorkingInput>,
    /// The requirement as a formula.
    pub formula: String,
    /// The formula with the numbers put in.
    pub substituted: String,
    /// What came out.
    pub result: String,
    /// How far the inputs may move before the answer turns.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub turns: Vec<Turn>,
}

/// A fact that a check wanted and did not get.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Missing {
    /// Name used in the formula.
    pub symbol: String,
    /// What it is.
    pub meaning: String,
    /// How to get it on site.
    pub measure: String,
}

/// One result of a check.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Finding {
    /// Id of the rule, such as `circuit.conductor-ampacity`.
    pub rule: String,
    /// What the rule was applied to: a circuit, a fixture, the service.
    pub subject: String,
    /// Title of the rule in our own words.
    pub title: String,
    /// What it asks of people.
    pub severity: Severity,
    /// What was found, in one sentence.
    pub message: String,
    /// Edition of the code, when the rule comes from one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub edition: Option<String>,
    /// Where the rule comes from.
    pub source: Source,
    /// How it was worked out.
    pub working: Working,
    /// What to do when it is not met.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub remedy: Option<String>,
    /// Why the rule exists, in plain language.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub why: Option<String>,
    /// The caution that belongs to the subject.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub caution: Option<String>,
    /// Facts that were missing.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub missing: Vec<Missing>,
}
