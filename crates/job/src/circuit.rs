//! Element circuits and the cable runs they take.

use crate::Space;
use quantity::{ConductorSize, Current, Length, Ratio, Temperature};
use serde::{Deserialize, Serialize};

/// An element circuit. What is left out is designed; what is given is checked.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Circuit {
    /// Short name.
    pub id: String,
    /// The heater it serves.
    pub source: String,
    /// The elements it serves, counted from 1; all of them when left out.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub elements: Vec<u16>,
    /// The panel it comes from.
    pub panel: String,
    /// The cable run it takes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub route: Option<String>,
    /// Breaker.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = "40 A")]
    pub breaker: Option<Current>,
    /// Size of an ungrounded conductor.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub conductor: Option<ConductorSize>,
    /// Metal of the conductors.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub material: Option<ConductorMaterial>,
    /// Cable or insulation type.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cable: Option<CableType>,
    /// Size of the equipment ground.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = "10 AWG")]
    pub ground: Option<ConductorSize>,
    /// The heater needs 120 V for its controls, so a neutral comes along.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub needs_neutral: Option<bool>,
    /// The load counts as continuous (three hours or more), so breaker and conductor carry 125 %.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub continuous: Option<bool>,
    /// Largest voltage drop wanted in this circuit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub drop_target: Option<Ratio>,
    /// How the heater is disconnected from it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub disconnect: Option<Disconnect>,
    /// The receptacle of a heater with cord and plug stands on a circuit that serves others too.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub shared_receptacles: Option<bool>,
    /// Splices between breaker and heater.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub splices: Option<u16>,
    /// Stands there already.
    #[serde(default)]
    pub existing: bool,
}

impl Circuit {
    /// A new circuit to one element, counted from 1, with everything else left to be designed.
    pub fn to_one_element(id: String, source: String, panel: String, element: u16) -> Self {
        Self {
            id,
            source,
            elements: vec![element],
            panel,
            route: None,
            breaker: None,
            conductor: None,
            material: None,
            cable: None,
            ground: None,
            needs_neutral: None,
            continuous: None,
            drop_target: None,
            disconnect: None,
            shared_receptacles: None,
            splices: None,
            existing: false,
        }
    }
}

/// Metal of a conductor.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum ConductorMaterial {
    /// Copper.
    Copper,
    /// Aluminum.
    Aluminum,
}

/// Cable or insulation type.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
pub enum CableType {
    /// Nonmetallic-sheathed cable.
    #[serde(rename = "NM-B")]
    NmB,
    /// Underground feeder cable.
    #[serde(rename = "UF-B")]
    UfB,
    /// Service-entrance cable used inside.
    #[serde(rename = "SE")]
    Se,
    /// Metal-clad cable.
    #[serde(rename = "MC")]
    Mc,
    /// Single conductors THHN/THWN-2 in a raceway.
    #[serde(rename = "THWN-2")]
    Thwn2,
}

/// Raceway around the conductors.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
pub enum Raceway {
    /// Electrical metallic tubing.
    #[serde(rename = "EMT")]
    Emt,
    /// Rigid PVC conduit, schedule 40.
    #[serde(rename = "PVC 40")]
    Pvc40,
    /// Rigid PVC conduit, schedule 80.
    #[serde(rename = "PVC 80")]
    Pvc80,
}

/// How a heater is disconnected from its circuit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Disconnect {
    /// Breaker or switch within sight of the heater.
    InSight,
    /// Breaker out of sight, with a lock provision that stays in place.
    LockableBreaker,
    /// Plug and receptacle.
    Plug,
    /// None of these.
    None,
}

/// A cable run, from panel to heater.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Route {
    /// Short name.
    pub id: String,
    /// Its segments, in order from the panel.
    pub segments: Vec<Segment>,
    /// Spare length left at the ends.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = "2 ft")]
    pub slack: Option<Length>,
}

/// A stretch of a cable run in one surrounding.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Segment {
    /// The space it passes.
    pub space: Space,
    /// Length along the run.
    #[schemars(example = "40 ft")]
    pub length: Length,
    /// Hottest surrounding temperature, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = "110 °F")]
    pub ambient: Option<Temperature>,
    /// Current-carrying conductors of all cables lying together here, this circuit's included.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = 4)]
    pub current_carrying: Option<u16>,
    /// Cables touch thermal insulation, or pass a hole that is sealed with it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub in_insulation: Option<bool>,
    /// Raceway around the conductors.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub raceway: Option<Raceway>,
    /// Wet or damp.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wet: Option<bool>,
}
