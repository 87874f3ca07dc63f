//! Power engine: element circuits, conductors, voltage drop, panel spaces, service load.
//!
//! In: plain quantities (elements, segments of a run, a supply system, nameplates). Out: currents, sizes, drops, loads,
//! each with its working and the source of every figure. Start at [`circuit::design_circuit`] for one element circuit, at
//! [`wiring_tree::solve_tree`] for the real voltages of a house, and at [`load`] for the service.
//!
//! Knows no job record, no water, no rule book: it never says whether a design may stand, only what the published
//! methods give. The adopted code, the authority having jurisdiction, the maker's instructions and a licensed person
//! decide. No files, clock or randomness inside. Every public function refuses values outside its range with a
//! [`PowerError`]; no NaN leaves one.

pub mod ampacity;
pub mod box_fill;
pub mod center_tapped;
pub mod circuit;
pub mod circuit_check;
pub mod circuit_load;
mod complex;
pub mod conductor_run;
pub mod conductor_temperature;
pub mod conduit_fill;
pub mod element;
pub mod equipment_ground;
mod error;
pub mod fault;
pub mod legs;
pub mod load;
pub mod longest_length;
pub mod metric_circuit;
pub mod panel;
pub mod panel_slots;
mod path;
mod shortfall;
pub mod supply;
pub mod transformer_heating;
pub mod voltage_drop;
pub mod voltage_step;
pub mod wiring_choice;
pub mod wiring_tree;

pub use error::PowerError;
