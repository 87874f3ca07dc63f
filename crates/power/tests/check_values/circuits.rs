//! Ampacity, breakers, conductors and equipment grounds.

use crate::{request, segment, terminals};
use power::ampacity::run_ampacity;
use power::circuit::design_circuit;
use power::circuit_check::{Chosen, check_circuit};
use power::equipment_ground::{GroundRequest, ground_size};
use quantity::{Current, Temperature};
use tables::ampacity::TemperatureColumn;
use tables::breaker::{small_conductor_limit, standard_at_least};
use tables::conductor::ConductorMaterial;
use tables::nec::NecEdition;

#[test]
fn ampacity_cases() {
    let edition = NecEdition::Nec2020;
    for case in checks::load("electrical/ampacity.toml").cases {
        let size = case.given_text("size").parse().unwrap();
        let mut run = segment("NM-B", 30.0);
        run.current_carrying = u16::try_from(case.given["current_carrying"].as_integer().unwrap()).unwrap();
        run.in_thermal_insulation = true;
        run.ambient = if case.given.contains_key("ambient_f") {
            Temperature::from_fahrenheit(case.given("ambient_f"))
        } else {
            Temperature::from_celsius(case.given("ambient_c"))
        };
        let found = run_ampacity(
            size,
            ConductorMaterial::Copper,
            &[run],
            terminals(TemperatureColumn::C75),
            edition,
        )
        .unwrap();
        case.close("ampacity_a", found.ampacity.as_amperes());
        if case.expected("derated_a").is_some() {
            case.close("derated_a", found.segments[0].derated.as_amperes());
        }
        if case.expected("largest_breaker_a").is_some() {
            let next = standard_at_least(found.ampacity, edition).unwrap().value;
            let largest = small_conductor_limit(size, ConductorMaterial::Copper, edition)
                .map_or(next, |limit| limit.value.min(next));
            case.close("largest_breaker_a", largest.as_amperes());
        }
    }
}

#[test]
fn circuit_cases() {
    for case in checks::load("electrical/circuits.toml").cases {
        let continuous = case.given["continuous"].as_bool().unwrap();
        let design = design_circuit(&request(
            case.given("watts"),
            continuous,
            case.given_text("cable"),
            50.0,
        ))
        .unwrap();
        for (name, found) in [
            ("current_a", design.check.load.load),
            ("design_a", design.check.load.design),
            ("breaker_a", design.chosen.breaker),
            ("largest_breaker_a", design.check.breakers.maximum),
        ] {
            if case.expected(name).is_some() {
                case.close(name, found.as_amperes());
            }
        }
        if let Some(size) = case.expected_text("size") {
            assert_eq!(design.chosen.conductor.to_string(), size, "case {}", case.id);
        }
        assert_eq!(design.check.shortfalls, [], "case {}", case.id);
    }
}

#[test]
fn heater_circuit_table() {
    let cases = checks::load("electrical/heater_circuits.toml").cases;
    assert_eq!(cases.len(), 14);
    for case in cases {
        let kilowatts = case.given("kw_each");
        assert!((kilowatts * case.given("circuits") - case.given("kw_total")).abs() < 1e-9);
        for (continuous, breaker, size_60c, size_75c) in [
            (false, "breaker_a", "size_60c", "size_75c"),
            (
                true,
                "breaker_continuous_a",
                "size_60c_continuous",
                "size_75c_continuous",
            ),
        ] {
            for (column, size) in [
                (TemperatureColumn::C60, size_60c),
                (TemperatureColumn::C75, size_75c),
            ] {
                let mut request = request(kilowatts * 1000.0, continuous, "THWN-2", 50.0);
                request.terminals = terminals(column);
                let design = design_circuit(&request).unwrap();
                case.close("current_a", design.check.load.rated.as_amperes());
                case.close(breaker, design.chosen.breaker.as_amperes());
                case.close("largest_breaker_a", design.check.breakers.maximum.as_amperes());
                assert_eq!(
                    Some(design.chosen.conductor.to_string().as_str()),
                    case.expected_text(size),
                    "case {}, {column}",
                    case.id
                );
            }
        }
    }
}

#[test]
fn equipment_ground_cases() {
    for case in checks::load("electrical/equipment_ground.toml").cases {
        for edition in NecEdition::ALL {
            let found = ground_size(&GroundRequest {
                breaker: Current::from_amperes(case.given("breaker_a")),
                sufficient: case.given_text("sufficient").parse().unwrap(),
                installed: case.given_text("installed").parse().unwrap(),
                material: ConductorMaterial::Copper,
                ground_material: ConductorMaterial::Copper,
                edition,
            })
            .unwrap();
            case.close("required_cmil", found.required_area.as_circular_mils());
            assert_eq!(
                Some(found.size.to_string().as_str()),
                case.expected_text("size"),
                "case {}",
                case.id
            );
        }
    }
}

