//! Either kind of heater, as one link of the piping.

use super::stream::{Piece, Stream};
use super::tank::Tank;
use super::unit::Unit;

/// A heater in a run.
#[derive(Debug, Clone)]
pub(super) enum Heater {
    Unit(Box<Unit>),
    Tank(Box<Tank>),
}

macro_rules! either {
    ($heater:expr, $inner:ident => $call:expr) => {
        match $heater {
            Heater::Unit($inner) => $call,
            Heater::Tank($inner) => $call,
        }
    };
}

impl Heater {
    pub(super) fn fill(&mut self, temp_c: f64) {
        either!(self, heater => heater.fill(temp_c));
    }

    pub(super) fn set_clock(&mut self, clock_s: f64) {
        either!(self, heater => heater.set_clock(clock_s));
    }

    pub(super) fn heated_kl(&self) -> f64 {
        either!(self, heater => heater.heated_kl())
    }

    pub(super) fn lost_kl(&self) -> f64 {
        either!(self, heater => heater.lost_kl())
    }

    pub(super) fn stored_kl(&self) -> f64 {
        either!(self, heater => heater.stored_kl())
    }

    pub(super) fn end_temp_c(&self) -> f64 {
        either!(self, heater => heater.end_temp_c())
    }

    pub(super) fn stand(&mut self, until_s: f64) {
        either!(self, heater => heater.stand(until_s));
    }

    pub(super) fn run(
        &mut self,
        span_s: f64,
        flow_l_per_s: f64,
        inflow: &[Piece],
        out: &mut Stream,
        fine_k: f64,
    ) {
        either!(self, heater => heater.run(span_s, flow_l_per_s, inflow, out, fine_k));
    }

    pub(super) fn end_within(&self, low_c: f64, high_c: f64, flow_l_per_s: f64, inlet_c: f64) -> (f64, bool) {
        match self {
            Heater::Unit(unit) => unit.end_within(low_c, high_c, flow_l_per_s, inlet_c),
            Heater::Tank(tank) => (tank.end_within(low_c, high_c, flow_l_per_s), false),
        }
    }
}
