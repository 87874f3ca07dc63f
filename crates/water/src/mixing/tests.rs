//! Mixing at one tap and sharing one heater: handbook cases, energy kept, who runs short.

use super::*;
use crate::heating::power_needed;
use proptest::prelude::*;

fn f(degrees: f64) -> Temperature {
    Temperature::from_fahrenheit(degrees)
}

fn inlet(temp_f: f64) -> Water {
    Water::in_house(f(temp_f)).unwrap()
}

fn draw(gpm: f64, temp_f: f64) -> Draw {
    Draw {
        flow: VolumeFlow::from_gallons_per_minute(gpm),
        use_temperature: f(temp_f),
    }
}

fn heater(kw: f64, set_f: f64) -> Heater {
    Heater {
        power: Power::from_kilowatts(kw),
        set_point: f(set_f),
    }
}

#[test]
fn shares_and_hot_flows() {
    for case in &checks::load("water/mixing.toml").cases {
        let cold = inlet(case.given("cold_f"));
        let share = hot_share(f(case.given("mixed_f")), f(case.given("hot_f")), &cold).unwrap();
        if case.expected("hot_share").is_some() {
            case.close("hot_share", share.as_fraction());
        }
        if case.expected("hot_flow_gpm").is_some() {
            case.close("hot_flow_gpm", case.given("mixed_flow_gpm") * share.as_fraction());
        }
    }
}

#[test]
fn the_set_point_does_not_change_the_power() {
    let cold = inlet(50.0);
    let shower = draw(2.5, 105.0);
    let power = |set_f| {
        serve(&heater(36.0, set_f), &cold, &[shower])
            .unwrap()
            .power
            .as_watts()
    };
    assert!((power(110.0) / power(140.0) - 1.0).abs() < 1e-9);
    // Heating only the hot side takes the same.
    let served = serve(&heater(36.0, 120.0), &cold, &[shower]).unwrap();
    let hot_side = power_needed(served.hot_flow, &cold, f(120.0)).unwrap();
    assert!((hot_side.as_watts() / served.power.as_watts() - 1.0).abs() < 1e-9);
}

#[test]
fn who_wants_little_is_served_first() {
    // A 90 °F bidet keeps its temperature while two 105 °F showers run short.
    let draws = [draw(0.5, 90.0), draw(2.0, 105.0), draw(2.0, 108.0)];
    let served = serve(&heater(32.0, 120.0), &inlet(45.0), &draws).unwrap();
    assert!(!served.holds_set_point && served.satisfies(&draws[0]) && !served.satisfies(&draws[1]));
    assert_eq!(served.at(&draws[1]), served.at(&draws[2]));
    assert!(served.hot > f(90.0) && served.hot < f(105.0));
}

#[test]
fn what_is_wanted_decides_not_the_set_point() {
    // 2.5 gpm at 105 °F from 50 °F take 20.2 kW, though 2.5 gpm at the set point would take 25.7 kW.
    let shower = draw(2.5, 105.0);
    let served = serve(&heater(20.5, 120.0), &inlet(50.0), &[shower]).unwrap();
    assert!(served.holds_set_point && served.satisfies(&shower));
    let short = serve(&heater(20.0, 120.0), &inlet(50.0), &[shower]).unwrap();
    assert!(!short.satisfies(&shower) && (short.hot_flow / shower.flow - 1.0).abs() < 1e-9);
}

#[test]
fn cold_draws_and_no_draws_take_nothing() {
    let served = serve(&heater(9.0, 120.0), &inlet(60.0), &[draw(2.0, 50.0)]).unwrap();
    assert_eq!(
        (served.power, served.hot_flow),
        (Power::zero(), VolumeFlow::zero())
    );
    let none = serve(&heater(9.0, 120.0), &inlet(60.0), &[]).unwrap();
    assert_eq!(none.hot, f(120.0));
    let off = serve(&heater(0.0, 120.0), &inlet(60.0), &[draw(2.0, 105.0)]).unwrap();
    assert!((off.hot - f(60.0)).as_celsius().abs() < 1e-9);
}

#[test]
fn a_set_point_below_the_use_temperature_is_the_limit() {
    let shower = draw(1.0, 110.0);
    let served = serve(&heater(36.0, 100.0), &inlet(50.0), &[shower]).unwrap();
    assert!(served.holds_set_point && !served.satisfies(&shower));
    assert_eq!(served.at(&shower), f(100.0));
}

#[test]
fn impossible_mixes_are_refused() {
    assert!(hot_share(f(125.0), f(120.0), &inlet(50.0)).is_err());
    assert!(hot_share(f(45.0), f(120.0), &inlet(50.0)).is_err());
    assert!(hot_share(f(50.0), f(50.0), &inlet(50.0)).is_err());
    assert!(mixed_temperature(Ratio::from_fraction(1.1), f(120.0), &inlet(50.0)).is_err());
    assert!(serve(&heater(9.0, 120.0), &inlet(50.0), &[draw(f64::NAN, 105.0)]).is_err());
}

proptest! {
    #[test]
    fn share_and_temperature_undo_each_other(cold_f in 33.0_f64..80.0, rise in 5.0_f64..100.0, share in 0.0_f64..1.0) {
        let cold = inlet(cold_f);
        let mixed = mixed_temperature(Ratio::from_fraction(share), f(cold_f + rise), &cold).unwrap();
        let back = hot_share(mixed.max(cold.temperature()), f(cold_f + rise), &cold).unwrap();
        prop_assert!((back.as_fraction() - share).abs() < 1e-8);
    }

    #[test]
    fn energy_is_kept_and_more_power_never_cools(
        kw in 1.0_f64..40.0, more in 0.0_f64..10.0, cold_f in 35.0_f64..75.0,
        flows in proptest::collection::vec((0.3_f64..3.0, 85.0_f64..112.0), 1..5),
    ) {
        let cold = inlet(cold_f);
        let draws: Vec<Draw> = flows.iter().map(|(gpm, temp_f)| draw(*gpm, *temp_f)).collect();
        let served = serve(&heater(kw, 125.0), &cold, &draws).unwrap();
        let taken: f64 = draws
            .iter()
            .map(|draw| power_needed(draw.flow, &cold, served.at(draw).max(cold.temperature())).unwrap().as_watts())
            .sum();
        prop_assert!((taken / served.power.as_watts() - 1.0).abs() < 1e-7, "{taken} {:?}", served.power);
        let hot_side = power_needed(served.hot_flow, &cold, served.hot.max(cold.temperature())).unwrap();
        prop_assert!((hot_side.as_watts() / served.power.as_watts() - 1.0).abs() < 1e-7);
        let stronger = serve(&heater(kw + more, 125.0), &cold, &draws).unwrap();
        prop_assert!((stronger.hot - served.hot).as_celsius() > -1e-7);
    }
}
