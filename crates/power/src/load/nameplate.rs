//! Raw sum of nameplates that can run together, without any demand factor.
//!
//! A house may pass a load calculation and still trip its main when heater, range and charger coincide. In: the loads and
//! the names of those that may. Out: their sum and current, to be held against the rating.

use super::{Load, LoadMargin, check_loads};
use crate::PowerError;
use crate::supply::{Supply, line_current};
use quantity::{ApparentPower, Current};

/// Loads that can run together.
#[derive(Debug, Clone, PartialEq)]
pub struct CoincidentNameplate {
    /// Each with its connected load, in the order asked for.
    pub loads: Vec<(String, ApparentPower)>,
    /// Their sum.
    pub total: ApparentPower,
    /// Line current at the nominal voltage.
    pub current: Current,
}

impl CoincidentNameplate {
    /// Held against the rating of a service or feeder.
    pub fn against(&self, rating: Current) -> LoadMargin {
        LoadMargin::of(self.current, rating)
    }
}

/// Raw sum of the named loads.
///
/// S = Σ nameplates
///
/// # Symbols
/// | here     | meaning                        | unit  |
/// |----------|--------------------------------|-------|
/// | `loads`  | all loads                      | VA    |
/// | `names`  | those that can run together    | –     |
/// | `supply` | gives the nominal voltage      | V     |
/// | result   | sum S and its current          | VA, A |
///
/// # Valid
/// Up to 10 MVA.
/// # Outside
/// [`PowerError::UnknownLoad`] for a name that is not in the list; [`PowerError::OutOfRange`].
/// # Assumes
/// Everything on at once at its nameplate; a name given twice counts once.
/// # Source
/// Arithmetic; the practice is from a retired designer's advice (field practice, lesson 3).
/// # Example
/// ```
/// use power::load::{Load, LoadKind, LoadStatus, nameplate::coincident_nameplate};
/// use power::supply::supply;
/// use quantity::ApparentPower;
/// let load = |name: &str, kind, kva| Load {
///     name: name.into(), kind, nameplate: ApparentPower::from_kilovolt_amperes(kva), count: 1,
///     line_to_neutral: false, status: LoadStatus::Existing, interlock: None,
/// };
/// let loads = [load("heater", LoadKind::OnDemandHeater, 27.0), load("range", LoadKind::Cooking, 12.0)];
/// let found = coincident_nameplate(&loads, &["heater", "range"], supply("120/240 V")?)?;
/// // 39 kVA / 240 V = 162.5 A (arithmetic).
/// assert!((found.current.as_amperes() - 162.5).abs() < 1e-9);
/// # Ok::<(), power::PowerError>(())
/// ```
pub fn coincident_nameplate(
    loads: &[Load],
    names: &[&str],
    supply: &Supply,
) -> Result<CoincidentNameplate, PowerError> {
    check_loads(loads)?;
    let mut chosen: Vec<(String, ApparentPower)> = Vec::new();
    for name in names {
        let load = loads
            .iter()
            .find(|load| load.name == *name)
            .ok_or_else(|| PowerError::UnknownLoad {
                name: (*name).to_owned(),
            })?;
        if !chosen.iter().any(|(taken, _)| taken == name) {
            chosen.push((load.name.clone(), load.connected()));
        }
    }
    let total = chosen.iter().map(|(_, connected)| *connected).sum();
    Ok(CoincidentNameplate {
        loads: chosen,
        total,
        current: line_current(supply, total)?,
    })
}
