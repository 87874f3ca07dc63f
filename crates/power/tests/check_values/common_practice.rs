//! What the trade does by habit, where there is no published source.

use crate::{element_240, request};
use power::circuit::design_circuit;
use power::conductor_temperature::table_temperature;
use power::longest_length::longest_lengths;
use power::panel::{Fit, Panel, Spaces, fit_double_poles};
use quantity::{Ratio, Voltage};
use tables::conductor::ConductorMaterial;

#[test]
fn circuits_of_heaters_by_number_of_elements() {
    for case in checks::load("electrical/common_practice.toml").cases {
        let Some(circuits) = case.given.get("circuits") else {
            continue;
        };
        let continuous = case.given["continuous"].as_bool().unwrap();
        let request = request(
            case.given("element_w"),
            continuous,
            "NM-B",
            case.given("length_ft"),
        );
        let design = design_circuit(&request).unwrap();
        case.close("breaker_a", design.chosen.breaker.as_amperes());
        case.close("poles", f64::from(design.check.conductors.ungrounded));
        if let Some(size) = case.expected_text("size") {
            assert_eq!(design.chosen.conductor.to_string(), size, "case {}", case.id);
            let ground = design.chosen.equipment_ground.unwrap().to_string();
            assert_eq!(
                Some(ground.as_str()),
                case.expected_text("ground"),
                "case {}",
                case.id
            );
            let neutral = if design.check.conductors.neutral {
                "yes"
            } else {
                "no"
            };
            assert_eq!(Some(neutral), case.expected_text("neutral"), "case {}", case.id);
        }
        let wanted = u16::try_from(circuits.as_integer().unwrap()).unwrap();
        let panel = Panel {
            spaces: Spaces::Counted {
                total: 2 * wanted,
                occupied: 0,
            },
            bus_rating: None,
            main_breaker: None,
        };
        assert_eq!(fit_double_poles(&panel, wanted).unwrap().fit, Fit::EnoughSpaces);
        assert_eq!(
            fit_double_poles(&panel, wanted + 1).unwrap().fit,
            Fit::TooFewSpaces
        );
    }
}

#[test]
fn the_length_from_which_the_next_size_is_taken() {
    let cases = checks::load("electrical/common_practice.toml").cases;
    let case = cases
        .iter()
        .find(|case| case.id == "larger-from-75-to-100-ft")
        .unwrap();
    let volts = Voltage::from_volts(240.0);
    let turn_ft = |target| {
        let reaches = longest_lengths(
            &[element_240(case.given("element_w"))],
            volts,
            Ratio::from_percent(target),
            ConductorMaterial::Copper,
            table_temperature(),
        )
        .unwrap();
        let eight = reaches
            .iter()
            .find(|reach| reach.size.to_string() == "8 AWG")
            .unwrap();
        eight.longest.as_feet()
    };
    let (target, from_ft, to_ft) = (
        case.given("target_percent"),
        case.expected("from_ft").unwrap(),
        case.expected("to_ft").unwrap(),
    );
    assert!((from_ft..=to_ft).contains(&turn_ft(target)));
    case.close("other_turn_ft", turn_ft(case.given("other_target_percent")));
    // The designer turns where the closed form says so.
    for (length_ft, size) in [
        (turn_ft(target) - 0.01, "8 AWG"),
        (turn_ft(target) + 0.01, "6 AWG"),
    ] {
        let mut request = request(case.given("element_w"), false, "NM-B", length_ft);
        request.drop_target = Some(Ratio::from_percent(target));
        let design = design_circuit(&request).unwrap();
        assert_eq!(design.chosen.conductor.to_string(), size, "{length_ft} ft");
        assert_eq!(design.minimum_conductor.to_string(), "8 AWG");
    }
    assert_eq!(case.expected_text("size"), Some("6 AWG"));
}
