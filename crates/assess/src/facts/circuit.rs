//! Facts of each element circuit.

use super::house::House;
use super::{Results, Sheet, panel};
use crate::circuits::SolvedCircuit;
use crate::context::Context;
use crate::engine_names;
use job::{Disconnect, HeatSource, SourceKind};
use quantity::{ConductorSize, Current, Length, Ratio, Resistance, UnitSystem};
use rules::{Driver, NumberKind, RuleBook, Value};
use tables::ampacity::{TemperatureColumn, base_ampacity};
use tables::breaker::{small_conductor_limit, standard_at_least};
use trace::Origin;

pub(crate) fn facts<'s>(
    context: &'s Context<'s>,
    results: &Results<'_>,
    book: &'s RuleBook,
    house: &House<'s>,
) -> Vec<Sheet<'s>> {
    results
        .circuits
        .solved
        .iter()
        .map(|circuit| {
            let mut sheet = Sheet::new(
                context,
                book,
                "circuit",
                &format!("circuit {}", circuit.result.id),
            );
            sheet.sees(&house.seen());
            if let Some(panel) = panel::of(context, results, book, house, &circuit.result.panel) {
                sheet.sees(&[&panel]);
            }
            let heater = &context.job.sources[circuit.heater];
            load(&mut sheet, results, circuit, heater);
            breaker(&mut sheet, circuit, heater);
            conductors(&mut sheet, context, circuit);
            run(&mut sheet, circuit);
            ground(&mut sheet, circuit);
            at_the_heater(&mut sheet, circuit, heater);
            measured(&mut sheet, context, circuit, heater);
            sheet.observed(&circuit.result.id);
            sheet
        })
        .collect()
}

fn load(sheet: &mut Sheet<'_>, results: &Results<'_>, circuit: &SolvedCircuit<'_>, heater: &HeatSource) {
    let feeds = match heater.kind {
        SourceKind::OnDemand => "on-demand heater",
        SourceKind::Tank => "storage heater",
    };
    sheet.entered("circuit.feeds", feeds);
    sheet.entered("circuit.standing", circuit.result.existing);
    if let Some(path) = results.path {
        sheet.set("circuit.voltage", path.supply.element_voltage, Origin::Table);
    }
    sheet.computed("circuit.load_current", circuit.result.load_current);
    let of_heater = results
        .circuits
        .solved
        .iter()
        .filter(|other| other.heater == circuit.heater);
    let whole: Current = of_heater.clone().map(|other| other.result.load_current).sum();
    sheet.computed("circuit.heater_current", whole);
    sheet.entered("circuit.heater_circuits", of_heater.count());
    sheet.set(
        "circuit.continuous",
        circuit.continuous.value,
        circuit.continuous.origin,
    );
    sheet.computed(
        "circuit.sizing_choice_recorded",
        circuit.continuous.origin == Origin::Entered,
    );
    sheet.entered("circuit.tank_volume", heater.volume);
}

fn breaker(sheet: &mut Sheet<'_>, circuit: &SolvedCircuit<'_>, heater: &HeatSource) {
    sheet.entered("circuit.breaker_rating", circuit.result.breaker);
    sheet.entered(
        "circuit.nameplate_has_maximum_breaker",
        heater.breaker_max.is_some(),
    );
    sheet.entered("circuit.nameplate_maximum_breaker", heater.breaker_max);
    if heater.breaker_max.is_none() {
        sheet.computed(
            "circuit.breaker_limit_without_marking",
            circuit.check.breakers.maximum,
        );
    }
    sheet.computed("circuit.element_group_current", circuit.result.load_current);
    sheet.computed("circuit.element_group_protection", circuit.result.breaker);
    if heater.kind == SourceKind::OnDemand {
        sheet.entered("circuit.large_elements_listed", heater.listed);
    }
    sheet.entered("circuit.splices", circuit.circuit.splices.map(u32::from));
    if circuit.circuit.splices == Some(0) {
        sheet.entered("circuit.has_box", false);
    }
}

fn conductors(sheet: &mut Sheet<'_>, context: &Context<'_>, circuit: &SolvedCircuit<'_>) {
    let (size, edition, units) = (circuit.result.conductor, context.nec(), context.given.units());
    let metal = engine_names::metal(circuit.result.material);
    let origin = if circuit.result.conductor_entered {
        Origin::Entered
    } else {
        Origin::Computed
    };
    sheet.set("circuit.conductor_size", size.to_string(), origin);
    sheet.entered("circuit.conductor_material", metal.to_string());
    sheet.computed("circuit.conductor_ampacity", circuit.result.ampacity);
    sheet.computed(
        "circuit.terminal_ampacity",
        circuit.check.ampacity.terminal_cap.ampacity,
    );
    let sixty = base_ampacity(size, metal, TemperatureColumn::C60, edition)
        .ok()
        .map(|base| base.value);
    sheet.set("circuit.ampacity_at_60_degrees", sixty, Origin::Table);
    let above = standard_at_least(circuit.result.ampacity, edition)
        .ok()
        .map(|rating| rating.value);
    sheet.set("circuit.standard_rating_above_ampacity", above, Origin::Table);
    if !circuit.result.existing {
        // What is planned here feeds one heater unless the record says more; nobody traced what stands.
        let shared = circuit.circuit.shared_receptacles.unwrap_or(false);
        sheet.computed("circuit.several_receptacles", shared);
    } else if let Some(shared) = circuit.circuit.shared_receptacles {
        sheet.entered("circuit.several_receptacles", shared);
    }
    let small = size.area() <= ConductorSize::Awg(10).area();
    sheet.computed("circuit.conductor_is_small", small);
    let limit = small_conductor_limit(size, metal, edition).map(|limit| limit.value);
    sheet.set("circuit.small_conductor_limit", limit, Origin::Table);
    sheet.computed("circuit.voltage_drop", circuit.result.drop_share);
    sheet.driven("circuit.voltage_drop", length_for_drop(circuit, units));
    sheet.computed("circuit.total_voltage_drop", circuit.total_drop);
    sheet.computed("circuit.white_used_as_hot", circuit.check.conductors.mark_white);
    sheet.entered("circuit.neutral_needed", circuit.check.conductors.neutral);
    sheet.computed("circuit.neutral_pulled", circuit.check.conductors.neutral);
}

