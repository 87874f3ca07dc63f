//! Service load by the standard method, Part III of Article 220.
//!
//! In: the dwelling, what the authority decides, supply, edition. Out: every line with its demand factor.

use super::cooking::cooking_parts;
use super::heater::{counted_alone, in_pool, vehicle_charging};
use super::heating::{SpaceShares, larger_side};
use super::interlock::largest_choice;
use super::ledger::{Ledger, whole};
use super::lighting;
use super::{Dwelling, Load, LoadGroup, LoadKind, LoadMethod, LoadPolicy, LoadResult, check_dwelling};
use crate::PowerError;
use crate::supply::Supply;
use quantity::{ApparentPower, Ratio};
use tables::demand::{dryer_share, lighting_tiers};
use tables::figures::figures;
use tables::nec::{NecEdition, Topic, cite};
use tables::sourced::Sourced;
use trace::SourceStatus;

/// Service load by the standard method.
///
/// S = tiers(lighting + small-appliance + laundry) + cooking table + share(n) · dryers + 75 % of four or more appliances
/// fastened in place + vehicle charging + the larger of heating and cooling + 25 % of the largest motor
///
/// # Symbols
/// | here       | meaning                                                         | unit |
/// |------------|-----------------------------------------------------------------|------|
/// | `dwelling` | floor area, circuits, loads                                     | ft², –, VA |
/// | `policy`   | how on-demand heaters count                                     | –    |
/// | `supply`   | gives the nominal voltage                                       | V    |
/// | `edition`  | gives figures and articles                                      | –    |
/// | result     | load S with its lines, and its current                          | VA, A |
///
/// # Valid
/// Up to 100,000 ft², 10 MVA; cooking up to 27 kVA a unit and five units a column; eleven dryers.
/// # Outside
/// [`PowerError`].
/// # Assumes
/// Loads removed do not count; of an interlocked set the one that gives the largest result runs. An appliance below
/// 500 VA does not count toward four where the edition says so. A heater counted by itself does not count toward four.
/// # Source
/// Article 220 Part III as reprinted in Annex D, examples D1(a) and D1(b): seen; see each line.
/// # Example
/// ```
/// use power::load::{Dwelling, HeaterCounting, HeatingPolicy, Load, LoadKind, LoadPolicy, LoadStatus, standard::standard_load};
/// use power::supply::supply;
/// use quantity::{ApparentPower, Area};
/// use tables::nec::NecEdition;
/// let load = |name: &str, kind, va| Load {
///     name: name.into(), kind, nameplate: ApparentPower::from_volt_amperes(va), count: 1,
///     line_to_neutral: false, status: LoadStatus::Existing, interlock: None,
/// };
/// let dwelling = Dwelling {
///     floor_area: Area::from_square_feet(1500.0),
///     small_appliance_circuits: 2,
///     laundry_circuits: 1,
///     loads: vec![load("range", LoadKind::Cooking, 12_000.0), load("dryer", LoadKind::Dryer, 5500.0)],
/// };
/// let policy = LoadPolicy { heater: HeaterCounting::WithAppliances, existing_heating: HeatingPolicy::LargerAtFull };
/// let found = standard_load(&dwelling, policy, supply("120/240 V")?, NecEdition::Nec2017)?;
/// // Annex D1(a): 18,600 VA, 78 A, service of 100 A.
/// assert!((found.total.as_volt_amperes() - 18_600.0).abs() < 1e-6);
/// assert!((found.smallest_service()?.value.as_amperes() - 100.0).abs() < 1e-9);
/// # Ok::<(), power::PowerError>(())
/// ```
pub fn standard_load(
    dwelling: &Dwelling,
    policy: LoadPolicy,
    supply: &Supply,
    edition: NecEdition,
) -> Result<LoadResult, PowerError> {
    check_dwelling(dwelling)?;
    let ledger = largest_choice(&dwelling.loads, edition, group_of, |running| {
        ledger(dwelling, running, policy, edition)
    })?;
    let source = cite(Topic::StandardLoad, edition, SourceStatus::Seen);
    LoadResult::new(LoadMethod::Standard, edition, ledger.lines, supply, source)
}

fn group_of(load: &Load) -> LoadGroup {
    match load.kind {
        LoadKind::Cooking => LoadGroup::Cooking,
        LoadKind::Dryer => LoadGroup::Dryers,
        LoadKind::OnDemandHeater | LoadKind::StorageHeater | LoadKind::Fixed | LoadKind::Motor => {
            LoadGroup::FixedAppliances
        }
        LoadKind::VehicleCharger => LoadGroup::VehicleCharging,
        LoadKind::CentralHeat
        | LoadKind::RoomHeat
        | LoadKind::Cooling
        | LoadKind::HeatPump
        | LoadKind::SupplementaryHeat => LoadGroup::HeatingCooling,
    }
}

