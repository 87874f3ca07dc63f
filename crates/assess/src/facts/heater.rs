//! Facts of each heater.

use super::house::House;
use super::{Results, Sheet};
use crate::context::Context;
use crate::network::{ModeView, Network};
use job::{FixtureKind, HeatSource, Relief, ScaldProtection, SourceKind, SourceStatus, Space};
use quantity::{GaugePressure, Power, Ratio};
use rules::RuleBook;
use trace::Origin;

pub(crate) fn facts<'s>(
    context: &'s Context<'s>,
    results: &Results<'_>,
    book: &'s RuleBook,
    house: &House<'s>,
) -> Vec<Sheet<'s>> {
    context
        .heaters()
        .map(|(index, heater)| sheet(context, results, book, house, index, heater))
        .collect()
}

fn sheet<'s>(
    context: &'s Context<'s>,
    results: &Results<'_>,
    book: &'s RuleBook,
    house: &House<'s>,
    index: usize,
    heater: &HeatSource,
) -> Sheet<'s> {
    let name = crate::context::source_name(heater);
    let mut sheet = Sheet::new(context, book, "source", &name);
    sheet.sees(&house.seen());
    let kind = match heater.kind {
        SourceKind::OnDemand => "on-demand",
        SourceKind::Tank => "tank",
    };
    sheet.entered("source.kind", kind);
    sheet.entered("source.standing", heater.status == SourceStatus::Existing);
    electrical(&mut sheet, results, index, heater);
    temperatures(&mut sheet, context, results, heater);
    water_side(&mut sheet, results, index, heater);
    valves_around(&mut sheet, context, heater);
    preheated(&mut sheet, context, index, heater);
    let energized = energized(context, heater);
    sheet.computed("source.energized", energized);
    if !energized {
        // Nothing planned is filled yet.
        sheet.computed("source.air_purged", false);
    }
    measured(&mut sheet, context, results, heater);
    let second = heater.kind == SourceKind::Tank && context.heaters().count() > 1;
    sheet.computed("source.standby", second && standby(context, index));
    sheet.observed(&heater.id);
    sheet
}

/// A tank that stays connected but is not energized in the mode designed for.
fn standby(context: &Context<'_>, index: usize) -> bool {
    let first = ModeView::all(context.job);
    first.first().is_some_and(|mode| !mode.energized.contains(&index))
}

/// A proposed heater is energized once the work is signed off; a standing one is.
fn energized(context: &Context<'_>, heater: &HeatSource) -> bool {
    heater.status == SourceStatus::Existing || !context.job.work.is_empty()
}

fn electrical(sheet: &mut Sheet<'_>, results: &Results<'_>, index: usize, heater: &HeatSource) {
    let rated = heater.elements.first().map(|element| element.voltage);
    sheet.entered("source.rated_voltage", rated);
    let circuits = results
        .circuits
        .solved
        .iter()
        .filter(|circuit| circuit.heater == index);
    let lowest = circuits
        .clone()
        .map(|circuit| circuit.result.element_voltage)
        .min_by(|a, b| a.as_volts().total_cmp(&b.as_volts()));
    let without_circuit = || Some(results.path?.source_voltage(results.path?.connection(rated?)));
    sheet.computed("source.terminal_voltage", lowest.or_else(without_circuit));
    let asked = heater.circuits_required.map(u32::from);
    sheet.entered("source.circuits_required", asked);
    sheet.entered("source.listed", heater.listed);
    let planned = circuits.count();
    if planned > 0 {
        sheet.entered("source.circuits_planned", planned);
    }
}

fn temperatures(sheet: &mut Sheet<'_>, context: &Context<'_>, results: &Results<'_>, heater: &HeatSource) {
    let Some(result) = results.heaters.iter().find(|result| result.id == heater.id) else {
        return;
    };
    let origin = if heater.set_point.is_some() {
        Origin::Entered
    } else {
        Origin::Assumed
    };
    sheet.set("source.set_point", result.set_point, origin);
    if heater.kind == SourceKind::Tank {
        sheet.set("source.storage_temperature", result.set_point, origin);
    }
    let fed = fed_fixtures(context, heater);
    let unprotected = fed.iter().filter(|fixture| {
        let bathing = matches!(
            fixture.kind,
            FixtureKind::Shower | FixtureKind::TubFiller | FixtureKind::Lavatory | FixtureKind::Bidet
        );
        bathing && matches!(fixture.protection, None | Some(ScaldProtection::None))
    });
    sheet.entered("source.outlets_without_protection", unprotected.count());
    sheet.entered("source.maximum_inlet_temperature", heater.inlet_max);
    sheet.computed("source.highest_inlet_temperature", results.mains.warmest);
}

