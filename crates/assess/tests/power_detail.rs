//! Wiring, panel placement, alternatives, disturbance and metric circuits of whole jobs, held against hand arithmetic.
//!
//! Loads by NEC 220.83 worked by hand (8 kVA at 100 %, the rest at 40 %; seen as quoted in trade forums); conductors of a
//! service by Table 310.12 (seen in reprints); metric ampacity by IEC 60364-5-52 (seen transcribed).

#![allow(clippy::unwrap_used)] // what only tests call is a test too

use assess::{Assessment, DatedDesk, PriceDifference, assess};
use job::{Breaker, Job, PowerControl, SupplySystem};
use quantity::{Current, Voltage};
use trace::Severity;

fn example(name: &str) -> Job {
    let path = format!("{}/../../examples/{name}.job.toml", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{path}: {error}"));
    toml::from_str(&text).unwrap_or_else(|error| panic!("{path}: {error}"))
}

fn assessed(job: &Job) -> Assessment {
    assert_eq!(job::validate(job), Vec::new());
    let desk = DatedDesk {
        today: jiff::civil::date(2026, 11, 25),
        electrical: None,
    };
    assess(job, &desk)
}

fn breaker(label: &str, at: &[u16]) -> Breaker {
    Breaker {
        label: label.to_owned(),
        rating: Current::from_amperes(20.0),
        poles: u8::try_from(at.len()).expect("few places"),
        at: at.to_vec(),
        shares_neutral: false,
    }
}

#[test]
fn what_else_could_be_done_is_worked_out_for_a_small_service() {
    let found = assessed(&example("hundred-amp"));
    let detail = &found.service.as_ref().unwrap().detail;
    // 1500 ft² · 3 + 3 · 1500 + 12,000 + 5500 + 1200 + 27,000 VA = 54,700: 8000 + 0.4 · 46,700 = 26,680 VA, 111.2 A.
    let counted = |heater: &str, method: &str| {
        let found = detail
            .counted_otherwise
            .iter()
            .find(|one| one.heater.contains(heater) && one.method == method);
        found.unwrap().current.as_amperes()
    };
    assert!((counted("like any appliance", "existing") - 26_680.0 / 240.0).abs() < 0.01);
    // At 100 % outside the factor: 8000 + 0.4 · 19,700 + 27,000 = 42,880 VA; at 125 %: 49,630 VA.
    assert!((counted("100 %", "existing") - 42_880.0 / 240.0).abs() < 0.01);
    assert!((counted("125 %", "existing") - 49_630.0 / 240.0).abs() < 0.01);
    // With the range kept off while the heater runs, 12,000 VA leave the pool: 8000 + 0.4 · 34,700 = 21,880 VA, 91.2 A.
    let range = detail
        .alternatives
        .iter()
        .find(|one| one.what.contains("range"))
        .unwrap();
    assert!((range.by_method[0].current.as_amperes() - 21_880.0 / 240.0).abs() < 0.01);
    assert!(range.by_method[0].fits);
    // The standard method asks for most: 46,800 VA, 195 A, so a service of 200 A; Table 310.12: 2/0 copper, 4/0 aluminum.
    let upgrade = detail
        .alternatives
        .iter()
        .find(|one| one.id == "service")
        .unwrap();
    assert!((upgrade.rating.as_amperes() - 200.0).abs() < 1e-9);
    let conductors = detail.conductors.last().unwrap();
    assert_eq!(
        (conductors.copper.to_string(), conductors.aluminum.to_string()),
        ("2/0 AWG".to_owned(), "4/0 AWG".to_owned())
    );
    // A smaller unit fits every method and brings less flow than the planned one, in proportion.
    let smaller = detail
        .alternatives
        .iter()
        .find(|one| one.id == "smaller")
        .unwrap();
    assert!(smaller.by_method.iter().all(|load| load.fits));
    let planned = found.heaters.iter().find(|heater| heater.id == "unit").unwrap();
    let share = smaller.heater_power.unwrap() / planned.rated_power;
    let flows = smaller.flow_coldest.unwrap() / planned.flow_at_set_point_coldest.unwrap();
    assert!((share - flows).abs() < 1e-9 && share < 1.0);
}

#[test]
fn neighbors_feel_less_than_the_house_and_bursts_flicker_more() {
    let mut job = example("far-bath");
    let felt = |job: &Job| assessed(job).service.unwrap().detail.disturbance.unwrap();
    let staged = felt(&job);
    let [one, all] = &staged.steps[..] else {
        panic!("{staged:?}")
    };
    assert!(one.neighbors < one.panel && one.panel < all.panel);
    // A lamp between line and neutral sinks by the same share as the panel: a load between the lines moves both legs alike.
    assert!((all.lamp / all.panel - 1.0).abs() < 0.01, "{all:?}");
    for source in &mut job.sources {
        source.control = Some(PowerControl::Bursts);
        source.changes_per_minute = Some(1000);
    }
    let bursts = felt(&job);
    assert!(bursts.steps[0].severity.unwrap() > one.severity.unwrap());
    assert!((bursts.steps[0].panel / one.panel - 1.0).abs() < 1e-9);
}

#[test]
fn more_heaters_on_one_transformer_run_it_hotter() {
    let found = assessed(&example("far-bath"));
    let sheet = found.service.unwrap().detail.transformer.unwrap();
    assert_eq!(sheet.houses, 3);
    assert!(sheet.cases.len() >= 3);
    for pair in sheet.cases.windows(2) {
        assert!(
            pair[0].hot_spot < pair[1].hot_spot
                && pair[0].load < pair[1].load
                && pair[0].aging < pair[1].aging
        );
    }
    // 3 houses of 2 kVA and one 18 kW heater on 25 kVA: 24 kVA, 96 % (hand arithmetic).
    assert!((sheet.cases[1].share.as_percent() - 96.0).abs() < 1e-6);
}

#[test]
fn new_breakers_find_their_spaces_and_the_directory_names_them() {
    let mut job = example("hundred-amp");
    let panel = &mut job.service.as_mut().unwrap().panels[0];
    panel.spaces = Some(12);
    panel.free_spaces = None;
    // 1, 3, 5 | 2, 4: six spaces stay free on the right and 7, 9, 11 on the left.
    panel.breakers = [1_u16, 3, 5, 2, 4]
        .iter()
        .map(|space| breaker(&format!("circuit {space}"), &[*space]))
        .collect();
    let found = assessed(&job);
    let placement = found.panels[0].placement.as_ref().unwrap();
    assert_eq!(placement.added.len(), 3);
    assert!(placement.moves.is_empty());
    for added in &placement.added {
        assert_eq!(added.spaces[1], added.spaces[0] + 2);
    }
    assert!(
        placement
            .directory
            .iter()
            .any(|line| line.text.starts_with("W1: whole-house"))
    );
    // One space short on each side: something must move, or there is no room.
    job.service.as_mut().unwrap().panels[0].spaces = Some(8);
    let tight = assessed(&job);
    assert!(tight.panels[0].placement.is_none());
    assert!(
        tight.panels[0]
            .no_room
            .as_ref()
            .unwrap()
            .contains("6 poles are needed and 3 are free")
    );
}

#[test]
fn an_outside_disconnect_makes_the_old_shared_bar_a_finding() {
    let mut job = example("hundred-amp");
    let shared_bar = |job: &Job| {
        let found = assessed(job);
        let finding = found
            .findings
            .iter()
            .find(|finding| finding.rule == "panel.shared-bar" && finding.subject == "panel main");
        finding.map(|finding| finding.severity)
    };
    let as_service = shared_bar(&job);
    assert_ne!(as_service, Some(Severity::Change));
    job.service.as_mut().unwrap().disconnect_outside = Some(true);
    let as_subpanel = shared_bar(&job);
    assert!(
        matches!(as_subpanel, Some(Severity::Stop | Severity::Change)),
        "{as_subpanel:?}"
    );
}

#[test]
fn a_three_phase_supply_is_designed_by_the_metric_rules() {
    let mut job = example("hundred-amp");
    let service = job.service.as_mut().unwrap();
    service.system = SupplySystem::ThreePhase230_400;
    service.measured_voltage = Some(Voltage::from_volts(398.0));
    service.rating = Current::from_amperes(63.0);
    for element in job.sources.iter_mut().flat_map(|source| &mut source.elements) {
        element.voltage = Voltage::from_volts(400.0);
    }
    let found = assessed(&job);
    // 9 kW on 400 V: 22.5 A, 25 A breaker; three circuits together carry 0.7 of the table: clipped 4 mm² 36 · 0.7 = 25.2 A.
    assert_eq!(found.metric_circuits.len(), 3);
    let first = &found.metric_circuits[0];
    assert!((first.design_current.as_amperes() - 22.5).abs() < 1e-9);
    assert!((first.breaker.as_amperes() - 25.0).abs() < 1e-9);
    assert!(first.ampacity >= first.breaker, "{}", first.working);
    // Each element stands between its own pair of lines.
    let wires: Vec<&str> = found
        .circuits
        .iter()
        .map(|circuit| circuit.wiring.wires.as_str())
        .collect();
    assert_eq!(
        wires,
        ["line A and line B", "line B and line C", "line C and line A"]
    );
}

#[test]
fn a_price_difference_is_given_or_said_to_be_missing() {
    let mut job = example("far-bath");
    for circuit in &mut job.circuits {
        circuit.drop_target = Some("1 %".parse().unwrap());
    }
    let found = assessed(&job);
    let extra = &found.circuits[0].wiring.extra_for_drop;
    let PriceDifference::Missing(items) = extra else {
        panic!("{extra:?}")
    };
    assert_eq!(items.len(), 2);
}
