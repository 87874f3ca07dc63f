//! Load of the service neutral, 220.61, beside the standard and optional methods.
//!
//! In: the dwelling. Out: lighting with its tiers, 70 % of cooking and dryers, appliances between line and neutral. A
//! heater between lines adds nothing.

use super::cooking::cooking_parts;
use super::ledger::{Ledger, whole};
use super::standard::{dryer_demand, lighting_demand, units};
use super::{Dwelling, Load, LoadGroup, LoadKind, LoadLine, LoadStatus, check_dwelling};
use crate::PowerError;
use crate::supply::{Supply, line_current};
use quantity::{ApparentPower, Current};
use tables::figures::figures;
use tables::nec::NecEdition;

/// Load of the neutral.
#[derive(Debug, Clone, PartialEq)]
pub struct NeutralLoad {
    /// Its lines in order.
    pub lines: Vec<LoadLine>,
    /// Volt-amperes.
    pub total: ApparentPower,
    /// Current at the nominal voltage between lines.
    pub current: Current,
}

/// Load of the service neutral.
///
/// Sn = tiers(lighting + small-appliance + laundry) + 70 % · cooking + 70 % · dryers + Σ loads from line to neutral
///
/// # Symbols
/// | here       | meaning                     | unit       |
/// |------------|-----------------------------|------------|
/// | `dwelling` | floor area, circuits, loads | ft², –, VA |
/// | `supply`   | gives the nominal voltage   | V          |
/// | result     | load Sn, its current       | VA, A      |
///
/// # Valid
/// As the standard method; a three-wire single-phase supply.
/// # Outside
/// [`PowerError`].
/// # Assumes
/// Line-to-neutral loads are spread over both lines. Appliances between line and neutral count in full; interlocks are
/// not looked at.
/// # Source
/// 220.61 as used in Annex D, examples D1(a) to D2(b): seen.
/// # Example
/// ```
/// use power::load::{Dwelling, Load, LoadKind, LoadStatus, neutral::neutral_load};
/// use power::supply::supply;
/// use quantity::{ApparentPower, Area};
/// use tables::nec::NecEdition;
/// let load = |name: &str, kind, va| Load {
///     name: name.into(), kind, nameplate: ApparentPower::from_volt_amperes(va), count: 1,
///     line_to_neutral: false, status: LoadStatus::Existing, interlock: None,
/// };
/// let dwelling = Dwelling {
///     floor_area: Area::from_square_feet(1500.0), small_appliance_circuits: 2, laundry_circuits: 1,
///     loads: vec![load("range", LoadKind::Cooking, 12_000.0), load("dryer", LoadKind::Dryer, 5500.0)],
/// };
/// // Annex D1(a): 14,550 VA.
/// let found = neutral_load(&dwelling, supply("120/240 V")?, NecEdition::Nec2017)?;
/// assert!((found.total.as_volt_amperes() - 14_550.0).abs() < 1e-6);
/// # Ok::<(), power::PowerError>(())
/// ```
pub fn neutral_load(
    dwelling: &Dwelling,
    supply: &Supply,
    edition: NecEdition,
) -> Result<NeutralLoad, PowerError> {
    check_dwelling(dwelling)?;
    let standing: Vec<&Load> = dwelling
        .loads
        .iter()
        .filter(|load| load.status != LoadStatus::Removed)
        .collect();
    let share = figures(edition).neutral_cooking_dryer_share;
    let mut ledger = Ledger::default();
    lighting_demand(&mut ledger, dwelling, edition);
    for part in cooking_parts(&units(&standing, LoadKind::Cooking), edition)? {
        ledger.direct(
            LoadGroup::Cooking,
            part.label,
            part.demand,
            share.value,
            None,
            share.source,
        );
    }
    if let Some((connected, dryers)) = dryer_demand(&standing, edition)? {
        let demand = connected * dryers.value.as_fraction();
        ledger.direct(
            LoadGroup::Dryers,
            "dryers",
            demand,
            share.value,
            None,
            share.source,
        );
    }
    let between =
        |load: &&&Load| load.line_to_neutral && !matches!(load.kind, LoadKind::Cooking | LoadKind::Dryer);
    for load in standing.iter().filter(between) {
        let group = LoadGroup::FixedAppliances;
        ledger.direct(
            group,
            load.name.clone(),
            load.connected(),
            whole(),
            None,
            share.source,
        );
    }
    let total = ledger.counted();
    Ok(NeutralLoad {
        lines: ledger.lines,
        total,
        current: line_current(supply, total)?,
    })
}
