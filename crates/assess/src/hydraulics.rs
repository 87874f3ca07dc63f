//! The piping of one mode as a solved network: pressure and flow at every fixture, alone or with others.
//!
//! In: the record's piping, the valves of a mode, the supply pressure. Out: [`Delivery`] for a fixture alone,
//! [`Tapped`] for fixtures together. Start at [`Hydraulics::new`]. The engine's network does the solving; here the record
//! becomes one, and hot pipes get hot water. Knows no heat: shares of hot water and temperatures come as arguments.
//!
//! A fixture with both sides is a mixing valve without loss of its own and the fixture's outlet behind it: the side with
//! less pressure stands open, the other is throttled. A heater without data sheet takes the usual loss, a tank none.

use crate::context::{Context, source_at};
use crate::engine_names::pipe_material;
use crate::network::{ModeView, Network as Graph};
use job::{FittingKind, Job, PipeMaterial, SourceKind, ValveKind};
use quantity::{
    GaugePressure, Length, PipeSize, PressureDifference, Ratio, Temperature, Velocity, VolumeFlow,
};
use std::collections::BTreeMap;
use tables::fitting::{Fitting, loss_coefficient};
use water::network::demand::{Served, Source, Tap, WhenShort, serve};
use water::network::{
    Device, Fluid, FrictionLaw, LinkId, Mixer, Network, NetworkError, NodeId, OutletLaw, PipeRun, Solution,
    Solver,
};
use water::outlet::Outlet;
use water::pipe::Pipe;
use water::{LossCurve, Water, WaterError};

/// What reaches a fixture that runs alone.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Delivery {
    pub(crate) flow: VolumeFlow,
    pub(crate) pressure: GaugePressure,
    pub(crate) loss: PressureDifference,
    pub(crate) fastest: Option<(String, Velocity)>,
    /// Pressure at the heater's inlet meanwhile.
    pub(crate) heater_inlet: Option<GaugePressure>,
}

/// A fixture in the network.
#[derive(Debug, Clone, Copy)]
struct Fixed {
    /// The mixing valve, of a fixture with both sides.
    mixer: Option<LinkId>,
    /// Its hot and cold side, where it has both.
    sides: Option<(NodeId, NodeId)>,
    outlet: LinkId,
    at: NodeId,
}

/// A heater in the network.
#[derive(Debug, Clone, Copy)]
struct Heated {
    link: LinkId,
    inlet: NodeId,
}

/// The network of one mode.
#[derive(Debug)]
pub(crate) struct Hydraulics {
    solver: Solver,
    /// Links of the record's pipes.
    pipes: Vec<Option<LinkId>>,
    hot_links: Vec<LinkId>,
    fixtures: Vec<Option<Fixed>>,
    heaters: Vec<Option<Heated>>,
    supply: GaugePressure,
    /// Temperature the hot links were given.
    warm: Option<Temperature>,
}

/// What a fixture asks for among others.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Wanted {
    pub(crate) fixture: usize,
    pub(crate) use_temperature: Temperature,
    pub(crate) when_short: WhenShort,
}

/// What fixtures that run together get.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Together {
    /// In the order asked.
    pub(crate) taps: Vec<Tapped>,
    /// By index of the record's sources, those that carry water.
    pub(crate) heaters: Vec<HeaterRun>,
    pub(crate) fastest: Option<(String, Velocity)>,
}

/// One of them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Tapped {
    pub(crate) flow: VolumeFlow,
    pub(crate) pressure: Option<GaugePressure>,
    /// Temperature of the mix; none for a fixture with one side.
    pub(crate) temperature: Option<Temperature>,
    /// The flow to aim at.
    pub(crate) throttled_to: Option<VolumeFlow>,
}

/// A heater while fixtures run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct HeaterRun {
    pub(crate) source: usize,
    pub(crate) flow: VolumeFlow,
    pub(crate) inlet_pressure: Option<GaugePressure>,
    /// Temperature behind it; none for a heater that is not energized.
    pub(crate) outlet: Option<Temperature>,
    pub(crate) holds_set_point: bool,
}

