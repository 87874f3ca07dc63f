//! Pressure and flow at every fixture and heater in named situations: what runs together, each tub wide open, everything.
//!
//! In: the solved piping of the mode designed for, the fixtures as found alone, the heaters. Out: [`PressureResult`]s of
//! the coldest month. Start at [`pressures`]. A tub is closed down to what stays hot enough; whoever else runs short opens
//! the hot side. Judges nothing.

use crate::MainsYear;
use crate::assessment::{FixturePressure, HeaterPressure, PressureResult};
use crate::context::Context;
use crate::delivery::Plumbing;
use crate::heat::{Boiler, Tap};
use crate::hydraulics::Wanted;
use job::FixtureKind;
use quantity::VolumeFlow;
use water::Water;
use water::network::demand::WhenShort;

/// All situations; none without piping.
pub(crate) fn pressures(
    context: &Context<'_>,
    plumbing: Option<&Plumbing<'_>>,
    taps: &[Tap],
    boilers: &[Boiler],
    mains: &MainsYear,
) -> Vec<PressureResult> {
    let Some(plumbing) = plumbing else {
        return Vec::new();
    };
    let mut results = Vec::new();
    for (name, members) in named(context, taps) {
        match one(context, plumbing, &name, &members, boilers, mains) {
            Ok(Some(result)) => results.push(result),
            Ok(None) => {}
            Err(error) => context.gap(name, "flow and pressure together", error),
        }
    }
    results
}

/// Situations by name with their taps.
fn named<'t>(context: &Context<'_>, taps: &'t [Tap]) -> Vec<(String, Vec<&'t Tap>)> {
    let fixtures = &context.job.fixtures;
    let mut all = Vec::new();
    for together in &context.job.together {
        let wanted = |tap: &&Tap| together.fixtures.contains(&fixtures[tap.fixture].id);
        all.push((together.name.clone(), taps.iter().filter(wanted).collect()));
    }
    for tap in taps {
        if fixtures[tap.fixture].kind == FixtureKind::TubFiller {
            all.push((format!("{}, wide open", tap.name), vec![tap]));
        }
    }
    if taps.len() > 1 {
        all.push(("everything at once".to_owned(), taps.iter().collect()));
    }
    all
}

fn one(
    context: &Context<'_>,
    plumbing: &Plumbing<'_>,
    name: &str,
    members: &[&Tap],
    boilers: &[Boiler],
    mains: &MainsYear,
) -> Result<Option<PressureResult>, String> {
    let job = context.job;
    let wanted: Vec<Wanted> = members
        .iter()
        .map(|tap| Wanted {
            fixture: tap.fixture,
            use_temperature: tap.draw.use_temperature,
            when_short: match job.fixtures[tap.fixture].kind {
                FixtureKind::TubFiller => WhenShort::Throttle,
                _ => WhenShort::OpenHot,
            },
        })
        .collect();
    let energized: Vec<_> = boilers
        .iter()
        .filter(|boiler| plumbing.energizes(boiler.index))
        .map(|boiler| (boiler.index, boiler.engine()))
        .collect();
    let cold = Water::in_house(mains.coldest).map_err(|error| error.to_string())?;
    let Some(together) = plumbing.together(&cold, &wanted, &energized)? else {
        return Ok(None);
    };
    let fixtures = members
        .iter()
        .zip(&together.taps)
        .map(|(tap, found)| FixturePressure {
            id: job.fixtures[tap.fixture].id.clone(),
            name: tap.name.clone(),
            flow: still(found.flow),
            pressure: found.pressure,
            temperature: found.temperature,
            aim_flow: found.throttled_to.map(still),
        })
        .collect();
    let heaters = together
        .heaters
        .iter()
        .map(|run| HeaterPressure {
            id: job.sources[run.source].id.clone(),
            flow: still(run.flow),
            inlet_pressure: run.inlet_pressure,
            outlet: run.outlet,
            holds_set_point: run.holds_set_point,
        })
        .collect();
    let (fastest_pipe, velocity) = together.fastest.unzip();
    Ok(Some(PressureResult {
        name: name.to_owned(),
        fixtures,
        heaters,
        fastest_pipe,
        velocity,
    }))
}

/// Nothing instead of a trickle that the search left: a tub that nothing warm is left for, a heater beside the way.
fn still(flow: VolumeFlow) -> VolumeFlow {
    if flow < VolumeFlow::from_gallons_per_minute(0.001) {
        VolumeFlow::zero()
    } else {
        flow
    }
}
