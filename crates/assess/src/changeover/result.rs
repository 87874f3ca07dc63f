//! What the analysis of a change-over says: plain results, ready for a paper, a drawing or a machine.
//!
//! Holds no computation. Positions are told handle by handle, as a person turns them.

use crate::Head;
use quantity::Volume;
use schemars::JsonSchema;
use serde::Serialize;
use trace::{Assumption, Finding, Severity, Source};

/// Version of the form of [`ChangeOver`] as written to JSON.
pub const CHANGE_OVER_VERSION: u32 = 1;

/// Everything worked out about changing over between the sources of one job.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ChangeOver {
    /// Version of this form.
    pub schema: u32,
    /// Whose job, when.
    pub head: Head,
    /// The worst severity among the findings.
    pub worst: Severity,
    /// The answer in sentences, the most important first.
    pub lines: Vec<String>,
    /// What can be turned.
    pub handles: Vec<HandleResult>,
    /// How many states there are.
    pub states: StateCount,
    /// The hazards of the list, and how many states show each.
    pub hazards: Vec<HazardResult>,
    /// The wanted modes.
    pub modes: Vec<ModeStates>,
    /// Orders of moves between modes.
    pub orders: Vec<ChangeOrder>,
    /// What would make wanted modes and orders possible that are not, smallest first; or valves on one handle that make
    /// slips impossible.
    pub additions: Vec<AdditionResult>,
    /// Results of checks, worst first.
    pub findings: Vec<Finding>,
    /// What was assumed.
    pub assumptions: Vec<Assumption>,
    /// The usual cautions.
    pub cautions: Vec<String>,
}

/// Something a person turns.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct HandleResult {
    /// Its tag.
    pub tag: String,
    /// What it is for, in words; may be empty.
    pub purpose: String,
    /// The valves it turns.
    pub valves: Vec<String>,
    /// What its positions are called.
    pub positions: Vec<String>,
}

/// How many states there are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
pub struct StateCount {
    /// All: positions of handles, breakers, sources filled or empty.
    pub all: u64,
    /// Those that show a hazard which no order of moves may pass.
    pub forbidden_in_passing: u64,
    /// Those that show a hazard in which no mode may rest.
    pub forbidden_at_rest: u64,
}

/// A hazard of the list.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct HazardResult {
    /// What it is.
    pub title: String,
    /// How bad.
    pub severity: Severity,
    /// States that show it.
    pub states: u64,
    /// No order of moves may lead through it.
    pub in_passing: bool,
    /// No mode may rest in it.
    pub at_rest: bool,
    /// Why it matters.
    pub why: String,
    /// What helps.
    pub remedy: String,
    /// Where that comes from.
    pub source: Source,
}

/// Where one handle stands.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct HandlePosition {
    /// Its tag.
    pub tag: String,
    /// Its position in words.
    pub position: String,
    /// The mode works the same in any other of its positions.
    pub free: bool,
}

/// Where one valve stands, for a drawing.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct ValveStands {
    /// Its tag.
    pub tag: String,
    /// Open.
    pub open: bool,
}

/// A wanted mode and the states that realize it.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ModeStates {
    /// Its name.
    pub name: String,
    /// Heaters with power, by name.
    pub energized: Vec<String>,
    /// How many settings of the handles realize it, with all heaters filled.
    pub settings: u64,
    /// The positions written in the record are among them.
    pub as_written: bool,
    /// Where it rests; none when no setting realizes it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rest: Option<Rest>,
}

/// The state in which a mode rests.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Rest {
    /// Handles.
    pub handles: Vec<HandlePosition>,
    /// Valves.
    pub valves: Vec<ValveStands>,
    /// Heaters with power, by id.
    pub energized: Vec<String>,
    /// What feeds each fixture.
    pub feeds: Vec<FeedStates>,
    /// Which way water runs in each pipe when drawn.
    pub flows: Vec<PipeFlow>,
    /// Water that no draw moves.
    pub still: Vec<StillWater>,
    /// Single wrong moves that lead straight into a hazard.
    pub slips: Vec<Slip>,
}

/// What feeds one fixture.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct FeedStates {
    /// The fixture, by name.
    pub fixture: String,
    /// The heaters the water to its hot side passes, in order: one list for each way.
    pub hot: Vec<Vec<String>>,
    /// The same for its cold side.
    pub cold: Vec<Vec<String>>,
    /// Both in words.
    pub words: String,
}

/// Which way water runs in a pipe when drawn.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct PipeFlow {
    /// The pipe.
    pub pipe: String,
    /// How.
    pub runs: PipeRuns,
}

/// How water runs in a pipe.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum PipeRuns {
    /// From its `from` to its `to`.
    Forward,
    /// From its `to` to its `from`.
    Backward,
    /// Not at all.
    Still,
    /// Either way, by the draw.
    ByDraw,
}

/// Water that no draw moves.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct StillWater {
    /// The heater or pipe.
    pub part: String,
    /// A heater.
    pub is_heater: bool,
    /// How much.
    pub volume: Volume,
}

/// One wrong move out of a mode.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Slip {
    /// The move.
    pub words: String,
    /// The hazards it leads into.
    pub hazards: Vec<String>,
    /// The worst of them.
    pub severity: Severity,
}

/// An order of moves from one mode to another.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct ChangeOrder {
    /// The mode it begins in.
    pub from: String,
    /// The mode it ends in.
    pub to: String,
    /// Its moves; none when no order exists.
    pub steps: Vec<ChangeStep>,
    /// What was shown about it, in one sentence.
    pub outcome: String,
    /// Whether an order exists.
    pub exists: bool,
}

/// One move of an order, and the state after it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct ChangeStep {
    /// The move in words.
    pub words: String,
    /// Where the handles stand after it, in the order of [`ChangeOver::handles`].
    pub handles: Vec<String>,
    /// Heaters with power after it.
    pub energized: Vec<String>,
    /// Heaters empty after it.
    pub empty: Vec<String>,
    /// Hazards of the list that the state shows; each may be passed, none may be rested in.
    pub passes: Vec<String>,
    /// Fixtures without water on their hot side meanwhile.
    pub without_water: Vec<String>,
}

/// Something that would help.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct AdditionResult {
    /// What is added, one sentence each.
    pub words: Vec<String>,
    /// What it does.
    pub gain: String,
}
