//! How the loss of a valve grows as it is closed: gate, globe and ball.
//!
//! In: a pattern and an opening. Out: the loss as a multiple of the open valve's. Start at [`loss_multiple`]. Knows no
//! size: the open valve's own coefficient is in [`crate::fitting`].

use crate::table::{Table, embedded};
use serde::Deserialize;
use std::sync::LazyLock;
use trace::Source;

/// Pattern of a valve that can be set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ThrottleValve {
    /// Ball, quarter turn.
    Ball,
    /// Gate.
    Gate,
    /// Globe, with a plug disk.
    Globe,
}

/// Loss coefficient at an opening (0 to 1) over the coefficient when open; none when closed.
///
/// Between the rows of the list log K is straight in the opening; below the last row K goes with the inverse square of
/// the opening.
///
/// ```
/// use tables::valve_opening::{ThrottleValve, loss_multiple};
/// // A gate valve half open: 4.5 over 0.17 of the open one.
/// let multiple = loss_multiple(ThrottleValve::Gate, 0.5).unwrap();
/// assert!((multiple - 4.5 / 0.17).abs() < 1e-9);
/// assert_eq!(loss_multiple(ThrottleValve::Gate, 0.0), None);
/// ```
pub fn loss_multiple(valve: ThrottleValve, opening: f64) -> Option<f64> {
    if opening.is_nan() || opening <= 0.0 {
        return None;
    }
    let mut rows = OPENINGS.rows.iter().filter(|row| row.valve == valve);
    let open = rows.next()?;
    let mut above = open;
    for row in rows {
        if opening >= row.opening {
            let share = (opening.min(1.0) - row.opening) / (above.opening - row.opening);
            let log = (1.0 - share) * row.loss_coefficient.ln() + share * above.loss_coefficient.ln();
            return Some(log.exp() / open.loss_coefficient);
        }
        above = row;
    }
    Some(above.loss_coefficient / open.loss_coefficient * (above.opening / opening).powi(2))
}

/// Where the multiples come from.
pub fn loss_multiple_source() -> &'static Source {
    &OPENINGS.source
}

#[derive(Deserialize)]
struct Row {
    valve: ThrottleValve,
    opening: f64,
    loss_coefficient: f64,
}

static OPENINGS: LazyLock<Table<Row>> = LazyLock::new(|| {
    embedded(
        "valve_opening",
        include_str!("../../../data/tables/water/valve_opening.csv"),
    )
});

#[cfg(test)]
mod tests {
    use super::*;

    const ALL: [ThrottleValve; 3] = [ThrottleValve::Ball, ThrottleValve::Gate, ThrottleValve::Globe];

    #[test]
    fn rows_fall_from_open_and_closing_never_lowers_the_loss() {
        for valve in ALL {
            let rows: Vec<&Row> = OPENINGS.rows.iter().filter(|row| row.valve == valve).collect();
            assert!(
                (rows[0].opening - 1.0).abs() < 1e-12 && rows.len() >= 4,
                "{valve:?}"
            );
            let mut last = 0.0;
            for step in (1..=200).rev() {
                let multiple = loss_multiple(valve, f64::from(step) / 200.0).unwrap();
                assert!(multiple >= last * (1.0 - 1e-12), "{valve:?} {step}");
                last = multiple;
            }
        }
    }

    #[test]
    fn every_row_is_met_and_the_open_valve_is_one() {
        for row in &OPENINGS.rows {
            let open = OPENINGS.rows.iter().find(|open| open.valve == row.valve).unwrap();
            let multiple = loss_multiple(row.valve, row.opening).unwrap();
            assert!((multiple * open.loss_coefficient / row.loss_coefficient - 1.0).abs() < 1e-12);
        }
        for valve in ALL {
            assert!((loss_multiple(valve, 1.0).unwrap() - 1.0).abs() < 1e-12);
            assert_eq!(loss_multiple(valve, f64::NAN), None);
        }
    }
}
