//! The piping schematic: from where the water enters, through valves and heaters, to every fixture.
//!
//! In: a [`Piping`] filled by the caller, things joined by the names of their junctions. Out: a
//! [`Drawing`](crate::shape::Drawing) by [`schematic`]. Start at [`Piping`].
//!
//! Water runs from left to right. Every fixture connection, dead end and cross-connection has a level line of its own; a
//! junction is an upright line that joins its level lines, with dots where they meet. Lines that cross without a dot
//! are not joined. Cold is drawn solid, hot dashed; the letter C or H repeats that. One mode is drawn: valves closed in
//! it are filled, arrows show where water runs in it. Sizes, materials and lengths stand in a list below, by the tag on
//! the pipe. Computes nothing. Meant for houses: up to some sixty pipes; more still draw, on a larger sheet.

mod columns;
mod draw;
mod graph;
mod lanes;
mod lists;

pub use draw::schematic;

use crate::one_line::Status;
use crate::title_block::TitleBlock;
use quantity::{Length, PipeSize, UnitSystem};

/// Everything the schematic shows.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Piping {
    /// What the title block says.
    pub title_block: TitleBlock,
    /// Units for lengths.
    pub units: UnitSystem,
    /// Name of the mode drawn, such as "heater serves the house"; may be empty.
    pub mode: String,
    /// Junction where the water enters, if known.
    pub entry: Option<String>,
    /// Pipes.
    pub pipes: Vec<Pipe>,
    /// Valves in line.
    pub valves: Vec<Valve>,
    /// Heaters.
    pub sources: Vec<Source>,
    /// Fixtures.
    pub fixtures: Vec<Fixture>,
    /// Things that hang on one junction: expansion tank, relief valve, drain.
    pub devices: Vec<Device>,
    /// Remarks below the schematic.
    pub notes: Vec<String>,
}

/// What a pipe carries.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Water {
    /// Cold water.
    #[default]
    Cold,
    /// Hot water.
    Hot,
}

impl Water {
    pub(crate) fn letter(self) -> char {
        match self {
            Self::Cold => 'C',
            Self::Hot => 'H',
        }
    }

    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Cold => "cold",
            Self::Hot => "hot",
        }
    }
}

/// Where the water in a pipe goes in the mode drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Flow {
    /// From its `from` to its `to`.
    Forward,
    /// From its `to` to its `from`.
    Backward,
    /// Nowhere, or not known.
    #[default]
    Still,
}

/// A pipe between two junctions.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Pipe {
    /// Its tag, drawn beside it.
    pub tag: String,
    /// Junction at one end, the one nearer the supply where that is known.
    pub from: String,
    /// Junction at the other end.
    pub to: String,
    /// What it carries.
    pub water: Water,
    /// Whether it is there today.
    pub status: Status,
    /// Nominal size, if known.
    pub size: Option<PipeSize>,
    /// Material in words; may be empty.
    pub material: String,
    /// Length, if known.
    pub length: Option<Length>,
    /// Where its water goes in the mode drawn.
    pub flow: Flow,
}

/// How a valve is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum ValveSign {
    /// Opens and closes by hand.
    #[default]
    ShutOff,
    /// Lets water through from its `from` to its `to` only.
    Check,
}

/// A valve between two junctions.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Valve {
    /// Its tag, as it hangs on the valve.
    pub tag: String,
    /// Junction at one end; for a check valve the end the water comes from.
    pub from: String,
    /// Junction at the other end.
    pub to: String,
    /// How it is drawn.
    pub sign: ValveSign,
    /// What it is, in words, such as "ball valve, isolates the tank".
    pub name: String,
    /// What it carries.
    pub water: Water,
    /// Whether it is there today.
    pub status: Status,
    /// Its usual position.
    pub normally_closed: bool,
    /// Its position in the mode drawn.
    pub closed: bool,
}

/// What a heater is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum SourceSign {
    /// Heats water as it flows.
    #[default]
    OnDemand,
    /// Keeps a volume hot.
    Tank,
}

/// A heater between its cold and its hot junction.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Source {
    /// Its tag.
    pub tag: String,
    /// What it is, in words; may be empty.
    pub name: String,
    /// How it is drawn.
    pub sign: SourceSign,
    /// Junction of its cold connection, if known.
    pub inlet: Option<String>,
    /// Junction of its hot connection, if known.
    pub outlet: Option<String>,
    /// Whether it is there today.
    pub status: Status,
    /// Whether it is energized in the mode drawn.
    pub energized: bool,
}

/// A fixture on its junctions.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Fixture {
    /// Its tag.
    pub tag: String,
    /// What it is, in words; may be empty.
    pub name: String,
    /// Junction of its hot side, if it has one.
    pub hot: Option<String>,
    /// Junction of its cold side, if it has one.
    pub cold: Option<String>,
}

/// Something that hangs on one junction.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Device {
    /// Its tag, drawn beside it.
    pub tag: String,
    /// What it is, in words, such as "expansion tank".
    pub name: String,
    /// The junction it hangs on.
    pub at: String,
    /// What it carries.
    pub water: Water,
    /// Whether it is there today.
    pub status: Status,
}
