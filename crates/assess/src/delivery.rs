//! Water on its way to each fixture alone: hot and cold paths, flow and pressure at the tap, velocity.
//!
//! In: the piping in one mode, pressures, the hot share. Out: [`Delivery`]. Start at [`Plumbing::delivery`].
//!
//! Paths, not a network: a fixture runs alone, cold and hot side meet at the tap, and what both share upstream carries
//! the whole flow. Where pipes form a loop the shortest way is taken and said so. Water properties are those of the
//! coldest month on the cold side and of the set point on the hot side.

use crate::context::{Context, source_at};
use crate::engine_names::pipe_material;
use crate::network::{Link, ModeView, Network, Way};
use job::{FittingKind, Fixture, SourceKind, ValveKind};
use quantity::{
    GaugePressure, Length, PipeSize, PressureDifference, Ratio, Temperature, Velocity, VolumeFlow,
};
use std::collections::BTreeMap;
use tables::fitting::Fitting;
use trace::RecordPath;
use water::outlet::Outlet;
use water::path::{Part, Path, Run};
use water::pipe::Pipe;
use water::{LossCurve, Water, WaterError};

/// The piping in one mode with its water.
pub(crate) struct Plumbing<'job> {
    context: &'job Context<'job>,
    pub(crate) network: Network<'job>,
    pub(crate) mode: ModeView,
    cold: Water,
    pressure: GaugePressure,
    heights: BTreeMap<&'job str, Length>,
}

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

/// A path ready to compute, with the pipe of each part.
struct Parts {
    parts: Vec<Part>,
    pipes: Vec<Option<usize>>,
}

impl<'job> Plumbing<'job> {
    pub(crate) fn new(
        context: &'job Context<'job>,
        mode: ModeView,
        coldest: Temperature,
    ) -> Result<Self, WaterError> {
        let job = context.job;
        let network = Network::in_mode(job, &mode);
        let pressure = job
            .water
            .regulator_setting
            .map_or(job.water.static_pressure, |setting| {
                Some(
                    job.water
                        .static_pressure
                        .map_or(setting, |pressure| pressure.min(setting)),
                )
            });
        let pressure = context
            .given
            .take(
                pressure,
                RecordPath::from("water.static_pressure"),
                "water.static_pressure",
            )
            .value;
        let junctions = job.piping.junctions.iter();
        let heights = junctions
            .filter_map(|junction| Some((junction.id.as_str(), junction.height?)))
            .collect();
        Ok(Self {
            context,
            network,
            mode,
            cold: Water::in_house(coldest)?,
            pressure,
            heights,
        })
    }

    /// The heater that serves `fixture`: energized ones first, then the first it reaches.
    pub(crate) fn heater_of(&self, fixture: &Fixture) -> Option<usize> {
        let feeding = self.network.feeding(fixture.hot.as_deref()?);
        let energized = feeding.iter().find(|index| self.mode.energized.contains(index));
        energized.or(feeding.first()).copied()
    }

    /// Flow and pressure at a fixture that runs alone; none without piping to it.
    pub(crate) fn delivery(
        &self,
        fixture: &Fixture,
        outlet: Outlet,
        share: Ratio,
        set_point: Temperature,
    ) -> Option<Delivery> {
        let entry = self.context.job.water.entry.as_deref()?;
        let hot_way = fixture
            .hot
            .as_deref()
            .and_then(|hot| self.way_through_heater(entry, fixture, hot));
        let cold_way = fixture
            .cold
            .as_deref()
            .and_then(|cold| self.network.way(entry, cold, |_| false));
        let found = match (hot_way, cold_way) {
            (None, None) => return None,
            (Some(hot), None) => {
                self.flow_along(&[], &hot.links, &[], outlet, Ratio::from_fraction(1.0), set_point)
            }
            (None, Some(cold)) => self.flow_along(
                &[],
                &[],
                &cold.links,
                outlet,
                Ratio::from_fraction(0.0),
                set_point,
            ),
            (Some(hot), Some(cold)) => {
                let shared = hot
                    .links
                    .iter()
                    .zip(&cold.links)
                    .take_while(|(a, b)| a == b)
                    .count();
                let (common, hot_only, cold_only) =
                    (&hot.links[..shared], &hot.links[shared..], &cold.links[shared..]);
                self.flow_along(common, hot_only, cold_only, outlet, share, set_point)
            }
        };
        match found {
            Ok(delivery) => Some(delivery),
            Err(error) => {
                self.context
                    .gap(fixture.id.clone(), "flow and pressure", error.to_string());
                None
            }
        }
    }

