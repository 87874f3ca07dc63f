//! Element circuits and the cable runs they take.

use super::heaters::heater_names;
use super::limits::{AMBIENT, BREAKER, CURRENT_CARRYING, DROP_TARGET, Plain, SEGMENT_LENGTH, SLACK, SPLICES};
use super::names::{Names, quoted};
use super::service::panel_names;
use super::{Problems, names, trade_sizes};
use crate::{Circuit, HeatSource, Job, Route};
use std::collections::{BTreeMap, BTreeSet};
use trace::RecordPath;

pub(super) fn check(job: &Job, problems: &mut Problems) {
    let list = RecordPath::from("circuits");
    names::short_names(
        &list,
        "id",
        "circuit",
        job.circuits.iter().map(|circuit| circuit.id.as_str()),
        problems,
    );
    let route_ids = || job.routes.iter().map(|route| route.id.as_str());
    let (heaters, panels) = (heater_names(job), panel_names(job));
    let routes = Names::new("cable run", "`[[routes]]`", route_ids());
    for (index, circuit) in job.circuits.iter().enumerate() {
        let at = list.item(index);
        let subject = format!("circuit `{}`", quoted(&circuit.id));
        panels.resolve(&at.field("panel"), &subject, &circuit.panel, problems);
        if let Some(route) = &circuit.route {
            routes.resolve(&at.field("route"), &subject, route, problems);
        }
        if heaters.resolve(&at.field("source"), &subject, &circuit.source, problems)
            && let Some(heater) = job.sources.iter().find(|source| source.id == circuit.source)
        {
            elements(&at, &subject, circuit, heater, problems);
        }
        problems.limit(&at, "breaker", &subject, circuit.breaker, &BREAKER);
        problems.limit(&at, "splices", &subject, circuit.splices.map(Plain), &SPLICES);
        problems.limit(&at, "drop_target", &subject, circuit.drop_target, &DROP_TARGET);
        trade_sizes::check(
            &at,
            "conductor",
            &subject,
            circuit.conductor,
            circuit.material,
            problems,
        );
        trade_sizes::check(
            &at,
            "ground",
            &subject,
            circuit.ground,
            circuit.material,
            problems,
        );
    }
    served_once(&list, job, problems);
    let list = RecordPath::from("routes");
    names::short_names(&list, "id", "cable run", route_ids(), problems);
    for (index, route) in job.routes.iter().enumerate() {
        run(&list.item(index), route, problems);
    }
}

fn elements(at: &RecordPath, subject: &str, circuit: &Circuit, heater: &HeatSource, problems: &mut Problems) {
    let at = at.field("elements");
    let count = heater.elements.len();
    let mut named = BTreeSet::new();
    for (index, element) in circuit.elements.iter().enumerate() {
        if *element == 0 || usize::from(*element) > count {
            problems.add(
                at.item(index),
                format!(
                    "{subject} serves element `{element}` of heater `{}`, which has {count}, counted from 1",
                    quoted(&heater.id)
                ),
                "name an element that the heater has, or add it to the heater's `elements`".into(),
            );
        } else if !named.insert(*element) {
            problems.add(
                at.item(index),
                format!("{subject} names element `{element}` twice"),
                "name each element once".into(),
            );
        }
    }
}

/// An element hangs on one circuit of those that stand there, and on one of those planned.
fn served_once(list: &RecordPath, job: &Job, problems: &mut Problems) {
    let mut served: BTreeMap<(&str, bool, u16), &str> = BTreeMap::new();
    let counts: BTreeMap<&str, usize> = job
        .sources
        .iter()
        .map(|source| (source.id.as_str(), source.elements.len()))
        .collect();
    for (index, circuit) in job.circuits.iter().enumerate() {
        let count = counts
            .get(circuit.source.as_str())
            .map_or(0, |count| u16::try_from(*count).unwrap_or(u16::MAX));
        let every: Vec<u16> = (1..=count).collect();
        let elements = if circuit.elements.is_empty() {
            &every
        } else {
            &circuit.elements
        };
        let own: BTreeSet<u16> = elements
            .iter()
            .copied()
            .filter(|element| (1..=count).contains(element))
            .collect();
        let mut doubled = Vec::new();
        for element in own {
            let key = (circuit.source.as_str(), circuit.existing, element);
            if let Some(before) = served.insert(key, circuit.id.as_str()) {
                doubled.push((element, before));
            }
        }
        if let Some((element, before)) = doubled.first() {
            problems.add(
                list.item(index).field(if circuit.elements.is_empty() {
                    "source"
                } else {
                    "elements"
                }),
                format!(
                    "element `{element}` of heater `{}` hangs on circuit `{}` and on circuit `{}`",
                    quoted(&circuit.source),
                    quoted(before),
                    quoted(&circuit.id)
                ),
                "say in `elements` of each circuit which elements it serves".into(),
            );
        }
    }
}

fn run(at: &RecordPath, route: &Route, problems: &mut Problems) {
    let subject = format!("cable run `{}`", quoted(&route.id));
    problems.limit(at, "slack", &subject, route.slack, &SLACK);
    if route.segments.is_empty() {
        problems.add(
            at.field("segments"),
            format!("{subject} has no segments, so it has no length"),
            "list its segments from panel to heater, one for each space it passes".into(),
        );
    }
    for (index, segment) in route.segments.iter().enumerate() {
        let at = at.field("segments").item(index);
        let subject = format!("segment {} of {subject}", index + 1);
        problems.limit(&at, "length", &subject, segment.length, &SEGMENT_LENGTH);
        problems.limit(&at, "ambient", &subject, segment.ambient, &AMBIENT);
        problems.limit(
            &at,
            "current_carrying",
            &subject,
            segment.current_carrying.map(Plain),
            &CURRENT_CARRYING,
        );
    }
}
