//! Puts the parts together in order: incoming water, supply, circuits, heaters, fixtures, situations, rules, verdict.

use crate::circuits::{self, Circuits, rated_power};
use crate::context::Context;
use crate::dead_legs::dead_legs;
use crate::delivery::Plumbing;
use crate::facts::{self, Results};
use crate::fault::{self, Faults};
use crate::fixtures::{Piping, fixtures};
use crate::heat::{Boiler, heater_result, situations, tubs};
use crate::house_wiring::HouseWiring;
use crate::network::ModeView;
use crate::pressures::pressures;
use crate::supply_path::SupplyPath;
use crate::verdict::{Grounds, verdict};
use crate::waits::Waits;
use crate::{
    ASSESSMENT_VERSION, Assessment, Desk, Head, HeaterResult, MainsYear, ServiceDetail, disturbance,
    mains_year, metric_circuits, modes, panels, service_detail, service_load, transformer_sheet,
};
use job::{Job, SourceKind, SourceStatus};
use power::conductor_temperature::table_temperature;
use quantity::{Power, Temperature};
use trace::{Finding, Origin};

/// Works out a job.
///
/// In: a record that [`job::validate`] has no problem with, and a desk. Out: an assessment; whatever could not be worked
/// out stands among its findings as unknown, with the reason.
pub fn assess(job: &Job, desk: &impl Desk) -> Assessment {
    let context = Context::new(job, desk);
    let mains = mains(&context);
    let path = match SupplyPath::new(&context) {
        Ok(path) => Some(path),
        Err(error) => {
            context.gap("service", "the supply", error.to_string());
            None
        }
    };
    let wiring = path.as_ref().and_then(
        |path| match HouseWiring::new(&context, path, table_temperature()) {
            Ok(wiring) => Some(wiring),
            Err(error) => {
                context.gap("service", "the wires to the panels", error.to_string());
                None
            }
        },
    );
    let supply = path.as_ref().zip(wiring.as_ref());
    let mut circuits = supply.map_or_else(Circuits::default, |(path, wiring)| {
        circuits::solve(&context, path, wiring)
    });
    let faults = path.as_ref().map_or_else(Faults::default, |path| {
        fault::faults(&context, path, &mut circuits)
    });
    let panels = panels::panels(&context, &circuits, &faults);
    let metric_circuits = path.as_ref().map_or_else(Vec::new, |path| {
        metric_circuits::metric_circuits(&context, path, &circuits.solved)
    });
    let mut service = path
        .as_ref()
        .and_then(|path| service_load::service(&context, path, &circuits, &faults));
    let all_modes = ModeView::all(job);
    let mut boilers = boilers(&context, &circuits);
    if let Some(mode) = all_modes.first() {
        boilers.sort_by_key(|boiler| !mode.energized.contains(&boiler.index));
    }
    let heaters: Vec<_> = boilers
        .iter()
        .filter_map(|boiler| {
            let heater = &job.sources[boiler.index];
            match heater_result(
                &context,
                boiler,
                rated_power(&context, boiler.index, heater),
                &mains,
            ) {
                Ok(result) => Some(result),
                Err(error) => {
                    context.gap(
                        crate::context::source_name(heater),
                        "what the heater lifts",
                        error.to_string(),
                    );
                    None
                }
            }
        })
        .collect();
    if let (Some(service), Some(path), Some(wiring)) = (&mut service, &path, &wiring) {
        feel(&context, path, wiring, &circuits, &heaters, &mut service.detail);
    }
    let piping = Piping {
        after: all_modes
            .into_iter()
            .next()
            .and_then(|mode| plumbing(&context, mode, &mains)),
        today: ModeView::today(job).and_then(|mode| plumbing(&context, mode, &mains)),
    };
    let waits = Waits {
        context: &context,
        boilers: &boilers,
        mains: &mains,
    };
    let found = fixtures(&waits, &piping);
    let (today, after) = (piping.today.as_ref(), piping.after.as_ref());
    let wait_trace = waits.trace(today, after, &found.results);
    let placements = waits.placements(today, after, &found.results);
    let dead_legs = after.map_or(Vec::new(), |plumbing| dead_legs(&context, plumbing));
    let pressures = pressures(&context, after, &found.taps, &boilers, &mains);
    let situations = situations(&context, &found.taps, &boilers, &mains);
    let tubs = tubs(&context, &found.taps, &boilers, &mains);
    let modes = modes::modes(&context);
    let results = Results {
        path: path.as_ref(),
        circuits: &circuits,
        panels: &panels,
        service: service.as_ref(),
        heaters: &heaters,
        mains: &mains,
        fixtures: &found.results,
        situations: &situations,
        tubs: &tubs,
        modes: &modes,
        inlet_pressures: &found.inlet_pressures,
    };
    let mut findings = facts::findings(&context, &results);
    let head = head(&context, desk);
    let circuit_results = circuits
        .solved
        .iter()
        .map(|circuit| circuit.result.clone())
        .collect();
    let units = context.given.units();
    let fixtures = found.results;
    drop(piping);
    let (assumptions, gaps) = context.into_parts();
    findings.extend(gaps);
    findings.sort_by_key(|finding| finding.severity);
    let cautions = cautions(&findings);
    let verdict = verdict(&Grounds {
        units,
        heaters: &heaters,
        situations: &situations,
        fixtures: &fixtures,
        tubs: &tubs,
        service: service.as_ref(),
        findings: &findings,
        assumptions: &assumptions,
    });
    Assessment {
        schema: ASSESSMENT_VERSION,
        head,
        verdict,
        mains,
        heaters,
        circuits: circuit_results,
        metric_circuits,
        panels,
        service,
        modes,
        fixtures,
        situations,
        tubs,
        pressures,
        wait_trace,
        placements,
        dead_legs,
        findings,
        assumptions,
        cautions,
    }
}

