//! The network as it is described: nodes and links by name, in typed quantities.
//!
//! In: additions one by one, each checked. Out: [`Network`], which a [`super::Solver`] compiles into flat arrays. Start
//! at [`Network::new`]. Holds no state of a solve: the same network can be solved by several solvers.

use super::error::NetworkError;
use super::fluid::Fluid;
use super::friction_law::FrictionLaw;
use super::pump::PumpCurve;
use super::valve_loss::ValveKind;
use crate::error::{in_range, within};
use crate::loss_curve::LossCurve;
use crate::outlet::Outlet;
use crate::pipe::Pipe;
use quantity::{GaugePressure, Length, PressureDifference, Ratio, VolumeFlow};

/// A node of one network.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct NodeId(pub(super) u32);

/// A link of one network.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct LinkId(pub(super) u32);

/// What a node is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NodeKind {
    /// Pipes meet; water may be taken at a fixed flow (below zero: put in).
    Junction {
        /// What is taken whatever the pressure.
        demand: VolumeFlow,
    },
    /// Keeps its pressure whatever flows: the street, a tank's level, a vessel.
    Supply {
        /// Gauge pressure at the node's own elevation.
        pressure: GaugePressure,
    },
}

/// A node.
#[derive(Debug, Clone, PartialEq)]
pub struct Node {
    /// Name, for messages and for text.
    pub name: String,
    /// Height above the level that all heights of the network are counted from.
    pub elevation: Length,
    /// What it is.
    pub kind: NodeKind,
}

/// A run of pipe as far as pressure is concerned.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PipeRun {
    /// Length along the pipe.
    pub length: Length,
    /// Diameter of the bore.
    pub inside_diameter: Length,
    /// Roughness of the bore; the coefficient C (as meters) where the network follows Hazen-Williams.
    pub roughness: Length,
    /// Sum of the loss coefficients K of its fittings, on the velocity in this bore.
    pub loss_coefficient: f64,
    /// Lets water pass from its first end to its second only.
    pub check: bool,
}

impl PipeRun {
    /// A pipe of the engine with the sum of K of its fittings.
    pub fn of(pipe: &Pipe, loss_coefficient: f64) -> Self {
        Self {
            length: pipe.length(),
            inside_diameter: pipe.inside_diameter(),
            roughness: pipe.roughness(),
            loss_coefficient,
            check: false,
        }
    }
}

/// How the flow of an outlet follows the pressure at its node.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum OutletLaw {
    /// A fixture: an orifice with or without a flow regulator. Lets no air or water in.
    Fixture {
        /// The law of the fixture.
        outlet: Outlet,
        /// The person lets no more than this out; none with the tap wide open.
        throttled_to: Option<VolumeFlow>,
    },
    /// An emitter of a general hydraulic engine, Q = Q₁ (p/p₁)ⁿ; takes water in when the pressure is below zero.
    Emitter {
        /// Q₁.
        flow: VolumeFlow,
        /// p₁.
        pressure: GaugePressure,
        /// n.
        exponent: f64,
    },
}

/// A pressure regulator: keeps the pressure behind it, as long as the pressure before it allows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Regulator {
    /// Pressure it keeps at rest.
    pub set_pressure: GaugePressure,
    /// Pressure lost below the setting for each flow (a point of its fall-off curve; straight between).
    pub fall_off: Option<(VolumeFlow, PressureDifference)>,
    /// Loss when it stands wide open and carries this flow; a square law through the point.
    pub open_loss: (VolumeFlow, PressureDifference),
}

/// A mixing valve: two inlets, one outlet, in the share that its setting asks for.
///
/// The side with less pressure stands wide open and decides; the other is throttled so that the shares hold. A person at
/// two handles, a thermostatic element and a pressure-balancing spool all come to this; they differ in who sets the
/// share: see [`super::demand`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mixer {
    /// Where hot water enters.
    pub hot: NodeId,
    /// Where cold water enters.
    pub cold: NodeId,
    /// Where mixed water leaves.
    pub mixed: NodeId,
    /// Share of hot water by mass.
    pub hot_share: Ratio,
    /// Loss of one side when it stands wide open and carries this flow.
    pub side_loss: (VolumeFlow, PressureDifference),
}