fn ledger(
    dwelling: &Dwelling,
    running: &[&Load],
    policy: LoadPolicy,
    edition: NecEdition,
) -> Result<Ledger, PowerError> {
    let mut ledger = Ledger::default();
    let figures = figures(edition);
    lighting_demand(&mut ledger, dwelling, edition);
    for part in cooking_parts(&units(running, LoadKind::Cooking), edition)? {
        let factor = part.factor();
        ledger.direct(
            LoadGroup::Cooking,
            part.label,
            part.connected,
            factor,
            None,
            part.source,
        );
    }
    if let Some((connected, share)) = dryer_demand(running, edition)? {
        let group = LoadGroup::Dryers;
        ledger.direct(group, "dryers", connected, share.value, None, share.source);
    }
    fixed_appliances(&mut ledger, running, policy, edition);
    counted_alone(&mut ledger, running, policy.heater, edition);
    for load in running
        .iter()
        .filter(|load| load.kind == LoadKind::VehicleCharger)
    {
        ledger.direct(
            LoadGroup::VehicleCharging,
            load.name.clone(),
            vehicle_charging(load, edition),
            whole(),
            None,
            figures.vehicle_charger_least.source,
        );
    }
    let space = SpaceShares::all(Sourced {
        value: whole(),
        source: cite(Topic::SpaceHeating, edition, SourceStatus::Memory),
    });
    let noncoincident = cite(Topic::NoncoincidentLoads, edition, SourceStatus::Memory);
    let conditioning = larger_side(&mut ledger, running, &space, noncoincident);
    largest_motor(&mut ledger, running, &conditioning, edition);
    Ok(ledger)
}

/// Writes lighting, small-appliance and laundry circuits and their tiers; gives what counts of them.
pub(super) fn lighting_demand(ledger: &mut Ledger, dwelling: &Dwelling, edition: NecEdition) {
    let group = LoadGroup::Lighting;
    lighting::items(ledger, dwelling, group, edition);
    let source = cite(Topic::LightingDemand, edition, SourceStatus::Seen);
    let total = ledger.subtotal(group, "lighting, small-appliance and laundry circuits", source);
    let mut below = ApparentPower::zero();
    for tier in lighting_tiers(edition) {
        let end = tier.up_to.map_or(total, |end| end.min(total));
        let part = (end - below).max(ApparentPower::zero());
        below = end;
        if part > ApparentPower::zero() {
            ledger.part(group, "part of them", part, tier.share.value, tier.share.source);
        }
    }
}

/// Nameplate of each unit of a kind.
pub(super) fn units(running: &[&Load], kind: LoadKind) -> Vec<ApparentPower> {
    running
        .iter()
        .filter(|load| load.kind == kind)
        .flat_map(|load| std::iter::repeat_n(load.nameplate, usize::from(load.count)))
        .collect()
}

/// Connected load of the dryers by the rule, and the share that counts; none without dryers.
pub(super) fn dryer_demand(
    running: &[&Load],
    edition: NecEdition,
) -> Result<Option<(ApparentPower, Sourced<Ratio>)>, PowerError> {
    let dryers = units(running, LoadKind::Dryer);
    if dryers.is_empty() {
        return Ok(None);
    }
    let least = figures(edition).dryer_least.value;
    let connected = dryers.iter().map(|dryer| dryer.max(least)).sum();
    Ok(Some((connected, dryer_share(dryers.len(), edition)?)))
}

fn fixed_appliances(ledger: &mut Ledger, running: &[&Load], policy: LoadPolicy, edition: NecEdition) {
    let figures = figures(edition);
    let group = LoadGroup::FixedAppliances;
    let source = figures.fixed_appliance_share.source;
    let fixed: Vec<&Load> = running
        .iter()
        .copied()
        .filter(|load| group_of(load) == group && in_pool(load, policy.heater))
        .collect();
    let (large, small): (Vec<&Load>, Vec<&Load>) = fixed
        .into_iter()
        .partition(|load| load.nameplate >= figures.fixed_appliance_least.value);
    for load in &small {
        let note = Some("too small for the demand factor");
        ledger.direct(group, load.name.clone(), load.connected(), whole(), note, source);
    }
    if large.is_empty() {
        return;
    }
    for load in &large {
        ledger.load_item(group, load, source);
    }
    let total = ledger.subtotal(group, "appliances fastened in place", source);
    let number: usize = large.iter().map(|load| usize::from(load.count)).sum();
    let share = if number >= figures.fixed_appliance_count.value {
        figures.fixed_appliance_share.value
    } else {
        whole()
    };
    ledger.part(group, format!("{number} appliances"), total, share, source);
}

fn largest_motor(ledger: &mut Ledger, running: &[&Load], conditioning: &[&Load], edition: NecEdition) {
    let share = figures(edition).largest_motor_share;
    let compressors = conditioning
        .iter()
        .filter(|load| matches!(load.kind, LoadKind::Cooling | LoadKind::HeatPump));
    let motors = running.iter().filter(|load| load.kind == LoadKind::Motor);
    let largest = compressors
        .chain(motors)
        .map(|load| load.nameplate)
        .fold(ApparentPower::zero(), ApparentPower::max);
    if largest > ApparentPower::zero() {
        ledger.direct(
            LoadGroup::LargestMotor,
            "addition for the largest motor",
            largest,
            share.value,
            None,
            share.source,
        );
    }
}
