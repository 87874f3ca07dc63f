//! Ampacity: base values by temperature column, correction for ambient, adjustment for bundling.
//!
//! In: size, metal, column; ambient; number of current-carrying conductors; edition (for the article cited). Out: the
//! published value or factor with its source. The method that combines them stands in the power engine.
//! Stepping is to the cautious side: an ambient between two rows takes the hotter row. Nothing is extrapolated.

use crate::absent::Absent;
use crate::conductor::ConductorMaterial;
use crate::nec::{NecEdition, Topic, cite};
use crate::sourced::Sourced;
use crate::table::{Table, embedded};
use quantity::{ConductorSize, Current, Ratio, Temperature};
use serde::Deserialize;
use std::fmt;
use std::sync::LazyLock;
use trace::SourceStatus;

/// Temperature column of the ampacity table: what insulation, terminal or cable may reach. Coolest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum TemperatureColumn {
    /// 60 °C.
    C60,
    /// 75 °C.
    C75,
    /// 90 °C.
    C90,
}

impl TemperatureColumn {
    /// All, coolest first.
    pub const ALL: [Self; 3] = [Self::C60, Self::C75, Self::C90];

    /// The marking in whole degrees Celsius.
    pub fn marking_c(self) -> u8 {
        match self {
            Self::C60 => 60,
            Self::C75 => 75,
            Self::C90 => 90,
        }
    }

    /// The column of a marking in whole degrees Celsius.
    pub fn from_marking_c(marking: u8) -> Option<Self> {
        Self::ALL.into_iter().find(|column| column.marking_c() == marking)
    }

    /// The temperature itself.
    pub fn temperature(self) -> Temperature {
        Temperature::from_celsius(f64::from(self.marking_c()))
    }
}

impl fmt::Display for TemperatureColumn {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} °C column", self.marking_c())
    }
}

/// The ambient temperature of the base table.
pub const BASE_AMBIENT_C: f64 = 30.0;

/// Ampacity at 30 °C ambient with not more than three current-carrying conductors.
///
/// ```
/// use tables::ampacity::{TemperatureColumn, base_ampacity};
/// use tables::conductor::ConductorMaterial;
/// use tables::nec::NecEdition;
/// let found = base_ampacity(
///     "8 AWG".parse()?, ConductorMaterial::Copper, TemperatureColumn::C90, NecEdition::Nec2023)?;
/// // Table 310.16 prints 55 A.
/// assert!((found.value.as_amperes() - 55.0).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn base_ampacity(
    size: ConductorSize,
    material: ConductorMaterial,
    column: TemperatureColumn,
    edition: NecEdition,
) -> Result<Sourced<Current>, Absent> {
    if let ConductorSize::SquareMillimeterTenths(_) = size {
        return Err(Absent::MetricAmpacity { size });
    }
    let table = "the ampacity table";
    let row = BASE
        .rows
        .iter()
        .find(|row| row.size == size)
        .ok_or_else(|| Absent::Row {
            table,
            row: size.to_string(),
            fix: "take a size from 14 AWG to 750 kcmil",
        })?;
    let amperes = row.amperes(material, column).ok_or_else(|| Absent::Cell {
        table,
        row: size.to_string(),
        column: format!("{material}, {column}"),
        fix: "take 12 AWG or larger for aluminum",
    })?;
    Ok(Sourced {
        value: Current::from_amperes(amperes),
        source: cite(Topic::Ampacity, edition, BASE.source.status),
    })
}

/// The sizes that have an ampacity in that metal, smallest first.
pub fn sizes(material: ConductorMaterial) -> impl DoubleEndedIterator<Item = ConductorSize> {
    BASE.rows
        .iter()
        .filter(move |row| row.amperes(material, TemperatureColumn::C60).is_some())
        .map(|row| row.size)
}

