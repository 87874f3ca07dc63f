//! What an assessment says of wiring, panels and the service beyond the bare circuit: plain results, no computation.
//!
//! Part of [`crate::Assessment`]; the rest stands in `assessment.rs`.

use quantity::{
    ApparentPower, ConductorSize, Current, Length, Power, Ratio, Temperature, Time, Volume, VolumeFlow,
};
use schemars::JsonSchema;
use serde::Serialize;

/// How a circuit is wired.
#[derive(Debug, Clone, PartialEq, Default, Serialize, JsonSchema)]
pub struct CircuitWiring {
    /// The wires of the supply its elements stand between, in words.
    pub wires: String,
    /// How warm its conductors get when the heater runs for hours; a draw of minutes leaves them cooler.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub conductor_temperature: Option<Temperature>,
    /// Available fault current at its end, where transformer and drop are recorded or the utility gave a figure.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fault_current: Option<Current>,
    /// Smallest trade size of its raceway, for all circuits of that run.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub raceway: Option<RacewayResult>,
    /// Volume that a box for one splice of its conductors needs.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub splice_box: Option<Volume>,
    /// Cable and conductor types, with what stands against each in the spaces of its run.
    pub types: Vec<SuitedType>,
    /// What the larger conductor for the voltage drop costs more.
    pub extra_for_drop: PriceDifference,
}

/// A raceway and how full it is.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct RacewayResult {
    /// Raceway and trade size, in words.
    pub name: String,
    /// Share that the conductors take.
    pub fill: Ratio,
    /// Share they may take.
    pub allowed: Ratio,
}

/// A cable or conductor type for a run.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct SuitedType {
    /// Its name.
    pub cable: String,
    /// What stands against it; none when it suits.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub against: Option<String>,
}

/// What one conductor costs more than another over a run.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum PriceDifference {
    /// Both are the same size.
    #[default]
    Same,
    /// So much more, with currency.
    Amount(String),
    /// A price is missing; names the items to price.
    Missing(Vec<String>),
}

/// Where new breakers go in a panel, and what must move.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PanelPlacement {
    /// New breakers with their spaces.
    pub added: Vec<PlacedBreaker>,
    /// Standing breakers that move, fewest possible.
    pub moves: Vec<MovedBreaker>,
    /// Sum of breaker ratings on each leg before.
    pub legs_before: Vec<Current>,
    /// The same after.
    pub legs_after: Vec<Current>,
    /// Text of the panel's directory after the work.
    pub directory: Vec<DirectoryEntry>,
}

/// A new breaker in its spaces.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PlacedBreaker {
    /// Circuit.
    pub circuit: String,
    /// Rating.
    pub rating: Current,
    /// Spaces, from the top.
    pub spaces: Vec<u16>,
}

/// A standing breaker that moves.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct MovedBreaker {
    /// What it feeds.
    pub label: String,
    /// Where it sits.
    pub from: Vec<u16>,
    /// Where it goes.
    pub to: Vec<u16>,
    /// It is replaced by a half-size breaker.
    pub half_size: bool,
    /// It comes to the other leg: look for a shared neutral first.
    pub changes_leg: bool,
}

/// A line of the directory.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct DirectoryEntry {
    /// Spaces, as on the panel's label.
    pub spaces: String,
    /// What stands there.
    pub text: String,
}

/// How the authority counts, as entered or assumed.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LoadProfile {
    /// On-demand heaters, in words.
    pub heater: String,
    /// Existing heating and cooling, in words.
    pub existing_heating: String,
    /// Whether a removed heater may be subtracted from measured demand.
    pub removed_heater_subtracted: bool,
    /// Power factor of the measured demand.
    pub measured_power_factor: Ratio,
}

/// The new heater counted in another way by the method for existing dwellings, because authorities differ.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct CountedOtherwise {
    /// How the heater counts, in words.
    pub heater: String,
    /// Short name of the method.
    pub method: String,
    /// Current.
    pub current: Current,
    /// What is left below the rating.
    pub margin: Current,
}

/// Something that could be done instead, and what it makes of the load.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ServiceAlternative {
    /// Short name.
    pub id: String,
    /// What is done, in words.
    pub what: String,
    /// Current by each method, in the order of the methods.
    pub by_method: Vec<AlternativeLoad>,
    /// Current of what can run at once.
    pub coincident: Current,
    /// Power of the new heater then.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub heater_power: Option<Power>,
    /// Flow it lifts to its set point in the coldest month then.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub flow_coldest: Option<VolumeFlow>,
    /// Service rating then.
    pub rating: Current,
}

