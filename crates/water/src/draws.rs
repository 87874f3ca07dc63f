//! A household that draws hot water by chance: when each fixture runs, how long, how far open; and the power it takes.
//!
//! In: how each fixture is used and a seed. Out: the draws of any day of any year, and from them the mean power of a
//! heater minute by minute. Start at [`Household`], then [`power_by_minute`]. The same seed gives the same draws on every
//! machine and in the browser: no clock, no dice of the system.
//!
//! Draws of a fixture come independently (a Poisson count each day, hours by their shares). Real people shower one after
//! the other before work; independent draws spread further, so peaks of several fixtures at once are, if anything, rarer
//! here than in a house with a rush hour.

mod dice;
mod household;
mod power;

pub use household::{DrawEvent, FixtureUse, Household};
pub use power::{HeaterLimits, HotUse, power_by_minute};
