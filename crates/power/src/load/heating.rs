//! Heating and cooling of rooms: two sides of which the larger counts.
//!
//! In: the loads that run and the shares of a method. Out: lines for the larger side; the smaller one is left out. A heat
//! pump stands on both sides. All heating is taken to run together, also where a house has two kinds of it: that is the
//! cautious side of a text that speaks of one kind.

use super::ledger::{Ledger, SMALLER_SIDE};
use super::{Load, LoadGroup, LoadKind};
use quantity::{ApparentPower, Ratio};
use tables::sourced::Sourced;
use trace::Source;

/// Shares that a method counts.
#[derive(Debug, Clone, Copy)]
pub(super) struct SpaceShares {
    pub(super) cooling: Sourced<Ratio>,
    pub(super) heat_pump: Sourced<Ratio>,
    pub(super) supplementary: Sourced<Ratio>,
    /// Electric space heating with few separate controls; central heating is one control.
    pub(super) few_controls: Sourced<Ratio>,
    pub(super) many_controls: Sourced<Ratio>,
    /// From how many controls `many_controls` holds.
    pub(super) many_from: usize,
}

impl SpaceShares {
    /// The same share for everything.
    pub(super) fn all(share: Sourced<Ratio>) -> Self {
        Self {
            cooling: share,
            heat_pump: share,
            supplementary: share,
            few_controls: share,
            many_controls: share,
            many_from: usize::MAX,
        }
    }
}

/// How many separate controls of electric space heating run.
pub(super) fn controls(loads: &[&Load]) -> usize {
    loads
        .iter()
        .filter(|load| matches!(load.kind, LoadKind::CentralHeat | LoadKind::RoomHeat))
        .map(|load| usize::from(load.count))
        .sum()
}

/// Writes the larger of heating and cooling; gives the loads that count.
pub(super) fn larger_side<'a>(
    ledger: &mut Ledger,
    loads: &[&'a Load],
    shares: &SpaceShares,
    left_out: &'static Source,
) -> Vec<&'a Load> {
    let electric = if controls(loads) >= shares.many_from {
        shares.many_controls
    } else {
        shares.few_controls
    };
    let heating: Vec<_> = side(loads, |kind| match kind {
        LoadKind::HeatPump => Some(shares.heat_pump),
        LoadKind::SupplementaryHeat => Some(shares.supplementary),
        LoadKind::CentralHeat | LoadKind::RoomHeat => Some(electric),
        _ => None,
    });
    let cooling: Vec<_> = side(loads, |kind| match kind {
        LoadKind::HeatPump => Some(shares.heat_pump),
        LoadKind::Cooling => Some(shares.cooling),
        _ => None,
    });
    let (larger, smaller) = if counted(&heating) >= counted(&cooling) {
        (heating, cooling)
    } else {
        (cooling, heating)
    };
    let group = LoadGroup::HeatingCooling;
    for (load, share) in &larger {
        ledger.direct(
            group,
            load.name.clone(),
            load.connected(),
            share.value,
            None,
            share.source,
        );
    }
    for (load, _) in smaller {
        if !larger.iter().any(|(running, _)| std::ptr::eq(*running, load)) {
            ledger.left_out(group, load, SMALLER_SIDE, left_out);
        }
    }
    larger.into_iter().map(|(load, _)| load).collect()
}

fn side<'a>(
    loads: &[&'a Load],
    share: impl Fn(LoadKind) -> Option<Sourced<Ratio>>,
) -> Vec<(&'a Load, Sourced<Ratio>)> {
    loads
        .iter()
        .filter_map(|load| Some((*load, share(load.kind)?)))
        .collect()
}

fn counted(side: &[(&Load, Sourced<Ratio>)]) -> ApparentPower {
    side.iter()
        .map(|(load, share)| load.connected() * share.value.as_fraction())
        .sum()
}
