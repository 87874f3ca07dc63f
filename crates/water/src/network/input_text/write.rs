//! Writing: a network as text that a general hydraulic engine reads.
//!
//! In: a network, and its answer where one is at hand. Out: [`Exported`] text with notes on what the text cannot say.
//! Start at [`write`]. Liters per second, meters, millimeters.
//!
//! The text has one liquid: viscosity is that of the entering water. A published loss becomes a general-purpose valve,
//! a fixture an emitter (behind a flow limit where it has one), a mixing valve two throttle valves set as the answer
//! found them.

use crate::network::pump::PumpShape;
use crate::network::{
    Device, Fluid, FrictionLaw, Link, LinkId, Network, NodeId, NodeKind, OutletLaw, Solution,
    valve_loss_coefficient,
};
use crate::outlet::Outlet;
use quantity::{GaugePressure, Length, PressureDifference, VolumeFlow};
use std::collections::BTreeSet;
use std::fmt::Write;

/// Text, and what it cannot say.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Exported {
    /// The text.
    pub text: String,
    /// What is not carried over, in whole sentences.
    pub notes: Vec<String>,
}

/// Bore in which the text states the loss of devices that have none, in m.
const NOMINAL_BORE_M: f64 = 0.02;
/// A liter as the other engine has it: 28.317 to the cubic foot.
const LITER_M3: f64 = 0.3048 * 0.3048 * 0.3048 / 28.317;
/// Where the curve of a published loss ends, in Pa: 900 psi.
const LOSS_MAX_PA: f64 = 6.2e6;
/// Length of a check valve, in m: a pipe without length is refused.
const SHORT_M: f64 = 1e-3;

/// Writes a network; `found` is its answer, needed to write mixing valves as they stand.
///
/// ```
/// use quantity::{GaugePressure, Length, Temperature, VolumeFlow};
/// use water::network::{Fluid, FrictionLaw, Network, input_text::write};
/// let water = Fluid::from(water::Water::in_house(Temperature::from_fahrenheit(60.0))?);
/// let mut network = Network::new(FrictionLaw::Smooth, water);
/// network.supply("street", Length::zero(), GaugePressure::from_psi(60.0))?;
/// assert!(write(&network, None).text.contains("[RESERVOIRS]"));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn write(network: &Network, found: Option<&Solution<'_>>) -> Exported {
    let mut writer = Writer::new(network, found);
    writer.nodes();
    for (id, link) in network.link_ids().zip(&network.links) {
        writer.link(id, link);
    }
    writer.finish()
}

struct Writer<'a> {
    network: &'a Network,
    found: Option<&'a Solution<'a>>,
    names: Vec<String>,
    taken: BTreeSet<String>,
    emitting: BTreeSet<u32>,
    exponent: Option<f64>,
    junctions: String,
    reservoirs: String,
    pipes: String,
    pumps: String,
    valves: String,
    emitters: String,
    curves: String,
    status: String,
    notes: Vec<String>,
}

impl<'a> Writer<'a> {
    fn new(network: &'a Network, found: Option<&'a Solution<'a>>) -> Self {
        let mut taken = BTreeSet::new();
        let names = network
            .nodes
            .iter()
            .map(|node| name(&node.name, &mut taken))
            .collect();
        let mut notes = Vec::new();
        if network.links.iter().any(|link| link.fluid != network.entering) {
            notes.push(
                "The text has one liquid: water of other temperatures is written with the density and viscosity of the entering water."
                    .to_owned(),
            );
        }
        Self {
            network,
            found,
            names,
            taken,
            emitting: BTreeSet::new(),
            exponent: None,
            junctions: String::new(),
            reservoirs: String::new(),
            pipes: String::new(),
            pumps: String::new(),
            valves: String::new(),
            emitters: String::new(),
            curves: String::new(),
            status: String::new(),
            notes,
        }
    }

    fn weight(&self) -> f64 {
        self.network.entering.density_kg_per_m3 * self.network.friction.gravity_m_per_s2()
    }

    /// A kilowatt as the other engine has it.
    fn kilowatt_w(&self) -> f64 {
        let gravity = self.network.entering.density_kg_per_m3 / 1000.0;
        super::units::Units::of("LPS", gravity, 1.0).map_or(1e3, |units| units.power_w)
    }

    fn head_m(&self, pressure: GaugePressure) -> f64 {
        pressure.as_pascals() / self.weight()
    }

