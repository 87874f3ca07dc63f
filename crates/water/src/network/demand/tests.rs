//! The person at the tap against heat balances by hand and against the engine's own answer without a network.

use super::*;
use crate::mixing::{Draw, hot_share};
use crate::network::{Fluid, FrictionLaw, Mixer, Network, OutletLaw, PipeRun};
use crate::outlet::Outlet;
use crate::{LossCurve, heating::Heater, pipe::Pipe};
use proptest::prelude::*;
use quantity::{GaugePressure, Length, PressureDifference};
use tables::pipe::PipeMaterial;

fn f(degrees: f64) -> Temperature {
    Temperature::from_fahrenheit(degrees)
}

fn gpm(number: f64) -> VolumeFlow {
    VolumeFlow::from_gallons_per_minute(number)
}

struct House {
    solver: Solver,
    cold: Water,
    source: Source,
    taps: Vec<Tap>,
}

/// Street, trunk, heater, and one branch a tap on either side.
fn house(kilowatts: f64, taps: &[(f64, WhenShort)]) -> House {
    let cold = Water::in_house(f(50.0)).unwrap();
    let hot_water = Fluid::from(cold.heated_to(f(120.0)).unwrap());
    let fluid = Fluid::from(cold);
    let mut network = Network::new(FrictionLaw::Smooth, fluid);
    let floor = Length::zero();
    let street = network
        .supply("street", floor, GaugePressure::from_psi(60.0))
        .unwrap();
    let node = |network: &mut Network, name: &str, feet: f64| {
        network
            .junction(name, Length::from_feet(feet), VolumeFlow::zero())
            .unwrap()
    };
    let pipe = |feet: f64, size: &str| {
        let pipe = Pipe::of(PipeMaterial::Pex, size.parse().unwrap(), Length::from_feet(feet)).unwrap();
        Device::Pipe(PipeRun::of(&pipe, 3.0))
    };
    let tee = node(&mut network, "tee", 2.0);
    let hot = node(&mut network, "hot", 4.0);
    network
        .link("trunk", street, tee, fluid, pipe(40.0, "1 in"))
        .unwrap();
    let curve = LossCurve::through(&[(gpm(3.0), PressureDifference::from_psi(6.0))]).unwrap();
    let heater = network
        .link("heater", tee, hot, fluid, Device::Loss(curve))
        .unwrap();
    let mut made = Vec::new();
    for (index, (flow, when_short)) in taps.iter().enumerate() {
        let warm = node(&mut network, &format!("warm {index}"), 10.0);
        let cool = node(&mut network, &format!("cool {index}"), 10.0);
        let spout = node(&mut network, &format!("spout {index}"), 10.0);
        network
            .link(
                &format!("hot {index}"),
                hot,
                warm,
                hot_water,
                pipe(30.0, "1/2 in"),
            )
            .unwrap();
        network
            .link(&format!("cold {index}"), tee, cool, fluid, pipe(35.0, "1/2 in"))
            .unwrap();
        let mixer = Mixer {
            hot: warm,
            cold: cool,
            mixed: spout,
            hot_share: Ratio::from_fraction(0.5),
            side_loss: (gpm(3.0), PressureDifference::from_psi(3.0)),
        };
        let mixer = network.mixer(&format!("valve {index}"), mixer).unwrap();
        let law = OutletLaw::Fixture {
            outlet: Outlet::Orifice {
                rated_flow: gpm(6.0),
                rated_pressure: GaugePressure::from_psi(40.0),
            },
            throttled_to: None,
        };
        let outlet = network.outlet(&format!("outlet {index}"), spout, law).unwrap();
        made.push(Tap {
            mixer,
            outlet,
            use_temperature: f(105.0),
            flow: Some(gpm(*flow)),
            when_short: *when_short,
        });
    }
    House {
        solver: Solver::new(&network),
        cold,
        source: Source {
            heater,
            power: Power::from_kilowatts(kilowatts),
            set_point: f(120.0),
        },
        taps: made,
    }
}

fn run(kilowatts: f64, taps: &[(f64, WhenShort)]) -> (Served, House) {
    let mut house = house(kilowatts, taps);
    let served = serve(&mut house.solver, &house.cold, &[house.source], &house.taps).unwrap();
    (served, house)
}

