//! Tests of the formula language as a whole: random formulas over random facts, and laws that must hold for all.

use super::check::Names;
use super::decision::deciding;
use super::evaluate::{truth, value};
use super::words::Writer;
use super::{Formula, FormulaProblem};
use crate::book::RuleBook;
use crate::fact_set::FactSet;
use crate::kind::{Value, ValueKind};
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use quantity::UnitSystem;
use std::collections::BTreeMap;
use trace::Origin;

/// Facts of all kinds that a circuit's formulas may use.
const NUMBERS: [(&str, &str); 8] = [
    ("circuit.load_current", "A"),
    ("circuit.breaker_rating", "A"),
    ("circuit.voltage", "V"),
    ("circuit.voltage_drop", "%"),
    ("circuit.measured_resistance", "ohm"),
    ("circuit.spare_length", "ft"),
    ("circuit.terminal_rise", "°F"),
    ("panel.voltage_to_ground", "V"),
];
const FLAGS: [&str; 3] = ["circuit.continuous", "circuit.has_box", "job.installed"];

fn names(limits: &BTreeMap<String, String>) -> Names<'_> {
    Names {
        vocabulary: &RuleBook::embedded().vocabulary,
        scope: "circuit",
        limits,
    }
}

fn read(text: &str) -> Result<Formula, FormulaProblem> {
    Formula::read(text, &names(&BTreeMap::new())).map_err(|error| error.problem)
}

fn facts(written: &[(&str, &str)]) -> FactSet<'static> {
    let mut facts = RuleBook::embedded().facts("circuit", "test");
    for (name, text) in written {
        facts.set_written(name, text, Origin::Entered).unwrap();
    }
    facts
}

fn answer(text: &str, written: &[(&str, &str)]) -> Option<bool> {
    truth(
        &read(text)
            .unwrap_or_else(|problem| panic!("{text}: {problem}"))
            .root,
        &facts(written),
    )
    .ok()
}

#[test]
fn arithmetic_follows_hand_calculation() {
    // 240 V × 37.5 A = 9 kW; 240 V ÷ 6.4 Ω = 37.5 A; 125 % of 37.5 A = 46.875 A (arithmetic).
    let circuit = [
        ("circuit.voltage", "240 V"),
        ("circuit.load_current", "37.5 A"),
        ("circuit.measured_resistance", "6.4 ohm"),
    ];
    for (formula, expected) in [
        ("circuit.voltage * circuit.load_current = 9 kW", true),
        (
            "circuit.voltage / circuit.measured_resistance = circuit.load_current",
            true,
        ),
        ("125 % * circuit.load_current = 46.875 A", true),
        ("1.25 * circuit.load_current > 46.9 A", false),
        ("round_up(circuit.load_current, 5 A) = 40 A", true),
        ("round_up(circuit.load_current, 0.5 A) = 37.5 A", true),
        ("min(circuit.load_current, 30 A, 50 A) = 30 A", true),
        ("max(circuit.load_current, 30 A) - 7.5 A = 30 A", true),
        ("abs(circuit.load_current - 40 A) = 2.5 A", true),
        ("-circuit.load_current < 0 A", true),
        ("circuit.load_current / 37.5 A = 1", true),
        (
            "if circuit.voltage > 200 V then circuit.load_current < 40 A else false",
            true,
        ),
        (
            "2 + 3 * 4 = 14 and (2 + 3) * 4 = 20 and 7 - 4 - 2 = 1 and 8 / 4 / 2 = 1",
            true,
        ),
    ] {
        assert_eq!(answer(formula, &circuit), Some(expected), "{formula}");
    }
}

#[test]
fn three_values_as_kleene_has_them() {
    let on = [("circuit.continuous", "yes")];
    let off = [("circuit.continuous", "no")];
    for (formula, known, expected) in [
        ("circuit.continuous and circuit.has_box", &off, Some(false)),
        ("circuit.has_box and circuit.continuous", &off, Some(false)),
        ("circuit.continuous and circuit.has_box", &on, None),
        ("circuit.continuous or circuit.has_box", &on, Some(true)),
        ("circuit.has_box or circuit.continuous", &off, None),
        ("not circuit.has_box", &on, None),
        ("circuit.has_box is not known", &on, Some(true)),
        ("circuit.continuous is known", &on, Some(true)),
        (
            "if circuit.continuous then circuit.has_box else true",
            &off,
            Some(true),
        ),
        (
            "circuit.load_current / 0 A > 1 and circuit.continuous",
            &off,
            Some(false),
        ),
    ] {
        assert_eq!(answer(formula, known), expected, "{formula}");
    }
    let gap = truth(
        &read("circuit.load_current < 5 A and circuit.has_box")
            .unwrap()
            .root,
        &facts(&[]),
    );
    assert_eq!(gap.unwrap_err().missing.len(), 2);
}

