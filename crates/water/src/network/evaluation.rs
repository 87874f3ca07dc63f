//! Losses and slopes of all links that carry, for one step.
//!
//! In: laws and flows. Out: loss and slope by link. Start at [`Evaluation::run`]. Turbulent pipes are taken together,
//! one logarithm after the other: the processor then works on several at once, where pipe by pipe each waits for the
//! result of its own. The figures are those of [`Law::loss_and_slope`], which a test compares.

use super::kernel::{Kernel, narrow};
use super::law::Law;
use super::pipe_law::Turbulent;

/// Losses and slopes, with the buffers of the turbulent pipes.
#[derive(Debug)]
pub(super) struct Evaluation {
    /// Links that carry, ascending.
    pub(super) active: Vec<u32>,
    pub(super) loss_pa: Vec<f64>,
    pub(super) slope: Vec<f64>,
    smooth: Vec<Turbulent>,
    peer: Vec<Turbulent>,
}

impl Evaluation {
    pub(super) fn new(kernel: &Kernel) -> Self {
        let links = kernel.laws.len();
        let room = |wanted: fn(&Law) -> bool| kernel.laws.iter().filter(|law| wanted(law)).count();
        Self {
            active: Vec::with_capacity(links),
            loss_pa: vec![0.0; links],
            slope: vec![1.0; links],
            smooth: Vec::with_capacity(room(|law| matches!(law, Law::Smooth(_)))),
            peer: Vec::with_capacity(room(|law| matches!(law, Law::Peer(_)))),
        }
    }

    /// Takes over which links carry.
    pub(super) fn mark(&mut self, carries: &[bool]) {
        self.active.clear();
        for (link, carries) in carries.iter().enumerate() {
            if *carries {
                self.active.push(narrow(link));
            }
        }
    }

    /// Works out loss and slope of every link that carries. `start` is kept from step to step.
    pub(super) fn run(&mut self, laws: &[Law], flow_kg_per_s: &[f64], start: &mut [f64]) {
        self.smooth.clear();
        self.peer.clear();
        for &link in &self.active {
            let at = link as usize;
            let flow = flow_kg_per_s[at];
            match &laws[at] {
                Law::Smooth(pipe) if pipe.is_turbulent(flow) => {
                    self.smooth.push(pipe.begin_smooth(link, flow, start[at]));
                }
                Law::Peer(pipe) if pipe.is_turbulent(flow) => self.peer.push(pipe.begin_peer(link, flow)),
                law => (self.loss_pa[at], self.slope[at]) = law.loss_and_slope(flow, &mut start[at]),
            }
        }
        for one in &mut self.peer {
            one.take_logarithm();
        }
        for one in &mut self.peer {
            one.thin_layer();
        }
        for one in self.peer.iter_mut().chain(&mut self.smooth) {
            one.take_logarithm();
        }
        for one in &self.peer {
            let at = one.link as usize;
            if let Law::Peer(pipe) = &laws[at] {
                (self.loss_pa[at], self.slope[at]) = pipe.finish_peer(one);
            }
        }
        for one in &self.smooth {
            let at = one.link as usize;
            if let Law::Smooth(pipe) = &laws[at] {
                (self.loss_pa[at], self.slope[at]) = pipe.finish_smooth(one, &mut start[at]);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::network::friction_law::FrictionLaw;
    use crate::network::pipe_law::PipeShape;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn together_is_as_one_by_one(flows in proptest::collection::vec(-1.0_f64..1.0, 1..30)) {
            let shape = PipeShape {
                length_m: 7.0,
                bore_m: 0.013,
                roughness: 1.5e-5,
                loss_coefficient: 2.0,
                density_kg_per_m3: 998.0,
                viscosity_pa_s: 1e-3,
            };
            let laws: Vec<Law> = (0..flows.len())
                .map(|at| match at % 3 {
                    0 => Law::Smooth(shape.darcy(FrictionLaw::Smooth)),
                    1 => Law::Peer(shape.darcy(FrictionLaw::Epanet)),
                    _ => Law::Square { a: 1e6 },
                })
                .collect();
            let mut evaluation = Evaluation {
                active: (0..narrow(flows.len())).collect(),
                loss_pa: vec![0.0; flows.len()],
                slope: vec![0.0; flows.len()],
                smooth: Vec::new(),
                peer: Vec::new(),
            };
            let mut start = vec![0.0; flows.len()];
            for _ in 0..2 {
                evaluation.run(&laws, &flows, &mut start);
                for (at, law) in laws.iter().enumerate() {
                    let (loss, slope) = law.loss_and_slope(flows[at], &mut 0.0);
                    prop_assert!((evaluation.loss_pa[at] - loss).abs() <= 1e-11 * loss.abs());
                    prop_assert!((evaluation.slope[at] / slope - 1.0).abs() < 1e-10);
                }
            }
        }
    }
}
