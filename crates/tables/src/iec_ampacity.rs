//! Ampacity of metric conductors: base values by installation method, correction for ambient, reduction for grouping.
//!
//! In: insulation, loaded conductors, metal, size, method; ambient; circuits bunched. Out: the published value or factor
//! with its source. Stepping is to the cautious side, as in [`crate::ampacity`]. Direct burial and free air are not
//! carried, and say so when asked for.

use crate::absent::Absent;
use crate::conductor::ConductorMaterial;
use crate::sourced::Sourced;
use crate::table::{Table, embedded};
use quantity::{ConductorSize, Current, Ratio, Temperature};
use serde::Deserialize;
use std::fmt;
use std::sync::LazyLock;

/// Insulation, by the temperature the conductor may reach.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Insulation {
    /// Thermoplastic, 70 °C.
    Pvc,
    /// Cross-linked or rubber, 90 °C.
    Xlpe,
}

impl Insulation {
    /// The temperature the conductor may reach.
    pub fn temperature(self) -> Temperature {
        Temperature::from_celsius(match self {
            Self::Pvc => 70.0,
            Self::Xlpe => 90.0,
        })
    }
}

/// Reference method of installation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum InstallationMethod {
    /// Single conductors in conduit in a thermally insulating wall.
    A1,
    /// Multicore cable in conduit in a thermally insulating wall.
    A2,
    /// Single conductors in conduit on or in a wall.
    B1,
    /// Multicore cable in conduit on or in a wall.
    B2,
    /// Cable clipped to a wall.
    C,
    /// Cable in a duct in the ground.
    D1,
}

impl InstallationMethod {
    /// All that are carried.
    pub const ALL: [Self; 6] = [Self::A1, Self::A2, Self::B1, Self::B2, Self::C, Self::D1];

    /// In the ground.
    pub fn is_buried(self) -> bool {
        self == Self::D1
    }

    /// The ambient temperature its ampacities are printed for.
    pub fn base_ambient(self) -> Temperature {
        Temperature::from_celsius(if self.is_buried() { 20.0 } else { 30.0 })
    }
}

impl fmt::Display for InstallationMethod {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{self:?}")
    }
}

/// Ampacity at the method's base ambient, one circuit alone.
///
/// ```
/// use tables::conductor::ConductorMaterial;
/// use tables::iec_ampacity::{Insulation, InstallationMethod, iec_ampacity};
/// let found = iec_ampacity(
///     "6 mm²".parse()?, ConductorMaterial::Copper, Insulation::Pvc, 2, InstallationMethod::C)?;
/// // IEC 60364-5-52, Table B.52.2: 46 A.
/// assert!((found.value.as_amperes() - 46.0).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn iec_ampacity(
    size: ConductorSize,
    material: ConductorMaterial,
    insulation: Insulation,
    loaded: u8,
    method: InstallationMethod,
) -> Result<Sourced<Current>, Absent> {
    let row = BASE
        .rows
        .iter()
        .find(|row| row.of(material, insulation, loaded) && row.size == size)
        .ok_or_else(|| Absent::Row {
            table: "the table of metric ampacity",
            row: format!("{size}, {material}, {loaded} loaded conductors"),
            fix: "take a size from 1.5 mm² (copper) or 2.5 mm² (aluminum) to 300 mm² with two or three loaded conductors",
        })?;
    Ok(Sourced {
        value: Current::from_amperes(row.amperes(method)),
        source: &BASE.source,
    })
}

/// The metric sizes that have an ampacity in that metal and are made in it, smallest first.
pub fn iec_sizes(material: ConductorMaterial) -> impl Iterator<Item = ConductorSize> {
    BASE.rows
        .iter()
        .filter(move |row| row.of(material, Insulation::Pvc, 2))
        .map(|row| row.size)
        .filter(move |size| {
            crate::conductor::dc_resistance(*size, material, crate::conductor::Stranding::usual(*size))
                .is_ok()
        })
}

/// What the ampacity is multiplied by for the ambient temperature of air or ground.
pub fn iec_ambient_factor(
    ambient: Temperature,
    insulation: Insulation,
    method: InstallationMethod,
) -> Result<Sourced<Ratio>, Absent> {
    let ambient_c = ambient.as_celsius();
    // A NaN fails every comparison and ends here as an absent row.
    let row = AMBIENT
        .rows
        .iter()
        .find(|row| ambient_c <= row.ambient_c + READING_SLACK_K)
        .ok_or_else(|| Absent::Row {
            table: "the table of ambient correction for metric sizes",
            row: format!("{ambient_c:.1} °C"),
            fix: "route the run through a cooler place",
        })?;
    let factor = match (insulation, method.is_buried()) {
        (Insulation::Pvc, false) => row.pvc_air,
        (Insulation::Xlpe, false) => row.xlpe_air,
        (Insulation::Pvc, true) => row.pvc_ground,
        (Insulation::Xlpe, true) => row.xlpe_ground,
    };
    Ok(Sourced {
        value: Ratio::from_fraction(factor),
        source: &AMBIENT.source,
    })
}

/// What the ampacity is multiplied by for circuits bunched together.
pub fn iec_grouping_factor(circuits: u16) -> Result<Sourced<Ratio>, Absent> {
    GROUPING
        .rows
        .iter()
        .find(|row| circuits >= 1 && circuits <= row.circuits)
        .map(|row| Sourced {
            value: Ratio::from_fraction(row.factor),
            source: &GROUPING.source,
        })
        .ok_or_else(|| Absent::Row {
            table: "the table of grouping for metric sizes",
            row: circuits.to_string(),
            fix: "it covers 1 to 20 circuits together; space them apart",
        })
}

