//! Why the engine refuses: one error for the crate, with the value and what to do.
//!
//! Also the range check that every public function puts its arguments through; a NaN fails it like any other value.

use quantity::Kind;
use tables::absent::Absent;

/// Why a calculation gave nothing.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PowerError {
    /// A value outside the range the method is stated for.
    #[error("{what} is `{found}`; it must lie between {low} and {high}")]
    OutOfRange {
        /// What the value is.
        what: &'static str,
        /// The value.
        found: String,
        /// Least allowed.
        low: String,
        /// Most allowed.
        high: String,
    },
    /// A list that must hold something is empty.
    #[error("there is no {what}; give at least one")]
    Nothing {
        /// What is missing.
        what: &'static str,
    },
    /// More of something than the method takes.
    #[error("there are `{found}` {what}; the method takes at most {most}")]
    TooMany {
        /// Of what.
        what: &'static str,
        /// How many.
        found: usize,
        /// Most allowed.
        most: usize,
    },
    /// A published table holds no such value.
    #[error(transparent)]
    Absent(#[from] Absent),
    /// The supply system has no such connection.
    #[error("a `{supply}` supply has one line; connect the element between line and neutral")]
    NoSuchConnection {
        /// The supply.
        supply: String,
    },
    /// No tabulated conductor carries the load.
    #[error(
        "no {material} conductor up to `{largest}` carries the circuit; {why}; divide the load or change the route"
    )]
    NoConductor {
        /// Metal.
        material: String,
        /// Largest size tried.
        largest: String,
        /// What the largest one falls short of.
        why: String,
    },
    /// The load asks more than the supply can deliver through its impedance.
    #[error("the panel load of `{load}` cannot be fed through this supply; check the upstream impedance")]
    VoltageCollapse {
        /// The load.
        load: String,
    },
    /// A wiring tree whose voltages do not settle: a load asks more than its wires can deliver.
    #[error(
        "the voltage at `{load}` does not settle; it asks more than the wires ahead of it can deliver; check sizes and lengths"
    )]
    NotSettled {
        /// The load with the largest residual.
        load: String,
    },
    /// Something names a section of a wiring tree that does not come before it.
    #[error(
        "`{label}` hangs on section {above}, but only {known} stand before it; list a section after the one that feeds it"
    )]
    TreeOrder {
        /// What names it.
        label: String,
        /// The section named, counted from 0.
        above: usize,
        /// How many sections there are before.
        known: usize,
    },
    /// A load of a wiring tree begins and ends at the same wire.
    #[error("load `{label}` has both ends at one wire; give two wires that the supply has")]
    OneWire {
        /// The load.
        label: String,
    },
    /// A panel that does not add up.
    #[error("panel: {problem}; count the spaces again")]
    Panel {
        /// What does not add up.
        problem: String,
    },
    /// A name that no load has.
    #[error("no load is called `{name}`; use the name as it stands in the list")]
    UnknownLoad {
        /// The name.
        name: String,
    },
}

/// The value itself when it lies within `low..=high`.
pub(crate) fn in_range<K: Kind>(what: &'static str, value: K, low: K, high: K) -> Result<K, PowerError> {
    if (low.base()..=high.base()).contains(&value.base()) {
        Ok(value)
    } else {
        Err(PowerError::OutOfRange {
            what,
            found: value.written(),
            low: low.written(),
            high: high.written(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::Voltage;

    #[test]
    fn a_value_outside_is_named_with_its_range() {
        let range = (Voltage::from_volts(1.0), Voltage::from_volts(1000.0));
        let message = in_range("source voltage", Voltage::from_volts(-240.0), range.0, range.1)
            .unwrap_err()
            .to_string();
        assert_eq!(
            message,
            "source voltage is `-240 V`; it must lie between 1 V and 1 kV"
        );
        assert!(in_range("source voltage", Voltage::from_volts(f64::NAN), range.0, range.1).is_err());
        assert!(in_range("source voltage", range.1, range.0, range.1).is_ok());
    }
}
