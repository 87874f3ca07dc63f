//! Other units for a job: candidates, each worked out in full, with the finding that speaks against it.
//!
//! In: a validated [`job::Job`] with a proposed on-demand unit, and a [`assess::Desk`]. Out: [`Evaluated`] candidates in
//! a fixed order, and of any list of them those that no other beats. Start at [`evaluate`]. The element sizes are data
//! (`data/options/`). Knows no engine and no rule: all figures and findings come from `assess`. Chooses nothing, prints
//! nothing, reads no file and no clock, starts no thread.

mod candidate;
mod evaluate;
mod pareto;
mod range;
mod unit;

pub use candidate::{Candidate, TankFate, candidates};
pub use evaluate::{Evaluated, Rejection, SituationHeld, evaluate};
pub use pareto::pareto;
pub use range::range_source;
