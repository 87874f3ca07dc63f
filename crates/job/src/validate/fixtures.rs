//! Fixtures and the situations in which they run together.

use super::limits::{
    FILL_VOLUME, Plain, RATED_FLOW, RATED_PRESSURE, USE_TEMPERATURE, USE_TIME, USES_PER_DAY,
};
use super::names::{Names, quoted};
use super::piping::junction_names;
use super::{Problems, names};
use crate::{Fixture, Job};
use std::collections::BTreeMap;
use trace::RecordPath;

/// Fixtures as references name them.
fn fixture_names(job: &Job) -> Names<'_> {
    Names::new(
        "fixture",
        "`[[fixtures]]`",
        job.fixtures.iter().map(|fixture| fixture.id.as_str()),
    )
}

pub(super) fn check(job: &Job, problems: &mut Problems) {
    let list = RecordPath::from("fixtures");
    names::short_names(
        &list,
        "id",
        "fixture",
        job.fixtures.iter().map(|fixture| fixture.id.as_str()),
        problems,
    );
    let junctions = junction_names(job);
    for (index, fixture) in job.fixtures.iter().enumerate() {
        one(&list.item(index), fixture, &junctions, problems);
        if !job.piping.pipes.is_empty() && fixture.hot.is_none() && fixture.cold.is_none() {
            problems.add(
                list.item(index),
                format!(
                    "fixture `{}` is connected nowhere, though the piping is given",
                    quoted(&fixture.id)
                ),
                "name the junctions of its `hot` and `cold` side".into(),
            );
        }
    }
    together(job, problems);
}

fn one(at: &RecordPath, fixture: &Fixture, junctions: &Names<'_>, problems: &mut Problems) {
    let subject = format!("fixture `{}`", quoted(&fixture.id));
    names::optional_line(
        &at.field("name"),
        "the name of a fixture",
        fixture.name.as_ref(),
        problems,
    );
    problems.limit(at, "rated_flow", &subject, fixture.rated_flow, &RATED_FLOW);
    problems.limit(
        at,
        "rated_pressure",
        &subject,
        fixture.rated_pressure,
        &RATED_PRESSURE,
    );
    problems.limit(
        at,
        "use_temperature",
        &subject,
        fixture.use_temperature,
        &USE_TEMPERATURE,
    );
    problems.limit(at, "fill_volume", &subject, fixture.fill_volume, &FILL_VOLUME);
    problems.limit(
        at,
        "uses_per_day",
        &subject,
        fixture.uses_per_day.map(Plain),
        &USES_PER_DAY,
    );
    problems.limit(at, "use_time", &subject, fixture.use_time, &USE_TIME);
    for (field, junction) in [("hot", &fixture.hot), ("cold", &fixture.cold)] {
        if let Some(junction) = junction {
            junctions.resolve(&at.field(field), &subject, junction, problems);
        }
    }
    if let (Some(hot), Some(cold)) = (&fixture.hot, &fixture.cold)
        && hot == cold
    {
        problems.add(
            at.field("cold"),
            format!(
                "hot and cold side of {subject} both hang on junction `{}`",
                quoted(hot)
            ),
            "give each side its own junction, or leave out `cold` for a machine that takes hot water only"
                .into(),
        );
    }
}

fn together(job: &Job, problems: &mut Problems) {
    let list = RecordPath::from("together");
    let fixtures = fixture_names(job);
    let mut first_at = BTreeMap::new();
    for (index, together) in job.together.iter().enumerate() {
        let at = list.item(index);
        names::line(
            &at.field("name"),
            "the name of a situation",
            &together.name,
            problems,
        );
        if let Some(first) = first_at.insert(together.name.as_str(), index) {
            problems.add(
                at.field("name"),
                format!(
                    "`{}` is already the name of situation {}",
                    quoted(&together.name),
                    first + 1
                ),
                "give each situation its own name".into(),
            );
        }
        let subject = format!("situation `{}`", quoted(&together.name));
        let at = at.field("fixtures");
        if together.fixtures.is_empty() {
            problems.add(
                at.clone(),
                format!("{subject} names no fixture"),
                "name the fixtures that run in it, or leave it out".into(),
            );
        }
        names::references(&at, &subject, &together.fixtures, &fixtures, problems);
    }
}
