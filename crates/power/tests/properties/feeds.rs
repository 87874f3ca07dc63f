//! Feeds: energy balance, and what a longer run or a higher voltage does.

use crate::feed;
use power::voltage_drop::solve;
use proptest::prelude::*;
use quantity::{Power, Voltage};

proptest! {
    #[test]
    fn delivered_and_lost_is_what_the_source_gives(feed in feed()) {
        if let Ok(found) = solve(&feed) {
            let panel = feed.panel_load.map_or(Power::zero(), |load| load.power);
            let used = (found.delivered() + found.lost() + panel).as_watts();
            prop_assert!((used / found.source_power.as_watts() - 1.0).abs() < 1e-9);
            let steps: Voltage = found.upstream_drops.iter().map(|drop| drop.voltage).sum();
            let back = found.panel_voltage + steps;
            prop_assert!((back / feed.source_voltage - 1.0).abs() < 1e-9);
        }
    }

    #[test]
    fn a_longer_run_never_delivers_more(feed in feed(), longer in 1.0..4.0_f64) {
        let mut far = feed.clone();
        let path = &mut far.branches[0].path.loop_impedance;
        path.resistance = path.resistance * longer;
        path.reactance = path.reactance * longer;
        // With constant-power load at the panel a weaker branch leaves the others more, so only its own power counts.
        if let (Ok(near), Ok(far)) = (solve(&feed), solve(&far)) {
            let (near, far) = (near.branches[0].delivered, far.branches[0].delivered);
            prop_assert!(far.as_watts() <= near.as_watts() * (1.0 + 1e-12));
        }
    }

    #[test]
    fn a_higher_source_voltage_never_lowers_anything(feed in feed(), higher in 1.0..1.2_f64) {
        let mut raised = feed.clone();
        raised.source_voltage = feed.source_voltage * higher;
        if let (Ok(low), Ok(high)) = (solve(&feed), solve(&raised)) {
            prop_assert!(high.panel_voltage.as_volts() >= low.panel_voltage.as_volts() - 1e-9);
            for (low, high) in low.branches.iter().zip(&high.branches) {
                prop_assert!(high.element_voltage.as_volts() >= low.element_voltage.as_volts() - 1e-9);
                prop_assert!(high.delivered.as_watts() >= low.delivered.as_watts() - 1e-6);
            }
        }
    }
}
