//! The job record as types: one record from the first visit to the last, every section optional.
//!
//! In: what a person wrote, surveyed or planned. Out: plain data, and from [`validate`] all that cannot be used, at
//! once, each with its place and what to do. Start at [`Job`]. Missing is `None`, never a magic number: what stands in
//! for a missing value is decided, and recorded as an assumption, by `assess`.
//!
//! Knows no file format (see `jobfile`), no engine, no rule and no default.

mod about;
mod circuit;
mod fixture;
mod loads;
mod measurement;
mod piping;
mod prices;
mod service;
mod site;
mod source;
mod text_schema;
mod validate;
mod water_supply;
mod work;

pub use about::{About, ElectricalEdition, Language, PlumbingEdition};
pub use circuit::{CableType, Circuit, ConductorMaterial, Disconnect, Raceway, Route, Segment};
pub use fixture::{Fixture, FixtureKind, ScaldProtection, Together};
pub use loads::{Appliance, ApplianceKind, HeaterCounting, HeatingPolicy, LoadStatus, Loads};
pub use measurement::{Measurement, Meter};
pub use piping::{FittingKind, Junction, Mode, Pipe, PipeMaterial, Piping, Valve, ValveKind, ValvePosition};
pub use prices::{PriceItem, Prices};
pub use service::{
    Breaker, Drop, Feeder, NeutralGround, Panel, Service, SupplySystem, Transformer, WorkingSpace,
};
pub use site::{Mains, Site, Space, WaterOrigin};
pub use source::{Element, HeatSource, PowerControl, PressureDropPoint, Relief, SourceKind, SourceStatus};
pub use validate::validate;
pub use water_supply::{ExpansionTank, FlowingPressure, WaterSupply};
pub use work::SignOff;

use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// The newest version of the record that this program writes and reads.
pub const SCHEMA_VERSION: u32 = 1;

/// The job record.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Job {
    /// Version of this form; 1.
    pub schema: u32,
    /// Who, what, which units and editions.
    #[serde(default)]
    pub about: About,
    /// Where the house stands: climate, incoming water temperature, hardness.
    #[serde(default)]
    pub site: Site,
    /// The electrical supply to the house and its panels.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub service: Option<Service>,
    /// What else uses electricity.
    #[serde(default)]
    pub loads: Loads,
    /// The utility's interval data.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub meter: Option<Meter>,
    /// The water supply to the house.
    #[serde(default)]
    pub water: WaterSupply,
    /// The piping as a graph.
    #[serde(default)]
    pub piping: Piping,
    /// Taps, showers, tubs and machines.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub fixtures: Vec<Fixture>,
    /// Fixtures that run at the same time.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub together: Vec<Together>,
    /// Heaters: those that stand there and those planned.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub sources: Vec<HeatSource>,
    /// Element circuits.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub circuits: Vec<Circuit>,
    /// Cable runs by segment.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub routes: Vec<Route>,
    /// Sign-offs.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub work: Vec<SignOff>,
    /// What was measured.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub measurements: Vec<Measurement>,
    /// What was looked at on site and no other section holds, by the rule book's name of the fact: for each circuit,
    /// heater, panel, pipe, fixture or mode by its id, or for `job`, `service` and `water`.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub observed: BTreeMap<String, BTreeMap<String, String>>,
    /// Prices and rates.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub prices: Option<Prices>,
}
