//! Small tables of the metric wiring rules: breaker ratings and protective conductors.
//!
//! In: a current, a size. Out: the next standard rating; the protective conductor that goes with a line conductor of the
//! same metal. Ampacities stand in [`crate::iec_ampacity`].

use crate::absent::Absent;
use crate::sourced::Sourced;
use crate::table::{Table, embedded};
use quantity::{ConductorSize, Current};
use serde::Deserialize;
use std::sync::LazyLock;
use trace::{Source, SourceStatus};

/// The next standard rating at or above a current.
///
/// ```
/// use quantity::Current;
/// use tables::metric_rules::standard_metric_at_least;
/// // Preferred ratings: 32 A, then 40 A.
/// let found = standard_metric_at_least(Current::from_amperes(33.0))?;
/// assert!((found.value.as_amperes() - 40.0).abs() < 1e-9);
/// # Ok::<(), tables::absent::Absent>(())
/// ```
pub fn standard_metric_at_least(current: Current) -> Result<Sourced<Current>, Absent> {
    BREAKERS
        .rows
        .iter()
        .map(|row| Current::from_amperes(row.rating_a))
        .find(|rating| current <= *rating)
        .map(|value| Sourced {
            value,
            source: &BREAKERS.source,
        })
        .ok_or_else(|| Absent::Row {
            table: "the list of metric breaker ratings",
            row: format!("{:.1} A", current.as_amperes()),
            fix: "it ends at 125 A; divide the load over circuits",
        })
}

/// Smallest protective conductor of the same metal: the line conductor's size up to 16 mm², 16 mm² up to 35 mm², half above.
///
/// ```
/// use tables::metric_rules::protective_conductor;
/// // IEC 60364-5-54, Table 54.2.
/// assert_eq!(protective_conductor("25 mm²".parse()?)?.value.to_string(), "16 mm²");
/// assert_eq!(protective_conductor("70 mm²".parse()?)?.value.to_string(), "35 mm²");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn protective_conductor(line: ConductorSize) -> Result<Sourced<ConductorSize>, Absent> {
    let area_mm2 = line.area().as_square_millimeters();
    let least_mm2 = if area_mm2 <= WHOLE_UP_TO_MM2 {
        area_mm2
    } else if area_mm2 <= FLAT_UP_TO_MM2 {
        WHOLE_UP_TO_MM2
    } else {
        area_mm2 / 2.0
    };
    crate::iec_ampacity::iec_sizes(crate::conductor::ConductorMaterial::Copper)
        .find(|size| size.area().as_square_millimeters() >= least_mm2 - 1e-9)
        .map(|value| Sourced {
            value,
            source: &PROTECTIVE,
        })
        .ok_or_else(|| Absent::Row {
            table: "the table of protective conductors",
            row: line.to_string(),
            fix: "take a metric size up to 300 mm²",
        })
}

/// Up to here the protective conductor is as large as the line, mm².
const WHOLE_UP_TO_MM2: f64 = 16.0;
/// Up to here it stays at that size, mm².
const FLAT_UP_TO_MM2: f64 = 35.0;

static PROTECTIVE: LazyLock<Source> = LazyLock::new(|| Source {
    document: "IEC 60364-5-54".to_owned(),
    edition: None,
    place: Some("Table 54.2".to_owned()),
    status: SourceStatus::Seen,
});

#[derive(Debug, Deserialize)]
struct BreakerRow {
    rating_a: f64,
}

static BREAKERS: LazyLock<Table<BreakerRow>> = LazyLock::new(|| {
    embedded(
        "metric_breakers",
        include_str!("../../../data/tables/electrical/metric_breakers.csv"),
    )
});
