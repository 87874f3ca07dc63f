//! A heating element as what it is electrically: a fixed resistance.
//!
//! In: rated power at rated voltage. Out: resistance, and power and current at any actual voltage. Start at [`Element`].
//! Does not know who feeds it. Assumes the resistance does not change with temperature; makers allow some percent.

use crate::PowerError;
use crate::error::in_range;
use quantity::{Current, Power, Resistance, Voltage};

/// A resistance element, as its nameplate says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Element {
    rated_power: Power,
    rated_voltage: Voltage,
}

impl Element {
    /// From the nameplate.
    ///
    /// # Valid
    /// 1 W to 1 MW, 1 V to 1000 V.
    /// # Outside
    /// [`PowerError::OutOfRange`].
    pub fn new(rated_power: Power, rated_voltage: Voltage) -> Result<Self, PowerError> {
        Ok(Self {
            rated_power: in_range(
                "rated power",
                rated_power,
                Power::from_watts(1.0),
                Power::from_watts(1e6),
            )?,
            rated_voltage: voltage_in_range("rated voltage", rated_voltage)?,
        })
    }

    /// Power at the rated voltage.
    pub fn rated_power(&self) -> Power {
        self.rated_power
    }

    /// Voltage the rating holds at.
    pub fn rated_voltage(&self) -> Voltage {
        self.rated_voltage
    }

    /// Current at the rated voltage.
    pub fn rated_current(&self) -> Current {
        self.rated_power / self.rated_voltage
    }

    /// Its resistance.
    ///
    /// R = V² / P
    ///
    /// # Symbols
    /// | here   | meaning       | unit |
    /// |--------|---------------|------|
    /// | V      | rated voltage | V    |
    /// | P      | rated power   | W    |
    /// | result | resistance    | Ω    |
    ///
    /// # Valid
    /// Every element that [`Element::new`] accepts.
    /// # Outside
    /// Cannot be outside.
    /// # Assumes
    /// The same resistance cold and hot.
    /// # Source
    /// Ohm's law.
    /// # Example
    /// ```
    /// use power::element::Element;
    /// use quantity::{Power, Voltage};
    /// let element = Element::new(Power::from_kilowatts(9.0), Voltage::from_volts(240.0))?;
    /// // Fact sheet, case VD1: 6.400 Ω.
    /// assert!((element.resistance().as_ohms() - 6.4).abs() < 1e-9);
    /// # Ok::<(), power::PowerError>(())
    /// ```
    pub fn resistance(&self) -> Resistance {
        self.rated_voltage / self.rated_current()
    }

    /// Power drawn at an actual voltage.
    ///
    /// P = V² / R: it follows the square of the voltage.
    ///
    /// # Symbols
    /// | here     | meaning                    | unit |
    /// |----------|----------------------------|------|
    /// | `actual` | voltage at the terminals V | V    |
    /// | R        | resistance                 | Ω    |
    /// | result   | power P                    | W    |
    ///
    /// # Valid
    /// 0 V to 1000 V.
    /// # Outside
    /// [`PowerError::OutOfRange`].
    /// # Assumes
    /// Fixed resistance. At more than the rated voltage an element may not last.
    /// # Source
    /// Ohm's law.
    /// # Example
    /// ```
    /// use power::element::Element;
    /// use quantity::{Power, Voltage};
    /// let element = Element::new(Power::from_kilowatts(9.0), Voltage::from_volts(240.0))?;
    /// // Fact sheet, case PV1: 208 V gives 6760 W.
    /// let found = element.power_at(Voltage::from_volts(208.0))?;
    /// assert!((found.as_watts() - 6760.0).abs() < 1e-6);
    /// # Ok::<(), power::PowerError>(())
    /// ```
    pub fn power_at(&self, actual: Voltage) -> Result<Power, PowerError> {
        Ok(actual_in_range(actual)? * self.current_at(actual)?)
    }

    /// Current drawn at an actual voltage, 0 V to 1000 V.
    pub fn current_at(&self, actual: Voltage) -> Result<Current, PowerError> {
        Ok(actual_in_range(actual)? / self.resistance())
    }
}

/// Voltages the engine works with: 1 V to 1000 V.
pub(crate) fn voltage_in_range(what: &'static str, voltage: Voltage) -> Result<Voltage, PowerError> {
    in_range(
        what,
        voltage,
        Voltage::from_volts(1.0),
        Voltage::from_volts(1000.0),
    )
}

fn actual_in_range(actual: Voltage) -> Result<Voltage, PowerError> {
    in_range(
        "actual voltage",
        actual,
        Voltage::zero(),
        Voltage::from_volts(1000.0),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ratings_that_make_no_element_are_refused() {
        for (watts, volts) in [
            (0.0, 240.0),
            (9000.0, 0.0),
            (-1.0, 240.0),
            (f64::NAN, 240.0),
            (9000.0, 1e308),
        ] {
            let made = Element::new(Power::from_watts(watts), Voltage::from_volts(volts));
            assert!(
                matches!(made, Err(PowerError::OutOfRange { .. })),
                "{watts} {volts}"
            );
        }
    }

    #[test]
    fn no_voltage_no_power() {
        let element = Element::new(Power::from_kilowatts(9.0), Voltage::from_volts(240.0)).unwrap();
        assert_eq!(element.power_at(Voltage::zero()).unwrap(), Power::zero());
        assert!(element.power_at(Voltage::from_volts(-1.0)).is_err());
    }
}