#[test]
fn a_division_by_zero_is_an_answer() {
    for formula in [
        "circuit.load_current / circuit.breaker_rating < 1",
        "1 A / (2 A - 2 A) > 0",
        "round_up(circuit.load_current, circuit.breaker_rating) > 1 A",
    ] {
        let known = facts(&[("circuit.load_current", "5 A"), ("circuit.breaker_rating", "0 A")]);
        let gap = truth(&read(formula).unwrap().root, &known).unwrap_err();
        assert_eq!((gap.missing.len(), gap.troubles.len()), (0, 1), "{formula}");
    }
    let huge = facts(&[("circuit.load_current", "1e308 A")]);
    let over = read("circuit.load_current * 10 > 1 A").unwrap();
    assert_eq!(truth(&over.root, &huge).unwrap_err().troubles.len(), 1);
}

#[test]
fn kinds_are_kept_apart() {
    let words = |text: &str| read(text).expect_err(text).to_string();
    assert_eq!(
        words("circuit.load_current + circuit.voltage > 0 A"),
        "current and voltage cannot be added"
    );
    let odd = words("circuit.spare_length < 80 psi");
    assert!(
        odd.starts_with("length and gauge pressure or pressure difference cannot be compared"),
        "{odd}"
    );
    assert!(words("circuit.load_current > 5").contains("current and number cannot be compared"));
    assert!(words("circuit.load_current").contains("a flag is wanted here, not a current"));
    assert!(words("circuit.continuous > 3").contains("flag and number cannot be compared"));
    assert!(words("circuit.feeds = \"gas heater\"").contains("storage heater, on-demand heater, other"));
    assert!(words("circuit.feeds > \"other\"").contains("cannot be compared"));
    assert!(words("circuit.lode_current > 3 A").contains("did you mean `circuit.load_current`"));
    assert!(words("fixture.wait > 3 s").contains("does not see `fixture.wait`"));
    assert!(words("80 psi > 60 psi").contains("gauge pressure or pressure difference"));
    assert!(words("circuit.load_current > limit.most").contains("no limit `most`"));
    assert!(words("min(3 A) > 2 A").contains("2 values or more, not 1"));
    assert!(words("abs(3 A, 2 A) > 2 A").contains("one value, not 2"));
    assert!(words("if circuit.continuous then 3 A else 3 V").contains("alternatives"));
    assert!(words("circuit.heavy_neighbors = 50 %").contains("count and ratio"));
    assert!(read("circuit.heavy_neighbors * 2 <= 4").is_ok());
    assert!(read("circuit.terminal_rise < 54 °F").is_ok());
}

#[test]
fn one_unit_of_two_kinds_is_read_by_its_neighbor() {
    let book = RuleBook::embedded();
    let none = BTreeMap::new();
    let names = Names {
        vocabulary: &book.vocabulary,
        scope: "source",
        limits: &none,
    };
    let mut facts = book.facts("source", "test");
    facts
        .set_written("source.set_point", "120 °F", Origin::Entered)
        .unwrap();
    facts
        .set_written("water.static_pressure", "60 psi", Origin::Entered)
        .unwrap();
    for (text, expected) in [
        // 120 °F is a temperature here, 2 °F a difference there: 48.9 °C and 1.1 K.
        ("source.set_point <= 120 °F", true),
        ("source.set_point - 50 °F = source.set_point + 20 °F", false),
        ("abs(source.set_point - source.set_point) <= 2 °F", true),
        ("source.set_point + 2 °F > 121.9 °F", true),
        ("water.static_pressure + 5 psi = 65 psi", true),
        ("water.static_pressure * 2 = 120 psi", true),
    ] {
        match Formula::read(text, &names) {
            Ok(formula) => assert_eq!(truth(&formula.root, &facts), Ok(expected), "{text}"),
            Err(error) => {
                // `set point − 50 °F` may be a temperature or a rise: refused rather than guessed.
                assert!(
                    matches!(error.problem, FormulaProblem::Ambiguous { .. }),
                    "{text}: {error:?}"
                );
            }
        }
    }
}

