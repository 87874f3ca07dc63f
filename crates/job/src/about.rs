//! The head of the record: title, people, units, language and the editions in force.

use quantity::UnitSystem;
use serde::{Deserialize, Serialize};

/// The head of the record.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct About {
    /// What the job is called.
    #[serde(default)]
    pub title: String,
    /// Revision of this record, as printed on papers.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub revision: Option<String>,
    /// Customer.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub customer: Option<String>,
    /// Street address.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub address: Option<String>,
    /// Who prepared it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub prepared_by: Option<String>,
    /// Date of the survey.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<crate::text_schema::Date>")]
    pub surveyed: Option<jiff::civil::Date>,
    /// Units for everything printed.
    #[serde(default)]
    pub units: UnitSystem,
    /// Language of papers.
    #[serde(default)]
    pub language: Language,
    /// Electrical code edition in force.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub electrical_code: Option<ElectricalEdition>,
    /// Plumbing code edition in force.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub plumbing_code: Option<PlumbingEdition>,
    /// Anything to remember.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub notes: Option<String>,
}

/// Language of papers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, schemars::JsonSchema)]
pub enum Language {
    /// English.
    #[default]
    #[serde(rename = "en")]
    English,
    /// Spanish.
    #[serde(rename = "es")]
    Spanish,
}

/// Edition of the National Electrical Code, NFPA 70.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
pub enum ElectricalEdition {
    /// 2017.
    #[serde(rename = "NEC 2017")]
    Nec2017,
    /// 2020.
    #[serde(rename = "NEC 2020")]
    Nec2020,
    /// 2023.
    #[serde(rename = "NEC 2023")]
    Nec2023,
}

/// Edition of a model plumbing code.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
pub enum PlumbingEdition {
    /// International Plumbing Code 2021.
    #[serde(rename = "IPC 2021")]
    Ipc2021,
    /// Uniform Plumbing Code 2021.
    #[serde(rename = "UPC 2021")]
    Upc2021,
}
