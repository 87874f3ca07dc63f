//! The candidates that no other beats.
//!
//! In: evaluated candidates. Out: some of them. Weighs nothing: three figures, each better or worse.

use crate::Evaluated;
use std::cmp::Ordering;

/// Those that no other of the list dominates, in the order of the list.
///
/// One dominates another when it is at least as good in what is left of the service (more is better), in shower flow
/// (more is better) and in breaker spaces needed (fewer is better), and better in one of them. Margins are compared to
/// 0.001 A and flows to 0.001 L/min, so that rounding decides nothing; an unknown figure counts as the worst. Rejected
/// candidates take part like others; leave them out of the list to compare the rest alone.
pub fn pareto(evaluated: &[Evaluated]) -> Vec<&Evaluated> {
    let beaten = |one: &Evaluated| evaluated.iter().any(|other| dominates(other, one));
    evaluated.iter().filter(|one| !beaten(one)).collect()
}

fn dominates(one: &Evaluated, other: &Evaluated) -> bool {
    let figures = compared(one, other);
    figures.iter().all(|order| order.is_ge()) && figures.iter().any(|order| order.is_gt())
}

/// How `one` compares in each figure; greater is better.
fn compared(one: &Evaluated, other: &Evaluated) -> [Ordering; 3] {
    let margin = |it: &Evaluated| step(it.service_margin.map(quantity::Current::as_amperes));
    let flow = |it: &Evaluated| step(it.shower_flow.map(quantity::VolumeFlow::as_liters_per_minute));
    [
        margin(one).total_cmp(&margin(other)),
        flow(one).total_cmp(&flow(other)),
        other.spaces_needed.cmp(&one.spaces_needed),
    ]
}

/// A figure in steps of a thousandth; below all others where it is not known.
fn step(figure: Option<f64>) -> f64 {
    // Adding zero makes one zero of two: the total order tells -0 from 0.
    figure.map_or(f64::NEG_INFINITY, |figure| (figure * 1000.0).round() + 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use quantity::{Current, Power, VolumeFlow};
    use trace::Severity;

    fn candidate(margin: Option<f64>, flow: Option<f64>, spaces: u16) -> Evaluated {
        Evaluated {
            label: format!("{margin:?} {flow:?} {spaces}"),
            installed_power: Power::from_kilowatts(9.0),
            tank: None,
            as_written: false,
            spaces_needed: spaces,
            spaces_free: None,
            service_margin: margin.map(Current::from_amperes),
            margin_method: None,
            shower_flow: flow.map(VolumeFlow::from_liters_per_minute),
            situations: Vec::new(),
            longest_wait: None,
            worst: Severity::Met,
            killed_by: None,
        }
    }

    fn any_candidate() -> impl Strategy<Value = Evaluated> {
        // Few values, so that ties and unknowns are common.
        let figure = || prop::option::of((-3..4_i8).prop_map(f64::from));
        (figure(), figure(), 0..4_u16).prop_map(|(margin, flow, spaces)| candidate(margin, flow, spaces))
    }

    /// Dominance written a second time, in plain comparisons.
    fn beats(one: &Evaluated, other: &Evaluated) -> bool {
        let no_worse = one.service_margin >= other.service_margin
            && one.shower_flow >= other.shower_flow
            && one.spaces_needed <= other.spaces_needed;
        let no_better = other.service_margin >= one.service_margin
            && other.shower_flow >= one.shower_flow
            && other.spaces_needed <= one.spaces_needed;
        no_worse && !no_better
    }

    proptest! {
        #[test]
        fn keeps_no_beaten_one_and_loses_no_unbeaten_one(list in prop::collection::vec(any_candidate(), 0..12)) {
            let kept = pareto(&list);
            for one in &list {
                let beaten = list.iter().any(|other| beats(other, one));
                prop_assert_eq!(kept.iter().any(|it| std::ptr::eq(*it, one)), !beaten);
            }
            prop_assert_eq!(kept.is_empty(), list.is_empty());
        }
    }

    #[test]
    fn rounding_decides_nothing() {
        let list = [
            candidate(Some(18.0), Some(9.0), 4),
            candidate(Some(18.0 + 1e-12), Some(9.0 - 1e-12), 6),
        ];
        assert_eq!(pareto(&list), [&list[0]]);
    }
}
