//! Heaters in time: delay, ramp, hysteresis and limits of an on-demand unit; layers, elements and standby of a tank.

#![allow(clippy::unwrap_used, reason = "helpers of tests fail as tests do")]

#[path = "support/far_bath.rs"]
mod far_bath;

use far_bath::{f, gpm, tank, unit};
use quantity::{Power, Ratio, Temperature, TemperatureDifference, Time, Volume};
use water::Water;
use water::motion::{
    Balance, Control, Draw, DrawResult, House, OnDemandUnit, Plan, Settings, StorageTank, TapId,
};

/// A heater with two taps right at its outlet.
fn at_outlet(
    cold_f: f64,
    set_f: f64,
    put: impl FnOnce(&mut Plan, [water::motion::NodeId; 2]),
) -> (House, [TapId; 2]) {
    let mut plan = Plan::new(Water::in_house(f(cold_f)).unwrap(), f(set_f)).unwrap();
    let ends = [plan.place("inlet"), plan.place("outlet")];
    plan.supply(ends[0]);
    put(&mut plan, ends);
    let taps = [
        plan.tap("first", Some(ends[1]), None),
        plan.tap("second", Some(ends[1]), None),
    ];
    (House::new(&plan, Settings::default()).unwrap(), taps)
}

fn of_unit(cold_f: f64, unit: OnDemandUnit) -> (House, [TapId; 2]) {
    at_outlet(cold_f, unit.set_point.as_fahrenheit(), |plan, [inlet, outlet]| {
        plan.unit(inlet, outlet, unit);
    })
}

fn of_tank(cold_f: f64, tank: StorageTank) -> (House, [TapId; 2]) {
    at_outlet(cold_f, tank.set_point.as_fahrenheit(), |plan, [inlet, outlet]| {
        plan.tank(inlet, outlet, tank);
    })
}

fn draw(tap: TapId, opens_s: f64, runs_s: f64, flow_gpm: f64) -> Draw {
    Draw {
        tap,
        opens: Time::from_seconds(opens_s),
        runs: Time::from_seconds(runs_s),
        flow: gpm(flow_gpm),
        use_temperature: Some(f(105.0)),
        traced: true,
    }
}

fn run(house: &mut House, draws: &[Draw], hours: f64) -> (Vec<DrawResult>, Balance) {
    let mut results = Vec::new();
    let balance = house.run(draws, Time::from_hours(hours), &mut results).unwrap();
    assert!(balance.residual().abs() < 1e-9, "{}", balance.residual());
    (results, balance)
}

fn at(result: &DrawResult, seconds: f64) -> f64 {
    let point = result
        .trace
        .iter()
        .find(|point| point.time.as_seconds() >= seconds)
        .unwrap();
    point.temperature.as_fahrenheit()
}

#[test]
fn a_unit_waits_for_its_delay_and_ramps() {
    let (mut house, taps) = of_unit(50.0, unit(18.0, 118.0));
    let (results, balance) = run(&mut house, &[draw(taps[0], 0.0, 120.0, 1.5)], 0.1);
    // Two seconds of delay: the unit's own water, at 70 °F, thins out by e^(-Q t/V) and nothing heats.
    let left = (-gpm(1.5).as_liters_per_second() * 1.9 / 0.8_f64).exp();
    assert!((at(&results[0], 1.9) - (50.0 + 20.0 * left)).abs() < 0.6);
    // Then it holds its set point: 1.5 gpm over 68 °F is 14.9 kW of its 18.
    assert!((at(&results[0], 100.0) - 118.0).abs() < 0.1);
    let steady =
        water::heating::power_needed(gpm(1.5), &Water::in_house(f(50.0)).unwrap(), f(118.0)).unwrap();
    let all = steady.as_watts() * 120.0;
    // The water it takes in during delay and ramp has caught up with the set point, and its own 0.8 L have come from
    // 70 °F; what left it cooler in the meantime was not heated: read from the trace.
    let per_liter_k = steady.as_watts() / gpm(1.5).as_liters_per_second() / (68.0 / 1.8);
    let mut before_s = 0.0;
    let mut cooler = 0.0;
    for point in &results[0].trace {
        cooler += (point.time.as_seconds() - before_s) * (118.0 - point.temperature.as_fahrenheit()) / 1.8;
        before_s = point.time.as_seconds();
    }
    let expected = all - per_liter_k * (gpm(1.5).as_liters_per_second() * cooler - 0.8 * 48.0 / 1.8);
    assert!(
        (balance.heated.as_joules() / expected - 1.0).abs() < 0.003,
        "{} {expected}",
        balance.heated.as_joules()
    );
}

