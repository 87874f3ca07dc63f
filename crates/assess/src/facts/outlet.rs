//! Facts of each fixture, and of fixtures that run together.

use super::house::House;
use super::{Results, Sheet};
use crate::context::Context;
use crate::network::{ModeView, Network};
use crate::{FixtureResult, SituationHeat};
use job::{Fixture, FixtureKind, ScaldProtection, SourceKind};
use quantity::{GaugePressure, Kind, Temperature, VolumeFlow};
use rules::{Driver, NumberKind, RuleBook, Value};
use tables::fixture_flow::{FlowBasis, FlowFixture, flows};
use trace::Origin;

pub(crate) fn facts<'s>(
    context: &'s Context<'s>,
    results: &Results<'_>,
    book: &'s RuleBook,
    house: &House<'s>,
) -> Vec<Sheet<'s>> {
    let pairs = context.job.fixtures.iter().zip(results.fixtures);
    pairs
        .map(|(fixture, result)| sheet(context, results, book, house, fixture, result))
        .collect()
}

fn sheet<'s>(
    context: &'s Context<'s>,
    results: &Results<'_>,
    book: &'s RuleBook,
    house: &House<'s>,
    fixture: &Fixture,
    result: &FixtureResult,
) -> Sheet<'s> {
    let mut sheet = Sheet::new(context, book, "fixture", &result.name);
    sheet.sees(&[&house.job, &house.water]);
    sheet.entered("fixture.kind", kind(fixture.kind));
    sheet.computed("fixture.flow", result.flow);
    sheet.computed("fixture.flowing_pressure", result.pressure);
    sheet.set("fixture.minimum_pressure", least_pressure(fixture), Origin::Table);
    let heater = serving(results, result);
    if let Some(heater) = heater
        && let Some(activation) = heater.activation_flow
    {
        sheet.computed("fixture.hot_flow_warmest_month", result.hot_flow_warmest);
        sheet.driven(
            "fixture.hot_flow_warmest_month",
            set_point_for_flow(context, results, heater, result),
        );
        sheet.entered("fixture.activation_flow", activation);
    }
    if let Some(after) = &result.after {
        sheet.computed("fixture.wait", after.wait);
        sheet.computed("fixture.stored_volume", after.volume);
        sheet.computed("fixture.collected_volume", after.wasted);
        sheet.computed("fixture.hot_run", after.length);
    }
    if let Some(tub) = results.tubs.iter().find(|tub| tub.id == fixture.id) {
        sheet.computed("fixture.flow_full_open", tub.open_flow);
        sheet.computed("fixture.flow_heater_can_heat", tub.throttled_flow);
    }
    if let Some(protection) = fixture.protection {
        sheet.entered("fixture.protective_valve", valve(protection));
    }
    let feeding = feeding(context, results, fixture);
    if !feeding.is_empty() {
        let hottest = feeding.iter().map(|heater| heater.set_point);
        let hottest = hottest.max_by(|a, b| a.base().total_cmp(&b.base()));
        sheet.computed("fixture.hottest_water", hottest);
        let stored = feeding.iter().any(|heater| heater.kind == SourceKind::Tank);
        sheet.computed("fixture.fed_from_storage", stored);
    }
    for measurement in context
        .job
        .measurements
        .iter()
        .filter(|measurement| measurement.at == fixture.id)
    {
        sheet.set(
            "fixture.measured_maximum",
            measurement.hot_temperature,
            Origin::Measured,
        );
    }
    sheet.observed(&fixture.id);
    sheet
}

fn serving<'r>(results: &'r Results<'_>, result: &FixtureResult) -> Option<&'r crate::HeaterResult> {
    let id = result.after.as_ref().map(|after| after.heater.as_str());
    results.heaters.iter().find(|heater| match id {
        Some(id) => heater.id == id,
        None => heater.activation_flow.is_some(),
    })
}

/// Heaters that reach the fixture in any mode of the record; all of them where no piping is drawn.
fn feeding<'r>(
    context: &Context<'_>,
    results: &Results<'r>,
    fixture: &Fixture,
) -> Vec<&'r crate::HeaterResult> {
    let job = context.job;
    let indices: Vec<usize> = match fixture.hot.as_deref() {
        None => context.heaters().map(|(index, _)| index).collect(),
        Some(hot) => ModeView::all(job)
            .iter()
            .flat_map(|mode| Network::in_mode(job, mode).feeding(hot))
            .collect(),
    };
    results
        .heaters
        .iter()
        .filter(|heater| indices.iter().any(|index| job.sources[*index].id == heater.id))
        .collect()
}

