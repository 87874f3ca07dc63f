//! The piping as a graph: junctions, pipes with their fittings, valves, and the valve positions of each source mode.

use crate::Space;
use quantity::{Length, PipeSize};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// The piping as a graph. Pipes and valves join junctions by their ids; heaters and fixtures name theirs.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Piping {
    /// Places where pipes, valves, heaters and fixtures meet.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub junctions: Vec<Junction>,
    /// Pipes.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub pipes: Vec<Pipe>,
    /// Valves.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub valves: Vec<Valve>,
    /// Source modes: which heater serves the house, by which valve positions. The first is the one designed for.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub modes: Vec<Mode>,
}

/// A place where things meet.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Junction {
    /// Short name used elsewhere in the record.
    pub id: String,
    /// Height above the water entry.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = "8 ft")]
    pub height: Option<Length>,
}

/// A pipe of one material, size and surrounding.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Pipe {
    /// Short name.
    pub id: String,
    /// Junction at one end; the end nearer the supply, where that is known.
    pub from: String,
    /// Junction at the other end.
    pub to: String,
    /// Material.
    pub material: PipeMaterial,
    /// Nominal size.
    pub size: PipeSize,
    /// Length along the pipe.
    #[schemars(example = "12 ft")]
    pub length: Length,
    /// Fittings in it.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    #[schemars(schema_with = "fittings_schema")]
    pub fittings: BTreeMap<FittingKind, u16>,
    /// Thickness of insulation.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = "0.5 in")]
    pub insulation: Option<Length>,
    /// Space around it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub space: Option<Space>,
}

/// Schemars leaves the names of a map open; here they are the fittings.
fn fittings_schema(generator: &mut schemars::SchemaGenerator) -> schemars::Schema {
    let names = generator.subschema_for::<FittingKind>();
    let mut schema = generator.subschema_for::<BTreeMap<FittingKind, u16>>();
    schema.insert("propertyNames".to_owned(), names.to_value());
    schema
}

/// Pipe material.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum PipeMaterial {
    /// Copper tube type K.
    CopperK,
    /// Copper tube type L.
    CopperL,
    /// Copper tube type M.
    CopperM,
    /// Cross-linked polyethylene, SDR-9.
    Pex,
    /// Chlorinated PVC, copper tube size, SDR-11.
    Cpvc,
}

/// Fitting.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum FittingKind {
    /// 90 degree elbow.
    Elbow90,
    /// 45 degree elbow.
    Elbow45,
    /// Tee, flow straight through.
    TeeRun,
    /// Tee, flow turning into or out of the branch.
    TeeBranch,
    /// Coupling or union.
    Coupling,
}

/// A valve between two junctions.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Valve {
    /// Tag as it hangs on the valve.
    pub tag: String,
    /// Junction at one end; for a check valve the end the water comes from.
    pub from: String,
    /// Junction at the other end.
    pub to: String,
    /// Kind.
    pub kind: ValveKind,
    /// Nominal size.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub size: Option<PipeSize>,
    /// Position when nothing else is said.
    #[serde(default)]
    pub position: ValvePosition,
    /// Handle that turns it at once with the other valves of that handle, each out of its usual position or back into it.
    /// A three-way valve with an L port is two valves on one handle, one usually open and one usually closed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub handle: Option<String>,
    /// What it is for, in words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub purpose: Option<String>,
}

/// Valve kind.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum ValveKind {
    /// Full-port quarter-turn ball valve.
    Ball,
    /// Gate valve.
    Gate,
    /// Globe valve.
    Globe,
    /// Swing check valve.
    Check,
}

/// Valve position.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Hash, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum ValvePosition {
    /// Open.
    #[default]
    Open,
    /// Closed.
    Closed,
}

/// A source mode: which heaters are energized, and the valves whose position differs from their usual one.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Mode {
    /// Name of the mode.
    pub name: String,
    /// Valves open in it, by tag.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub open: Vec<String>,
    /// Valves closed in it, by tag.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub closed: Vec<String>,
    /// Heaters energized in it, by id.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub energized: Vec<String>,
}
