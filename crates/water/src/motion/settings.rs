//! The tunable numbers of a run, with their defaults and what more or less of each does.

use quantity::{Ratio, TemperatureDifference};

/// How fast the wall of a pipe takes part in the heat.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum WallHeat {
    /// At the rate of its film and its own resistance.
    #[default]
    AtItsRate,
    /// At once: wall and water are one.
    AtOnce,
}

/// Settings of a run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settings {
    /// Spread of temperature held within one parcel. Smaller: finer fronts, more parcels, slower. Default 0.8 °C.
    pub resolution: TemperatureDifference,
    /// How far the hot or cold side of a tap drifts before whoever stands there turns it. Smaller: steadier blend, more
    /// events. Default 1 °C.
    pub tap_tolerance: TemperatureDifference,
    /// How far below the use temperature water already counts as useful. Larger: shorter waits. Default 1 °C, an own
    /// choice: nobody tells less apart in a shower.
    pub useful_within: TemperatureDifference,
    /// Most parcels in one pipe; beyond it the two neighbors that differ least become one, which loses detail and no
    /// heat. Default 40, at least 4.
    pub parcels_max: usize,
    /// How fast walls follow. At once: sharper and later fronts. Default at their rate.
    pub wall: WallHeat,
    /// Multiplies the variance by which the stream spreads a front. More: longer waits for the last degrees. Default 1; see
    /// [`spread`](super::spread) for what it was compared with.
    pub front_variance: Ratio,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            resolution: TemperatureDifference::from_celsius(0.8),
            tap_tolerance: TemperatureDifference::from_celsius(1.0),
            useful_within: TemperatureDifference::from_celsius(1.0),
            parcels_max: 40,
            wall: WallHeat::AtItsRate,
            front_variance: Ratio::from_fraction(1.0),
        }
    }
}