/// Length of the run as what drives the drop: d ÷ (1 − d) grows with the length, the elements being fixed resistances.
fn length_for_drop(circuit: &SolvedCircuit<'_>, units: UnitSystem) -> Driver {
    let (length, drop) = (circuit.result.length, circuit.result.drop_share.as_fraction());
    let per_length = drop / (1.0 - drop);
    Driver::new(
        "one-way length of the run",
        length.show(units).to_string(),
        Origin::Computed,
        move |at| {
            let Value::Number(NumberKind::Ratio, share) = at else {
                return None;
            };
            let other = length * (share / (1.0 - share) / per_length);
            (other > Length::zero() && other.as_meters().is_finite()).then(|| other.show(units).to_string())
        },
    )
}

fn run(sheet: &mut Sheet<'_>, circuit: &SolvedCircuit<'_>) {
    sheet.entered(
        "circuit.wiring_method",
        engine_names::wiring_method(circuit.cable, circuit.run.raceway),
    );
    if circuit.run.surveyed {
        sheet.entered("circuit.route_wet", circuit.run.wet);
        sheet.entered("circuit.route_buried", circuit.run.buried);
        sheet.entered("circuit.spare_length", circuit.run.slack);
        if let Some(raceway) = &circuit.result.wiring.raceway {
            sheet.computed("circuit.raceway_fill", raceway.fill);
            sheet.computed("circuit.raceway_fill_limit", raceway.allowed);
        }
    }
}

fn ground(sheet: &mut Sheet<'_>, circuit: &SolvedCircuit<'_>) {
    let required = &circuit.check.equipment_ground;
    let entered = circuit.circuit.ground.is_some();
    if circuit.result.existing && !entered {
        // Whether an old cable brings a ground is for somebody to look at.
        return;
    }
    let origin = if entered {
        Origin::Entered
    } else {
        Origin::Computed
    };
    sheet.set("circuit.ground_present", true, origin);
    sheet.set("circuit.ground_size", circuit.result.ground.to_string(), origin);
    sheet.computed("circuit.ground_size_required", required.size.to_string());
    sheet.computed("circuit.ground_area", circuit.result.ground.area());
    sheet.computed("circuit.ground_area_required", required.size.area());
}

fn at_the_heater(sheet: &mut Sheet<'_>, circuit: &SolvedCircuit<'_>, heater: &HeatSource) {
    if let Some(disconnect) = circuit.circuit.disconnect {
        sheet.entered(
            "circuit.disconnect_in_sight",
            matches!(disconnect, Disconnect::InSight | Disconnect::Plug),
        );
        sheet.entered(
            "circuit.disconnect_lockable",
            disconnect == Disconnect::LockableBreaker,
        );
    }
    if !circuit.result.existing {
        // A double-pole breaker, as planned here, opens both conductors at once; a plug opens all.
        sheet.computed("circuit.disconnect_opens_all_conductors", true);
    }
    sheet.entered("circuit.cord_and_plug", heater.cord_and_plug.unwrap_or(false));
    if let Some(place) = heater.space.and_then(outlet_place) {
        sheet.entered("circuit.outlet_place", place);
    }
    let resistance = circuit.check.load.rated;
    let volts = heater.elements.first().map(|element| element.voltage);
    let ohms = volts.map(|volts| Resistance::from_ohms(volts.as_volts() / resistance.as_amperes()));
    sheet.computed("circuit.rated_resistance", ohms.filter(|ohms| ohms.is_finite()));
}

fn outlet_place(space: job::Space) -> Option<&'static str> {
    match space {
        job::Space::Garage => Some("garage"),
        job::Space::Basement => Some("basement"),
        job::Space::Crawlspace => Some("crawl space"),
        job::Space::Outdoors => Some("outdoors"),
        job::Space::Indoors => Some("indoors, dry"),
        _ => None,
    }
}

fn measured(sheet: &mut Sheet<'_>, context: &Context<'_>, circuit: &SolvedCircuit<'_>, heater: &HeatSource) {
    let here = context
        .job
        .measurements
        .iter()
        .filter(|measurement| measurement.at == circuit.result.id);
    for measurement in here {
        sheet.set("circuit.measured_current", measurement.current, Origin::Measured);
        sheet.set(
            "circuit.measured_resistance",
            measurement.resistance,
            Origin::Measured,
        );
        sheet.set("circuit.pair_voltage", measurement.voltage, Origin::Measured);
        if let (Some(volts), Some(element)) = (measurement.voltage, heater.elements.first()) {
            let expected = circuit.check.load.rated * (volts / element.voltage);
            sheet.computed("circuit.expected_current", expected);
            let lost =
                Ratio::from_fraction((circuit.result.panel_voltage - volts) / circuit.result.panel_voltage);
            sheet.computed("circuit.measured_voltage_drop", lost);
        }
    }
}
