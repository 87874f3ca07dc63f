//! What cannot be used in a record, all of it at once.
//!
//! In: a [`Job`]. Out: [`Problem`]s, each with its place in the record, what is wrong and what to do. Start at
//! [`validate`]; the modules below take one subject each, and `limits` holds every range in one table. A record without
//! problems is complete in itself (every name resolves) and holds no impossible value; whether the house is any good
//! is for the rules. Missing values are no problems. Knows no file format: `jobfile` finds the line and column.

mod about;
mod circuits;
mod connections;
mod fixtures;
mod heaters;
mod limits;
mod loads;
mod measurements;
mod names;
mod piping;
mod service;
mod spaces;
mod trade_sizes;
mod water;

use crate::{Job, SCHEMA_VERSION};
use limits::Limit;
use trace::{Problem, RecordPath};

/// All that cannot be used in `job`, each with its place and what to do.
pub fn validate(job: &Job) -> Vec<Problem> {
    let mut problems = Problems::default();
    if job.schema != SCHEMA_VERSION {
        problems.add(
            RecordPath::from("schema"),
            format!("`{}` is not the version of the form in use", job.schema),
            format!("write `schema = {SCHEMA_VERSION}`"),
        );
    }
    let too_long = list_lengths(job, &mut problems);
    if !too_long {
        about::check(job, &mut problems);
        water::check(job, &mut problems);
        service::check(job, &mut problems);
        loads::check(job, &mut problems);
        piping::check(job, &mut problems);
        fixtures::check(job, &mut problems);
        heaters::check(job, &mut problems);
        circuits::check(job, &mut problems);
        measurements::check(job, &mut problems);
    }
    problems.list
}

/// Most items of one kind. A large house has a few hundred pipes; the bound keeps a hostile record from costing time.
const ITEMS_MAX: usize = 1_000;

/// Whether there is more of something than a house holds; the checks of items are then left out.
fn list_lengths(job: &Job, problems: &mut Problems) -> bool {
    let piping = &job.piping;
    let panels = job.service.as_ref().map_or(&[][..], |service| &service.panels);
    let prices = job.prices.as_ref().map_or(&[][..], |prices| &prices.items);
    let positions = piping
        .modes
        .iter()
        .map(|mode| mode.open.len() + mode.closed.len() + mode.energized.len());
    let breakers = panels.iter().flat_map(|panel| &panel.breakers);
    let counts = [
        ("service.panels", "panels", panels.len()),
        ("service.panels", "breakers", breakers.clone().count()),
        (
            "service.panels",
            "breaker positions",
            breakers.map(|breaker| breaker.at.len()).sum(),
        ),
        ("loads.appliances", "appliances", job.loads.appliances.len()),
        ("piping.junctions", "junctions", piping.junctions.len()),
        ("piping.pipes", "pipes", piping.pipes.len()),
        ("piping.valves", "valves", piping.valves.len()),
        ("piping.modes", "modes", piping.modes.len()),
        ("piping.modes", "positions of modes", positions.sum()),
        ("fixtures", "fixtures", job.fixtures.len()),
        ("together", "situations", job.together.len()),
        (
            "together",
            "fixtures in situations",
            job.together.iter().map(|together| together.fixtures.len()).sum(),
        ),
        ("sources", "heaters", job.sources.len()),
        (
            "sources",
            "elements",
            job.sources.iter().map(|source| source.elements.len()).sum(),
        ),
        (
            "sources",
            "points of pressure drop",
            job.sources.iter().map(|source| source.pressure_drop.len()).sum(),
        ),
        ("circuits", "circuits", job.circuits.len()),
        (
            "circuits",
            "elements of circuits",
            job.circuits.iter().map(|circuit| circuit.elements.len()).sum(),
        ),
        ("routes", "cable runs", job.routes.len()),
        (
            "routes",
            "segments",
            job.routes.iter().map(|route| route.segments.len()).sum(),
        ),
        ("work", "sign-offs", job.work.len()),
        ("measurements", "measurements", job.measurements.len()),
        (
            "observed",
            "observed facts",
            job.observed.values().map(|facts| facts.len() + 1).sum(),
        ),
        ("prices.items", "prices", prices.len()),
    ];
    let mut any = false;
    for (path, what, count) in counts.into_iter().filter(|(_, _, count)| *count > ITEMS_MAX) {
        any = true;
        problems.add(
            RecordPath::from(path),
            format!("the record has `{count}` {what}, more than the {ITEMS_MAX} that one record may hold"),
            "keep one house in one record, and remove what is repeated".into(),
        );
    }
    any
}

/// What was found so far.
#[derive(Debug, Default)]
struct Problems {
    list: Vec<Problem>,
}

impl Problems {
    fn add(&mut self, at: RecordPath, message: String, fix: String) {
        self.list.push(Problem { at, message, fix });
    }

    /// The value of `field` of `subject` must lie within `limit`.
    fn limit<Q>(
        &mut self,
        at: &RecordPath,
        field: &str,
        subject: &str,
        value: impl Into<Option<Q>>,
        limit: &Limit<Q>,
    ) where
        Q: limits::Bounded,
    {
        let Some(value) = value.into() else { return };
        if let Some(breach) = limit.breach(&value) {
            let what = field.replace('_', " ");
            self.add(
                at.field(field),
                format!("{what} of {subject} is `{}`, {breach}", value.written()),
                format!(
                    "check number and unit; `{}` to `{}` is accepted",
                    limit.least, limit.most
                ),
            );
        }
    }

    /// Whether looking up nearest names is still worth its time.
    fn few(&self) -> bool {
        const HINTS_MAX: usize = 100;
        self.list.len() < HINTS_MAX
    }
}
