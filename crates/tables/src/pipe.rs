//! Pipe and tube: outside diameter, wall and bore by material and nominal size, and the properties of the wall.
//!
//! In: a material and a nominal size. Out: the published row with its source. Start at [`dimensions`].
//! Does not know lengths, flow or fittings. The bore of the plastics is the largest their tolerances allow (outside
//! diameter minus twice the minimum wall), 1 to 2 % wider than most tube; a job may give a measured bore instead.
//!
//! Known traps of the copper source, none of them carried over: wall 0.050 in for annealed 1-1/4 in type L, outside
//! diameter 6.625 in for 3-1/2 in, and a roughness of 0.002 ft. The tests recompute every printed weight from the
//! diameters, which is how such a slip would show.

use crate::row_source::row_source;
use crate::table::embedded;
use crate::unknown_size::UnknownSize;
use quantity::{Density, Length, PipeSize, SpecificHeat, ThermalConductivity, Volume};
use serde::Deserialize;
use std::fmt;
use std::sync::LazyLock;
use trace::{Source, SourceStatus};

/// What a pipe is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum PipeMaterial {
    /// Copper tube type K.
    CopperK,
    /// Copper tube type L.
    CopperL,
    /// Copper tube type M.
    CopperM,
    /// Cross-linked polyethylene, SDR-9.
    Pex,
    /// Chlorinated PVC, copper tube size, SDR-11.
    Cpvc,
}

impl PipeMaterial {
    /// All materials.
    pub const ALL: [Self; 5] = [Self::CopperK, Self::CopperL, Self::CopperM, Self::Pex, Self::Cpvc];
}

impl fmt::Display for PipeMaterial {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::CopperK => "copper type K",
            Self::CopperL => "copper type L",
            Self::CopperM => "copper type M",
            Self::Pex => "PEX",
            Self::Cpvc => "CPVC",
        })
    }
}

/// One size of one material.
#[derive(Debug, Clone, PartialEq)]
pub struct PipeDimensions {
    /// Material.
    pub material: PipeMaterial,
    /// Nominal size.
    pub size: PipeSize,
    /// Outside diameter.
    pub outside_diameter: Length,
    /// Wall: as drawn for copper, the least allowed for plastics.
    pub wall: Length,
    /// Volume per 100 ft as printed by the source, where it prints one.
    pub printed_volume_per_100_ft: Option<Volume>,
    /// Where the row comes from.
    pub source: Source,
}

impl PipeDimensions {
    /// Diameter of the bore.
    pub fn inside_diameter(&self) -> Length {
        self.outside_diameter - 2.0 * self.wall
    }
}

/// What the wall of a pipe is like.
#[derive(Debug, Clone, PartialEq)]
pub struct WallProperties {
    /// Material.
    pub material: PipeMaterial,
    /// Height of the equivalent sand roughness of the bore.
    pub roughness: Length,
    /// Density.
    pub density: Density,
    /// Specific heat.
    pub specific_heat: SpecificHeat,
    /// Thermal conductivity.
    pub conductivity: ThermalConductivity,
    /// Where the values come from.
    pub source: Source,
}

/// The dimensions of a material in a nominal size.
///
/// # Errors
/// When the table of the material has no such size; the error lists those it has.
///
/// ```
/// use tables::pipe::{PipeMaterial, dimensions};
/// let pipe = dimensions(PipeMaterial::CopperL, "3/4 in".parse()?)?;
/// // ASTM B88 type L: outside 0.875 in, wall 0.045 in, bore 0.785 in.
/// assert!((pipe.inside_diameter().as_inches() - 0.785).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn dimensions(material: PipeMaterial, size: PipeSize) -> Result<&'static PipeDimensions, UnknownSize> {
    DIMENSIONS
        .iter()
        .find(|row| row.material == material && row.size == size)
        .ok_or_else(|| UnknownSize {
            table: table_name(material),
            size,
            known: sizes(material).collect(),
        })
}

/// The nominal sizes a material's table has, smallest first.
pub fn sizes(material: PipeMaterial) -> impl Iterator<Item = PipeSize> {
    DIMENSIONS
        .iter()
        .filter(move |row| row.material == material)
        .map(|row| row.size)
}

/// The wall properties of a material.
///
/// # Panics
/// Never for a released build: a test reads the row of every material.
pub fn wall(material: PipeMaterial) -> &'static WallProperties {
    WALLS
        .iter()
        .find(|row| row.material == material)
        .expect("every material has a row: a test reads them all")
}

fn table_name(material: PipeMaterial) -> &'static str {
    match material {
        PipeMaterial::CopperK => "copper tube type K (ASTM B88)",
        PipeMaterial::CopperL => "copper tube type L (ASTM B88)",
        PipeMaterial::CopperM => "copper tube type M (ASTM B88)",
        PipeMaterial::Pex => "PEX tube (ASTM F876)",
        PipeMaterial::Cpvc => "CPVC tube (ASTM D2846)",
    }
}

#[derive(Deserialize)]
struct DimensionRow {
    material: PipeMaterial,
    size: PipeSize,
    outside_diameter_in: f64,
    wall_in: f64,
    #[serde(default)]
    printed_gal_per_100_ft: Option<f64>,
    #[serde(default)]
    status: Option<SourceStatus>,
}

#[derive(Deserialize)]
struct WallRow {
    material: PipeMaterial,
    roughness_mm: f64,
    density_lb_per_ft3: f64,
    specific_heat_btu_per_lb_f: f64,
    conductivity_btu_per_h_ft_f: f64,
    status: SourceStatus,
}

