//! The pool of the optional methods: everything that is not room heating or cooling, the first part in full and a share of
//! the rest.
//!
//! In: dwelling, running loads, policy. Out: the items, their subtotal and its two parts.

use super::heater::{in_pool, vehicle_charging};
use super::ledger::{Ledger, whole};
use super::lighting;
use super::{Dwelling, HeaterCounting, Load, LoadGroup, LoadKind};
use quantity::{ApparentPower, Ratio};
use tables::figures::figures;
use tables::nec::NecEdition;
use tables::sourced::Sourced;

/// How a method counts its pool.
#[derive(Debug, Clone, Copy)]
pub(super) struct PoolRule {
    /// The part taken in full.
    pub(super) first: Sourced<ApparentPower>,
    /// Share of the rest.
    pub(super) rest_share: Sourced<Ratio>,
    /// How on-demand heaters count.
    pub(super) counting: HeaterCounting,
    /// Edition.
    pub(super) edition: NecEdition,
}

/// Writes the pool. `also` picks room heaters that the method or the policy puts among the appliances.
pub(super) fn pool(
    ledger: &mut Ledger,
    dwelling: &Dwelling,
    loads: &[&Load],
    also: impl Fn(&Load) -> bool,
    rule: PoolRule,
) {
    let group = LoadGroup::General;
    let (first, rest) = (rule.first, rule.rest_share);
    lighting::items(ledger, dwelling, group, rule.edition);
    for load in loads {
        if load.kind == LoadKind::VehicleCharger {
            let source = figures(rule.edition).vehicle_charger_least.source;
            ledger.item(
                group,
                load.name.clone(),
                vehicle_charging(load, rule.edition),
                source,
            );
        } else if also(load) || (!load.kind.is_space() && in_pool(load, rule.counting)) {
            ledger.load_item(group, load, first.source);
        }
    }
    let total = ledger.subtotal(group, "all of these", first.source);
    let in_full = total.min(first.value);
    ledger.part(group, "first part in full", in_full, whole(), first.source);
    ledger.part(group, "rest", total - in_full, rest.value, rest.source);
}