    /// The way of the hot water: supply to heater, through it, on to the tap.
    fn way_through_heater(&self, entry: &str, fixture: &Fixture, hot: &str) -> Option<Way> {
        let index = self.heater_of(fixture)?;
        let heater = &self.context.job.sources[index];
        let mut way = self.network.way(entry, heater.inlet.as_deref()?, |_| false)?;
        let rest = self.network.way(heater.outlet.as_deref()?, hot, |_| false)?;
        way.links.push(Link::Source(index));
        way.links.extend(rest.links);
        way.divides |= rest.divides;
        Some(way)
    }

    fn flow_along(
        &self,
        common: &[Link],
        hot: &[Link],
        cold: &[Link],
        outlet: Outlet,
        share: Ratio,
        set_point: Temperature,
    ) -> Result<Delivery, WaterError> {
        let share = share.as_fraction().clamp(0.0, 1.0);
        let warm = Water::in_house(set_point)?;
        let heated_after = hot.iter().position(|link| matches!(link, Link::Source(_)));
        let common = self.parts(common, |_| self.cold)?;
        let hot_side = self.parts(hot, |at| {
            if heated_after.is_some_and(|heater| at > heater) {
                warm
            } else {
                self.cold
            }
        })?;
        let cold_side = self.parts(cold, |_| self.cold)?;
        let has_hot = !hot.is_empty() && share > 0.0;
        let has_cold = !cold.is_empty() && share < 1.0;
        let left = |flow: VolumeFlow| -> Result<GaugePressure, WaterError> {
            let trunk = common.loss(self.cold, flow)?;
            let mut least = f64::INFINITY;
            if has_hot {
                least =
                    least.min((self.pressure - trunk - hot_side.loss(self.cold, flow * share)?).as_pascals());
            }
            if has_cold {
                least = least.min(
                    (self.pressure - trunk - cold_side.loss(self.cold, flow * (1.0 - share))?).as_pascals(),
                );
            }
            if !has_hot && !has_cold {
                least = (self.pressure - trunk).as_pascals();
            }
            Ok(GaugePressure::from_pascals(least))
        };
        let (flow, pressure) = settle(outlet, &left)?;
        let mut fastest: Option<(String, Velocity)> = None;
        for (side, through) in [(&common, 1.0), (&hot_side, share), (&cold_side, 1.0 - share)] {
            self.fastest(side, flow * through, &mut fastest)?;
        }
        let heater_inlet = match heated_after.filter(|_| has_hot) {
            Some(heater) => {
                let before = self.parts(&hot[..heater], |_| self.cold)?;
                let lost = common.loss(self.cold, flow)? + before.loss(self.cold, flow * share)?;
                Some(self.pressure - lost)
            }
            None => None,
        };
        Ok(Delivery {
            flow,
            pressure,
            loss: self.pressure.above(pressure),
            fastest,
            heater_inlet,
        })
    }

    fn fastest(
        &self,
        side: &Parts,
        flow: VolumeFlow,
        fastest: &mut Option<(String, Velocity)>,
    ) -> Result<(), WaterError> {
        if let Some((at, velocity)) = Path::new(self.cold, &side.parts).loss_at(flow)?.fastest
            && fastest.as_ref().is_none_or(|(_, known)| velocity > *known)
            && let Some(Some(pipe)) = side.pipes.get(at)
        {
            *fastest = Some((self.context.job.piping.pipes[*pipe].id.clone(), velocity));
        }
        Ok(())
    }

    fn parts(&self, links: &[Link], water: impl Fn(usize) -> Water) -> Result<Parts, WaterError> {
        let job = self.context.job;
        let mut all = Parts {
            parts: Vec::new(),
            pipes: Vec::new(),
        };
        let mut push = |part, pipe| {
            all.parts.push(part);
            all.pipes.push(pipe);
        };
        for (at, link) in links.iter().enumerate() {
            match *link {
                Link::Pipe(index) => {
                    let pipe = &job.piping.pipes[index];
                    let bore = Pipe::of(pipe_material(pipe.material), pipe.size, pipe.length)?;
                    let fittings: Vec<(Fitting, u16)> = pipe
                        .fittings
                        .iter()
                        .map(|(kind, count)| (fitting(*kind), *count))
                        .collect();
                    let rise = self.height(&pipe.to) - self.height(&pipe.from);
                    let rise = if self.runs_backwards(links, at) {
                        -rise
                    } else {
                        rise
                    };
                    let run = Run::new(bore, water(at))
                        .with_fittings(pipe.size, &fittings)?
                        .rising(rise)?;
                    push(Part::Run(run), Some(index));
                }
                Link::Valve(index) => {
                    let valve = &job.piping.valves[index];
                    let Some((material, size)) = self.beside(links, at, valve.size) else {
                        continue;
                    };
                    let bore = Pipe::of(pipe_material(material), size, Length::zero())?;
                    push(
                        Part::Run(
                            Run::new(bore, water(at)).with_fittings(size, &[(open_valve(valve.kind), 1)])?,
                        ),
                        None,
                    );
                }
                Link::Source(index) => {
                    if let Some(curve) = self.heater_loss(index)? {
                        push(Part::Device(curve), None);
                    }
                }
            }
        }
        Ok(all)
    }