#[test]
fn formulas_read_back_as_people_write_them() {
    let writer = |system, values| Writer {
        vocabulary: &RuleBook::embedded().vocabulary,
        scope: "circuit",
        system,
        values,
    };
    let known = facts(&[
        ("circuit.load_current", "37.5 A"),
        ("circuit.breaker_rating", "40 A"),
        ("circuit.spare_length", "6 in"),
        ("circuit.terminal_rise", "90 °F"),
        ("circuit.continuous", "no"),
    ]);
    for (text, words, values, result) in [
        (
            "circuit.load_current <= circuit.breaker_rating",
            "load current ≤ breaker rating",
            "37.5 A ≤ 40 A",
            "37.5 A ≤ 40 A, 2.5 A to spare",
        ),
        (
            "2 * (circuit.load_current + 5 A) > circuit.breaker_rating",
            "2 × (load current + 5 A) > breaker rating",
            "2 × (37.5 A + 5 A) > 40 A",
            "85 A > 40 A, 45 A to spare",
        ),
        (
            "circuit.load_current - (1 A - 2 A) < 30 A or circuit.spare_length >= 1 ft",
            "load current − (1 A − 2 A) < 30 A or spare length ≥ 1 ft",
            "37.5 A − (1 A − 2 A) < 30 A or 0.5 ft ≥ 1 ft",
            "38.5 A ≥ 30 A, 8.5 A over; 0.5 ft < 1 ft, 0.5 ft short",
        ),
        (
            "not (circuit.continuous or job.installed)",
            "not (continuous or job installed)",
            "not (continuous (no) or job installed (not known))",
            "",
        ),
        (
            "circuit.terminal_rise < 30 °C",
            "terminal rise < 54 °F",
            "90 °F < 54 °F",
            "90 °F ≥ 54 °F, 36 °F over",
        ),
    ] {
        let formula = read(text).unwrap();
        assert_eq!(writer(UnitSystem::Us, None).write(&formula.root), words);
        let with_values = writer(UnitSystem::Us, Some(&known));
        assert_eq!(with_values.write(&formula.root), values);
        if let Ok(outcome) = truth(&formula.root, &known) {
            assert_eq!(deciding(&formula.root, outcome, &known, &with_values), result);
        }
    }
    let si = read("circuit.spare_length >= 1 ft").unwrap();
    assert_eq!(
        writer(UnitSystem::Si, Some(&known)).write(&si.root),
        "0.15 m ≥ 0.3 m"
    );
}

#[test]
fn the_longest_chain_ends() {
    let chain = "1+".repeat(497) + "1 > 0";
    assert_eq!(answer(&chain, &[]), Some(true));
}

/// A random number of the kind that `unit` belongs to. Now and then a leaf of another kind gets in, to be refused.
fn number_text(unit: &'static str) -> impl Strategy<Value = String> {
    let facts: Vec<&str> = NUMBERS
        .iter()
        .filter(|(_, own)| *own == unit)
        .map(|(name, _)| *name)
        .collect();
    let leaf = prop_oneof![
        10 => proptest::sample::select(facts).prop_map(str::to_owned),
        10 => (0_u32..2000).prop_map(move |tenths| format!("{} {unit}", f64::from(tenths) / 10.0)),
        1 => Just("3 psi".to_owned()),
    ];
    leaf.prop_recursive(3, 12, 3, |inner| {
        prop_oneof![
            (
                inner.clone(),
                proptest::sample::select(vec!["+", "-"]),
                inner.clone()
            )
                .prop_map(|(left, sign, right)| format!("({left} {sign} {right})")),
            (inner.clone(), proptest::sample::select(vec!["*", "/"]), 0_u32..3)
                .prop_map(|(left, sign, factor)| format!("{left} {sign} {factor}")),
            (inner.clone(), inner.clone(), inner.clone())
                .prop_map(|(one, other, third)| format!("{one} / {other} * {third}")),
            (inner.clone(), inner.clone()).prop_map(|(left, right)| format!("max({left}, {right})")),
            (inner.clone(), inner.clone()).prop_map(|(value, step)| format!("round_up({value}, {step})")),
            inner.clone().prop_map(|value| format!("abs({value})")),
            (inner.clone(), inner)
                .prop_map(|(one, other)| { format!("(if circuit.continuous then {one} else {other})") }),
        ]
    })
}