#[test]
fn editions_differ_for_a_conductor_enlarged_by_heat() {
    // Fact sheet, section 4: 2017 counts an increase for any reason, 2020 and later not one for ambient or bundling. A hot
    // attic makes 6 AWG of 8 AWG on a 40 A breaker; in proportion the ground is 8 AWG (EG1), by the table 10 AWG.
    let ground = |edition| {
        let mut request = request(9000.0, false, "NM-B", 30.0);
        request.segments[0].ambient = Temperature::from_celsius(50.0);
        request.segments[0].current_carrying = 6;
        request.edition = edition;
        let design = design_circuit(&request).unwrap();
        assert_eq!(design.chosen.conductor.to_string(), "6 AWG");
        design.check.equipment_ground.size.to_string()
    };
    assert_eq!(ground(NecEdition::Nec2017), "8 AWG");
    assert_eq!(ground(NecEdition::Nec2020), "10 AWG");
    assert_eq!(ground(NecEdition::Nec2023), "10 AWG");
}

#[test]
fn a_cable_enlarged_for_drop_may_come_with_too_small_a_ground() {
    // Fact sheet, section 4: NM-B above the required size, its factory ground may be too small. 6-2 NM-B has 10 AWG
    // (memory), in proportion 8 AWG is wanted (EG1).
    let check = check_circuit(
        &request(9000.0, false, "NM-B", 90.0),
        &Chosen {
            breaker: Current::from_amperes(40.0),
            conductor: "6 AWG".parse().unwrap(),
            equipment_ground: None,
        },
    )
    .unwrap();
    assert_eq!(check.shortfalls.len(), 1);
    assert_eq!(
        check.shortfalls[0].to_string(),
        "equipment ground `10 AWG` is smaller than `8 AWG`"
    );
}

#[test]
fn every_shortfall_is_found() {
    // A 9 kW element on a 37 A breaker with 12 AWG in a hot bundle, continuous, long run: all of it is wrong.
    let mut request = request(9000.0, true, "NM-B", 200.0);
    request.segments[0].current_carrying = 10;
    request.drop_target = Some(quantity::Ratio::from_percent(3.0));
    let check = check_circuit(
        &request,
        &Chosen {
            breaker: Current::from_amperes(37.0),
            conductor: "12 AWG".parse().unwrap(),
            equipment_ground: Some("14 AWG".parse().unwrap()),
        },
    )
    .unwrap();
    let found: Vec<String> = check.shortfalls.iter().map(ToString::to_string).collect();
    assert_eq!(
        found,
        [
            "`37 A` is not a standard rating",
            "breaker `37 A` is below the `46.9 A` that the load asks for",
            "ampacity before correction and adjustment, `20 A`, is below the `46.9 A` the circuit is sized for",
            "ampacity `15 A` is below the load of `37.5 A`",
            "breaker `37 A` is above the `15 A` that the conductor may be protected at",
            "equipment ground `14 AWG` is smaller than `12 AWG`",
            "voltage drop `10.8 %` is above the target of `3 %`",
        ]
    );
}

#[test]
fn neutral_and_white_conductor_follow_the_connection() {
    // Fact sheet, section 1: a 2-wire 240 V circuit has two current-carrying conductors, no neutral, and a white conductor
    // to mark; section 11: the neutral of two legs of 208Y/120 V counts as current-carrying.
    let conductors = |system: &str, needs_neutral, cable| {
        let mut request = request(5000.0, false, cable, 30.0);
        request.supply = power::supply::supply(system).unwrap();
        request.connection = request.supply.usual_connection;
        request.needs_neutral = needs_neutral;
        let found = design_circuit(&request).unwrap().check.conductors;
        (
            found.ungrounded,
            found.neutral,
            found.current_carrying,
            found.mark_white,
        )
    };
    assert_eq!(conductors("120/240 V", false, "NM-B"), (2, false, 2, true));
    assert_eq!(conductors("120/240 V", true, "NM-B"), (2, true, 2, false));
    assert_eq!(conductors("120/240 V", false, "THWN-2"), (2, false, 2, false));
    assert_eq!(conductors("120/208 V", true, "NM-B"), (2, true, 3, false));
    assert_eq!(conductors("230 V", false, "NM-B"), (1, true, 2, false));
    assert_eq!(conductors("230/400 V", false, "NM-B"), (2, false, 2, true));
}

#[test]
fn what_cannot_be_designed_says_why() {
    // 40 kW on one circuit: NM-B ends at 2 AWG.
    let refused = design_circuit(&request(40_000.0, false, "NM-B", 30.0))
        .unwrap_err()
        .to_string();
    assert!(
        refused.starts_with("no copper conductor up to `750 kcmil` carries the circuit"),
        "{refused}"
    );
    // Ampacities of metric sizes belong to other wiring rules.
    let metric = check_circuit(
        &request(9000.0, false, "NM-B", 30.0),
        &Chosen {
            breaker: Current::from_amperes(40.0),
            conductor: "10 mm²".parse().unwrap(),
            equipment_ground: None,
        },
    );
    assert!(
        metric
            .unwrap_err()
            .to_string()
            .contains("metric size `10 mm²` has no place in these wiring rules")
    );
}
