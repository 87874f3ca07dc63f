//! Values written in a formula or as a limit: which kinds they may have, and their number in base units.

use super::node::Node;
use super::{FormulaError, FormulaProblem};
use crate::kind::{NumberKind, Value, ValueKind};
use quantity::UnitSystem;
use std::ops::Range;

/// The kinds that have the unit a number is written with.
pub(super) fn number_readings(text: &str) -> Vec<ValueKind> {
    match text.split_once(' ') {
        None => vec![ValueKind::Number(NumberKind::Plain)],
        Some((_, unit)) => NumberKind::WITH_UNITS
            .iter()
            .filter(|kind| kind.has_unit(unit.trim()))
            .map(|kind| ValueKind::Number(*kind))
            .collect(),
    }
}

/// The kinds a limit may have: numbers as in formulas, anything else is a text.
pub(crate) fn literal_readings(text: &str) -> Vec<ValueKind> {
    let digits = text.trim_start_matches('-');
    if digits.starts_with(|first: char| first.is_ascii_digit()) {
        number_readings(text.trim())
    } else {
        vec![ValueKind::Text]
    }
}

pub(super) fn literal(
    text: &str,
    wanted: ValueKind,
    limit: Option<&str>,
    span: &Range<usize>,
) -> Result<Node, FormulaError> {
    let value = match wanted {
        ValueKind::Number(kind) => {
            // A bare number stands for any kind without dimension, but percents exist for ratios only.
            let parsed = match (kind, text.contains(' ')) {
                (NumberKind::Ratio, false) => NumberKind::Plain.parse(text),
                _ => kind.parse(text),
            };
            match parsed {
                Ok(base) => Value::Number(kind, base),
                Err(reason) => {
                    let problem = FormulaProblem::Number {
                        text: text.to_owned(),
                        reason,
                    };
                    return Err(FormulaError {
                        span: span.clone(),
                        problem,
                    });
                }
            }
        }
        ValueKind::Text | ValueKind::Flag => Value::Text(text.to_owned()),
    };
    Ok(Node::Literal {
        value,
        written: text.to_owned(),
        limit: limit
            .and_then(|name| name.strip_prefix("limit."))
            .map(str::to_owned),
    })
}

/// A number of a rule for a reader of `system`: in `unit` when given, else as written, unless that is the other
/// system's unit.
pub(crate) fn show_written(
    kind: NumberKind,
    base: f64,
    written: &str,
    unit: Option<&str>,
    system: UnitSystem,
) -> String {
    let Some((_, own)) = written.split_once(' ') else {
        return written.to_owned();
    };
    let usual = kind.is_usual_unit(own, system);
    let foreign = match system {
        // A US reader knows 3/8 in and 3 ft alike, and MΩ; only what an SI reader would be shown is foreign.
        UnitSystem::Us => !usual && kind.is_usual_unit(own, UnitSystem::Si),
        UnitSystem::Si => !usual,
    };
    match unit {
        Some(unit) if unit != own => kind.show_in(base, unit),
        None if foreign => kind.show(base, system),
        _ => written.to_owned(),
    }
}

/// A number as formulas write it: one space between number and unit.
pub(crate) fn normal(text: &str) -> String {
    let text = text.trim();
    let unit_at = text
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '-')))
        .unwrap_or(text.len());
    match (&text[..unit_at], text[unit_at..].trim()) {
        ("", _) | (_, "") => text.to_owned(),
        (digits, unit) => format!("{digits} {unit}"),
    }
}
