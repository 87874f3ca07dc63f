//! What an element circuit carries, and between which ratings its breaker must lie.
//!
//! In: elements, the voltage of the supply, whether the load counts as continuous, nameplate markings. Out: the load, the
//! current the circuit is sized for, smallest and largest breaker, each with its source.
//!
//! An on-demand heater is not a continuous load by itself: the rule that makes water heaters one names storage heaters.
//! So [`Duty`] is a recorded choice with its reason, not a constant.

use crate::PowerError;
use crate::element::{Element, voltage_in_range};
use crate::error::in_range;
use quantity::{Current, Ratio, Voltage};
use tables::breaker::standard_at_least;
use tables::figures::figures;
use tables::nec::{NecEdition, Topic, cite};
use tables::sourced::Sourced;
use trace::{Source, SourceStatus};

/// Whether the load counts as continuous, and who decided so.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Duty {
    /// Three hours or more at full load are expected, or the marking or the authority says so.
    pub continuous: bool,
    /// The reason, as recorded.
    pub reason: String,
}

/// What the heater's nameplate says about its circuit.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Marked {
    /// Largest breaker.
    pub max_breaker: Option<Current>,
    /// Smallest circuit ampacity.
    pub min_ampacity: Option<Current>,
}

/// What a circuit carries.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CircuitLoad {
    /// Sum of the rated currents.
    pub rated: Current,
    /// Current at the nominal voltage of the supply.
    pub at_nominal: Current,
    /// The larger of both: an element rated for less than the supply draws more than its rating.
    pub load: Current,
    /// What the load is multiplied by for sizing.
    pub factor: Sourced<Ratio>,
    /// What breaker and conductor are sized for; not below a marked circuit ampacity.
    pub design: Current,
}

/// Load of an element circuit.
///
/// I = max(Σ P/Vr, Σ Vn/R); Id = max(k · I, marked ampacity), with k = 125 % for a continuous load and 100 % otherwise
///
/// # Symbols
/// | here              | meaning                                          | unit |
/// |-------------------|--------------------------------------------------|------|
/// | `elements`        | rated power P at rated voltage Vr, resistance R | W, V, Ω |
/// | `nominal_voltage` | nominal voltage an element sees Vn              | V    |
/// | `duty`            | gives k                                          | –    |
/// | `marked`          | nameplate markings                               | A    |
/// | result            | load I and sizing current Id                    | A    |
///
/// # Valid
/// 1 V to 1000 V; marked ampacity 0 to 10 kA.
/// # Outside
/// [`PowerError`].
/// # Assumes
/// All elements of the circuit on together.
/// # Source
/// 210.19(A)(1), 210.20(A): seen in paraphrase; 422.10(A) from memory.
/// # Example
/// ```
/// use power::circuit_load::{Duty, Marked, circuit_load};
/// use power::element::Element;
/// use quantity::{Power, Voltage};
/// use tables::nec::NecEdition;
/// let volts = Voltage::from_volts(240.0);
/// let duty = Duty { continuous: true, reason: "storage heater".into() };
/// let element = Element::new(Power::from_kilowatts(4.5), volts)?;
/// let found = circuit_load(&[element], volts, &duty, Marked::default(), NecEdition::Nec2020)?;
/// // Fact sheet, case BR3: 18.75 A, and 23.4375 A at 125 %.
/// assert!((found.rated.as_amperes() - 18.75).abs() < 1e-9);
/// assert!((found.design.as_amperes() - 23.4375).abs() < 1e-9);
/// # Ok::<(), power::PowerError>(())
/// ```
pub fn circuit_load(
    elements: &[Element],
    nominal_voltage: Voltage,
    duty: &Duty,
    marked: Marked,
    edition: NecEdition,
) -> Result<CircuitLoad, PowerError> {
    if elements.is_empty() {
        return Err(PowerError::Nothing {
            what: "element on the circuit",
        });
    }
    let nominal = voltage_in_range("nominal voltage", nominal_voltage)?;
    let rated: Current = elements.iter().map(Element::rated_current).sum();
    let at_nominal: Current = elements
        .iter()
        .map(|element| nominal / element.resistance())
        .sum();
    let load = rated.max(at_nominal);
    let factor = if duty.continuous {
        figures(edition).continuous_load
    } else {
        Sourced {
            value: Ratio::from_fraction(1.0),
            source: cite(Topic::BranchCircuitLoad, edition, SourceStatus::Seen),
        }
    };
    let least = match marked.min_ampacity {
        Some(ampacity) => marked_in_range("marked circuit ampacity", ampacity)?,
        None => Current::zero(),
    };
    Ok(CircuitLoad {
        rated,
        at_nominal,
        load,
        factor,
        design: (load * factor.value.as_fraction()).max(least),
    })
}

/// Where the largest breaker comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MaximumBasis {
    /// The nameplate.
    Marked,
    /// The share of the rated current that the code allows where none is marked.
    ShareOfRating,
}

/// Ratings a circuit's breaker may have.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BreakerWindow {
    /// Smallest: the next standard rating at or above the sizing current.
    pub minimum: Sourced<Current>,
    /// Largest.
    pub maximum: Current,
    /// Where the largest comes from.
    pub maximum_basis: MaximumBasis,
    /// The rule of the largest.
    pub maximum_source: &'static Source,
}

