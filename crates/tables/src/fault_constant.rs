//! Constants of the point-to-point method for available fault current.
//!
//! In: size, metal, raceway. Out: C, the conductance of one foot of conductor to neutral in siemens, as the trade guide
//! tabulates it.

use crate::absent::Absent;
use crate::conductor::ConductorMaterial;
use crate::conductor_impedance::Surrounding;
use crate::sourced::Sourced;
use crate::table::{Table, embedded};
use quantity::ConductorSize;
use serde::Deserialize;
use std::sync::LazyLock;

/// The constant C of a conductor, in siemens for one foot.
///
/// ```
/// use tables::conductor::ConductorMaterial;
/// use tables::conductor_impedance::Surrounding;
/// use tables::fault_constant::fault_constant_siemens_foot;
/// // The plan-review guide prints 22185 for 500 kcmil copper in steel.
/// let found = fault_constant_siemens_foot(
///     "500 kcmil".parse()?, ConductorMaterial::Copper, Surrounding::Steel)?;
/// assert_eq!(found.value, 22_185.0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn fault_constant_siemens_foot(
    size: ConductorSize,
    material: ConductorMaterial,
    surrounding: Surrounding,
) -> Result<Sourced<f64>, Absent> {
    let table = "the table of fault constants";
    let row = CONSTANTS
        .rows
        .iter()
        .find(|row| row.size == size)
        .ok_or_else(|| Absent::Row {
            table,
            row: size.to_string(),
            fix: "take a size from 14 AWG to 500 kcmil",
        })?;
    let constant = match (material, surrounding) {
        (ConductorMaterial::Copper, Surrounding::Steel) => row.cu_steel,
        (ConductorMaterial::Copper, Surrounding::Nonmetallic | Surrounding::Aluminum) => row.cu_nonmagnetic,
        // In steel the constant is smaller, so it would understate the current elsewhere: there is no value for that.
        (ConductorMaterial::Aluminum, Surrounding::Steel) => row.al_steel,
        (ConductorMaterial::Aluminum, Surrounding::Nonmetallic | Surrounding::Aluminum) => {
            return Err(Absent::Cell {
                table,
                row: size.to_string(),
                column: "aluminum, nonmagnetic".to_owned(),
                fix: "work with impedances instead",
            });
        }
    };
    Ok(Sourced {
        value: constant,
        source: &CONSTANTS.source,
    })
}

#[derive(Debug, Deserialize)]
struct Row {
    size: ConductorSize,
    cu_steel: f64,
    cu_nonmagnetic: f64,
    al_steel: f64,
}

static CONSTANTS: LazyLock<Table<Row>> = LazyLock::new(|| {
    embedded(
        "fault_constants",
        include_str!("../../../data/tables/electrical/fault_constants.csv"),
    )
});

#[cfg(test)]
mod tests {
    use super::*;
    use crate::conductor::metal;
    use crate::conductor_impedance::ac_impedance;

    #[test]
    fn constants_agree_with_the_impedance_table() {
        // Independent: C = 1 / |Z| of one foot from the impedance table. The constants are for cold conductors, which is
        // the cautious side for an interrupting rating: the table's 75 °C resistance is brought to 25 °C. It has two
        // digits, so 7 % up to 1/0 AWG. Larger sizes have less reactance in the guide: up to 21 % more current, again
        // the cautious side.
        let cells = |row: &Row| {
            [
                (row.cu_steel, ConductorMaterial::Copper, Surrounding::Steel),
                (
                    row.cu_nonmagnetic,
                    ConductorMaterial::Copper,
                    Surrounding::Nonmetallic,
                ),
                (row.al_steel, ConductorMaterial::Aluminum, Surrounding::Steel),
            ]
        };
        for row in &CONSTANTS.rows {
            for (constant, material, surrounding) in cells(row) {
                // The impedance table has no 14 AWG aluminum.
                let Ok(z) = ac_impedance(row.size, material, surrounding) else {
                    continue;
                };
                let cold = 1.0 - 50.0 * metal(material).value.coefficient_75c_per_k;
                let resistance = z.value.resistance.as_ohms_per_thousand_feet() * cold;
                let reactance = z.value.reactance.as_ohms_per_thousand_feet();
                let off = constant * resistance.hypot(reactance) / 1000.0 - 1.0;
                let small = row.size.area().as_circular_mils() < 106_000.0;
                let allowed = if small { -0.02..0.07 } else { 0.0..0.21 };
                assert!(
                    allowed.contains(&off),
                    "{} {material} {surrounding:?}: {off}",
                    row.size
                );
            }
        }
    }
}
