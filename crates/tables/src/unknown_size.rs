//! The error of every lookup by nominal size: the size is not in the table, and which sizes are.

use quantity::PipeSize;

/// A table has no row for a nominal size.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{table} has no row for `{size}`; it has {}", listed(.known))]
pub struct UnknownSize {
    /// What was looked up.
    pub table: &'static str,
    /// The size asked for.
    pub size: PipeSize,
    /// The sizes the table has.
    pub known: Vec<PipeSize>,
}

fn listed(sizes: &[PipeSize]) -> String {
    let names: Vec<String> = sizes.iter().map(PipeSize::to_string).collect();
    names.join(", ")
}