static DIMENSIONS: LazyLock<Vec<PipeDimensions>> = LazyLock::new(|| {
    let files = [
        ("copper_b88", COPPER),
        (
            "pex_f876",
            include_str!("../../../data/tables/water/pex_f876.csv"),
        ),
        (
            "cpvc_cts_d2846",
            include_str!("../../../data/tables/water/cpvc_cts_d2846.csv"),
        ),
    ];
    files
        .iter()
        .flat_map(|(name, text)| {
            let table = embedded::<DimensionRow>(name, text);
            let source = table.source;
            table.rows.into_iter().map(move |row| PipeDimensions {
                material: row.material,
                size: row.size,
                outside_diameter: Length::from_inches(row.outside_diameter_in),
                wall: Length::from_inches(row.wall_in),
                printed_volume_per_100_ft: row.printed_gal_per_100_ft.map(Volume::from_gallons),
                source: row_source(&source, row.status.unwrap_or(source.status)),
            })
        })
        .collect()
});

const COPPER: &str = include_str!("../../../data/tables/water/copper_b88.csv");

static WALLS: LazyLock<Vec<WallProperties>> = LazyLock::new(|| {
    let table = embedded::<WallRow>(
        "pipe_materials",
        include_str!("../../../data/tables/water/pipe_materials.csv"),
    );
    // 1728 in³ to the cubic foot, 231 in³ to the gallon.
    let gallons_per_cubic_foot = 1728.0 / 231.0;
    table
        .rows
        .iter()
        .map(|row| WallProperties {
            material: row.material,
            roughness: Length::from_millimeters(row.roughness_mm),
            density: Density::from_pounds_per_gallon(row.density_lb_per_ft3 / gallons_per_cubic_foot),
            specific_heat: SpecificHeat::from_btu_per_pound_fahrenheit(row.specific_heat_btu_per_lb_f),
            conductivity: ThermalConductivity::from_btu_per_hour_foot_fahrenheit(
                row.conductivity_btu_per_h_ft_f,
            ),
            source: row_source(&table.source, row.status),
        })
        .collect()
});

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_material_loads_and_sizes_grow() {
        for material in PipeMaterial::ALL {
            assert_eq!(wall(material).material, material);
            let bores: Vec<f64> = sizes(material)
                .map(|size| dimensions(material, size).unwrap().inside_diameter().as_inches())
                .collect();
            assert!(bores.len() >= 6, "{material}");
            assert!(
                bores[0] > 0.0 && bores.windows(2).all(|pair| pair[0] < pair[1]),
                "{material}"
            );
        }
    }

    #[test]
    fn copper_outside_is_the_nominal_size_plus_an_eighth() {
        // The rule of ASTM B88 water tube: outside diameter is nominal plus 1/8 in. It catches a slipped row.
        for material in [
            PipeMaterial::CopperK,
            PipeMaterial::CopperL,
            PipeMaterial::CopperM,
        ] {
            for size in sizes(material) {
                let PipeSize::InchEighths(eighths) = size else {
                    panic!("inch sizes only")
                };
                let outside = dimensions(material, size).unwrap().outside_diameter.as_inches();
                assert!((outside - f64::from(eighths + 1) / 8.0).abs() < 1e-9, "{size}");
            }
        }
    }

    #[test]
    fn copper_weights_follow_from_the_diameters() {
        #[derive(Deserialize)]
        struct Weight {
            material: PipeMaterial,
            size: PipeSize,
            #[serde(rename = "weight_lb_per_ft")]
            lb_per_ft: f64,
        }
        // ASTM B88 prints the weight beside the diameters; density 558 lb/ft³. The printed weights have three figures.
        for row in embedded::<Weight>("copper_b88", COPPER).rows {
            let pipe = dimensions(row.material, row.size).unwrap();
            let (outside, inside) = (pipe.outside_diameter.as_feet(), pipe.inside_diameter().as_feet());
            let metal_ft3_per_ft = std::f64::consts::FRAC_PI_4 * (outside * outside - inside * inside);
            let weight = metal_ft3_per_ft * 558.0;
            assert!(
                (weight / row.lb_per_ft - 1.0).abs() < 0.01,
                "{} {}: {weight}",
                row.material,
                row.size
            );
        }
    }

    #[test]
    fn printed_pex_volumes_are_a_little_below_the_computed() {
        // The source prints 0.5, 0.92, 1.34, 1.83, 3.03 gal per 100 ft; the handbook says 3 to 5 % below the bore here.
        let mut compared = 0;
        for size in sizes(PipeMaterial::Pex) {
            let pipe = dimensions(PipeMaterial::Pex, size).unwrap();
            let bore = pipe.inside_diameter();
            let volume = Length::from_feet(100.0) * (bore * bore) * std::f64::consts::FRAC_PI_4;
            if let Some(printed) = pipe.printed_volume_per_100_ft {
                let ratio = printed / volume;
                assert!((0.94..0.98).contains(&ratio), "{size}: {ratio}");
                compared += 1;
            }
        }
        assert_eq!(compared, 5);
    }

    #[test]
    fn an_unknown_size_lists_the_known() {
        let error = dimensions(PipeMaterial::Cpvc, "22 mm".parse().unwrap()).unwrap_err();
        assert_eq!(
            error.to_string(),
            "CPVC tube (ASTM D2846) has no row for `22 mm`; it has 1/2 in, 3/4 in, 1 in, 1-1/4 in, 1-1/2 in, 2 in"
        );
    }

    #[test]
    fn rows_from_memory_say_so() {
        let status = |text: &str| {
            dimensions(PipeMaterial::Pex, text.parse().unwrap())
                .unwrap()
                .source
                .status
        };
        assert_eq!(status("3/4 in"), SourceStatus::Seen);
        assert_eq!(status("1-1/4 in"), SourceStatus::Memory);
    }
}
