//! Texts of the record that mean something: quantities, sizes, dates, money.
//!
//! In: the name a kind has in the schema. Out: how to read its text. A test compares this list with the schema, so a
//! kind that is missing here is found before anyone writes one.

use quantity::ParseError;
use std::ops::Range;

/// Why a text does not fit its kind.
#[derive(Debug)]
pub(crate) struct Misfit {
    /// The offending bytes of the text.
    pub(crate) span: Range<usize>,
    pub(crate) message: String,
    pub(crate) fix: String,
}

/// Reads a text as some kind and forgets what was read.
pub(crate) type Reader = fn(&str) -> Result<(), Misfit>;

/// The reader of the kind that the schema calls `name`.
pub(crate) fn reader(name: &str) -> Option<Reader> {
    Some(match name {
        "ApparentPower" => parsed::<quantity::ApparentPower>,
        "Area" => parsed::<quantity::Area>,
        "ConductorSize" => parsed::<quantity::ConductorSize>,
        "Current" => parsed::<quantity::Current>,
        "Date" => date,
        "GaugePressure" => parsed::<quantity::GaugePressure>,
        "Hardness" => parsed::<quantity::Hardness>,
        "Length" => parsed::<quantity::Length>,
        "Money" => money,
        "PipeSize" => parsed::<quantity::PipeSize>,
        "Power" => parsed::<quantity::Power>,
        "PressureDifference" => parsed::<quantity::PressureDifference>,
        "Ratio" => parsed::<quantity::Ratio>,
        "Resistance" => parsed::<quantity::Resistance>,
        "Temperature" => parsed::<quantity::Temperature>,
        "Time" => parsed::<quantity::Time>,
        "Voltage" => parsed::<quantity::Voltage>,
        "Volume" => parsed::<quantity::Volume>,
        "VolumeFlow" => parsed::<quantity::VolumeFlow>,
        _ => return None,
    })
}

fn parsed<Q: std::str::FromStr<Err = ParseError>>(text: &str) -> Result<(), Misfit> {
    text.parse::<Q>().map(drop).map_err(|error| Misfit {
        span: error.span,
        message: error.problem.to_string(),
        fix: error
            .hint
            .unwrap_or_else(|| "write a number that can be measured".into()),
    })
}

fn date(text: &str) -> Result<(), Misfit> {
    text.parse::<jiff::civil::Date>().map(drop).map_err(|_| Misfit {
        span: 0..text.len(),
        message: format!("`{}` is not a date", crate::words::clipped(text)),
        fix: "write year, month and day, such as \"2026-05-14\"".into(),
    })
}

fn money(text: &str) -> Result<(), Misfit> {
    text.parse::<rust_decimal::Decimal>()
        .map(drop)
        .map_err(|_| Misfit {
            span: 0..text.len(),
            message: format!("`{}` is not an amount of money", crate::words::clipped(text)),
            fix: "write digits only, such as \"12.50\"; the currency stands in `prices.currency`".into(),
        })
}
