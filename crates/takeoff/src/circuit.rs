//! What each new circuit needs: cable or conductors, breaker, connectors, supports, labels. Raceway has its own file.
//!
//! In: the circuits of the assessment that do not stand there yet. Sizes and lengths are taken as they are.

use crate::allowances::{allowances, steps};
use crate::line::MaterialLine;
use assess::{Assessment, CircuitResult};
use job::{Circuit, ConductorMaterial, Disconnect, Job, SupplySystem};
use quantity::Length;

/// Type, as the assessment writes it, of single conductors in a raceway.
const SINGLE_CONDUCTORS: &str = "THWN-2";
/// Type of cable whose support spacing is known here.
const SHEATHED: &str = "NM-B";

/// Circuits of the assessment that this job adds.
pub(crate) fn new_circuits(assessment: &Assessment) -> impl Iterator<Item = &CircuitResult> {
    assessment.circuits.iter().filter(|circuit| !circuit.existing)
}

/// The circuit as the record has it; none when the assessment planned it.
pub(crate) fn recorded<'job>(job: &'job Job, circuit: &CircuitResult) -> Option<&'job Circuit> {
    job.circuits.iter().find(|recorded| recorded.id == circuit.id)
}

/// Whether the circuit is of single conductors, which need a raceway.
pub(crate) fn is_single_conductors(circuit: &CircuitResult) -> bool {
    circuit.cable == SINGLE_CONDUCTORS
}

/// All lines of all new circuits.
pub(crate) fn lines(job: &Job, assessment: &Assessment) -> Vec<MaterialLine> {
    let each = |circuit| one(job, assessment, circuit);
    new_circuits(assessment).flat_map(each).collect()
}

fn one(job: &Job, assessment: &Assessment, circuit: &CircuitResult) -> Vec<MaterialLine> {
    let all = allowances();
    let recorded = recorded(job, circuit);
    let mut lines = wires(job, assessment, circuit);
    let id = &circuit.id;
    let breaker = circuit.breaker.show(assessment.head.units);
    let breaker = match poles(assessment, circuit) {
        Some(2) => format!("double-pole breaker {breaker}"),
        Some(_) => format!("single-pole breaker {breaker}"),
        None => format!("breaker {breaker}, poles to suit the supply"),
    };
    let panel = &circuit.panel;
    lines.push(MaterialLine::count(
        breaker,
        1,
        format!("circuit {id}: one in panel {panel}, of a type made for that panel"),
    ));
    if recorded.and_then(|circuit| circuit.disconnect) == Some(Disconnect::LockableBreaker) {
        lines.push(MaterialLine::count(
            "breaker lock provision that stays in place",
            1,
            format!("circuit {id}: the record plans a lockable breaker"),
        ));
    }
    if !is_single_conductors(circuit) {
        let connectors = &all.connectors_per_run;
        lines.push(
            MaterialLine::count(
                format!("connector for {}", cable(circuit)),
                connectors.value,
                format!("circuit {id}: {}", connectors.reason),
            )
            .from(&connectors.source),
        );
        lines.push(supports(assessment, circuit));
    }
    let labels = &all.labels_per_circuit;
    lines.push(
        MaterialLine::count(
            "circuit label",
            labels.value,
            format!("circuit {id}: {}", labels.reason),
        )
        .from(&labels.source),
    );
    lines
}

/// Cable, or conductors and ground, cut for the run.
fn wires(job: &Job, assessment: &Assessment, circuit: &CircuitResult) -> Vec<MaterialLine> {
    let all = allowances();
    let cut = cut_length(circuit.length);
    let units = assessment.head.units;
    let known = recorded(job, circuit).is_some_and(|circuit| circuit.route.is_some());
    let run = if known {
        "run with slack"
    } else {
        "assumed run, none was surveyed"
    };
    let basis = format!(
        "circuit {}: {} {run} + {} + {} at the panel + {} at the heater = {}",
        circuit.id,
        circuit.length.show(units),
        all.cable_waste.value.show(units),
        all.cable_at_panel.value.show(units),
        all.cable_at_heater.value.show(units),
        cut.show(units),
    );
    let source = &all.cable_waste.source;
    if !is_single_conductors(circuit) {
        return vec![MaterialLine::length(cable(circuit), cut, basis).from(source)];
    }
    let number = circuit.insulated_conductors;
    let insulated = format!(
        "{} conductor, {}, {}",
        circuit.cable,
        metal(circuit.material),
        circuit.conductor
    );
    let ground = format!(
        "equipment ground conductor, insulated, {}, {}",
        metal(circuit.material),
        circuit.ground
    );
    vec![
        MaterialLine::length(
            insulated,
            cut * f64::from(number),
            format!("{basis}, for each of {number}"),
        )
        .from(source),
        MaterialLine::length(ground, cut, basis).from(source),
    ]
}

/// Length cut for a run: run × (1 + waste) + both ends.
fn cut_length(run: Length) -> Length {
    let all = allowances();
    run * (1.0 + all.cable_waste.value.as_fraction()) + all.cable_at_panel.value + all.cable_at_heater.value
}

fn supports(assessment: &Assessment, circuit: &CircuitResult) -> MaterialLine {
    let item = format!("staple or support for {}", cable(circuit));
    if circuit.cable != SHEATHED {
        return MaterialLine::not_counted(
            item,
            format!(
                "circuit {}: no spacing for this cable is carried here",
                circuit.id
            ),
        );
    }
    let all = allowances();
    let (spacing, ends) = (&all.staple_spacing, &all.staples_at_ends);
    MaterialLine::count(
        item,
        steps(circuit.length, spacing.value).saturating_add(ends.value),
        format!(
            "circuit {}: one each {} of the run, and {}",
            circuit.id,
            spacing.value.show(assessment.head.units),
            ends.reason
        ),
    )
    .from(&spacing.source)
}

fn cable(circuit: &CircuitResult) -> String {
    let (cable, metal, size) = (&circuit.cable, metal(circuit.material), circuit.conductor);
    let number = match circuit.insulated_conductors {
        2 => "two-wire".to_owned(),
        3 => "three-wire".to_owned(),
        other => format!("{other}-wire"),
    };
    format!(
        "{cable} cable, {metal}, {size}, {number} with {} ground",
        circuit.ground
    )
}

fn metal(material: ConductorMaterial) -> &'static str {
    match material {
        ConductorMaterial::Copper => "copper",
        ConductorMaterial::Aluminum => "aluminum",
    }
}

/// Poles of the breaker: two between legs, one between a leg and neutral; none when the supply is not known.
fn poles(assessment: &Assessment, circuit: &CircuitResult) -> Option<u8> {
    let service = assessment.service.as_ref()?;
    // Between leg and neutral the branch sees 1/2 or 1/√3 of the voltage between legs, give or take some sag.
    let between_legs = circuit.panel_voltage / service.voltage > 0.75;
    match service.system {
        SupplySystem::Single230 => Some(1),
        _ if between_legs => Some(2),
        _ => Some(1),
    }
}
