//! Puts another unit into a job: its elements, its circuits, and what was known of the unit as written.
//!
//! In: a job, the index of its unit, new elements. Out: the job changed in place. Knows nothing of the tank.

use crate::range::ElementSize;
use job::{Circuit, Element, HeatSource, Job};

/// Elements of a unit with `count` elements of one size.
pub(crate) fn elements(size: &ElementSize, count: u16) -> Vec<Element> {
    let element = Element {
        power: size.power,
        voltage: size.voltage,
    };
    vec![element; usize::from(count)]
}

/// Replaces the unit. Its place, connections, set point and terminals stay as written; figures of the written unit's
/// label, and what was observed or measured of it and of its circuits, do not hold for another one and go.
pub(crate) fn replace(job: &mut Job, at: usize, size: &ElementSize, count: u16) {
    let unit = &mut job.sources[at];
    let written = unit.clone();
    *unit = HeatSource {
        elements: elements(size, count),
        activation_flow: Some(size.activation_flow),
        circuits_required: Some(count),
        simultaneous: None,
        breaker_max: None,
        flow_max: None,
        pressure_min: None,
        inlet_max: None,
        pressure_drop: Vec::new(),
        temperature_listing: None,
        ..written
    };
    let id = unit.id.clone();
    let (old, others): (Vec<Circuit>, Vec<Circuit>) = std::mem::take(&mut job.circuits)
        .into_iter()
        .partition(|circuit| circuit.source == id);
    job.circuits = others;
    let of_unit = |name: &str| name == id || old.iter().any(|circuit| circuit.id == name);
    job.observed.retain(|name, _| !of_unit(name));
    job.measurements.retain(|measurement| !of_unit(&measurement.at));
    let planned = circuits(job, &id, &old, count);
    job.circuits.extend(planned);
}

/// One circuit an element, on panel, route and cable of the first one written; none when none was written, so that the
/// assessment plans them. Breaker and conductors are left out, so that they are designed for the new load.
fn circuits(job: &Job, unit: &str, old: &[Circuit], count: u16) -> Vec<Circuit> {
    let Some(first) = old.first() else {
        return Vec::new();
    };
    let fresh = (1..)
        .map(|number: u32| format!("{unit}-{number}"))
        .filter(|id| !job.circuits.iter().chain(old).any(|circuit| circuit.id == *id));
    let ids = old.iter().map(|circuit| circuit.id.clone()).chain(fresh);
    (1..=count)
        .zip(ids)
        .map(|(element, id)| Circuit {
            id,
            elements: vec![element],
            breaker: None,
            conductor: None,
            ground: None,
            existing: false,
            ..first.clone()
        })
        .collect()
}
