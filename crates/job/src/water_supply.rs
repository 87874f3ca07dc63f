//! The water supply to the house: pressures, regulator, check valve, expansion tank.

use quantity::{GaugePressure, Volume, VolumeFlow};
use serde::{Deserialize, Serialize};

/// The water supply to the house.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WaterSupply {
    /// The junction of the piping where the water enters.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub entry: Option<String>,
    /// Pressure with nothing running.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = "60 psi")]
    pub static_pressure: Option<GaugePressure>,
    /// Pressure while a known flow runs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub flowing: Option<FlowingPressure>,
    /// Setting of the pressure regulator, where there is one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = "60 psi")]
    pub regulator_setting: Option<GaugePressure>,
    /// A check valve, backflow device or regulator keeps water from going back to the street.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub closed_system: Option<bool>,
    /// Expansion tank.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub expansion_tank: Option<ExpansionTank>,
}

/// Pressure while a known flow runs.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FlowingPressure {
    /// Pressure.
    #[schemars(example = "50 psi")]
    pub pressure: GaugePressure,
    /// Flow.
    #[schemars(example = "5 gpm")]
    pub flow: VolumeFlow,
}

/// Expansion tank.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ExpansionTank {
    /// Nominal volume.
    #[schemars(example = "2 gal")]
    pub volume: Volume,
    /// Air charge.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = "60 psi")]
    pub precharge: Option<GaugePressure>,
}
