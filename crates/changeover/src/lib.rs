//! Change-over engine: every state of valves, breakers and sources, what feeds what, and the moves between states.
//!
//! In: a [`Layout`] in plain terms, and optionally [`Hydraulics`] for directions that topology leaves open. Out: the
//! hazards of every state ([`Analysis`]), one state in full ([`classify()`]), the states that realize a wanted mode
//! ([`realizing`]), shortest orders of moves ([`shortest_order`]), the smallest addition to the piping that makes one
//! exist ([`smallest_additions`]). Start at [`Analysis::of`].
//!
//! Knows no job record, no other engine and no rule. Nothing here says that a state may be used: it says which hazards
//! of one list a state shows.

mod additions;
mod analysis;
mod classify;
mod error;
mod feed;
mod graph;
mod hazard;
mod hydraulics;
mod layout;
mod loops;
mod modes;
mod moves;
mod order;
mod standing;
mod state;
mod ways;

pub use additions::{Addition, Improvement, Place, by_shape, slips, smallest_additions};
pub use analysis::Analysis;
pub use classify::{Classified, FixtureFeed, Hazard, Served, StillPart, Subject, classify};
pub use error::ChangeoverError;
pub use feed::Feed;
pub use hazard::{HazardKind, HazardList, HazardSet, HazardText, hazard_list};
pub use hydraulics::{Draw, Hydraulics, Running, TopologyAlone};
pub use layout::{Check, Fixture, Handle, Layout, Pipe, Position, Source, Supply, Valve, Vent, VentKind};
pub use modes::{Wanted, moved_valves, open_valves, realizing};
pub use moves::{Move, moves};
pub use order::{NoOrder, Order, OrderStep, shortest_order};
pub use standing::Growth;
pub use state::{State, StateSpace};
pub use ways::{Passed, Way};
