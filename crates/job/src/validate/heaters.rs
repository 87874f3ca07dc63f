//! Heaters.

use super::limits::{
    ACTIVATION_FLOW, BREAKER, CHANGES_PER_MINUTE, CIRCUITS_REQUIRED, ELEMENT_POWER, ELEMENT_VOLTAGE,
    FLOW_MAX, INLET_MAX, ON_DEMAND_VOLUME, PLASTIC_DISTANCE, POINT_DROP, POINT_FLOW, PRESSURE_MIN, Plain,
    SET_POINT, TANK_VOLUME,
};
use super::names::{Names, quoted};
use super::piping::junction_names;
use super::service::terminal_rating;
use super::{Problems, names};
use crate::{HeatSource, Job, SourceKind};
use quantity::Kind;
use trace::RecordPath;

/// Heaters as references name them.
pub(super) fn heater_names(job: &Job) -> Names<'_> {
    Names::new(
        "heater",
        "`[[sources]]`",
        job.sources.iter().map(|source| source.id.as_str()),
    )
}

pub(super) fn check(job: &Job, problems: &mut Problems) {
    let list = RecordPath::from("sources");
    names::short_names(
        &list,
        "id",
        "heater",
        job.sources.iter().map(|source| source.id.as_str()),
        problems,
    );
    let (heaters, junctions) = (heater_names(job), junction_names(job));
    for (index, source) in job.sources.iter().enumerate() {
        let at = list.item(index);
        let subject = format!("heater `{}`", quoted(&source.id));
        ranges(&at, &subject, source, problems);
        elements(&at, &subject, source, problems);
        pressure_drop(&at, &subject, source, problems);
        connections(&at, &subject, source, &junctions, problems);
        if let Some(other) = &source.interlocked_with {
            let at = at.field("interlocked_with");
            if *other == source.id {
                problems.add(
                    at,
                    format!("{subject} is interlocked with itself"),
                    "name the other heater, the one that stays off meanwhile".into(),
                );
            } else {
                heaters.resolve(&at, &subject, other, problems);
            }
        }
    }
}

fn ranges(at: &RecordPath, subject: &str, source: &HeatSource, problems: &mut Problems) {
    names::optional_line(
        &at.field("name"),
        "the name of a heater",
        source.name.as_ref(),
        problems,
    );
    let listing = source.temperature_listing.as_ref();
    names::optional_line(
        &at.field("temperature_listing"),
        "the listing of a heater",
        listing,
        problems,
    );
    problems.limit(at, "set_point", subject, source.set_point, &SET_POINT);
    problems.limit(
        at,
        "circuits_required",
        subject,
        source.circuits_required.map(Plain),
        &CIRCUITS_REQUIRED,
    );
    problems.limit(
        at,
        "changes_per_minute",
        subject,
        source.changes_per_minute.map(Plain),
        &CHANGES_PER_MINUTE,
    );
    problems.limit(at, "breaker_max", subject, source.breaker_max, &BREAKER);
    problems.limit(
        at,
        "activation_flow",
        subject,
        source.activation_flow,
        &ACTIVATION_FLOW,
    );
    problems.limit(at, "flow_max", subject, source.flow_max, &FLOW_MAX);
    problems.limit(at, "pressure_min", subject, source.pressure_min, &PRESSURE_MIN);
    problems.limit(at, "inlet_max", subject, source.inlet_max, &INLET_MAX);
    problems.limit(
        at,
        "plastic_pipe_distance",
        subject,
        source.plastic_pipe_distance,
        &PLASTIC_DISTANCE,
    );
    terminal_rating(at, subject, source.terminal_rating_c, problems);
    match source.kind {
        SourceKind::Tank => problems.limit(at, "volume", subject, source.volume, &TANK_VOLUME),
        SourceKind::OnDemand => problems.limit(at, "volume", subject, source.volume, &ON_DEMAND_VOLUME),
    }
    if let (Some(start), Some(most)) = (source.activation_flow, source.flow_max)
        && start >= most
    {
        problems.add(
            at.field("activation_flow"),
            format!(
                "{subject} begins to heat at `{}`, not below its largest flow `{}`, so it would never heat",
                start.written(),
                most.written()
            ),
            "read both figures on its label again".into(),
        );
    }
}

fn elements(at: &RecordPath, subject: &str, source: &HeatSource, problems: &mut Problems) {
    if source.elements.is_empty() {
        problems.add(
            at.clone(),
            format!("{subject} has no elements, so it heats nothing"),
            "list each element with its rated power and voltage, as on the nameplate".into(),
        );
    }
    for (index, element) in source.elements.iter().enumerate() {
        let at = at.field("elements").item(index);
        let subject = format!("element {} of {subject}", index + 1);
        problems.limit(&at, "power", &subject, element.power, &ELEMENT_POWER);
        problems.limit(&at, "voltage", &subject, element.voltage, &ELEMENT_VOLTAGE);
    }
}

/// The points of a pressure-drop curve must rise.
fn pressure_drop(at: &RecordPath, subject: &str, source: &HeatSource, problems: &mut Problems) {
    let list = at.field("pressure_drop");
    let subject = format!("the pressure drop of {subject}");
    for (index, point) in source.pressure_drop.iter().enumerate() {
        problems.limit(&list.item(index), "flow", &subject, point.flow, &POINT_FLOW);
        problems.limit(&list.item(index), "drop", &subject, point.drop, &POINT_DROP);
    }
    for (index, pair) in source.pressure_drop.windows(2).enumerate() {
        let (before, after) = (&pair[0], &pair[1]);
        if after.flow <= before.flow || after.drop < before.drop {
            problems.add(
                list.item(index + 1),
                format!(
                    "{subject} goes from `{}` at `{}` to `{}` at `{}`, but more flow costs more pressure",
                    before.drop.written(),
                    before.flow.written(),
                    after.drop.written(),
                    after.flow.written()
                ),
                "list the points by rising flow, and check the figures against the data sheet".into(),
            );
        }
    }
}

fn connections(
    at: &RecordPath,
    subject: &str,
    source: &HeatSource,
    junctions: &Names<'_>,
    problems: &mut Problems,
) {
    for (field, junction) in [("inlet", &source.inlet), ("outlet", &source.outlet)] {
        if let Some(junction) = junction {
            junctions.resolve(&at.field(field), subject, junction, problems);
        }
    }
    match (&source.inlet, &source.outlet) {
        (Some(inlet), Some(outlet)) if inlet == outlet => problems.add(
            at.field("outlet"),
            format!(
                "inlet and outlet of {subject} are the same junction `{}`",
                quoted(inlet)
            ),
            "give its cold and its hot connection a junction each".into(),
        ),
        (Some(_), None) => one_ended(at, subject, "outlet", problems),
        (None, Some(_)) => one_ended(at, subject, "inlet", problems),
        _ => {}
    }
}

fn one_ended(at: &RecordPath, subject: &str, lacking: &str, problems: &mut Problems) {
    problems.add(
        at.clone(),
        format!("{subject} is joined at one end only: `{lacking}` is missing"),
        format!("name the junction of its `{lacking}`, or leave out both while its place is open"),
    );
}
