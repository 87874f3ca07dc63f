//! Waits for hot water, from heat in motion: each fixture opened cold, and again after a short pause.
//!
//! In: the piping in one mode, a fixture, its flow. Out: [`HotPath`]. Start at [`Waits::hot_path`]. One fixture alone, by the shortest way where pipes form a loop; the coldest month; before the
//! draw every pipe is as cool as what surrounds it and a tank is hot. Flows come from the pressures worked out
//! elsewhere; whoever waits opens the hot side fully and keeps that flow.

use crate::circuit_run::space_key;
use crate::context::Context;
use crate::delivery::Plumbing;
use crate::engine_names::pipe_material;
use crate::heat::Boiler;
use crate::network::Link;
use crate::wait_heaters::Source;
use crate::{HotPath, MainsYear, SlugResult};
use job::{Fixture, Space};
use quantity::{Power, Temperature, Time, Volume, VolumeFlow};
use std::collections::BTreeSet;
use tables::water_parameter::water_parameters;
use trace::RecordPath;
use water::Water;
use water::motion::{Draw, DrawResult, House, MotionError, NodeId, PipeRun, Plan, Settings, TapId};
use water::pipe::{Pipe, path_volume};
use water::standing_loss::Insulation;

/// What waits are worked out from.
pub(crate) struct Waits<'a> {
    pub(crate) context: &'a Context<'a>,
    pub(crate) boilers: &'a [Boiler],
    pub(crate) mains: &'a MainsYear,
}

/// The pipes of one fixture, by their index in the record, in the order the water takes.
#[derive(Debug, Clone, Default)]
pub(crate) struct Ways {
    pub(crate) to_heater: Vec<usize>,
    pub(crate) to_cold: Option<Vec<usize>>,
    pub(crate) hot: Vec<usize>,
    pub(crate) divides: bool,
}

/// One opening of a cold tap.
pub(crate) struct Opened {
    pub(crate) wait: Time,
    /// What it waited for: the wish, or less where the wish cannot be had.
    wanted: Temperature,
    reaches_use: bool,
    pub(crate) result: DrawResult,
}

/// Why a wait could not be worked out.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub(crate) enum WaitError {
    /// The run was refused.
    #[error(transparent)]
    Motion(#[from] MotionError),
    /// The heater does not start at this flow, or has no power.
    #[error(
        "no warm water comes within a quarter of an hour: the heater does not start at this flow, or has no power"
    )]
    NeverWarm,
}

/// What is asked at the tap.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Ask {
    pub(crate) flow: VolumeFlow,
    pub(crate) wanted: Temperature,
}