/// Fills in what needs the solved circuits and the heaters: flows of alternatives, what the house and the utility feel.
fn feel(
    context: &Context<'_>,
    path: &SupplyPath,
    wiring: &HouseWiring,
    circuits: &Circuits<'_>,
    heaters: &[HeaterResult],
    detail: &mut ServiceDetail,
) {
    let new = heaters
        .iter()
        .find(|heater| heater.kind == SourceKind::OnDemand && heater.status == SourceStatus::Proposed);
    let planned = new.and_then(|heater| Some((heater.rated_power, heater.flow_at_set_point_coldest?)));
    service_detail::flows(detail, planned);
    detail.disturbance = disturbance::disturbance(context, path, wiring, &circuits.solved);
    if wiring.transformer.is_some() {
        let all_on = detail.disturbance.as_ref().and_then(|felt| felt.steps.last());
        let step = all_on.map(|step| step.neighbors);
        detail.transformer = new.map(|heater| transformer_sheet::sheet(context, heater.rated_power, step));
    }
}

/// Incoming water; when even the defaults fail, one cautious temperature for the whole year, and a gap.
fn mains(context: &Context<'_>) -> MainsYear {
    match mains_year::year(context) {
        Ok(year) => year,
        Err(error) => {
            context.gap("site", "incoming water through the year", error.to_string());
            let cold = Temperature::from_fahrenheit(40.0);
            MainsYear {
                origin: Origin::Assumed,
                basis: "not worked out; a cautious 40 °F stands for the whole year".to_owned(),
                months: Vec::new(),
                coldest: cold,
                coldest_month: None,
                warmest: cold,
                warmest_month: None,
            }
        }
    }
}

fn boilers(context: &Context<'_>, circuits: &Circuits<'_>) -> Vec<Boiler> {
    context
        .heaters()
        .map(|(index, heater)| {
            let known = circuits
                .delivered
                .iter()
                .find(|(at, _)| *at == index)
                .map(|(_, power)| *power);
            let delivered: Power = known.unwrap_or_else(|| rated_power(context, index, heater));
            Boiler::new(context, index, heater, delivered)
        })
        .collect()
}

fn plumbing<'c>(context: &'c Context<'c>, mode: ModeView, mains: &MainsYear) -> Option<Plumbing<'c>> {
    if context.job.piping.pipes.is_empty() {
        return None;
    }
    match Plumbing::new(context, mode, mains.coldest) {
        Ok(plumbing) => Some(plumbing),
        Err(error) => {
            context.gap("piping", "flow and pressure", error.to_string());
            None
        }
    }
}

pub(crate) fn head(context: &Context<'_>, desk: &impl Desk) -> Head {
    let about = &context.job.about;
    Head {
        title: if about.title.is_empty() {
            "Job without a title".to_owned()
        } else {
            about.title.clone()
        },
        revision: about.revision.clone().unwrap_or_else(|| "–".to_owned()),
        customer: about.customer.clone(),
        address: about.address.clone(),
        prepared_by: about.prepared_by.clone(),
        place: context.job.site.place.clone(),
        date: desk.today(),
        units: context.given.units(),
        electrical_code: context.electrical_name.clone(),
        plumbing_code: context.plumbing_name.clone(),
        program: format!("wattspring {}", env!("CARGO_PKG_VERSION")),
    }
}

/// The cautions of the findings, each once, in the order of the worst.
fn cautions(findings: &[Finding]) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for caution in findings.iter().filter_map(|finding| finding.caution.as_ref()) {
        if !all.contains(caution) {
            all.push(caution.clone());
        }
    }
    all
}
