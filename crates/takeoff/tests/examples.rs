//! The material lists of the three example jobs, held against hand arithmetic with the allowances of field practice.
//!
//! Source: `checks/takeoff/allowances.toml` (common practice; the spacing of staples from memory; worked by hand).

use assess::{Assessment, DatedDesk, assess};
use job::{CableType, Job, SourceStatus};
use proptest::prelude::*;
use quantity::{Length, UnitSystem};
use takeoff::{MaterialLine, Quantity, materials};

fn example(name: &str) -> Job {
    let path = format!("{}/../../examples/{name}.job.toml", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{path}: {error}"));
    toml::from_str(&text).unwrap_or_else(|error| panic!("{path}: {error}"))
}

fn assessed(job: &Job) -> Assessment {
    let desk = DatedDesk {
        today: jiff::civil::date(2026, 11, 25),
        electrical: None,
    };
    assess(job, &desk)
}

fn list(job: &Job) -> Vec<MaterialLine> {
    materials(job, &assessed(job))
}

fn quantity(lines: &[MaterialLine], item: &str) -> Option<Quantity> {
    let mut found = lines.iter().filter(|line| line.item == item);
    let first = found.next().map(|line| line.quantity);
    assert_eq!(found.next(), None, "`{item}` stands in one line");
    first
}

fn count(lines: &[MaterialLine], item: &str) -> f64 {
    match quantity(lines, item) {
        Some(Quantity::Count(count)) => f64::from(count),
        other => panic!("`{item}` is {other:?} in {lines:#?}"),
    }
}

fn feet(lines: &[MaterialLine], item: &str) -> f64 {
    match quantity(lines, item) {
        Some(Quantity::Length(length)) => length.as_feet(),
        other => panic!("`{item}` is {other:?} in {lines:#?}"),
    }
}

#[test]
fn cable_breakers_and_staples_are_those_worked_by_hand() {
    for case in checks::load("takeoff/allowances.toml").cases {
        let lines = list(&example(&case.id));
        let cable = case.given_text("item");
        case.close("length_ft", feet(&lines, cable));
        case.close("breakers", count(&lines, case.given_text("breaker")));
        case.close(
            "staples",
            count(&lines, &format!("staple or support for {cable}")),
        );
        let connectors = count(&lines, &format!("connector for {cable}"));
        case.close("breakers", connectors / 2.0);
    }
}

#[test]
fn the_unit_and_what_the_record_says_of_it() {
    let lines = list(&example("far-bath"));
    let unit = "on-demand unit, 18 kW in all, elements: 9 kW at 240 V + 9 kW at 240 V";
    assert!((count(&lines, unit) - 1.0).abs() < 1e-9);
    let pairs = count(&lines, "pair of isolation valves with service ports");
    assert!((pairs - 1.0).abs() < 1e-9);
    // V1 to V4 of the record.
    let valves = count(&lines, "ball valve for change-over, 3/4 in");
    assert!((valves - 4.0).abs() < 1e-9);
    assert_eq!(quantity(&lines, "relief device"), Some(Quantity::NotCounted));
    let pipes = quantity(&lines, "pipe, fittings and other valves");
    assert_eq!(pipes, Some(Quantity::NotCounted));
}

#[test]
fn raceway_comes_in_sticks_for_single_conductors() {
    let lines = list(&example("apartment"));
    // 38 ft x 1.05 = 39.9 ft, four sticks. Three 10 AWG of 0.0211 in² are 0.0633 in², within the 0.122 in² that
    // Chapter 9 Table 4 (seen) gives for 1/2 in EMT at 40 %.
    let sticks = count(&lines, "EMT, trade size 1/2, stick of 10 ft");
    assert!((sticks - 4.0).abs() < 1e-9);
    // (39 x 1.10 + 5) = 47.9 ft; twice 95.8.
    assert!((feet(&lines, "THWN-2 conductor, copper, 10 AWG") - 96.0).abs() < 1e-9);
    let ground = feet(&lines, "equipment ground conductor, insulated, copper, 10 AWG");
    assert!((ground - 48.0).abs() < 1e-9);
    assert!(!lines.iter().any(|line| line.item.starts_with("staple")));
}

#[test]
fn what_stands_already_is_not_bought() {
    let mut job = example("far-bath");
    for circuit in &mut job.circuits {
        circuit.existing = true;
    }
    for heater in &mut job.sources {
        heater.status = SourceStatus::Existing;
    }
    assert_eq!(list(&job), Vec::new());
}

#[test]
fn single_conductors_beside_cable_get_a_raceway_of_their_own() {
    let mut job = example("far-bath");
    job.circuits[1].cable = Some(CableType::Thwn2);
    let lines = list(&job);
    let sticks: Vec<_> = lines
        .iter()
        .filter(|line| line.item.ends_with("stick of 10 ft"))
        .collect();
    // 82 ft x 1.05 = 86.1 ft.
    assert_eq!(sticks.len(), 1);
    assert_eq!(sticks[0].quantity, Quantity::Count(9));
    assert!(sticks[0].basis.contains("EMT was taken"), "{}", sticks[0].basis);
}

#[test]
fn a_circuit_without_a_run_says_that_its_length_is_assumed() {
    let mut job = example("far-bath");
    job.circuits.clear();
    let lines = list(&job);
    let cable = lines
        .iter()
        .find(|line| matches!(line.quantity, Quantity::Length(_)))
        .expect("cable is planned");
    assert!(cable.basis.contains("none was surveyed"), "{}", cable.basis);
}

/// Length of all cable and conductor.
fn all_length(job: &Job, units: UnitSystem) -> f64 {
    let mut assessment = assessed(job);
    assessment.head.units = units;
    materials(job, &assessment)
        .iter()
        .map(|line| match line.quantity {
            Quantity::Length(length) => length.as_feet(),
            _ => 0.0,
        })
        .sum()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn a_longer_run_never_takes_less_cable(
        name in prop::sample::select(vec!["far-bath", "hundred-amp", "apartment"]),
        feet in 0.5..120.0_f64,
        more in 0.0..80.0_f64,
        si in any::<bool>(),
    ) {
        let units = if si { UnitSystem::Si } else { UnitSystem::Us };
        let mut job = example(name);
        job.routes[0].segments[0].length = Length::from_feet(feet);
        let short = all_length(&job, units);
        job.routes[0].segments[0].length = Length::from_feet(feet + more);
        let long = all_length(&job, units);
        prop_assert!(long >= short - 1e-6, "{name}: {feet} ft takes {short} ft, {} ft takes {long} ft", feet + more);
        let circuits = assessed(&job).circuits;
        let run: f64 = circuits.iter().map(|circuit| circuit.length.as_feet()).sum();
        prop_assert!(long > run, "{name}: more than the run itself");
    }
}
