//! The text of a CSV file: its delimiter, its numbers, its units.

use crate::bounded::Bounded;
use crate::error::MeterError;
use crate::reading_type::{Measured, Scale};
use std::io::Read;

/// Rows in which the head row is looked for.
pub(crate) const HEAD_ROWS: usize = 40;
/// Values are kept in thousandths of their unit.
pub(crate) const PER_UNIT: f64 = 1000.0;

/// The delimiter that the first line with one has most of.
pub(crate) fn delimiter<R: Read>(bounded: &mut Bounded<R>) -> Result<u8, MeterError> {
    let place = bounded.place();
    let ready = std::io::BufRead::fill_buf(bounded).map_err(|error| MeterError::Unreadable {
        place,
        why: error.to_string(),
    })?;
    let wide = |bytes: &[u8]| bytes.starts_with(&[0xfe, 0xff]) || bytes.starts_with(&[0xff, 0xfe]);
    if wide(ready) || ready.iter().take(4096).any(|byte| *byte == 0) {
        return Err(MeterError::NotText { place });
    }
    let count = |delimiter: u8| {
        let lines = ready.split(|byte| *byte == b'\n').take(HEAD_ROWS);
        lines.filter(|line| line.contains(&delimiter)).count()
    };
    // A decimal comma appears in every row too, so the rarer signs are asked first.
    let lines = ready.split(|byte| *byte == b'\n').take(HEAD_ROWS).count();
    Ok([b';', b'\t']
        .into_iter()
        .find(|delimiter| count(*delimiter) * 2 > lines)
        .unwrap_or(b','))
}

/// "14:00" or "2:00 PM": a time of day without a date.
pub(crate) fn end_is_time(text: &str) -> bool {
    text.contains(':') && !text.contains(['/', '-', '.', 'T'])
}

/// A value in thousandths; none when it is no number or none of a meter.
pub(crate) fn number(text: &str, decimal_comma: bool) -> Option<i64> {
    let text = text.trim_matches('"').trim();
    let plain = if decimal_comma {
        text.replace('.', "").replace(',', ".")
    } else {
        text.replace(',', "")
    };
    let value: f64 = plain.parse().ok()?;
    let thousandths = (value * PER_UNIT).round();
    #[allow(clippy::cast_possible_truncation, reason = "below 2^53 by the test before it")]
    (thousandths.abs() < 9e15).then_some(thousandths as i64)
}

/// A unit of electricity as people write it.
///
/// # Errors
/// [`MeterError::UnknownUnit`].
pub(crate) fn unit(text: &str) -> Result<Scale, MeterError> {
    let plain: String = text.chars().filter(|c| c.is_alphanumeric()).collect();
    let (measured, per_count, per_interval) = match plain.to_ascii_lowercase().as_str() {
        "wh" => (Measured::Real, 1.0, true),
        "kwh" => (Measured::Real, 1e3, true),
        "mwh" => (Measured::Real, 1e6, true),
        "w" => (Measured::Real, 1.0, false),
        "kw" => (Measured::Real, 1e3, false),
        "vah" => (Measured::Apparent, 1.0, true),
        "kvah" => (Measured::Apparent, 1e3, true),
        "va" => (Measured::Apparent, 1.0, false),
        "kva" => (Measured::Apparent, 1e3, false),
        _ => {
            return Err(MeterError::UnknownUnit {
                unit: crate::note::shortened(text),
            });
        }
    };
    Ok(Scale {
        measured,
        per_count,
        per_interval,
    })
}