/// The load by one method under an alternative.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct AlternativeLoad {
    /// Short name of the method.
    pub method: String,
    /// Current.
    pub current: Current,
    /// Whether it is within the rating.
    pub fits: bool,
}

/// Conductors of the service for a rating.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ServiceConductors {
    /// Rating.
    pub rating: Current,
    /// Copper.
    pub copper: ConductorSize,
    /// Aluminum.
    pub aluminum: ConductorSize,
    /// Article.
    pub article: String,
}

/// What stands beside the service's load: how it was counted, what else could be done, what others feel.
#[derive(Debug, Clone, PartialEq, Default, Serialize, JsonSchema)]
pub struct ServiceDetail {
    /// How the authority counts.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub profile: Option<LoadProfile>,
    /// The same house with the heater counted otherwise.
    pub counted_otherwise: Vec<CountedOtherwise>,
    /// Current by the measured demand with a removed heater subtracted, which the text does not provide for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub measured_with_credit: Option<Current>,
    /// What could be done instead.
    pub alternatives: Vec<ServiceAlternative>,
    /// Service conductors for the rating, and for the one an upgrade would have.
    pub conductors: Vec<ServiceConductors>,
    /// What the rest of the house feels.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub disturbance: Option<Disturbance>,
    /// Heating of the utility's transformer.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub transformer: Option<TransformerHeating>,
}

/// What the rest of the house feels of the heater.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Disturbance {
    /// Each way the heater switches.
    pub steps: Vec<SwitchingStep>,
    /// Changes in a minute that the flicker figures are for.
    pub changes_per_minute: u16,
    /// How it is known how often and how it switches.
    pub basis: String,
    /// Limits that severities and steps are held against, in words with their source.
    pub limits: Vec<String>,
}

/// One way the heater switches.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct SwitchingStep {
    /// What switches, in words.
    pub what: String,
    /// Share by which the voltage sinks at the transformer: what neighbors see.
    pub neighbors: Ratio,
    /// At the main panel, between the wires of the heater.
    pub panel: Ratio,
    /// At the end of a lamp circuit, the worse leg.
    pub lamp: Ratio,
    /// Short-term flicker severity at the lamp; none where the curve does not reach.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub severity: Option<Ratio>,
}

/// Heating of the utility's transformer: figures for a sheet to the utility.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TransformerHeating {
    /// Rating.
    pub rating: ApparentPower,
    /// Whether the rating is recorded.
    pub rating_recorded: bool,
    /// Houses on it.
    pub houses: u16,
    /// Load of one house without the heater.
    pub base_load: ApparentPower,
    /// Power of one such heater.
    pub heater: Power,
    /// Surrounding temperature.
    pub ambient: Temperature,
    /// How long each draw lasts.
    pub draw: Time,
    /// With none, one, … of the heaters running together.
    pub cases: Vec<TransformerCase>,
    /// What was taken, in words.
    pub basis: Vec<String>,
}

/// One number of heaters together.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TransformerCase {
    /// Heaters running together.
    pub heaters: u16,
    /// Load on the transformer.
    pub load: ApparentPower,
    /// Load over rating.
    pub share: Ratio,
    /// Hottest spot of the winding at the end of the draw.
    pub hot_spot: Temperature,
    /// Top oil at the end of the draw.
    pub top_oil: Temperature,
    /// How fast insulation ages at that hot spot, rated aging being one.
    pub aging: Ratio,
    /// Share by which the voltage at the transformer sinks meanwhile.
    pub sag: Ratio,
}

/// A circuit by the metric wiring rules.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct MetricCircuit {
    /// Circuit.
    pub circuit: String,
    /// Design current.
    pub design_current: Current,
    /// Breaker.
    pub breaker: Current,
    /// Conductor for breaker and surroundings.
    pub conductor: ConductorSize,
    /// Conductor that also meets the voltage drop, if any does.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub conductor_for_drop: Option<ConductorSize>,
    /// Its ampacity where it lies.
    pub ampacity: Current,
    /// How the ampacity came about.
    pub working: String,
    /// Protective conductor.
    pub protective: ConductorSize,
    /// Length one way.
    pub length: Length,
    /// Voltage drop over the nominal voltage.
    pub drop: Ratio,
    /// Where the figures come from.
    pub sources: Vec<String>,
}
