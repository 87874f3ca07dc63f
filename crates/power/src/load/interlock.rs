//! Loads of which only one runs at a time: the calculation is done for each, and the largest result holds.
//!
//! Comparing nameplates would not do: a smaller load that counts in full may weigh more than a larger one that a demand
//! factor shrinks. In: the loads and a calculation. Out: its lines for the worst choice, and what was left out.

use super::ledger::{INTERLOCKED, Ledger, REMOVED};
use super::{Load, LoadGroup, LoadStatus};
use crate::PowerError;
use std::collections::BTreeMap;
use tables::nec::{NecEdition, Topic, cite};
use trace::SourceStatus;

/// More choices than this are refused: two sets of four loads have sixteen.
const CHOICES_MAX: usize = 256;

/// The lines of the choice with the largest counted load; then the loads left out.
pub(super) fn largest_choice(
    loads: &[Load],
    edition: NecEdition,
    group_of: impl Fn(&Load) -> LoadGroup,
    calculate: impl Fn(&[&Load]) -> Result<Ledger, PowerError>,
) -> Result<Ledger, PowerError> {
    let standing: Vec<&Load> = loads
        .iter()
        .filter(|load| load.status != LoadStatus::Removed)
        .collect();
    let mut sets: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for (index, load) in standing.iter().enumerate() {
        if let Some(set) = &load.interlock {
            sets.entry(set).or_default().push(index);
        }
    }
    let sets: Vec<Vec<usize>> = sets.into_values().collect();
    let choices = sets
        .iter()
        .try_fold(1_usize, |product, set| product.checked_mul(set.len()))
        .unwrap_or(usize::MAX);
    if choices > CHOICES_MAX {
        return Err(PowerError::TooMany {
            what: "choices among interlocked loads",
            found: choices,
            most: CHOICES_MAX,
        });
    }
    let mut best: Option<(Ledger, Vec<usize>)> = None;
    for choice in 0..choices {
        let off = switched_off(&sets, choice);
        let running: Vec<&Load> = standing
            .iter()
            .enumerate()
            .filter(|(index, _)| !off.contains(index))
            .map(|(_, load)| *load)
            .collect();
        let ledger = calculate(&running)?;
        if best
            .as_ref()
            .is_none_or(|(largest, _)| ledger.counted() > largest.counted())
        {
            best = Some((ledger, off));
        }
    }
    // There is always at least one choice, the empty product.
    let (mut ledger, off) = best.ok_or(PowerError::Nothing { what: "load" })?;
    for index in off {
        let load = standing[index];
        let source = cite(Topic::NoncoincidentLoads, edition, SourceStatus::Memory);
        ledger.left_out(group_of(load), load, INTERLOCKED, source);
    }
    for load in loads.iter().filter(|load| load.status == LoadStatus::Removed) {
        let source = cite(Topic::StandardLoad, edition, SourceStatus::Seen);
        ledger.left_out(group_of(load), load, REMOVED, source);
    }
    Ok(ledger)
}

/// The loads that choice number `choice` keeps off: all of each set but one.
fn switched_off(sets: &[Vec<usize>], choice: usize) -> Vec<usize> {
    let mut rest = choice;
    let mut off = Vec::new();
    for set in sets {
        let on = rest % set.len();
        rest /= set.len();
        off.extend(
            set.iter()
                .enumerate()
                .filter(|(at, _)| *at != on)
                .map(|(_, index)| *index),
        );
    }
    off.sort_unstable();
    off
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_choice_keeps_one_of_each_set() {
        let sets = vec![vec![0, 3], vec![1, 2, 4]];
        let mut seen = std::collections::BTreeSet::new();
        for choice in 0..6 {
            let off = switched_off(&sets, choice);
            assert_eq!(off.len(), 3);
            for set in &sets {
                assert_eq!(set.iter().filter(|index| !off.contains(index)).count(), 1);
            }
            seen.insert(off);
        }
        assert_eq!(seen.len(), 6);
    }
}
