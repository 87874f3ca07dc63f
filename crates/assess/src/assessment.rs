//! What an assessment says: plain results, ready for a report, a drawing or a machine.
//!
//! Quantities are written as text with units; their exact values come back when read again. Results are recomputed, not
//! stored. Holds no computation.

use crate::assessment_power::{CircuitWiring, MetricCircuit, PanelPlacement, ServiceDetail};
use crate::{DeadLegResult, HotPath, PlacementResult, WaitTrace};
use job::{ConductorMaterial, FixtureKind, SourceKind, SourceStatus, SupplySystem};
use quantity::{
    ApparentPower, ConductorSize, Current, GaugePressure, Length, Power, PressureDifference, Ratio,
    Temperature, Time, UnitSystem, Velocity, Voltage, Volume, VolumeFlow,
};
use schemars::JsonSchema;
use serde::Serialize;
use trace::{Assumption, Finding, Origin, Severity};

/// Version of the form of [`Assessment`] as written to JSON.
pub const ASSESSMENT_VERSION: u32 = 1;

/// Everything worked out for one job.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Assessment {
    /// Version of this form.
    pub schema: u32,
    /// Whose job, when, by which editions.
    pub head: Head,
    /// The answer in short.
    pub verdict: Verdict,
    /// Incoming water through the year.
    pub mains: MainsYear,
    /// Heaters, standing and planned.
    pub heaters: Vec<HeaterResult>,
    /// Element circuits.
    pub circuits: Vec<CircuitResult>,
    /// The same circuits by the metric wiring rules, where the supply is one of those places.
    pub metric_circuits: Vec<MetricCircuit>,
    /// Panels.
    pub panels: Vec<PanelResult>,
    /// The service against its load.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub service: Option<ServiceResult>,
    /// Source modes.
    pub modes: Vec<ModeResult>,
    /// Fixtures, each alone.
    pub fixtures: Vec<FixtureResult>,
    /// Fixtures that run together.
    pub situations: Vec<SituationResult>,
    /// Tubs.
    pub tubs: Vec<TubResult>,
    /// Pressure and flow when fixtures run together, each tub runs wide open, everything runs; coldest month.
    pub pressures: Vec<PressureResult>,
    /// Temperature over time at the fixture that waits longest.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wait_trace: Option<WaitTrace>,
    /// The unit at this and other places.
    pub placements: Vec<PlacementResult>,
    /// Pipes in which water stands in the mode designed for.
    pub dead_legs: Vec<DeadLegResult>,
    /// Results of checks, worst first.
    pub findings: Vec<Finding>,
    /// What was assumed, most influential first.
    pub assumptions: Vec<Assumption>,
    /// The usual cautions.
    pub cautions: Vec<String>,
}

impl Assessment {
    /// The worst severity among the findings.
    pub fn worst(&self) -> Severity {
        self.verdict.worst
    }
}

/// Whose job, when, by which editions.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Head {
    /// Title of the job.
    pub title: String,
    /// Revision of the record.
    pub revision: String,
    /// Customer.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub customer: Option<String>,
    /// Address.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub address: Option<String>,
    /// Who prepared the record.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub prepared_by: Option<String>,
    /// Place.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
    /// Date of the assessment.
    #[schemars(with = "String")]
    pub date: jiff::civil::Date,
    /// Units for everything printed.
    pub units: UnitSystem,
    /// Electrical code edition applied.
    pub electrical_code: String,
    /// Plumbing code edition applied.
    pub plumbing_code: String,
    /// Version of this program.
    pub program: String,
}

/// The answer in short.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Verdict {
    /// The worst severity among the findings.
    pub worst: Severity,
    /// How many findings of each severity, worst first.
    pub counts: Vec<SeverityCount>,
    /// The answer in sentences, the most important first.
    pub lines: Vec<String>,
    /// The measurements that would firm it up most.
    pub measure_first: Vec<String>,
}

/// How many findings have one severity.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
pub struct SeverityCount {
    /// Severity.
    pub severity: Severity,
    /// Count.
    pub count: usize,
}

