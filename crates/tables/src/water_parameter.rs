//! Named values of the water engine that no formula gives: delays, films, ratios, each with its range and source.
//!
//! In: nothing. Out: a value, how far it usually ranges, and where it comes from. Every one can be replaced by an
//! argument of the engine; none is a fact about a particular house.

use crate::row_source::row_document;
use crate::table::embedded;
use quantity::{AbsolutePressure, Kind, Ratio, SurfaceHeatTransfer, ThermalConductivity, Time};
use serde::Deserialize;
use std::str::FromStr;
use std::sync::LazyLock;
use trace::{Source, SourceStatus};

/// A named value.
#[derive(Debug, Clone, PartialEq)]
pub struct Parameter<K> {
    /// The value.
    pub value: K,
    /// Low end of its usual range.
    pub low: Option<K>,
    /// High end of its usual range.
    pub high: Option<K>,
    /// What it is.
    pub what: String,
    /// Where it comes from.
    pub source: Source,
}

/// All named values.
#[derive(Debug, Clone, PartialEq)]
pub struct WaterParameters {
    /// Pressure at which water properties are taken where nothing else is known.
    pub working_pressure: Parameter<AbsolutePressure>,
    /// Time an on-demand unit takes from first flow to full power.
    pub heater_start_delay: Parameter<Time>,
    /// Water to run over pipe volume until it is hot, in insulated or fast-flowing pipe.
    pub flow_ratio_fast_or_insulated: Parameter<Ratio>,
    /// The same in bare pipe at low flow.
    pub flow_ratio_bare_and_slow: Parameter<Ratio>,
    /// Outside film of a pipe in still indoor air.
    pub surface_heat_transfer: Parameter<SurfaceHeatTransfer>,
    /// Conductivity of pipe foam.
    pub foam_conductivity: Parameter<ThermalConductivity>,
    /// Pressure of the surrounding air.
    pub air_pressure: Parameter<AbsolutePressure>,
}

/// The named values.
///
/// ```
/// let delay = &tables::water_parameter::water_parameters().heater_start_delay;
/// // Field practice: 2 to 10 s.
/// assert!(delay.low.is_some_and(|low| low <= delay.value) && delay.high.is_some_and(|high| delay.value <= high));
/// ```
pub fn water_parameters() -> &'static WaterParameters {
    &PARAMETERS
}

#[derive(Deserialize)]
struct Row {
    name: String,
    value: String,
    low: String,
    high: String,
    status: SourceStatus,
    what: String,
    document: String,
}

static PARAMETERS: LazyLock<WaterParameters> = LazyLock::new(|| {
    let rows = Rows::load();
    WaterParameters {
        working_pressure: rows.parameter("working-pressure"),
        heater_start_delay: rows.parameter("heater-start-delay"),
        flow_ratio_fast_or_insulated: rows.parameter("flow-ratio-fast-or-insulated"),
        flow_ratio_bare_and_slow: rows.parameter("flow-ratio-bare-and-slow"),
        surface_heat_transfer: rows.parameter("surface-heat-transfer"),
        foam_conductivity: rows.parameter("foam-conductivity"),
        air_pressure: rows.parameter("air-pressure"),
    }
});

struct Rows {
    rows: Vec<Row>,
}

impl Rows {
    fn load() -> Self {
        let table = embedded::<Row>(
            "parameters",
            include_str!("../../../data/tables/water/parameters.csv"),
        );
        Self { rows: table.rows }
    }

    /// Like a malformed table, a missing or unreadable row is a bug of the data file; a test reads every one.
    fn parameter<K: Kind + FromStr<Err = quantity::ParseError>>(&self, name: &str) -> Parameter<K> {
        let row = self.rows.iter().find(|row| row.name == name);
        let row = row.unwrap_or_else(|| panic!("embedded table `parameters`: no row `{name}`"));
        let read = |text: &str| -> K {
            text.parse()
                .unwrap_or_else(|error| panic!("embedded table `parameters`, row `{name}`: {error}"))
        };
        let end = |text: &str| (!text.is_empty()).then(|| read(text));
        Parameter {
            value: read(&row.value),
            low: end(&row.low),
            high: end(&row.high),
            what: row.what.clone(),
            source: row_document(&row.document, row.status),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ordered<K: Kind + PartialOrd>(parameter: &Parameter<K>) {
        assert!(
            parameter.low.is_none_or(|low| low <= parameter.value),
            "{}",
            parameter.what
        );
        assert!(
            parameter.high.is_none_or(|high| parameter.value <= high),
            "{}",
            parameter.what
        );
    }

    #[test]
    fn every_row_is_used_and_within_its_range() {
        let all = water_parameters();
        ordered(&all.working_pressure);
        ordered(&all.heater_start_delay);
        ordered(&all.flow_ratio_fast_or_insulated);
        ordered(&all.flow_ratio_bare_and_slow);
        ordered(&all.surface_heat_transfer);
        ordered(&all.foam_conductivity);
        ordered(&all.air_pressure);
        assert_eq!(Rows::load().rows.len(), 7);
        assert_eq!(all.flow_ratio_bare_and_slow.source.status, SourceStatus::Memory);
        assert_eq!(all.surface_heat_transfer.source.status, SourceStatus::Seen);
    }
}
