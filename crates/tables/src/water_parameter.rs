//! Named values of the water engine that no formula gives: delays, films, losses, each with its range and source.
//!
//! In: nothing. Out: a value, how far it usually ranges, and where it comes from. Every one can be replaced by an
//! argument of the engine; none is a fact about a particular house.

use crate::row_source::row_document;
use crate::table::embedded;
use quantity::{
    AbsolutePressure, Kind, Power, Ratio, SurfaceHeatTransfer, TemperatureDifference, ThermalConductivity,
    Time, Volume,
};
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
    /// Outside film of a pipe in still indoor air.
    pub surface_heat_transfer: Parameter<SurfaceHeatTransfer>,
    /// Conductivity of pipe foam.
    pub foam_conductivity: Parameter<ThermalConductivity>,
    /// Pressure of the surrounding air.
    pub air_pressure: Parameter<AbsolutePressure>,
    /// Flow at which an on-demand unit stops over the flow at which it begins.
    pub drop_out_share: Parameter<Ratio>,
    /// Water in an on-demand unit, with the heat of its body counted as water.
    pub unit_thermal_volume: Parameter<Volume>,
    /// Loss of a hot on-demand unit at `standby_difference`.
    pub unit_standby_loss: Parameter<Power>,
    /// Loss of a storage tank at `standby_difference`.
    pub tank_standby_loss: Parameter<Power>,
    /// Difference of water and room at which standby losses are stated.
    pub standby_difference: Parameter<TemperatureDifference>,
    /// Part of a tank that entering water mixes.
    pub tank_inlet_mixing: Parameter<Ratio>,
    /// Fall at a thermostat before its element switches on.
    pub tank_dead_band: Parameter<TemperatureDifference>,
    /// Height of the upper element.
    pub tank_upper_element: Parameter<Ratio>,
    /// Height of the lower element.
    pub tank_lower_element: Parameter<Ratio>,
    /// Pause between two draws for which the cold slug is reported.
    pub short_pause: Parameter<Time>,
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
        surface_heat_transfer: rows.parameter("surface-heat-transfer"),
        foam_conductivity: rows.parameter("foam-conductivity"),
        air_pressure: rows.parameter("air-pressure"),
        drop_out_share: rows.parameter("drop-out-share"),
        unit_thermal_volume: rows.parameter("unit-thermal-volume"),
        unit_standby_loss: rows.parameter("unit-standby-loss"),
        tank_standby_loss: rows.parameter("tank-standby-loss"),
        standby_difference: rows.parameter("standby-difference"),
        tank_inlet_mixing: rows.parameter("tank-inlet-mixing"),
        tank_dead_band: rows.parameter("tank-dead-band"),
        tank_upper_element: rows.parameter("tank-upper-element"),
        tank_lower_element: rows.parameter("tank-lower-element"),
        short_pause: rows.parameter("short-pause"),
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
        ordered(&all.surface_heat_transfer);
        ordered(&all.foam_conductivity);
        ordered(&all.air_pressure);
        ordered(&all.drop_out_share);
        ordered(&all.unit_thermal_volume);
        ordered(&all.unit_standby_loss);
        ordered(&all.tank_standby_loss);
        ordered(&all.standby_difference);
        ordered(&all.tank_inlet_mixing);
        ordered(&all.tank_dead_band);
        ordered(&all.tank_upper_element);
        ordered(&all.tank_lower_element);
        ordered(&all.short_pause);
        assert_eq!(Rows::load().rows.len(), 15);
        assert_eq!(all.heater_start_delay.source.status, SourceStatus::Memory);
        assert_eq!(all.surface_heat_transfer.source.status, SourceStatus::Seen);
    }
}
