//! The network compiled: flat arrays of numbers, one law a link, unknown nodes first.
//!
//! In: a [`Network`]. Out: [`Kernel`], which the solver steps through. Start at [`Kernel::new`]. Pressures in Pa at
//! each node's own elevation, flows in kg/s, positive from a link's first end to its second. Holds no state of a solve.
//!
//! Numbering: unknown nodes `0..n`, then the nodes whose pressure is known: the open air, the supplies, and one for the
//! setting of each regulator. In the rows of a step's system every known node is row `n`, which is left alone.

use super::friction_law::FrictionLaw;
use super::law::Law;
use super::model::{Device, Link, Network, NodeKind, OutletLaw};
use super::pipe_law::{PipeShape, velocity_head_pa_s2_per_kg2};
use super::start::usual_flow_kg_per_s;
use super::valve_loss::valve_loss_coefficient;
use crate::outlet::Outlet;
use quantity::{PressureDifference, VolumeFlow};

/// The ends of a link among the pressures, and its rows and edge in the system of a step.
#[derive(Debug, Clone, Copy)]
pub(super) struct Ends {
    pub(super) from: u32,
    pub(super) to: u32,
    pub(super) row_from: u32,
    pub(super) row_to: u32,
    pub(super) slot: u32,
}

/// What may close by itself.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Gate {
    /// Carries water from its first end to its second only.
    OneWay { link: u32 },
    /// A regulator: `work` from its setting to the node behind, `open` from the node before to the node behind.
    Regulator { work: u32, open: u32 },
    /// A mixing valve: its sides, and the share of hot water.
    Mixer { hot: u32, cold: u32, hot_share: f64 },
}

/// The compiled network.
#[derive(Debug, Clone)]
pub(super) struct Kernel {
    /// Nodes whose pressure is unknown.
    pub(super) unknown: usize,
    /// All pressures, the known ones included.
    pub(super) known_pressure_pa: Vec<f64>,
    /// Where a node of the network stands among the pressures.
    pub(super) place_of_node: Vec<u32>,
    /// What is taken at each row.
    pub(super) demand_kg_per_s: Vec<f64>,
    pub(super) ends: Vec<Ends>,
    pub(super) laws: Vec<Law>,
    /// Weight of the climb of each link, in Pa.
    pub(super) lift_pa: Vec<f64>,
    /// Usual flow of each link and the slope of a straight law through it.
    pub(super) usual: Vec<(f64, f64)>,
    /// The link of the network that each compiled link belongs to.
    pub(super) owner: Vec<u32>,
    /// First compiled link of each link of the network.
    pub(super) first_of: Vec<u32>,
    pub(super) gates: Vec<Gate>,
    /// Gate of each link of the network, if it has one.
    pub(super) gate_of: Vec<Option<u32>>,
    /// Known nodes that feed.
    pub(super) supplies: Vec<u32>,
}

/// Place of the open air among the known nodes.
const AIR: usize = 0;

impl Kernel {
    pub(super) fn new(network: &Network) -> Self {
        let unknown = network
            .nodes
            .iter()
            .filter(|node| matches!(node.kind, NodeKind::Junction { .. }))
            .count();
        let mut kernel = Self {
            unknown,
            known_pressure_pa: vec![0.0],
            place_of_node: Vec::with_capacity(network.nodes.len()),
            demand_kg_per_s: vec![0.0; unknown + 1],
            ends: Vec::with_capacity(network.links.len()),
            laws: Vec::with_capacity(network.links.len()),
            lift_pa: Vec::with_capacity(network.links.len()),
            usual: Vec::with_capacity(network.links.len()),
            owner: Vec::with_capacity(network.links.len()),
            first_of: Vec::with_capacity(network.links.len()),
            gates: Vec::new(),
            gate_of: Vec::with_capacity(network.links.len()),
            supplies: Vec::new(),
        };
        let mut next = 0;
        for node in &network.nodes {
            let place = match node.kind {
                NodeKind::Junction { demand } => {
                    kernel.demand_kg_per_s[next] =
                        demand.as_cubic_meters_per_second() * network.entering.density_kg_per_m3;
                    next += 1;
                    next - 1
                }
                NodeKind::Supply { pressure } => {
                    let place = unknown + kernel.known_pressure_pa.len();
                    kernel.known_pressure_pa.push(pressure.as_pascals());
                    kernel.supplies.push(narrow(place));
                    place
                }
            };
            kernel.place_of_node.push(narrow(place));
        }
        for (index, link) in network.links.iter().enumerate() {
            kernel.add(network, narrow(index), link);
        }
        kernel
    }

