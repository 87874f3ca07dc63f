//! What a solve found: pressures, flows, velocities, what is cut off, and how well it ended.
//!
//! In: the solver after a solve. Out: typed quantities by node and link. Start at [`Solution::pressure`] and
//! [`Solution::flow`]. Borrows the solver, so that reading costs nothing and an old answer cannot be read after a new
//! solve.

use super::model::{Device, LinkId, NodeId, NodeKind};
use super::solver::Solver;
use quantity::{GaugePressure, Length, MassFlow, PressureDifference, Velocity, VolumeFlow};

/// The answer of one solve.
#[derive(Debug, Clone, Copy)]
pub struct Solution<'a> {
    solver: &'a Solver,
}

impl<'a> Solution<'a> {
    pub(super) fn new(solver: &'a Solver) -> Self {
        Self { solver }
    }

    /// Gauge pressure at a node, at its own elevation; none where no supply reaches it.
    pub fn pressure(&self, node: NodeId) -> Option<GaugePressure> {
        let place = *self.solver.kernel.place_of_node.get(node.0 as usize)? as usize;
        self.solver.state.fed[place]
            .then(|| GaugePressure::from_pascals(self.solver.state.pressure_pa[place]))
    }

    /// Head at a node: its elevation and its pressure as a height of the entering water; none where no supply reaches.
    pub fn head(&self, node: NodeId) -> Option<Length> {
        let pressure = self.pressure(node)?;
        let network = &self.solver.network;
        let weight = network.entering.density_kg_per_m3 * network.friction.gravity_m_per_s2();
        Some(network.nodes[node.0 as usize].elevation + Length::from_meters(pressure.as_pascals() / weight))
    }

    /// Flow of a link from its first end to its second, as a volume of the entering water. Of a mixing valve: what
    /// leaves it.
    pub fn flow(&self, link: LinkId) -> VolumeFlow {
        let density = self.solver.network.entering.density_kg_per_m3;
        VolumeFlow::from_cubic_meters_per_second(self.mass_flow(link).as_kilograms_per_second() / density)
    }

    /// Mass flow of a link.
    pub fn mass_flow(&self, link: LinkId) -> MassFlow {
        let parts = self.solver.kernel.parts_of(link.0 as usize);
        let flow = parts
            .map(|part| self.solver.state.flow_kg_per_s[part] + self.second_side(link, part))
            .sum();
        MassFlow::from_kilograms_per_second(flow)
    }

    fn second_side(self, link: LinkId, part: usize) -> f64 {
        match self.solver.network.links[link.0 as usize].device {
            Device::Mixer(_) => self.solver.followed_by(part),
            _ => 0.0,
        }
    }

    /// Hot and cold flow of a mixing valve, as volumes of the entering water; none for other links.
    pub fn sides(&self, link: LinkId) -> Option<(VolumeFlow, VolumeFlow)> {
        let Device::Mixer(mixer) = &self.solver.network.links.get(link.0 as usize)?.device else {
            return None;
        };
        let (total, share) = (self.flow(link), mixer.hot_share.as_fraction());
        Some((total * share, total * (1.0 - share)))
    }

    /// Loss of a link from its first end to its second, the climb left out; below zero for a pump. Of a regulator or
    /// mixing valve: what lies between its (hot) inlet and its outlet. None where no supply reaches an end.
    pub fn loss(&self, link: LinkId) -> Option<PressureDifference> {
        let index = link.0 as usize;
        let of = self.solver.network.links.get(index)?;
        let part = self.solver.kernel.parts_of(index).next_back()?;
        let from = self.pressure(of.from)?;
        let to = match of.to {
            Some(to) => self.pressure(to)?,
            None => GaugePressure::zero(),
        };
        let lift = PressureDifference::from_pascals(self.solver.kernel.lift_pa[part]);
        Some(from.above(to) - lift)
    }

    /// Velocity in the bore of a pipe, valve or check valve; none for other links.
    pub fn velocity(&self, link: LinkId) -> Option<Velocity> {
        let of = self.solver.network.links.get(link.0 as usize)?;
        let bore = match &of.device {
            Device::Pipe(pipe) => pipe.inside_diameter,
            Device::Valve { inside_diameter, .. } | Device::Check { inside_diameter, .. } => *inside_diameter,
            _ => return None,
        };
        let area = std::f64::consts::FRAC_PI_4 * (bore * bore);
        let flow = self.mass_flow(link).as_kilograms_per_second() / of.fluid.density_kg_per_m3;
        Some(VolumeFlow::from_cubic_meters_per_second(flow) / area)
    }

    /// Whether a link carries water: open, not shut by itself, and fed.
    pub fn carries(&self, link: LinkId) -> bool {
        self.solver
            .kernel
            .parts_of(link.0 as usize)
            .any(|part| self.solver.state.carries[part])
    }

    /// Junctions that no supply reaches, in order of their ids. What they should take is not taken.
    pub fn cut_off(&self) -> impl Iterator<Item = NodeId> + use<'a> {
        let solver = self.solver;
        solver.network.node_ids().filter(move |node| {
            let index = node.0 as usize;
            matches!(solver.network.nodes[index].kind, NodeKind::Junction { .. })
                && !solver.state.fed[solver.kernel.place_of_node[index] as usize]
        })
    }

    /// Steps taken.
    pub fn iterations(&self) -> u32 {
        self.solver.state.report.iterations
    }

    /// The most that the energy of a link is off by.
    pub fn residual(&self) -> PressureDifference {
        PressureDifference::from_pascals(self.solver.state.report.residual_pa)
    }

    /// The most that the balance of a node is off by.
    pub fn imbalance(&self) -> MassFlow {
        MassFlow::from_kilograms_per_second(self.solver.state.report.imbalance_kg_per_s)
    }
}
