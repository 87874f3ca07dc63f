//! A house in time: draws open and close, water moves event by event, taps mix, heaters heat.
//!
//! In: a [`Plan`] and schedules. Out: a result for each draw and the balance of a run. The state stays from run to run,
//! so that days follow one another. An event lasts until a tap opens or closes or until the water at a tap has changed
//! so much that its hot share has to change; between, flows are constant and each pipe turns the stream that enters into
//! the stream that leaves, in the order the water takes. Nothing is allocated in a run once its buffers have grown.

use super::balance::Balance;
use super::draw::{Draw, DrawResult};
use super::heater::Heater;
use super::plan::{MotionError, NodeId, Part, Plan};
use super::plug::Plug;
use super::settings::Settings;
use super::stream::Stream;
use super::tank::Tank;
use super::tap::Running;
use super::unit::Unit;
use crate::error::within;
use quantity::{Energy, Temperature, Time, Volume};

#[derive(Debug, Clone)]
pub(super) enum LinkState {
    Pipe(Box<Plug>),
    Heater(Heater),
}

/// Where the water of a place comes from.
#[derive(Debug, Clone, Copy)]
pub(super) enum Feed {
    Dry,
    Supply(f64),
    One(usize),
    Many,
}

/// A house ready to run.
///
/// ```
/// use quantity::{Length, Power, Ratio, Temperature, TemperatureDifference, Time, Volume, VolumeFlow};
/// use tables::pipe::PipeMaterial;
/// use water::Water;
/// use water::motion::{Draw, House, PipeRun, Plan, Settings, StandbyLoss, StorageTank};
/// use water::pipe::Pipe;
/// let f = Temperature::from_fahrenheit;
/// let mut plan = Plan::new(Water::in_house(f(50.0))?, f(120.0))?;
/// let [street, tank_out, end] = ["street", "tank", "shower"].map(|name| plan.place(name));
/// plan.supply(street);
/// let standby = StandbyLoss { power: Power::from_watts(40.0), difference: TemperatureDifference::from_fahrenheit(52.5) };
/// plan.tank(street, tank_out, StorageTank {
///     volume: Volume::from_gallons(50.0),
///     set_point: f(120.0),
///     dead_band: TemperatureDifference::from_celsius(5.0),
///     elements: Vec::new(),
///     simultaneous: false,
///     standby,
///     inlet_mixing: Ratio::from_fraction(0.1),
///     surroundings: f(70.0),
/// });
/// let pipe = Pipe::of(PipeMaterial::CopperL, "3/4 in".parse()?, Length::from_feet(50.0))?;
/// plan.pipe(tank_out, end, PipeRun::in_air(pipe, None, f(70.0))?);
/// let shower = plan.tap("shower", Some(end), None);
/// let mut house = House::new(&plan, Settings::default())?;
/// let draw = Draw {
///     tap: shower,
///     opens: Time::zero(),
///     runs: Time::from_minutes(3.0),
///     flow: VolumeFlow::from_gallons_per_minute(1.5),
///     use_temperature: Some(f(105.0)),
///     traced: false,
/// };
/// let mut results = Vec::new();
/// house.run(&[draw], Time::zero(), &mut results)?;
/// // Volume over flow is 50.3 s; the wall's heat makes it about a fifth more.
/// assert!(results[0].wait.is_some_and(|wait| (55.0..66.0).contains(&wait.as_seconds())));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone)]
pub struct House {
    pub(super) settings: Settings,
    pub(super) taps: Vec<(String, Option<usize>, Option<usize>)>,
    pub(super) order: Vec<usize>,
    pub(super) links: Vec<LinkState>,
    pub(super) ends: Vec<(usize, usize)>,
    pub(super) shares: Vec<f64>,
    pub(super) leading: Vec<Vec<usize>>,
    pub(super) leaving: Vec<Vec<usize>>,
    pub(super) feeds: Vec<Feed>,
    pub(super) incoming_c: f64,
    pub(super) heat_j_per_l_k: f64,
    pub(super) clock_s: f64,
    // Scratch of the events, kept for its memory.
    pub(super) flows: Vec<f64>,
    pub(super) demands: Vec<f64>,
    pub(super) awake: Vec<bool>,
    pub(super) streams: Vec<Stream>,
    pub(super) at_places: Vec<Stream>,
    pub(super) spare: Stream,
    pub(super) running: Vec<Running>,
    pub(super) schedule: Vec<usize>,
    pub(super) in_l: f64,
    pub(super) in_kl: f64,
    pub(super) out_l: f64,
    pub(super) out_kl: f64,
    pub(super) events: u64,
}