/// What a link is.
#[derive(Debug, Clone, PartialEq)]
pub enum Device {
    /// A run of pipe.
    Pipe(PipeRun),
    /// A device with a published loss, the same both ways: heater, meter, filter.
    Loss(LossCurve),
    /// A valve at an opening, in a bore.
    Valve {
        /// Its pattern.
        kind: ValveKind,
        /// Diameter of the bore it sits in.
        inside_diameter: Length,
        /// K when fully open.
        open_coefficient: f64,
        /// From 0 (closed) to 1.
        opening: Ratio,
    },
    /// A check valve: lets water pass from its first end to its second only.
    Check {
        /// Diameter of the bore it sits in.
        inside_diameter: Length,
        /// K when open.
        open_coefficient: f64,
    },
    /// A pressure regulator, from its first end to its second.
    Regulator(Regulator),
    /// Lets no more than a flow pass, from its first end to its second.
    FlowLimit {
        /// The flow.
        flow: VolumeFlow,
        /// Diameter of the bore it sits in.
        inside_diameter: Length,
        /// K when it does not limit.
        open_coefficient: f64,
    },
    /// A pump, from its first end to its second.
    Pump(PumpCurve),
    /// An outlet to the open air at its node's elevation.
    Outlet(OutletLaw),
    /// A mixing valve.
    Mixer(Mixer),
}

/// A link.
#[derive(Debug, Clone, PartialEq)]
pub struct Link {
    /// Name, for messages and for text.
    pub name: String,
    /// First end.
    pub from: NodeId,
    /// Second end; an outlet has none.
    pub to: Option<NodeId>,
    /// What it carries.
    pub fluid: Fluid,
    /// What it is.
    pub device: Device,
    /// Closed by a valve or switch of its own; carries nothing.
    pub closed: bool,
}

/// Nodes and links.
#[derive(Debug, Clone, PartialEq)]
pub struct Network {
    pub(super) friction: FrictionLaw,
    pub(super) entering: Fluid,
    pub(super) nodes: Vec<Node>,
    pub(super) links: Vec<Link>,
}

impl Network {
    /// An empty network. `entering` is the cold water that flows are volumes of.
    pub fn new(friction: FrictionLaw, entering: Fluid) -> Self {
        Self {
            friction,
            entering,
            nodes: Vec::new(),
            links: Vec::new(),
        }
    }

    /// A node where pipes meet.
    ///
    /// # Errors
    /// When a value is outside ±10 km or ±1000 m³/s.
    pub fn junction(
        &mut self,
        name: &str,
        elevation: Length,
        demand: VolumeFlow,
    ) -> Result<NodeId, NetworkError> {
        within("the demand", demand, -1e3, 1e3, "m³/s").map_err(NetworkError::of(name))?;
        self.add_node(name, elevation, NodeKind::Junction { demand })
    }

    /// A node that keeps its pressure.
    ///
    /// # Errors
    /// When a value is outside ±10 km or ±100 `MPa`.
    pub fn supply(
        &mut self,
        name: &str,
        elevation: Length,
        pressure: GaugePressure,
    ) -> Result<NodeId, NetworkError> {
        within("the pressure of the supply", pressure, -100.0, 100.0, "MPa")
            .map_err(NetworkError::of(name))?;
        self.add_node(name, elevation, NodeKind::Supply { pressure })
    }

    /// A link between two nodes, carrying `fluid`.
    ///
    /// # Errors
    /// When an end is not of this network, both are the same, the device is an outlet or mixing valve, or a value of
    /// the device is outside its range.
    pub fn link(
        &mut self,
        name: &str,
        from: NodeId,
        to: NodeId,
        fluid: Fluid,
        device: Device,
    ) -> Result<LinkId, NetworkError> {
        if matches!(device, Device::Outlet(_) | Device::Mixer(_)) {
            return Err(NetworkError::Unknown {
                what: format!("a second end of the outlet or mixing valve `{name}`"),
            });
        }
        self.check_ends(name, &[from, to])?;
        check_device(&device, self.friction).map_err(NetworkError::of(name))?;
        Ok(self.add_link(name, from, Some(to), fluid, device))
    }

