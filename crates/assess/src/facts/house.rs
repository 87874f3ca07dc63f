//! Facts of the job, the service and the water supply.

use super::{Results, Sheet};
use crate::MeterSummary;
use crate::circuits::rated_power;
use crate::context::Context;
use job::{SourceKind, SourceStatus};
use quantity::{Current, Ratio, Temperature, Volume};
use rules::RuleBook;
use trace::Origin;

/// The sheets that every narrower scope sees.
pub(crate) struct House<'s> {
    pub(crate) job: Sheet<'s>,
    pub(crate) service: Option<Sheet<'s>>,
    pub(crate) water: Sheet<'s>,
}

impl<'s> House<'s> {
    /// All of them, to be assessed themselves.
    pub(crate) fn sheets(&mut self) -> Vec<Sheet<'s>> {
        let mut copies = vec![self.job.copy(), self.water.copy()];
        copies.extend(self.service.as_ref().map(Sheet::copy));
        copies
    }

    /// What a circuit, panel or heater sees.
    pub(crate) fn seen(&self) -> Vec<&Sheet<'s>> {
        let mut seen = vec![&self.job, &self.water];
        seen.extend(self.service.as_ref());
        seen
    }
}

pub(crate) fn facts<'s>(context: &'s Context<'s>, results: &Results<'_>, book: &'s RuleBook) -> House<'s> {
    let mut job = Sheet::new(context, book, "job", "job");
    // Until a step of the work is signed off, nothing planned here stands yet.
    job.computed("job.installed", !context.job.work.is_empty());
    job.observed("job");
    let service = results.service.map(|_| service(context, results, book, &job));
    let water = water(context, results, book, &job);
    House { job, service, water }
}

fn service<'s>(
    context: &'s Context<'s>,
    results: &Results<'_>,
    book: &'s RuleBook,
    job: &Sheet<'s>,
) -> Sheet<'s> {
    let mut sheet = Sheet::new(context, book, "service", "service");
    sheet.sees(&[job]);
    let (Some(service), Some(path)) = (results.service, results.path) else {
        return sheet;
    };
    sheet.entered("service.rating", service.rating);
    sheet.set(
        "service.nominal_voltage",
        path.supply.element_voltage,
        Origin::Table,
    );
    let record = context.job.service.as_ref();
    let measured = record.and_then(|record| record.measured_voltage);
    sheet.set("service.measured_voltage", measured, Origin::Measured);
    sheet.set("service.voltage_no_load", measured, Origin::Measured);
    let method = |id: &str| {
        service
            .methods
            .iter()
            .find(|method| method.id == id)
            .map(|method| method.current)
    };
    sheet.computed("service.load_existing", method("existing"));
    sheet.computed("service.load_optional", method("optional"));
    sheet.computed("service.load_standard", method("standard"));
    // The method for adding to an existing dwelling stands for the permit's, unless the record says which one counts.
    let chosen = service.methods.iter().find(|found| found.id == "existing");
    sheet.computed("service.load_chosen", chosen.map(|found| found.current));
    sheet.computed("service.load_method", chosen.map(|_| "existing dwelling"));
    sheet.computed("service.nameplate_coincident", service.coincident.current);
    sheet.computed("service.voltage_step", service.voltage_step);
    let felt = service.detail.disturbance.as_ref();
    let severities = felt
        .iter()
        .flat_map(|felt| &felt.steps)
        .filter_map(|step| step.severity);
    sheet.computed("service.flicker_severity", severities.reduce(Ratio::max));
    if let Some(maximum) = context.measured_maximum() {
        sheet.set(
            "service.measured_peak",
            Current::from_amperes(maximum.as_watts() / service.voltage.as_volts()),
            Origin::Measured,
        );
    }
    if let Some(meter) = context.meter {
        sheet.set("service.record_length", meter.covered, Origin::Measured);
        // Nothing sent out proves nothing: the house may use all it makes.
        if meter.generation {
            sheet.set("service.generation_behind_meter", true, Origin::Measured);
        }
        if meter.maximum_bound > meter.maximum {
            coarse(context, &meter);
        }
    }
    let added: f64 = context
        .heaters()
        .filter(|(_, source)| source.status == SourceStatus::Proposed)
        .map(|(index, source)| rated_power(context, index, source).as_watts())
        .sum();
    sheet.computed(
        "service.new_load",
        Current::from_amperes(added / service.voltage.as_volts()),
    );
    let heaters: Vec<_> = context
        .heaters()
        .filter(|(_, source)| !source.elements.is_empty())
        .collect();
    sheet.entered("service.source_count", heaters.len());
    let interlocked = heaters
        .iter()
        .any(|(_, source)| source.interlocked_with.is_some());
    sheet.entered("service.sources_interlocked", interlocked);
    sheet.observed("service");
    sheet
}

