//! Raceways and boxes: inside areas, conductor areas, shares that may be filled, box volumes.
//!
//! In: a raceway and trade size, a conductor size, a number of conductors. Out: the published area, share or volume.
//! The fill itself is worked out in the power engine.

use crate::absent::Absent;
use crate::nec::{NecEdition, Topic, cite};
use crate::row_source::row_source;
use crate::sourced::Sourced;
use crate::table::{Table, embedded};
use quantity::{Area, ConductorSize, Length, Ratio, Volume};
use serde::Deserialize;
use std::fmt;
use std::sync::LazyLock;
use trace::{Source, SourceStatus};

/// A raceway.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize)]
pub enum Raceway {
    /// Electrical metallic tubing.
    #[serde(rename = "EMT")]
    Emt,
    /// Rigid PVC conduit, schedule 40.
    #[serde(rename = "PVC 40")]
    Pvc40,
    /// Rigid PVC conduit, schedule 80.
    #[serde(rename = "PVC 80")]
    Pvc80,
}

impl fmt::Display for Raceway {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Emt => "EMT",
            Self::Pvc40 => "PVC schedule 40",
            Self::Pvc80 => "PVC schedule 80",
        })
    }
}

/// One trade size of a raceway.
#[derive(Debug, Clone, PartialEq)]
pub struct RacewaySize {
    /// The raceway.
    pub raceway: Raceway,
    /// Its trade size, as written: "1-1/4".
    pub trade_size: String,
    /// Inside diameter.
    pub inside_diameter: Length,
    /// Whole inside area.
    pub total_area: Area,
    /// Where it comes from.
    pub source: Source,
}

/// The trade sizes of a raceway, smallest first.
pub fn raceway_sizes(raceway: Raceway) -> impl DoubleEndedIterator<Item = &'static RacewaySize> {
    RACEWAYS.iter().filter(move |size| size.raceway == raceway)
}

/// Outside area of one THHN/THWN-2 conductor.
///
/// ```
/// use tables::conduit::insulated_area;
/// // Chapter 9, Table 5 prints 0.0507 in² for 6 AWG.
/// assert!((insulated_area("6 AWG".parse()?)?.value.as_square_inches() - 0.0507).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn insulated_area(size: ConductorSize) -> Result<Sourced<Area>, Absent> {
    CONDUCTORS
        .rows
        .iter()
        .zip(CONDUCTOR_SOURCES.iter())
        .find(|(row, _)| row.size == size)
        .map(|(row, source)| Sourced {
            value: Area::from_square_inches(row.area_in2),
            source,
        })
        .ok_or_else(|| Absent::Row {
            table: "the table of insulated conductor areas",
            row: size.to_string(),
            fix: "take a size from 14 AWG to 750 kcmil",
        })
}

/// Share of a raceway that so many conductors may fill; `nipple` is a raceway of 24 in. or less.
pub fn fill_share(conductors: usize, nipple: bool) -> Result<Sourced<Ratio>, Absent> {
    FILL.rows
        .iter()
        .find(|row| {
            conductors >= row.conductors_low && row.conductors_high.is_none_or(|high| conductors <= high)
        })
        .map(|row| Sourced {
            value: Ratio::from_percent(if nipple {
                row.nipple_fill_percent
            } else {
                row.fill_percent
            }),
            source: &FILL.source,
        })
        .ok_or_else(|| Absent::Row {
            table: "the table of raceway fill",
            row: conductors.to_string(),
            fix: "count at least one conductor",
        })
}

/// Free volume in a box for one conductor of that size.
pub fn box_volume_per_conductor(size: ConductorSize, edition: NecEdition) -> Result<Sourced<Volume>, Absent> {
    BOX_FILL
        .rows
        .iter()
        .find(|row| row.size == size)
        .map(|row| Sourced {
            value: Volume::from_cubic_inches(row.volume_in3),
            source: cite(Topic::BoxFill, edition, BOX_FILL.source.status),
        })
        .ok_or_else(|| Absent::Row {
            table: "the table of box fill",
            row: size.to_string(),
            fix: "it covers 18 to 6 AWG; conductors of 4 AWG and larger take the rules of pull boxes",
        })
}

/// A common metal box.
#[derive(Debug, Clone, PartialEq)]
pub struct MetalBox {
    /// Its size, as written: "4 x 1-1/2 square".
    pub name: String,
    /// Its least volume.
    pub volume: Volume,
}

/// Common metal boxes in the order of the source, with their source.
pub fn metal_boxes() -> (&'static [MetalBox], &'static Source) {
    (&BOXES.0, &BOXES.1)
}

#[derive(Debug, Deserialize)]
struct RacewayRow {
    raceway: Raceway,
    trade_size: String,
    inside_diameter_in: f64,
    total_area_in2: f64,
    status: SourceStatus,
}

