//! The electrical supply and how its panels feed one another.

use super::limits::{
    BREAKER, BUS_RATING, CLEARANCE, DROP_LENGTH, FAULT_CURRENT, FEEDER_LENGTH, HOUSES, IMPEDANCE,
    INTERRUPTING, Plain, SERVICE_RATING, TRANSFORMER,
};
use super::names::{Names, quoted};
use super::{Problems, names, spaces, trade_sizes};
use crate::{Job, Panel, Service, SupplySystem};
use quantity::{Kind, Voltage};
use std::collections::BTreeMap;
use trace::RecordPath;

/// Panels as references name them.
pub(super) fn panel_names(job: &Job) -> Names<'_> {
    let panels = job.service.iter().flat_map(|service| &service.panels);
    Names::new(
        "panel",
        "`[[service.panels]]`",
        panels.map(|panel| panel.id.as_str()),
    )
}

pub(super) fn check(job: &Job, problems: &mut Problems) {
    let Some(service) = &job.service else { return };
    let at = RecordPath::from("service");
    problems.limit(&at, "rating", "the service", service.rating, &SERVICE_RATING);
    problems.limit(
        &at,
        "fault_current",
        "the service",
        service.fault_current,
        &FAULT_CURRENT,
    );
    if let Some(measured) = service.measured_voltage {
        measured_fits(&at.field("measured_voltage"), service.system, measured, problems);
    }
    upstream(&at, service, problems);
    let list = at.field("panels");
    names::short_names(
        &list,
        "id",
        "panel",
        service.panels.iter().map(|panel| panel.id.as_str()),
        problems,
    );
    let all = panel_names(job);
    for (index, panel) in service.panels.iter().enumerate() {
        one_panel(&list.item(index), panel, &all, problems);
    }
    tree(&list, &service.panels, problems);
}

/// Volts between two legs of each system, and as people write the system.
fn between_legs(system: SupplySystem) -> (f64, &'static str) {
    match system {
        SupplySystem::SplitPhase120_240 => (240.0, "120/240 V"),
        SupplySystem::TwoLegs120_208 => (208.0, "120/208 V"),
        SupplySystem::Single230 => (230.0, "230 V"),
        SupplySystem::ThreePhase230_400 => (400.0, "230/400 V"),
    }
}

/// Farther from nominal than any supply runs, so that meter, place or system must be wrong. A bad supply inside this
/// is for the rules. Common practice.
const VOLTAGE_SPREAD: f64 = 0.15;

fn measured_fits(at: &RecordPath, system: SupplySystem, measured: Voltage, problems: &mut Problems) {
    let off = |nominal: f64| (measured.as_volts() / nominal - 1.0).abs();
    let (nominal, name) = between_legs(system);
    if off(nominal) <= VOLTAGE_SPREAD {
        return;
    }
    let leg = nominal / 2.0;
    let others = [
        SupplySystem::SplitPhase120_240,
        SupplySystem::TwoLegs120_208,
        SupplySystem::Single230,
        SupplySystem::ThreePhase230_400,
    ];
    let fitting = others
        .into_iter()
        .map(between_legs)
        .find(|(volts, _)| off(*volts) <= VOLTAGE_SPREAD);
    let fix = match fitting {
        Some((_, other)) => format!("measure again between the two legs; `{other}` would fit this reading"),
        None if off(leg) <= VOLTAGE_SPREAD => {
            "measure between the two legs, not from a leg to neutral".to_owned()
        }
        None => "measure again between the two legs".to_owned(),
    };
    problems.add(
        at.clone(),
        format!(
            "measured voltage is `{}`, but a {name} system has {nominal} V between two legs",
            measured.written()
        ),
        fix,
    );
}

fn upstream(at: &RecordPath, service: &Service, problems: &mut Problems) {
    if let Some(transformer) = &service.transformer {
        let at = at.field("transformer");
        problems.limit(&at, "rating", "the transformer", transformer.rating, &TRANSFORMER);
        problems.limit(
            &at,
            "impedance",
            "the transformer",
            transformer.impedance,
            &IMPEDANCE,
        );
        problems.limit(
            &at,
            "houses",
            "the transformer",
            transformer.houses.map(Plain),
            &HOUSES,
        );
    }
    if let Some(drop) = &service.drop {
        let at = at.field("drop");
        problems.limit(&at, "length", "the service drop", drop.length, &DROP_LENGTH);
        trade_sizes::check(
            &at,
            "conductor",
            "the service drop",
            drop.conductor,
            drop.material,
            problems,
        );
    }
}