/// Intervals above 15 minutes leave the demand that the method asks for open.
fn coarse(context: &Context<'_>, meter: &MeterSummary) {
    let units = context.given.units();
    context.gap(
        "service",
        "the measured demand over 15 minutes",
        format!(
            "the meter averages over {}: the largest 15-minute demand lies between {} and {}; the lower was used",
            meter.interval.show_in("min"),
            meter.maximum.show(units),
            meter.maximum_bound.show(units)
        ),
    );
}

fn water<'s>(
    context: &'s Context<'s>,
    results: &Results<'_>,
    book: &'s RuleBook,
    job: &Sheet<'s>,
) -> Sheet<'s> {
    let mut sheet = Sheet::new(context, book, "water", "water supply");
    sheet.sees(&[job]);
    let record = &context.job.water;
    sheet.set("water.static_pressure", record.static_pressure, Origin::Measured);
    let closed = record.closed_system.or(record.regulator_setting.map(|_| true));
    sheet.entered("water.closed_system", closed);
    let tanks: Vec<_> = context
        .heaters()
        .filter(|(_, source)| source.kind == SourceKind::Tank)
        .collect();
    sheet.entered("water.storage_heated", !tanks.is_empty());
    if record.expansion_tank.is_some() {
        sheet.entered("water.expansion_device", true);
    }
    sheet.entered(
        "water.expansion_precharge",
        record.expansion_tank.as_ref().and_then(|tank| tank.precharge),
    );
    let growth: Vec<Volume> = results
        .heaters
        .iter()
        .filter(|heater| heater.kind == SourceKind::Tank && heater.status != SourceStatus::Removed)
        .filter_map(|heater| growth(context, results.mains.coldest, &heater.id, heater.set_point))
        .collect();
    if !growth.is_empty() {
        let total: Volume = growth.into_iter().sum();
        sheet.computed("water.expansion_volume", total);
        sheet.computed("water.expansion_tank_acceptance", acceptance(context));
    }
    sheet.entered("water.hardness", context.job.site.hardness);
    sheet.observed("water");
    sheet
}

/// Volume that a tank's water gains between the coldest inlet and its set point.
fn growth(context: &Context<'_>, cold: Temperature, id: &str, set_point: Temperature) -> Option<Volume> {
    let at = context.job.sources.iter().position(|source| source.id == id)?;
    let place = crate::context::source_at(at).field("volume");
    let volume = context
        .given
        .take(context.job.sources[at].volume, place, "sources.volume.tank")
        .value;
    let growth = water::Water::in_house(cold).and_then(|cold| water::expansion::growth(&cold, set_point));
    match growth {
        Ok(growth) => Some(volume * growth.as_fraction()),
        Err(error) => {
            context.gap(id, "the expansion of the tank's water", error.to_string());
            None
        }
    }
}

/// Water that the expansion tank takes between its precharge and 80 psi, or the regulator's setting if that is higher.
fn acceptance(context: &Context<'_>) -> Option<Volume> {
    let record = &context.job.water;
    let tank = record.expansion_tank.as_ref()?;
    let precharge = tank
        .precharge
        .or(record.regulator_setting)
        .or(record.static_pressure)?;
    let highest = quantity::GaugePressure::from_psi(80.0);
    // The tank's size is proportional to what it takes, so the size for one gallon gives the share.
    let one = Volume::from_gallons(1.0);
    let air = tables::water_parameter::water_parameters().air_pressure.value;
    match water::expansion::tank_volume(one, precharge, highest, air) {
        Ok(size) => Some(one * (tank.volume / size)),
        Err(error) => {
            context.gap("expansion tank", "what it takes", error.to_string());
            None
        }
    }
}