#[test]
fn a_unit_short_of_power_gives_what_it_has() {
    let (mut house, taps) = of_unit(45.0, unit(18.0, 118.0));
    let (results, _) = run(&mut house, &[draw(taps[0], 0.0, 200.0, 3.0)], 0.1);
    let inlet = Water::in_house(f(45.0)).unwrap();
    let expected = water::heating::outlet_temperature(Power::from_kilowatts(18.0), gpm(3.0), &inlet).unwrap();
    let found = at(&results[0], 199.0);
    assert!(
        (found - expected.as_fahrenheit()).abs() < 0.3,
        "{found} against {expected:?}"
    );
    assert_eq!(results[0].wait, None);
    // 20 V below its rating a resistance gives the square: the caller hands in the real power.
    assert!(results[0].lukewarm.as_seconds() > 150.0);
}

#[test]
fn a_unit_starts_and_stops_at_different_flows() {
    // 0.35 gpm lies between drop-out (0.3) and activation (0.4).
    let (mut house, taps) = of_unit(60.0, unit(18.0, 118.0));
    let draws = [draw(taps[0], 0.0, 500.0, 0.35), draw(taps[1], 100.0, 150.0, 0.2)];
    let (results, _) = run(&mut house, &draws, 0.2);
    assert!(at(&results[0], 99.0) < 62.0, "alone it never starts");
    assert!(at(&results[0], 249.0) > 115.0, "with the second tap it does");
    assert!(at(&results[0], 499.0) > 115.0, "and it stays on when that closes");
}

#[test]
fn what_it_cannot_give_steadily_it_gives_by_switching() {
    for control in [
        Control::Modulating {
            least: Power::from_kilowatts(6.0),
        },
        Control::Staged { stages: 3 },
    ] {
        let unit = OnDemandUnit {
            control,
            ramp: Time::zero(),
            ..unit(18.0, 118.0)
        };
        let (mut house, taps) = of_unit(60.0, unit);
        // 0.5 gpm over 58 °F: 4.2 kW.
        let (results, balance) = run(&mut house, &[draw(taps[0], 0.0, 600.0, 0.5)], 0.2);
        let tail: Vec<f64> = results[0]
            .trace
            .iter()
            .filter(|point| point.time.as_seconds() > 100.0)
            .map(|point| point.temperature.as_fahrenheit())
            .collect();
        assert!(
            tail.iter().all(|temp| (temp - 118.0).abs() < 2.5),
            "{control:?}: {tail:?}"
        );
        assert!(balance.events < 2000, "{control:?}: {}", balance.events);
    }
}

#[test]
fn a_short_pause_leaves_a_cold_slug() {
    let slug = |pause_s: f64| {
        let (mut house, taps) = of_unit(50.0, unit(18.0, 118.0));
        let draws = [
            draw(taps[0], 0.0, 60.0, 1.5),
            draw(taps[0], 60.0 + pause_s, 60.0, 1.5),
        ];
        let (results, _) = run(&mut house, &draws, 0.1);
        results[1].cold_slug
    };
    assert_eq!(slug(0.0), None);
    let after_ten = slug(10.0).unwrap();
    // Delay and ramp let about 1.5 gpm × 3.5 s through unheated, thinned by the unit's own hot water.
    assert!(
        after_ten.lasts > Time::from_seconds(2.0) && after_ten.lasts < Time::from_seconds(12.0),
        "{after_ten:?}"
    );
    assert!(after_ten.coldest < f(100.0));
}

#[test]
fn a_tank_gives_its_hot_water_as_a_plug_over_a_mixed_bottom() {
    let still = StorageTank {
        elements: Vec::new(),
        ..tank(125.0)
    };
    let (mut house, taps) = of_tank(50.0, still);
    let (results, balance) = run(&mut house, &[draw(taps[0], 0.0, 1800.0, 2.0)], 0.6);
    // A tenth mixes at the bottom, the rest moves up as a plug: after 45 gal the top follows the mixed part, whose excess
    // falls by e for every 5 gal.
    assert!(at(&results[0], 21.5 * 60.0) > 122.0);
    for minutes in [24.0, 26.0, 29.0] {
        // Layers of a fiftieth of the tank, of which each is one temperature: half a gallon either way.
        let expected = 50.0 + 75.0 * (-(2.0 * minutes - 45.0) / 5.0_f64).exp();
        let found = at(&results[0], 60.0 * minutes);
        assert!(
            (found - expected).abs() < 5.0,
            "{minutes} min: {found} against {expected}"
        );
    }
    assert!(balance.heated.as_joules().abs() < 1e-9);
}

/// The usual two elements, the lower one at the very bottom.
fn at_bottom() -> Vec<water::motion::TankElement> {
    let mut elements = tank(120.0).elements;
    elements[1].height = Ratio::from_fraction(0.0);
    elements
}

