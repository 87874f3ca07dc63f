//! Flows of fixtures: legal and label limits, code minima at the outlet, and what is typical where no limit exists.
//!
//! In: a fixture and, if wanted, a basis. Out: rows with flow, test pressure and source. Start at [`flows`]. Chooses no
//! flow for a job.

use crate::row_source::row_document;
use crate::table::embedded;
use quantity::{GaugePressure, VolumeFlow};
use serde::Deserialize;
use std::sync::LazyLock;
use trace::{Source, SourceStatus};

/// A kind of fixture as the limits name it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum FlowFixture {
    /// Showerhead.
    Shower,
    /// Shower with a pressure-balanced or thermostatic valve.
    ShowerBalanced,
    /// Lavatory faucet in a home.
    Lavatory,
    /// Lavatory in a public room.
    PublicLavatory,
    /// Kitchen faucet.
    KitchenSink,
    /// Aerator sold as a replacement.
    ReplacementAerator,
    /// Filler of a tub.
    TubFiller,
    /// Hot fill of a clothes washer.
    ClothesWasher,
    /// Dishwasher.
    Dishwasher,
    /// Laundry tray.
    LaundrySink,
}

/// What kind of figure a row is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum FlowBasis {
    /// Greatest flow federal law lets be sold.
    FederalMaximum,
    /// Greatest flow of a product standard.
    StandardMaximum,
    /// Greatest flow of the voluntary efficiency label.
    LabelMaximum,
    /// Least flow of the voluntary efficiency label.
    LabelMinimum,
    /// Greatest flow of California's regulation.
    CaliforniaMaximum,
    /// Least flow a plumbing code wants the piping to bring.
    CodeMinimum,
    /// Usual, where nothing limits it.
    Typical,
}

/// One flow figure.
#[derive(Debug, Clone, PartialEq)]
pub struct FixtureFlow {
    /// Fixture.
    pub fixture: FlowFixture,
    /// Kind of figure.
    pub basis: FlowBasis,
    /// Flow; the low end where a range is known.
    pub low: VolumeFlow,
    /// Flow; the high end where a range is known.
    pub high: VolumeFlow,
    /// Pressure at the outlet for that flow.
    pub pressure: Option<GaugePressure>,
    /// Where it comes from.
    pub source: Source,
}

/// All figures for a fixture, in the order of the table.
///
/// ```
/// use tables::fixture_flow::{FlowBasis, FlowFixture, flows};
/// let limit = flows(FlowFixture::Shower).find(|row| row.basis == FlowBasis::FederalMaximum);
/// // 10 CFR 430.32(p): 2.5 gpm at 80 psi.
/// assert!(limit.is_some_and(|row| (row.high.as_gallons_per_minute() - 2.5).abs() < 1e-9));
/// ```
pub fn flows(fixture: FlowFixture) -> impl Iterator<Item = &'static FixtureFlow> {
    FLOWS.iter().filter(move |row| row.fixture == fixture)
}

#[derive(Deserialize)]
struct Row {
    fixture: FlowFixture,
    basis: FlowBasis,
    flow_low_gpm: f64,
    flow_high_gpm: f64,
    pressure_psi: Option<f64>,
    document: String,
    status: SourceStatus,
}

static FLOWS: LazyLock<Vec<FixtureFlow>> = LazyLock::new(|| {
    let table = embedded::<Row>(
        "fixture_flows",
        include_str!("../../../data/tables/water/fixture_flows.csv"),
    );
    table
        .rows
        .iter()
        .map(|row| FixtureFlow {
            fixture: row.fixture,
            basis: row.basis,
            low: VolumeFlow::from_gallons_per_minute(row.flow_low_gpm),
            high: VolumeFlow::from_gallons_per_minute(row.flow_high_gpm),
            pressure: row.pressure_psi.map(GaugePressure::from_psi),
            source: row_document(&row.document, row.status),
        })
        .collect()
});

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn limits_do_not_cross() {
        for row in FLOWS.iter() {
            assert!(
                row.low.as_gallons_per_minute() > 0.0 && row.low <= row.high,
                "{row:?}"
            );
            assert!(
                row.basis == FlowBasis::Typical || row.pressure.is_some(),
                "{row:?}"
            );
        }
        for fixture in [FlowFixture::Shower, FlowFixture::Lavatory] {
            let most = |basis| {
                flows(fixture)
                    .find(|row| row.basis == basis)
                    .map(|row| row.high.as_gallons_per_minute())
                    .unwrap()
            };
            assert!(most(FlowBasis::LabelMaximum) < most(FlowBasis::FederalMaximum));
            assert!(most(FlowBasis::CaliforniaMaximum) < most(FlowBasis::LabelMaximum));
        }
    }

    #[test]
    fn a_row_names_its_own_document_and_status() {
        let tub = flows(FlowFixture::TubFiller).next().unwrap();
        assert_eq!(tub.source.status, SourceStatus::CommonPractice);
        let shower = flows(FlowFixture::Shower).next().unwrap();
        assert_eq!(shower.source.to_string(), "10 CFR 430.32(p) (seen)");
    }
}
