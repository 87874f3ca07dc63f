//! What was measured on site, and the utility's interval data.

use quantity::{Current, GaugePressure, Resistance, Temperature, Time, Voltage, VolumeFlow};
use serde::{Deserialize, Serialize};

/// One visit to one thing with an instrument; only what was read is given.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Measurement {
    /// Id of the fixture, heater, circuit, panel or junction.
    pub at: String,
    /// When.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<crate::text_schema::Date>")]
    pub on: Option<jiff::civil::Date>,
    /// Instrument used.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub instrument: Option<String>,
    /// Flow.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub flow: Option<VolumeFlow>,
    /// Temperature of the incoming cold water.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = "55 °F")]
    pub cold_temperature: Option<Temperature>,
    /// Temperature of the hot water.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hot_temperature: Option<Temperature>,
    /// Pressure.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pressure: Option<GaugePressure>,
    /// Time until hot water came.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = "25 s")]
    pub wait: Option<Time>,
    /// Voltage.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub voltage: Option<Voltage>,
    /// Current.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub current: Option<Current>,
    /// Resistance of one element, cold and isolated.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub resistance: Option<Resistance>,
    /// Remark.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

/// The utility's interval data.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Meter {
    /// File with the data (Green Button or CSV), relative to the record.
    pub file: String,
    /// Usage point, where the file has several.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub usage_point: Option<String>,
    /// Zone of local times in a CSV file.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = "America/Chicago")]
    pub zone: Option<String>,
    /// Unit of the values in a CSV file whose heading does not say it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = &"kWh")]
    pub unit: Option<String>,
}
