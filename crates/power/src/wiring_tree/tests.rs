//! Small trees whose answer is known on paper, and trees that must be refused.

use super::*;
use crate::supply::supply;
use quantity::Reactance;

fn ohms(resistance: f64) -> Impedance {
    Impedance::new(Resistance::from_ohms(resistance), Reactance::zero())
}

fn load(label: &str, at: Option<usize>, between: (Wire, Wire), draws: Draws) -> TreeLoad {
    TreeLoad {
        label: label.into(),
        at,
        between,
        draws,
    }
}

fn section(label: &str, above: Option<usize>, line_ohm: f64, neutral_ohm: f64) -> TreeSection {
    TreeSection {
        label: label.into(),
        above,
        impedance: SectionImpedance::conductors(ohms(line_ohm), ohms(neutral_ohm)),
    }
}

fn resistance(ohms: f64) -> Draws {
    Draws::Resistance(Resistance::from_ohms(ohms))
}

fn split_phase() -> SourceVoltages {
    SourceVoltages::of(supply("120/240 V").unwrap(), Voltage::from_volts(240.0)).unwrap()
}

#[test]
fn a_load_on_one_leg_lifts_the_other() {
    // 12 Ω on leg A behind 0.1 Ω of line and 0.2 Ω of neutral: I = 120 / 12.3; leg B rises by I · 0.2.
    let tree = WiringTree {
        source: split_phase(),
        sections: vec![section("drop", None, 0.1, 0.2)],
        loads: vec![load(
            "heater",
            Some(0),
            (Wire::A, Wire::Neutral),
            resistance(12.0),
        )],
    };
    let found = solve_tree(&tree).unwrap();
    let current_a = 120.0 / 12.3;
    let at = &found.sections[0];
    assert!((at.voltage(Wire::B, Wire::Neutral).as_volts() - (120.0 + 0.2 * current_a)).abs() < 1e-9);
    assert!((at.voltage(Wire::A, Wire::Neutral).as_volts() - 12.0 * current_a).abs() < 1e-9);
    assert!((at.currents[Wire::Neutral as usize].as_amperes() - current_a).abs() < 1e-9);
    assert!((found.lost().as_watts() - 0.3 * current_a * current_a).abs() < 1e-9);
    // Nothing on power: exact after one step.
    assert_eq!(found.iterations, 1);
}

#[test]
fn legs_of_a_three_phase_supply_do_not_cancel_in_the_neutral() {
    // Equal resistances on two legs of 208Y/120: the neutral carries about the line current (fact sheet, section 11).
    let tree = WiringTree {
        source: SourceVoltages::of(supply("120/208 V").unwrap(), Voltage::from_volts(208.0)).unwrap(),
        sections: vec![section("feeder", None, 0.0, 0.0)],
        loads: vec![
            load("a", Some(0), (Wire::A, Wire::Neutral), resistance(12.0)),
            load("b", Some(0), (Wire::B, Wire::Neutral), resistance(12.0)),
        ],
    };
    let found = solve_tree(&tree).unwrap();
    let [a, b, c, neutral] = found.sections[0].currents.map(Current::as_amperes);
    assert!((a - b).abs() < 1e-9 && (neutral - a).abs() < 1e-9 && c < 1e-12);
    assert!((found.sections[0].voltage(Wire::A, Wire::B).as_volts() - 208.0).abs() < 1e-9);
}

#[test]
fn star_gives_a_third_of_delta() {
    // Fact sheet, section 11: the same elements give one third in star.
    let source = SourceVoltages::of(supply("230/400 V").unwrap(), Voltage::from_volts(400.0)).unwrap();
    let solved = |pairs: [(Wire, Wire); 3]| {
        let loads = pairs
            .map(|pair| load("element", None, pair, resistance(20.0)))
            .to_vec();
        let tree = WiringTree {
            source,
            sections: vec![],
            loads,
        };
        solve_tree(&tree)
            .unwrap()
            .loads
            .iter()
            .map(|load| load.power)
            .sum::<Power>()
    };
    let delta = solved([(Wire::A, Wire::B), (Wire::B, Wire::C), (Wire::C, Wire::A)]);
    let star = solved([Wire::A, Wire::B, Wire::C].map(|wire| (wire, Wire::Neutral)));
    assert!((delta.as_watts() - 3.0 * 400.0 * 400.0 / 20.0).abs() < 1e-6);
    assert!((delta / star - 3.0).abs() < 1e-9);
}

#[test]
fn a_mixed_load_lies_between_its_parts() {
    let power_of = |constant| {
        let draws = Draws::Mixed {
            power: Power::from_kilowatts(10.0),
            power_factor: Ratio::from_fraction(0.95),
            rated_voltage: Voltage::from_volts(240.0),
            constant_power: Ratio::from_fraction(constant),
        };
        let tree = WiringTree {
            source: split_phase(),
            sections: vec![section("drop", None, 0.1, 0.1)],
            loads: vec![load("house", Some(0), (Wire::A, Wire::B), draws)],
        };
        solve_tree(&tree).unwrap().loads[0].power.as_watts()
    };
    assert!((power_of(1.0) - 10_000.0).abs() < 1e-6);
    assert!(power_of(0.0) < power_of(0.5) && power_of(0.5) < power_of(1.0));
}

#[test]
fn what_cannot_be_fed_is_refused_by_name() {
    // 240² / (4 · 5 Ω) = 2880 W is the most that a 5 Ω loop delivers (maximum power transfer).
    let solved = |watts| {
        let draws = Draws::Power {
            power: Power::from_watts(watts),
            power_factor: Ratio::from_fraction(1.0),
        };
        solve_tree(&WiringTree {
            source: split_phase(),
            sections: vec![section("drop", None, 2.5, 0.0)],
            loads: vec![load("charger", Some(0), (Wire::A, Wire::B), draws)],
        })
    };
    assert!(solved(2870.0).is_ok());
    assert_eq!(
        solved(2890.0),
        Err(PowerError::NotSettled {
            load: "charger".into()
        })
    );
}

#[test]
fn trees_that_do_not_hang_together_are_refused() {
    let mut tree = WiringTree {
        source: split_phase(),
        sections: vec![section("drop", Some(0), 0.1, 0.1)],
        loads: vec![],
    };
    assert!(matches!(solve_tree(&tree), Err(PowerError::TreeOrder { .. })));
    tree.sections[0].above = None;
    assert!(solve_tree(&tree).unwrap().loads.is_empty());
    for (at, between) in [
        (Some(1), (Wire::A, Wire::B)),
        (Some(0), (Wire::A, Wire::A)),
        (Some(0), (Wire::A, Wire::C)),
    ] {
        tree.loads = vec![load("odd", at, between, resistance(10.0))];
        assert!(solve_tree(&tree).is_err(), "{at:?} {between:?}");
    }
    tree.loads = vec![load("nan", Some(0), (Wire::A, Wire::B), resistance(f64::NAN))];
    assert!(solve_tree(&tree).is_err());
}
