//! On-demand heaters and vehicle chargers: loads whose counting an edition or an authority fixes.
//!
//! In: a load and the policy. Out: a line of its own, or nothing when the method's pool takes it.

use super::ledger::{BY_POLICY, Ledger, authority, whole};
use super::{HeaterCounting, Load, LoadGroup, LoadKind};
use quantity::ApparentPower;
use tables::figures::figures;
use tables::nec::NecEdition;

/// Writes the heaters that the policy counts by themselves.
pub(super) fn counted_alone(
    ledger: &mut Ledger,
    loads: &[&Load],
    counting: HeaterCounting,
    edition: NecEdition,
) {
    let factor = match counting {
        HeaterCounting::WithAppliances => return,
        HeaterCounting::FullNameplate => whole(),
        HeaterCounting::Continuous125 => figures(edition).continuous_load.value,
    };
    for load in loads.iter().filter(|load| load.kind == LoadKind::OnDemandHeater) {
        let group = LoadGroup::OnDemandHeater;
        ledger.direct(
            group,
            load.name.clone(),
            load.connected(),
            factor,
            Some(BY_POLICY),
            authority(),
        );
    }
}

/// Whether the method's pool takes the load as an appliance.
pub(super) fn in_pool(load: &Load, counting: HeaterCounting) -> bool {
    load.kind != LoadKind::OnDemandHeater || counting == HeaterCounting::WithAppliances
}

/// Volt-amperes of a set of vehicle chargers: nameplate, or the least of the edition for each.
pub(super) fn vehicle_charging(load: &Load, edition: NecEdition) -> ApparentPower {
    let least = figures(edition).vehicle_charger_least.value;
    load.nameplate.max(least) * f64::from(load.count)
}
