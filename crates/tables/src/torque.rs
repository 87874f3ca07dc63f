//! Tightening torque of terminals where the maker gives none.
//!
//! In: a conductor size and a kind of screw. Out: the torque. The marking on the equipment always comes first.

use crate::absent::Absent;
use crate::sourced::Sourced;
use crate::table::{Table, embedded};
use quantity::{ConductorSize, Torque};
use serde::Deserialize;
use std::sync::LazyLock;

/// Kind of terminal screw.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TerminalScrew {
    /// Slotted head, slot of 0.047 in. or less wide and 1/4 in. or less long.
    SlotSmall,
    /// Slotted head, larger slot.
    SlotLarge,
    /// Hexagon head of a split-bolt connector.
    SplitBolt,
    /// Hexagon head of another connector.
    OtherHex,
}

/// The torque for that conductor and screw.
///
/// ```
/// use tables::torque::{TerminalScrew, fallback_torque};
/// let found = fallback_torque("6 AWG".parse()?, TerminalScrew::SlotLarge)?;
/// // Annex I, Table I.1, from memory: 45 lbf·in for 6-4 AWG.
/// assert!((found.value.as_pound_force_inches() - 45.0).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn fallback_torque(size: ConductorSize, screw: TerminalScrew) -> Result<Sourced<Torque>, Absent> {
    let table = "the table of terminal torque";
    let row = TORQUE
        .rows
        .iter()
        .find(|row| row.size_from.area() <= size.area() && size.area() <= row.size_to.area())
        .ok_or_else(|| Absent::Row {
            table,
            row: size.to_string(),
            fix: "ask the maker of the terminal",
        })?;
    let torque = match screw {
        TerminalScrew::SlotSmall => row.slot_small_lbf_in,
        TerminalScrew::SlotLarge => row.slot_large_lbf_in,
        TerminalScrew::SplitBolt => Some(row.split_bolt_lbf_in),
        TerminalScrew::OtherHex => Some(row.other_hex_lbf_in),
    };
    torque
        .map(|torque| Sourced {
            value: Torque::from_pound_force_inches(torque),
            source: &TORQUE.source,
        })
        .ok_or_else(|| Absent::Cell {
            table,
            row: size.to_string(),
            column: format!("{screw:?}"),
            fix: "ask the maker of the terminal",
        })
}

#[derive(Debug, Deserialize)]
struct Row {
    size_from: ConductorSize,
    size_to: ConductorSize,
    slot_small_lbf_in: Option<f64>,
    slot_large_lbf_in: Option<f64>,
    split_bolt_lbf_in: f64,
    other_hex_lbf_in: f64,
}

static TORQUE: LazyLock<Table<Row>> = LazyLock::new(|| {
    embedded(
        "torque",
        include_str!("../../../data/tables/electrical/torque.csv"),
    )
});

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ampacity::sizes;
    use crate::conductor::ConductorMaterial;

    #[test]
    fn every_size_with_an_ampacity_has_a_torque_that_never_falls() {
        let torques: Vec<Torque> = sizes(ConductorMaterial::Copper)
            .map(|size| fallback_torque(size, TerminalScrew::OtherHex).unwrap().value)
            .collect();
        assert!(torques.is_sorted());
        let missing = fallback_torque("1/0 AWG".parse().unwrap(), TerminalScrew::SlotSmall);
        assert!(matches!(missing, Err(Absent::Cell { .. })));
        let outside = fallback_torque("16 AWG".parse().unwrap(), TerminalScrew::SlotLarge);
        assert!(matches!(outside, Err(Absent::Row { .. })));
    }
}
