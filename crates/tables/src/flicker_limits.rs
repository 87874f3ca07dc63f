//! Limits that equipment standards set to voltage changes and flicker.
//!
//! In: nothing. Out: each limit with its source. The standards are written for 230 V lamps at 50 Hz and say so; below
//! 220 V or at 60 Hz they are a yardstick, not a rule. Applies none of them.

use crate::row_source::row_source;
use crate::sourced::Sourced;
use crate::table::{Table, embedded};
use quantity::Ratio;
use serde::Deserialize;
use std::sync::LazyLock;
use trace::{Source, SourceStatus};

/// The limits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FlickerLimits {
    /// Severity over ten minutes.
    pub short_term: Sourced<Ratio>,
    /// Severity over two hours.
    pub long_term: Sourced<Ratio>,
    /// Steady voltage change.
    pub steady_change: Sourced<Ratio>,
    /// Largest voltage change, with no further condition.
    pub largest_change: Sourced<Ratio>,
    /// Largest voltage change when switched by hand.
    pub largest_change_manual: Sourced<Ratio>,
    /// Largest voltage change not more than twice a day.
    pub largest_change_rare: Sourced<Ratio>,
}

/// The limits.
///
/// ```
/// use tables::flicker_limits::flicker_limits;
/// // Short-term severity of equipment: not above 1 (seen in an extract of IEC 61000-3-11).
/// assert!((flicker_limits().short_term.value.as_fraction() - 1.0).abs() < 1e-12);
/// ```
pub fn flicker_limits() -> &'static FlickerLimits {
    &LIMITS
}

#[derive(Debug, Deserialize)]
struct Row {
    id: String,
    limit: f64,
    unit: String,
    status: SourceStatus,
}

static TABLE: LazyLock<(Table<Row>, Vec<Source>)> = LazyLock::new(|| {
    let table: Table<Row> = embedded(
        "flicker_limits",
        include_str!("../../../data/tables/electrical/flicker_limits.csv"),
    );
    let sources = table
        .rows
        .iter()
        .map(|row| row_source(&table.source, row.status))
        .collect();
    (table, sources)
});

static LIMITS: LazyLock<FlickerLimits> = LazyLock::new(|| FlickerLimits {
    short_term: limit("pst"),
    long_term: limit("plt"),
    steady_change: limit("dc"),
    largest_change: limit("dmax"),
    largest_change_manual: limit("dmax-manual"),
    largest_change_rare: limit("dmax-rare"),
});

fn limit(id: &str) -> Sourced<Ratio> {
    let found = TABLE.0.rows.iter().zip(&TABLE.1).find(|(row, _)| row.id == id);
    // Caught by the test below, which reads every one.
    let (row, source) = found.unwrap_or_else(|| panic!("embedded table `flicker_limits`: no row `{id}`"));
    Sourced {
        value: match row.unit.as_str() {
            "%" => Ratio::from_percent(row.limit),
            _ => Ratio::from_fraction(row.limit),
        },
        source,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rarer_changes_may_be_larger() {
        let limits = flicker_limits();
        let changes = [
            limits.steady_change,
            limits.largest_change,
            limits.largest_change_manual,
            limits.largest_change_rare,
        ];
        assert!(changes.windows(2).all(|pair| pair[0].value < pair[1].value));
        assert!(limits.long_term.value < limits.short_term.value);
        assert_eq!(limits.short_term.source.status, SourceStatus::Seen);
        assert_eq!(limits.steady_change.source.status, SourceStatus::Memory);
    }
}
