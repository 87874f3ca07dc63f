//! Hydraulics for the change-over engine: the job's piping as a network, solved with one place drawing.
//!
//! In: the plan, and pressures and sizes of the record. Out: flow through each heater ([`Solved::source_flows`]), and by
//! it the direction that topology leaves open. All water is taken as cold, so that nothing moves by its warmth: the
//! question is which way a draw pulls.

use super::plan::Plan;
use crate::context::Context;
use crate::engine_names::pipe_material;
use crate::fixtures::kind_key;
use crate::given::default_quantity;
use crate::hydraulics::{open_valve, pipe_device};
use ::changeover::{Draw, Hydraulics, Running};
use job::Job;
use quantity::{GaugePressure, Length, PressureDifference, Ratio, VolumeFlow};
use std::cell::RefCell;
use std::collections::BTreeMap;
use trace::RecordPath;
use water::network::{
    Device, Fluid, FrictionLaw, LinkId, Network, NetworkError, NodeId, OutletLaw, Solver, ValveKind,
};
use water::outlet::Outlet;
use water::pipe::Pipe;
use water::{LossCurve, Water};

/// Less than this share of a draw is no flow, nor is less than this flow: the solver closes its balances to 1e-9.
const STILL_SHARE: f64 = 1e-6;
const STILL_L_PER_MIN: f64 = 1e-5;

/// The piping of a job, to be solved in any setting of its valves; empty when the record gives no network to solve.
pub(crate) struct Solved {
    parts: Option<RefCell<Parts>>,
}

struct Parts {
    solver: Solver,
    valves: Vec<LinkId>,
    sources: Vec<LinkId>,
    outlets: BTreeMap<Draw, LinkId>,
}

impl Solved {
    pub(crate) fn new(context: &Context<'_>, plan: &Plan) -> Self {
        match build(context, plan) {
            Ok(parts) => Self {
                parts: Some(RefCell::new(parts)),
            },
            Err(error) => {
                context.gap("piping", "flows of the change-over", error.to_string());
                Self { parts: None }
            }
        }
    }

    /// Flow through every heater, from its cold connection to its hot one, and the flow drawn; none when the network
    /// cannot be solved.
    pub(crate) fn source_flows(
        &self,
        open_valves: &[bool],
        draw: Draw,
    ) -> Option<(Vec<VolumeFlow>, VolumeFlow)> {
        let mut parts = self.parts.as_ref()?.borrow_mut();
        let Parts {
            solver,
            valves,
            sources,
            outlets,
        } = &mut *parts;
        let drawn = *outlets.get(&draw)?;
        for (valve, open) in valves.iter().zip(open_valves) {
            solver.set_closed(*valve, !open).ok()?;
        }
        for (at, outlet) in outlets.iter() {
            solver.set_closed(*outlet, *at != draw).ok()?;
        }
        let solution = solver.solve().ok()?;
        Some((
            sources.iter().map(|source| solution.flow(*source)).collect(),
            solution.flow(drawn),
        ))
    }
}

impl Hydraulics for Solved {
    fn through_sources(&self, open_valves: &[bool], draw: Draw) -> Option<Vec<Running>> {
        let (flows, drawn) = self.source_flows(open_valves, draw)?;
        let least = drawn
            .as_liters_per_minute()
            .abs()
            .mul_add(STILL_SHARE, STILL_L_PER_MIN);
        let running = flows.iter().map(|flow| match flow.as_liters_per_minute() {
            flow if flow > least => Running::Forward,
            flow if flow < -least => Running::Backward,
            _ => Running::Still,
        });
        Some(running.collect())
    }
}