impl Hydraulics {
    /// Builds the network of a mode; none when the record has no entry of the supply or no pipe.
    pub(crate) fn new(
        context: &Context<'_>,
        graph: &Graph<'_>,
        mode: &ModeView,
        cold: Water,
        supply: GaugePressure,
    ) -> Result<Option<Self>, NetworkError> {
        let job = context.job;
        let Some(entry) = job.water.entry.as_deref() else {
            return Ok(None);
        };
        let mut builder = Builder {
            job,
            graph,
            mode,
            fluid: Fluid::from(cold),
            network: Network::new(FrictionLaw::Smooth, Fluid::from(cold)),
            nodes: BTreeMap::new(),
        };
        builder.junctions(entry, supply)?;
        let (pipes, hot_links) = builder.pipes(entry)?;
        builder.valves()?;
        let heaters = builder.heaters(context)?;
        let fixtures = builder.fixtures()?;
        Ok(Some(Self {
            solver: Solver::new(&builder.network),
            pipes,
            hot_links,
            fixtures,
            heaters,
            supply,
            warm: None,
        }))
    }

    /// A fixture alone with the share of hot water it asks for; none where no water reaches it.
    pub(crate) fn alone(
        &mut self,
        job: &Job,
        fixture: usize,
        outlet: Outlet,
        share: Ratio,
        set_point: Temperature,
        heater: Option<usize>,
    ) -> Result<Option<Delivery>, NetworkError> {
        let Some(fixed) = self.fixtures.get(fixture).copied().flatten() else {
            return Ok(None);
        };
        self.open_only(&[fixture])?;
        self.warm(set_point)?;
        let law = OutletLaw::Fixture {
            outlet,
            throttled_to: None,
        };
        self.solver.set_outlet(fixed.outlet, law)?;
        let mut share = share;
        if let (Some(mixer), Some((hot, cold))) = (fixed.mixer, fixed.sides) {
            // A side that no supply reaches gives nothing; then the other gives all.
            let solution = self.solver.solve()?;
            let (hot, cold) = (
                solution.pressure(hot).is_some(),
                solution.pressure(cold).is_some(),
            );
            share = match (hot, cold) {
                (false, true) => Ratio::from_fraction(0.0),
                (true, false) => Ratio::from_fraction(1.0),
                _ => share,
            };
            self.solver.set_hot_share(mixer, share)?;
        }
        let (supply, pipes, heaters) = (self.supply, &self.pipes, &self.heaters);
        let solution = self.solver.solve()?;
        let Some(pressure) = solution.pressure(fixed.at) else {
            return Ok(None);
        };
        let draws_hot = fixed.mixer.is_none() || share > Ratio::from_fraction(0.0);
        let heated = heater.filter(|_| draws_hot).and_then(|index| heaters[index]);
        Ok(Some(Delivery {
            flow: solution.flow(fixed.outlet),
            pressure,
            loss: supply.above(pressure),
            fastest: fastest(job, pipes, solution),
            heater_inlet: heated.and_then(|heated| solution.pressure(heated.inlet)),
        }))
    }

    /// Fixtures together, with heaters of a power and set point, at the temperature of `cold`. Outlets are those of the
    /// last run alone.
    pub(crate) fn together(
        &mut self,
        job: &Job,
        cold: &Water,
        wanted: &[Wanted],
        sources: &[(usize, water::heating::Heater)],
    ) -> Result<Together, NetworkError> {
        let members: Vec<usize> = wanted.iter().map(|one| one.fixture).collect();
        self.open_only(&members)?;
        let hottest = sources
            .iter()
            .map(|(_, heater)| heater.set_point)
            .reduce(Temperature::max);
        if let Some(hottest) = hottest {
            self.warm(hottest)?;
        }
        let energized: Vec<(usize, Source)> = sources
            .iter()
            .filter_map(|(index, heater)| {
                let source = Source {
                    heater: self.heaters[*index]?.link,
                    power: heater.power,
                    set_point: heater.set_point,
                };
                Some((*index, source))
            })
            .collect();
        let sources: Vec<Source> = energized.iter().map(|(_, source)| *source).collect();
        let mut taps = Vec::new();
        for one in wanted {
            if let Some(Fixed {
                mixer: Some(mixer),
                outlet,
                ..
            }) = self.fixtures[one.fixture]
            {
                taps.push(Tap {
                    mixer,
                    outlet,
                    use_temperature: one.use_temperature,
                    flow: None,
                    when_short: one.when_short,
                });
            }
        }
        let served = serve(&mut self.solver, cold, &sources, &taps)?;
        self.read(job, wanted, &served, &taps, &energized)
    }