    fn add(&mut self, network: &Network, owner: u32, link: &Link) {
        self.first_of.push(narrow(self.laws.len()));
        let gates_before = self.gates.len();
        let place = |kernel: &Self, node: super::NodeId| kernel.place_of_node[node.0 as usize];
        let from = place(self, link.from);
        let to = link.to.map_or(narrow(self.unknown + AIR), |to| place(self, to));
        let first = narrow(self.laws.len());
        match &link.device {
            Device::Regulator(regulator) => {
                let setting = narrow(self.unknown + self.known_pressure_pa.len());
                self.known_pressure_pa.push(regulator.set_pressure.as_pascals());
                self.push(owner, (setting, to), 0.0, law_of(network, link, 0));
                self.push(
                    owner,
                    (from, to),
                    lift(network, link, link.from, link.to),
                    law_of(network, link, 1),
                );
                self.gates.push(Gate::Regulator {
                    work: first,
                    open: first + 1,
                });
            }
            Device::Mixer(mixer) => {
                for (side, node) in [mixer.hot, mixer.cold].into_iter().enumerate() {
                    let ends = (place(self, node), to);
                    self.push(
                        owner,
                        ends,
                        lift(network, link, node, link.to),
                        law_of(network, link, side),
                    );
                }
                self.gates.push(Gate::Mixer {
                    hot: first,
                    cold: first + 1,
                    hot_share: mixer.hot_share.as_fraction(),
                });
            }
            device => {
                let climb = lift(network, link, link.from, link.to);
                self.push(owner, (from, to), climb, law_of(network, link, 0));
                if one_way(device) {
                    self.gates.push(Gate::OneWay { link: first });
                }
            }
        }
        let gate = (self.gates.len() > gates_before).then(|| narrow(gates_before));
        self.gate_of.push(gate);
    }

    fn push(&mut self, owner: u32, (from, to): (u32, u32), lift_pa: f64, law: Law) {
        let row = |place: u32| place.min(narrow(self.unknown));
        self.ends.push(Ends {
            from,
            to,
            row_from: row(from),
            row_to: row(to),
            slot: 0,
        });
        self.usual.push(usual_of(&law));
        self.laws.push(law);
        self.lift_pa.push(lift_pa);
        self.owner.push(owner);
    }

    /// Works out the laws of a link anew after its device or fluid changed.
    pub(super) fn renew(&mut self, network: &Network, index: usize) {
        let link = &network.links[index];
        let first = self.first_of[index] as usize;
        let sides = self
            .first_of
            .get(index + 1)
            .map_or(self.laws.len(), |next| *next as usize)
            - first;
        for side in 0..sides {
            let law = law_of(network, link, side);
            self.usual[first + side] = usual_of(&law);
            self.laws[first + side] = law;
        }
        match &link.device {
            Device::Mixer(mixer) => {
                self.lift_pa[first] = lift(network, link, mixer.hot, link.to);
                self.lift_pa[first + 1] = lift(network, link, mixer.cold, link.to);
            }
            Device::Regulator(regulator) => {
                let setting = self.ends[first].from as usize - self.unknown;
                self.known_pressure_pa[setting] = regulator.set_pressure.as_pascals();
                self.lift_pa[first + 1] = lift(network, link, link.from, link.to);
            }
            _ => self.lift_pa[first] = lift(network, link, link.from, link.to),
        }
        if let (Device::Mixer(mixer), Some(gate)) = (&link.device, self.gate_of[index])
            && let Gate::Mixer { hot_share, .. } = &mut self.gates[gate as usize]
        {
            *hot_share = mixer.hot_share.as_fraction();
        }
    }

    /// The compiled links of a link of the network.
    pub(super) fn parts_of(&self, index: usize) -> std::ops::Range<usize> {
        let end = self
            .first_of
            .get(index + 1)
            .map_or(self.laws.len(), |next| *next as usize);
        self.first_of[index] as usize..end
    }
}

fn usual_of(law: &Law) -> (f64, f64) {
    let flow = usual_flow_kg_per_s(law);
    let (loss, slope) = law.loss_and_slope(flow, &mut 0.0);
    match law {
        Law::Pump { .. } => (flow, slope),
        _ => (flow, loss / flow),
    }
}

fn one_way(device: &Device) -> bool {
    match device {
        Device::Pipe(pipe) => pipe.check,
        Device::Check { .. }
        | Device::FlowLimit { .. }
        | Device::Pump(_)
        | Device::Outlet(OutletLaw::Fixture { .. }) => true,
        _ => false,
    }
}

