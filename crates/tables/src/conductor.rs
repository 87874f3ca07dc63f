//! Conductors: metal, stranding, area and resistance, from the conductor property table.
//!
//! In: a size and a metal. Out: area, direct-current resistance at 75 °C, constants of the metal.
//! Metric sizes get a resistance by the area law only. Impedance in conduit stands in
//! [`crate::conductor_impedance`]. Knows no ampacity and no run.

use crate::absent::Absent;
use crate::sourced::Sourced;
use crate::table::{Table, embedded};
use quantity::{Area, ConductorSize, ResistancePerLength};
use serde::Deserialize;
use std::fmt;
use std::sync::LazyLock;
use trace::Source;

/// Metal of a conductor.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ConductorMaterial {
    /// Copper, uncoated.
    Copper,
    /// Aluminum.
    Aluminum,
}

impl fmt::Display for ConductorMaterial {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Copper => "copper",
            Self::Aluminum => "aluminum",
        })
    }
}

/// Whether a conductor is one wire or many.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Stranding {
    /// One wire.
    Solid,
    /// Twisted from several.
    Stranded,
}

impl Stranding {
    /// As sold: solid up to 10 AWG, stranded from 8 AWG; metric sizes solid up to 4 mm². Common practice, no source.
    pub fn usual(size: ConductorSize) -> Self {
        let solid = match size {
            ConductorSize::Awg(gauge) => gauge >= 10,
            ConductorSize::Kcmil(_) => false,
            ConductorSize::SquareMillimeterTenths(tenths) => tenths <= 40,
        };
        if solid { Self::Solid } else { Self::Stranded }
    }
}

/// Constants of a conductor metal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Metal {
    /// Resistivity at 20 °C, Ω·mm²/m.
    pub resistivity_20c_ohm_mm2_per_m: f64,
    /// Temperature coefficient of resistance at 20 °C, 1/K.
    pub coefficient_20c_per_k: f64,
    /// Temperature coefficient of resistance at 75 °C, 1/K.
    pub coefficient_75c_per_k: f64,
    /// What the twist of strands multiplies resistance with.
    pub lay_factor: f64,
}

/// Direct-current resistance of one uncoated conductor at 75 °C.
///
/// Metric sizes: R′ = ρ20 · (1 + α20 · 55 K) · lay / A.
///
/// # Symbols
/// | here        | meaning                                          | unit    |
/// |-------------|--------------------------------------------------|---------|
/// | `size`      | conductor size                                   | –       |
/// | `material`  | metal                                            | –       |
/// | `stranding` | solid or stranded                                | –       |
/// | ρ20, α20    | resistivity and its coefficient at 20 °C         | Ω·mm²/m, 1/K |
/// | lay         | what the twist adds, 1 for solid                 | –       |
/// | A           | nominal metric area                              | mm²     |
/// | result      | resistance of one conductor over length          | Ω/m     |
///
/// # Valid
/// The table's sizes, 14 AWG to 500 kcmil; solid only up to 8 AWG; metric sizes 0.5 mm² to 1000 mm².
/// # Outside
/// [`Absent`].
/// # Assumes
/// Uncoated metal. A metric conductor may have less metal than its nominal area: the largest resistances that IEC 60228
/// allows (from memory) lie up to 8 % above the area law used here for 1.5 mm² to 25 mm², so the true drop may be that
/// much larger.
/// # Source
/// Chapter 9, Table 8: seen in two reprints that agree; metal constants as the table `conductor_metal` says.
/// # Example
/// ```
/// use tables::conductor::{ConductorMaterial, Stranding, dc_resistance};
/// let found = dc_resistance("8 AWG".parse()?, ConductorMaterial::Copper, Stranding::Stranded)?;
/// // Table 8 prints 0.778 ohm per 1000 ft.
/// assert!((found.value.as_ohms_per_thousand_feet() - 0.778).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn dc_resistance(
    size: ConductorSize,
    material: ConductorMaterial,
    stranding: Stranding,
) -> Result<Sourced<ResistancePerLength>, Absent> {
    if let ConductorSize::SquareMillimeterTenths(_) = size {
        let metal = metal(material);
        let lay = match stranding {
            Stranding::Solid => 1.0,
            Stranding::Stranded => metal.value.lay_factor,
        };
        let rise_to_75c_k = 75.0 - 20.0;
        let resistivity_75c = metal.value.resistivity_20c_ohm_mm2_per_m
            * (1.0 + metal.value.coefficient_20c_per_k * rise_to_75c_k);
        let ohm_per_m = resistivity_75c * lay / size.area().as_square_millimeters();
        return Ok(metal.map(|_| ResistancePerLength::from_ohms_per_meter(ohm_per_m)));
    }
    let row = DC
        .rows
        .iter()
        .find(|row| row.size == size && (row.strands == 1) == (stranding == Stranding::Solid))
        .ok_or_else(|| Absent::Row {
            table: "the table of conductor resistance",
            row: format!("{size}, {stranding:?}").to_lowercase(),
            fix: "take a size from 14 AWG to 500 kcmil; solid ones end at 8 AWG",
        })?;
    let ohm_per_kft = match material {
        ConductorMaterial::Copper => row.cu_uncoated_ohm_per_kft,
        ConductorMaterial::Aluminum => row.al_ohm_per_kft,
    };
    Ok(Sourced {
        value: ResistancePerLength::from_ohms_per_thousand_feet(ohm_per_kft),
        source: &DC.source,
    })
}