/// Incoming water through the year.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct MainsYear {
    /// How it is known.
    pub origin: Origin,
    /// How it was found, in words, with its source.
    pub basis: String,
    /// Mean of each month, January first; empty when only the extremes are known.
    pub months: Vec<Temperature>,
    /// In the coldest month: decides the power needed.
    pub coldest: Temperature,
    /// Name of the coldest month, where known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub coldest_month: Option<u8>,
    /// In the warmest month: decides activation.
    pub warmest: Temperature,
    /// Number of the warmest month, where known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub warmest_month: Option<u8>,
}

/// A heater.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct HeaterResult {
    /// Its id in the record.
    pub id: String,
    /// What it is, in words.
    pub name: String,
    /// Kind.
    pub kind: SourceKind,
    /// Standing, proposed or removed.
    pub status: SourceStatus,
    /// Set point.
    pub set_point: Temperature,
    /// Power on its label, all elements that can run at once.
    pub rated_power: Power,
    /// Power it really gets, all its circuits at once, at the voltage of [`CircuitResult::element_voltage`].
    pub delivered_power: Power,
    /// Delivered over rated.
    pub delivered_share: Ratio,
    /// Flow it can lift from the coldest mains to its set point (on-demand units).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub flow_at_set_point_coldest: Option<VolumeFlow>,
    /// The same in the warmest month.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub flow_at_set_point_warmest: Option<VolumeFlow>,
    /// Largest mixed flow at 105 °F (40.6 °C) by month, or of coldest and warmest where only these are known.
    pub shower_flow_by_month: Vec<VolumeFlow>,
    /// Curves of outlet temperature over flow, for the chart.
    pub curves: Vec<OutletCurve>,
    /// Activation flow.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub activation_flow: Option<VolumeFlow>,
}

/// Outlet temperature over flow at one incoming temperature.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct OutletCurve {
    /// What it stands for.
    pub label: String,
    /// Incoming temperature.
    pub inlet: Temperature,
    /// Flow and temperature, by rising flow.
    pub points: Vec<(VolumeFlow, Temperature)>,
}

/// An element circuit.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct CircuitResult {
    /// Its id in the record.
    pub id: String,
    /// The heater it serves.
    pub heater: String,
    /// Panel it comes from.
    pub panel: String,
    /// Stands there already.
    pub existing: bool,
    /// Elements on it, in words.
    pub elements: String,
    /// Current at rated voltage.
    pub load_current: Current,
    /// Current the breaker and the conductor must carry: with 125 % where the load counts as continuous.
    pub required_current: Current,
    /// Whether it was counted as continuous.
    pub continuous: bool,
    /// Breaker entered or designed.
    pub breaker: Current,
    /// Smallest standard breaker for the load.
    pub breaker_min: Current,
    /// Conductor entered or designed.
    pub conductor: ConductorSize,
    /// Whether the record gave the conductor.
    pub conductor_entered: bool,
    /// Smallest conductor for load, breaker and surroundings.
    pub conductor_min: ConductorSize,
    /// Smallest conductor for the voltage drop wanted, if any carries it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub conductor_for_drop: Option<ConductorSize>,
    /// Metal.
    pub material: ConductorMaterial,
    /// Cable or insulation type, in words.
    pub cable: String,
    /// Ampacity of the conductor in its surroundings.
    pub ampacity: Current,
    /// How the ampacity came about.
    pub ampacity_working: String,
    /// Equipment ground.
    pub ground: ConductorSize,
    /// Insulated conductors besides the ground: two, or three with a neutral.
    pub insulated_conductors: u8,
    /// Length one way, slack included.
    pub length: Length,
    /// Voltage at the beginning of the branch, the heater running.
    pub panel_voltage: Voltage,
    /// Voltage at the elements.
    pub element_voltage: Voltage,
    /// Voltage lost in the branch.
    pub drop: Voltage,
    /// The same as a share of the voltage at its beginning.
    pub drop_share: Ratio,
    /// Drop allowed.
    pub drop_target: Ratio,
    /// Current as it really runs.
    pub running_current: Current,
    /// Power delivered.
    pub delivered_power: Power,
    /// Longest one-way length for each size within the drop wanted, smallest size first.
    pub longest: Vec<LongestLength>,
    /// How it is wired.
    pub wiring: CircuitWiring,
}

