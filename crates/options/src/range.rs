//! The element sizes that candidates are built from, read once from `data/options/units.toml`.
//!
//! In: the embedded file. Out: [`range`], and where it comes from. Knows no job.

use quantity::{Power, Voltage, VolumeFlow};
use serde::Deserialize;
use std::sync::LazyLock;
use trace::Source;

/// Element sizes, and how many a unit may have.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Range {
    pub(crate) element_counts: Vec<u16>,
    pub(crate) source: Source,
    pub(crate) element: Vec<ElementSize>,
}

/// One element size.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct ElementSize {
    pub(crate) power: Power,
    pub(crate) voltage: Voltage,
    pub(crate) activation_flow: VolumeFlow,
}

static RANGE: LazyLock<Range> = LazyLock::new(|| {
    let text = include_str!("../../../data/options/units.toml");
    // The file is part of the program and is read by a test.
    toml::from_str(text).unwrap_or_else(|error| panic!("data/options/units.toml: {error}"))
});

pub(crate) fn range() -> &'static Range {
    &RANGE
}

/// Where the range of element sizes comes from, and how surely.
pub fn range_source() -> &'static Source {
    &range().source
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_and_counts_rise() {
        let range = range();
        assert!(range.element_counts.is_sorted_by(|one, next| one < next));
        assert!(range.element.is_sorted_by(|one, next| one.power < next.power));
        assert!(range.element_counts.first().is_some_and(|&count| count > 0));
        assert!(range.element[0].power > Power::zero());
        assert_eq!(range_source().status, trace::SourceStatus::CommonPractice);
    }
}
