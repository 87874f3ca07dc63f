//! Taps, showers, tubs and machines, and which of them run together.

use quantity::{GaugePressure, Temperature, Time, Volume, VolumeFlow};
use serde::{Deserialize, Serialize};

/// A fixture.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Fixture {
    /// Short name used elsewhere in the record.
    pub id: String,
    /// What it is, in words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// Kind.
    pub kind: FixtureKind,
    /// Junction of its hot side.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hot: Option<String>,
    /// Junction of its cold side; none for a machine that takes hot water only.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cold: Option<String>,
    /// Flow at the rated pressure: measured, or from its label.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = "2 gpm")]
    pub rated_flow: Option<VolumeFlow>,
    /// Pressure at which the rated flow holds.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = "80 psi")]
    pub rated_pressure: Option<GaugePressure>,
    /// Keeps its flow when the pressure varies.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pressure_compensated: Option<bool>,
    /// Temperature people use it at.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = "105 °F")]
    pub use_temperature: Option<Temperature>,
    /// Volume of a tub as filled.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = "40 gal")]
    pub fill_volume: Option<Volume>,
    /// Its protection against scalding.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub protection: Option<ScaldProtection>,
    /// How often it is used in a day.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = 2.0)]
    pub uses_per_day: Option<f64>,
    /// How long one use takes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub use_time: Option<Time>,
}

/// Kind of fixture.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum FixtureKind {
    /// Shower.
    Shower,
    /// Filler of a tub.
    TubFiller,
    /// Lavatory.
    Lavatory,
    /// Kitchen sink.
    KitchenSink,
    /// Laundry sink.
    LaundrySink,
    /// Bidet.
    Bidet,
    /// Dishwasher.
    Dishwasher,
    /// Clothes washer.
    ClothesWasher,
}

/// Protection of a fixture against scalding.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum ScaldProtection {
    /// None.
    None,
    /// Pressure-balancing valve (ASSE 1016 type P).
    PressureBalanced,
    /// Thermostatic valve (ASSE 1016 type T or T/P).
    Thermostatic,
    /// Temperature-limiting device (ASSE 1070).
    Limiting,
}

/// Fixtures that run at the same time.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Together {
    /// What this situation is called.
    pub name: String,
    /// The fixtures, by id.
    pub fixtures: Vec<String>,
    /// The owner expects it all year; yes unless said otherwise.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub promised: Option<bool>,
}