impl House {
    /// A house whose pipes and units stand at the temperature around them and whose tanks are hot.
    ///
    /// # Errors
    /// When the plan has a ring, a dry place or shares that do not add up.
    pub fn new(plan: &Plan, settings: Settings) -> Result<Self, MotionError> {
        within("the resolution of a run", settings.resolution, 0.01, 20.0, "°C")?;
        within("the tolerance at a tap", settings.tap_tolerance, 0.01, 20.0, "°C")?;
        within(
            "the allowance below the use temperature",
            settings.useful_within,
            0.0,
            20.0,
            "°C",
        )?;
        within(
            "the factor of the front's variance",
            settings.front_variance,
            0.0,
            10_000.0,
            "%",
        )?;
        let order = plan.order()?;
        let leading = plan.leading();
        let per_kl = plan.heat_j_per_l_k();
        let links: Vec<LinkState> = plan
            .links
            .iter()
            .map(|link| match &link.part {
                Part::Pipe(run) => LinkState::Pipe(Box::new(Plug::new(run, plan.mean(), &settings))),
                Part::Unit(unit) => LinkState::Heater(Heater::Unit(Box::new(Unit::new(unit, per_kl)))),
                Part::Tank(tank) => LinkState::Heater(Heater::Tank(Box::new(Tank::new(tank, per_kl)))),
            })
            .collect();
        let mut leaving = vec![Vec::new(); plan.places.len()];
        for (index, link) in plan.links.iter().enumerate() {
            leaving[link.from].push(index);
        }
        let feeds = plan
            .places
            .iter()
            .zip(&leading)
            .map(|(place, links)| match (place.supply, links.as_slice()) {
                (Some(temperature), _) => Feed::Supply(temperature.as_celsius()),
                (None, []) => Feed::Dry,
                (None, [one]) => Feed::One(*one),
                (None, _) => Feed::Many,
            })
            .collect();
        let n_links = links.len();
        let n_places = plan.places.len();
        Ok(Self {
            settings,
            taps: plan
                .taps
                .iter()
                .map(|tap| (tap.name.clone(), tap.hot, tap.cold))
                .collect(),
            order,
            links,
            ends: plan.links.iter().map(|link| (link.from, link.to)).collect(),
            shares: plan.links.iter().map(|link| link.share.as_fraction()).collect(),
            leading,
            leaving,
            feeds,
            incoming_c: plan.incoming().temperature().as_celsius(),
            heat_j_per_l_k: per_kl,
            clock_s: 0.0,
            flows: vec![0.0; n_links],
            demands: vec![0.0; n_places],
            awake: vec![false; n_links],
            streams: vec![Stream::with_room(); n_links],
            at_places: vec![Stream::with_room(); n_places],
            spare: Stream::with_room(),
            running: Vec::with_capacity(16),
            schedule: Vec::new(),
            in_l: 0.0,
            in_kl: 0.0,
            out_l: 0.0,
            out_kl: 0.0,
            events: 0,
        })
    }

    /// Fills every pipe and heater with water of one temperature.
    ///
    /// # Errors
    /// When the temperature is not from 0 to 150 °C.
    pub fn fill(&mut self, temperature: Temperature) -> Result<(), MotionError> {
        let temp_c = within("the water in the house", temperature, 0.0, 150.0, "°C")?.as_celsius();
        for link in &mut self.links {
            match link {
                LinkState::Pipe(pipe) => pipe.fill(temp_c),
                LinkState::Heater(heater) => heater.fill(temp_c),
            }
        }
        Ok(())
    }

    /// The temperature at a place now: at the end of the pipe that leads there.
    pub fn temperature_at(&self, place: NodeId) -> Temperature {
        Temperature::from_celsius(self.place_temp_c(place.0))
    }

    /// Runs a schedule: times of draws count from the beginning of the run, which lasts `lasts` or until the last tap
    /// closes. Results are put in the order of the draws; `results` is overwritten.
    ///
    /// # Errors
    /// When a draw opens before the run, has no side to draw from, or is out of range.
    pub fn run(
        &mut self,
        draws: &[Draw],
        lasts: Time,
        results: &mut Vec<DrawResult>,
    ) -> Result<Balance, MotionError> {
        within("the length of a run", lasts, 0.0, 400.0, "d")?;
        self.accept(draws, results)?;
        let base_s = self.clock_s;
        let end_s = base_s + lasts.as_seconds();
        let (stored_kl, heated_kl, lost_kl) = (self.stored_kl(), self.heated_kl(), self.lost_kl());
        (self.in_l, self.in_kl, self.out_l, self.out_kl, self.events) = (0.0, 0.0, 0.0, 0.0, 0);
        let mut next = 0;
        loop {
            let mut changed = self.close_due(results);
            while let Some(draw) = self.schedule.get(next).map(|at| draws[*at])
                && base_s + draw.opens.as_seconds() <= self.clock_s + CLOSE_S
            {
                self.open(draw, self.schedule[next]);
                changed = true;
                next += 1;
            }
            let opens_s = self
                .schedule
                .get(next)
                .map_or(f64::INFINITY, |at| base_s + draws[*at].opens.as_seconds());
            if self.running.is_empty() {
                if opens_s.is_finite() {
                    self.clock_s = opens_s;
                    continue;
                }
                self.clock_s = end_s.max(self.clock_s);
                break;
            }
            if changed {
                self.wake();
            }
            let closes_s = self
                .running
                .iter()
                .map(|draw| draw.closes_s)
                .fold(f64::INFINITY, f64::min);
            self.event(opens_s.min(closes_s), results);
        }
        self.stand_all();
        let energy = |kl: f64| Energy::from_joules(kl * self.heat_j_per_l_k);
        let lost = self.lost_kl();
        Ok(Balance {
            water_in: Volume::from_liters(self.in_l),
            water_out: Volume::from_liters(self.out_l),
            heat_in: energy(self.in_kl),
            heated: energy(self.heated_kl() - heated_kl),
            heat_out: energy(self.out_kl),
            lost_by_pipes: energy(lost.0 - lost_kl.0),
            lost_by_heaters: energy(lost.1 - lost_kl.1),
            stored: energy(self.stored_kl() - stored_kl),
            events: self.events,
        })
    }