    fn nodes(&mut self) {
        for (node, name) in self.network.nodes.iter().zip(self.names.clone()) {
            let elevation = node.elevation.as_meters();
            match node.kind {
                NodeKind::Junction { demand } => line(
                    &mut self.junctions,
                    format_args!("{name} {elevation} {}", liters_per_second(demand)),
                ),
                NodeKind::Supply { pressure } => {
                    let head = elevation + self.head_m(pressure);
                    line(&mut self.reservoirs, format_args!("{name} {head}"));
                }
            }
        }
    }

    fn node(&self, id: NodeId) -> &str {
        &self.names[id.0 as usize]
    }

    fn link(&mut self, id: LinkId, link: &Link) {
        let name = name(&link.name, &mut self.taken);
        let from = self.node(link.from).to_owned();
        let to = link.to.map(|to| self.node(to).to_owned()).unwrap_or_default();
        let ends = format!("{name} {from} {to}");
        match &link.device {
            Device::Pipe(pipe) => {
                let roughness = match self.network.friction {
                    FrictionLaw::HazenWilliams => pipe.roughness.as_meters(),
                    _ => pipe.roughness.as_millimeters(),
                };
                let (length, bore) = (
                    pipe.length.as_meters().max(SHORT_M),
                    pipe.inside_diameter.as_millimeters(),
                );
                let status = match (link.closed, pipe.check) {
                    (true, _) => "Closed",
                    (_, true) => "CV",
                    _ => "Open",
                };
                let k = pipe.loss_coefficient;
                line(
                    &mut self.pipes,
                    format_args!("{ends} {length} {bore} {roughness} {k} {status}"),
                );
                return;
            }
            Device::Check {
                inside_diameter,
                open_coefficient,
            } => {
                let bore = inside_diameter.as_millimeters();
                // Smooth and short: its own friction is nothing beside its K.
                let roughness = match self.network.friction {
                    FrictionLaw::HazenWilliams => 150.0,
                    _ => 0.001,
                };
                let status = if link.closed { "Closed" } else { "CV" };
                line(
                    &mut self.pipes,
                    format_args!("{ends} {SHORT_M} {bore} {roughness} {open_coefficient} {status}"),
                );
                return;
            }
            Device::Valve {
                kind,
                inside_diameter,
                open_coefficient,
                opening,
            } => {
                let k = valve_loss_coefficient(*kind, *open_coefficient, *opening);
                self.throttle(&ends, *inside_diameter, k.unwrap_or(*open_coefficient));
                if k.is_none() {
                    line(&mut self.status, format_args!("{name} Closed"));
                }
            }
            Device::Loss(_) => self.published_loss(&ends, &name, link),
            Device::Regulator(regulator) => {
                let head = self.head_m(regulator.set_pressure);
                let k = square_coefficient(regulator.open_loss, self.network.entering);
                let bore = NOMINAL_BORE_M * 1e3;
                line(&mut self.valves, format_args!("{ends} {bore} PRV {head} {k}"));
                if regulator.fall_off.is_some() {
                    self.notes.push(format!(
                        "The fall-off of regulator `{}` is not carried over.",
                        link.name
                    ));
                }
            }
            Device::FlowLimit {
                flow,
                inside_diameter,
                open_coefficient,
            } => {
                let (bore, flow) = (inside_diameter.as_millimeters(), liters_per_second(*flow));
                line(
                    &mut self.valves,
                    format_args!("{ends} {bore} FCV {flow} {open_coefficient}"),
                );
            }
            Device::Pump(pump) => {
                if let PumpShape::Constant { power_w } = &pump.shape {
                    let kilowatts = power_w / self.kilowatt_w();
                    line(&mut self.pumps, format_args!("{ends} POWER {kilowatts}"));
                } else {
                    self.pump_curve(&name, pump);
                    line(&mut self.pumps, format_args!("{ends} HEAD {name}"));
                }
            }
            Device::Outlet(law) => {
                if link.closed {
                    self.notes
                        .push(format!("Outlet `{}` is closed and left out.", link.name));
                } else {
                    self.outlet(&name, link, law);
                }
                return;
            }
            Device::Mixer(mixer) => {
                let [hot, cold] = [mixer.hot, mixer.cold].map(|node| self.node(node).to_owned());
                let sides = self.found.and_then(|found| found.sides(id));
                if sides.is_none() {
                    self.notes.push(format!(
                        "Mixing valve `{}` is written wide open on both sides: no answer was given to set it by.",
                        link.name
                    ));
                }
                for (side, inlet, node, flow) in [
                    ("hot", hot, mixer.hot, sides.map(|sides| sides.0)),
                    ("cold", cold, mixer.cold, sides.map(|sides| sides.1)),
                ] {
                    let across = self
                        .found
                        .and_then(|found| across(self.network, *found, node, mixer.mixed));
                    let set = flow
                        .zip(across)
                        .filter(|(flow, _)| *flow > VolumeFlow::from_liters_per_second(1e-6));
                    let k = square_coefficient(set.unwrap_or(mixer.side_loss), self.network.entering);
                    let side = self::name(&format!("{name}_{side}"), &mut self.taken);
                    let to = to.clone();
                    self.throttle(
                        &format!("{side} {inlet} {to}"),
                        Length::from_meters(NOMINAL_BORE_M),
                        k.max(0.0),
                    );
                    if sides.is_some() && set.is_none() {
                        line(&mut self.status, format_args!("{side} Closed"));
                    }
                }
                return;
            }
        }
        if link.closed {
            line(&mut self.status, format_args!("{name} Closed"));
        }
    }