    /// An outlet to the open air at a node.
    ///
    /// # Errors
    /// When the node is not of this network or a value of the law is outside its range.
    pub fn outlet(&mut self, name: &str, at: NodeId, law: OutletLaw) -> Result<LinkId, NetworkError> {
        self.check_ends(name, &[at])?;
        let device = Device::Outlet(law);
        check_device(&device, self.friction).map_err(NetworkError::of(name))?;
        let fluid = self.entering;
        Ok(self.add_link(name, at, None, fluid, device))
    }

    /// A mixing valve.
    ///
    /// # Errors
    /// When a node is not of this network, two are the same, or a value is outside its range.
    pub fn mixer(&mut self, name: &str, mixer: Mixer) -> Result<LinkId, NetworkError> {
        self.check_ends(name, &[mixer.hot, mixer.cold, mixer.mixed])?;
        let (from, to, fluid) = (mixer.hot, mixer.mixed, self.entering);
        let device = Device::Mixer(mixer);
        check_device(&device, self.friction).map_err(NetworkError::of(name))?;
        Ok(self.add_link(name, from, Some(to), fluid, device))
    }

    /// Closes or opens a link, as its own valve or switch would.
    ///
    /// # Errors
    /// When the link is not of this network.
    pub fn close(&mut self, link: LinkId, closed: bool) -> Result<(), NetworkError> {
        let link = self
            .links
            .get_mut(link.0 as usize)
            .ok_or_else(|| NetworkError::Unknown {
                what: "the link".into(),
            })?;
        link.closed = closed;
        Ok(())
    }

    /// The same network under another friction law.
    ///
    /// # Errors
    /// When a pipe's roughness does not fit: Hazen-Williams has a coefficient C instead.
    pub fn with_friction(mut self, friction: FrictionLaw) -> Result<Self, NetworkError> {
        self.friction = friction;
        for link in &self.links {
            check_device(&link.device, friction).map_err(NetworkError::of(&link.name))?;
        }
        Ok(self)
    }

    /// The friction law.
    pub fn friction(&self) -> FrictionLaw {
        self.friction
    }

    /// The cold water that flows are volumes of.
    pub fn entering(&self) -> Fluid {
        self.entering
    }

    /// All nodes, in order of their ids.
    pub fn nodes(&self) -> &[Node] {
        &self.nodes
    }

    /// All links, in order of their ids.
    pub fn links(&self) -> &[Link] {
        &self.links
    }

    /// The ids of all nodes.
    pub fn node_ids(&self) -> impl Iterator<Item = NodeId> + use<> {
        (0..count(self.nodes.len())).map(NodeId)
    }

    /// The ids of all links.
    pub fn link_ids(&self) -> impl Iterator<Item = LinkId> + use<> {
        (0..count(self.links.len())).map(LinkId)
    }

    /// A node, if it is of this network.
    pub fn node(&self, id: NodeId) -> Option<&Node> {
        self.nodes.get(id.0 as usize)
    }

    /// A link, if it is of this network.
    pub fn get(&self, id: LinkId) -> Option<&Link> {
        self.links.get(id.0 as usize)
    }

    fn add_node(&mut self, name: &str, elevation: Length, kind: NodeKind) -> Result<NodeId, NetworkError> {
        within("the elevation", elevation, -1e4, 1e4, "m").map_err(NetworkError::of(name))?;
        let id = NodeId(count(self.nodes.len()));
        self.nodes.push(Node {
            name: name.to_owned(),
            elevation,
            kind,
        });
        Ok(id)
    }

    fn add_link(
        &mut self,
        name: &str,
        from: NodeId,
        to: Option<NodeId>,
        fluid: Fluid,
        device: Device,
    ) -> LinkId {
        let id = LinkId(count(self.links.len()));
        self.links.push(Link {
            name: name.to_owned(),
            from,
            to,
            fluid,
            device,
            closed: false,
        });
        id
    }

