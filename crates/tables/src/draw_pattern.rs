//! How often, how long and when people draw hot water, by kind of fixture.
//!
//! In: a fixture. Out: its pattern with source. Start at [`draw_pattern`]. Averages of many households: no house is one.

use crate::row_source::row_document;
use crate::table::embedded;
use quantity::{Ratio, Time};
use serde::Deserialize;
use std::sync::LazyLock;
use trace::{Source, SourceStatus};

/// A kind of fixture that has a pattern.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum DrawFixture {
    /// Shower.
    Shower,
    /// Filler of a tub.
    TubFiller,
    /// Lavatory.
    Lavatory,
    /// Kitchen sink.
    KitchenSink,
    /// Laundry sink.
    LaundrySink,
    /// Bidet.
    Bidet,
    /// Dishwasher.
    Dishwasher,
    /// Clothes washer.
    ClothesWasher,
}

/// How a kind of fixture is used.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawPattern {
    /// Fixture.
    pub fixture: DrawFixture,
    /// Uses a day of the household, whoever lives there.
    pub uses_per_day: f64,
    /// Uses a day by person, on top.
    pub uses_per_person_day: f64,
    /// Mean duration.
    pub duration: Time,
    /// Standard deviation of the logarithm of the duration.
    pub duration_log_deviation: f64,
    /// Standard deviation of the share of the full flow.
    pub flow_deviation: Ratio,
    /// Shares of the hours of the day, summing to 1.
    pub hours: [f64; 24],
    /// Where it comes from.
    pub source: Source,
}

/// The pattern of a fixture.
///
/// ```
/// use tables::draw_pattern::{DrawFixture, draw_pattern};
/// let shower = draw_pattern(DrawFixture::Shower);
/// // Hendron and Burch 2007, from memory: 7.81 min with a deviation of 3.52 min; for a lognormal the deviation of the
/// // logarithm is √ln(1 + (3.52/7.81)²) = 0.43.
/// assert!((shower.duration.as_minutes() - 7.81).abs() < 0.02);
/// assert!((shower.duration_log_deviation - (1.0 + (3.52_f64 / 7.81).powi(2)).ln().sqrt()).abs() < 0.01);
/// ```
///
/// # Panics
/// Never for a released build: a test asks for every fixture.
pub fn draw_pattern(fixture: DrawFixture) -> &'static DrawPattern {
    PATTERNS
        .iter()
        .find(|pattern| pattern.fixture == fixture)
        .unwrap_or_else(|| panic!("table `draw_patterns` has no {fixture:?}"))
}

/// Where the shares of the hours come from.
pub fn hours_source() -> &'static Source {
    &HOURS.source
}

#[derive(Deserialize)]
struct Row {
    fixture: DrawFixture,
    uses_per_day: f64,
    uses_per_person_day: f64,
    minutes_mean: f64,
    minutes_log_deviation: f64,
    flow_deviation: f64,
    hours: DrawFixture,
    document: String,
    status: SourceStatus,
}

#[derive(Deserialize)]
struct HourRow {
    hour: usize,
    shower: f64,
    #[serde(rename = "kitchen-sink")]
    kitchen_sink: f64,
    lavatory: f64,
    bidet: f64,
}

static HOURS: LazyLock<crate::table::Table<HourRow>> = LazyLock::new(|| {
    embedded(
        "draw_hours",
        include_str!("../../../data/tables/water/draw_hours.csv"),
    )
});

static PATTERNS: LazyLock<Vec<DrawPattern>> = LazyLock::new(|| {
    let table = embedded::<Row>(
        "draw_patterns",
        include_str!("../../../data/tables/water/draw_patterns.csv"),
    );
    table
        .rows
        .iter()
        .map(|row| DrawPattern {
            fixture: row.fixture,
            uses_per_day: row.uses_per_day,
            uses_per_person_day: row.uses_per_person_day,
            duration: Time::from_minutes(row.minutes_mean),
            duration_log_deviation: row.minutes_log_deviation,
            flow_deviation: Ratio::from_fraction(row.flow_deviation),
            hours: hours(row.hours),
            source: row_document(&row.document, row.status),
        })
        .collect()
});

fn hours(column: DrawFixture) -> [f64; 24] {
    let mut hours = [0.0; 24];
    for row in &HOURS.rows {
        hours[row.hour] = match column {
            DrawFixture::Shower => row.shower,
            DrawFixture::Lavatory => row.lavatory,
            DrawFixture::Bidet => row.bidet,
            _ => row.kitchen_sink,
        };
    }
    let total: f64 = hours.iter().sum();
    hours.map(|count| count / total)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_fixture_has_a_usable_pattern() {
        use DrawFixture as F;
        for fixture in [
            F::Shower,
            F::TubFiller,
            F::Lavatory,
            F::KitchenSink,
            F::LaundrySink,
            F::Bidet,
            F::Dishwasher,
            F::ClothesWasher,
        ] {
            let pattern = draw_pattern(fixture);
            assert!(
                pattern.uses_per_day + pattern.uses_per_person_day > 0.0,
                "{fixture:?}"
            );
            assert!(pattern.duration > Time::zero() && pattern.duration_log_deviation > 0.0);
            assert!((pattern.hours.iter().sum::<f64>() - 1.0).abs() < 1e-12);
            assert!(pattern.hours.iter().all(|share| *share >= 0.0));
        }
    }

    #[test]
    fn the_hours_are_whole_and_in_order() {
        assert_eq!(
            HOURS.rows.iter().map(|row| row.hour).collect::<Vec<_>>(),
            (0..24).collect::<Vec<_>>()
        );
        // The read-me of the data set says 5677 draws.
        let all: f64 = HOURS
            .rows
            .iter()
            .map(|row| row.shower + row.kitchen_sink + row.lavatory + row.bidet)
            .sum();
        assert!((all - 5677.0).abs() < 0.5, "{all}");
    }
}
