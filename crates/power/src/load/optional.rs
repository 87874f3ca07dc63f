//! Service load by the optional method for one dwelling, 220.82.
//!
//! In: the dwelling, what the authority decides, supply, edition. Out: the general pool, the first 10 kVA in full and 40 %
//! of the rest, and the larger of heating and cooling.

use super::general::{PoolRule, pool};
use super::heater::counted_alone;
use super::heating::{SpaceShares, larger_side};
use super::interlock::largest_choice;
use super::ledger::Ledger;
use super::{Dwelling, Load, LoadGroup, LoadMethod, LoadPolicy, LoadResult, check_dwelling};
use crate::PowerError;
use crate::supply::Supply;
use tables::figures::figures;
use tables::nec::{NecEdition, Topic, cite};
use trace::SourceStatus;

/// Service load by the optional method.
///
/// S = 10 kVA + 40 % · (pool − 10 kVA) + larger of heating and cooling with their shares
///
/// # Symbols
/// | here       | meaning                             | unit       |
/// |------------|-------------------------------------|------------|
/// | `dwelling` | floor area, circuits, loads         | ft², –, VA |
/// | `policy`   | how on-demand heaters count         | –          |
/// | `supply`   | gives the nominal voltage           | V          |
/// | `edition`  | gives figures and articles          | –          |
/// | result     | load S with its lines, its current  | VA, A      |
///
/// # Valid
/// One dwelling, 120/240 V or 208Y/120 V three-wire, service or feeder of 100 A or more; up to 100,000 ft², 10 MVA.
/// # Outside
/// [`PowerError`]. Whether the method may be used is not checked here.
/// # Assumes
/// Shares: cooling and heat pump compressors 100 %, supplementary heat 65 %, electric heating 65 % with fewer than four
/// separate controls and 40 % from four. All heating runs together. Heat that runs steadily (thermal storage) is not a
/// kind here: enter it as supplementary heat of a higher nameplate.
/// # Source
/// 220.82 as reprinted in Annex D, examples D2(a) to D2(c): seen; see each line.
/// # Example
/// ```
/// use power::load::{Dwelling, HeaterCounting, HeatingPolicy, Load, LoadKind, LoadPolicy, LoadStatus, optional::optional_load};
/// use power::supply::supply;
/// use quantity::{ApparentPower, Area};
/// use tables::nec::NecEdition;
/// let load = |kind, va| Load {
///     name: format!("{kind:?}"), kind, nameplate: ApparentPower::from_volt_amperes(va), count: 1,
///     line_to_neutral: false, status: LoadStatus::Existing, interlock: None,
/// };
/// let dwelling = Dwelling {
///     floor_area: Area::from_square_feet(2000.0), small_appliance_circuits: 2, laundry_circuits: 1,
///     loads: vec![
///         load(LoadKind::Cooking, 12_000.0), load(LoadKind::StorageHeater, 4500.0), load(LoadKind::Fixed, 1200.0),
///         load(LoadKind::Dryer, 5000.0), load(LoadKind::HeatPump, 5760.0), load(LoadKind::SupplementaryHeat, 15_000.0),
///     ],
/// };
/// let policy = LoadPolicy { heater: HeaterCounting::WithAppliances, existing_heating: HeatingPolicy::LargerAtFull };
/// let found = optional_load(&dwelling, policy, supply("120/240 V")?, NecEdition::Nec2017)?;
/// // Annex D2(c): 34,790 VA, service of 150 A.
/// assert!((found.total.as_volt_amperes() - 34_790.0).abs() < 1e-6);
/// assert!((found.smallest_service()?.value.as_amperes() - 150.0).abs() < 1e-9);
/// # Ok::<(), power::PowerError>(())
/// ```
pub fn optional_load(
    dwelling: &Dwelling,
    policy: LoadPolicy,
    supply: &Supply,
    edition: NecEdition,
) -> Result<LoadResult, PowerError> {
    check_dwelling(dwelling)?;
    let figures = figures(edition);
    let shares = SpaceShares {
        cooling: figures.optional_cooling_share,
        heat_pump: figures.optional_heat_pump_share,
        supplementary: figures.optional_supplementary_share,
        few_controls: figures.optional_few_heaters_share,
        many_controls: figures.optional_many_heaters_share,
        many_from: figures.optional_many_heaters_count.value,
    };
    let source = cite(Topic::OptionalDwelling, edition, SourceStatus::Seen);
    let ledger = largest_choice(&dwelling.loads, edition, group_of, |running| {
        let mut ledger = Ledger::default();
        pool(
            &mut ledger,
            dwelling,
            running,
            |_| false,
            PoolRule {
                first: figures.optional_first,
                rest_share: figures.optional_rest_share,
                counting: policy.heater,
                edition,
            },
        );
        counted_alone(&mut ledger, running, policy.heater, edition);
        larger_side(&mut ledger, running, &shares, source);
        Ok(ledger)
    })?;
    LoadResult::new(LoadMethod::Optional, edition, ledger.lines, supply, source)
}

/// Where a load stands in the optional methods.
pub(super) fn group_of(load: &Load) -> LoadGroup {
    if load.kind.is_space() {
        LoadGroup::HeatingCooling
    } else {
        LoadGroup::General
    }
}