    fn check_ends(&self, name: &str, ends: &[NodeId]) -> Result<(), NetworkError> {
        for (at, end) in ends.iter().enumerate() {
            let Some(node) = self.node(*end) else {
                return Err(NetworkError::Unknown {
                    what: format!("a node of `{name}`"),
                });
            };
            if ends[..at].contains(end) {
                return Err(NetworkError::Loop {
                    element: name.to_owned(),
                    node: node.name.clone(),
                });
            }
        }
        Ok(())
    }
}

/// Ids are 32 bits wide: four thousand million parts are out of reach of memory long before.
fn count(length: usize) -> u32 {
    u32::try_from(length).unwrap_or(u32::MAX)
}

pub(super) fn check_device(device: &Device, friction: FrictionLaw) -> Result<(), crate::WaterError> {
    let bore = |bore| within("the bore", bore, 1e-3, 1e4, "mm");
    let coefficient = |k| in_range("the loss coefficient", k, 0.0, 1e9, "");
    let flow = |what, flow| within(what, flow, 1e-9, 1e3, "m³/s");
    match device {
        Device::Pipe(pipe) => {
            let bore_m = bore(pipe.inside_diameter)?.as_meters();
            within("the length", pipe.length, 0.0, 1e6, "m")?;
            coefficient(pipe.loss_coefficient)?;
            let roughness = pipe.roughness.as_meters();
            if friction == FrictionLaw::HazenWilliams {
                in_range("the coefficient C", roughness, 1.0, 1000.0, "")?;
            } else {
                in_range("the relative roughness", roughness / bore_m, 0.0, 1.0, "")?;
            }
        }
        Device::Loss(_) | Device::Pump(_) => {}
        Device::Valve {
            inside_diameter,
            open_coefficient,
            opening,
            ..
        } => {
            bore(*inside_diameter)?;
            coefficient(*open_coefficient)?;
            in_range("the opening", opening.as_fraction(), 0.0, 1.0, "")?;
        }
        Device::Check {
            inside_diameter,
            open_coefficient,
        } => {
            bore(*inside_diameter)?;
            coefficient(*open_coefficient)?;
        }
        Device::Regulator(regulator) => {
            within("the set pressure", regulator.set_pressure, 0.0, 100.0, "MPa")?;
            if let Some((at, lost)) = regulator.fall_off {
                flow("the flow of the fall-off", at)?;
                within("the fall-off", lost, 0.0, 1e4, "kPa")?;
            }
            flow("the flow of the regulator's loss", regulator.open_loss.0)?;
            within(
                "the loss of the open regulator",
                regulator.open_loss.1,
                0.0,
                1e4,
                "kPa",
            )?;
        }
        Device::FlowLimit {
            flow: limit,
            inside_diameter,
            open_coefficient,
        } => {
            flow("the flow limit", *limit)?;
            bore(*inside_diameter)?;
            coefficient(*open_coefficient)?;
        }
        Device::Outlet(OutletLaw::Fixture { outlet, throttled_to }) => {
            outlet.checked()?;
            if let Some(limit) = throttled_to {
                flow("the flow of the tap", *limit)?;
            }
        }
        Device::Outlet(OutletLaw::Emitter {
            flow: rated,
            pressure,
            exponent,
        }) => {
            flow("the flow of the emitter", *rated)?;
            within("the pressure of the emitter", *pressure, 1e-3, 1e5, "kPa")?;
            in_range("the exponent of the emitter", *exponent, 0.1, 2.0, "")?;
        }
        Device::Mixer(mixer) => {
            in_range(
                "the share of hot water",
                mixer.hot_share.as_fraction(),
                0.0,
                1.0,
                "",
            )?;
            flow("the flow of the mixing valve's loss", mixer.side_loss.0)?;
            within("the loss of the mixing valve", mixer.side_loss.1, 0.0, 1e4, "kPa")?;
        }
    }
    Ok(())
}
