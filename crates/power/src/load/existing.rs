//! Service load of an existing dwelling that gets additional load, 220.83.
//!
//! In: the dwelling with what is added, what the authority decides, supply, edition. Out: the pool, the first 8 kVA in full
//! and 40 % of the rest, with heating and cooling as part (A) or (B) asks. Which part holds follows from the loads: (B)
//! when heating or cooling is added.

use super::general::{PoolRule, pool};
use super::heater::counted_alone;
use super::heating::{SpaceShares, controls, larger_side};
use super::interlock::largest_choice;
use super::ledger::{Ledger, NOT_COUNTED, authority, whole};
use super::optional::group_of;
use super::{
    Dwelling, HeatingPolicy, Load, LoadGroup, LoadKind, LoadMethod, LoadPolicy, LoadResult, LoadStatus,
    check_dwelling,
};
use crate::PowerError;
use crate::supply::Supply;
use tables::figures::figures;
use tables::nec::{NecEdition, Topic, cite};
use tables::sourced::Sourced;
use trace::SourceStatus;

/// Service load of an existing dwelling.
///
/// (A) S = 8 kVA + 40 % · (pool − 8 kVA), existing heating and cooling by policy. (B) S = larger of heating and cooling
/// in full + 8 kVA + 40 % · (pool − 8 kVA).
///
/// # Symbols
/// | here       | meaning                                             | unit       |
/// |------------|-----------------------------------------------------|------------|
/// | `dwelling` | floor area, circuits, loads with status             | ft², –, VA |
/// | `policy`   | how on-demand heaters and existing heating count    | –          |
/// | `supply`   | gives the nominal voltage                           | V          |
/// | `edition`  | gives figures and articles                          | –          |
/// | result     | load S with its lines, its current                  | VA, A      |
///
/// # Valid
/// 120/240 V or 208Y/120 V three-wire; up to 100,000 ft², 10 MVA.
/// # Outside
/// [`PowerError`]. Whether the method may be used is not checked here.
/// # Assumes
/// (A) says nothing on heating and cooling that is already there, so `policy.existing_heating` decides. In (B) electric
/// heating with four or more separate controls stands in the pool (from memory).
/// # Source
/// 220.83: seen in part, the shares of (B) from memory. Annex D has no example; compared with computed cases.
/// # Example
/// ```
/// use power::load::{Dwelling, HeaterCounting, HeatingPolicy, Load, LoadKind, LoadMethod, LoadPolicy, LoadStatus, existing::existing_load};
/// use power::supply::supply;
/// use quantity::{ApparentPower, Area};
/// use tables::nec::NecEdition;
/// let load = |kind, va, status| Load {
///     name: format!("{kind:?}"), kind, nameplate: ApparentPower::from_volt_amperes(va), count: 1,
///     line_to_neutral: false, status, interlock: None,
/// };
/// let dwelling = Dwelling {
///     floor_area: Area::from_square_feet(1500.0), small_appliance_circuits: 2, laundry_circuits: 1,
///     loads: vec![
///         load(LoadKind::Cooking, 12_000.0, LoadStatus::Existing), load(LoadKind::Dryer, 5500.0, LoadStatus::Existing),
///         load(LoadKind::Fixed, 1200.0, LoadStatus::Existing), load(LoadKind::OnDemandHeater, 18_000.0, LoadStatus::Added),
///     ],
/// };
/// let policy = LoadPolicy { heater: HeaterCounting::WithAppliances, existing_heating: HeatingPolicy::LargerAtFull };
/// let found = existing_load(&dwelling, policy, supply("120/240 V")?, NecEdition::Nec2020)?;
/// // Fact sheet, case LC3: 23,080 VA, 96.2 A, by part (A).
/// assert!((found.total.as_volt_amperes() - 23_080.0).abs() < 1e-6);
/// assert_eq!(found.method, LoadMethod::ExistingA);
/// # Ok::<(), power::PowerError>(())
/// ```
pub fn existing_load(
    dwelling: &Dwelling,
    policy: LoadPolicy,
    supply: &Supply,
    edition: NecEdition,
) -> Result<LoadResult, PowerError> {
    check_dwelling(dwelling)?;
    let added = dwelling
        .loads
        .iter()
        .any(|load| load.kind.is_space() && load.status == LoadStatus::Added);
    let method = if added {
        LoadMethod::ExistingB
    } else {
        LoadMethod::ExistingA
    };
    let ledger = largest_choice(&dwelling.loads, edition, group_of, |running| {
        Ok(ledger(dwelling, running, method, policy, edition))
    })?;
    let source = cite(Topic::ExistingDwelling, edition, SourceStatus::Seen);
    LoadResult::new(method, edition, ledger.lines, supply, source)
}

fn ledger(
    dwelling: &Dwelling,
    running: &[&Load],
    method: LoadMethod,
    policy: LoadPolicy,
    edition: NecEdition,
) -> Ledger {
    let figures = figures(edition);
    let part_b = method == LoadMethod::ExistingB;
    let many = part_b && controls(running) >= figures.existing_many_heaters_count.value;
    let among_appliances = |load: &Load| {
        if part_b {
            many && matches!(load.kind, LoadKind::CentralHeat | LoadKind::RoomHeat)
        } else {
            policy.existing_heating == HeatingPolicy::WithAppliances && load.kind.is_space()
        }
    };
    let mut ledger = Ledger::default();
    pool(
        &mut ledger,
        dwelling,
        running,
        among_appliances,
        PoolRule {
            first: figures.existing_first,
            rest_share: figures.existing_rest_share,
            counting: policy.heater,
            edition,
        },
    );
    counted_alone(&mut ledger, running, policy.heater, edition);
    let space: Vec<&Load> = running
        .iter()
        .copied()
        .filter(|load| load.kind.is_space() && !among_appliances(load))
        .collect();
    let noncoincident = cite(Topic::NoncoincidentLoads, edition, SourceStatus::Memory);
    if part_b {
        let shares = SpaceShares::all(figures.existing_heating_cooling_share);
        larger_side(&mut ledger, &space, &shares, noncoincident);
    } else if policy.existing_heating == HeatingPolicy::LargerAtFull {
        let shares = SpaceShares::all(Sourced {
            value: whole(),
            source: authority(),
        });
        larger_side(&mut ledger, &space, &shares, noncoincident);
    } else {
        for load in space {
            ledger.left_out(LoadGroup::HeatingCooling, load, NOT_COUNTED, authority());
        }
    }
    ledger
}
