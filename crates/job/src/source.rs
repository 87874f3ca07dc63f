//! Heaters: an on-demand unit or a tank, standing there or planned.

use crate::Space;
use quantity::{Current, GaugePressure, Power, PressureDifference, Temperature, Voltage, Volume, VolumeFlow};
use serde::{Deserialize, Serialize};

/// A heater.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HeatSource {
    /// Short name used elsewhere in the record.
    pub id: String,
    /// What it is, in words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// Kind.
    pub kind: SourceKind,
    /// Standing there, to be added, or to be removed.
    #[serde(default)]
    pub status: SourceStatus,
    /// Junction of its cold connection.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub inlet: Option<String>,
    /// Junction of its hot connection.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub outlet: Option<String>,
    /// Where it hangs or stands.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub space: Option<Space>,
    /// Outlet temperature it is set to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub set_point: Option<Temperature>,
    /// Its resistance elements.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub elements: Vec<Element>,
    /// All elements can be on at once; a tank's two usually cannot.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub simultaneous: Option<bool>,
    /// How it sets its power while water runs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub control: Option<PowerControl>,
    /// How often in a minute an element switches on or off while water runs, from its data sheet or counted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = 6)]
    pub changes_per_minute: Option<u16>,
    /// Largest breaker its label allows on one circuit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = "40 A")]
    pub breaker_max: Option<Current>,
    /// Circuits its label or instructions ask for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub circuits_required: Option<u16>,
    /// Carries the mark of a testing laboratory.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub listed: Option<bool>,
    /// Plugs into a receptacle.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cord_and_plug: Option<bool>,
    /// Temperature rating of its terminals, degrees Celsius: 60 or 75.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = 75)]
    pub terminal_rating_c: Option<u8>,
    /// Volume stored.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub volume: Option<Volume>,
    /// Flow at which an on-demand unit begins to heat.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = "0.4 gpm")]
    pub activation_flow: Option<VolumeFlow>,
    /// Largest flow its label allows.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = "4 gpm")]
    pub flow_max: Option<VolumeFlow>,
    /// Smallest pressure its label asks for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = "25 psi")]
    pub pressure_min: Option<GaugePressure>,
    /// Largest inlet temperature its label allows.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = "140 °F")]
    pub inlet_max: Option<Temperature>,
    /// Pressure it takes at given flows, from its data sheet.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub pressure_drop: Vec<PressureDropPoint>,
    /// Relief device on it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub relief: Option<Relief>,
    /// Isolation valves with service ports on both sides.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub service_valves: Option<bool>,
    /// Listed standard for temperature control at its outlet, such as "ASSE 1082".
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub temperature_listing: Option<String>,
    /// Another heater that an interlock keeps off while this one runs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub interlocked_with: Option<String>,
    /// Distance from it to the nearest plastic pipe.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = "18 in")]
    pub plastic_pipe_distance: Option<quantity::Length>,
}

/// How a heater sets its power while water runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum PowerControl {
    /// Whole elements are switched in steps, a few times a draw.
    Staged,
    /// An electronic switch lets bursts of current through, many times a minute.
    Bursts,
}

/// Kind of heater.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum SourceKind {
    /// Heats water as it flows.
    OnDemand,
    /// Keeps a volume hot.
    Tank,
}

/// Whether a heater stands there already.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Hash, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum SourceStatus {
    /// Stands there and stays in use.
    #[default]
    Existing,
    /// Is added by this job.
    Proposed,
    /// Is taken out by this job.
    Removed,
}

/// A resistance element.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Element {
    /// Rated power.
    pub power: Power,
    /// Voltage at which it gives the rated power.
    pub voltage: Voltage,
}

/// One point of a heater's pressure drop.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PressureDropPoint {
    /// Flow.
    pub flow: VolumeFlow,
    /// Drop at that flow.
    pub drop: PressureDifference,
}

/// Relief device of a heater.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Relief {
    /// None fitted.
    None,
    /// Pressure relief valve on the heater's side of its isolation valves.
    Pressure,
    /// Temperature and pressure relief valve.
    TemperatureAndPressure,
    /// A relief valve that an isolation valve can cut off from the heater.
    CutOffByValve,
}