    fn throttle(&mut self, ends: &str, bore: Length, k: f64) {
        let bore = bore.as_millimeters();
        line(&mut self.valves, format_args!("{ends} {bore} TCV {k} 0"));
    }

    /// A published loss as a curve of points; the other engine goes straight between them.
    fn published_loss(&mut self, ends: &str, name: &str, link: &Link) {
        let Device::Loss(curve) = &link.device else {
            return;
        };
        for step in 0..=200_u32 {
            // 0.005 to 5 L/s, each point 3.5 % above the last: straight pieces stray by 0.03 % from a square law.
            let flow_l_per_s = 0.005 * 1000_f64.powf(f64::from(step) / 200.0);
            let (loss, _) = curve.loss_and_slope(flow_l_per_s * LITER_M3);
            if loss > LOSS_MAX_PA {
                break;
            }
            let head = loss / self.weight();
            line(&mut self.curves, format_args!("{name} {flow_l_per_s} {head}"));
        }
        let bore = NOMINAL_BORE_M * 1e3;
        line(&mut self.valves, format_args!("{ends} {bore} GPV {name} 0"));
    }

    fn pump_curve(&mut self, name: &str, pump: &crate::network::PumpCurve) {
        let mut point = |flow: f64, gain: f64, weight: f64| {
            line(
                &mut self.curves,
                format_args!("{name} {} {}", flow / LITER_M3, gain / weight),
            );
        };
        let weight = self.network.entering.density_kg_per_m3 * self.network.friction.gravity_m_per_s2();
        if let PumpShape::Points(points) = &pump.shape {
            for (flow, gain) in points {
                point(*flow, *gain, weight);
            }
            return;
        }
        // Three points, the first at no flow, give back the same power law.
        let design = pump.design_flow_m3_per_s();
        for flow in [0.0, design, 1.5 * design] {
            point(flow, pump.gain_and_slope(flow).0, weight);
        }
    }

    fn outlet(&mut self, name: &str, link: &Link, law: &OutletLaw) {
        let node = self.node(link.from).to_owned();
        let (flow, pressure, exponent, limit) = match law {
            OutletLaw::Fixture { outlet, throttled_to } => {
                let (flow, pressure) = outlet.point();
                let own = matches!(outlet, Outlet::Compensated { .. }).then_some(flow);
                let limit = own.into_iter().chain(*throttled_to).reduce(VolumeFlow::min);
                (flow, pressure, 0.5, limit)
            }
            OutletLaw::Emitter {
                flow,
                pressure,
                exponent,
            } => (*flow, *pressure, *exponent, None),
        };
        if self.exponent.is_some_and(|known| (known - exponent).abs() > 1e-9) {
            self.notes.push(format!(
                "The text has one exponent for all emitters; `{}` is written with another one's.",
                link.name
            ));
        }
        let known = *self.exponent.get_or_insert(exponent);
        let coefficient = liters_per_second(flow) / self.head_m(pressure).powf(known);
        let second = !self.emitting.insert(link.from.0);
        let at = if limit.is_some() || second {
            // A node of its own: behind a flow limit, or because a node has one emitter at most.
            let own = self::name(&format!("{name}_out"), &mut self.taken);
            let elevation = self.network.nodes[link.from.0 as usize].elevation.as_meters();
            line(&mut self.junctions, format_args!("{own} {elevation} 0"));
            let bore = NOMINAL_BORE_M * 1e3;
            match limit {
                Some(limit) => {
                    let limit = liters_per_second(limit);
                    line(
                        &mut self.valves,
                        format_args!("{name} {node} {own} {bore} FCV {limit} 0"),
                    );
                }
                None => line(
                    &mut self.valves,
                    format_args!("{name} {node} {own} {bore} TCV 0 0"),
                ),
            }
            own
        } else {
            node
        };
        line(&mut self.emitters, format_args!("{at} {coefficient}"));
    }

