//! Conductors: metal, stranding, area and resistance, from the conductor property table.
//!
//! In: a size and a metal. Out: area, direct-current resistance at 75 °C, constants of the metal.
//! Metric sizes take the largest resistance that their own standard allows. Impedance in conduit stands in
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
/// Metric sizes: R′ = R′20 · (1 + α20 · 55 K).
///
/// # Symbols
/// | here        | meaning                                          | unit    |
/// |-------------|--------------------------------------------------|---------|
/// | `size`      | conductor size                                   | –       |
/// | `material`  | metal                                            | –       |
/// | `stranding` | solid or stranded                                | –       |
/// | R′20        | largest resistance of a metric size at 20 °C     | Ω/m     |
/// | α20         | temperature coefficient at 20 °C                 | 1/K     |
/// | result      | resistance of one conductor over length          | Ω/m     |
///
/// # Valid
/// The tables' sizes: 14 AWG to 750 kcmil, solid only up to 8 AWG; 1.5 mm² to 300 mm², aluminum from 10 mm².
/// # Outside
/// [`Absent`].
/// # Assumes
/// Uncoated metal. A metric conductor may have less metal than its nominal area, so the largest resistance that its
/// standard allows is taken, up to 8 % above what the nominal area would have; solid and stranded are alike there.
/// # Source
/// Chapter 9, Table 8: seen in reprints; IEC 60228, Tables 1 and 2: seen in two reprints that agree; metal constants as
/// the table `conductor_metal` says.
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
        return metric_resistance(size, material);
    }
    let row = DC
        .rows
        .iter()
        .find(|row| row.size == size && (row.strands == 1) == (stranding == Stranding::Solid))
        .ok_or_else(|| Absent::Row {
            table: "the table of conductor resistance",
            row: format!("{size}, {stranding:?}").to_lowercase(),
            fix: "take a size from 14 AWG to 750 kcmil; solid ones end at 8 AWG",
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
            fix: "take a size from 14 AWG to 750 kcmil",
        })
}

fn metric_resistance(
    size: ConductorSize,
    material: ConductorMaterial,
) -> Result<Sourced<ResistancePerLength>, Absent> {
    let row = METRIC.rows.iter().find(|row| row.size == size);
    let ohm_per_km = row.and_then(|row| match material {
        ConductorMaterial::Copper => Some(row.copper_ohm_per_km),
        ConductorMaterial::Aluminum => row.aluminum_ohm_per_km,
    });
    let ohm_per_km = ohm_per_km.ok_or_else(|| Absent::Row {
        table: "the table of metric conductor resistance",
        row: format!("{size}, {material}"),
        fix: "take a size from 1.5 mm² to 300 mm², aluminum from 10 mm²",
    })?;
    let rise_to_75c_k = 75.0 - 20.0;
    let warmer = 1.0 + metal(material).value.coefficient_20c_per_k * rise_to_75c_k;
    Ok(Sourced {
        value: ResistancePerLength::from_ohms_per_kilometer(ohm_per_km * warmer),
        source: &METRIC.source,
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
struct MetricRow {
    size: ConductorSize,
    copper_ohm_per_km: f64,
    aluminum_ohm_per_km: Option<f64>,
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

static METRIC: LazyLock<Table<MetricRow>> = LazyLock::new(|| {
    embedded(
        "conductor_metric_resistance",
        include_str!("../../../data/tables/electrical/conductor_metric_resistance.csv"),
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
    fn metric_sizes_lie_a_little_above_the_area_law() {
        // Independent: resistivity over nominal area. IEC 60228 allows up to 8 % more, the most for small sizes, and
        // never less than 0.5 % below, where a nominal area is rounded.
        for row in &METRIC.rows {
            for material in METALS_BOTH {
                let Ok(found) = dc_resistance(row.size, material, Stranding::usual(row.size)) else {
                    assert!(row.aluminum_ohm_per_km.is_none() && material == ConductorMaterial::Aluminum);
                    continue;
                };
                let metal = metal(material).value;
                let resistivity =
                    metal.resistivity_20c_ohm_mm2_per_m * (1.0 + metal.coefficient_20c_per_k * 55.0);
                let by_area = resistivity / row.size.area().as_square_millimeters();
                let above = found.value.as_ohms_per_meter() / by_area - 1.0;
                assert!(
                    (-0.005..0.14).contains(&above),
                    "{} {material}: {above}",
                    row.size
                );
            }
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
            refused("1000 kcmil", Stranding::Stranded),
            Absent::Row { .. }
        ));
    }
}
