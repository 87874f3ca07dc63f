//! Where a search begins: a usual flow of each link, so that the first step is one straight network.
//!
//! In: a law. Out: a flow in kg/s near what such a link carries. A good guess saves steps, a bad one costs some; the
//! answer does not depend on it.

use super::law::Law;

/// Pressure at which an outlet is taken to work, in Pa: 40 psi.
const USUAL_LOSS_PA: f64 = 2.8e5;
/// Loss of a valve or fitting at its usual flow, in Pa.
const USUAL_VALVE_LOSS_PA: f64 = 2e3;
/// Reynolds number at which a pipe is taken to work: 2 m/s in a bore of an inch, for a start a fast pipe is the better
/// guess.
const USUAL_REYNOLDS: f64 = 5.0e4;

pub(super) fn usual_flow_kg_per_s(law: &Law) -> f64 {
    let flow = match law {
        Law::Smooth(pipe) | Law::Peer(pipe) => pipe.flow_at_reynolds(USUAL_REYNOLDS),
        Law::HazenWilliams(pipe) => pipe.usual_flow_kg_per_s(),
        Law::Square { a } => (USUAL_VALVE_LOSS_PA / a.max(1e-3)).sqrt(),
        Law::Limited { a, limit_kg_per_s } => (USUAL_LOSS_PA / a.max(1e-3)).sqrt().min(*limit_kg_per_s),
        Law::Power { a, power } => (USUAL_LOSS_PA / a.max(1e-3)).powf(1.0 / power),
        Law::Straight { .. } => 0.2,
        Law::Curve { m3_per_kg, .. } => 1.5e-4 / m3_per_kg,
        Law::Pump { pump, m3_per_kg } => pump.design_flow_m3_per_s() / m3_per_kg,
    };
    flow.clamp(1e-6, 1e6)
}
