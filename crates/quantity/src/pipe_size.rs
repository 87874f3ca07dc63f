//! Nominal pipe sizes: "3/4 in", "1-1/4 in", "22 mm". A name, not a diameter: the bore comes from a material's table.

use crate::parse::{ParseError, ParseProblem, clipped, parse_number};
use std::fmt;
use std::str::FromStr;

/// A nominal pipe size.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum PipeSize {
    /// Eighths of an inch: 3/4 in is 6.
    InchEighths(u8),
    /// Whole millimeters of outside diameter.
    Millimeters(u16),
}

impl fmt::Display for PipeSize {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let text = match *self {
            Self::Millimeters(mm) => format!("{mm} mm"),
            Self::InchEighths(eighths) => {
                let (whole, rest) = (eighths / 8, eighths % 8);
                let (top, bottom) = match rest {
                    0 => (0, 1),
                    4 => (1, 2),
                    2 | 6 => (rest / 2, 4),
                    _ => (rest, 8),
                };
                match (whole, top) {
                    (whole, 0) => format!("{whole} in"),
                    (0, top) => format!("{top}/{bottom} in"),
                    (whole, top) => format!("{whole}-{top}/{bottom} in"),
                }
            }
        };
        f.pad(&text)
    }
}

impl FromStr for PipeSize {
    type Err = ParseError;
    fn from_str(text: &str) -> Result<Self, ParseError> {
        size(text.trim()).ok_or_else(|| ParseError {
            problem: ParseProblem::NotASize(clipped(text), "nominal pipe size"),
            span: 0..text.len(),
            hint: Some("write it like \"1/2 in\", \"3/4 in\", \"1-1/4 in\" or \"22 mm\"".into()),
        })
    }
}

fn size(text: &str) -> Option<PipeSize> {
    let whole = |value: f64, most: f64| {
        ((value - value.round()).abs() < 1e-9 && value >= 1.0 && value <= most).then(|| value.round())
    };
    if let Some(number) = text.strip_suffix("mm") {
        let mm = whole(parse_number(number).ok()?, 315.0)?;
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        return Some(PipeSize::Millimeters(mm as u16));
    }
    let number = text
        .strip_suffix("in")
        .or_else(|| text.strip_suffix('"'))
        .or_else(|| text.strip_suffix("inch"))?;
    let eighths = whole(parse_number(number).ok()? * 8.0, 96.0)?;
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    Some(PipeSize::InchEighths(eighths as u8))
}

impl serde::Serialize for PipeSize {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> serde::Deserialize<'de> for PipeSize {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        text.parse().map_err(serde::de::Error::custom)
    }
}

impl schemars::JsonSchema for PipeSize {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "PipeSize".into()
    }
    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({
            "type": "string",
            "description": "A nominal pipe size (inches by eighths, or whole millimeters)",
            "examples": ["3/4 in", "1-1/4 in", "22 mm"],
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_are_read_and_printed() {
        for text in [
            "3/8 in", "1/2 in", "5/8 in", "3/4 in", "1 in", "1-1/4 in", "1-1/2 in", "2 in", "22 mm",
        ] {
            assert_eq!(text.parse::<PipeSize>().unwrap().to_string(), text);
        }
        assert_eq!("0.75 in".parse::<PipeSize>().unwrap(), PipeSize::InchEighths(6));
    }

    #[test]
    fn other_texts_are_refused() {
        for text in [
            "3/4", "0.77 in", "-1/2 in", "40 in", "0 in", "in", "1/0 in", "400 mm",
        ] {
            assert!(text.parse::<PipeSize>().is_err(), "{text}");
        }
    }
}
