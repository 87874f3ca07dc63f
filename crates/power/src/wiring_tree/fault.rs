//! Available fault current in a wiring tree: a bolted short between two wires at the end of a section.
//!
//! In: the tree, a section, two wires. Out: the symmetrical current. Loads are left out, and the network ahead of the
//! source counts as infinite: the cautious side for the interrupting rating of breakers.

use super::{SourceVoltages, TreeSection, Wire, across, section_paths};
use crate::PowerError;
use crate::complex::Complex;
use quantity::Current;

/// Available fault current between two wires at the end of a section.
///
/// I = |E| / |Z|
///
/// # Symbols
/// | here       | meaning                                                | unit |
/// |------------|--------------------------------------------------------|------|
/// | `source`   | gives the open-circuit voltage E between the wires     | V    |
/// | `sections` | wires from the source to there, which add up to Z      | Ω    |
/// | `at`       | index of the section; the fault is at its end          | –    |
/// | `between`  | the wires that touch                                   | –    |
/// | result     | symmetrical current I                                  | A    |
///
/// # Valid
/// As [`super::solve_tree`]; an impedance of 1 µΩ or more.
/// # Outside
/// [`PowerError`].
/// # Assumes
/// Bolted fault; infinite network; no current from motors; wires as warm as their impedance was taken.
/// # Source
/// Ohm's law. Compared with a public distribution solver in `checks/electrical/wiring_tree.toml`.
/// # Example
/// ```
/// use power::center_tapped::CenterTapped;
/// use power::supply::supply;
/// use power::wiring_tree::{SectionImpedance, SourceVoltages, TreeSection, Wire, available_fault};
/// use quantity::{ApparentPower, Ratio, Voltage};
/// let volts = Voltage::from_volts(240.0);
/// let unit = CenterTapped {
///     rating: ApparentPower::from_kilovolt_amperes(25.0), line_voltage: volts,
///     resistance: Ratio::from_percent(1.2), reactance: Ratio::from_percent(1.7),
/// };
/// let sections = [TreeSection {
///     label: "transformer".into(), above: None, impedance: SectionImpedance::center_tapped(&unit.windings()?),
/// }];
/// let source = SourceVoltages::of(supply("120/240 V")?, volts)?;
/// // Fact sheet, case SC3: 5006 A between the lines, 7658 A from a line to the neutral.
/// let lines = available_fault(&source, &sections, 0, (Wire::A, Wire::B))?;
/// let neutral = available_fault(&source, &sections, 0, (Wire::A, Wire::Neutral))?;
/// assert!((lines.as_amperes() - 5006.0).abs() < 0.5 && (neutral.as_amperes() - 7658.0).abs() < 0.5);
/// # Ok::<(), power::PowerError>(())
/// ```
pub fn available_fault(
    source: &SourceVoltages,
    sections: &[TreeSection],
    at: usize,
    between: (Wire, Wire),
) -> Result<Current, PowerError> {
    let paths = section_paths(sections)?;
    let path = paths.get(at).ok_or_else(|| PowerError::TreeOrder {
        label: "fault".to_owned(),
        above: at,
        known: sections.len(),
    })?;
    let open_v = source.between("fault", between)?.magnitude();
    let mut loop_ohm = Complex::ZERO;
    for &section in path {
        loop_ohm = loop_ohm + across(&sections[section].impedance.ohms()?, between, between);
    }
    let magnitude = loop_ohm.magnitude();
    if magnitude < LEAST_OHM {
        return Err(PowerError::OutOfRange {
            what: "impedance of the fault loop",
            found: format!("{magnitude} Ω"),
            low: format!("{LEAST_OHM} Ω"),
            high: "any".to_owned(),
        });
    }
    Ok(Current::from_amperes(open_v / magnitude))
}

/// Less than any house has between the source and a breaker.
const LEAST_OHM: f64 = 1e-6;