    fn height(&self, junction: &str) -> Length {
        self.heights.get(junction).copied().unwrap_or_else(Length::zero)
    }

    /// Whether the way passes the pipe at `at` from its `to` end.
    fn runs_backwards(&self, links: &[Link], at: usize) -> bool {
        let ends = |link: &Link| -> Option<[&str; 2]> {
            let job = self.context.job;
            match *link {
                Link::Pipe(index) => Some([&job.piping.pipes[index].from, &job.piping.pipes[index].to]),
                Link::Valve(index) => Some([&job.piping.valves[index].from, &job.piping.valves[index].to]),
                Link::Source(index) => Some([
                    job.sources[index].inlet.as_deref()?,
                    job.sources[index].outlet.as_deref()?,
                ]),
            }
        };
        let Some([from, to]) = ends(&links[at]) else {
            return false;
        };
        match (
            at.checked_sub(1).and_then(|before| ends(&links[before])),
            links.get(at + 1).and_then(ends),
        ) {
            (Some(before), _) => before.contains(&to) && !before.contains(&from),
            (None, Some(after)) => after.contains(&from) && !after.contains(&to),
            (None, None) => false,
        }
    }

    /// Material and size of the pipe nearest to a valve along the way.
    fn beside(
        &self,
        links: &[Link],
        at: usize,
        size: Option<PipeSize>,
    ) -> Option<(job::PipeMaterial, PipeSize)> {
        let pipes = &self.context.job.piping.pipes;
        let nearest = (0..links.len())
            .filter_map(|other| match links[other] {
                Link::Pipe(index) => Some((other.abs_diff(at), index)),
                _ => None,
            })
            .min()?;
        let pipe = &pipes[nearest.1];
        Some((pipe.material, size.unwrap_or(pipe.size)))
    }

    /// The heater's pressure drop: its data sheet, or for an on-demand unit the usual figure; a tank takes none.
    fn heater_loss(&self, index: usize) -> Result<Option<LossCurve>, WaterError> {
        let heater = &self.context.job.sources[index];
        let points: Vec<_> = heater
            .pressure_drop
            .iter()
            .map(|point| (point.flow, point.drop))
            .collect();
        if !points.is_empty() {
            return LossCurve::through(&points).map(Some);
        }
        if heater.kind == SourceKind::Tank {
            return Ok(None);
        }
        let at = source_at(index).field("pressure_drop");
        let drop = self.context.given.take(None, at, "sources.pressure_drop").value;
        LossCurve::through(&[(VolumeFlow::from_gallons_per_minute(3.0), drop)]).map(Some)
    }
}

impl Parts {
    fn loss(&self, inlet: Water, flow: VolumeFlow) -> Result<PressureDifference, WaterError> {
        Ok(Path::new(inlet, &self.parts).loss_at(flow)?.total())
    }
}

/// The flow at which the outlet takes just what the pressure left gives, by halving an interval that holds it.
///
/// More flow leaves less pressure and so asks for less flow: the difference falls throughout, and sixty halvings leave
/// it undecided by less than one part in 10^18 of the interval.
fn settle(
    outlet: Outlet,
    left: &impl Fn(VolumeFlow) -> Result<GaugePressure, WaterError>,
) -> Result<(VolumeFlow, GaugePressure), WaterError> {
    let still = left(VolumeFlow::zero())?;
    let (mut low, mut high) = (
        VolumeFlow::zero(),
        outlet
            .flow_at(still)
            .min(VolumeFlow::from_gallons_per_minute(190.0)),
    );
    for _ in 0..60 {
        let middle = (low + high) / 2.0;
        if outlet.flow_at(left(middle)?) > middle {
            low = middle;
        } else {
            high = middle;
        }
    }
    Ok((low, left(low)?))
}

pub(crate) fn fitting(kind: FittingKind) -> Fitting {
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