#[derive(Debug, Deserialize)]
struct ConductorRow {
    size: ConductorSize,
    area_in2: f64,
    status: SourceStatus,
}

#[derive(Debug, Deserialize)]
struct FillRow {
    conductors_low: usize,
    conductors_high: Option<usize>,
    fill_percent: f64,
    nipple_fill_percent: f64,
}

#[derive(Debug, Deserialize)]
struct BoxFillRow {
    size: ConductorSize,
    volume_in3: f64,
}

#[derive(Debug, Deserialize)]
struct BoxRow {
    #[serde(rename = "box")]
    name: String,
    volume_in3: f64,
}

static RACEWAYS: LazyLock<Vec<RacewaySize>> = LazyLock::new(|| {
    let table: Table<RacewayRow> = embedded(
        "raceway_area",
        include_str!("../../../data/tables/electrical/raceway_area.csv"),
    );
    let rows = table.rows;
    rows.into_iter()
        .map(|row| RacewaySize {
            raceway: row.raceway,
            trade_size: row.trade_size,
            inside_diameter: Length::from_inches(row.inside_diameter_in),
            total_area: Area::from_square_inches(row.total_area_in2),
            source: row_source(&table.source, row.status),
        })
        .collect()
});

static CONDUCTORS: LazyLock<Table<ConductorRow>> = LazyLock::new(|| {
    embedded(
        "conductor_area",
        include_str!("../../../data/tables/electrical/conductor_area.csv"),
    )
});

static CONDUCTOR_SOURCES: LazyLock<Vec<Source>> = LazyLock::new(|| {
    CONDUCTORS
        .rows
        .iter()
        .map(|row| row_source(&CONDUCTORS.source, row.status))
        .collect()
});

static FILL: LazyLock<Table<FillRow>> = LazyLock::new(|| {
    embedded(
        "raceway_fill",
        include_str!("../../../data/tables/electrical/raceway_fill.csv"),
    )
});

static BOX_FILL: LazyLock<Table<BoxFillRow>> = LazyLock::new(|| {
    embedded(
        "box_fill",
        include_str!("../../../data/tables/electrical/box_fill.csv"),
    )
});

static BOXES: LazyLock<(Vec<MetalBox>, Source)> = LazyLock::new(|| {
    let table: Table<BoxRow> = embedded(
        "box_volume",
        include_str!("../../../data/tables/electrical/box_volume.csv"),
    );
    let boxes = table
        .rows
        .into_iter()
        .map(|row| MetalBox {
            name: row.name,
            volume: Volume::from_cubic_inches(row.volume_in3),
        })
        .collect();
    (boxes, table.source)
});

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::FRAC_PI_4;

    #[test]
    fn areas_agree_with_their_diameters() {
        // Geometry: area = π/4 d²; the tables print three or four digits of both.
        for raceway in [Raceway::Emt, Raceway::Pvc40, Raceway::Pvc80] {
            let sizes: Vec<_> = raceway_sizes(raceway).collect();
            assert_eq!(sizes.len(), 6);
            assert!(sizes.is_sorted_by(|a, b| a.total_area < b.total_area));
            for size in sizes {
                let diameter_in = size.inside_diameter.as_inches();
                let by_diameter_in2 = FRAC_PI_4 * diameter_in * diameter_in;
                let off = size.total_area.as_square_inches() / by_diameter_in2 - 1.0;
                assert!(off.abs() < 2e-3, "{raceway} {}: {off}", size.trade_size);
            }
        }
        assert!(CONDUCTORS.rows.is_sorted_by(|a, b| a.area_in2 < b.area_in2));
    }

    #[test]
    fn fill_shares_are_the_published_ones() {
        let percent = |conductors, nipple| fill_share(conductors, nipple).unwrap().value.as_percent();
        let close = |found: f64, wanted: f64| (found - wanted).abs() < 1e-9;
        assert!(close(percent(1, false), 53.0) && close(percent(2, false), 31.0));
        assert!(close(percent(3, false), 40.0) && close(percent(30, false), 40.0));
        assert!(close(percent(5, true), 60.0));
        assert!(fill_share(0, false).is_err());
    }

    #[test]
    fn boxes_and_their_conductors() {
        let (boxes, source) = metal_boxes();
        assert_eq!((boxes.len(), source.status), (12, SourceStatus::Memory));
        let volume = |size: &str| box_volume_per_conductor(size.parse().unwrap(), NecEdition::Nec2023);
        assert!((volume("14 AWG").unwrap().value.as_cubic_inches() - 2.0).abs() < 1e-9);
        assert!(volume("4 AWG").is_err());
    }
}