/// Set point as what drives the hot flow: q = Q (Tuse − Tcold) ÷ (Tset − Tcold), the flow at the outlet being as it is.
fn set_point_for_flow(
    context: &Context<'_>,
    results: &Results<'_>,
    heater: &crate::HeaterResult,
    result: &FixtureResult,
) -> Driver {
    let units = context.given.units();
    let (set_point, cold) = (heater.set_point, results.mains.warmest);
    let now = result.hot_flow_warmest.base();
    Driver::new(
        "set point",
        set_point.show(units).to_string(),
        Origin::Computed,
        move |at| {
            let Value::Number(NumberKind::VolumeFlow, flow) = at else {
                return None;
            };
            let other = cold + (set_point - cold) * (now / flow);
            // Outside what a heater can be set to, no set point turns it.
            let range = Temperature::from_fahrenheit(90.0)..=Temperature::from_fahrenheit(160.0);
            (flow.is_finite() && *flow > 0.0 && range.contains(&other)).then(|| other.show(units).to_string())
        },
    )
}

fn kind(kind: FixtureKind) -> &'static str {
    match kind {
        FixtureKind::Shower => "shower",
        FixtureKind::TubFiller => "bathtub",
        FixtureKind::Lavatory => "lavatory",
        FixtureKind::KitchenSink => "kitchen sink",
        FixtureKind::LaundrySink => "laundry sink",
        FixtureKind::Bidet => "other",
        FixtureKind::Dishwasher => "dishwasher",
        FixtureKind::ClothesWasher => "clothes washer",
    }
}

fn valve(protection: ScaldProtection) -> &'static str {
    match protection {
        ScaldProtection::None => "none",
        ScaldProtection::PressureBalanced | ScaldProtection::Thermostatic => "ASSE 1016",
        ScaldProtection::Limiting => "ASSE 1070",
    }
}

/// The least flowing pressure of the code's table for the fixture. Its least flow is not taken: that asks what the pipes
/// bring, and would find fault with every fixture that saves water.
fn least_pressure(fixture: &Fixture) -> Option<GaugePressure> {
    let kind = match fixture.kind {
        FixtureKind::Shower => match fixture.protection {
            Some(ScaldProtection::PressureBalanced | ScaldProtection::Thermostatic) => {
                FlowFixture::ShowerBalanced
            }
            _ => FlowFixture::Shower,
        },
        FixtureKind::TubFiller => FlowFixture::TubFiller,
        FixtureKind::Lavatory | FixtureKind::Bidet => FlowFixture::Lavatory,
        FixtureKind::KitchenSink => FlowFixture::KitchenSink,
        FixtureKind::LaundrySink => FlowFixture::LaundrySink,
        FixtureKind::Dishwasher => FlowFixture::Dishwasher,
        FixtureKind::ClothesWasher => return None,
    };
    flows(kind)
        .find(|row| row.basis == FlowBasis::CodeMinimum)
        .and_then(|row| row.pressure)
}

/// Fixtures that run together, in the coldest month.
pub(crate) fn together<'s>(
    context: &'s Context<'s>,
    results: &Results<'_>,
    book: &'s RuleBook,
    house: &House<'s>,
) -> Vec<Sheet<'s>> {
    results
        .situations
        .iter()
        .map(|situation| {
            let mut sheet = Sheet::new(context, book, "combination", &situation.name);
            sheet.sees(&house.seen());
            let cold: &SituationHeat = &situation.coldest;
            let promised = context
                .job
                .together
                .iter()
                .find(|together| together.name == situation.name);
            sheet.entered(
                "combination.promised",
                promised.is_none_or(|together| together.promised.unwrap_or(true)),
            );
            sheet.entered("combination.use_temperature", situation.use_temperature);
            sheet.computed("combination.delivered_temperature", cold.temperature);
            sheet.computed("combination.power_needed", cold.power_needed);
            sheet.computed("combination.power_available", cold.power_available);
            sheet.computed("combination.heater_flow", cold.heater_flow);
            let most: Option<VolumeFlow> = context
                .job
                .sources
                .iter()
                .find(|source| source.id == situation.heater)
                .and_then(|source| source.flow_max);
            sheet.entered("combination.heater_maximum_flow", most);
            sheet.observed(&situation.name);
            sheet
        })
        .collect()
}