/// Why the record gives no network to solve.
#[derive(Debug, thiserror::Error)]
enum NoNetwork {
    #[error(transparent)]
    Water(#[from] water::WaterError),
    #[error(transparent)]
    Network(#[from] NetworkError),
    #[error("valve `{tag}` has no size, and no pipe meets it; write its size")]
    NoSize { tag: String },
}

fn build(context: &Context<'_>, plan: &Plan) -> Result<Parts, NoNetwork> {
    let job = context.job;
    let cold = Water::in_house(default_quantity("site.mains.coldest"))?;
    let fluid = Fluid::from(cold);
    let mut network = Network::new(FrictionLaw::Smooth, fluid);
    let pressure = context
        .given
        .take(
            job.water.static_pressure,
            RecordPath::from("water.static_pressure"),
            "water.static_pressure",
        )
        .value;
    let nodes = nodes(job, plan, pressure, &mut network)?;
    for (pipe, drawn) in job.piping.pipes.iter().zip(&plan.layout.pipes) {
        network.link(
            &pipe.id,
            nodes[drawn.from],
            nodes[drawn.to],
            fluid,
            pipe_device(pipe)?,
        )?;
    }
    let mut valves = Vec::new();
    for (valve, &index) in plan.layout.valves.iter().zip(&plan.valves) {
        let of_record = &job.piping.valves[index];
        let (inside_diameter, open_coefficient) = bore(job, of_record)?;
        let device = Device::Valve {
            kind: ValveKind::Ball,
            inside_diameter,
            open_coefficient,
            opening: Ratio::from_fraction(1.0),
        };
        valves.push(network.link(&valve.tag, nodes[valve.from], nodes[valve.to], fluid, device)?);
    }
    let checks = job
        .piping
        .valves
        .iter()
        .filter(|valve| valve.kind == job::ValveKind::Check);
    for (check, of_record) in plan.layout.checks.iter().zip(checks) {
        let (inside_diameter, open_coefficient) = bore(job, of_record)?;
        let device = Device::Check {
            inside_diameter,
            open_coefficient,
        };
        network.link(&check.tag, nodes[check.from], nodes[check.to], fluid, device)?;
    }
    let mut sources = Vec::new();
    for (source, &index) in plan.layout.sources.iter().zip(&plan.sources) {
        let curve = loss_of(&job.sources[index])?;
        let (from, to) = (nodes[source.inlet], nodes[source.outlet]);
        sources.push(network.link(&source.name, from, to, fluid, Device::Loss(curve))?);
    }
    let outlets = outlets(job, plan, &nodes, &mut network)?;
    Ok(Parts {
        solver: Solver::new(&network),
        valves,
        sources,
        outlets,
    })
}

fn nodes(
    job: &Job,
    plan: &Plan,
    pressure: GaugePressure,
    network: &mut Network,
) -> Result<Vec<NodeId>, NetworkError> {
    let entry = plan.layout.supplies[0].junction;
    let junctions = job.piping.junctions.iter().enumerate();
    junctions
        .map(|(at, junction)| {
            let height = junction.height.unwrap_or_else(Length::zero);
            if at == entry {
                network.supply(&junction.id, height, pressure)
            } else {
                network.junction(&junction.id, height, VolumeFlow::zero())
            }
        })
        .collect()
}

/// Bore and loss of a valve: by its own size, else by that of a pipe that it meets.
fn bore(job: &Job, valve: &job::Valve) -> Result<(Length, f64), NoNetwork> {
    let meets = |pipe: &&job::Pipe| {
        let ends = [&valve.from, &valve.to];
        ends.contains(&&pipe.from) || ends.contains(&&pipe.to)
    };
    let beside = job.piping.pipes.iter().find(meets).or(job.piping.pipes.first());
    let material = beside.map_or(job::PipeMaterial::CopperL, |pipe| pipe.material);
    let size = valve
        .size
        .or(beside.map(|pipe| pipe.size))
        .ok_or_else(|| NoNetwork::NoSize {
            tag: valve.tag.clone(),
        })?;
    let pipe = Pipe::of(pipe_material(material), size, Length::from_feet(1.0))?;
    let k =
        tables::fitting::loss_coefficient(open_valve(valve.kind), size).map_err(water::WaterError::from)?;
    Ok((pipe.inside_diameter(), k))
}

fn loss_of(source: &job::HeatSource) -> Result<LossCurve, water::WaterError> {
    let points: Vec<(VolumeFlow, PressureDifference)> = source
        .pressure_drop
        .iter()
        .map(|point| (point.flow, point.drop))
        .collect();
    if points.is_empty() {
        let key = match source.kind {
            job::SourceKind::OnDemand => "sources.pressure_drop",
            job::SourceKind::Tank => "sources.pressure_drop.tank",
        };
        return LossCurve::through(&[(VolumeFlow::from_gallons_per_minute(3.0), default_quantity(key))]);
    }
    LossCurve::through(&points)
}

fn outlets(
    job: &Job,
    plan: &Plan,
    nodes: &[NodeId],
    network: &mut Network,
) -> Result<BTreeMap<Draw, LinkId>, NetworkError> {
    let mut outlets = BTreeMap::new();
    for (at, (fixture, &index)) in plan.layout.fixtures.iter().zip(&plan.fixtures).enumerate() {
        let of_record = &job.fixtures[index];
        let usual = || default_quantity(&format!("fixtures.rated_flow.{}", kind_key(of_record.kind)));
        let outlet = Outlet::Orifice {
            rated_flow: of_record.rated_flow.unwrap_or_else(usual),
            rated_pressure: of_record
                .rated_pressure
                .unwrap_or_else(|| default_quantity("fixtures.rated_pressure")),
        };
        for (hot, junction) in [(true, fixture.hot), (false, fixture.cold)] {
            let Some(junction) = junction else { continue };
            let law = OutletLaw::Fixture {
                outlet,
                throttled_to: None,
            };
            let name = format!("{} {}", fixture.name, if hot { "hot" } else { "cold" });
            outlets.insert(
                Draw { fixture: at, hot },
                network.outlet(&name, nodes[junction], law)?,
            );
        }
    }
    Ok(outlets)
}
