//! What a table does not hold: one error for every electrical lookup.
//!
//! A lookup that finds nothing says which table, which row, and what to do instead. It never guesses and never
//! extrapolates. Holds no table itself.

use quantity::ConductorSize;

/// Why a lookup gave nothing.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Absent {
    /// No such row.
    #[error("{table} has no row for `{row}`; {fix}")]
    Row {
        /// The table, in plain words.
        table: &'static str,
        /// What was looked for.
        row: String,
        /// What to do.
        fix: &'static str,
    },
    /// The row is there, the column is empty.
    #[error("{table} has no value for `{row}` under `{column}`; {fix}")]
    Cell {
        /// The table, in plain words.
        table: &'static str,
        /// The row.
        row: String,
        /// The empty column.
        column: String,
        /// What to do.
        fix: &'static str,
    },
    /// Ampacities of metric sizes come from other wiring rules, see [`crate::iec_ampacity`].
    #[error(
        "metric size `{size}` has no place in these wiring rules; use an AWG or kcmil size, or design it by IEC 60364"
    )]
    MetricAmpacity {
        /// The size.
        size: ConductorSize,
    },
    /// A name that no row has.
    #[error("`{name}` is not a known {kind}; known are {known}")]
    Name {
        /// What kind of name.
        kind: &'static str,
        /// What was written.
        name: String,
        /// The names there are.
        known: String,
    },
}
