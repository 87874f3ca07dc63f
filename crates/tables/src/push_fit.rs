//! How deep a pipe goes into a push-fit fitting, by nominal size.
//!
//! In: a nominal size. Out: the depth to mark, with its source. The data of the fitting itself always overrides it.

use crate::row_source::row_source;
use crate::table::embedded;
use crate::unknown_size::UnknownSize;
use quantity::{Length, PipeSize};
use serde::Deserialize;
use std::sync::LazyLock;
use trace::{Source, SourceStatus};

/// Insertion depth of one size.
#[derive(Debug, Clone, PartialEq)]
pub struct InsertionDepth {
    /// Nominal size.
    pub size: PipeSize,
    /// Depth to mark on the pipe.
    pub depth: Length,
    /// Where it comes from.
    pub source: Source,
}

/// The depth to mark.
///
/// # Errors
/// When the table has no such size.
///
/// ```
/// // 15/16 in for 1/2 in pipe: seen.
/// let depth = tables::push_fit::insertion_depth("1/2 in".parse()?)?;
/// assert!((depth.depth.as_inches() - 15.0 / 16.0).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn insertion_depth(size: PipeSize) -> Result<&'static InsertionDepth, UnknownSize> {
    DEPTHS
        .iter()
        .find(|row| row.size == size)
        .ok_or_else(|| UnknownSize {
            table: "insertion depths of push-fit fittings",
            size,
            known: DEPTHS.iter().map(|row| row.size).collect(),
        })
}

#[derive(Deserialize)]
struct Row {
    size: PipeSize,
    depth_in: f64,
    status: SourceStatus,
}

static DEPTHS: LazyLock<Vec<InsertionDepth>> = LazyLock::new(|| {
    let table = embedded::<Row>(
        "push_fit_depths",
        include_str!("../../../data/tables/water/push_fit_depths.csv"),
    );
    table
        .rows
        .iter()
        .map(|row| InsertionDepth {
            size: row.size,
            depth: Length::from_inches(row.depth_in),
            source: row_source(&table.source, row.status),
        })
        .collect()
});

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn depth_grows_with_size_and_matches_the_printed_millimeters() {
        let cases = checks::load("water/push_fit.toml").cases;
        assert_eq!(DEPTHS.len(), cases.len());
        for case in &cases {
            let row = insertion_depth(case.given_text("size").parse().unwrap()).unwrap();
            case.close("depth_mm", row.depth.as_millimeters());
        }
        assert!(DEPTHS.windows(2).all(|pair| pair[0].depth < pair[1].depth));
        assert_eq!(
            insertion_depth("1/2 in".parse().unwrap()).unwrap().source.status,
            SourceStatus::Seen
        );
        assert!(insertion_depth("2 in".parse().unwrap()).is_err());
    }
}
