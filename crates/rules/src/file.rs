//! The form of rule files: what may be written in them, with the place of each value.
//!
//! Any file may hold any of it; the book keeps facts, editions, cautions and rules in files of their own. Nothing here
//! is checked beyond its form; see `load`.

use serde::Deserialize;
use std::collections::BTreeMap;
use toml::Spanned;
use trace::{Severity, SourceStatus};

/// One file.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub(crate) struct RuleFile {
    pub(crate) scope: Vec<Spanned<ScopeEntry>>,
    pub(crate) fact: Vec<Spanned<FactEntry>>,
    pub(crate) edition: Vec<Spanned<EditionEntry>>,
    pub(crate) area: Vec<Spanned<AreaEntry>>,
    pub(crate) caution: Vec<Spanned<CautionEntry>>,
    pub(crate) rule: Vec<Spanned<RuleEntry>>,
    pub(crate) amend: Vec<Spanned<AmendEntry>>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct ScopeEntry {
    pub(crate) name: Spanned<String>,
    pub(crate) meaning: Spanned<String>,
    #[serde(default)]
    pub(crate) sees: Vec<Spanned<String>>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct FactEntry {
    pub(crate) name: Spanned<String>,
    pub(crate) kind: Spanned<String>,
    pub(crate) meaning: Spanned<String>,
    pub(crate) measure: Spanned<String>,
    #[serde(default)]
    pub(crate) choices: Vec<String>,
    pub(crate) shown_in: Option<ShownIn>,
}

/// Units to print a fact in.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct ShownIn {
    pub(crate) us: Spanned<String>,
    pub(crate) si: Spanned<String>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct EditionEntry {
    pub(crate) name: Spanned<String>,
    pub(crate) family: String,
    pub(crate) document: Option<String>,
    pub(crate) year: Option<String>,
    /// The edition whose rules hold in this one as well, as long as nothing else is said.
    pub(crate) follows: Option<Spanned<String>>,
    #[serde(default)]
    pub(crate) always: bool,
}

/// What a rule is about, to list and search by.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct AreaEntry {
    pub(crate) name: Spanned<String>,
    pub(crate) meaning: Spanned<String>,
    /// Live parts, pressure or scalding water are near: each of its rules carries a caution.
    #[serde(default)]
    pub(crate) hazard: bool,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct CautionEntry {
    pub(crate) id: Spanned<String>,
    pub(crate) text: Spanned<String>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RuleEntry {
    pub(crate) id: Spanned<String>,
    pub(crate) title: Spanned<String>,
    pub(crate) scope: Spanned<String>,
    pub(crate) area: Spanned<String>,
    pub(crate) basis: Spanned<Vec<Spanned<BasisEntry>>>,
    pub(crate) applies: Option<Spanned<String>>,
    #[serde(default)]
    pub(crate) when_unknown: WhenUnknown,
    pub(crate) require: Spanned<String>,
    pub(crate) severity: Spanned<Severity>,
    pub(crate) met: Spanned<String>,
    pub(crate) unmet: Spanned<String>,
    pub(crate) why: Spanned<String>,
    pub(crate) remedy: Spanned<String>,
    pub(crate) caution: Option<Spanned<String>>,
    #[serde(default)]
    pub(crate) limits: BTreeMap<String, Spanned<String>>,
    #[serde(default)]
    pub(crate) case: Vec<Spanned<CaseEntry>>,
}

/// What a rule does when it cannot tell whether it applies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize)]
#[serde(rename_all = "lowercase")]
pub(crate) enum WhenUnknown {
    #[default]
    Report,
    Skip,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct BasisEntry {
    pub(crate) editions: Vec<Spanned<String>>,
    pub(crate) document: Option<String>,
    pub(crate) document_edition: Option<String>,
    #[serde(rename = "where")]
    pub(crate) place: Option<String>,
    pub(crate) status: Status,
    pub(crate) seen_in: Option<String>,
    /// Limits that these editions have otherwise.
    #[serde(default)]
    pub(crate) limits: BTreeMap<String, Spanned<String>>,
    /// Severity, where these editions ask for another.
    pub(crate) severity: Option<Spanned<Severity>>,
}

/// How surely a basis was read, in the words the data files use.
#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(rename_all = "lowercase")]
pub(crate) enum Status {
    Seen,
    Memory,
    #[serde(rename = "common practice")]
    CommonPractice,
    Computed,
}

impl From<Status> for SourceStatus {
    fn from(status: Status) -> Self {
        match status {
            Status::Seen => Self::Seen,
            Status::Memory => Self::Memory,
            Status::CommonPractice => Self::CommonPractice,
            Status::Computed => Self::Computed,
        }
    }
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct CaseEntry {
    pub(crate) id: String,
    pub(crate) edition: Option<Spanned<String>>,
    #[serde(default)]
    pub(crate) facts: BTreeMap<String, Spanned<CaseValue>>,
    pub(crate) expect: Spanned<String>,
}

/// A fact in a case: `true`, `3` or text.
#[derive(Debug, Deserialize)]
#[serde(untagged)]
pub(crate) enum CaseValue {
    Flag(bool),
    Count(u32),
    Text(String),
}

impl CaseValue {
    /// As a person would write it.
    pub(crate) fn written(&self) -> String {
        match self {
            Self::Flag(true) => "yes".to_owned(),
            Self::Flag(false) => "no".to_owned(),
            Self::Count(count) => count.to_string(),
            Self::Text(text) => text.clone(),
        }
    }
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct AmendEntry {
    pub(crate) rule: Spanned<String>,
    pub(crate) ordinance: Spanned<String>,
    pub(crate) reason: Option<String>,
    #[serde(default)]
    pub(crate) disabled: bool,
    pub(crate) severity: Option<Spanned<Severity>>,
    #[serde(default)]
    pub(crate) limits: BTreeMap<String, Spanned<String>>,
    #[serde(default)]
    pub(crate) basis: Vec<Spanned<BasisEntry>>,
    /// Editions in which the rule no longer stands.
    #[serde(default)]
    pub(crate) withdrawn_in: Vec<Spanned<String>>,
}
