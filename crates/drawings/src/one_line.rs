//! The electrical one-line diagram: from the utility transformer to each element of the heater.
//!
//! In: a [`OneLine`] filled by the caller from its own results. Out: a [`Drawing`](crate::shape::Drawing) by
//! [`diagram`], or an indented tree of lines for a terminal ([`crate::plain::one_line_tree`]). Start at [`OneLine`].
//!
//! The sheet reads from the top: the supply runs down the left edge into the bus of the main panel; circuits leave the
//! bus to the right, one row each; a subpanel stands below its feeder, one step further in. Any number of panels,
//! circuits and elements; names wrap. What is new is drawn with heavy lines, what stays with light ones, what goes with
//! dashes, and each says so in a word. Computes nothing; a value that is not known is `None` and is left out or called
//! unknown.

mod layout;
mod legend;
mod rows;
mod supply_line;
pub(crate) mod words;

pub use layout::diagram;

use crate::title_block::TitleBlock;
use quantity::{ApparentPower, ConductorSize, Current, Length, Power, Ratio, UnitSystem, Voltage, Volume};

/// Everything the one-line diagram shows.
#[derive(Debug, Clone, PartialEq)]
pub struct OneLine {
    /// What the title block says.
    pub title_block: TitleBlock,
    /// Units for lengths and volumes.
    pub units: UnitSystem,
    /// From the utility to the main panel.
    pub supply: Supply,
    /// The main panel with all that hangs on it.
    pub main: Panel,
    /// Remarks below the diagram, numbered when drawn.
    pub notes: Vec<String>,
}

/// Whether a thing stands there today.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Status {
    /// Stands there and stays.
    #[default]
    Existing,
    /// Comes with this job.
    New,
    /// Goes with this job.
    Removed,
}

/// The supply up to the main panel.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Supply {
    /// The system, such as "120/240 V, single phase, 3-wire".
    pub system: String,
    /// Rating of the utility transformer, if known.
    pub transformer: Option<ApparentPower>,
    /// Whether the transformer is there today.
    pub transformer_status: Status,
    /// Conductors from the transformer to the meter, if known.
    pub service_drop: Option<Wiring>,
    /// Words beside the meter, such as its number or class; may be empty.
    pub meter: String,
    /// Whether the meter is there today.
    pub meter_status: Status,
    /// Conductors from the meter to the main panel, if known.
    pub service_entrance: Option<Wiring>,
}

/// What a conductor is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Metal {
    /// Copper.
    Copper,
    /// Aluminum.
    Aluminum,
}

/// Conductors of a circuit, feeder or service.
#[derive(Debug, Clone, PartialEq)]
pub struct Wiring {
    /// Whether they are there today.
    pub status: Status,
    /// Number of ungrounded (hot) conductors.
    pub hot_conductors: u8,
    /// Their size, if known.
    pub size: Option<ConductorSize>,
    /// Their metal, if known.
    pub metal: Option<Metal>,
    /// Size of the neutral, if there is one.
    pub neutral: Option<ConductorSize>,
    /// Size of the equipment ground, if there is one.
    pub ground: Option<ConductorSize>,
    /// Cable or raceway, such as "NM-B cable" or "THHN in 3/4 in EMT"; may be empty.
    pub method: String,
    /// One-way length, if known.
    pub length: Option<Length>,
    /// Voltage drop at full load, if computed.
    pub drop: Option<VoltageDrop>,
}

/// A voltage drop, absolute and as a share of the voltage at the source end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct VoltageDrop {
    /// Volts lost.
    pub volts: Voltage,
    /// Share of the voltage at the source end.
    pub share: Ratio,
}

/// A circuit breaker.
#[derive(Debug, Clone, PartialEq)]
pub struct Breaker {
    /// Number of poles.
    pub poles: u8,
    /// Rating; `None` when nobody has read it yet.
    pub rating: Option<Current>,
    /// What else it is, such as "GFCI"; may be empty.
    pub kind: String,
    /// Which spaces it takes, such as "13, 15"; may be empty.
    pub spaces: String,
    /// Interrupting rating, if known.
    pub interrupting: Option<Current>,
}

/// A panel: a bus with breakers.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Panel {
    /// Its name, such as "Main panel" or "SP-1".
    pub name: String,
    /// Where it hangs; may be empty.
    pub place: String,
    /// Whether it is there today.
    pub status: Status,
    /// Rating of its bus, if known.
    pub bus: Option<Current>,
    /// Its main breaker; `None` when it has main lugs only.
    pub main_breaker: Option<Breaker>,
    /// Voltage at the bus while the heater runs, if computed.
    pub voltage: Option<Voltage>,
    /// Available fault current at the bus, if computed.
    pub fault_current: Option<Current>,
    /// How neutral and ground are arranged here; may be empty.
    pub grounding: String,
    /// Feeders and circuits, in the order drawn.
    pub branches: Vec<Branch>,
}

/// A feeder or branch circuit: what leaves a bus through one breaker.
#[derive(Debug, Clone, PartialEq)]
pub struct Branch {
    /// Its tag, such as "WH-1"; may be empty.
    pub tag: String,
    /// What it is for; may be empty.
    pub name: String,
    /// Whether it is there today.
    pub status: Status,
    /// Its breaker.
    pub breaker: Breaker,
    /// Its conductors, if known.
    pub wiring: Option<Wiring>,
    /// Words for the disconnect near the load, if there is one.
    pub disconnect: Option<String>,
    /// What it feeds.
    pub feeds: Feeds,
}

/// What stands at the far end of a branch.
#[derive(Debug, Clone, PartialEq)]
pub enum Feeds {
    /// A subpanel.
    Panel(Box<Panel>),
    /// One element (or indivisible group of elements) of an on-demand heater.
    Element(Element),
    /// A storage tank heater.
    Tank(Tank),
    /// Anything else, in words: "range", "14 other existing circuits".
    Other(String),
}

/// An element of an on-demand heater.
#[derive(Debug, Clone, PartialEq)]
pub struct Element {
    /// Name of the heater; circuits of one heater that follow one another are drawn inside one case.
    pub heater: String,
    /// Which element it is, such as "element 1 of 3".
    pub name: String,
    /// Rated power.
    pub rated: Power,
    /// Voltage at which it is rated.
    pub rated_at: Voltage,
    /// What it delivers at its real terminal voltage, if computed.
    pub delivered: Option<Delivered>,
}

/// What an element really draws.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Delivered {
    /// Power at the terminal voltage.
    pub power: Power,
    /// Voltage at its terminals while all run.
    pub voltage: Voltage,
    /// Current.
    pub current: Current,
}

/// A storage tank heater.
#[derive(Debug, Clone, PartialEq)]
pub struct Tank {
    /// Its name.
    pub name: String,
    /// What it holds, if known.
    pub volume: Option<Volume>,
    /// Rated power, if known.
    pub rated: Option<Power>,
    /// Voltage at which it is rated, if known.
    pub rated_at: Option<Voltage>,
}