    fn finish(self) -> Exported {
        let law = match self.network.friction {
            FrictionLaw::HazenWilliams => "H-W",
            _ => "D-W",
        };
        let fluid = self.network.entering;
        let gravity = fluid.density_kg_per_m3 / 1000.0;
        // Relative to the other engine's usual viscosity of 1.1e-5 ft²/s.
        let viscosity = fluid.viscosity_pa_s / fluid.density_kg_per_m3 / (1.1e-5 * 0.3048 * 0.3048);
        let exponent = self.exponent.unwrap_or(0.5);
        let mut text = String::new();
        for (section, lines) in [
            ("JUNCTIONS", &self.junctions),
            ("RESERVOIRS", &self.reservoirs),
            ("PIPES", &self.pipes),
            ("PUMPS", &self.pumps),
            ("VALVES", &self.valves),
            ("EMITTERS", &self.emitters),
            ("CURVES", &self.curves),
            ("STATUS", &self.status),
        ] {
            line(&mut text, format_args!("[{section}]\n{lines}"));
        }
        line(
            &mut text,
            format_args!(
                "[OPTIONS]\nUnits LPS\nHeadloss {law}\nSpecific Gravity {gravity}\nViscosity {viscosity}\nTrials 200\nAccuracy 0.0000001\nEmitter Exponent {exponent}\nQuality None\n\n[TIMES]\nDuration 0\n\n[END]"
            ),
        );
        Exported {
            text,
            notes: self.notes,
        }
    }
}

/// Pressure that an inlet of a mixing valve has over its outlet, the climb left out.
fn across(
    network: &Network,
    found: Solution<'_>,
    inlet: NodeId,
    outlet: NodeId,
) -> Option<PressureDifference> {
    let height = |node: NodeId| network.nodes[node.0 as usize].elevation.as_meters();
    let lift = network.entering.density_kg_per_m3
        * network.friction.gravity_m_per_s2()
        * (height(outlet) - height(inlet));
    let over = found.pressure(inlet)?.above(found.pressure(outlet)?);
    Some(over - PressureDifference::from_pascals(lift))
}

/// K of a square law through a point, on the velocity in the nominal bore.
fn square_coefficient((flow, loss): (VolumeFlow, PressureDifference), fluid: Fluid) -> f64 {
    let area_m2 = std::f64::consts::FRAC_PI_4 * NOMINAL_BORE_M * NOMINAL_BORE_M;
    let velocity = flow.as_cubic_meters_per_second() / area_m2;
    loss.as_pascals() / (0.5 * fluid.density_kg_per_m3 * velocity * velocity)
}

fn liters_per_second(flow: VolumeFlow) -> f64 {
    flow.as_cubic_meters_per_second() / LITER_M3
}

/// A name the text can carry: no blanks, at most 31 letters, used once.
fn name(wanted: &str, taken: &mut BTreeSet<String>) -> String {
    let plain: String = wanted
        .chars()
        .map(|letter| {
            if letter.is_whitespace() || letter == ';' || letter == '"' {
                '_'
            } else {
                letter
            }
        })
        .take(31)
        .collect();
    let mut found = if plain.is_empty() {
        "_".to_owned()
    } else {
        plain.clone()
    };
    let mut count = 1;
    while !taken.insert(found.clone()) {
        count += 1;
        let tail = format!("~{count}");
        found = plain.chars().take(31 - tail.len()).chain(tail.chars()).collect();
    }
    found
}

fn line(text: &mut String, words: std::fmt::Arguments<'_>) {
    // Writing to a text in memory does not fail.
    let _ = writeln!(text, "{words}");
}
