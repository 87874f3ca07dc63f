//! Prices and rates in decimal money, never in floating point.

use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

/// Prices and rates.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Prices {
    /// Currency code, such as "USD".
    pub currency: String,
    /// Date of the prices.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<crate::text_schema::Date>")]
    pub on: Option<jiff::civil::Date>,
    /// One hour of work.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<crate::text_schema::Money>")]
    pub labor_per_hour: Option<Decimal>,
    /// Items.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub items: Vec<PriceItem>,
}

/// The price of an item.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PriceItem {
    /// What it is.
    pub item: String,
    /// What one is: each, foot, roll.
    pub per: String,
    /// Price of one.
    #[schemars(with = "crate::text_schema::Money")]
    pub price: Decimal,
}