impl BreakerWindow {
    /// No rating lies in it: the smallest is above the largest.
    pub fn is_empty(&self) -> bool {
        self.minimum.value > self.maximum
    }
}

/// Smallest and largest breaker of an element circuit.
///
/// Without a marking: 150 % of the rated current, next standard rating up; 20 A at or below 13.3 A.
///
/// # Symbols
/// | here      | meaning                     | unit |
/// |-----------|-----------------------------|------|
/// | `load`    | load and sizing current     | A    |
/// | `marked`  | nameplate markings          | A    |
/// | `edition` | edition, for the ratings    | –    |
/// | result    | smallest and largest rating | A    |
///
/// # Valid
/// Sizing currents up to 600 A; marked breaker 1 A to 10 kA.
/// # Outside
/// [`PowerError`].
/// # Assumes
/// One appliance alone on the circuit, not motor-operated.
/// # Source
/// 240.6(A), 422.11(E)(3): seen; the 20 A of small appliances from memory.
/// # Example
/// ```
/// use power::circuit_load::{Duty, Marked, breaker_window, circuit_load};
/// use power::element::Element;
/// use quantity::{Power, Voltage};
/// use tables::nec::NecEdition;
/// let volts = Voltage::from_volts(240.0);
/// let duty = Duty { continuous: false, reason: "on-demand, short draws".into() };
/// let element = Element::new(Power::from_kilowatts(9.0), volts)?;
/// let load = circuit_load(&[element], volts, &duty, Marked::default(), NecEdition::Nec2020)?;
/// let window = breaker_window(&load, Marked::default(), NecEdition::Nec2020)?;
/// // Fact sheet, circuit table: 9 kW takes 40 A at least and, unmarked, 60 A at most.
/// assert!((window.minimum.value.as_amperes() - 40.0).abs() < 1e-9);
/// assert!((window.maximum.as_amperes() - 60.0).abs() < 1e-9);
/// # Ok::<(), power::PowerError>(())
/// ```
pub fn breaker_window(
    load: &CircuitLoad,
    marked: Marked,
    edition: NecEdition,
) -> Result<BreakerWindow, PowerError> {
    let minimum = standard_at_least(load.design, edition)?;
    let rules = figures(edition);
    let (maximum, maximum_basis, maximum_source) = match marked.max_breaker {
        Some(breaker) => (
            marked_in_range("marked largest breaker", breaker)?,
            MaximumBasis::Marked,
            rules.appliance_overcurrent.source,
        ),
        None if load.rated <= rules.appliance_overcurrent_threshold.value => (
            rules.appliance_overcurrent_small.value,
            MaximumBasis::ShareOfRating,
            rules.appliance_overcurrent_small.source,
        ),
        None => {
            let share = load.rated * rules.appliance_overcurrent.value.as_fraction();
            (
                standard_at_least(share, edition)?.value,
                MaximumBasis::ShareOfRating,
                rules.appliance_overcurrent.source,
            )
        }
    };
    Ok(BreakerWindow {
        minimum,
        maximum,
        maximum_basis,
        maximum_source,
    })
}

fn marked_in_range(what: &'static str, current: Current) -> Result<Current, PowerError> {
    in_range(
        what,
        current,
        Current::from_amperes(1.0),
        Current::from_amperes(1e4),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::Power;

    const EDITION: NecEdition = NecEdition::Nec2020;

    fn load_of(kilowatts: f64, rated_v: f64, nominal_v: f64, marked: Marked) -> CircuitLoad {
        let element = Element::new(Power::from_kilowatts(kilowatts), Voltage::from_volts(rated_v)).unwrap();
        let duty = Duty {
            continuous: false,
            reason: "test".into(),
        };
        circuit_load(&[element], Voltage::from_volts(nominal_v), &duty, marked, EDITION).unwrap()
    }

    #[test]
    fn an_element_on_more_than_its_rated_voltage_draws_more() {
        let under = load_of(9.0, 240.0, 208.0, Marked::default());
        assert_eq!(under.load, under.rated);
        assert!((under.at_nominal.as_amperes() - 32.5).abs() < 1e-9);
        let over = load_of(9.0, 208.0, 240.0, Marked::default());
        assert!((over.load.as_amperes() - 9000.0 / 208.0 * 240.0 / 208.0).abs() < 1e-9);
    }

    #[test]
    fn markings_govern() {
        let marked = Marked {
            max_breaker: Some(Current::from_amperes(40.0)),
            min_ampacity: Some(Current::from_amperes(47.0)),
        };
        let load = load_of(9.0, 240.0, 240.0, marked);
        let window = breaker_window(&load, marked, EDITION).unwrap();
        assert_eq!(window.maximum_basis, MaximumBasis::Marked);
        // 47 A asks for a 50 A breaker, the nameplate allows 40 A: nothing fits.
        assert!(window.is_empty());
        assert!((window.minimum.value.as_amperes() - 50.0).abs() < 1e-9);
    }

    #[test]
    fn a_small_appliance_has_its_own_largest_breaker() {
        let load = load_of(3.0, 240.0, 240.0, Marked::default());
        let window = breaker_window(&load, Marked::default(), EDITION).unwrap();
        assert!((window.maximum.as_amperes() - 20.0).abs() < 1e-9);
    }
}