/// The longest run of one conductor size.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct LongestLength {
    /// Size.
    pub conductor: ConductorSize,
    /// One-way length at which the drop wanted is reached.
    pub length: Length,
    /// Whether its ampacity is enough for the load.
    pub carries: bool,
}

/// A panel.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PanelResult {
    /// Its id in the record.
    pub id: String,
    /// Fed from.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fed_from: Option<String>,
    /// Main breaker or feeder breaker.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rating: Option<Current>,
    /// Spaces in all.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub spaces: Option<u16>,
    /// Free full-size spaces.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub free_spaces: Option<u16>,
    /// Adjacent free pairs, where the breakers are listed with their places.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub free_pairs: Option<u16>,
    /// Spaces the new circuits need.
    pub needed_spaces: u16,
    /// What becomes free when this job's removals are done.
    pub freed_spaces: u16,
    /// Where the new breakers go, when every breaker is listed with its spaces and there is room.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub placement: Option<PanelPlacement>,
    /// Why the new breakers find no room, when every breaker is listed with its spaces.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub no_room: Option<String>,
    /// Available fault current at it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fault_current: Option<Current>,
}

/// The service against its load.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ServiceResult {
    /// Nominal system.
    pub system: SupplySystem,
    /// Nominal voltage between legs.
    pub voltage: Voltage,
    /// Rating.
    pub rating: Current,
    /// Every load method that applies.
    pub methods: Vec<LoadResult>,
    /// Nameplates that can run at once, without any demand factor.
    pub coincident: LoadResult,
    /// Share by which the voltage at the main panel sinks when the heater comes on.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub voltage_step: Option<Ratio>,
    /// Available fault current at the main panel.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fault_current: Option<Current>,
    /// How it was counted, what else could be done, what others feel.
    pub detail: ServiceDetail,
}

/// One load calculation.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LoadResult {
    /// Short name of the method.
    pub id: String,
    /// The method, in words.
    pub method: String,
    /// Article of the edition.
    pub article: String,
    /// The lines.
    pub lines: Vec<LoadLineResult>,
    /// Sum.
    pub total: ApparentPower,
    /// Sum over the nominal voltage.
    pub current: Current,
    /// What is left below the rating; negative when it is passed.
    pub margin: Current,
}

/// A line of a load calculation.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LoadLineResult {
    /// What it counts.
    pub label: String,
    /// Before the factor.
    pub connected: ApparentPower,
    /// Factor, in words or percent.
    pub factor: String,
    /// After the factor; none for an item that a subtotal counts, or one left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub counted: Option<ApparentPower>,
}

/// A source mode.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ModeResult {
    /// Its name.
    pub name: String,
    /// Valves with their position.
    pub valves: Vec<ValveResult>,
    /// Heaters energized.
    pub energized: Vec<String>,
    /// For each fixture, the heaters whose hot side it reaches.
    pub feeds: Vec<FeedResult>,
}

/// A valve in one mode.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct ValveResult {
    /// Tag.
    pub tag: String,
    /// What it is for.
    pub purpose: String,
    /// Open.
    pub open: bool,
}

/// Which heaters a fixture reaches.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct FeedResult {
    /// Fixture.
    pub fixture: String,
    /// Heaters.
    pub heaters: Vec<String>,
}

