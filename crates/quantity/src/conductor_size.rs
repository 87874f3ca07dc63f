//! Conductor sizes as the trade writes them: "8 AWG", "1/0 AWG", "250 kcmil", "2.5 mm²".
//!
//! A size is a name, not an area: two sizes compare by [`ConductorSize::area`]. Knows no ampacity.

use crate::parse::{ParseError, ParseProblem, clipped, parse_number};
use crate::{Area, Length};
use std::fmt;
use std::str::FromStr;

/// A conductor size.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum ConductorSize {
    /// American wire gauge: 14 to 1 as themselves, 1/0 as 0, 2/0 as −1, 3/0 as −2, 4/0 as −3.
    Awg(i8),
    /// Thousands of circular mils: 250 and up.
    Kcmil(u16),
    /// Tenths of a square millimeter: 2.5 mm² is 25.
    SquareMillimeterTenths(u16),
}

impl ConductorSize {
    /// Diameter of the solid round wire of this gauge; stranded conductors have the same metal area.
    ///
    /// d = 0.005 in × 92^((36 − n)/39)
    ///
    /// # Source
    /// ASTM B258 diameter law; formula from memory, diameters of 14 to 4/0 seen in a wire table and agreeing.
    fn awg_diameter(gauge: i8) -> Length {
        Length::from_inches(0.005 * 92_f64.powf((36.0 - f64::from(gauge)) / 39.0))
    }

    /// Metal cross-section.
    ///
    /// ```
    /// use quantity::ConductorSize;
    /// // The conductor property table prints 16 510 circular mils for 8 AWG.
    /// assert!((ConductorSize::Awg(8).area().as_circular_mils() / 16_510.0 - 1.0).abs() < 1e-3);
    /// ```
    pub fn area(self) -> Area {
        match self {
            Self::Awg(gauge) => {
                let mils = Self::awg_diameter(gauge).as_inches() * 1000.0;
                Area::from_circular_mils(mils * mils)
            }
            Self::Kcmil(thousands) => Area::from_circular_mils(f64::from(thousands) * 1000.0),
            Self::SquareMillimeterTenths(tenths) => Area::from_square_millimeters(f64::from(tenths) / 10.0),
        }
    }
}

impl fmt::Display for ConductorSize {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let text = match *self {
            Self::Awg(gauge) if gauge <= 0 => format!("{}/0 AWG", 1 - i16::from(gauge)),
            Self::Awg(gauge) => format!("{gauge} AWG"),
            Self::Kcmil(thousands) => format!("{thousands} kcmil"),
            Self::SquareMillimeterTenths(tenths) => format!("{} mm²", f64::from(tenths) / 10.0),
        };
        f.pad(&text)
    }
}

impl FromStr for ConductorSize {
    type Err = ParseError;
    fn from_str(text: &str) -> Result<Self, ParseError> {
        size(text.trim()).ok_or_else(|| ParseError {
            problem: ParseProblem::NotASize(clipped(text), "conductor size"),
            span: 0..text.len(),
            hint: Some("write it like \"8 AWG\", \"1/0 AWG\", \"250 kcmil\" or \"2.5 mm²\"".into()),
        })
    }
}

fn size(text: &str) -> Option<ConductorSize> {
    let lower = text.to_lowercase();
    if let Some(number) = lower.strip_suffix("awg").or_else(|| lower.strip_suffix('#')) {
        let number = number.trim().trim_start_matches('#');
        if let Some(zeros) = number.strip_suffix("/0") {
            let zeros: i8 = zeros.trim().parse().ok()?;
            return (1..=4).contains(&zeros).then(|| ConductorSize::Awg(1 - zeros));
        }
        let gauge: i8 = number.parse().ok()?;
        return (1..=40).contains(&gauge).then_some(ConductorSize::Awg(gauge));
    }
    if let Some(number) = lower.strip_suffix("kcmil").or_else(|| lower.strip_suffix("mcm")) {
        let thousands: u16 = number.trim().parse().ok()?;
        return (200..=2000)
            .contains(&thousands)
            .then_some(ConductorSize::Kcmil(thousands));
    }
    let number = lower.strip_suffix("mm²").or_else(|| lower.strip_suffix("mm2"))?;
    let tenths = parse_number(number).ok()? * 10.0;
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let whole = tenths.round() as u16;
    ((tenths - f64::from(whole)).abs() < 1e-9 && (5..=10_000).contains(&whole))
        .then_some(ConductorSize::SquareMillimeterTenths(whole))
}

impl serde::Serialize for ConductorSize {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> serde::Deserialize<'de> for ConductorSize {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        text.parse().map_err(serde::de::Error::custom)
    }
}

impl schemars::JsonSchema for ConductorSize {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "ConductorSize".into()
    }
    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({
            "type": "string",
            "description": "A conductor size (AWG, kcmil or mm²)",
            "examples": ["8 AWG", "1/0 AWG", "2.5 mm²"],
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_are_read_and_printed() {
        for text in [
            "8 AWG",
            "14 AWG",
            "1/0 AWG",
            "4/0 AWG",
            "250 kcmil",
            "2.5 mm²",
            "10 mm²",
        ] {
            assert_eq!(text.parse::<ConductorSize>().unwrap().to_string(), text);
        }
        assert_eq!(
            "2.5 mm2".parse::<ConductorSize>().unwrap(),
            ConductorSize::SquareMillimeterTenths(25)
        );
    }

    #[test]
    fn other_texts_are_refused() {
        for text in [
            "8",
            "0 AWG",
            "5/0 AWG",
            "8 ft",
            "-8 AWG",
            "2.55 mm²",
            "",
            "8 AWG AWG",
            "50 AWG",
        ] {
            assert!(text.parse::<ConductorSize>().is_err(), "{text}");
        }
    }

    #[test]
    fn areas_follow_the_gauge_law() {
        // Circular mils as printed in the conductor property table (chapter 9, table 8): seen in two reprints.
        for (gauge, printed) in [
            (14, 4110.0),
            (10, 10_380.0),
            (6, 26_240.0),
            (1, 83_690.0),
            (0, 105_600.0),
            (-3, 211_600.0),
        ] {
            let area = ConductorSize::Awg(gauge).area().as_circular_mils();
            assert!((area / printed - 1.0_f64).abs() < 1e-3, "{gauge}: {area}");
        }
    }
}
