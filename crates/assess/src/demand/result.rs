//! What laying the heater over the measured demand says.

use quantity::{Current, Energy, Power, Ratio, Time};
use serde::Serialize;
use trace::Assumption;

/// How high the house peaks with the heater.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DemandOverlay {
    /// Simulated years.
    pub years: u32,
    /// Seed.
    pub seed: u64,
    /// People in the house.
    pub people: u16,
    /// Power the proposed units deliver.
    pub unit_power: Power,
    /// Rating of the service.
    pub rating: Current,
    /// Power at which the rating is just reached, legs balanced, power factor 1.
    pub rating_power: Power,
    /// Usual interval of the meter.
    pub interval: Time,
    /// Recorded time laid over.
    pub recorded: Time,
    /// Measured maximum of that time, without the heater.
    pub measured_maximum: Power,
    /// Peak of a year over an interval of the meter.
    pub by_interval: Peaks,
    /// Peak of a year over one minute.
    pub by_minute: Peaks,
    /// Stretches above the rating, by their length.
    pub runs: Vec<RunAbove>,
    /// Mean time above the rating in a year.
    pub above_per_year: Time,
    /// Mean energy of the heater in a day.
    pub hot_water_per_day: Energy,
    /// The day of the highest minute of all years.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub worst_day: Option<OverlayDay>,
    /// What was assumed.
    pub assumptions: Vec<Assumption>,
}

/// Peaks of the simulated years.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Peaks {
    /// Lowest of all years.
    pub lowest: Power,
    /// One year in ten stays below this.
    pub tenth: Power,
    /// Half of the years stay below this.
    pub median: Power,
    /// Nine years in ten stay below this.
    pub ninetieth: Power,
    /// Highest of all years.
    pub highest: Power,
    /// Years whose peak passes the rating.
    pub years_above: u32,
    /// The same as a share: how probable it is that a year passes the rating.
    pub probability_above: Ratio,
    /// Every year's peak, rising.
    pub all: Vec<Power>,
}

/// A stretch of minutes above the rating.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct RunAbove {
    /// At least so long without a break.
    pub at_least: Time,
    /// Years with such a stretch.
    pub years: u32,
    /// The same as a share.
    pub probability: Ratio,
}

/// A day minute by minute.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OverlayDay {
    /// Date.
    pub date: String,
    /// Measured demand of each minute from midnight; none where nothing was recorded.
    pub measured: Vec<Option<Power>>,
    /// With the heater.
    pub with_heater: Vec<Option<Power>>,
}
