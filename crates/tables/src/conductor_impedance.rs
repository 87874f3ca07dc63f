//! Impedance of conductors in conduit, from the impedance table.
//!
//! In: a size, a metal, what stands around. Out: resistance and reactance at 60 Hz and 75 °C. The table has two digits: for
//! small sizes the direct-current resistance of [`crate::conductor`] is finer.

use crate::absent::Absent;
use crate::conductor::ConductorMaterial;
use crate::row_source::row_source;
use crate::sourced::Sourced;
use crate::table::{Table, embedded};
use quantity::{ConductorSize, ReactancePerLength, ResistancePerLength};
use serde::Deserialize;
use std::sync::LazyLock;
use trace::{Source, SourceStatus};

/// What stands around conductors, for their reactance.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Surrounding {
    /// A nonmetallic raceway or sheath.
    Nonmetallic,
    /// An aluminum raceway or armor.
    Aluminum,
    /// A steel raceway.
    Steel,
}

/// Alternating-current impedance of one conductor over length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ImpedancePerLength {
    /// Its resistance.
    pub resistance: ResistancePerLength,
    /// Its reactance.
    pub reactance: ReactancePerLength,
}

/// Alternating-current impedance at 60 Hz and 75 °C of one of three single conductors in a raceway.
pub fn ac_impedance(
    size: ConductorSize,
    material: ConductorMaterial,
    surrounding: Surrounding,
) -> Result<Sourced<ImpedancePerLength>, Absent> {
    let table = "the table of conductor impedance";
    let fix = "take a size from 14 AWG (copper) or 12 AWG (aluminum) to 750 kcmil, but 700 kcmil";
    let (row, sources) = AC
        .rows
        .iter()
        .zip(AC_SOURCES.iter())
        .find(|(row, _)| row.size == size)
        .ok_or_else(|| Absent::Row {
            table,
            row: size.to_string(),
            fix,
        })?;
    let reactance = match surrounding {
        Surrounding::Nonmetallic | Surrounding::Aluminum => row.x_nonmagnetic_ohm_per_kft,
        Surrounding::Steel => row.x_steel_ohm_per_kft,
    };
    let resistance = match (material, surrounding) {
        (ConductorMaterial::Copper, Surrounding::Nonmetallic) => Some(row.cu_pvc_ohm_per_kft),
        (ConductorMaterial::Copper, Surrounding::Aluminum) => Some(row.cu_aluminum_conduit_ohm_per_kft),
        (ConductorMaterial::Copper, Surrounding::Steel) => Some(row.cu_steel_ohm_per_kft),
        (ConductorMaterial::Aluminum, Surrounding::Nonmetallic) => row.al_pvc_ohm_per_kft,
        (ConductorMaterial::Aluminum, Surrounding::Aluminum) => row.al_aluminum_conduit_ohm_per_kft,
        (ConductorMaterial::Aluminum, Surrounding::Steel) => row.al_steel_ohm_per_kft,
    };
    let resistance = resistance.ok_or_else(|| Absent::Cell {
        table,
        row: size.to_string(),
        column: material.to_string(),
        fix,
    })?;
    Ok(Sourced {
        value: ImpedancePerLength {
            resistance: ResistancePerLength::from_ohms_per_thousand_feet(resistance),
            reactance: ReactancePerLength::from_ohms_per_thousand_feet(reactance),
        },
        source: sources,
    })
}

#[derive(Debug, Deserialize)]
struct AcRow {
    size: ConductorSize,
    x_nonmagnetic_ohm_per_kft: f64,
    x_steel_ohm_per_kft: f64,
    cu_pvc_ohm_per_kft: f64,
    cu_aluminum_conduit_ohm_per_kft: f64,
    cu_steel_ohm_per_kft: f64,
    al_pvc_ohm_per_kft: Option<f64>,
    al_aluminum_conduit_ohm_per_kft: Option<f64>,
    al_steel_ohm_per_kft: Option<f64>,
    status: SourceStatus,
}

static AC: LazyLock<Table<AcRow>> = LazyLock::new(|| {
    embedded(
        "conductor_ac_impedance",
        include_str!("../../../data/tables/electrical/conductor_ac_impedance.csv"),
    )
});

static AC_SOURCES: LazyLock<Vec<Source>> = LazyLock::new(|| {
    AC.rows
        .iter()
        .map(|row| row_source(&AC.source, row.status))
        .collect()
});

#[cfg(test)]
mod tests {
    use super::*;
    use crate::conductor::{Stranding, dc_resistance};

    #[test]
    fn direct_and_alternating_current_resistance_agree_for_small_sizes() {
        // Fact sheet, section 5: they agree within table rounding up to about 1/0 AWG; the impedance table has two
        // digits, so half a digit of 0.12 is 4 %.
        for row in AC
            .rows
            .iter()
            .filter(|row| row.size.area().as_circular_mils() < 106_000.0)
        {
            let dc = dc_resistance(row.size, ConductorMaterial::Copper, Stranding::Stranded).unwrap();
            let ac = ac_impedance(row.size, ConductorMaterial::Copper, Surrounding::Nonmetallic).unwrap();
            let off = ac.value.resistance / dc.value - 1.0;
            assert!(off.abs() < 0.045, "{}: {off}", row.size);
        }
    }

    #[test]
    fn what_is_not_tabulated_is_refused() {
        let no_aluminum = ac_impedance(
            "14 AWG".parse().unwrap(),
            ConductorMaterial::Aluminum,
            Surrounding::Steel,
        )
        .unwrap_err();
        assert!(matches!(no_aluminum, Absent::Cell { .. }));
    }

    #[test]
    fn rows_carry_their_status_and_a_missing_row_is_named() {
        let of = |size: &str| {
            ac_impedance(
                size.parse().unwrap(),
                ConductorMaterial::Copper,
                Surrounding::Steel,
            )
        };
        assert_eq!(of("400 kcmil").unwrap().source.status, SourceStatus::Seen);
        // The source has no row between 600 and 750 kcmil.
        assert!(of("700 kcmil").unwrap_err().to_string().contains("700 kcmil"));
    }
}
