//! A draw as asked and as served.

use super::plan::TapId;
use quantity::{Energy, Temperature, Time, Volume, VolumeFlow};

/// Somebody opens a tap and closes it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Draw {
    /// The tap.
    pub tap: TapId,
    /// When it opens.
    pub opens: Time,
    /// How long it runs.
    pub runs: Time,
    /// Flow held, hot and cold together.
    pub flow: VolumeFlow,
    /// Temperature wanted; none for cold water alone.
    pub use_temperature: Option<Temperature>,
    /// Whether to keep the temperature at the tap over time.
    pub traced: bool,
}

/// What a draw got.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawResult {
    /// The tap.
    pub tap: TapId,
    /// When it opened.
    pub opens: Time,
    /// From opening to useful water; none when it never came, or cold water was asked.
    pub wait: Option<Time>,
    /// Water run off until then, or all of it.
    pub run_off: Volume,
    /// Heat in it above the incoming water.
    pub run_off_heat: Energy,
    /// Water drawn.
    pub volume: Volume,
    /// Of it, from the hot side.
    pub hot_volume: Volume,
    /// Heat drawn above the incoming water.
    pub heat: Energy,
    /// Time with water warmer than half way from incoming to use temperature, yet not useful.
    pub lukewarm: Time,
    /// Cooler water after useful water had come.
    pub cold_slug: Option<ColdSlug>,
    /// Warmest water at the tap.
    pub warmest: Temperature,
    /// Temperature over time since opening, where asked.
    pub trace: Vec<TracePoint>,
}

/// Cooler water between useful water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ColdSlug {
    /// When it begins, after opening.
    pub begins: Time,
    /// How long water below the useful temperature runs, all together.
    pub lasts: Time,
    /// How much of it.
    pub volume: Volume,
    /// Its coldest.
    pub coldest: Temperature,
}

/// One point of a trace.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TracePoint {
    /// Since opening, at the end of the piece.
    pub time: Time,
    /// Temperature of the piece.
    pub temperature: Temperature,
}
