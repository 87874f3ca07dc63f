//! One element circuit by itself: planned where the record has none, designed where it leaves things open, checked where
//! it says what is there.
//!
//! In: a circuit of the record with its heater. Out: a [`Part`], ready to be solved with the heater's other circuits.

use crate::circuit_run::{Run, run_of};
use crate::circuits::simultaneous;
use crate::context::{Context, source_at};
use crate::engine_names;
use crate::given::Known;
use crate::house_wiring;
use crate::supply_path::SupplyPath;
use job::{CableType, Circuit, ConductorMaterial, HeatSource, SourceKind, SourceStatus};
use power::PowerError;
use power::ampacity::AmpacityWorking;
use power::circuit::{CircuitRequest, design_circuit};
use power::circuit_check::{Chosen, CircuitCheck, Shortfall, check_circuit};
use power::circuit_load::{Duty, Marked};
use power::conductor_temperature::table_temperature;
use power::element::Element;
use power::wiring_tree::SectionImpedance;
use quantity::{ConductorSize, Voltage};
use std::borrow::Cow;
use trace::{Origin, RecordPath};

/// The circuits of a heater: the record's, or one an element when it has none and is added by this job.
pub(crate) fn circuits_of<'job>(
    context: &Context<'job>,
    index: usize,
    heater: &HeatSource,
) -> Vec<(Option<usize>, Cow<'job, Circuit>)> {
    let named = context
        .job
        .circuits
        .iter()
        .enumerate()
        .filter(|(_, circuit)| circuit.source == heater.id);
    let named: Vec<_> = named
        .map(|(at, circuit)| (Some(at), Cow::Borrowed(circuit)))
        .collect();
    let main = context.job.service.as_ref().and_then(|service| {
        service
            .panels
            .iter()
            .find(|panel| panel.fed_from.is_none())
            .map(|panel| panel.id.clone())
    });
    if !named.is_empty() || heater.status != SourceStatus::Proposed || context.job.service.is_none() {
        return named;
    }
    context
        .given
        .take_other(None::<String>, source_at(index), "circuits", |text| {
            Some(text.to_owned())
        });
    (1..=heater.elements.len())
        .map(|number| {
            let element = u16::try_from(number).unwrap_or(u16::MAX);
            let panel = main.clone().unwrap_or_default();
            let circuit = Circuit::to_one_element(
                format!("{}-{number}", heater.id),
                heater.id.clone(),
                panel,
                element,
            );
            (None, Cow::Owned(circuit))
        })
        .collect()
}

/// A circuit designed or checked alone, before the heater's circuits are solved together.
pub(crate) struct Part<'job> {
    pub(crate) circuit: Cow<'job, Circuit>,
    pub(crate) request: CircuitRequest,
    pub(crate) check: CircuitCheck,
    pub(crate) minimum: (ConductorSize, AmpacityWorking),
    pub(crate) for_drop: Option<ConductorSize>,
    pub(crate) run: Run,
    pub(crate) continuous: Known<bool>,
    pub(crate) cable: CableType,
    pub(crate) material: ConductorMaterial,
    /// Its two conductors as a stretch of the house's wiring.
    pub(crate) branch: SectionImpedance,
}

pub(crate) fn part<'job>(
    context: &Context<'job>,
    path: &SupplyPath,
    index: usize,
    heater: &HeatSource,
    at: Option<usize>,
    circuit: Cow<'job, Circuit>,
) -> Result<Part<'job>, (String, PowerError)> {
    let place = at.map_or_else(|| source_at(index), |at| RecordPath::from("circuits").item(at));
    let id = circuit.id.clone();
    designed(context, path, index, heater, &place, circuit).map_err(|error| (id, error))
}

