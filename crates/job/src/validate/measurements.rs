//! What was measured, and at what; what was looked at.

use super::limits::{
    MEASURED_CURRENT, MEASURED_FLOW, MEASURED_PRESSURE, MEASURED_RESISTANCE, MEASURED_TEMPERATURE,
    MEASURED_VOLTAGE, MEASURED_WAIT,
};
use super::names::{Names, quoted};
use super::{Problems, about, names};
use crate::{Job, Measurement};
use std::collections::BTreeMap;
use trace::RecordPath;

pub(super) fn check(job: &Job, problems: &mut Problems) {
    observed(job, problems);
    let places = places(job);
    let known = Names::new(
        "place",
        "`fixtures`, `sources`, `circuits`, `service.panels` or `piping.junctions`",
        places.keys().copied(),
    );
    for (index, measurement) in job.measurements.iter().enumerate() {
        let at = RecordPath::from("measurements").item(index);
        let subject = format!("measurement {}", index + 1);
        known.resolve(&at.field("at"), &subject, &measurement.at, problems);
        if let Some([first, second, ..]) = places.get(measurement.at.as_str()).map(Vec::as_slice) {
            problems.add(
                at.field("at"),
                format!(
                    "`{}` is a {first} and a {second}: which was measured is open",
                    quoted(&measurement.at)
                ),
                "rename one of the two".into(),
            );
        }
        readings(&at, &subject, measurement, problems);
    }
}

/// What was looked at. Which things and facts there are is for the rule book to say; here they must be printable.
fn observed(job: &Job, problems: &mut Problems) {
    for (subject, facts) in &job.observed {
        let at = RecordPath::from("observed").field(subject);
        names::line(&at, "the name of what was looked at", subject, problems);
        for (fact, value) in facts {
            names::line(&at.field(fact), "the name of a fact", fact, problems);
            names::line(&at.field(fact), "what was seen", value, problems);
        }
    }
}

/// Everything that can be measured, by id, with what it is.
fn places(job: &Job) -> BTreeMap<&str, Vec<&'static str>> {
    let panels = job.service.iter().flat_map(|service| &service.panels);
    let named = (job
        .fixtures
        .iter()
        .map(|fixture| (fixture.id.as_str(), "fixture")))
    .chain(job.sources.iter().map(|source| (source.id.as_str(), "heater")))
    .chain(
        job.circuits
            .iter()
            .map(|circuit| (circuit.id.as_str(), "circuit")),
    )
    .chain(panels.map(|panel| (panel.id.as_str(), "panel")))
    .chain(
        job.piping
            .junctions
            .iter()
            .map(|junction| (junction.id.as_str(), "junction")),
    );
    let mut places: BTreeMap<&str, Vec<&'static str>> = BTreeMap::new();
    for (id, what) in named {
        let kinds = places.entry(id).or_default();
        // Two of one kind with one id are reported where they stand.
        if !kinds.contains(&what) {
            kinds.push(what);
        }
    }
    places
}

fn readings(at: &RecordPath, subject: &str, measurement: &Measurement, problems: &mut Problems) {
    about::date(&at.field("on"), measurement.on, problems);
    names::optional_line(
        &at.field("instrument"),
        "the instrument",
        measurement.instrument.as_ref(),
        problems,
    );
    names::remark(
        &at.field("note"),
        "the note of a measurement",
        measurement.note.as_ref(),
        problems,
    );
    problems.limit(at, "flow", subject, measurement.flow, &MEASURED_FLOW);
    problems.limit(
        at,
        "cold_temperature",
        subject,
        measurement.cold_temperature,
        &MEASURED_TEMPERATURE,
    );
    problems.limit(
        at,
        "hot_temperature",
        subject,
        measurement.hot_temperature,
        &MEASURED_TEMPERATURE,
    );
    problems.limit(at, "pressure", subject, measurement.pressure, &MEASURED_PRESSURE);
    problems.limit(at, "wait", subject, measurement.wait, &MEASURED_WAIT);
    problems.limit(at, "voltage", subject, measurement.voltage, &MEASURED_VOLTAGE);
    problems.limit(at, "current", subject, measurement.current, &MEASURED_CURRENT);
    problems.limit(
        at,
        "resistance",
        subject,
        measurement.resistance,
        &MEASURED_RESISTANCE,
    );
    let any = measurement.flow.is_some()
        || measurement.cold_temperature.is_some()
        || measurement.hot_temperature.is_some()
        || measurement.pressure.is_some()
        || measurement.wait.is_some()
        || measurement.voltage.is_some()
        || measurement.current.is_some()
        || measurement.resistance.is_some();
    if !any {
        problems.add(
            at.clone(),
            format!("{subject} at `{}` holds no reading", quoted(&measurement.at)),
            "enter what the instrument showed, or leave the measurement out".into(),
        );
    }
}