/// Metal cross-section as the conductor table prints it; the nominal area of a metric size.
///
/// The printed circular mils are rounded: rules that compare areas must allow for it.
pub fn metal_area(size: ConductorSize) -> Result<Area, Absent> {
    if let ConductorSize::SquareMillimeterTenths(_) = size {
        return Ok(size.area());
    }
    DC.rows
        .iter()
        .find(|row| row.size == size)
        .map(|row| Area::from_circular_mils(row.area_cmil))
        .ok_or_else(|| Absent::Row {
            table: "the table of conductor areas",
            row: size.to_string(),
            fix: "take a size from 14 AWG to 500 kcmil",
        })
}

/// Constants of the metal.
pub fn metal(material: ConductorMaterial) -> Sourced<Metal> {
    let constants = match material {
        ConductorMaterial::Copper => METALS.0,
        ConductorMaterial::Aluminum => METALS.1,
    };
    Sourced {
        value: constants,
        source: &METALS.2,
    }
}

#[derive(Debug, Deserialize)]
struct DcRow {
    size: ConductorSize,
    area_cmil: f64,
    strands: u8,
    cu_uncoated_ohm_per_kft: f64,
    al_ohm_per_kft: f64,
}

#[derive(Debug, Deserialize)]
struct MetalRow {
    material: ConductorMaterial,
    resistivity_20c_ohm_mm2_per_m: f64,
    coefficient_20c_per_k: f64,
    coefficient_75c_per_k: f64,
    lay_factor: f64,
}

static DC: LazyLock<Table<DcRow>> = LazyLock::new(|| {
    embedded(
        "conductor_dc_resistance",
        include_str!("../../../data/tables/electrical/conductor_dc_resistance.csv"),
    )
});

static METALS: LazyLock<(Metal, Metal, Source)> = LazyLock::new(|| {
    let table: Table<MetalRow> = embedded(
        "conductor_metal",
        include_str!("../../../data/tables/electrical/conductor_metal.csv"),
    );
    let of = |material| {
        let row = table.rows.iter().find(|row| row.material == material);
        // Caught by `both_metals_stand_in_the_file`.
        let row = row.unwrap_or_else(|| panic!("embedded table `conductor_metal`: no row {material}"));
        Metal {
            resistivity_20c_ohm_mm2_per_m: row.resistivity_20c_ohm_mm2_per_m,
            coefficient_20c_per_k: row.coefficient_20c_per_k,
            coefficient_75c_per_k: row.coefficient_75c_per_k,
            lay_factor: row.lay_factor,
        }
    };
    (
        of(ConductorMaterial::Copper),
        of(ConductorMaterial::Aluminum),
        table.source.clone(),
    )
});

#[cfg(test)]
mod tests {
    use super::*;

