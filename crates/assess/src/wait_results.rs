//! What an assessment says of water in motion: waits, cold slugs, dead legs, other places for the unit.
//!
//! Plain results like those of `assessment`; holds no computation.

use quantity::{Energy, Length, Temperature, Time, Volume};
use schemars::JsonSchema;
use serde::Serialize;

/// The hot side of a fixture: which heater, through which pipes, how long until hot water comes.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct HotPath {
    /// Heater.
    pub heater: String,
    /// Pipes from the heater to the fixture.
    pub pipes: Vec<String>,
    /// Length.
    pub length: Length,
    /// Volume that must be flushed, pipe only.
    pub volume: Volume,
    /// Of it, what lies in pipes that bring hot water to no other fixture.
    pub branch_volume: Volume,
    /// Wait with the hot side fully open, all pipes as cool as what surrounds them, in the coldest month.
    pub wait: Time,
    /// Whether the water then is as warm as wanted; if not, the wait is for the warmest that comes.
    pub reaches_use: bool,
    /// Water run off meanwhile.
    pub wasted: Volume,
    /// Heat run off with it, above the incoming water.
    pub wasted_heat: Energy,
    /// Of the wait, the time in which lukewarm water runs.
    pub lukewarm: Time,
    /// What a second draw gets after a short pause; none when it is warm at once and stays so.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub slug: Option<SlugResult>,
    /// Pipes form a loop here, so flows divide; the shortest way was taken.
    pub divides: bool,
}

/// Cooler water in a draw that follows another after a short pause.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct SlugResult {
    /// The pause.
    pub pause: Time,
    /// When the cooler water begins, after the tap opens again.
    pub begins: Time,
    /// How long it runs, all together.
    pub lasts: Time,
    /// How much of it.
    pub volume: Volume,
    /// Its coldest.
    pub coldest: Temperature,
}

/// Temperature at one fixture from opening it, today and after the work.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct WaitTrace {
    /// Fixture, in words.
    pub fixture: String,
    /// Temperature wanted.
    pub use_temperature: Temperature,
    /// As it is served today; empty when that is not known.
    pub today: Vec<(Time, Temperature)>,
    /// After the work.
    pub after: Vec<(Time, Temperature)>,
}

/// Pipes full of water that no fixture and no heater draws through in the mode designed for.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct DeadLegResult {
    /// Pipes.
    pub pipes: Vec<String>,
    /// Junctions where they hang on pipes in use; none for pipes cut off altogether.
    pub hangs_at: Vec<String>,
    /// Their length.
    pub length: Length,
    /// Water that stands in them.
    pub volume: Volume,
}

/// The on-demand unit at one place, and the waits it would leave.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PlacementResult {
    /// Which place.
    pub place: Placement,
    /// Heater that stands there today, for the place of the tank.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub instead_of: Option<String>,
    /// Wait at each fixture it serves there.
    pub waits: Vec<PlacementWait>,
    /// Water run off by one cold draw at each of them, together.
    pub run_off: Volume,
}

/// A place for the unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Placement {
    /// Where the record puts it.
    AsPlanned,
    /// Where the heater of today stands, serving the house from there.
    AtTodaysHeater,
    /// Right at the fixture that waits longest, serving it alone.
    AtTheFixture,
}

/// The wait at one fixture.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PlacementWait {
    /// Fixture, in words.
    pub fixture: String,
    /// Wait.
    pub wait: Time,
}