    /// Checks the schedule, sorts it, and makes room for its results.
    fn accept(&mut self, draws: &[Draw], results: &mut Vec<DrawResult>) -> Result<(), MotionError> {
        for draw in draws {
            let (name, hot, cold) = &self.taps[draw.tap.0];
            if draw.opens < Time::zero() {
                return Err(MotionError::Early { tap: name.clone() });
            }
            within("the opening of a draw", draw.opens, 0.0, 400.0, "d")?;
            within("the length of a draw", draw.runs, 0.0, 24.0, "h")?;
            within("the flow of a draw", draw.flow, 0.001, 100.0, "gpm")?;
            if let Some(wanted) = draw.use_temperature {
                within("the use temperature of a draw", wanted, 0.0, 100.0, "°C")?;
            }
            if cold.is_none() && (hot.is_none() || draw.use_temperature.is_none()) {
                return Err(MotionError::NoSide { tap: name.clone() });
            }
        }
        self.schedule.clear();
        self.schedule.extend(0..draws.len());
        self.schedule.sort_unstable_by(|a, b| {
            draws[*a]
                .opens
                .as_seconds()
                .total_cmp(&draws[*b].opens.as_seconds())
                .then(a.cmp(b))
        });
        results.truncate(draws.len());
        for (at, draw) in draws.iter().enumerate() {
            if at == results.len() {
                results.push(DrawResult {
                    tap: draw.tap,
                    opens: draw.opens,
                    wait: None,
                    run_off: Volume::zero(),
                    run_off_heat: Energy::zero(),
                    volume: Volume::zero(),
                    hot_volume: Volume::zero(),
                    heat: Energy::zero(),
                    lukewarm: Time::zero(),
                    cold_slug: None,
                    warmest: Temperature::from_celsius(0.0),
                    trace: Vec::new(),
                });
            }
            results[at].tap = draw.tap;
            results[at].opens = draw.opens;
            results[at].trace.clear();
        }
        Ok(())
    }

    fn open(&mut self, draw: Draw, result: usize) {
        let (_, hot, cold) = self.taps[draw.tap.0];
        self.running.push(Running::new(
            draw,
            result,
            (hot, cold),
            self.clock_s,
            self.incoming_c,
            &self.settings,
        ));
    }

    fn close_due(&mut self, results: &mut [DrawResult]) -> bool {
        let before = self.running.len();
        let mut at = 0;
        while at < self.running.len() {
            if self.running[at].closes_s > self.clock_s + CLOSE_S {
                at += 1;
                continue;
            }
            let closed = self.running.remove(at);
            self.out_l += closed.volume_l();
            closed.close(&mut results[closed.result], self.heat_j_per_l_k);
        }
        self.running.len() != before
    }

    pub(super) fn stand(&mut self, link: usize, until_s: f64) {
        match &mut self.links[link] {
            LinkState::Pipe(pipe) => pipe.stand(until_s),
            LinkState::Heater(heater) => heater.stand(until_s),
        }
    }

    fn stand_all(&mut self) {
        for link in 0..self.links.len() {
            self.stand(link, self.clock_s);
        }
        // Clocks begin anew, so that years of runs lose no digits.
        self.clock_s = 0.0;
        for link in &mut self.links {
            match link {
                LinkState::Pipe(pipe) => pipe.set_clock(0.0),
                LinkState::Heater(heater) => heater.set_clock(0.0),
            }
        }
    }

    fn stored_kl(&self) -> f64 {
        self.links
            .iter()
            .map(|link| match link {
                LinkState::Pipe(pipe) => pipe.stored_kl(),
                LinkState::Heater(heater) => heater.stored_kl(),
            })
            .sum()
    }

    fn heated_kl(&self) -> f64 {
        self.links
            .iter()
            .map(|link| match link {
                LinkState::Pipe(_) => 0.0,
                LinkState::Heater(heater) => heater.heated_kl(),
            })
            .sum()
    }

    /// Lost by pipes and by heaters.
    fn lost_kl(&self) -> (f64, f64) {
        let mut lost = (0.0, 0.0);
        for link in &self.links {
            match link {
                LinkState::Pipe(pipe) => lost.0 += pipe.lost_kl(),
                LinkState::Heater(heater) => lost.1 += heater.lost_kl(),
            }
        }
        lost
    }
}

/// Instants closer than this are one.
const CLOSE_S: f64 = 1e-9;
