//! Candidates of the example jobs, held against hand arithmetic and against what must be true of any house.
//!
//! Source: handbook electrical.md section 13, case LC4 (computed): the 100 A house with 27 kW is 26 680 VA, 111.2 A by
//! NEC 220.83. Three two-pole breakers take six spaces (common practice, no source).

use assess::DatedDesk;
use job::{Job, SourceStatus};
use options::{Evaluated, TankFate, candidates, evaluate, pareto};
use quantity::{Power, VolumeFlow};
use std::sync::LazyLock;
use trace::Severity;

fn example(name: &str) -> Job {
    let path = format!("{}/../../examples/{name}.job.toml", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{path}: {error}"));
    toml::from_str(&text).unwrap_or_else(|error| panic!("{path}: {error}"))
}

fn evaluated(name: &str) -> Vec<Evaluated> {
    let desk = DatedDesk {
        today: jiff::civil::date(2026, 11, 25),
        electrical: None,
    };
    evaluate(&example(name), &desk)
}

static FAR_BATH: LazyLock<Vec<Evaluated>> = LazyLock::new(|| evaluated("far-bath"));
static HUNDRED_AMP: LazyLock<Vec<Evaluated>> = LazyLock::new(|| evaluated("hundred-amp"));

fn found<'a>(list: &'a [Evaluated], label: &str) -> &'a Evaluated {
    let one = list.iter().find(|one| one.label == label);
    one.unwrap_or_else(|| panic!("no candidate `{label}`"))
}

#[test]
fn every_candidate_is_a_record_that_can_be_used() {
    for (name, count) in [("far-bath", 40), ("hundred-amp", 20), ("apartment", 20)] {
        let all = candidates(&example(name));
        assert_eq!(all.len(), count, "{name}");
        for candidate in all {
            assert_eq!(
                job::validate(&candidate.job),
                Vec::new(),
                "{name}: {}",
                candidate.label
            );
        }
    }
    let mut without = example("far-bath");
    for source in &mut without.sources {
        source.status = SourceStatus::Existing;
    }
    assert_eq!(candidates(&without), Vec::new());
}

#[test]
fn the_record_itself_is_among_the_candidates_unchanged() {
    let job = example("far-bath");
    let all = candidates(&job);
    let same: Vec<_> = all.iter().filter(|candidate| candidate.as_written).collect();
    assert_eq!(same.len(), 1);
    assert_eq!(
        (&*same[0].label, same[0].tank),
        ("2 × 9 kW", Some(TankFate::Kept))
    );
    assert_eq!(same[0].job, job);
}

#[test]
fn circuits_are_one_an_element_on_the_run_of_the_first() {
    let job = example("far-bath");
    let all = candidates(&job);
    let four = all.iter().find(|candidate| candidate.label == "4 × 6 kW");
    let four = four.expect("it is in the range");
    let ids: Vec<&str> = four.job.circuits.iter().map(|circuit| &*circuit.id).collect();
    assert_eq!(ids, ["W1", "W2", "unit-1", "unit-2"]);
    for (number, circuit) in (1..).zip(&four.job.circuits) {
        assert_eq!(circuit.elements, [number]);
        assert_eq!(circuit.route, job.circuits[0].route);
        assert_eq!(circuit.cable, job.circuits[0].cable);
        assert_eq!(
            (circuit.breaker, circuit.conductor),
            (None, None),
            "designed for the new load"
        );
    }
    let unit = &four.job.sources[0];
    assert!(
        unit.pressure_drop.is_empty() && unit.breaker_max.is_none(),
        "the label was another unit's"
    );
    assert_eq!(unit.set_point, job.sources[0].set_point);
}

#[test]
fn a_removed_tank_frees_service_and_leaves_no_mode_behind() {
    let job = example("far-bath");
    let all = candidates(&job);
    for candidate in all.iter().filter(|one| one.tank == Some(TankFate::Removed)) {
        let modes: Vec<&str> = candidate
            .job
            .piping
            .modes
            .iter()
            .map(|mode| &*mode.name)
            .collect();
        assert_eq!(modes, ["unit serves the house"]);
    }
    let (kept, removed) = FAR_BATH.split_at(FAR_BATH.len() / 2);
    for pair in kept.iter().zip(removed).map(|(kept, removed)| [kept, removed]) {
        assert_eq!(pair[0].label, pair[1].label);
        assert!(
            pair[1].service_margin > pair[0].service_margin,
            "{}",
            pair[1].label
        );
        // 4.5 kW of tank at 40 % of 240 V (NEC 220.83, seen as quoted): 7.5 A.
        let freed = pair[1].service_margin.expect("a service") - pair[0].service_margin.expect("a service");
        assert!((freed.as_amperes() - 7.5).abs() < 1e-6, "{freed:?}");
    }
}

#[test]
fn more_power_never_lowers_the_shower_flow() {
    for list in [&*FAR_BATH, &*HUNDRED_AMP] {
        for one in list {
            for more in list.iter().filter(|other| other.tank == one.tank) {
                let (few, many) = (one.spaces_needed, more.spaces_needed);
                let (small, large) = (
                    one.installed_power.as_watts() / f64::from(few),
                    more.installed_power.as_watts() / f64::from(many),
                );
                // More elements, larger ones, or both. Equal power in fewer, larger elements loses more on the way.
                if many >= few && large >= small - 1e-6 {
                    let least = VolumeFlow::from_liters_per_minute(1e-9);
                    assert!(
                        more.shower_flow.expect("a flow") + least >= one.shower_flow.expect("a flow"),
                        "{} against {}",
                        more.label,
                        one.label
                    );
                }
            }
        }
    }
}

#[test]
fn the_service_rejects_27_kilowatts_on_100_amperes() {
    let unit = found(&HUNDRED_AMP, "3 × 9 kW");
    assert!(unit.as_written);
    assert!((unit.installed_power.as_kilowatts() - 27.0).abs() < 1e-9);
    assert_eq!((unit.spaces_needed, unit.spaces_free), (6, Some(2)));
    // LC4: 26 680 VA / 240 V = 111.17 A, 11.17 A over the rating.
    let margin = unit.service_margin.expect("a service").as_amperes();
    assert!((margin - (100.0 - 26_680.0 / 240.0)).abs() < 1e-6, "{margin}");
    let rejection = unit.killed_by.as_ref().expect("it does not fit");
    assert_eq!(rejection.severity, Severity::Change);
    assert_eq!(rejection.rule, "service.load-fits");
    assert!(rejection.message.contains("111.2 A"), "{}", rejection.message);
}

#[test]
fn spaces_reject_what_the_service_would_carry() {
    // LC3 (computed): 18 kW is 23 080 VA, 96.2 A; two breakers need four spaces, two are free.
    let unit = found(&HUNDRED_AMP, "2 × 9 kW");
    let margin = unit.service_margin.expect("a service").as_amperes();
    assert!((margin - (100.0 - 23_080.0 / 240.0)).abs() < 1e-6, "{margin}");
    assert_eq!(unit.killed_by.as_ref().map(|it| &*it.rule), Some("panel.spaces"));
}

#[test]
fn unbeaten_ones_stand_on_both_ends() {
    for list in [&*FAR_BATH, &*HUNDRED_AMP] {
        let best = pareto(list);
        let largest = list.iter().map(|one| one.installed_power).reduce(Power::max);
        assert!(
            best.iter().any(|one| Some(one.installed_power) == largest),
            "nothing gives more flow"
        );
        assert!(
            best.iter().any(|one| one.spaces_needed == 2),
            "nothing needs fewer spaces"
        );
        assert!(best.len() < list.len());
    }
}
