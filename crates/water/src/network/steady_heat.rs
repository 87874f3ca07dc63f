//! How warm the water is at every node while a network stands still in time: heat carried along by the flow.
//!
//! In: a solved network, the heat content of the cold water, what heaters do. Out: heat content at every node. Start at
//! [`SteadyHeat::spread`]. No loss on the way and no time: that is for heat in motion.

use super::kernel::Gate;
use super::solver::Solver;

/// A heater on a compiled link: it warms what passes forward.
#[derive(Debug, Clone, Copy)]
pub(super) struct Warming {
    pub(super) part: usize,
    /// Heat content it aims at, in J/kg.
    pub(super) aim_j_per_kg: f64,
    /// Power it has, in W.
    pub(super) power_w: f64,
}

impl Warming {
    /// Heat content behind it.
    pub(super) fn behind(&self, before_j_per_kg: f64, flow_kg_per_s: f64) -> f64 {
        let able = before_j_per_kg + self.power_w / flow_kg_per_s.max(1e-12);
        self.aim_j_per_kg.min(able).max(before_j_per_kg)
    }
}

/// Heat content at the nodes, with its buffers.
#[derive(Debug, Clone, Default)]
pub(super) struct SteadyHeat {
    /// (from, to, flow, compiled link), from upstream to downstream.
    ways: Vec<(u32, u32, f64, usize)>,
    /// Flow into each place, and the heat it brings.
    brought: Vec<(f64, f64)>,
    pub(super) content_j_per_kg: Vec<f64>,
}

impl SteadyHeat {
    /// Works out the heat content everywhere; what supplies give has `cold_j_per_kg`.
    pub(super) fn spread(&mut self, solver: &Solver, cold_j_per_kg: f64, heaters: &[Warming]) {
        self.gather(solver);
        let places = solver.state.pressure_pa.len();
        self.content_j_per_kg.clear();
        self.content_j_per_kg.resize(places, cold_j_per_kg);
        // Each sweep carries the heat at least one node on; a network without a pump in a ring settles exactly.
        for _ in 0..=places {
            self.brought.clear();
            self.brought.resize(places, (0.0, 0.0));
            for &(from, to, flow, part) in &self.ways {
                let before = self.content_j_per_kg[from as usize];
                let heater = heaters.iter().find(|heater| heater.part == part);
                let behind = heater.map_or(before, |heater| heater.behind(before, flow));
                let place = &mut self.brought[to as usize];
                place.0 += flow;
                place.1 += flow * behind;
            }
            let mut moved = 0.0_f64;
            for (content, (flow, heat)) in self.content_j_per_kg.iter_mut().zip(&self.brought) {
                if *flow > STILL_KG_PER_S {
                    moved = moved.max((heat / flow - *content).abs());
                    *content = heat / flow;
                }
            }
            if moved < 1e-6 {
                break;
            }
        }
    }

    fn gather(&mut self, solver: &Solver) {
        let kernel = &solver.kernel;
        self.ways.clear();
        let mut add = |from: u32, to: u32, flow: f64, part: usize| {
            if flow > STILL_KG_PER_S {
                self.ways.push((from, to, flow, part));
            } else if flow < -STILL_KG_PER_S {
                self.ways.push((to, from, -flow, part));
            }
        };
        let mut through = vec![None; kernel.laws.len()];
        for gate in &kernel.gates {
            match *gate {
                // A working regulator's water comes from the node before it.
                Gate::Regulator { work, open } => through[work as usize] = Some(open),
                Gate::Mixer { hot, cold, .. } => {
                    for (leader, other) in [(hot, cold), (cold, hot)] {
                        let ends = kernel.ends[other as usize];
                        add(
                            ends.from,
                            ends.to,
                            solver.followed_by(leader as usize),
                            other as usize,
                        );
                    }
                }
                Gate::OneWay { .. } => {}
            }
        }
        for (part, ends) in kernel.ends.iter().enumerate() {
            let from = through[part].map_or(ends.from, |open: u32| kernel.ends[open as usize].from);
            add(from, ends.to, solver.state.flow_kg_per_s[part], part);
        }
    }
}

/// Below this a link brings no heat, in kg/s.
const STILL_KG_PER_S: f64 = 1e-9;