fn one_panel(at: &RecordPath, panel: &Panel, all: &Names<'_>, problems: &mut Problems) {
    let subject = format!("panel `{}`", quoted(&panel.id));
    problems.limit(at, "bus_rating", &subject, panel.bus_rating, &BUS_RATING);
    problems.limit(at, "main_breaker", &subject, panel.main_breaker, &BREAKER);
    problems.limit(
        at,
        "interrupting_rating",
        &subject,
        panel.interrupting_rating,
        &INTERRUPTING,
    );
    terminal_rating(at, &subject, panel.terminal_rating_c, problems);
    if let Some(room) = &panel.working_space {
        let at = at.field("working_space");
        problems.limit(
            &at,
            "depth",
            &format!("the room before {subject}"),
            room.depth,
            &CLEARANCE,
        );
        problems.limit(
            &at,
            "width",
            &format!("the room before {subject}"),
            room.width,
            &CLEARANCE,
        );
        problems.limit(
            &at,
            "height",
            &format!("the room before {subject}"),
            room.height,
            &CLEARANCE,
        );
    }
    if let Some(fed_from) = &panel.fed_from {
        all.resolve(&at.field("fed_from"), &subject, fed_from, problems);
    }
    if let Some(feeder) = &panel.feeder {
        let at = at.field("feeder");
        let subject = format!("the feeder of {subject}");
        problems.limit(&at, "breaker", &subject, feeder.breaker, &BREAKER);
        problems.limit(&at, "length", &subject, feeder.length, &FEEDER_LENGTH);
        trade_sizes::check(
            &at,
            "conductor",
            &subject,
            feeder.conductor,
            feeder.material,
            problems,
        );
        if panel.fed_from.is_none() {
            problems.add(
                at,
                format!("{subject} begins nowhere: the panel has no `fed_from`"),
                "name the panel it begins in; the main panel itself has no feeder, see `service.drop`".into(),
            );
        }
    }
    spaces::check(at, panel, problems);
}

/// Terminals are marked for 60 or 75 °C.
pub(super) fn terminal_rating(at: &RecordPath, subject: &str, rating: Option<u8>, problems: &mut Problems) {
    if let Some(rating) = rating.filter(|rating| ![60, 75].contains(rating)) {
        problems.add(
            at.field("terminal_rating_c"),
            format!("terminal rating of {subject} is `{rating}`, but terminals are marked 60 or 75 °C"),
            "read the marking at the terminals; 60 when there is none".into(),
        );
    }
}

/// Panels must hang on one main panel like a tree. Without a main panel, a circle or an unknown name is the reason.
fn tree(list: &RecordPath, panels: &[Panel], problems: &mut Problems) {
    let index_of: BTreeMap<&str, usize> = panels
        .iter()
        .enumerate()
        .rev()
        .map(|(index, panel)| (panel.id.as_str(), index))
        .collect();
    let parent = |index: usize| {
        panels[index]
            .fed_from
            .as_deref()
            .and_then(|id| index_of.get(id).copied())
    };
    // A walk up from each panel; `walk` holds the one on which a panel was first met.
    let mut walk = vec![None; panels.len()];
    for start in 0..panels.len() {
        let mut here = Some(start);
        while let Some(index) = here.filter(|index| walk[*index].is_none()) {
            walk[index] = Some(start);
            here = parent(index);
        }
        if let Some(met) = here.filter(|index| walk[*index] == Some(start)) {
            circle(list, panels, met, &parent, problems);
        }
    }
    let mut mains = panels
        .iter()
        .enumerate()
        .filter(|(_, panel)| panel.fed_from.is_none());
    let Some((_, main)) = mains.next() else { return };
    for (index, panel) in mains {
        let (main, other) = (quoted(&main.id), quoted(&panel.id));
        problems.add(
            list.item(index),
            format!("panels `{main}` and `{other}` both have no `fed_from`, but one panel is the main one"),
            format!("say which panel feeds `{other}`"),
        );
    }
}

fn circle(
    list: &RecordPath,
    panels: &[Panel],
    first: usize,
    parent: &impl Fn(usize) -> Option<usize>,
    problems: &mut Problems,
) {
    let mut names = vec![format!("`{}`", quoted(&panels[first].id))];
    let mut here = first;
    while let Some(up) = parent(here) {
        names.push(format!("`{}`", quoted(&panels[up].id)));
        here = up;
        if up == first {
            break;
        }
    }
    let message = if names.len() == 2 {
        format!("panel {} is fed from itself", names[0])
    } else {
        format!("panels feed one another in a circle: {}", names.join(" from "))
    };
    problems.add(
        list.item(first).field("fed_from"),
        message,
        "leave out `fed_from` of the main panel, and name for every other panel the one before it".into(),
    );
}