    const METALS_BOTH: [ConductorMaterial; 2] = [ConductorMaterial::Copper, ConductorMaterial::Aluminum];

    #[test]
    fn both_metals_stand_in_the_file() {
        // EC aluminum has 61 % of copper's conductivity (fact sheet, section 5, seen).
        let (copper, aluminum) = (metal(METALS_BOTH[0]).value, metal(METALS_BOTH[1]).value);
        let share = copper.resistivity_20c_ohm_mm2_per_m / aluminum.resistivity_20c_ohm_mm2_per_m;
        assert!((share - 0.61).abs() < 1e-4);
    }

    #[test]
    fn the_table_follows_the_gauge_law_and_the_metal() {
        // Independent: diameter law of ASTM B258 and the resistivity of the metal, brought to 75 °C. The fact sheet
        // finds agreement within rounding; strands add 2 %. 1.1 % covers three printed figures and the lay.
        for row in &DC.rows {
            for material in METALS_BOTH {
                let metal = metal(material).value;
                let resistivity =
                    metal.resistivity_20c_ohm_mm2_per_m * (1.0 + metal.coefficient_20c_per_k * 55.0);
                let lay = if row.strands == 1 { 1.0 } else { metal.lay_factor };
                let by_law = resistivity * lay / row.size.area().as_square_millimeters();
                let stranding = if row.strands == 1 {
                    Stranding::Solid
                } else {
                    Stranding::Stranded
                };
                let printed = dc_resistance(row.size, material, stranding).unwrap().value;
                let off = printed.as_ohms_per_meter() / by_law - 1.0;
                assert!(off.abs() < 0.011, "{} {material}: {off}", row.size);
            }
            let law = row.size.area().as_circular_mils();
            assert!((row.area_cmil / law - 1.0).abs() < 1e-3, "{}", row.size);
        }
    }

    #[test]
    fn a_larger_conductor_never_has_more_resistance() {
        for material in METALS_BOTH {
            let of = |rows: Vec<&DcRow>| {
                rows.iter()
                    .map(|row| match material {
                        ConductorMaterial::Copper => row.cu_uncoated_ohm_per_kft,
                        ConductorMaterial::Aluminum => row.al_ohm_per_kft,
                    })
                    .collect::<Vec<_>>()
            };
            let stranded = of(DC.rows.iter().filter(|row| row.strands > 1).collect());
            assert!(stranded.windows(2).all(|pair| pair[0] > pair[1]));
            let solid = of(DC.rows.iter().filter(|row| row.strands == 1).collect());
            assert!(solid.windows(2).all(|pair| pair[0] > pair[1]));
        }
    }

    #[test]
    fn metric_sizes_follow_the_area_law() {
        // IEC 60228 largest resistances at 20 °C, Ω/km, from memory; brought to 75 °C with the copper coefficient.
        for (size, largest_ohm_per_km) in [
            ("1.5 mm²", 12.1),
            ("2.5 mm²", 7.41),
            ("4 mm²", 4.61),
            ("6 mm²", 3.08),
            ("10 mm²", 1.83),
            ("16 mm²", 1.15),
        ] {
            let size: ConductorSize = size.parse().unwrap();
            let found = dc_resistance(size, ConductorMaterial::Copper, Stranding::usual(size)).unwrap();
            let at_20c = found.value.as_ohms_per_kilometer() / (1.0 + 0.00393 * 55.0);
            let below = largest_ohm_per_km / at_20c - 1.0;
            assert!((0.0..0.08).contains(&below), "{size}: {below}");
        }
    }

    #[test]
    fn what_is_not_tabulated_is_refused() {
        let refused = |size: &str, stranding| {
            dc_resistance(size.parse().unwrap(), ConductorMaterial::Copper, stranding).unwrap_err()
        };
        assert!(
            refused("6 AWG", Stranding::Solid)
                .to_string()
                .contains("`6 awg, solid`")
        );
        assert!(matches!(refused("18 AWG", Stranding::Solid), Absent::Row { .. }));
        assert!(matches!(
            refused("600 kcmil", Stranding::Stranded),
            Absent::Row { .. }
        ));
    }
}
