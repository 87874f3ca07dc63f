//! Panel spaces: what is free, what the new circuits need, what becomes free.

use crate::PanelResult;
use crate::circuits::{Circuits, SolvedCircuit};
use crate::context::Context;
use crate::fault::Faults;
use crate::panel_placement::placement;
use job::{Panel, SourceStatus, SupplySystem};
use power::panel::{Fit, PanelFit, Spaces, fit_double_poles};
use trace::RecordPath;

/// Spaces of every panel.
pub(crate) fn panels(context: &Context<'_>, circuits: &Circuits<'_>, faults: &Faults) -> Vec<PanelResult> {
    let Some(service) = &context.job.service else {
        return Vec::new();
    };
    let panels = service.panels.iter().enumerate();
    panels
        .map(|(at, panel)| panel_result(context, circuits, faults, at, panel))
        .collect()
}

fn panel_result(
    context: &Context<'_>,
    circuits: &Circuits<'_>,
    faults: &Faults,
    at: usize,
    panel: &Panel,
) -> PanelResult {
    let new: Vec<&SolvedCircuit<'_>> = circuits
        .solved
        .iter()
        .filter(|circuit| !circuit.circuit.existing && circuit.circuit.panel == panel.id)
        .collect();
    let (mut double, mut needed) = (0_u16, 0_u16);
    for circuit in &new {
        needed += u16::from(circuit.poles());
        double += u16::from(circuit.poles() == 2);
    }
    let freed = freed(context, panel);
    let fit = spaces(panel).and_then(|spaces| {
        let engine = power::panel::Panel {
            spaces,
            bus_rating: panel.bus_rating,
            main_breaker: panel.main_breaker,
        };
        match fit_double_poles(&engine, double) {
            Ok(fit) => Some(fit),
            Err(error) => {
                context.gap(
                    format!("panel {}", panel.id),
                    "the free spaces",
                    error.to_string(),
                );
                None
            }
        }
    });
    let free = panel.free_spaces.or(fit.as_ref().map(|fit| fit.free));
    if free.is_none() && needed > 0 {
        let place = RecordPath::from("service.panels").item(at).field("free_spaces");
        context.given.unknown(place, "service.panels.spaces");
    }
    let (placement, no_room) = match placement(context, panel, legs(context), &new) {
        Some(Ok(found)) => (Some(found), None),
        Some(Err(why)) => (None, Some(why)),
        None => (None, None),
    };
    PanelResult {
        placement,
        no_room,
        fault_current: faults
            .panels
            .iter()
            .find(|(id, _)| id == &panel.id)
            .map(|(_, current)| *current),
        id: panel.id.clone(),
        fed_from: panel.fed_from.clone(),
        rating: panel
            .main_breaker
            .or(panel.feeder.as_ref().map(|feeder| feeder.breaker)),
        spaces: panel.spaces,
        free_spaces: free,
        free_pairs: fit.as_ref().and_then(|fit| pairs(panel, fit)),
        needed_spaces: needed,
        freed_spaces: freed,
    }
}

/// Lines that alternate down each side of a panel.
fn legs(context: &Context<'_>) -> u8 {
    match context.job.service.as_ref().map(|service| service.system) {
        Some(SupplySystem::ThreePhase230_400) => 3,
        Some(SupplySystem::Single230) => 1,
        _ => 2,
    }
}

/// Spaces from the breakers listed: by place when every one has its places, else by count.
fn spaces(panel: &Panel) -> Option<Spaces> {
    let total = panel.spaces?;
    if panel.breakers.is_empty() {
        return panel.free_spaces.map(|free| Spaces::Counted {
            total,
            occupied: total.saturating_sub(free),
        });
    }
    if panel.breakers.iter().all(|breaker| !breaker.at.is_empty()) {
        let occupied = panel
            .breakers
            .iter()
            .flat_map(|breaker| breaker.at.iter().copied())
            .collect();
        return Some(Spaces::Mapped { total, occupied });
    }
    let occupied = panel
        .breakers
        .iter()
        .map(|breaker| u16::from(breaker.poles))
        .sum();
    Some(Spaces::Counted { total, occupied })
}

/// Adjacent pairs of free spaces, where the places of the breakers are known.
fn pairs(panel: &Panel, fit: &PanelFit) -> Option<u16> {
    let mapped = matches!(spaces(panel)?, Spaces::Mapped { .. });
    let known = mapped && !matches!(fit.fit, Fit::EnoughSpaces);
    known.then(|| u16::try_from(fit.pairs.len()).unwrap_or(u16::MAX))
}

/// Poles of circuits that end with a heater taken out.
fn freed(context: &Context<'_>, panel: &Panel) -> u16 {
    let removed = |id: &str| {
        context
            .job
            .sources
            .iter()
            .any(|source| source.id == id && source.status == SourceStatus::Removed)
    };
    let circuits = context
        .job
        .circuits
        .iter()
        .filter(|circuit| circuit.existing && circuit.panel == panel.id);
    let poles = circuits.filter(|circuit| removed(&circuit.source)).map(|_| 2_u16);
    poles.sum()
}