fn designed<'job>(
    context: &Context<'job>,
    path: &SupplyPath,
    index: usize,
    heater: &HeatSource,
    place: &RecordPath,
    circuit: Cow<'job, Circuit>,
) -> Result<Part<'job>, PowerError> {
    let given = &context.given;
    let elements = elements_on(context, index, heater, &circuit)?;
    let rated = elements
        .iter()
        .map(Element::rated_voltage)
        .fold(Voltage::zero(), Voltage::max);
    let continuous_key = match heater.kind {
        SourceKind::OnDemand => "circuits.continuous",
        SourceKind::Tank => "circuits.continuous.tank",
    };
    let continuous = given.take_other(
        circuit.continuous,
        place.field("continuous"),
        continuous_key,
        crate::given::yes_or_no,
    );
    let material = given
        .take_other(
            circuit.material,
            place.field("material"),
            "circuits.material",
            crate::given::word,
        )
        .value;
    let cable = given
        .take_other(
            circuit.cable,
            place.field("cable"),
            "circuits.cable",
            crate::given::word,
        )
        .value;
    let drop_target = given
        .take(
            circuit.drop_target,
            place.field("drop_target"),
            "circuits.drop_target",
        )
        .value;
    let run = run_of(context, &circuit, cable, place)?;
    let request = CircuitRequest {
        supply: path.supply,
        connection: path.connection(rated),
        elements,
        duty: Duty {
            continuous: continuous.value,
            reason: duty_reason(heater.kind, continuous),
        },
        marked: Marked {
            max_breaker: heater.breaker_max,
            min_ampacity: None,
        },
        needs_neutral: circuit.needs_neutral.unwrap_or(false),
        material: engine_names::metal(material),
        segments: run.segments.clone(),
        terminals: SupplyPath::terminals(context, &circuit.panel, heater, index),
        drop_target: None,
        conductor_temperature: table_temperature(),
        edition: context.nec(),
    };
    let mut designed = design_circuit(&request)?;
    if let Some(breaker) = circuit.breaker {
        designed.chosen = enough_for(
            &request,
            Chosen {
                breaker,
                ..designed.chosen
            },
        )?;
    }
    let minimum_conductor = designed.chosen.conductor;
    let for_target = design_circuit(&CircuitRequest {
        drop_target: Some(drop_target),
        ..request.clone()
    })?;
    let meets = !for_target
        .check
        .shortfalls
        .iter()
        .any(|short| matches!(short, Shortfall::DropAboveTarget { .. }));
    let for_drop = meets.then_some(for_target.chosen.conductor);
    let conductor = circuit
        .conductor
        .unwrap_or_else(|| larger(minimum_conductor, for_drop));
    let breaker = circuit.breaker.unwrap_or(designed.chosen.breaker);
    let request = CircuitRequest {
        drop_target: Some(drop_target),
        ..request
    };
    let check = check_circuit(
        &request,
        &Chosen {
            breaker,
            conductor,
            equipment_ground: circuit.ground,
        },
    )?;
    let at_minimum = check_circuit(
        &request,
        &Chosen {
            breaker,
            conductor: minimum_conductor,
            equipment_ground: None,
        },
    )?;
    let line = house_wiring::conductor(conductor, request.material, run.length, run.raceway)?;
    let branch = SectionImpedance::conductors(line, line);
    Ok(Part {
        minimum: (minimum_conductor, at_minimum.ampacity),
        circuit,
        request,
        check,
        for_drop,
        run,
        continuous,
        cable,
        material,
        branch,
    })
}

fn larger(minimum: ConductorSize, other: Option<ConductorSize>) -> ConductorSize {
    other
        .filter(|other| other.area() > minimum.area())
        .unwrap_or(minimum)
}

/// The smallest conductor from the designed one up that an entered breaker protects; the designed one if there is none.
fn enough_for(request: &CircuitRequest, chosen: Chosen) -> Result<Chosen, PowerError> {
    for conductor in
        tables::ampacity::sizes(request.material).filter(|size| size.area() >= chosen.conductor.area())
    {
        let candidate = Chosen {
            conductor,
            equipment_ground: None,
            ..chosen
        };
        let check = check_circuit(request, &candidate)?;
        let short = |short: &Shortfall| {
            matches!(
                short,
                Shortfall::BreakerAboveConductor { .. } | Shortfall::AmpacityBelowLoad { .. }
            )
        };
        if !check.shortfalls.iter().any(short) {
            return Ok(candidate);
        }
    }
    Ok(Chosen {
        equipment_ground: None,
        ..chosen
    })
}

fn elements_on(
    context: &Context<'_>,
    index: usize,
    heater: &HeatSource,
    circuit: &Circuit,
) -> Result<Vec<Element>, PowerError> {
    let all = || heater.elements.iter().collect::<Vec<_>>();
    let chosen = if circuit.elements.is_empty() {
        all()
    } else {
        circuit
            .elements
            .iter()
            .filter_map(|number| heater.elements.get(usize::from(*number).checked_sub(1)?))
            .collect()
    };
    let mut elements: Vec<Element> = chosen
        .into_iter()
        .map(|element| Element::new(element.power, element.voltage))
        .collect::<Result<_, _>>()?;
    if elements.len() > 1 && !simultaneous(context, index, heater) {
        // Only one of them is on at a time: the strongest stands for all.
        elements.sort_by(|a, b| b.rated_power().as_watts().total_cmp(&a.rated_power().as_watts()));
        elements.truncate(1);
    }
    Ok(elements)
}

fn duty_reason(kind: SourceKind, continuous: Known<bool>) -> String {
    let how = if continuous.origin == Origin::Entered {
        "as entered in the record"
    } else {
        "assumed, see assumptions"
    };
    match kind {
        SourceKind::OnDemand => format!("on-demand unit, {how}"),
        SourceKind::Tank => format!("storage heater, {how}"),
    }
}