impl Waits<'_> {
    /// The hot side of a fixture; none without piping to it or when no warm water comes, with the reason as a gap.
    pub(crate) fn hot_path(
        &self,
        plumbing: &Plumbing<'_>,
        fixture: &Fixture,
        flow: VolumeFlow,
        wanted: Temperature,
    ) -> Option<HotPath> {
        let heater = plumbing.heater_of(fixture)?;
        let ways = self.ways(plumbing, fixture, heater)?;
        let ask = Ask { flow, wanted };
        match self.path_along(plumbing, fixture, heater, &ways, ask) {
            Ok(path) => Some(path),
            Err(why) => {
                self.context
                    .gap(fixture.id.clone(), "the wait for hot water", why.to_string());
                None
            }
        }
    }

    pub(crate) fn ways(&self, plumbing: &Plumbing<'_>, fixture: &Fixture, heater: usize) -> Option<Ways> {
        let source = &self.context.job.sources[heater];
        let hot = plumbing
            .network
            .way(source.outlet.as_deref()?, fixture.hot.as_deref()?, |_| false)?;
        Some(Ways {
            to_heater: self
                .entry_way(plumbing, source.inlet.as_deref())
                .unwrap_or_default(),
            to_cold: self.cold_way(plumbing, fixture),
            hot: pipes_of(&hot.links),
            divides: hot.divides,
        })
    }

    /// Pipes from the entry to a fixture's cold side; none for a machine that has no cold side.
    pub(crate) fn cold_way(&self, plumbing: &Plumbing<'_>, fixture: &Fixture) -> Option<Vec<usize>> {
        let cold = fixture.cold.as_deref()?;
        Some(self.entry_way(plumbing, Some(cold)).unwrap_or_default())
    }

    fn entry_way(&self, plumbing: &Plumbing<'_>, to: Option<&str>) -> Option<Vec<usize>> {
        let entry = self.context.job.water.entry.as_deref()?;
        let way = plumbing.network.way(entry, to?, |_| false)?;
        Some(pipes_of(&way.links))
    }

    fn path_along(
        &self,
        plumbing: &Plumbing<'_>,
        fixture: &Fixture,
        heater: usize,
        ways: &Ways,
        ask: Ask,
    ) -> Result<HotPath, WaitError> {
        let job = self.context.job;
        let source = self.source(heater);
        let opened = self.open(&source, ways, ask, false)?;
        let pipes = ways
            .hot
            .iter()
            .map(|pipe| self.bore(*pipe))
            .collect::<Result<Vec<_>, _>>()?;
        let shared = self.hot_pipes_of_others(plumbing, fixture);
        let alone: Vec<Pipe> = ways
            .hot
            .iter()
            .zip(&pipes)
            .filter(|(pipe, _)| !shared.contains(pipe))
            .map(|(_, bore)| *bore)
            .collect();
        Ok(HotPath {
            heater: job.sources[heater].id.clone(),
            pipes: ways
                .hot
                .iter()
                .map(|pipe| job.piping.pipes[*pipe].id.clone())
                .collect(),
            length: pipes.iter().map(Pipe::length).sum(),
            volume: path_volume(&pipes),
            branch_volume: path_volume(&alone),
            wait: opened.wait,
            reaches_use: opened.reaches_use,
            wasted: opened.result.run_off,
            wasted_heat: opened.result.run_off_heat,
            lukewarm: opened.result.lukewarm.min(opened.wait),
            slug: self.after_pause(&source, ways, ask, &opened)?,
            divides: ways.divides,
        })
    }

    /// Pipes that bring hot water to other fixtures.
    fn hot_pipes_of_others(&self, plumbing: &Plumbing<'_>, fixture: &Fixture) -> BTreeSet<usize> {
        let others = self
            .context
            .job
            .fixtures
            .iter()
            .filter(|other| other.id != fixture.id);
        others
            .filter_map(|other| self.ways(plumbing, other, plumbing.heater_of(other)?))
            .flat_map(|ways| ways.hot)
            .collect()
    }

    /// The heater as it works in motion.
    pub(crate) fn source(&self, heater: usize) -> Source {
        let known = self.boilers.iter().find(|boiler| boiler.index == heater);
        let context = self.context;
        let boiler = known
            .copied()
            .unwrap_or_else(|| Boiler::new(context, heater, &context.job.sources[heater], Power::zero()));
        let around = self.surroundings(context.job.sources[heater].space);
        Source::of(context, &boiler, around)
    }

    /// Opens the tap with every pipe cold. When the water never gets as warm as wanted, waits for the warmest there is.
    pub(crate) fn open(
        &self,
        source: &Source,
        ways: &Ways,
        ask: Ask,
        traced: bool,
    ) -> Result<Opened, WaitError> {
        // What the draw gets, and the hot water at its end.
        let run = |wanted: Temperature| -> Result<(DrawResult, Temperature), WaitError> {
            let (mut house, tap, hot) = self.house(source, ways)?;
            let longest = Time::from_minutes(LONGEST_WAIT_MIN);
            let draw = draw(tap, Time::zero(), longest, Ask { wanted, ..ask }, traced);
            let mut results = Vec::with_capacity(1);
            house.run(&[draw], Time::zero(), &mut results)?;
            let result = results.pop().ok_or(WaitError::NeverWarm)?;
            Ok((result, house.temperature_at(hot)))
        };
        let (result, steady) = run(ask.wanted)?;
        if let Some(wait) = result.wait {
            return Ok(Opened {
                wait,
                wanted: ask.wanted,
                reaches_use: true,
                result,
            });
        }
        // A tank may be empty by then; a unit goes on as long as it gets water.
        let warmest = match source {
            Source::Unit(_) => steady,
            Source::Tank(_) => result.warmest,
        };
        if (warmest - self.mains.coldest).as_celsius() < LEAST_WARM_K {
            return Err(WaitError::NeverWarm);
        }
        // The last degree comes slowly; who cannot have the wish does not wait for it.
        let wanted = warmest - Settings::default().useful_within;
        let (result, _) = run(wanted)?;
        let wait = result.wait.ok_or(WaitError::NeverWarm)?;
        Ok(Opened {
            wait,
            wanted,
            reaches_use: false,
            result,
        })
    }

    /// A draw, a short pause, and what the next one gets that is cooler than it should be.
    fn after_pause(
        &self,
        source: &Source,
        ways: &Ways,
        ask: Ask,
        opened: &Opened,
    ) -> Result<Option<SlugResult>, WaitError> {
        let pause = water_parameters().short_pause.value;
        let wanted = opened.wanted;
        let ask = Ask { wanted, ..ask };
        let second_use = Time::from_minutes(SECOND_USE_MIN);
        let first_runs = opened.wait + Time::from_minutes(FIRST_USE_MIN);
        let (mut house, tap, _) = self.house(source, ways)?;
        let draws = [
            draw(tap, Time::zero(), first_runs, ask, false),
            draw(tap, first_runs + pause, second_use, ask, true),
        ];
        let mut results = Vec::with_capacity(2);
        house.run(&draws, Time::zero(), &mut results)?;
        let second = results.pop().ok_or(WaitError::NeverWarm)?;
        let waited = second.wait.unwrap_or(second_use);
        let after = second.cold_slug;
        let lasts = waited + after.map_or(Time::zero(), |slug| slug.lasts);
        if lasts < Time::from_seconds(LEAST_SLUG_S) {
            return Ok(None);
        }
        let useful = wanted - Settings::default().useful_within;
        let coldest = second
            .trace
            .iter()
            .map(|point| point.temperature)
            .fold(useful, Temperature::min);
        Ok(Some(SlugResult {
            pause,
            begins: if waited < Time::from_seconds(LEAST_SLUG_S) {
                after.map_or(Time::zero(), |slug| slug.begins)
            } else {
                Time::zero()
            },
            lasts,
            volume: second.run_off + after.map_or(Volume::zero(), |slug| slug.volume),
            coldest,
        }))
    }

    /// The pipes of one fixture with its heater, cold; its tap, and the end of the hot side.
    fn house(&self, source: &Source, ways: &Ways) -> Result<(House, TapId, NodeId), WaitError> {
        let incoming = Water::in_house(self.mains.coldest).map_err(MotionError::from)?;
        let mut plan = Plan::new(incoming, source.set_point())?;
        let street = plan.place("the water entry");
        plan.supply(street);
        // The ways to heater and cold side begin together and part somewhere.
        let shared = ways.to_cold.as_ref().map_or(0, |cold| {
            ways.to_heater
                .iter()
                .zip(cold)
                .take_while(|(a, b)| a == b)
                .count()
        });
        let parting = self.lay(&mut plan, &ways.to_heater[..shared], street)?;
        let inlet = self.lay(&mut plan, &ways.to_heater[shared..], parting)?;
        let outlet = plan.place("the outlet of the heater");
        source.put(&mut plan, inlet, outlet);
        let hot = self.lay(&mut plan, &ways.hot, outlet)?;
        let cold = match &ways.to_cold {
            Some(cold) => Some(self.lay(&mut plan, &cold[shared..], parting)?),
            None => None,
        };
        let tap = plan.tap("the tap", Some(hot), cold);
        Ok((House::new(&plan, Settings::default())?, tap, hot))
    }

    /// Pipes in a row; gives their end.
    fn lay(&self, plan: &mut Plan, way: &[usize], from: NodeId) -> Result<NodeId, WaitError> {
        let mut at = from;
        for pipe in way {
            let name = &self.context.job.piping.pipes[*pipe].id;
            let next = plan.place(&format!("the end of pipe {name}"));
            plan.pipe(at, next, self.run(*pipe)?);
            at = next;
        }
        Ok(at)
    }

    fn bore(&self, pipe: usize) -> Result<Pipe, WaitError> {
        let pipe = &self.context.job.piping.pipes[pipe];
        Ok(Pipe::of(pipe_material(pipe.material), pipe.size, pipe.length).map_err(MotionError::from)?)
    }

    fn run(&self, index: usize) -> Result<PipeRun, WaitError> {
        let pipe = &self.context.job.piping.pipes[index];
        let insulation = pipe.insulation.map(|thickness| Insulation {
            thickness,
            conductivity: water_parameters().foam_conductivity.value,
        });
        let around = self.surroundings(pipe.space);
        Ok(PipeRun::in_air(self.bore(index)?, insulation, around).map_err(MotionError::from)?)
    }

    /// Winter temperature of a space: an assumption, made once for all that lies in it.
    fn surroundings(&self, space: Option<Space>) -> Temperature {
        let name = space.map_or("unstated", space_key);
        let at = RecordPath::from("piping")
            .field("pipes")
            .field("surroundings")
            .field(name);
        let key = format!("piping.pipes.surroundings.{name}");
        self.context.given.take(None, at, &key).value
    }
}

fn pipes_of(links: &[Link]) -> Vec<usize> {
    let pipe = |link: &Link| match link {
        Link::Pipe(pipe) => Some(*pipe),
        Link::Valve(_) | Link::Source(_) => None,
    };
    links.iter().filter_map(pipe).collect()
}

fn draw(tap: TapId, opens: Time, runs: Time, ask: Ask, traced: bool) -> Draw {
    Draw {
        tap,
        opens,
        runs,
        flow: ask.flow,
        use_temperature: Some(ask.wanted),
        traced,
    }
}

/// A flow that runs at all.
pub(crate) fn running(flow: VolumeFlow) -> VolumeFlow {
    flow.max(VolumeFlow::from_gallons_per_minute(0.001))
}

const LONGEST_WAIT_MIN: f64 = 15.0;
/// Use after the wait and before the pause: long enough for walls and heater to be warm.
const FIRST_USE_MIN: f64 = 3.0;
const SECOND_USE_MIN: f64 = 5.0;
/// Nobody notices less.
const LEAST_SLUG_S: f64 = 0.5;
/// Less warm than this above the incoming water counts as cold.
const LEAST_WARM_K: f64 = 5.0;
