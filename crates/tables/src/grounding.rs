//! Equipment grounding conductors: the smallest wire for a device rating, and what a cable comes with.
//!
//! In: a device rating and a metal, or a cable and its size. Out: the size. The increase in proportion with oversized
//! conductors is a method and stands in the power engine.

use crate::absent::Absent;
use crate::conductor::ConductorMaterial;
use crate::nec::{NecEdition, Topic, cite};
use crate::sourced::Sourced;
use crate::table::{Table, embedded};
use quantity::{ConductorSize, Current};
use serde::Deserialize;
use std::sync::LazyLock;

/// Smallest equipment grounding wire of a circuit protected at `device`.
///
/// ```
/// use quantity::Current;
/// use tables::conductor::ConductorMaterial;
/// use tables::grounding::equipment_ground;
/// use tables::nec::NecEdition;
/// let found = equipment_ground(Current::from_amperes(40.0), ConductorMaterial::Copper, NecEdition::Nec2020)?;
/// // Table 250.122: a device of 40 A stands in the 60 A row, 10 AWG copper.
/// assert_eq!(found.value.to_string(), "10 AWG");
/// # Ok::<(), tables::absent::Absent>(())
/// ```
pub fn equipment_ground(
    device: Current,
    material: ConductorMaterial,
    edition: NecEdition,
) -> Result<Sourced<ConductorSize>, Absent> {
    GROUND
        .rows
        .iter()
        .find(|row| device.as_amperes() <= row.device_not_above_a)
        .map(|row| Sourced {
            value: match material {
                ConductorMaterial::Copper => row.copper,
                ConductorMaterial::Aluminum => row.aluminum,
            },
            source: cite(Topic::EquipmentGround, edition, GROUND.source.status),
        })
        .ok_or_else(|| Absent::Row {
            table: "the table of equipment grounding conductors",
            row: format!("{:.0} A", device.as_amperes()),
            fix: "the rows carried here end at 1000 A",
        })
}

/// The equipment grounding wire that a copper cable of that type and size comes with, where it is known.
pub fn cable_ground(cable: &str, size: ConductorSize) -> Option<Sourced<ConductorSize>> {
    CABLE
        .rows
        .iter()
        .find(|row| row.cable == cable && row.size == size)
        .map(|row| Sourced {
            value: row.ground,
            source: &CABLE.source,
        })
}

#[derive(Debug, Deserialize)]
struct GroundRow {
    device_not_above_a: f64,
    copper: ConductorSize,
    aluminum: ConductorSize,
}

#[derive(Debug, Deserialize)]
struct CableRow {
    cable: String,
    size: ConductorSize,
    ground: ConductorSize,
}

static GROUND: LazyLock<Table<GroundRow>> = LazyLock::new(|| {
    embedded(
        "equipment_ground",
        include_str!("../../../data/tables/electrical/equipment_ground.csv"),
    )
});

static CABLE: LazyLock<Table<CableRow>> = LazyLock::new(|| {
    embedded(
        "cable_ground",
        include_str!("../../../data/tables/electrical/cable_ground.csv"),
    )
});

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_larger_device_never_wants_a_smaller_ground() {
        let rows = &GROUND.rows;
        assert!(rows.is_sorted_by(|a, b| a.device_not_above_a < b.device_not_above_a));
        assert!(rows.is_sorted_by(|a, b| a.copper.area() <= b.copper.area()));
        assert!(rows.is_sorted_by(|a, b| a.aluminum.area() <= b.aluminum.area()));
        assert!(rows.iter().all(|row| row.aluminum.area() > row.copper.area()));
        assert!(
            equipment_ground(
                Current::from_amperes(1001.0),
                ConductorMaterial::Copper,
                NecEdition::Nec2023
            )
            .is_err()
        );
    }

    #[test]
    fn a_cable_has_the_ground_of_the_table_for_its_usual_breaker() {
        // Each cable's ground meets Table 250.122 at the 60 °C ampacity of its conductors, rounded up to a breaker.
        for row in &CABLE.rows {
            let ampacity = crate::ampacity::base_ampacity(
                row.size,
                ConductorMaterial::Copper,
                crate::ampacity::TemperatureColumn::C60,
                NecEdition::Nec2020,
            )
            .unwrap();
            let breaker = crate::breaker::standard_at_least(ampacity.value, NecEdition::Nec2020).unwrap();
            let least =
                equipment_ground(breaker.value, ConductorMaterial::Copper, NecEdition::Nec2020).unwrap();
            assert!(
                row.ground.area() >= least.value.area(),
                "{} {}",
                row.cable,
                row.size
            );
        }
        assert!(cable_ground("MC", "8 AWG".parse().unwrap()).is_none());
    }
}
