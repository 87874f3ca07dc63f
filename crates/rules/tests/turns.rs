//! Turning values: where a finding would turn, checked against hand arithmetic and against the rule itself.

use proptest::prelude::*;
use quantity::{Current, Ratio, UnitSystem};
use rules::{Driver, NumberKind, RuleBook, Value};
use trace::{Finding, Origin, Severity, Turn};

fn one(scope: &str, rule: &str, written: &[(&str, &str)]) -> Finding {
    let book = RuleBook::embedded();
    let mut facts = book.facts(scope, "subject");
    for (name, value) in written {
        facts
            .set_written(name, value, Origin::Entered)
            .expect("the book has it");
    }
    let editions = book.choose(["NEC 2020", "IPC 2021"]).expect("the book has it");
    let findings = book.assess(&editions, &facts, UnitSystem::Us);
    let found = findings.into_iter().find(|finding| finding.rule == rule);
    found.unwrap_or_else(|| panic!("no finding of {rule}"))
}

fn turns(finding: &Finding) -> Vec<(&str, &str)> {
    let pairs = finding.working.turns.iter();
    pairs
        .map(|turn| (turn.symbol.as_str(), turn.at.as_str()))
        .collect()
}

#[test]
fn a_comparison_turns_where_its_sides_meet() {
    let facts = [
        ("circuit.conductor_ampacity", "36.08 A"),
        ("circuit.load_current", "37.5 A"),
    ];
    let found = one("circuit", "circuit.conductor-ampacity", &facts);
    assert_eq!(found.severity, Severity::Change);
    assert_eq!(
        turns(&found),
        [("conductor ampacity", "37.5 A"), ("load current", "36.1 A")]
    );
}

#[test]
fn a_share_is_taken_into_account() {
    // By hand: 50 A ÷ 125 % = 40 A; 125 % × 37.5 A = 46.875 A.
    let facts = [
        ("circuit.continuous", "yes"),
        ("circuit.breaker_rating", "50 A"),
        ("circuit.load_current", "37.5 A"),
    ];
    let found = one("circuit", "circuit.breaker-continuous-load", &facts);
    assert_eq!(
        turns(&found),
        [("breaker rating", "46.9 A"), ("load current", "40 A")]
    );
}

#[test]
fn a_band_turns_on_both_sides() {
    // By hand: 90 % and 105 % of 240 V are 216 V and 252 V; 234 V is 90 % of 260 V and 105 % of 222.857 V.
    let found = one(
        "source",
        "source.voltage",
        &[
            ("source.terminal_voltage", "234 V"),
            ("source.rated_voltage", "240 V"),
        ],
    );
    assert_eq!(
        turns(&found),
        [
            ("terminal voltage", "216 V"),
            ("terminal voltage", "252 V"),
            ("rated voltage", "222.9 V"),
            ("rated voltage", "260 V"),
        ]
    );
}

#[test]
fn a_narrow_band_is_found_from_far_outside() {
    // By hand: expected 37.5 A ± 3 % begins at 36.375 A. From 18 A the band is a fiftieth of the way wide.
    let found = one(
        "circuit",
        "circuit.measured-current",
        &[
            ("circuit.measured_current", "18 A"),
            ("circuit.expected_current", "37.5 A"),
        ],
    );
    assert_eq!(found.severity, Severity::Judge);
    assert!(
        turns(&found).contains(&("measured current", "36.4 A")),
        "{:?}",
        turns(&found)
    );
}

#[test]
fn a_count_turns_at_a_whole_number() {
    let found = one(
        "panel",
        "panel.spaces",
        &[("panel.free_spaces", "2"), ("panel.spaces_needed", "6")],
    );
    assert_eq!(turns(&found), [("free spaces", "6"), ("spaces needed", "2")]);
}

#[test]
fn a_value_that_does_not_matter_has_no_turn() {
    let found = one(
        "source",
        "source.set-point",
        &[
            ("source.set_point", "135 °F"),
            ("source.outlets_without_protection", "0"),
        ],
    );
    assert!(
        !turns(&found).iter().any(|(symbol, _)| *symbol == "set point"),
        "{:?}",
        turns(&found)
    );
}

#[test]
fn an_assumed_flag_says_whether_the_other_answer_would_do() {
    let book = RuleBook::embedded();
    let mut circuit = book.facts("circuit", "W1");
    circuit
        .set("circuit.ground_present", true, Origin::Assumed)
        .unwrap();
    let editions = book.choose(["NEC 2020"]).unwrap();
    let findings = book.assess(&editions, &circuit, UnitSystem::Us);
    let ground = findings
        .iter()
        .find(|finding| finding.rule == "circuit.equipment-ground-present")
        .unwrap();
    let wanted = Turn {
        symbol: "ground present".into(),
        value: "yes".into(),
        at: "no".into(),
        origin: Origin::Assumed,
    };
    assert_eq!(ground.working.turns, [wanted]);
}

#[test]
fn the_input_behind_a_fact_is_given_too() {
    let book = RuleBook::embedded();
    let mut circuit = book.facts("circuit", "W1");
    circuit
        .set("circuit.voltage_drop", Ratio::from_percent(2.0), Origin::Computed)
        .unwrap();
    let length = Driver::new("run length", "60 ft", Origin::Entered, |at| match at {
        Value::Number(NumberKind::Ratio, share) => Some(format!("{:.0} ft", share / 0.02 * 60.0)),
        _ => None,
    });
    circuit.driven_by("circuit.voltage_drop", length).unwrap();
    let editions = book.choose(["NEC 2020"]).unwrap();
    let findings = book.assess(&editions, &circuit, UnitSystem::Us);
    let drop = findings
        .iter()
        .find(|finding| finding.rule == "circuit.voltage-drop")
        .unwrap();
    assert_eq!(turns(drop), [("voltage drop", "3 %"), ("run length", "90 ft")]);
}

proptest! {
    /// Just below the turning value one answer holds, just above it the other.
    #[test]
    fn the_answer_really_turns_there(load in 1.0_f64..200.0, breaker in 1.0_f64..200.0) {
        let book = RuleBook::embedded();
        let editions = book.choose(["NEC 2020"]).unwrap();
        let severity = |load: f64| {
            let mut circuit = book.facts("circuit", "W1");
            circuit
                .set("circuit.load_current", Current::from_amperes(load), Origin::Entered)
                .and_then(|facts| facts.set("circuit.breaker_rating", Current::from_amperes(breaker), Origin::Entered))
                .and_then(|facts| facts.set("circuit.continuous", true, Origin::Entered))
                .unwrap();
            let findings = book.assess(&editions, &circuit, UnitSystem::Us);
            let found = findings.into_iter().find(|finding| finding.rule == "circuit.breaker-continuous-load");
            found.unwrap()
        };
        let found = severity(load);
        let turn = found.working.turns.iter().find(|turn| turn.symbol == "load current");
        // Printed to a tenth of an ampere or to three figures, whichever is finer.
        let at: f64 = turn.unwrap().at.trim_end_matches(" A").parse().unwrap();
        prop_assert!((at - breaker / 1.25).abs() < 0.0501_f64.max(0.005 * at), "{at} {breaker}");
        prop_assert_ne!(severity(at * 0.99 - 0.06).severity, severity(at * 1.01 + 0.06).severity);
    }
}
