//! Load calculations: lines add up, order does not matter, less load is never more.

use crate::{dwelling, edition, policy};
use power::PowerError;
use power::load::existing::existing_load;
use power::load::optional::optional_load;
use power::load::standard::standard_load;
use power::load::{Dwelling, LineRole, LoadKind, LoadPolicy, LoadResult, LoadStatus};
use power::supply::supply;
use proptest::prelude::*;
use quantity::ApparentPower;
use tables::nec::NecEdition;

pub(crate) type Method = fn(&Dwelling, LoadPolicy, NecEdition) -> Result<LoadResult, PowerError>;

/// Standard, optional, existing.
pub(crate) fn methods() -> [Method; 3] {
    [
        |d, p, e| standard_load(d, p, supply("120/240 V")?, e),
        |d, p, e| optional_load(d, p, supply("120/240 V")?, e),
        |d, p, e| existing_load(d, p, supply("120/240 V")?, e),
    ]
}

proptest! {
    #[test]
    fn load_lines_add_up_and_order_does_not_matter(
        dwelling in dwelling(),
        policy in policy(),
        edition in edition(),
    ) {
        let mut reversed = dwelling.clone();
        reversed.loads.reverse();
        for method in methods() {
            let Ok(found) = method(&dwelling, policy, edition) else { continue };
            let sum: ApparentPower = found
                .lines
                .iter()
                .filter(|line| matches!(line.role, LineRole::Part | LineRole::Direct))
                .map(|line| line.amount * line.factor.as_fraction())
                .sum();
            prop_assert!((sum - found.total).abs().as_volt_amperes() < 1e-6);
            prop_assert!(found.current.is_finite());
            let other = method(&reversed, policy, edition).unwrap();
            prop_assert!((other.total - found.total).abs().as_volt_amperes() < 1e-6);
        }
    }

    #[test]
    fn a_removed_or_interlocked_load_never_raises_the_sum(
        mut dwelling in dwelling(),
        policy in policy(),
        edition in edition(),
    ) {
        // Shares that change with a number (four controls of heating, four appliances of the standard method) can make
        // the rest weigh more; such loads and that method are left out here.
        dwelling.loads.retain(|load| !matches!(load.kind, LoadKind::RoomHeat | LoadKind::CentralHeat));
        let mut less = dwelling.clone();
        if let Some(load) = less.loads.first_mut() {
            load.status = LoadStatus::Removed;
        }
        let mut tied = dwelling.clone();
        for load in tied.loads.iter_mut().filter(|load| load.interlock.is_none()).take(2) {
            load.interlock = Some("only one".into());
        }
        for method in &methods()[1..] {
            let all = method(&dwelling, policy, edition).unwrap();
            for other in [&less, &tied] {
                let other = method(other, policy, edition).unwrap();
                // Without the added cooling 220.83 goes from part (B) to part (A).
                prop_assert!(
                    other.method != all.method || other.total.as_volt_amperes() <= all.total.as_volt_amperes() + 1e-6
                );
            }
        }
    }
}
