//! One conductor of a run as its impedance: length, temperature, and what stands around.
//!
//! In: size, metal, length, surrounding, conductor temperature. Out: resistance and reactance of that one conductor; out
//! and back is for whoever joins two. Start at [`conductor_impedance`]. Knows no ampacity.

use crate::PowerError;
use crate::conductor_temperature::resistance_at;
use crate::error::in_range;
use crate::path::Impedance;
use quantity::{ConductorSize, Length, ReactancePerLength, Temperature};
use tables::conductor::{ConductorMaterial, Stranding, dc_resistance};
use tables::conductor_impedance::{Surrounding, ac_impedance};

/// A conductor of a run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ConductorRun {
    /// Its size.
    pub size: ConductorSize,
    /// Its metal.
    pub material: ConductorMaterial,
    /// One-way length.
    pub length: Length,
    /// What stands around it.
    pub surrounding: Surrounding,
    /// How warm it runs.
    pub temperature: Temperature,
}

/// Impedance of one conductor of a run.
///
/// Z = L · (r75 · (1 + α · (T − 75 °C)) + j x)
///
/// # Symbols
/// | here   | meaning                                                         | unit |
/// |--------|-----------------------------------------------------------------|------|
/// | `run`  | length L, temperature T; size and metal give r75, α and x | m, °C, Ω/m, 1/K, Ω/m |
/// | result | impedance of the one conductor Z                                | Ω    |
///
/// # Valid
/// 14 AWG to 750 kcmil, 1.5 mm² to 300 mm²; 0 to 10 km; −50 °C to 150 °C.
/// # Outside
/// [`PowerError`].
/// # Assumes
/// Resistance by direct current up to 4/0 AWG, where skin effect is below the rounding of the table, by alternating
/// current above. A size without a reactance of its own takes that of the next smaller one, which is larger; metric sizes
/// take 0.08 Ω/km.
/// # Source
/// Chapter 9, Tables 8 and 9: seen in reprints. 0.08 mΩ/m where nothing is known: IEC 60364-5-52, Annex G, memory.
/// # Example
/// ```
/// use power::conductor_run::{ConductorRun, conductor_impedance};
/// use power::conductor_temperature::table_temperature;
/// use quantity::Length;
/// use tables::{conductor::ConductorMaterial, conductor_impedance::Surrounding};
/// let drop = ConductorRun {
///     size: "1/0 AWG".parse()?, material: ConductorMaterial::Aluminum, length: Length::from_feet(100.0),
///     surrounding: Surrounding::Nonmetallic, temperature: table_temperature(),
/// };
/// // Fact sheet, case SC4: 0.201 + j0.044 Ω per 1000 ft.
/// let found = conductor_impedance(&drop)?;
/// assert!((found.resistance.as_ohms() - 0.0201).abs() < 1e-9 && (found.reactance.as_ohms() - 0.0044).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn conductor_impedance(run: &ConductorRun) -> Result<Impedance, PowerError> {
    let length = in_range("length", run.length, Length::zero(), Length::from_meters(1e4))?;
    let direct = dc_resistance(run.size, run.material, Stranding::usual(run.size))?.value;
    let at_75c = if run.size.area() > LARGEST_BY_DIRECT_CURRENT.area() {
        // Where the table of impedance has no row, skin effect is left out.
        ac_impedance(run.size, run.material, run.surrounding).map_or(direct, |found| found.value.resistance)
    } else {
        direct
    };
    Ok(Impedance {
        resistance: resistance_at(at_75c, run.material, run.temperature)? * length,
        reactance: reactance(run) * length,
    })
}

/// Up to 4/0 AWG both resistances agree within the rounding of the table of impedance, which has two digits.
const LARGEST_BY_DIRECT_CURRENT: ConductorSize = ConductorSize::Awg(-3);

/// Reactance of building wire where no table has it, Ω/km.
const USUAL_REACTANCE_OHM_PER_KM: f64 = 0.08;

fn reactance(run: &ConductorRun) -> ReactancePerLength {
    let usual = ReactancePerLength::from_ohms_per_kilometer(USUAL_REACTANCE_OHM_PER_KM);
    if matches!(run.size, ConductorSize::SquareMillimeterTenths(_)) {
        return usual;
    }
    // Every conductor is tabulated in copper, whose reactance holds for aluminum of the same size too.
    tables::ampacity::sizes(ConductorMaterial::Copper)
        .filter(|size| size.area() <= run.size.area())
        .filter_map(|size| ac_impedance(size, ConductorMaterial::Copper, run.surrounding).ok())
        .next_back()
        .map_or(usual, |found| found.value.reactance)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::conductor_temperature::table_temperature;

    fn per_kft(size: &str, metal: ConductorMaterial) -> (f64, f64) {
        let found = conductor_impedance(&ConductorRun {
            size: size.parse().unwrap(),
            material: metal,
            length: Length::from_feet(1000.0),
            surrounding: Surrounding::Steel,
            temperature: table_temperature(),
        })
        .unwrap();
        (found.resistance.as_ohms(), found.reactance.as_ohms())
    }

    #[test]
    fn large_sizes_take_alternating_current() {
        let near = |found: (f64, f64), expected: (f64, f64)| {
            assert!(
                (found.0 - expected.0).abs() < 1e-9 && (found.1 - expected.1).abs() < 1e-9,
                "{found:?}"
            );
        };
        // Chapter 9, Tables 8 and 9: 4/0 by direct current, 500 kcmil by alternating, 700 kcmil has no row.
        near(per_kft("4/0 AWG", ConductorMaterial::Copper), (0.0608, 0.051));
        near(per_kft("500 kcmil", ConductorMaterial::Copper), (0.029, 0.048));
        near(per_kft("700 kcmil", ConductorMaterial::Aluminum), (0.0303, 0.048));
        let metric = per_kft("16 mm²", ConductorMaterial::Copper);
        assert!((metric.1 - 0.08 * 0.3048).abs() < 1e-9);
    }
}
