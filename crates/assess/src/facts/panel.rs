//! Facts of each panel.

use super::house::House;
use super::{Results, Sheet};
use crate::context::Context;
use job::{NeutralGround, Panel};
use quantity::Current;
use rules::RuleBook;
use trace::Origin;

pub(crate) fn facts<'s>(
    context: &'s Context<'s>,
    results: &Results<'_>,
    book: &'s RuleBook,
    house: &House<'s>,
) -> Vec<Sheet<'s>> {
    let Some(service) = &context.job.service else {
        return Vec::new();
    };
    let touched = |panel: &Panel| {
        results
            .panels
            .iter()
            .any(|result| result.id == panel.id && result.needed_spaces > 0)
            || panel.fed_from.is_none()
    };
    let panels = service.panels.iter().filter(|panel| touched(panel));
    panels
        .map(|panel| sheet(context, results, book, house, panel))
        .collect()
}

/// Whether the main panel holds the service disconnect: as the record says, else by how its neutral is held.
fn service_equipment(context: &Context<'_>, panel: &Panel) -> bool {
    let outside = context
        .job
        .service
        .as_ref()
        .and_then(|service| service.disconnect_outside);
    outside.map_or(
        panel.neutral_ground != Some(NeutralGround::SeparateIsolated),
        |outside| !outside,
    )
}

/// Facts of the panel called `id`, for circuits that come from it.
pub(crate) fn of<'s>(
    context: &'s Context<'s>,
    results: &Results<'_>,
    book: &'s RuleBook,
    house: &House<'s>,
    id: &str,
) -> Option<Sheet<'s>> {
    let service = context.job.service.as_ref()?;
    let panel = service.panels.iter().find(|panel| panel.id == id)?;
    Some(sheet(context, results, book, house, panel))
}

fn sheet<'s>(
    context: &'s Context<'s>,
    results: &Results<'_>,
    book: &'s RuleBook,
    house: &House<'s>,
    panel: &Panel,
) -> Sheet<'s> {
    let mut sheet = Sheet::new(context, book, "panel", &format!("panel {}", panel.id));
    sheet.sees(&house.seen());
    let main = panel.fed_from.is_none();
    sheet.entered(
        "panel.is_service_equipment",
        main && service_equipment(context, panel),
    );
    sheet.entered("panel.bus_rating", panel.bus_rating);
    let protection = panel
        .main_breaker
        .or(panel.feeder.as_ref().map(|feeder| feeder.breaker));
    sheet.entered("panel.protection_rating", protection);
    if let Some(result) = results.panels.iter().find(|result| result.id == panel.id) {
        let free = result
            .free_spaces
            .map(|free| u32::from(free + result.freed_spaces));
        sheet.entered("panel.free_spaces", free);
        sheet.computed("panel.spaces_needed", u32::from(result.needed_spaces));
    }
    poles(&mut sheet, results, panel);
    if main {
        // The main panel carries what the service carries, by the method for existing dwellings where there is one.
        let load = results
            .service
            .and_then(|service| service.methods.first())
            .map(|method| method.current);
        sheet.computed("panel.load_current", load);
    } else {
        let added: Current = results
            .circuits
            .solved
            .iter()
            .filter(|circuit| circuit.result.panel == panel.id && !circuit.result.existing)
            .map(|circuit| circuit.result.load_current)
            .sum();
        sheet.computed("panel.load_current", (added > Current::zero()).then_some(added));
    }
    let bonded = panel
        .neutral_ground
        .map(|arrangement| arrangement != NeutralGround::SeparateIsolated);
    sheet.entered("panel.neutral_bonded", bonded);
    let shared = panel
        .neutral_ground
        .map(|arrangement| arrangement == NeutralGround::SharedBar);
    sheet.entered("panel.neutral_and_ground_share_bar", shared);
    sheet.entered(
        "panel.feeder_has_separate_ground",
        panel.feeder.as_ref().and_then(|feeder| feeder.four_wire),
    );
    sheet.entered("panel.directory_updated", panel.directory_complete);
    if let Some(path) = results.path {
        sheet.set("panel.voltage_to_ground", path.supply.to_ground, Origin::Table);
    }
    if let Some(space) = &panel.working_space {
        sheet.entered("panel.working_depth", space.depth);
        sheet.entered("panel.working_width", space.width);
        sheet.entered("panel.working_height", space.height);
        sheet.entered("panel.foreign_pipe_in_dedicated_space", space.foreign_piping);
    }
    sheet.entered("panel.interrupting_rating", panel.interrupting_rating);
    let fault = results
        .panels
        .iter()
        .find(|result| result.id == panel.id)
        .and_then(|result| result.fault_current);
    let fault = fault.or_else(|| results.service.filter(|_| main)?.fault_current);
    sheet.entered("panel.available_fault_current", fault);
    sheet.observed(&panel.id);
    sheet
}

/// Poles after the work, where every breaker is listed; where no half-size breakers are foreseen the spaces are the most.
fn poles(sheet: &mut Sheet<'_>, results: &Results<'_>, panel: &Panel) {
    if panel.half_size_allowed == Some(false) {
        sheet.computed("panel.poles_allowed", panel.spaces.map(u32::from));
    }
    let result = results.panels.iter().find(|result| result.id == panel.id);
    if let Some(result) = result.filter(|_| !panel.breakers.is_empty()) {
        let standing: u32 = panel
            .breakers
            .iter()
            .map(|breaker| u32::from(breaker.poles))
            .sum();
        let after =
            (standing + u32::from(result.needed_spaces)).saturating_sub(u32::from(result.freed_spaces));
        sheet.computed("panel.poles_after", after);
    }
}
