//! The electrical supply to the house: nominal system, rating, what stands upstream, the panels.

use crate::{ConductorMaterial, Space};
use quantity::{ApparentPower, ConductorSize, Current, Length, Ratio, Voltage};
use serde::{Deserialize, Serialize};

/// The electrical supply to the house.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Service {
    /// Nominal system.
    pub system: SupplySystem,
    /// Rating: the smallest of main breaker, service conductors, meter base and bus.
    #[schemars(example = "200 A")]
    pub rating: Current,
    /// Voltage between the two legs measured at the main panel under light load.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = "241 V")]
    pub measured_voltage: Option<Voltage>,
    /// The utility's transformer.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub transformer: Option<Transformer>,
    /// Conductors from the transformer to the main panel.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub drop: Option<Drop>,
    /// Available fault current at the main panel, from the utility or computed by others.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = "10 kA")]
    pub fault_current: Option<Current>,
    /// The service disconnect stands outside, ahead of the main panel, which then is no service equipment.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub disconnect_outside: Option<bool>,
    /// The panels; the main one has no `fed_from`.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub panels: Vec<Panel>,
}

/// Nominal supply system.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
pub enum SupplySystem {
    /// 120/240 V single phase, three wires.
    #[serde(rename = "120/240 V")]
    SplitPhase120_240,
    /// Two legs of 208Y/120 V, as in many apartment buildings.
    #[serde(rename = "120/208 V")]
    TwoLegs120_208,
    /// 230 V single phase.
    #[serde(rename = "230 V")]
    Single230,
    /// 400Y/230 V three phase.
    #[serde(rename = "230/400 V")]
    ThreePhase230_400,
}

/// The utility's transformer.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Transformer {
    /// Rating on its label.
    #[schemars(example = "25 kVA")]
    pub rating: ApparentPower,
    /// Impedance.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = "2 %")]
    pub impedance: Option<Ratio>,
    /// How many houses share it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = 4)]
    pub houses: Option<u16>,
}

/// Service conductors from the transformer to the main panel.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Drop {
    /// Size of one conductor.
    #[schemars(example = "4/0 AWG")]
    pub conductor: ConductorSize,
    /// Metal.
    pub material: ConductorMaterial,
    /// Length one way.
    #[schemars(example = "80 ft")]
    pub length: Length,
}

/// A panel.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Panel {
    /// Short name used elsewhere in the record.
    pub id: String,
    /// The panel that feeds it; none for the main panel.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fed_from: Option<String>,
    /// The feeder to it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub feeder: Option<Feeder>,
    /// Bus rating.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = "200 A")]
    pub bus_rating: Option<Current>,
    /// Main breaker, where it has one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = "200 A")]
    pub main_breaker: Option<Current>,
    /// Full-size breaker spaces in all.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = 30)]
    pub spaces: Option<u16>,
    /// Free full-size spaces, when the breakers are not listed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = 4)]
    pub free_spaces: Option<u16>,
    /// Breakers in it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub breakers: Vec<Breaker>,
    /// Whether the panel's listing allows half-size breakers.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub half_size_allowed: Option<bool>,
    /// Spaces that take half-size breakers, where the listing allows them in some only; all when left out.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub half_size_spaces: Vec<u16>,
    /// How neutrals and equipment grounds are held.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub neutral_ground: Option<NeutralGround>,
    /// Temperature marking of its terminals and breakers, degrees Celsius: 60 or 75.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = 75)]
    pub terminal_rating_c: Option<u8>,
    /// Interrupting rating of its breakers.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = "10 kA")]
    pub interrupting_rating: Option<Current>,
    /// Where it hangs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub space: Option<Space>,
    /// Room kept clear before it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub working_space: Option<WorkingSpace>,
    /// Whether its directory names every circuit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub directory_complete: Option<bool>,
}

/// Conductors and breaker that feed a panel from another.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Feeder {
    /// Breaker at its beginning.
    #[schemars(example = "60 A")]
    pub breaker: Current,
    /// Size of one conductor.
    #[schemars(example = "6 AWG")]
    pub conductor: ConductorSize,
    /// Metal.
    pub material: ConductorMaterial,
    /// Length one way.
    pub length: Length,
    /// Insulated neutral and separate equipment ground (four wires).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub four_wire: Option<bool>,
}

/// A breaker in a panel.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Breaker {
    /// What it feeds.
    pub label: String,
    /// Rating.
    #[schemars(example = "20 A")]
    pub rating: Current,
    /// Poles.
    pub poles: u8,
    /// Spaces it sits in, counted as on the panel's label.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub at: Vec<u16>,
    /// Its circuit shares a neutral with another one, so it stays on its leg.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub shares_neutral: bool,
}

/// How a panel holds neutrals and equipment grounds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum NeutralGround {
    /// On one shared, bonded bar.
    SharedBar,
    /// On separate bars, the neutral bar bonded to the enclosure.
    SeparateBonded,
    /// On separate bars, the neutral bar isolated from the enclosure.
    SeparateIsolated,
}

/// Room kept clear before a panel.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WorkingSpace {
    /// Depth, from the live parts or the enclosure front.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = "36 in")]
    pub depth: Option<Length>,
    /// Width.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = "30 in")]
    pub width: Option<Length>,
    /// Height.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = "6.5 ft")]
    pub height: Option<Length>,
    /// Whether a pipe or duct crosses the room above or below the panel kept for electrical equipment.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub foreign_piping: Option<bool>,
}