/// A fixture running alone.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct FixtureResult {
    /// Its id in the record.
    pub id: String,
    /// What it is, in words.
    pub name: String,
    /// Kind.
    pub kind: FixtureKind,
    /// Use temperature.
    pub use_temperature: Temperature,
    /// Flow on its label or as measured.
    pub rated_flow: VolumeFlow,
    /// Flow it gets through its piping, in the mode designed for.
    pub flow: VolumeFlow,
    /// Pressure left at it while it runs.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pressure: Option<GaugePressure>,
    /// Pressure lost on the way, heater included.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pressure_loss: Option<PressureDifference>,
    /// Highest velocity on the way.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub velocity: Option<Velocity>,
    /// Pipe with the highest velocity.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fastest_pipe: Option<String>,
    /// The hot side in the mode designed for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub after: Option<HotPath>,
    /// The hot side as it is served today.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub today: Option<HotPath>,
    /// Hot share in the coldest month.
    pub hot_share_coldest: Ratio,
    /// Hot flow in the warmest month: what the heater sees.
    pub hot_flow_warmest: VolumeFlow,
    /// Power it takes in the coldest month.
    pub power_coldest: Power,
    /// Temperature at the tap in the coldest month, running alone at its flow.
    pub temperature_coldest: Temperature,
    /// Largest flow that reaches the use temperature in the coldest month.
    pub sustainable_flow: VolumeFlow,
}

/// Fixtures that run together.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct SituationResult {
    /// Its name.
    pub name: String,
    /// Heater that serves them.
    pub heater: String,
    /// Fixtures, in words.
    pub fixtures: Vec<String>,
    /// Highest use temperature among them.
    pub use_temperature: Temperature,
    /// Mixed flow of all.
    pub flow: VolumeFlow,
    /// In the coldest month.
    pub coldest: SituationHeat,
    /// In the warmest month.
    pub warmest: SituationHeat,
    /// Months (1 to 12) in which the heater holds the use temperature; empty when months are not known.
    pub holds_in_months: Vec<u8>,
}

/// Heat of a situation at one incoming temperature.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct SituationHeat {
    /// Incoming temperature.
    pub inlet: Temperature,
    /// Power it takes.
    pub power_needed: Power,
    /// Power there is.
    pub power_available: Power,
    /// Whether the power suffices.
    pub holds: bool,
    /// Flow through the heater.
    pub heater_flow: VolumeFlow,
    /// Mixed temperature people get at their flow when it does not.
    pub temperature: Temperature,
    /// Share of the flow that can be had at the use temperature; at most 1.
    pub flow_share: Ratio,
}

/// Pressure and flow in one situation, with all its fixtures open, in the coldest month.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PressureResult {
    /// Name of the situation.
    pub name: String,
    /// Its fixtures.
    pub fixtures: Vec<FixturePressure>,
    /// Heaters that are connected.
    pub heaters: Vec<HeaterPressure>,
    /// Pipe with the highest velocity.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fastest_pipe: Option<String>,
    /// Its velocity.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub velocity: Option<Velocity>,
}

/// A fixture among others.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct FixturePressure {
    /// Its id in the record.
    pub id: String,
    /// What it is, in words.
    pub name: String,
    /// Flow it gets.
    pub flow: VolumeFlow,
    /// Pressure at it; none where no water reaches it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pressure: Option<GaugePressure>,
    /// Temperature of the mix, where it has a hot and a cold side.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub temperature: Option<Temperature>,
    /// Flow to aim at, for a tub that has to be closed down to stay hot.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub aim_flow: Option<VolumeFlow>,
}

/// A heater while fixtures run.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct HeaterPressure {
    /// Its id in the record.
    pub id: String,
    /// Flow through it.
    pub flow: VolumeFlow,
    /// Pressure at its inlet.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub inlet_pressure: Option<GaugePressure>,
    /// Temperature behind it, when it is energized.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub outlet: Option<Temperature>,
    /// Whether it holds its set point.
    pub holds_set_point: bool,
}

/// A tub.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TubResult {
    /// Its id in the record.
    pub id: String,
    /// What it is, in words.
    pub name: String,
    /// Volume filled.
    pub volume: Volume,
    /// Flow with the filler wide open.
    pub open_flow: VolumeFlow,
    /// Temperature at that flow in the coldest month.
    pub open_temperature: Temperature,
    /// Time to fill at that flow.
    pub open_time: Time,
    /// Flow to throttle to in the coldest month.
    pub throttled_flow: VolumeFlow,
    /// Time to fill at that flow.
    pub throttled_time: Time,
    /// Whether it must be throttled at all.
    pub must_throttle: bool,
}
