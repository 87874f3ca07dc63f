//! The curve of voltage changes that people begin to find disturbing (Pst = 1).
//!
//! In: rectangular changes in a minute, lamp voltage. Out: the relative voltage change that gives Pst = 1. Interpolated
//! on the logarithms of both axes, as such curves are drawn; no value outside the table.

use crate::absent::Absent;
use crate::sourced::Sourced;
use crate::table::{Table, embedded};
use quantity::Ratio;
use serde::Deserialize;
use std::sync::LazyLock;

/// Which lamps the curve is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Lamp {
    /// 60 W, 120 V incandescent.
    Volts120,
    /// 60 W, 230 V incandescent.
    Volts230,
}

/// Relative voltage change that gives Pst = 1 at so many rectangular changes in a minute.
///
/// ```
/// use tables::flicker_curve::{Lamp, change_at_pst_one};
/// // The curve's row for one change in a minute, 120 V lamps: 3.166 %.
/// let found = change_at_pst_one(1.0, Lamp::Volts120)?;
/// assert!((found.value.as_percent() - 3.166).abs() < 1e-9);
/// # Ok::<(), tables::absent::Absent>(())
/// ```
pub fn change_at_pst_one(changes_per_minute: f64, lamp: Lamp) -> Result<Sourced<Ratio>, Absent> {
    let outside = || Absent::Row {
        table: "the flicker curve",
        row: format!("{changes_per_minute} changes in a minute"),
        fix: "it covers 0.1 to 2875 changes in a minute",
    };
    let percent = |row: &Row| match lamp {
        Lamp::Volts120 => row.change_120v_percent,
        Lamp::Volts230 => row.change_230v_percent,
    };
    let inside = |pair: &&[Row]| {
        pair[0].changes_per_minute <= changes_per_minute && changes_per_minute <= pair[1].changes_per_minute
    };
    let pair = CURVE.rows.windows(2).find(inside).ok_or_else(outside)?;
    let along = (changes_per_minute / pair[0].changes_per_minute).ln()
        / (pair[1].changes_per_minute / pair[0].changes_per_minute).ln();
    let change = percent(&pair[0]) * (percent(&pair[1]) / percent(&pair[0])).powf(along);
    Ok(Sourced {
        value: Ratio::from_percent(change),
        source: &CURVE.source,
    })
}

#[derive(Debug, Deserialize)]
struct Row {
    changes_per_minute: f64,
    change_230v_percent: f64,
    change_120v_percent: f64,
}

static CURVE: LazyLock<Table<Row>> = LazyLock::new(|| {
    embedded(
        "flicker_pst1",
        include_str!("../../../data/tables/electrical/flicker_pst1.csv"),
    )
});

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_curve_passes_its_rows_and_stays_between_them() {
        for pair in CURVE.rows.windows(2) {
            let at = |changes| {
                change_at_pst_one(changes, Lamp::Volts120)
                    .unwrap()
                    .value
                    .as_percent()
            };
            assert!((at(pair[0].changes_per_minute) / pair[0].change_120v_percent - 1.0).abs() < 1e-9);
            let between = at((pair[0].changes_per_minute * pair[1].changes_per_minute).sqrt());
            let (low, high) = (
                pair[0].change_120v_percent.min(pair[1].change_120v_percent),
                pair[0].change_120v_percent.max(pair[1].change_120v_percent),
            );
            assert!((low - 1e-9..=high + 1e-9).contains(&between));
        }
        // Lamps for the lower voltage have thicker filaments and flicker less.
        for row in &CURVE.rows {
            assert!(row.change_120v_percent > row.change_230v_percent);
        }
        for outside in [0.05, 3000.0, f64::NAN, -1.0, 0.0] {
            assert!(change_at_pst_one(outside, Lamp::Volts230).is_err(), "{outside}");
        }
    }
}
