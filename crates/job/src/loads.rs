//! What else uses electricity, and how the authority counts it.

use quantity::{ApparentPower, Area, Current, Power, Ratio, Voltage};
use serde::{Deserialize, Serialize};

/// What else uses electricity.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Loads {
    /// Floor area by outside dimensions, without open porches, garages and unfinished spaces.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub floor_area: Option<Area>,
    /// 20 A small-appliance circuits.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = 2)]
    pub small_appliance_circuits: Option<u16>,
    /// Laundry circuits.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub laundry_circuits: Option<u16>,
    /// Appliances on circuits of their own, fastened in place or with a nameplate.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub appliances: Vec<Appliance>,
    /// Measured maximum demand over a year.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub measured_maximum: Option<Power>,
    /// Power factor of the measured demand, where the meter tells it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = "95 %")]
    pub measured_power_factor: Option<Ratio>,
    /// Whether the authority lets the load of a heater taken out be subtracted from the measured demand.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub removed_heater_subtracted: Option<bool>,
    /// Current of each leg at the main panel in a busy hour with the heaters off, as measured.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub leg_currents: Vec<Current>,
    /// How the authority counts an on-demand heater.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub heater_counting: Option<HeaterCounting>,
    /// How the authority treats existing heating and cooling when none is added.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub existing_heating: Option<HeatingPolicy>,
}

/// An appliance.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Appliance {
    /// What it is, in words.
    pub name: String,
    /// What kind it is for the load calculation.
    pub kind: ApplianceKind,
    /// Nameplate power.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub power: Option<Power>,
    /// Nameplate apparent power.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub volt_amperes: Option<ApparentPower>,
    /// Nameplate current, with `voltage`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = "19 A")]
    pub current: Option<Current>,
    /// Nameplate voltage.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub voltage: Option<Voltage>,
    /// How many alike.
    #[serde(default = "one", skip_serializing_if = "is_one")]
    pub count: u16,
    /// Standing there, to be added, or to be removed.
    #[serde(default)]
    pub status: LoadStatus,
    /// A heater that an interlock or load control keeps off while this appliance runs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub interlocked_with: Option<String>,
}

fn one() -> u16 {
    1
}

#[allow(clippy::trivially_copy_pass_by_ref)] // serde hands a reference
fn is_one(count: &u16) -> bool {
    *count == 1
}

/// Kinds of appliance that load calculations treat differently.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum ApplianceKind {
    /// Range, oven or cooktop.
    Cooking,
    /// Clothes dryer.
    Dryer,
    /// Anything fastened in place: dishwasher, disposer, and so on. Water heaters belong in `sources`.
    Fixed,
    /// A motor load such as a well pump.
    Motor,
    /// Central electric space heating.
    CentralHeat,
    /// Separately controlled electric space heaters.
    RoomHeat,
    /// Air conditioning.
    Cooling,
    /// Heat pump, compressor only.
    HeatPump,
    /// Supplementary heat of a heat pump.
    SupplementaryHeat,
    /// Electric vehicle supply equipment.
    VehicleCharger,
}

/// Whether a load stands there already.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Hash, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum LoadStatus {
    /// Stands there and stays.
    #[default]
    Existing,
    /// Is added by this job.
    Added,
    /// Is taken out by this job.
    Removed,
}

/// How the authority counts an on-demand heater.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum HeaterCounting {
    /// Like any other appliance of the method, with its demand factor.
    WithAppliances,
    /// At full nameplate, outside any demand factor.
    FullNameplate,
    /// At 125 % of nameplate, as a continuous load, outside any demand factor.
    Continuous125,
}

/// How the authority treats existing heating and cooling in the existing-dwelling method when none is added.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum HeatingPolicy {
    /// The larger of heating and cooling at full value.
    LargerAtFull,
    /// Among the appliances, under their demand factor.
    WithAppliances,
    /// Not at all.
    NotCounted,
}