#[test]
fn enough_power_gives_what_is_wanted() {
    let (served, house) = run(27.0, &[(1.8, WhenShort::OpenHot)]);
    let tap = served.taps[0];
    assert!((tap.flow / gpm(1.8) - 1.0).abs() < 1e-6);
    assert!((tap.temperature.as_fahrenheit() - 105.0).abs() < 1e-4);
    let share = hot_share(f(105.0), f(120.0), &house.cold).unwrap();
    assert!((tap.hot_flow / tap.flow - share.as_fraction()).abs() < 1e-6);
    assert!(
        served.sources[0].holds_set_point && served.rounds < 8,
        "{served:?}"
    );
    // 0.1465 · 1.8 · 55 = 14.5 kW, whatever the set point (handbook of the project, section 7).
    assert!((served.sources[0].power.as_kilowatts() - 14.5).abs() < 0.05);
}

#[test]
fn three_ways_to_be_short() {
    // 4 gpm at 105 °F wants 0.1465 · 4 · 55 = 32.2 kW; 18 kW warm 4 gpm by 30.7 °F or 2.23 gpm by 55 °F.
    let (keep, _) = run(18.0, &[(4.0, WhenShort::KeepSetting)]);
    let (open, _) = run(18.0, &[(4.0, WhenShort::OpenHot)]);
    let (throttle, _) = run(18.0, &[(4.0, WhenShort::Throttle)]);
    for served in [&keep, &open] {
        assert!((served.taps[0].flow / gpm(4.0) - 1.0).abs() < 1e-6);
        assert!(
            (served.taps[0].temperature.as_fahrenheit() - 80.7).abs() < 0.1,
            "{served:?}"
        );
        assert!(!served.sources[0].holds_set_point);
    }
    assert!(keep.taps[0].hot_flow < open.taps[0].hot_flow);
    assert!((open.taps[0].hot_flow / open.taps[0].flow - 1.0).abs() < 1e-9);
    let tap = throttle.taps[0];
    assert!((tap.flow.as_gallons_per_minute() - 2.23).abs() < 0.01, "{tap:?}");
    assert!((tap.temperature.as_fahrenheit() - 105.0).abs() < 0.01);
    assert!((tap.throttled_to.unwrap() / tap.flow - 1.0).abs() < 1e-5);
}

#[test]
fn a_tub_gives_way_to_a_shower() {
    let (served, _) = run(18.0, &[(1.5, WhenShort::OpenHot), (5.0, WhenShort::Throttle)]);
    // 18 kW make 2.23 gpm at 105 °F: what the shower leaves is 0.73 gpm.
    for tap in &served.taps {
        assert!(
            (tap.temperature.as_fahrenheit() - 105.0).abs() < 0.02,
            "{served:?}"
        );
    }
    assert!(
        (served.taps[1].flow.as_gallons_per_minute() - 0.73).abs() < 0.02,
        "{served:?}"
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    #[test]
    fn it_meets_the_answer_without_a_network(
        kilowatts in 3.0_f64..36.0,
        flows in proptest::collection::vec(0.3_f64..2.0, 1..4),
    ) {
        let wanted: Vec<_> = flows.iter().map(|flow| (*flow, WhenShort::OpenHot)).collect();
        let (served, house) = run(kilowatts, &wanted);
        // The network may not bring what is wanted; the answer without one takes the flows found.
        let draws: Vec<Draw> = served
            .taps
            .iter()
            .map(|tap| Draw { flow: tap.flow, use_temperature: f(105.0) })
            .collect();
        let heater = Heater { power: Power::from_kilowatts(kilowatts), set_point: f(120.0) };
        let plain = crate::mixing::serve(&heater, &house.cold, &draws).unwrap();
        for (tap, draw) in served.taps.iter().zip(&draws) {
            prop_assert!((tap.temperature.as_kelvins() - plain.at(draw).as_kelvins()).abs() < 0.01);
        }
        prop_assert!(served.sources[0].power.as_watts() <= kilowatts * 1e3 * (1.0 + 1e-9));
        prop_assert!((served.sources[0].power / plain.power - 1.0).abs() < 1e-3);
    }
}
