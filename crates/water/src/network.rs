//! The piping as a network: pressures and flows everywhere at once, for any graph, with the devices of a house.
//!
//! In: a [`Network`] of nodes and links in typed quantities. Out: a [`Solution`] with pressure at every node and flow in
//! every link, what is cut off, and the residuals. Start at [`Network::new`], then [`Solver::new`] and
//! [`Solver::solve`]; [`demand`] adds the person at the tap and the heater's power; [`input_text`] reads and writes the
//! open EPANET input text. [`crate::path`] stays the plain reference for a single path.
//!
//! - Unknowns are gauge pressures at nodes and mass flows in links. A link climbs with the weight of its own water, so a
//!   hot riser and a cold one differ. Flows that go in or come out are volumes of the cold water that enters, the
//!   convention of the crate.
//! - Every link has a loss that rises with its flow and a slope; Newton's steps on flows and pressures together lead to
//!   one sparse symmetric system a step. Chains and branches are eliminated exactly; what is left is factored by
//!   `faer`. Devices whose flow follows another's (regulator, mixing valve) are added as corrections of rank one.
//! - A closed valve removes its link. What no supply reaches is reported, not solved.
//!
//! Does not know jobs, fixtures, time or heat in motion. Steady flow only. Sources: Todini & Pilati 1988 (global
//! gradient method, from memory); laws of the devices at their own files.

mod connectivity;
mod core_factor;
pub mod demand;
mod device_state;
mod elimination;
mod error;
mod evaluation;
mod fluid;
mod followers;
mod friction_law;
pub mod input_text;
mod kernel;
mod law;
mod model;
mod pipe_law;
mod pump;
mod settings;
mod solution;
mod solver;
mod start;
mod steady_heat;
mod valve_loss;

pub use error::NetworkError;
pub use fluid::Fluid;
pub use friction_law::FrictionLaw;
pub use model::{
    Device, Link, LinkId, Mixer, Network, Node, NodeId, NodeKind, OutletLaw, PipeRun, Regulator,
};
pub use pump::PumpCurve;
pub use solution::Solution;
pub use solver::{SolveSettings, Solver};
pub use valve_loss::{ValveKind, valve_loss_coefficient};
