//! Heaters that this job adds, what the record says hangs on them, and the change-over valves.
//!
//! The record does not mark which pipes and valves are new: valves are listed with that remark, pipes are not counted.

use crate::line::MaterialLine;
use assess::Assessment;
use job::{HeatSource, Job, Relief, SourceKind, SourceStatus, Valve, ValveKind};
use quantity::{Power, UnitSystem};

/// Lines of the proposed heaters; none when the job adds no heater.
pub(crate) fn lines(job: &Job, assessment: &Assessment) -> Vec<MaterialLine> {
    let units = assessment.head.units;
    let proposed: Vec<_> = job
        .sources
        .iter()
        .filter(|heater| heater.status == SourceStatus::Proposed)
        .collect();
    if proposed.is_empty() {
        return Vec::new();
    }
    let mut lines: Vec<_> = proposed
        .iter()
        .flat_map(|heater| {
            let mut own = vec![unit(heater, units)];
            own.extend(service_valves(heater));
            own.push(relief(heater));
            own
        })
        .collect();
    lines.extend(change_over_valves(job));
    lines.push(MaterialLine::not_counted(
        "pipe, fittings and other valves",
        "the record does not mark which of them are new",
    ));
    lines
}

fn unit(heater: &HeatSource, units: UnitSystem) -> MaterialLine {
    let kind = match heater.kind {
        SourceKind::OnDemand => "on-demand unit",
        SourceKind::Tank => "storage tank",
    };
    let total: Power = heater.elements.iter().map(|element| element.power).sum();
    let elements: Vec<_> = heater
        .elements
        .iter()
        .map(|element| format!("{} at {}", element.power.show(units), element.voltage.show(units)))
        .collect();
    let volume = heater
        .volume
        .map(|volume| format!(", {}", volume.show(units)))
        .unwrap_or_default();
    let item = format!(
        "{kind}{volume}, {} in all, elements: {}",
        total.show(units),
        elements.join(" + ")
    );
    let basis = format!("heater {}: proposed in the record", heater.id);
    MaterialLine::count(item, 1, basis)
}

fn service_valves(heater: &HeatSource) -> Option<MaterialLine> {
    let item = "pair of isolation valves with service ports";
    match heater.service_valves {
        Some(true) => Some(MaterialLine::count(
            item,
            1,
            format!(
                "heater {}: the record plans them; valves beside it may be the same",
                heater.id
            ),
        )),
        None if heater.kind == SourceKind::OnDemand => Some(MaterialLine::not_counted(
            item,
            format!(
                "heater {}: the record does not say whether it gets them",
                heater.id
            ),
        )),
        Some(false) | None => None,
    }
}

fn relief(heater: &HeatSource) -> MaterialLine {
    let id = &heater.id;
    let named = format!("heater {id}: named in the record");
    match heater.relief {
        Some(Relief::Pressure) => {
            MaterialLine::count("pressure relief valve, rated for the heater", 1, named)
        }
        Some(Relief::TemperatureAndPressure) => MaterialLine::count(
            "temperature and pressure relief valve, rated for the heater",
            1,
            named,
        ),
        Some(Relief::CutOffByValve) => MaterialLine::not_counted(
            "relief device",
            format!("heater {id}: the record has one that a valve can cut off; see the findings"),
        ),
        Some(Relief::None) => MaterialLine::not_counted(
            "relief device",
            format!(
                "heater {id}: the record has none; see the findings, its instructions and the local code"
            ),
        ),
        None => MaterialLine::not_counted("relief device", format!("heater {id}: the record does not say")),
    }
}

/// Valves that the source modes name: they make the change-over.
fn change_over_valves(job: &Job) -> impl Iterator<Item = MaterialLine> {
    let named = |valve: &&Valve| {
        let mut modes = job.piping.modes.iter();
        modes.any(|mode| mode.open.contains(&valve.tag) || mode.closed.contains(&valve.tag))
    };
    job.piping.valves.iter().filter(named).flat_map(|valve| {
        let kind = match valve.kind {
            ValveKind::Ball => "ball valve",
            ValveKind::Gate => "gate valve",
            ValveKind::Globe => "globe valve",
            ValveKind::Check => "check valve",
        };
        let size = valve
            .size
            .map_or_else(|| "size of its pipe".to_owned(), |size| size.to_string());
        let basis = format!("valve {}: may stand there already", valve.tag);
        [
            MaterialLine::count(format!("{kind} for change-over, {size}"), 1, basis),
            MaterialLine::count("valve tag", 1, format!("valve {}", valve.tag)),
        ]
    })
}