/// Random conditions over random numbers.
fn condition_text() -> impl Strategy<Value = String> {
    let comparison = proptest::sample::select(vec!["A", "V", "%", "ohm", "ft"]).prop_flat_map(|unit| {
        (
            number_text(unit),
            proptest::sample::select(vec!["<", "<=", ">", ">=", "=", "!="]),
            number_text(unit),
        )
            .prop_map(|(left, sign, right)| format!("{left} {sign} {right}"))
    });
    let leaf = prop_oneof![
        3 => comparison,
        1 => proptest::sample::select(FLAGS.to_vec()).prop_map(str::to_owned),
        1 => proptest::sample::select(NUMBERS.to_vec()).prop_map(|(name, _)| format!("{name} is known")),
    ];
    leaf.prop_recursive(3, 8, 2, |inner| {
        prop_oneof![
            (inner.clone(), inner.clone()).prop_map(|(left, right)| format!("({left} and {right})")),
            (inner.clone(), inner.clone()).prop_map(|(left, right)| format!("({left} or {right})")),
            inner.prop_map(|one| format!("not ({one})")),
        ]
    })
}

/// A value for each fact, or none; zero and extremes included.
fn known_facts() -> impl Strategy<Value = Vec<Option<f64>>> {
    let number = prop_oneof![
        Just(0.0),
        // Products of these overflow; their own printing in a smaller unit does not.
        Just(1e200),
        Just(-1e200),
        Just(1e-300),
        -500.0_f64..500.0,
    ];
    proptest::collection::vec(proptest::option::of(number), NUMBERS.len() + FLAGS.len())
}

fn fill(values: &[Option<f64>]) -> FactSet<'static> {
    let book = RuleBook::embedded();
    let mut facts = book.facts("circuit", "random");
    for ((name, _), value) in NUMBERS.iter().zip(values) {
        let ValueKind::Number(kind) = book.vocabulary().fact(name).unwrap().kind else {
            panic!("{name} is a number");
        };
        let value = value.map(|base| Value::Number(kind, base));
        facts.set(name, value, Origin::Computed).unwrap();
    }
    for (name, value) in FLAGS.iter().zip(&values[NUMBERS.len()..]) {
        facts
            .set(name, value.map(|number| number > 0.0), Origin::Computed)
            .unwrap();
    }
    facts
}

#[test]
fn most_random_formulas_are_formulas() {
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    let read = (0..200)
        .filter(|_| read(&condition_text().new_tree(&mut runner).unwrap().current()).is_ok())
        .count();
    assert!((60..200).contains(&read), "{read} of 200");
}

proptest! {
    #[test]
    fn random_formulas_never_panic_and_never_leave_a_number_that_is_none(
        text in condition_text(), values in known_facts()
    ) {
        let Ok(formula) = read(&text) else { return Ok(()) };
        let known = fill(&values);
        let outcome = truth(&formula.root, &known);
        formula.root.each(&mut |node| {
            if let Ok(Value::Number(_, base)) = value(node, &known) {
                assert!(base.is_finite(), "{text}");
            }
        });
        for system in [UnitSystem::Us, UnitSystem::Si] {
            let writer = Writer { vocabulary: &RuleBook::embedded().vocabulary, scope: "circuit", system, values: Some(&known) };
            prop_assert!(!writer.write(&formula.root).is_empty());
            if let Ok(outcome) = &outcome {
                prop_assert!(!deciding(&formula.root, *outcome, &known, &writer).contains("not a number"));
            }
        }
    }

    /// Learning a fact may settle an open question, but never turns an answer, unless the formula asks what is known.
    #[test]
    fn more_facts_never_turn_an_answer(text in condition_text(), values in known_facts(), more in known_facts()) {
        let Ok(formula) = read(&text) else { return Ok(()) };
        if text.contains("is known") { return Ok(()) }
        let together: Vec<Option<f64>> = values.iter().zip(&more).map(|(first, second)| first.or(*second)).collect();
        let before = truth(&formula.root, &fill(&values));
        // Trouble with a number counts as not answered.
        if let Ok(before) = before {
            prop_assert_eq!(truth(&formula.root, &fill(&together)), Ok(before));
        }
    }

    #[test]
    fn a_condition_and_its_opposite_differ(text in condition_text(), values in known_facts()) {
        let (Ok(one), Ok(other)) = (read(&text), read(&format!("not ({text})"))) else { return Ok(()) };
        let known = fill(&values);
        match (truth(&one.root, &known), truth(&other.root, &known)) {
            (Ok(one), Ok(other)) => prop_assert_ne!(one, other),
            (Err(one), Err(other)) => prop_assert_eq!(one, other),
            (one, other) => prop_assert!(false, "{one:?} against {other:?}"),
        }
    }
}
