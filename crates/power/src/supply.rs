//! A supply system at work: what an element connected to it sees, and what current a load draws from it.
//!
//! In: a system from the table of nominal systems. Out: voltages and line currents. All differences between systems are
//! columns of that table.

use crate::PowerError;
use crate::error::in_range;
use quantity::{ApparentPower, Current, Voltage};

pub use tables::voltage::{Connection, Supply, supplies, supply};

/// Largest load that any method here takes.
pub(crate) const LOAD_MAX_VA: f64 = 1e7;

/// The nominal voltage that an element connected so sees.
///
/// ```
/// use power::supply::{Connection, element_voltage, supply};
/// // Two legs of 208Y/120 V: an element between the legs sees 208 V.
/// let found = element_voltage(supply("120/208 V")?, Connection::LineToLine)?;
/// assert!((found.as_volts() - 208.0).abs() < 1e-9);
/// # Ok::<(), power::PowerError>(())
/// ```
pub fn element_voltage(supply: &Supply, connection: Connection) -> Result<Voltage, PowerError> {
    match connection {
        Connection::LineToNeutral => Ok(supply.line_to_neutral),
        Connection::LineToLine => supply.line_to_line.ok_or_else(|| PowerError::NoSuchConnection {
            supply: supply.id.clone(),
        }),
    }
}

/// Line current of a balanced load.
///
/// I = S / (√n · V)
///
/// # Symbols
/// | here     | meaning                                                            | unit |
/// |----------|--------------------------------------------------------------------|------|
/// | `supply` | gives the number of phases n and the nominal voltage V to divide by | –, V |
/// | `load`   | apparent power S                                                   | VA   |
/// | result   | current in each line I                                             | A    |
///
/// # Valid
/// 0 VA to 10 MVA.
/// # Outside
/// [`PowerError::OutOfRange`].
/// # Assumes
/// The load is spread evenly over the lines.
/// # Source
/// Arithmetic; √3 for three phases. That load calculations divide by the nominal voltage: Annex D, seen.
/// # Example
/// ```
/// use power::supply::{line_current, supply};
/// use quantity::ApparentPower;
/// // Fact sheet, section 11: 27 kW on 400 V three phase draws 39.0 A.
/// let found = line_current(supply("230/400 V")?, ApparentPower::from_kilovolt_amperes(27.0))?;
/// assert!((found.as_amperes() - 39.0).abs() < 0.05);
/// # Ok::<(), power::PowerError>(())
/// ```
pub fn line_current(supply: &Supply, load: ApparentPower) -> Result<Current, PowerError> {
    let load = in_range(
        "load",
        load,
        ApparentPower::zero(),
        ApparentPower::from_volt_amperes(LOAD_MAX_VA),
    )?;
    Ok(load / (supply.load_voltage * f64::from(supply.phases).sqrt()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_single_line_has_no_line_to_line_voltage() {
        let single = supply("230 V").unwrap();
        let refused = element_voltage(single, Connection::LineToLine).unwrap_err();
        assert!(refused.to_string().contains("between line and neutral"));
        for system in supplies() {
            assert_eq!(
                element_voltage(system, system.usual_connection).unwrap(),
                system.element_voltage
            );
        }
    }
}