/// What the base ampacity is multiplied by for the ambient temperature.
///
/// Between two rows the hotter one holds. Below the first row its factor holds, which is the smaller side.
pub fn ambient_correction(
    ambient: Temperature,
    column: TemperatureColumn,
    edition: NecEdition,
) -> Result<Sourced<Ratio>, Absent> {
    let table = "the table of ambient correction";
    let ambient_c = ambient.as_celsius();
    let shown = || format!("{ambient_c:.1} °C");
    // A NaN fails every comparison and ends here as an absent row.
    let row = AMBIENT
        .rows
        .iter()
        .find(|row| ambient_c <= row.ambient_high_c + READING_SLACK_K)
        .ok_or_else(|| Absent::Row {
            table,
            row: shown(),
            fix: "route the run through a cooler space",
        })?;
    let factor = match column {
        TemperatureColumn::C60 => row.factor_60c,
        TemperatureColumn::C75 => row.factor_75c,
        TemperatureColumn::C90 => row.factor_90c,
    };
    let factor = factor.ok_or_else(|| Absent::Cell {
        table,
        row: shown(),
        column: column.to_string(),
        fix: "take a conductor with a hotter insulation rating, or a cooler space",
    })?;
    Ok(Sourced {
        value: Ratio::from_fraction(factor),
        source: cite(Topic::AmbientCorrection, edition, row.status),
    })
}

/// What the ampacity is multiplied by for the number of current-carrying conductors lying together.
pub fn bundling_adjustment(current_carrying: u16, edition: NecEdition) -> Result<Sourced<Ratio>, Absent> {
    let row = BUNDLING
        .rows
        .iter()
        .find(|row| {
            current_carrying >= row.conductors_low
                && row.conductors_high.is_none_or(|high| current_carrying <= high)
        })
        .ok_or_else(|| Absent::Row {
            table: "the table of adjustment for bundling",
            row: current_carrying.to_string(),
            fix: "a run has at least one current-carrying conductor",
        })?;
    Ok(Sourced {
        value: Ratio::from_fraction(row.factor),
        source: cite(Topic::BundlingAdjustment, edition, BUNDLING.source.status),
    })
}

/// A temperature entered in °F and kept in kelvins comes back as 50.000 000 000 01 °C; that is still the 50 °C row.
const READING_SLACK_K: f64 = 1e-6;

#[derive(Debug, Deserialize)]
struct BaseRow {
    size: ConductorSize,
    cu_60c_a: f64,
    cu_75c_a: f64,
    cu_90c_a: f64,
    al_60c_a: Option<f64>,
    al_75c_a: Option<f64>,
    al_90c_a: Option<f64>,
}

impl BaseRow {
    fn amperes(&self, material: ConductorMaterial, column: TemperatureColumn) -> Option<f64> {
        match (material, column) {
            (ConductorMaterial::Copper, TemperatureColumn::C60) => Some(self.cu_60c_a),
            (ConductorMaterial::Copper, TemperatureColumn::C75) => Some(self.cu_75c_a),
            (ConductorMaterial::Copper, TemperatureColumn::C90) => Some(self.cu_90c_a),
            (ConductorMaterial::Aluminum, TemperatureColumn::C60) => self.al_60c_a,
            (ConductorMaterial::Aluminum, TemperatureColumn::C75) => self.al_75c_a,
            (ConductorMaterial::Aluminum, TemperatureColumn::C90) => self.al_90c_a,
        }
    }
}

#[derive(Debug, Deserialize)]
struct AmbientRow {
    ambient_high_c: f64,
    factor_60c: Option<f64>,
    factor_75c: Option<f64>,
    factor_90c: Option<f64>,
    status: SourceStatus,
}

#[derive(Debug, Deserialize)]
struct BundlingRow {
    conductors_low: u16,
    conductors_high: Option<u16>,
    factor: f64,
}

static BASE: LazyLock<Table<BaseRow>> = LazyLock::new(|| {
    embedded(
        "ampacity",
        include_str!("../../../data/tables/electrical/ampacity.csv"),
    )
});

static AMBIENT: LazyLock<Table<AmbientRow>> = LazyLock::new(|| {
    embedded(
        "ambient_correction",
        include_str!("../../../data/tables/electrical/ambient_correction.csv"),
    )
});

static BUNDLING: LazyLock<Table<BundlingRow>> = LazyLock::new(|| {
    embedded(
        "bundling_adjustment",
        include_str!("../../../data/tables/electrical/bundling_adjustment.csv"),
    )
});

#[cfg(test)]
mod tests {
    use super::*;

    const EDITION: NecEdition = NecEdition::Nec2020;