    fn read(
        &mut self,
        job: &Job,
        wanted: &[Wanted],
        served: &Served,
        taps: &[Tap],
        energized: &[(usize, Source)],
    ) -> Result<Together, NetworkError> {
        let (fixtures, pipes, heaters) = (&self.fixtures, &self.pipes, &self.heaters);
        // Where the search ended nothing is left to solve.
        let solution = self.solver.solve()?;
        let tapped = |one: &Wanted| {
            let fixed = fixtures[one.fixture]?;
            let mixed = taps
                .iter()
                .position(|tap| tap.outlet == fixed.outlet)
                .map(|at| served.taps[at]);
            Some(Tapped {
                flow: solution.flow(fixed.outlet),
                pressure: solution.pressure(fixed.at),
                temperature: mixed.map(|mixed| mixed.temperature),
                throttled_to: mixed.and_then(|mixed| mixed.throttled_to),
            })
        };
        let dry = Tapped {
            flow: VolumeFlow::zero(),
            pressure: None,
            temperature: None,
            throttled_to: None,
        };
        let run = |(source, heated): (usize, &Option<Heated>)| {
            let heated = (*heated)?;
            let of = energized
                .iter()
                .position(|(index, _)| *index == source)
                .map(|at| served.sources[at]);
            Some(HeaterRun {
                source,
                flow: solution.flow(heated.link),
                inlet_pressure: solution.pressure(heated.inlet),
                outlet: of.map(|of| of.outlet),
                holds_set_point: of.is_some_and(|of| of.holds_set_point),
            })
        };
        Ok(Together {
            taps: wanted.iter().map(|one| tapped(one).unwrap_or(dry)).collect(),
            heaters: heaters.iter().enumerate().filter_map(run).collect(),
            fastest: fastest(job, pipes, solution),
        })
    }

    fn open_only(&mut self, members: &[usize]) -> Result<(), NetworkError> {
        for (index, fixed) in self.fixtures.iter().enumerate() {
            if let Some(fixed) = fixed {
                let closed = !members.contains(&index);
                self.solver.set_closed(fixed.outlet, closed)?;
                if let Some(mixer) = fixed.mixer {
                    self.solver.set_closed(mixer, closed)?;
                }
            }
        }
        Ok(())
    }

    /// Gives the hot pipes water of a temperature.
    fn warm(&mut self, temperature: Temperature) -> Result<(), NetworkError> {
        if self.warm == Some(temperature) {
            return Ok(());
        }
        let water = Water::in_house(temperature).map_err(|source| NetworkError::Value {
            element: "the hot pipes".to_owned(),
            source,
        })?;
        for link in &self.hot_links {
            self.solver.set_fluid(*link, Fluid::from(water))?;
        }
        self.warm = Some(temperature);
        Ok(())
    }
}

fn fastest(job: &Job, pipes: &[Option<LinkId>], solution: Solution<'_>) -> Option<(String, Velocity)> {
    let mut most: Option<(usize, Velocity)> = None;
    for (index, link) in pipes.iter().enumerate() {
        let Some(velocity) = link.and_then(|link| solution.velocity(link)) else {
            continue;
        };
        let speed = velocity.max(-velocity);
        if most.is_none_or(|(_, known)| speed > known) {
            most = Some((index, speed));
        }
    }
    most.map(|(index, speed)| (job.piping.pipes[index].id.clone(), speed))
}

/// The record on its way into a network.
struct Builder<'a> {
    job: &'a Job,
    graph: &'a Graph<'a>,
    mode: &'a ModeView,
    fluid: Fluid,
    network: Network,
    nodes: BTreeMap<&'a str, NodeId>,
}

