//! Available fault current, voltage step and flicker.

use crate::element_240;
use power::fault::{FaultLoop, FaultRun, Transformer, fault_current, point_to_point, terminal_fault};
use power::voltage_drop::{Impedance, Path};
use power::voltage_step::{flicker_severity, voltage_step};
use quantity::{ApparentPower, Current, Length, Ratio, ReactancePerLength, ResistancePerLength, Voltage};
use tables::conductor::{ConductorMaterial, Stranding, dc_resistance};
use tables::conductor_impedance::Surrounding;
use tables::fault_constant::fault_constant_siemens_foot;
use tables::flicker_curve::Lamp;

fn transformer(case: &checks::Case, volts: f64) -> Transformer {
    let percent = |name: &str| {
        Ratio::from_percent(if case.given.contains_key(name) {
            case.given(name)
        } else {
            0.0
        })
    };
    Transformer {
        rating: ApparentPower::from_kilovolt_amperes(case.given("kva")),
        voltage: Voltage::from_volts(volts),
        resistance: percent("r_percent"),
        reactance: percent("x_percent"),
    }
}

#[test]
fn fault_current_cases() {
    for case in checks::load("electrical/fault_current.toml").cases {
        let volts = Voltage::from_volts(case.given("volts"));
        if case.given.contains_key("tolerance") {
            let found = terminal_fault(
                ApparentPower::from_kilovolt_amperes(case.given("kva")),
                volts,
                Ratio::from_percent(case.given("impedance_percent")),
                Ratio::from_fraction(case.given("tolerance")),
                FaultLoop::ThreePhase,
            )
            .unwrap();
            case.close("current_a", found.current.as_amperes());
        } else if case.given.contains_key("at_start_a") {
            let size = case.given_text("size").parse().unwrap();
            let constant = fault_constant_siemens_foot(size, ConductorMaterial::Copper, Surrounding::Steel)
                .unwrap()
                .value;
            assert!(
                (constant - case.given("constant")).abs() < 1e-9,
                "case {}",
                case.id
            );
            let run = FaultRun {
                length: Length::from_feet(case.given("length_ft")),
                constant_siemens_foot: constant,
                in_parallel: u16::try_from(case.given["in_parallel"].as_integer().unwrap()).unwrap(),
            };
            let start = Current::from_amperes(case.given("at_start_a"));
            let found = point_to_point(start, volts, run, FaultLoop::ThreePhase).unwrap();
            if case.expected("f").is_some() {
                case.close("f", found.run_over_source.as_fraction());
                case.close("multiplier", found.multiplier.as_fraction());
            } else {
                case.close("current_a", found.current.as_amperes());
            }
        } else {
            let mut impedances: Vec<Impedance> =
                vec![transformer(&case, case.given("volts")).impedance().unwrap()];
            if case.given.contains_key("length_ft") {
                let run = Path::two_conductors(
                    "service",
                    Length::from_feet(case.given("length_ft")),
                    ResistancePerLength::from_ohms_per_thousand_feet(case.given("ohm_per_kft")),
                    Some(ReactancePerLength::from_ohms_per_thousand_feet(
                        case.given("reactance_per_kft"),
                    )),
                );
                impedances.push(run.loop_impedance);
            }
            case.close(
                "current_a",
                fault_current(volts, &impedances).unwrap().as_amperes(),
            );
        }
    }
}

#[test]
fn voltage_step_cases() {
    for case in checks::load("electrical/voltage_step.toml").cases {
        if case.expected("pst_1").is_some() {
            let step = Ratio::from_percent(case.given("step_percent"));
            for (name, changes) in [("pst_1", 1.0), ("pst_2", 2.0)] {
                let found = flicker_severity(step, changes, Lamp::Volts120).unwrap();
                case.close(name, found.value.as_fraction());
            }
            continue;
        }
        let size = case.given_text("size").parse().unwrap();
        let table = dc_resistance(size, ConductorMaterial::Aluminum, Stranding::Stranded)
            .unwrap()
            .value;
        assert!(
            (table.as_ohms_per_thousand_feet() - case.given("ohm_per_kft")).abs() < 1e-9,
            "case {}",
            case.id
        );
        let service =
            Path::two_conductors("service", Length::from_feet(case.given("length_ft")), table, None);
        let found = voltage_step(
            &[element_240(case.given("watts"))],
            Voltage::from_volts(240.0),
            transformer(&case, 240.0).impedance().unwrap().resistance,
            service.loop_impedance.resistance,
        )
        .unwrap();
        for (name, found) in [
            ("transformer_percent", found.transformer),
            ("service_percent", found.service),
            ("linear_percent", found.linear),
            ("relief_percent", found.with_relief),
        ] {
            if case.expected(name).is_some() {
                case.close(name, found.as_percent());
            }
        }
    }
}