#[test]
fn a_tank_loses_and_makes_up_its_standby() {
    // Handbook of the project, water test case 43: UA 2.60 Btu/(h·°F), 120 °F in a room of 67.5 °F lose 40 W.
    let steady = StorageTank {
        dead_band: TemperatureDifference::from_celsius(0.5),
        surroundings: f(67.5),
        elements: at_bottom(),
        ..tank(120.0)
    };
    let (mut house, _) = of_tank(50.0, steady);
    let (_, balance) = run(&mut house, &[], 240.0);
    let watts = balance.lost_by_heaters.as_joules() / (240.0 * 3600.0);
    assert!((watts - 40.0).abs() < 0.5, "{watts}");
    let made_up = balance.heated.as_joules() / (240.0 * 3600.0);
    assert!((made_up - watts).abs() < 1.0, "{made_up}");
}

#[test]
fn a_tank_recovers_at_the_power_of_one_element() {
    // Test case 44: 4.5 kW over 67 °F recover 27.2 gal/h with an efficiency of 0.98 and 8.25 lb/gal; without losses and
    // at 8.34 lb/gal that is 27.5. The lower element sits at the very bottom: it warms nothing below it.
    let low = StorageTank {
        elements: at_bottom(),
        ..tank(125.0)
    };
    let (mut house, taps) = of_tank(58.0, low);
    let drawn = draw(taps[0], 0.0, 10.0 * 60.0, 3.0);
    let (_, first) = run(&mut house, &[drawn], 10.0 / 60.0);
    let (_, after) = run(&mut house, &[], 2.0);
    let heated_kwh = first.heated.as_kilowatt_hours() + after.heated.as_kilowatt_hours();
    let of_thirty_gallons = 30.0 / 27.5 * 4.5;
    assert!(
        (heated_kwh - of_thirty_gallons).abs() < 0.15,
        "{heated_kwh} against {of_thirty_gallons}"
    );
    // Never more than one element: 10 min of draw and 50 after it hold at most 4.5 kWh.
    let (mut house, taps) = of_tank(58.0, tank(125.0));
    let (_, hour) = run(&mut house, &[draw(taps[0], 0.0, 15.0 * 60.0, 3.0)], 1.0);
    assert!(
        hour.heated.as_kilowatt_hours() <= 4.5 + 1e-9,
        "{}",
        hour.heated.as_kilowatt_hours()
    );
    let both = StorageTank {
        simultaneous: true,
        ..tank(125.0)
    };
    let (mut house, taps) = of_tank(58.0, both);
    let (_, hour) = run(&mut house, &[draw(taps[0], 0.0, 15.0 * 60.0, 3.0)], 1.0);
    assert!(
        hour.heated.as_kilowatt_hours() > 5.0,
        "{}",
        hour.heated.as_kilowatt_hours()
    );
}

#[test]
fn nonsense_is_refused() {
    let (mut house, taps) = of_unit(50.0, unit(18.0, 118.0));
    let good = draw(taps[0], 0.0, 10.0, 1.0);
    let mut results = Vec::new();
    let mut refused = |draw: Draw| {
        house
            .run(&[draw], Time::zero(), &mut results)
            .unwrap_err()
            .to_string()
    };
    let early = Draw {
        opens: Time::from_seconds(-1.0),
        ..good
    };
    assert!(refused(early).contains("`first` opens before the run"));
    for flow in [0.0, f64::NAN, 200.0] {
        assert!(
            refused(Draw {
                flow: gpm(flow),
                ..good
            })
            .contains("the flow of a draw")
        );
    }
    let no_side = Draw {
        use_temperature: None,
        ..good
    };
    assert!(refused(no_side).contains("no side"));
    assert!(
        refused(Draw {
            runs: Time::from_seconds(f64::NAN),
            ..good
        })
        .contains("length of a draw")
    );
    let cold = Water::in_house(f(50.0)).unwrap();
    assert!(Plan::new(cold, f(50.0)).is_err());
    assert!(Plan::new(cold, Temperature::from_celsius(f64::NAN)).is_err());
    let mut plan = Plan::new(cold, f(120.0)).unwrap();
    let (a, b) = (plan.place("a"), plan.place("b"));
    let pipe = far_bath::run(tables::pipe::PipeMaterial::Pex, "1/2 in", 10.0, 70.0);
    let joins = plan.pipe(a, b, pipe);
    plan.tap("tap", Some(b), None);
    let error = |plan: &Plan| House::new(plan, Settings::default()).unwrap_err().to_string();
    assert!(error(&plan).contains("no water reaches `a`"));
    plan.supply(a);
    assert!(House::new(&plan, Settings::default()).is_ok());
    plan.share(joins, Ratio::from_fraction(0.5));
    assert!(error(&plan).contains("`b` add up to 0.5"));
    plan.share(joins, Ratio::from_fraction(1.0));
    let back = plan.pipe(b, a, pipe);
    assert!(error(&plan).contains("in a ring"));
    plan.share(back, Ratio::from_fraction(1.0));
    let finer = Settings {
        resolution: TemperatureDifference::from_celsius(0.0),
        ..Settings::default()
    };
    assert!(House::new(&plan, finer).is_err());
    assert!(Volume::zero() <= results.iter().map(|result| result.volume).sum());
}