impl Builder<'_> {
    fn junctions(&mut self, entry: &str, supply: GaugePressure) -> Result<(), NetworkError> {
        for junction in &self.job.piping.junctions {
            let height = junction.height.unwrap_or_else(Length::zero);
            let node = if junction.id == entry {
                self.network.supply(&junction.id, height, supply)?
            } else {
                self.network.junction(&junction.id, height, VolumeFlow::zero())?
            };
            self.nodes.insert(junction.id.as_str(), node);
        }
        Ok(())
    }

    fn ends(&self, from: &str, to: &str) -> Option<(NodeId, NodeId)> {
        let (from, to) = (*self.nodes.get(from)?, *self.nodes.get(to)?);
        (from != to).then_some((from, to))
    }

    /// Links of the pipes, and those that carry hot water.
    fn pipes(&mut self, entry: &str) -> Result<(Vec<Option<LinkId>>, Vec<LinkId>), NetworkError> {
        let pass_none = |_: usize| false;
        let cold_side = self.graph.reached(entry, &pass_none);
        let mut hot_side = std::collections::BTreeSet::new();
        for source in &self.job.sources {
            if let Some(outlet) = &source.outlet {
                hot_side.extend(self.graph.reached(outlet, &pass_none));
            }
        }
        let (mut links, mut hot) = (Vec::new(), Vec::new());
        for pipe in &self.job.piping.pipes {
            let Some((from, to)) = self.ends(&pipe.from, &pipe.to) else {
                links.push(None);
                continue;
            };
            let device = pipe_device(pipe).map_err(|source| value(&pipe.id, source))?;
            let link = self.network.link(&pipe.id, from, to, self.fluid, device)?;
            let is_hot = |id: &str| hot_side.contains(id) && !cold_side.contains(id);
            if is_hot(&pipe.from) && is_hot(&pipe.to) {
                hot.push(link);
            }
            links.push(Some(link));
        }
        Ok((links, hot))
    }

    fn valves(&mut self) -> Result<(), NetworkError> {
        for (index, valve) in self.job.piping.valves.iter().enumerate() {
            let Some((from, to)) = self.ends(&valve.from, &valve.to) else {
                continue;
            };
            let (inside_diameter, open_coefficient) = self
                .valve_loss(&valve.from, &valve.to, valve.kind, valve.size)
                .map_err(|source| value(&valve.tag, source))?;
            let device = if valve.kind == ValveKind::Check {
                Device::Check {
                    inside_diameter,
                    open_coefficient,
                }
            } else {
                Device::Pipe(PipeRun {
                    length: Length::zero(),
                    inside_diameter,
                    roughness: Length::zero(),
                    loss_coefficient: open_coefficient,
                    check: false,
                })
            };
            let link = self.network.link(&valve.tag, from, to, self.fluid, device)?;
            self.network.close(link, self.mode.closes(index))?;
        }
        Ok(())
    }

    /// Bore and K of a valve: those of the pipe beside it; wide and without loss where there is none.
    fn valve_loss(
        &self,
        from: &str,
        to: &str,
        kind: ValveKind,
        size: Option<PipeSize>,
    ) -> Result<(Length, f64), WaterError> {
        let beside = |junction: &str| {
            let mut pipes = self.job.piping.pipes.iter();
            pipes.find(|pipe| pipe.from == junction || pipe.to == junction)
        };
        let Some(pipe) = beside(from).or_else(|| beside(to)) else {
            return Ok((Length::from_inches(1.0), 0.0));
        };
        let size = size.unwrap_or(pipe.size);
        let bore = bore(pipe.material, size)?;
        Ok((bore, loss_coefficient(open_valve(kind), size)?))
    }

    fn heaters(&mut self, context: &Context<'_>) -> Result<Vec<Option<Heated>>, NetworkError> {
        let mut all = Vec::new();
        for (index, source) in self.job.sources.iter().enumerate() {
            let ends = match (&source.inlet, &source.outlet) {
                (Some(inlet), Some(outlet)) if self.graph.has_source(index) => self.ends(inlet, outlet),
                _ => None,
            };
            let Some((from, to)) = ends else {
                all.push(None);
                continue;
            };
            let device = heater_device(context, index).map_err(|error| value(&source.id, error))?;
            let link = self.network.link(&source.id, from, to, self.fluid, device)?;
            all.push(Some(Heated { link, inlet: from }));
        }
        Ok(all)
    }

    fn fixtures(&mut self) -> Result<Vec<Option<Fixed>>, NetworkError> {
        let mut all = Vec::new();
        for fixture in &self.job.fixtures {
            let node = |side: &Option<String>| side.as_deref().and_then(|id| self.nodes.get(id)).copied();
            let (hot, cold) = (node(&fixture.hot), node(&fixture.cold));
            let Some(first) = hot.or(cold) else {
                all.push(None);
                continue;
            };
            let (mixer, sides, at) = match (hot, cold) {
                (Some(hot), Some(cold)) if hot != cold => {
                    let height = self
                        .network
                        .node(hot)
                        .map_or(Length::zero(), |node| node.elevation);
                    let mixed = self.network.junction(
                        &format!("{} mixed", fixture.id),
                        height,
                        VolumeFlow::zero(),
                    )?;
                    let mixer = Mixer {
                        hot,
                        cold,
                        mixed,
                        hot_share: Ratio::from_fraction(0.5),
                        side_loss: (
                            VolumeFlow::from_gallons_per_minute(1.0),
                            PressureDifference::zero(),
                        ),
                    };
                    let link = self.network.mixer(&format!("{} valve", fixture.id), mixer)?;
                    self.network.close(link, true)?;
                    (Some(link), Some((hot, cold)), mixed)
                }
                _ => (None, None, first),
            };
            // Its own law is set when it runs.
            let outlet = Outlet::Orifice {
                rated_flow: VolumeFlow::from_gallons_per_minute(1.0),
                rated_pressure: GaugePressure::from_psi(60.0),
            };
            let law = OutletLaw::Fixture {
                outlet,
                throttled_to: None,
            };
            let outlet = self.network.outlet(&fixture.id, at, law)?;
            self.network.close(outlet, true)?;
            all.push(Some(Fixed {
                mixer,
                sides,
                outlet,
                at,
            }));
        }
        Ok(all)
    }
}

