//! Where the house stands: climate, incoming water, and the spaces that runs pass through.

use quantity::{Hardness, Length, Temperature};
use serde::{Deserialize, Serialize};

/// Where the house stands.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Site {
    /// Town, in words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
    /// Degrees north (south is negative).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = 39.76)]
    pub latitude: Option<f64>,
    /// Degrees east (west is negative).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = -84.19)]
    pub longitude: Option<f64>,
    /// Postal code; finds a climate station when no position is given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub postal_code: Option<String>,
    /// Id of the climate station to use instead of the nearest.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub climate_station: Option<String>,
    /// Height above sea level.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = "750 ft")]
    pub elevation: Option<Length>,
    /// Hardness of the water.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hardness: Option<Hardness>,
    /// Incoming water temperature, where it was measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mains: Option<Mains>,
}

/// Incoming water temperature as measured; overrides the model.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Mains {
    /// In the coldest month.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = "42 °F")]
    pub coldest: Option<Temperature>,
    /// In the warmest month.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(example = "70 °F")]
    pub warmest: Option<Temperature>,
    /// Where the water comes from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub origin: Option<WaterOrigin>,
}

/// Where the water comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum WaterOrigin {
    /// A public main.
    Main,
    /// A well: near the yearly mean air temperature all year.
    Well,
}

/// A kind of space that a cable or pipe run passes through.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Space {
    /// Heated and cooled rooms and the walls between them.
    Indoors,
    /// Basement.
    Basement,
    /// Crawlspace.
    Crawlspace,
    /// Attic.
    Attic,
    /// Garage, attached or detached.
    Garage,
    /// Inside an outside wall.
    OutsideWall,
    /// In the open.
    Outdoors,
    /// In the ground.
    Buried,
    /// In a concrete slab.
    Slab,
}
