//! Allowances: what is added to a length or counted per length, read from `data/takeoff/allowances.toml`.
//!
//! Start at [`allowances`]. The figures are data with a source each; none stands in code.

use quantity::{Length, Ratio, UnitSystem};
use serde::Deserialize;
use std::sync::LazyLock;
use trace::Source;

/// One allowance.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Allowance<T> {
    pub(crate) value: T,
    pub(crate) reason: String,
    pub(crate) source: Source,
}

/// All of them, named as in the file.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Allowances {
    pub(crate) cable_waste: Allowance<Ratio>,
    pub(crate) cable_at_panel: Allowance<Length>,
    pub(crate) cable_at_heater: Allowance<Length>,
    sale_length_us: Allowance<Length>,
    sale_length_si: Allowance<Length>,
    pub(crate) staple_spacing: Allowance<Length>,
    pub(crate) staples_at_ends: Allowance<u32>,
    pub(crate) connectors_per_run: Allowance<u32>,
    pub(crate) raceway_waste: Allowance<Ratio>,
    pub(crate) raceway_stick: Allowance<Length>,
    pub(crate) raceway_fitting_spacing: Allowance<Length>,
    pub(crate) labels_per_circuit: Allowance<u32>,
}

impl Allowances {
    /// The step to which lengths are rounded up for readers of `units`.
    pub(crate) fn sale_length(&self, units: UnitSystem) -> Length {
        match units {
            UnitSystem::Us => self.sale_length_us.value,
            UnitSystem::Si => self.sale_length_si.value,
        }
    }
}

/// The allowances of the program.
pub(crate) fn allowances() -> &'static Allowances {
    static ALLOWANCES: LazyLock<Allowances> = LazyLock::new(|| {
        let text = include_str!("../../../data/takeoff/allowances.toml");
        // The file is part of the program and every value of it is read by a test.
        toml::from_str(text).unwrap_or_else(|error| panic!("data/takeoff/allowances.toml: {error}"))
    });
    &ALLOWANCES
}

/// How many whole steps of `step` cover `length`.
pub(crate) fn steps(length: Length, step: Length) -> u32 {
    // A hair under a whole step, so that 40 ft in 10 ft sticks are four and not five.
    let whole = (length / step - 1e-9).ceil().clamp(0.0, f64::from(u32::MAX));
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to the range just above"
    )]
    let whole = whole as u32;
    whole
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_allowance_says_why() {
        let all = allowances();
        assert!(!all.cable_waste.reason.is_empty() && !all.labels_per_circuit.reason.is_empty());
        assert!(all.sale_length(UnitSystem::Us) > Length::zero());
        assert!(all.sale_length(UnitSystem::Si) > Length::zero());
    }

    #[test]
    fn steps_cover_the_length_and_no_more() {
        let step = Length::from_feet(10.0);
        for (feet, wanted) in [(0.0, 0), (0.1, 1), (10.0, 1), (10.1, 2), (39.9, 4), (40.0, 4)] {
            assert_eq!(steps(Length::from_feet(feet), step), wanted, "{feet} ft");
        }
    }
}