    #[test]
    fn larger_conductors_and_hotter_columns_carry_more() {
        for material in [ConductorMaterial::Copper, ConductorMaterial::Aluminum] {
            let of = |size, column| base_ampacity(size, material, column, EDITION).unwrap().value;
            let sizes: Vec<_> = sizes(material).collect();
            for pair in sizes.windows(2) {
                assert!(pair[0].area() < pair[1].area());
                for column in TemperatureColumn::ALL {
                    assert!(of(pair[0], column) < of(pair[1], column), "{} {column}", pair[0]);
                }
            }
            for size in sizes {
                let columns = TemperatureColumn::ALL.map(|column| of(size, column));
                assert!(columns.is_sorted(), "{size}");
            }
        }
    }

    #[test]
    fn ambient_factors_follow_the_heat_balance() {
        // Independent: sqrt((Tc − Ta)/(Tc − 30)) at the hot end of each row (formula from memory, fact sheet section 1);
        // the table rounds to two digits.
        for row in AMBIENT.rows.iter().filter(|row| row.ambient_high_c >= 10.0) {
            for column in TemperatureColumn::ALL {
                let limit_c = f64::from(column.marking_c());
                let Ok(found) =
                    ambient_correction(Temperature::from_celsius(row.ambient_high_c), column, EDITION)
                else {
                    assert!(
                        row.ambient_high_c > limit_c - 6.0,
                        "{column} at {}",
                        row.ambient_high_c
                    );
                    continue;
                };
                let law = ((limit_c - row.ambient_high_c) / (limit_c - BASE_AMBIENT_C)).sqrt();
                let off = (found.value.as_fraction() - law).abs();
                assert!(off < 0.0051, "{column} at {} °C: {off}", row.ambient_high_c);
            }
        }
    }

    #[test]
    fn rows_leave_no_gap_and_never_rise() {
        assert!(
            AMBIENT
                .rows
                .is_sorted_by(|a, b| a.ambient_high_c < b.ambient_high_c)
        );
        for column in TemperatureColumn::ALL {
            let factors: Vec<f64> = (-200..900)
                .map_while(|tenths| {
                    let ambient = Temperature::from_celsius(f64::from(tenths) / 10.0);
                    ambient_correction(ambient, column, EDITION).ok()
                })
                .map(|found| found.value.as_fraction())
                .collect();
            assert!(factors.is_sorted_by(|a, b| a >= b));
            assert!(factors.len() > 700);
        }
        let mut previous = f64::INFINITY;
        for count in 1..200 {
            let factor = bundling_adjustment(count, EDITION).unwrap().value.as_fraction();
            assert!(factor <= previous);
            previous = factor;
        }
        assert!(bundling_adjustment(0, EDITION).is_err());
    }

    #[test]
    fn between_two_rows_the_hotter_one_holds() {
        let factor = |ambient_c| {
            ambient_correction(
                Temperature::from_celsius(ambient_c),
                TemperatureColumn::C90,
                EDITION,
            )
            .unwrap()
            .value
            .as_fraction()
        };
        assert!((factor(30.0) - 1.0).abs() < 1e-12);
        assert!((factor(30.4) - 0.96).abs() < 1e-12 && (factor(31.0) - 0.96).abs() < 1e-12);
        // 122 °F is 50 °C.
        let fahrenheit = ambient_correction(
            Temperature::from_fahrenheit(122.0),
            TemperatureColumn::C90,
            EDITION,
        );
        assert!((fahrenheit.unwrap().value.as_fraction() - 0.82).abs() < 1e-12);
    }

    #[test]
    fn what_is_not_tabulated_is_refused() {
        let metric = base_ampacity(
            "6 mm²".parse().unwrap(),
            ConductorMaterial::Copper,
            TemperatureColumn::C60,
            EDITION,
        );
        assert!(matches!(metric, Err(Absent::MetricAmpacity { .. })));
        let hot = ambient_correction(Temperature::from_celsius(57.0), TemperatureColumn::C60, EDITION);
        assert!(matches!(hot, Err(Absent::Cell { .. })));
        let nan = ambient_correction(
            Temperature::from_celsius(f64::NAN),
            TemperatureColumn::C60,
            EDITION,
        );
        assert!(matches!(nan, Err(Absent::Row { .. })));
        let small = base_ampacity(
            "14 AWG".parse().unwrap(),
            ConductorMaterial::Aluminum,
            TemperatureColumn::C60,
            EDITION,
        );
        assert!(matches!(small, Err(Absent::Cell { .. })));
    }
}
