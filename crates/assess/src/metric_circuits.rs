//! The heater's circuits by the metric wiring rules, where the supply is 230 V or 230/400 V.
//!
//! In: the solved circuits with their runs. Out: [`MetricCircuit`]s. Installation method and insulation are read from the
//! record's cable and raceway; the country's own rules come on top and are not carried.

use crate::MetricCircuit;
use crate::circuits::SolvedCircuit;
use crate::context::Context;
use crate::engine_names;
use crate::supply_path::SupplyPath;
use job::{CableType, SupplySystem};
use power::PowerError;
use power::ampacity::Segment;
use power::metric_circuit::{MetricRequest, MetricStretch, metric_circuit};
use power::supply::element_voltage;
use power::wiring_choice::WiringPlace;
use tables::cable::Wetness;
use tables::iec_ampacity::{InstallationMethod, Insulation};

/// The circuits by the metric rules; empty elsewhere.
pub(crate) fn metric_circuits(
    context: &Context<'_>,
    path: &SupplyPath,
    circuits: &[SolvedCircuit<'_>],
) -> Vec<MetricCircuit> {
    let system = context.job.service.as_ref().map(|service| service.system);
    let metric = [SupplySystem::Single230, SupplySystem::ThreePhase230_400];
    if !system.is_some_and(|system| metric.contains(&system)) {
        return Vec::new();
    }
    let mut all = Vec::new();
    for circuit in circuits {
        match one(path, circuit) {
            Ok(found) => all.push(found),
            Err(error) => {
                let subject = format!("circuit {}", circuit.result.id);
                context.gap(subject, "the circuit by the metric rules", error.to_string());
            }
        }
    }
    all
}

fn one(path: &SupplyPath, circuit: &SolvedCircuit<'_>) -> Result<MetricCircuit, PowerError> {
    let insulation = match circuit.cable {
        CableType::Thwn2 | CableType::Mc | CableType::Se => Insulation::Xlpe,
        CableType::NmB | CableType::UfB => Insulation::Pvc,
    };
    let places = &circuit.run.places;
    let segments = circuit.run.segments.iter().enumerate();
    let run = segments
        .map(|(at, segment)| MetricStretch {
            label: segment.label.clone(),
            method: method(circuit.cable, segment, places.get(at)),
            length: segment.length,
            ambient: segment.ambient,
            circuits: (segment.current_carrying / 2).max(1),
        })
        .collect();
    let found = metric_circuit(&MetricRequest {
        elements: circuit.elements.clone(),
        nominal: element_voltage(path.supply, circuit.connection)?,
        material: engine_names::metal(circuit.result.material),
        insulation,
        run,
        drop_target: circuit.result.drop_target,
    })?;
    let worst = found
        .stretches
        .iter()
        .reduce(|a, b| if b.ampacity < a.ampacity { b } else { a });
    let working = worst.map_or_else(String::new, |worst| {
        format!(
            "{}: {} (method {}) × {} ambient × {} grouping = {}",
            worst.label,
            worst.base.value.show_in("A"),
            worst.method,
            worst.ambient.value.as_fraction(),
            worst.grouping.value.as_fraction(),
            worst.ampacity.show_in("A"),
        )
    });
    Ok(MetricCircuit {
        circuit: circuit.result.id.clone(),
        design_current: found.design,
        breaker: found.breaker.value,
        conductor: found.conductor,
        conductor_for_drop: found.for_drop,
        ampacity: found.ampacity,
        working,
        protective: found.protective.value,
        length: found.length,
        drop: found.drop,
        sources: vec![
            found.source.to_string(),
            found.breaker.source.to_string(),
            found.protective.source.to_string(),
        ],
    })
}

/// Reference method of a stretch.
fn method(cable: CableType, segment: &Segment, place: Option<&WiringPlace>) -> InstallationMethod {
    let single = cable == CableType::Thwn2;
    let raceway = single || place.is_some_and(|place| place.raceway);
    if place.is_some_and(|place| place.wetness == Wetness::Buried) {
        return InstallationMethod::D1;
    }
    match (segment.in_thermal_insulation, raceway, single) {
        (true, _, true) => InstallationMethod::A1,
        (true, _, false) => InstallationMethod::A2,
        (false, true, true) => InstallationMethod::B1,
        (false, true, false) => InstallationMethod::B2,
        (false, false, _) => InstallationMethod::C,
    }
}
