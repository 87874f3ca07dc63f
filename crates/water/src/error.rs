//! Why the water engine refuses: a value outside the stated range, water that would boil, a solve that did not finish.
//!
//! In: values on their way into a calculation. Out: the value, or an error with what was found, what is allowed and
//! what to do. Start at [`WaterError`]. Judges no house: a poor result is a number, not an error.

use quantity::{Kind, Temperature, number};

/// Why a calculation was refused.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum WaterError {
    /// A value outside the range in which the calculation holds.
    #[error("{what} is `{}`; it must be from {} to {}", shown(*.value, .unit), shown(*.low, .unit), shown(*.high, .unit))]
    OutOfRange {
        /// What the value is.
        what: &'static str,
        /// The value, in `unit`.
        value: f64,
        /// Unit of the three numbers.
        unit: &'static str,
        /// Smallest allowed.
        low: f64,
        /// Largest allowed.
        high: f64,
    },
    /// At this pressure water of this temperature is steam.
    #[error(
        "water of `{}` at `{}` absolute would boil; lower the temperature or the power, or raise the flow",
        shown(.temperature.as_celsius(), "°C"),
        shown(*.pressure_kpa, "kPa")
    )]
    WouldBoil {
        /// The temperature.
        temperature: Temperature,
        /// The absolute pressure in kPa.
        pressure_kpa: f64,
    },
    /// Two temperatures in the wrong order.
    #[error("{warmer} (`{}`) must be above {cooler} (`{}`)", shown(.warm.as_celsius(), "°C"), shown(.cool.as_celsius(), "°C"))]
    NotWarmer {
        /// What must be warmer.
        warmer: &'static str,
        /// Its temperature.
        warm: Temperature,
        /// What must be cooler.
        cooler: &'static str,
        /// Its temperature.
        cool: Temperature,
    },
    /// The points of a loss curve do not rise.
    #[error("the pressure loss curve does not rise from point {} to point {}; check the flows and losses", .index, .index + 1)]
    CurveFalls {
        /// The earlier of the two points, counted from 1.
        index: usize,
    },
    /// A loss curve without a point.
    #[error("the pressure loss curve has no point with a flow above zero; give at least one")]
    CurveEmpty,
    /// A search ended without an answer good enough.
    #[error(
        "{what} was not found: after {iterations} steps it is off by `{residual}` {unit}; check the lengths and sizes of the path"
    )]
    NotConverged {
        /// What was searched.
        what: &'static str,
        /// How far off the last step was, in `unit`.
        residual: f64,
        /// Unit of the residual.
        unit: &'static str,
        /// Steps taken.
        iterations: u32,
    },
    /// A nominal size that a table does not have.
    #[error(transparent)]
    UnknownSize(#[from] tables::UnknownSize),
}

/// The first temperature, if it is not below the second.
pub(crate) fn not_below(
    warmer: &'static str,
    warm: Temperature,
    cooler: &'static str,
    cool: Temperature,
) -> Result<Temperature, WaterError> {
    if warm >= cool {
        return Ok(warm);
    }
    Err(WaterError::NotWarmer {
        warmer,
        warm,
        cooler,
        cool,
    })
}

/// The number, if it is one and lies within the limits, both included.
pub(crate) fn in_range(
    what: &'static str,
    value: f64,
    low: f64,
    high: f64,
    unit: &'static str,
) -> Result<f64, WaterError> {
    if value >= low && value <= high {
        Ok(value)
    } else {
        Err(WaterError::OutOfRange {
            what,
            value,
            unit,
            low,
            high,
        })
    }
}

/// The quantity, if it is a number within the limits given in its unit of that name.
pub(crate) fn within<K: Kind>(
    what: &'static str,
    quantity: K,
    low: f64,
    high: f64,
    symbol: &'static str,
) -> Result<K, WaterError> {
    let unit = K::unit_named(symbol).unwrap_or(K::unit(quantity::UnitSystem::Si));
    // Unit conversion may move a limit by its last binary digit: 32 °F is not refused at 0 °C.
    let slack = 1e-9 * (1.0 + low.abs().max(high.abs()));
    let value = unit.from_base(quantity.base());
    if value >= low - slack && value <= high + slack {
        return Ok(quantity);
    }
    Err(WaterError::OutOfRange {
        what,
        value,
        unit: unit.symbol(),
        low,
        high,
    })
}

fn shown(value: f64, unit: &str) -> String {
    let text = number(value, 4, 3);
    if unit.is_empty() {
        text
    } else {
        format!("{text} {unit}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::Length;

    #[test]
    fn a_refusal_says_found_allowed_and_unit() {
        let error = within("the bore", Length::from_inches(-1.0), 0.1, 12.0, "in").unwrap_err();
        assert_eq!(
            error.to_string(),
            "the bore is `-1 in`; it must be from 0.1 in to 12 in"
        );
        let error = in_range("Reynolds number", f64::NAN, 1.0, 1e8, "").unwrap_err();
        assert!(error.to_string().contains("`not a number`"), "{error}");
        assert!(
            within(
                "the temperature",
                Temperature::from_fahrenheit(32.0),
                0.0,
                150.0,
                "°C"
            )
            .is_ok()
        );
    }
}
