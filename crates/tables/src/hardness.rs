//! Classes of water hardness.
//!
//! In: a hardness. Out: its class. A value between two printed classes belongs to the harder one. Judges nothing.

use crate::as_printed::as_printed;
use crate::table::{Table, embedded};
use quantity::Hardness;
use serde::Deserialize;
use std::fmt;
use std::sync::LazyLock;
use trace::Source;

/// A class of hardness.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum HardnessClass {
    /// To 60 mg/L.
    Soft,
    /// To 120 mg/L.
    ModeratelyHard,
    /// To 180 mg/L.
    Hard,
    /// Above 180 mg/L.
    VeryHard,
}

impl fmt::Display for HardnessClass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Soft => "soft",
            Self::ModeratelyHard => "moderately hard",
            Self::Hard => "hard",
            Self::VeryHard => "very hard",
        })
    }
}

/// The class of a hardness.
///
/// ```
/// use quantity::Hardness;
/// use tables::hardness::{HardnessClass, class};
/// // 9 grains per gallon are 154 mg/L: hard (121 to 180).
/// assert_eq!(class(Hardness::from_grains_per_gallon(9.0)), HardnessClass::Hard);
/// ```
pub fn class(hardness: Hardness) -> HardnessClass {
    let mg_per_l = as_printed(hardness.as_milligrams_per_liter());
    CLASSES
        .rows
        .iter()
        .find(|row| row.up_to_mg_per_l.is_some_and(|most| mg_per_l <= most))
        .map_or(HardnessClass::VeryHard, |row| row.class)
}

/// Where the classes come from.
pub fn source() -> &'static Source {
    &CLASSES.source
}

#[derive(Deserialize)]
struct Row {
    class: HardnessClass,
    up_to_mg_per_l: Option<f64>,
}

static CLASSES: LazyLock<Table<Row>> = LazyLock::new(|| {
    embedded(
        "hardness_classes",
        include_str!("../../../data/tables/water/hardness_classes.csv"),
    )
});

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn printed_limits_and_the_gaps_between_them() {
        let at = |mg_per_l| class(Hardness::from_milligrams_per_liter(mg_per_l));
        assert_eq!(at(0.0), HardnessClass::Soft);
        assert_eq!(at(60.0), HardnessClass::Soft);
        assert_eq!(at(60.5), HardnessClass::ModeratelyHard);
        assert_eq!(at(121.0), HardnessClass::Hard);
        assert_eq!(at(180.5), HardnessClass::VeryHard);
        // Not a number never counts as soft.
        assert_eq!(at(f64::NAN), HardnessClass::VeryHard);
    }
}
