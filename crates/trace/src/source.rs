//! Where a figure comes from: a document and how surely it was read, or the way it entered the job.

use serde::{Deserialize, Serialize};
use std::fmt;

/// How surely a fact was taken from its document.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum SourceStatus {
    /// Read in the document, or in a page quoting it.
    Seen,
    /// From memory: known, not found on a page; check it against the book.
    Memory,
    /// Trade habit; no published source.
    CommonPractice,
    /// Worked out here from facts with sources of their own.
    Computed,
}

impl fmt::Display for SourceStatus {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Seen => "seen",
            Self::Memory => "from memory",
            Self::CommonPractice => "common practice, no source",
            Self::Computed => "computed",
        })
    }
}

/// A published document, or the honest statement that there is none.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Source {
    /// The document.
    pub document: String,
    /// Its edition or year.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub edition: Option<String>,
    /// Article, table, example or page.
    #[serde(default, rename = "where", skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
    /// How surely it was read.
    pub status: SourceStatus,
}

impl fmt::Display for Source {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.document)?;
        if let Some(edition) = &self.edition {
            write!(f, " {edition}")?;
        }
        if let Some(place) = &self.place {
            write!(f, ", {place}")?;
        }
        write!(f, " ({})", self.status)
    }
}

/// How a value entered the calculation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Origin {
    /// Measured on site.
    Measured,
    /// Entered in the job record.
    Entered,
    /// Not known; a default was taken and recorded.
    Assumed,
    /// From a published table.
    Table,
    /// Worked out from other values.
    Computed,
}

impl fmt::Display for Origin {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Measured => "measured",
            Self::Entered => "entered",
            Self::Assumed => "assumed",
            Self::Table => "table",
            Self::Computed => "computed",
        })
    }
}