fn lift(network: &Network, link: &Link, from: super::NodeId, to: Option<super::NodeId>) -> f64 {
    let height = |node: super::NodeId| network.nodes[node.0 as usize].elevation.as_meters();
    to.map_or(0.0, |to| {
        link.fluid.density_kg_per_m3 * network.friction.gravity_m_per_s2() * (height(to) - height(from))
    })
}

/// The law of one compiled part of a link.
fn law_of(network: &Network, link: &Link, part: usize) -> Law {
    let density = link.fluid.density_kg_per_m3;
    let m3_per_kg = 1.0 / network.entering.density_kg_per_m3;
    let square = |bore: quantity::Length, k: f64| Law::Square {
        a: k * velocity_head_pa_s2_per_kg2(network.friction, bore.as_meters(), density),
    };
    let limited = |a: f64, flow_m3_per_s: f64| Law::Limited {
        a,
        limit_kg_per_s: flow_m3_per_s / m3_per_kg,
    };
    let point = |(flow, loss): (VolumeFlow, PressureDifference)| Law::Square {
        a: loss.as_pascals() * (m3_per_kg / flow.as_cubic_meters_per_second()).powi(2),
    };
    match &link.device {
        Device::Pipe(pipe) => {
            let shape = PipeShape {
                length_m: pipe.length.as_meters(),
                bore_m: pipe.inside_diameter.as_meters(),
                roughness: pipe.roughness.as_meters(),
                loss_coefficient: pipe.loss_coefficient,
                density_kg_per_m3: density,
                viscosity_pa_s: link.fluid.viscosity_pa_s,
            };
            match network.friction {
                _ if pipe.length.as_meters() <= 0.0 => square(pipe.inside_diameter, pipe.loss_coefficient),
                FrictionLaw::Smooth => Law::Smooth(shape.darcy(FrictionLaw::Smooth)),
                FrictionLaw::Epanet => Law::Peer(shape.darcy(FrictionLaw::Epanet)),
                FrictionLaw::HazenWilliams => Law::HazenWilliams(shape.hazen_williams()),
            }
        }
        Device::Loss(curve) => Law::Curve {
            curve: Box::new(curve.clone()),
            m3_per_kg,
        },
        Device::Valve {
            kind,
            inside_diameter,
            open_coefficient,
            opening,
        } => {
            // A closed valve is switched off by the solver; its law is then not asked.
            let k = valve_loss_coefficient(*kind, *open_coefficient, *opening).unwrap_or(*open_coefficient);
            square(*inside_diameter, k)
        }
        Device::Check {
            inside_diameter,
            open_coefficient,
        } => square(*inside_diameter, *open_coefficient),
        Device::Regulator(regulator) if part == 0 => Law::Straight {
            slope: regulator.fall_off.map_or(0.0, |(flow, lost)| {
                lost.as_pascals() / flow.as_cubic_meters_per_second() * m3_per_kg
            }),
        },
        Device::Regulator(regulator) => point(regulator.open_loss),
        Device::FlowLimit {
            flow,
            inside_diameter,
            open_coefficient,
        } => limited(
            open_coefficient
                * velocity_head_pa_s2_per_kg2(network.friction, inside_diameter.as_meters(), density),
            flow.as_cubic_meters_per_second(),
        ),
        Device::Pump(pump) => Law::Pump {
            pump: Box::new(pump.clone()),
            m3_per_kg,
        },
        Device::Outlet(OutletLaw::Fixture { outlet, throttled_to }) => {
            let (flow, pressure) = outlet.point();
            let flow = flow.as_cubic_meters_per_second();
            let a = pressure.as_pascals() * (m3_per_kg / flow).powi(2);
            let own = matches!(outlet, Outlet::Compensated { .. }).then_some(flow);
            let wanted = throttled_to.map(VolumeFlow::as_cubic_meters_per_second);
            match own.into_iter().chain(wanted).reduce(f64::min) {
                Some(limit) => limited(a, limit),
                None => Law::Square { a },
            }
        }
        Device::Outlet(OutletLaw::Emitter {
            flow,
            pressure,
            exponent,
        }) => {
            let rated = flow.as_cubic_meters_per_second() / m3_per_kg;
            let power = 1.0 / exponent;
            let a = pressure.as_pascals() / rated.powf(power);
            if (power - 2.0).abs() < 1e-12 {
                Law::Square { a }
            } else {
                Law::Power { a, power }
            }
        }
        Device::Mixer(mixer) => point(mixer.side_loss),
    }
}

pub(super) fn narrow(value: usize) -> u32 {
    u32::try_from(value).unwrap_or(u32::MAX)
}
