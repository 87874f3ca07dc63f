//! Heat in motion: what temperature reaches each tap, second by second, as draws follow one another.
//!
//! In: a [`Plan`] (places, pipes, heaters, taps) and a schedule of [`Draw`]s. Out: a [`DrawResult`] for each draw (wait,
//! water and heat run off, cold slug, lukewarm time, temperature trace) and the [`Balance`] of heat. Start at [`House`].
//!
//! The method is plug flow of parcels, event by event: no fixed time step. A parcel is a volume at one temperature; a
//! pipe is a row of parcels with a small mixed cell at its end that smears the front as the stream does ([`spread`]), and
//! with its wall, one store that the passing water warms at the rate of film and wall. That choice over a wall temperature
//! along the pipe: one number a parcel, exact advection, the mean of the arriving front and the share that comes at once
//! as in the two-temperature solution, its variance close to it (tested), and a cost that does not depend on a grid.
//!
//! Knows no pressure: flows are those of the taps, divided by given shares where pipes join. Does not know jobs.
//! Volumes are of cold inlet water, as everywhere in this crate; one density and one specific heat serve a whole run.

mod balance;
mod draw;
mod event;
mod exponential;
mod heater;
mod house;
mod lookahead;
mod parcels;
mod pipe_run;
mod plan;
mod plug;
mod plug_ahead;
mod settings;
pub mod spread;
mod stream;
mod tank;
mod tap;
mod unit;

pub use balance::Balance;
pub use draw::{ColdSlug, Draw, DrawResult, TracePoint};
pub use house::House;
pub use pipe_run::PipeRun;
pub use plan::{LinkId, MotionError, NodeId, Plan, TapId};
pub use settings::{Settings, WallHeat};
pub use tank::{StandbyLoss, StorageTank, TankElement};
pub use unit::{Control, OnDemandUnit};
