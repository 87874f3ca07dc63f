//! JSON Schema of values that stand in the record as text and have no kind in `quantity`: dates and money.
//!
//! In: nothing. Out: the schema that `schemars(with = …)` puts in a field's place. Reading and writing stay serde's.

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use std::borrow::Cow;

/// A calendar date.
pub(crate) struct Date;

impl JsonSchema for Date {
    fn schema_name() -> Cow<'static, str> {
        "Date".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "string",
            "format": "date",
            "description": "A date: year, month, day",
            "examples": ["2026-05-14"],
        })
    }
}

/// An amount of money.
pub(crate) struct Money;

impl JsonSchema for Money {
    fn schema_name() -> Cow<'static, str> {
        "Money".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "string",
            "pattern": "^-?[0-9]+([.][0-9]+)?$",
            "description": "An amount of money, as text so that no cent is lost",
            "examples": ["12.50"],
        })
    }
}
