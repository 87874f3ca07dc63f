//! Time of contact with hot water until it burns.
//!
//! In: a water temperature and whose skin. Out: the shortest time any column of the table gives, or a bound where the
//! table ends. Start at [`scald_time`]. Between rows log(time) goes linearly with temperature; beyond its rows a column
//! says nothing, and the answer becomes a bound on the cautious side. Says nothing about valves and nothing is harmless.

use crate::as_printed::as_printed;
use crate::table::{Table, embedded};
use quantity::{Temperature, Time};
use serde::Deserialize;
use std::sync::LazyLock;
use trace::Source;

/// Whose skin.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Skin {
    /// A healthy adult's.
    Adult,
    /// An infant's; much thinner.
    Infant,
}

/// How soon water of a temperature burns.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ScaldTime {
    /// Cooler than every row: longer than this.
    LongerThan(Time),
    /// Within the rows: about this.
    About(Time),
    /// Hotter than every row, or no figure for this skin: no longer than this, perhaps much shorter.
    AtMost(Time),
}

/// Shortest time of contact until a burn of second degree or worse.
///
/// log t is linear in temperature between the rows of a column; the shortest column counts.
///
/// ```
/// use quantity::Temperature;
/// use tables::scald::{ScaldTime, Skin, scald_time};
/// // The table: 140 °F burns adult skin in 3 s (second degree), an infant's in 1 s.
/// let ScaldTime::About(time) = scald_time(Temperature::from_fahrenheit(140.0), Skin::Adult) else { panic!() };
/// assert!((time.as_seconds() - 3.0).abs() < 1e-6);
/// ```
pub fn scald_time(temperature: Temperature, skin: Skin) -> ScaldTime {
    let temp_f = as_printed(temperature.as_fahrenheit());
    let adult = shortest(
        temp_f,
        &[Row::second_degree, Row::third_degree, Row::serious_burn],
    );
    if skin == Skin::Adult {
        return adult;
    }
    match (shortest(temp_f, &[Row::infant]), adult) {
        // Cooler than the infants' first row: the adult's time is only a ceiling.
        (ScaldTime::LongerThan(_), ScaldTime::LongerThan(time) | ScaldTime::About(time)) => {
            ScaldTime::AtMost(time)
        }
        (ScaldTime::LongerThan(_), ceiling @ ScaldTime::AtMost(_)) => ceiling,
        (infant, _) => infant,
    }
}

/// Where the times come from.
pub fn source() -> &'static Source {
    &TIMES.source
}

type Column = fn(&Row) -> Option<f64>;

/// The shortest of several columns at a temperature.
fn shortest(temp_f: f64, columns: &[Column]) -> ScaldTime {
    let mut about: Option<f64> = None;
    let mut above: Option<f64> = None;
    let mut coolest: Option<(f64, f64)> = None;
    let keep = |slot: &mut Option<f64>, value: f64| *slot = Some(slot.map_or(value, |old| old.min(value)));
    for column in columns {
        let points = || {
            TIMES
                .rows
                .iter()
                .filter_map(|row| Some((row.temperature_f, column(row)?)))
        };
        let (Some(first), Some(last)) = (points().next(), points().next_back()) else {
            continue;
        };
        if temp_f < first.0 {
            // The column that begins coolest bounds the time best; of two that begin alike, the shorter.
            if coolest.is_none_or(|kept| first < kept) {
                coolest = Some(first);
            }
        } else if temp_f > last.0 {
            keep(&mut above, last.1);
        } else {
            let pair = points().zip(points().skip(1)).find(|(_, to)| temp_f <= to.0);
            let value = pair.map_or(last.1, |((from_f, from_s), (to_f, to_s))| {
                let share = (temp_f - from_f) / (to_f - from_f);
                from_s * (to_s / from_s).powf(share)
            });
            keep(&mut about, value);
        }
    }
    // A column that has ended still bounds the time: it only falls as the water gets hotter.
    match (about, above, coolest) {
        (Some(about), Some(above), _) => ScaldTime::About(Time::from_seconds(about.min(above))),
        (Some(about), None, _) => ScaldTime::About(Time::from_seconds(about)),
        (None, Some(above), _) => ScaldTime::AtMost(Time::from_seconds(above)),
        (None, None, Some((_, first))) => ScaldTime::LongerThan(Time::from_seconds(first)),
        // Not reached with a table that has rows, and never the dangerous side.
        (None, None, None) => ScaldTime::AtMost(Time::zero()),
    }
}

#[derive(Deserialize)]
struct Row {
    temperature_f: f64,
    second_degree_s: Option<f64>,
    third_degree_s: Option<f64>,
    serious_burn_s: Option<f64>,
    infant_s: Option<f64>,
}

impl Row {
    fn second_degree(&self) -> Option<f64> {
        self.second_degree_s
    }
    fn third_degree(&self) -> Option<f64> {
        self.third_degree_s
    }
    fn serious_burn(&self) -> Option<f64> {
        self.serious_burn_s
    }
    fn infant(&self) -> Option<f64> {
        self.infant_s
    }
}

static TIMES: LazyLock<Table<Row>> = LazyLock::new(|| {
    embedded(
        "scald_times",
        include_str!("../../../data/tables/water/scald_times.csv"),
    )
});

#[cfg(test)]
mod tests {
    use super::*;

    fn time(temp_f: f64, skin: Skin) -> ScaldTime {
        scald_time(Temperature::from_fahrenheit(temp_f), skin)
    }

    fn seconds(time: ScaldTime) -> f64 {
        match time {
            ScaldTime::LongerThan(t) | ScaldTime::About(t) | ScaldTime::AtMost(t) => t.as_seconds(),
        }
    }

    #[test]
    fn rows_come_back_the_shortest_column_counts_and_logarithms_are_straight() {
        for case in &checks::load("water/scald.toml").cases {
            let skin = match case.given_text("skin") {
                "adult" => Skin::Adult,
                "infant" => Skin::Infant,
                other => panic!("{other}"),
            };
            let found = time(case.given("temperature_f"), skin);
            assert!(matches!(found, ScaldTime::About(_)), "{}: {found:?}", case.id);
            case.close("time_s", seconds(found));
        }
    }

    #[test]
    fn the_ends_are_bounds() {
        assert!(matches!(time(100.0, Skin::Adult), ScaldTime::LongerThan(_)));
        assert!(matches!(time(170.0, Skin::Adult), ScaldTime::AtMost(_)));
        assert!(matches!(time(115.0, Skin::Infant), ScaldTime::AtMost(_)));
        assert!(matches!(time(100.0, Skin::Infant), ScaldTime::AtMost(_)));
    }

    #[test]
    fn hotter_water_never_takes_longer() {
        for skin in [Skin::Adult, Skin::Infant] {
            let mut before = f64::INFINITY;
            for tenth in 1130..1700 {
                let now = seconds(time(f64::from(tenth) / 10.0, skin));
                assert!(now <= before * (1.0 + 1e-9), "{skin:?} at {tenth}");
                before = now;
            }
        }
    }
}
