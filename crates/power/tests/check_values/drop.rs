//! Elements at their real voltage, voltage drop, and the feeder compared with a distribution solver.

use crate::element_240;
use power::conductor_temperature::resistance_at;
use power::element::Element;
use power::supply::{line_current, supply};
use power::voltage_drop::{Branch, Feed, Impedance, PanelLoad, Path, solve};
use quantity::{ApparentPower, Length, Power, Ratio, Reactance, Resistance, Temperature, Voltage};
use tables::conductor::{ConductorMaterial, Stranding, dc_resistance};

#[test]
fn voltage_drop_cases() {
    for case in checks::load("electrical/voltage_drop.toml").cases {
        let material = match case.given_text("material") {
            "copper" => ConductorMaterial::Copper,
            "aluminum" => ConductorMaterial::Aluminum,
            other => panic!("case {}: material {other}", case.id),
        };
        let stranding = match case.given_text("stranding") {
            "solid" => Stranding::Solid,
            "stranded" => Stranding::Stranded,
            other => panic!("case {}: stranding {other}", case.id),
        };
        let size = case.given_text("size").parse().unwrap();
        let table = dc_resistance(size, material, stranding).unwrap().value;
        assert!(
            (table.as_ohms_per_thousand_feet() - case.given("ohm_per_kft")).abs() < 1e-9,
            "case {}: the table and the case disagree",
            case.id
        );
        let conductor = Temperature::from_celsius(case.given("conductor_c"));
        let resistance = resistance_at(table, material, conductor).unwrap();
        let element = element_240(case.given("watts"));
        let path = Path::two_conductors(
            "run",
            Length::from_feet(case.given("length_ft")),
            resistance,
            None,
        );
        case.close("element_ohm", element.resistance().as_ohms());
        case.close("loop_ohm", path.loop_impedance.resistance.as_ohms());
        let found = solve(&Feed {
            source_voltage: Voltage::from_volts(case.given("source_v")),
            upstream: Vec::new(),
            panel_load: None,
            branches: vec![Branch {
                label: "heater".into(),
                path,
                elements: vec![element],
            }],
        })
        .unwrap();
        let branch = &found.branches[0];
        case.close("current_a", branch.current.as_amperes());
        case.close("drop_v", branch.drop.voltage.as_volts());
        case.close("drop_percent", branch.drop.of_source.as_percent());
        case.close("element_v", branch.element_voltage.as_volts());
        case.close("delivered_w", branch.delivered.as_watts());
        case.close("simple_drop_v", branch.simple_drop.as_volts());
    }
}

#[test]
fn element_power_cases() {
    for case in checks::load("electrical/element_power.toml").cases {
        let rated = Voltage::from_volts(case.given("rated_v"));
        let actual = Voltage::from_volts(case.given("actual_v"));
        let element = Element::new(Power::from_watts(case.given("watts")), rated).unwrap();
        let power = element.power_at(actual).unwrap();
        case.close("current_a", element.current_at(actual).unwrap().as_amperes());
        if case.expected("power_w").is_some() {
            case.close("power_w", power.as_watts());
            continue;
        }
        case.close("power_ratio", power / element.rated_power());
        for (name, kilowatts) in [("kw_of_9", 9.0), ("kw_of_18", 18.0), ("kw_of_27", 27.0)] {
            let element = Element::new(Power::from_kilowatts(kilowatts), rated).unwrap();
            case.close(name, element.power_at(actual).unwrap().as_kilowatts());
        }
    }
}

#[test]
fn a_distribution_solver_agrees() {
    for case in checks::load("electrical/split_phase_solver.toml").cases {
        let path = |label: &str, ohm: &str, x_ohm: &str| Path {
            label: label.into(),
            loop_impedance: Impedance {
                resistance: Resistance::from_ohms(2.0 * case.given(ohm)),
                reactance: Reactance::from_ohms(2.0 * case.given(x_ohm)),
            },
        };
        let found = solve(&Feed {
            source_voltage: Voltage::from_volts(case.given("source_v")),
            upstream: vec![path("feeder", "feeder_ohm", "feeder_x_ohm")],
            panel_load: Some(PanelLoad {
                power: Power::from_watts(case.given("panel_load_w")),
                power_factor: Ratio::from_fraction(case.given("power_factor")),
            }),
            branches: vec![Branch {
                label: "heater".into(),
                path: path("branch", "branch_ohm", "branch_x_ohm"),
                elements: vec![element_240(case.given("heater_w"))],
            }],
        })
        .unwrap();
        case.close("panel_v", found.panel_voltage.as_volts());
        case.close("heater_v", found.branches[0].element_voltage.as_volts());
        case.close("current_a", found.branches[0].current.as_amperes());
        case.close("delivered_kw", found.delivered().as_kilowatts());
    }
}

#[test]
fn three_phase_cases() {
    for case in checks::load("electrical/three_phase.toml").cases {
        if case.expected("ratio").is_some() {
            let rated = Voltage::from_volts(case.given("rated_v"));
            let element = Element::new(Power::from_kilowatts(case.given("kilowatts")), rated).unwrap();
            let star = element
                .power_at(Voltage::from_volts(case.given("actual_v")))
                .unwrap();
            case.close("ratio", star / element.rated_power());
            continue;
        }
        let system = supply(case.given_text("supply")).unwrap();
        let load = ApparentPower::from_kilovolt_amperes(case.given("kilowatts"));
        case.close("current_a", line_current(system, load).unwrap().as_amperes());
    }
}
