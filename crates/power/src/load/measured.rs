//! Service load from measured demand, 220.87.
//!
//! In: the measured maximum, the added loads, supply, edition. Out: 125 % of the maximum plus the added loads.
//!
//! Does not read meter data and does not judge whether they qualify (a year of data, or thirty days on the most loaded
//! leg; not behind a generator of one's own).

use super::heater::counted_alone;
use super::interlock::largest_choice;
use super::ledger::{Ledger, whole};
use super::{HeaterCounting, Load, LoadGroup, LoadKind, LoadMethod, LoadResult, LoadStatus, check_loads};
use crate::PowerError;
use crate::error::in_range;
use crate::supply::{LOAD_MAX_VA, Supply, line_current};
use quantity::{ApparentPower, Current, Power, Ratio};
use tables::figures::figures;
use tables::nec::{NecEdition, Topic, cite};
use trace::SourceStatus;

/// A measured maximum demand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeasuredDemand {
    /// Largest average power of an interval.
    pub maximum: Power,
    /// Power factor taken to get volt-amperes. Meters give kilowatts and the text does not say which is meant: at unity
    /// amperes are understated when the house has motors.
    pub power_factor: Ratio,
}

/// The load with the demand of removed appliances taken out of the measured maximum.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RemovedCredit {
    /// Calculated load.
    pub total: ApparentPower,
    /// Line current.
    pub current: Current,
}

/// Load from measured demand.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasuredLoad {
    /// The load as the text says.
    pub result: LoadResult,
    /// The most favorable other reading, when loads are removed: their whole nameplate was part of the maximum. The text
    /// does not say so; the authority decides.
    pub if_removed_credited: Option<RemovedCredit>,
}

/// Service load from measured demand.
///
/// S = 125 % · P / pf + Σ added loads
///
/// # Symbols
/// | here       | meaning                              | unit |
/// |------------|--------------------------------------|------|
/// | `measured` | maximum demand P and power factor pf | W, – |
/// | `loads`    | loads; those added count in full     | VA   |
/// | `heater`   | how on-demand heaters count; a demand factor does not apply here | – |
/// | `supply`   | gives the nominal voltage            | V    |
/// | result     | load S with its lines, its current   | VA, A |
///
/// # Valid
/// 0 W to 10 MW; power factor 0.5 to 1.
/// # Outside
/// [`PowerError`].
/// # Assumes
/// Existing loads are in the measured maximum. Interlocks hold only among added loads: what a measured load would have
/// left out cannot be seen.
/// # Source
/// 220.87: seen as quoted.
/// # Example
/// ```
/// use power::load::{HeaterCounting, Load, LoadKind, LoadStatus, measured::{MeasuredDemand, measured_load}};
/// use power::supply::supply;
/// use quantity::{ApparentPower, Current, Power, Ratio};
/// use tables::nec::NecEdition;
/// let heater = Load {
///     name: "heater".into(), kind: LoadKind::OnDemandHeater, nameplate: ApparentPower::from_kilovolt_amperes(18.0),
///     count: 1, line_to_neutral: false, status: LoadStatus::Added, interlock: None,
/// };
/// let measured = MeasuredDemand { maximum: Power::from_kilowatts(9.6), power_factor: Ratio::from_fraction(1.0) };
/// let found = measured_load(
///     measured, &[heater], HeaterCounting::WithAppliances, supply("120/240 V")?, NecEdition::Nec2020)?;
/// // Fact sheet, case LC6: 12.0 + 18 = 30.0 kVA, 125.0 A: not above 125 A, above 100 A.
/// assert!((found.result.current.as_amperes() - 125.0).abs() < 1e-9);
/// assert!(found.result.against(Current::from_amperes(125.0)).fits);
/// assert!(!found.result.against(Current::from_amperes(100.0)).fits);
/// # Ok::<(), power::PowerError>(())
/// ```
pub fn measured_load(
    measured: MeasuredDemand,
    loads: &[Load],
    heater: HeaterCounting,
    supply: &Supply,
    edition: NecEdition,
) -> Result<MeasuredLoad, PowerError> {
    check_loads(loads)?;
    let maximum = in_range(
        "measured maximum demand",
        measured.maximum,
        Power::zero(),
        Power::from_watts(LOAD_MAX_VA),
    )?;
    let power_factor = in_range(
        "power factor",
        measured.power_factor,
        Ratio::from_fraction(0.5),
        Ratio::from_fraction(1.0),
    )?;
    let share = figures(edition).measured_share;
    let apparent = maximum.at_unity_power_factor() / power_factor.as_fraction();
    let added: Vec<Load> = loads
        .iter()
        .filter(|load| load.status == LoadStatus::Added)
        .cloned()
        .collect();
    let ledger = largest_choice(&added, edition, group_of, |running| {
        let mut ledger = Ledger::default();
        let group = LoadGroup::MeasuredDemand;
        ledger.direct(
            group,
            "measured maximum demand",
            apparent,
            share.value,
            None,
            share.source,
        );
        for load in running {
            let alone = load.kind == LoadKind::OnDemandHeater && heater != HeaterCounting::WithAppliances;
            if !alone {
                let group = group_of(load);
                ledger.direct(
                    group,
                    load.name.clone(),
                    load.connected(),
                    whole(),
                    None,
                    share.source,
                );
            }
        }
        counted_alone(&mut ledger, running, heater, edition);
        Ok(ledger)
    })?;
    let source = cite(Topic::MeasuredDemand, edition, SourceStatus::Seen);
    let result = LoadResult::new(LoadMethod::Measured, edition, ledger.lines, supply, source)?;
    let removed: ApparentPower = loads
        .iter()
        .filter(|load| load.status == LoadStatus::Removed)
        .map(Load::connected)
        .sum();
    let if_removed_credited = if removed > ApparentPower::zero() {
        let credit = removed.min(apparent) * share.value.as_fraction();
        let total = (result.total - credit).max(ApparentPower::zero());
        Some(RemovedCredit {
            total,
            current: line_current(supply, total)?,
        })
    } else {
        None
    };
    Ok(MeasuredLoad {
        result,
        if_removed_credited,
    })
}

fn group_of(load: &Load) -> LoadGroup {
    match load.kind {
        LoadKind::OnDemandHeater => LoadGroup::OnDemandHeater,
        LoadKind::VehicleCharger => LoadGroup::VehicleCharging,
        kind if kind.is_space() => LoadGroup::HeatingCooling,
        _ => LoadGroup::General,
    }
}
