//! Sign-offs at hold points of the work.

use serde::{Deserialize, Serialize};

/// A sign-off.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SignOff {
    /// The step signed.
    pub step: String,
    /// Who signed.
    pub by: String,
    /// When.
    #[schemars(with = "crate::text_schema::Date")]
    pub on: jiff::civil::Date,
    /// Remark.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}
