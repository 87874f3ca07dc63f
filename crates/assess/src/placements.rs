//! The wait over time for a chart, and the waits with the unit at other places.
//!
//! In: fixtures with their waits worked out. Out: [`WaitTrace`] and [`PlacementResult`]s. Start at [`Waits::trace`] and
//! [`Waits::placements`]. Compares places by waits alone: pressure, circuits and money of another place are not worked
//! out.

use crate::context::source_name;
use crate::delivery::Plumbing;
use crate::wait_heaters::Source;
use crate::waits::{Ask, Waits, Ways, running};
use crate::{FixtureResult, Placement, PlacementResult, PlacementWait, WaitTrace};
use job::SourceKind;
use quantity::{Temperature, Time, Volume};
use water::motion::DrawResult;

impl Waits<'_> {
    /// Temperature over time of the fixture that waits longest today, or after the work where today is not known.
    pub(crate) fn trace(
        &self,
        today: Option<&Plumbing<'_>>,
        after: Option<&Plumbing<'_>>,
        fixtures: &[FixtureResult],
    ) -> Option<WaitTrace> {
        let longest = fixtures
            .iter()
            .filter_map(|result| Some((result, result.today.as_ref().or(result.after.as_ref())?.wait)))
            .max_by(|a, b| a.1.as_seconds().total_cmp(&b.1.as_seconds()))?
            .0;
        let fixture = self
            .context
            .job
            .fixtures
            .iter()
            .find(|fixture| fixture.id == longest.id)?;
        let ask = Ask {
            flow: running(longest.flow),
            wanted: longest.use_temperature,
        };
        let waits = [&longest.today, &longest.after]
            .into_iter()
            .flatten()
            .map(|path| path.wait);
        let shown = waits.fold(Time::zero(), Time::max) * 1.25 + Time::from_seconds(10.0);
        let points = |plumbing: Option<&Plumbing<'_>>| -> Vec<(Time, Temperature)> {
            let opened = plumbing.and_then(|plumbing| {
                let heater = plumbing.heater_of(fixture)?;
                let ways = self.ways(plumbing, fixture, heater)?;
                self.open(&self.source(heater), &ways, ask, true).ok()
            });
            opened.map_or(Vec::new(), |opened| thinned(&opened.result, shown))
        };
        Some(WaitTrace {
            fixture: longest.name.clone(),
            use_temperature: longest.use_temperature,
            today: points(today),
            after: points(after),
        })
    }

    /// The unit of the mode designed for, where the record puts it, where today's heater stands, and right at the fixture
    /// that waits longest.
    pub(crate) fn placements(
        &self,
        today: Option<&Plumbing<'_>>,
        after: Option<&Plumbing<'_>>,
        fixtures: &[FixtureResult],
    ) -> Vec<PlacementResult> {
        let job = self.context.job;
        let Some(unit) = self.boilers.iter().find(|boiler| {
            boiler.kind == SourceKind::OnDemand
                && after.is_some_and(|plumbing| plumbing.mode.energized.contains(&boiler.index))
        }) else {
            return Vec::new();
        };
        let unit = unit.index;
        let record = |id: &str| job.fixtures.iter().find(|fixture| fixture.id == id);
        let planned: Vec<(&FixtureResult, Time, Volume)> = fixtures
            .iter()
            .filter_map(|result| {
                let path = result
                    .after
                    .as_ref()
                    .filter(|path| path.heater == job.sources[unit].id)?;
                Some((result, path.wait, path.wasted))
            })
            .collect();
        let Some((longest, ..)) = planned
            .iter()
            .max_by(|a, b| a.1.as_seconds().total_cmp(&b.1.as_seconds()))
        else {
            return Vec::new();
        };
        let mut placements = vec![placement(Placement::AsPlanned, None, &planned)];
        let source = self.source(unit);
        let moved: Option<(usize, Vec<_>)> = today.and_then(|plumbing| {
            let mut heaters = job
                .fixtures
                .iter()
                .filter_map(|fixture| plumbing.heater_of(fixture));
            let heater = heaters.find(|heater| *heater != unit && self.stands_elsewhere(*heater, unit))?;
            let waits = fixtures.iter().filter_map(|result| {
                let fixture = record(&result.id)?;
                let ways = self.ways(
                    plumbing,
                    fixture,
                    plumbing.heater_of(fixture).filter(|at| *at == heater)?,
                )?;
                self.waited(&source, &ways, result)
            });
            Some((heater, waits.collect()))
        });
        if let Some((heater, waits)) = moved.filter(|(_, waits)| !waits.is_empty()) {
            let instead_of = source_name(&job.sources[heater]);
            placements.push(placement(Placement::AtTodaysHeater, Some(instead_of), &waits));
        }
        let cold = record(&longest.id)
            .zip(after)
            .and_then(|(fixture, plumbing)| self.cold_way(plumbing, fixture));
        let beside = Ways {
            to_heater: cold.clone().unwrap_or_default(),
            to_cold: cold,
            ..Ways::default()
        };
        placements.extend(
            self.waited(&source, &beside, longest)
                .map(|wait| placement(Placement::AtTheFixture, None, &[wait])),
        );
        placements
    }

    fn stands_elsewhere(&self, one: usize, other: usize) -> bool {
        let sources = &self.context.job.sources;
        sources[one].inlet != sources[other].inlet || sources[one].outlet != sources[other].outlet
    }

    fn waited<'f>(
        &self,
        source: &Source,
        ways: &Ways,
        fixture: &'f FixtureResult,
    ) -> Option<(&'f FixtureResult, Time, Volume)> {
        let ask = Ask {
            flow: running(fixture.flow),
            wanted: fixture.use_temperature,
        };
        let opened = self.open(source, ways, ask, false).ok()?;
        Some((fixture, opened.wait, opened.result.run_off))
    }
}

fn placement(
    place: Placement,
    instead_of: Option<String>,
    waits: &[(&FixtureResult, Time, Volume)],
) -> PlacementResult {
    PlacementResult {
        place,
        instead_of,
        waits: waits
            .iter()
            .map(|(fixture, wait, _)| PlacementWait {
                fixture: fixture.name.clone(),
                wait: *wait,
            })
            .collect(),
        run_off: waits.iter().map(|(_, _, run_off)| *run_off).sum(),
    }
}

/// Few enough points for a chart and a file, the first and the last among them.
fn thinned(result: &DrawResult, until: Time) -> Vec<(Time, Temperature)> {
    let shown: Vec<_> = result
        .trace
        .iter()
        .take_while(|point| point.time <= until)
        .collect();
    let every = shown.len().div_ceil(TRACE_POINTS).max(1);
    let last = shown.len().saturating_sub(1);
    let first = shown.first().map(|point| (Time::zero(), point.temperature));
    let thinned = shown
        .iter()
        .enumerate()
        .filter(|(at, _)| at % every == 0 || *at == last)
        .map(|(_, point)| (point.time, point.temperature));
    first.into_iter().chain(thinned).collect()
}

const TRACE_POINTS: usize = 80;
