//! The open EPANET input text: networks of this engine written so that anyone can check them in a general hydraulic
//! engine, and plain networks from that text read for comparison.
//!
//! In: text, or a network. Out: an [`Imported`] network with ids by name and a list of what was left aside; or text
//! with notes. Start at [`read()`] and [`write()`]. What the engine has no element for is an error that names the line.
//!
//! Read at time 0: patterns, simple controls and tank levels as they stand then. Rules, energy, quality and pictures do
//! not bear on that moment and are listed as left aside.

mod controls;
mod read;
mod sections;
mod units;
mod write;

pub use read::{Imported, ImportedLink, read};
pub use sections::{InputTextError, LeftAside};
pub use write::{Exported, write};