/// A temperature entered in °F and kept in kelvins comes back with a last digit off; that is still its row.
const READING_SLACK_K: f64 = 1e-6;

#[derive(Debug, Deserialize)]
struct BaseRow {
    insulation: Insulation,
    loaded: u8,
    material: ConductorMaterial,
    size: ConductorSize,
    a1_a: f64,
    a2_a: f64,
    b1_a: f64,
    b2_a: f64,
    c_a: f64,
    d1_a: f64,
}

impl BaseRow {
    fn of(&self, material: ConductorMaterial, insulation: Insulation, loaded: u8) -> bool {
        self.material == material && self.insulation == insulation && self.loaded == loaded
    }

    fn amperes(&self, method: InstallationMethod) -> f64 {
        match method {
            InstallationMethod::A1 => self.a1_a,
            InstallationMethod::A2 => self.a2_a,
            InstallationMethod::B1 => self.b1_a,
            InstallationMethod::B2 => self.b2_a,
            InstallationMethod::C => self.c_a,
            InstallationMethod::D1 => self.d1_a,
        }
    }
}

#[derive(Debug, Deserialize)]
struct AmbientRow {
    ambient_c: f64,
    pvc_air: f64,
    xlpe_air: f64,
    pvc_ground: f64,
    xlpe_ground: f64,
}

#[derive(Debug, Deserialize)]
struct GroupingRow {
    circuits: u16,
    factor: f64,
}

static BASE: LazyLock<Table<BaseRow>> = LazyLock::new(|| {
    embedded(
        "iec_ampacity",
        include_str!("../../../data/tables/electrical/iec_ampacity.csv"),
    )
});

static AMBIENT: LazyLock<Table<AmbientRow>> = LazyLock::new(|| {
    embedded(
        "iec_ambient",
        include_str!("../../../data/tables/electrical/iec_ambient.csv"),
    )
});

static GROUPING: LazyLock<Table<GroupingRow>> = LazyLock::new(|| {
    embedded(
        "iec_grouping",
        include_str!("../../../data/tables/electrical/iec_grouping.csv"),
    )
});

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn larger_conductors_fewer_loads_and_better_insulation_carry_more() {
        let of = |size, metal, insulation, loaded, method| {
            iec_ampacity(size, metal, insulation, loaded, method)
                .unwrap()
                .value
        };
        for metal in [ConductorMaterial::Copper, ConductorMaterial::Aluminum] {
            let sizes: Vec<_> = iec_sizes(metal).collect();
            assert!(sizes.len() > 10);
            for method in InstallationMethod::ALL {
                for pair in sizes.windows(2) {
                    for insulation in [Insulation::Pvc, Insulation::Xlpe] {
                        for loaded in [2, 3] {
                            let (small, large) = (
                                of(pair[0], metal, insulation, loaded, method),
                                of(pair[1], metal, insulation, loaded, method),
                            );
                            assert!(small < large, "{} {method}", pair[0]);
                        }
                    }
                    let two = of(pair[0], metal, Insulation::Pvc, 2, method);
                    assert!(two > of(pair[0], metal, Insulation::Pvc, 3, method));
                    assert!(two < of(pair[0], metal, Insulation::Xlpe, 2, method));
                }
            }
        }
    }

    #[test]
    fn aluminum_follows_the_square_root_of_conductivity() {
        // Independent: equal loss at equal size, so the current goes with the root of conductivity: √0.61 = 0.781.
        // The printed ratios stray from 0.73 (clipped, where shaped conductors are taken) to 0.83 (rounding of small ones).
        for size in iec_sizes(ConductorMaterial::Aluminum) {
            for method in InstallationMethod::ALL {
                let of = |metal| {
                    iec_ampacity(size, metal, Insulation::Pvc, 3, method)
                        .unwrap()
                        .value
                        .as_amperes()
                };
                let ratio = of(ConductorMaterial::Aluminum) / of(ConductorMaterial::Copper);
                assert!((0.73..0.83).contains(&ratio), "{size} {method}: {ratio}");
            }
        }
    }

    #[test]
    fn ambient_factors_follow_the_heat_balance() {
        // Independent: √((Tc − Ta)/(Tc − T0)); the table rounds to two digits.
        for row in &AMBIENT.rows {
            for insulation in [Insulation::Pvc, Insulation::Xlpe] {
                for method in [InstallationMethod::C, InstallationMethod::D1] {
                    let limit_c = insulation.temperature().as_celsius();
                    let law =
                        ((limit_c - row.ambient_c) / (limit_c - method.base_ambient().as_celsius())).sqrt();
                    let ambient = Temperature::from_celsius(row.ambient_c);
                    let found = iec_ambient_factor(ambient, insulation, method).unwrap();
                    assert!(
                        (found.value.as_fraction() - law).abs() < 0.0061,
                        "{insulation:?} {method} {} °C",
                        row.ambient_c
                    );
                }
            }
        }
    }

    #[test]
    fn what_is_not_tabulated_is_refused() {
        let nec = iec_ampacity(
            "6 AWG".parse().unwrap(),
            ConductorMaterial::Copper,
            Insulation::Pvc,
            2,
            InstallationMethod::C,
        );
        assert!(nec.unwrap_err().to_string().contains("6 AWG"));
        assert!(iec_grouping_factor(0).is_err() && iec_grouping_factor(21).is_err());
        let hot = iec_ambient_factor(
            Temperature::from_celsius(61.0),
            Insulation::Pvc,
            InstallationMethod::C,
        );
        assert!(hot.is_err());
        // Ten circuits take the row of twelve.
        assert!((iec_grouping_factor(10).unwrap().value.as_fraction() - 0.45).abs() < 1e-12);
    }
}