fn value(element: &str, source: WaterError) -> NetworkError {
    NetworkError::Value {
        element: element.to_owned(),
        source,
    }
}

fn bore(material: PipeMaterial, size: PipeSize) -> Result<Length, WaterError> {
    Ok(Pipe::of(pipe_material(material), size, Length::zero())?.inside_diameter())
}

pub(crate) fn pipe_device(pipe: &job::Pipe) -> Result<Device, WaterError> {
    let of = Pipe::of(pipe_material(pipe.material), pipe.size, pipe.length)?;
    let mut k = 0.0;
    for (kind, count) in &pipe.fittings {
        k += loss_coefficient(fitting(*kind), pipe.size)? * f64::from(*count);
    }
    Ok(Device::Pipe(PipeRun::of(&of, k)))
}

/// The heater's pressure drop: its data sheet, or for an on-demand unit the usual figure; a tank takes none.
fn heater_device(context: &Context<'_>, index: usize) -> Result<Device, WaterError> {
    let heater = &context.job.sources[index];
    let points: Vec<_> = heater
        .pressure_drop
        .iter()
        .map(|point| (point.flow, point.drop))
        .collect();
    if !points.is_empty() {
        return LossCurve::through(&points).map(Device::Loss);
    }
    if heater.kind == SourceKind::Tank {
        return Ok(Device::Pipe(PipeRun {
            length: Length::zero(),
            inside_diameter: Length::from_inches(1.0),
            roughness: Length::zero(),
            loss_coefficient: 0.0,
            check: false,
        }));
    }
    let at = source_at(index).field("pressure_drop");
    let drop = context.given.take(None, at, "sources.pressure_drop").value;
    LossCurve::through(&[(VolumeFlow::from_gallons_per_minute(3.0), drop)]).map(Device::Loss)
}

fn fitting(kind: FittingKind) -> Fitting {
    match kind {
        FittingKind::Elbow90 => Fitting::Elbow90,
        FittingKind::Elbow45 => Fitting::Elbow45,
        FittingKind::TeeRun => Fitting::TeeRun,
        FittingKind::TeeBranch => Fitting::TeeBranch,
        FittingKind::Coupling => Fitting::Coupling,
    }
}

pub(crate) fn open_valve(kind: ValveKind) -> Fitting {
    match kind {
        ValveKind::Ball => Fitting::BallValve,
        ValveKind::Gate => Fitting::GateValve,
        ValveKind::Globe => Fitting::GlobeValve,
        ValveKind::Check => Fitting::SwingCheck,
    }
}