/// Valves that the record draws right at the heater's ports.
fn valves_around(sheet: &mut Sheet<'_>, context: &Context<'_>, heater: &HeatSource) {
    let valve_at = |port: &Option<String>| {
        let port = port.as_deref()?;
        let valves = &context.job.piping.valves;
        let found = valves.iter().any(|valve| valve.from == port || valve.to == port);
        // A port without a drawn valve may have one all the same.
        found.then_some(true)
    };
    sheet.entered("source.isolation_valve_cold", valve_at(&heater.inlet));
    sheet.entered("source.isolation_valve_hot", valve_at(&heater.outlet));
}

/// Whether another heater feeds this one's inlet in any mode; not known where no piping is drawn.
fn preheated(sheet: &mut Sheet<'_>, context: &Context<'_>, index: usize, heater: &HeatSource) {
    if context.heaters().count() == 1 {
        sheet.computed("source.preheated", false);
        return;
    }
    let (Some(inlet), false) = (&heater.inlet, context.job.piping.junctions.is_empty()) else {
        return;
    };
    let fed = ModeView::all(context.job).iter().any(|mode| {
        let feeding = Network::in_mode(context.job, mode).feeding(inlet);
        feeding.iter().any(|other| *other != index)
    });
    sheet.computed("source.preheated", fed);
}

/// Fixtures that reach the heater in any mode, or all of them when there is no piping.
fn fed_fixtures<'job>(context: &Context<'job>, heater: &HeatSource) -> Vec<&'job job::Fixture> {
    let job = context.job;
    let Some(index) = job.sources.iter().position(|source| source.id == heater.id) else {
        return Vec::new();
    };
    let modes = ModeView::all(job);
    let networks: Vec<Network<'_>> = modes.iter().map(|mode| Network::in_mode(job, mode)).collect();
    let fed = |fixture: &&job::Fixture| match fixture.hot.as_deref() {
        None => true,
        Some(hot) => networks
            .iter()
            .any(|network| network.feeding(hot).contains(&index)),
    };
    job.fixtures.iter().filter(fed).collect()
}

fn water_side(sheet: &mut Sheet<'_>, results: &Results<'_>, index: usize, heater: &HeatSource) {
    sheet.entered("source.minimum_pressure", heater.pressure_min);
    let lowest = results
        .inlet_pressures
        .iter()
        .filter(|(at, _)| *at == index)
        .map(|(_, pressure)| *pressure);
    sheet.computed("source.inlet_pressure_flowing", lowest.reduce(GaugePressure::min));
    sheet.entered("source.isolation_valve_cold", heater.service_valves);
    sheet.entered("source.isolation_valve_hot", heater.service_valves);
    sheet.entered("source.service_ports", heater.service_valves);
    if heater.kind == SourceKind::Tank {
        sheet.entered("source.relief_required", true);
    }
    if let Some(relief) = heater.relief {
        let fitted = matches!(relief, Relief::Pressure | Relief::TemperatureAndPressure);
        sheet.entered("source.relief_on_heater_side", fitted);
        sheet.entered(
            "source.temperature_pressure_relief",
            relief == Relief::TemperatureAndPressure,
        );
    }
    sheet.entered("source.plastic_pipe_distance", heater.plastic_pipe_distance);
    if heater.space == Some(Space::Indoors) {
        sheet.entered("source.freeze_protected", true);
    }
}

fn measured(sheet: &mut Sheet<'_>, context: &Context<'_>, results: &Results<'_>, heater: &HeatSource) {
    for measurement in context
        .job
        .measurements
        .iter()
        .filter(|measurement| measurement.at == heater.id)
    {
        sheet.set(
            "source.measured_outlet_temperature",
            measurement.hot_temperature,
            Origin::Measured,
        );
        let Some(result) = results.heaters.iter().find(|result| result.id == heater.id) else {
            continue;
        };
        let found = (
            measurement.flow,
            measurement.cold_temperature,
            measurement.hot_temperature,
        );
        let (Some(flow), Some(cold), Some(hot)) = found else {
            continue;
        };
        let electric = match (measurement.voltage, measurement.current) {
            (Some(voltage), Some(current)) => voltage * current,
            _ => result.delivered_power,
        };
        let thermal =
            water::Water::in_house(cold).and_then(|cold| water::heating::power_needed(flow, &cold, hot));
        if let Ok(thermal) = thermal
            && electric > Power::zero()
        {
            sheet.computed("source.heat_balance", Ratio::from_fraction(thermal / electric));
        }
    }
}
