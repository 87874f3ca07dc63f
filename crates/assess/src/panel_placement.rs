//! Where new breakers go in a panel whose breakers are all listed with their spaces, and what must move.
//!
//! In: the panel, the new circuits, breakers whose heaters are taken out. Out: [`PanelPlacement`], or why there is no room.

use crate::circuits::SolvedCircuit;
use crate::context::{Context, source_name};
use crate::{DirectoryEntry, MovedBreaker, PanelPlacement, PlacedBreaker};
use job::{Breaker, Panel, SourceStatus};
use power::panel_slots::{
    DirectoryLine, NewBreaker, NoRoom, Placement, SlotBreaker, SlotPanel, place_breakers,
};
use std::collections::BTreeSet;

/// Places the new circuits; none when a breaker has no places, or nothing is new.
pub(crate) fn placement(
    context: &Context<'_>,
    panel: &Panel,
    legs: u8,
    new: &[&SolvedCircuit<'_>],
) -> Option<Result<PanelPlacement, String>> {
    let spaces = panel.spaces?;
    let mapped = !panel.breakers.is_empty() && panel.breakers.iter().all(|breaker| !breaker.at.is_empty());
    if new.is_empty() || !mapped {
        return None;
    }
    let slots = SlotPanel {
        spaces,
        legs,
        half_size: half_size(panel, spaces),
        breakers: panel
            .breakers
            .iter()
            .filter(|breaker| !goes(context, panel, breaker))
            .map(|breaker| SlotBreaker {
                label: breaker.label.clone(),
                rating: breaker.rating,
                at: breaker.at.clone(),
                movable: !breaker.shares_neutral,
            })
            .collect(),
    };
    let added: Vec<NewBreaker> = new
        .iter()
        .map(|circuit| NewBreaker {
            label: circuit.result.id.clone(),
            rating: circuit.result.breaker,
            poles: circuit.poles(),
        })
        .collect();
    match place_breakers(&slots, &added) {
        Ok(Ok(found)) => Some(Ok(result(context, found))),
        Ok(Err(none)) => Some(Err(no_room(&none))),
        Err(error) => {
            context.gap(
                format!("panel {}", panel.id),
                "where the new breakers go",
                error.to_string(),
            );
            None
        }
    }
}

/// Spaces that take half-size breakers: those of the label, all where the label allows them anywhere, else none.
fn half_size(panel: &Panel, spaces: u16) -> BTreeSet<u16> {
    if panel.half_size_allowed != Some(true) {
        return BTreeSet::new();
    }
    if panel.half_size_spaces.is_empty() {
        (1..=spaces).collect()
    } else {
        panel.half_size_spaces.iter().copied().collect()
    }
}

/// Whether a breaker feeds an existing circuit of a heater that is taken out: its label is the circuit's name.
fn goes(context: &Context<'_>, panel: &Panel, breaker: &Breaker) -> bool {
    context.job.circuits.iter().any(|circuit| {
        circuit.existing
            && circuit.panel == panel.id
            && circuit.id == breaker.label
            && context
                .job
                .sources
                .iter()
                .any(|source| source.id == circuit.source && source.status == SourceStatus::Removed)
    })
}

fn result(context: &Context<'_>, found: Placement) -> PanelPlacement {
    PanelPlacement {
        added: found
            .added
            .into_iter()
            .map(|placed| PlacedBreaker {
                circuit: placed.label,
                rating: placed.rating,
                spaces: placed.at,
            })
            .collect(),
        moves: found
            .moves
            .into_iter()
            .map(|one| MovedBreaker {
                label: one.label,
                from: one.from,
                to: one.to,
                half_size: one.half_size,
                changes_leg: one.changes_leg,
            })
            .collect(),
        legs_before: found.legs_before,
        legs_after: found.legs_after,
        directory: found.directory.iter().map(|line| entry(context, line)).collect(),
    }
}

/// A line as it is written in the panel's directory: what, where in the house, how large.
fn entry(context: &Context<'_>, line: &DirectoryLine) -> DirectoryEntry {
    let spaces: Vec<String> = line.spaces.iter().map(u16::to_string).collect();
    let text = match (&line.label, line.rating) {
        (Some(label), Some(rating)) => {
            let rating = rating.show(context.given.units());
            let heater = context
                .job
                .circuits
                .iter()
                .find(|circuit| &circuit.id == label)
                .and_then(|circuit| {
                    context
                        .job
                        .sources
                        .iter()
                        .find(|source| source.id == circuit.source)
                });
            match heater.filter(|_| line.new) {
                Some(heater) => format!("{label}: {}, {rating}", source_name(heater)),
                None => format!("{label}, {rating}"),
            }
        }
        _ => "spare".to_owned(),
    };
    DirectoryEntry {
        spaces: spaces.join(", "),
        text,
    }
}

fn no_room(none: &NoRoom) -> String {
    match none {
        NoRoom::TooFewSpaces { needed, free } => format!(
            "{needed} poles are needed and {free} are free, whatever moves; a subpanel or a larger panel would be needed"
        ),
        NoRoom::TooManyMoves { tried } => format!(
            "no arrangement with {tried} moves or fewer was found; a subpanel beside it may be less work"
        ),
    }
}
