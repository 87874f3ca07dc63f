//! Pressure and flow of fixtures that run together, on the example jobs, against laws that any piping obeys.
//!
//! Sources: orifice law and heat balance by hand (handbook of the project, water sections 3 and 7); otherwise properties.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "helpers of a test fail as tests do"
)]

use assess::{Assessment, DatedDesk, assess};
use job::Job;

fn example(name: &str) -> (Job, Assessment) {
    let path = format!("{}/../../examples/{name}.job.toml", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{path}: {error}"));
    let job: Job = toml::from_str(&text).unwrap_or_else(|error| panic!("{path}: {error}"));
    let desk = DatedDesk {
        today: jiff::civil::date(2026, 11, 25),
        electrical: None,
    };
    let assessment = assess(&job, &desk);
    (job, assessment)
}

#[test]
fn an_open_fixture_follows_its_orifice_alone_and_among_others() {
    let (job, found) = example("far-bath");
    assert!(!found.pressures.is_empty());
    for situation in &found.pressures {
        for fixture in &situation.fixtures {
            let of = job.fixtures.iter().find(|of| of.id == fixture.id).unwrap();
            let alone = found
                .fixtures
                .iter()
                .find(|alone| alone.id == fixture.id)
                .unwrap();
            let (Some(pressure), Some(alone_pressure)) = (fixture.pressure, alone.pressure) else {
                panic!("{}: no water", fixture.id)
            };
            if of.pressure_compensated == Some(true) || fixture.aim_flow.is_some() {
                continue;
            }
            // Q/Q₁ = √(p/p₁), whatever the rated point is.
            let by_law = (pressure / alone_pressure).sqrt();
            let found = fixture.flow / alone.flow;
            assert!(
                (found / by_law - 1.0).abs() < 1e-4,
                "{} {}: {found} {by_law}",
                situation.name,
                fixture.id
            );
        }
    }
}

#[test]
fn together_nobody_gets_more_than_alone() {
    let (_, found) = example("far-bath");
    let everything = found
        .pressures
        .iter()
        .find(|one| one.name == "everything at once")
        .unwrap();
    let mut sum = 0.0;
    for fixture in &everything.fixtures {
        let alone = found
            .fixtures
            .iter()
            .find(|alone| alone.id == fixture.id)
            .unwrap();
        // Whoever opens the hot side wide may lose less on it than with the share taken alone.
        assert!(fixture.flow <= alone.flow * 1.02, "{}", fixture.id);
        sum += fixture.flow.as_gallons_per_minute();
    }
    let alone: f64 = found
        .fixtures
        .iter()
        .map(|alone| alone.flow.as_gallons_per_minute())
        .sum();
    assert!(sum < alone, "{sum} {alone}");
}

#[test]
fn a_tub_wide_open_is_closed_down_to_what_the_power_warms() {
    let (_, found) = example("far-bath");
    let tub = &found.tubs[0];
    let situation = found
        .pressures
        .iter()
        .find(|one| one.name.ends_with("wide open"))
        .unwrap();
    let aim = situation.fixtures[0].aim_flow.unwrap();
    // kW = 0.1465 gpm °F, worked by hand for the delivered power and 104 °F.
    let by_hand = found.heaters[0].delivered_power.as_kilowatts()
        / (0.1465 * (104.0 - found.mains.coldest.as_fahrenheit()));
    assert!(
        (aim.as_gallons_per_minute() / by_hand - 1.0).abs() < 0.005,
        "{aim:?} {by_hand}"
    );
    assert!((aim / tub.throttled_flow - 1.0).abs() < 1e-3);
    let temperature = situation.fixtures[0].temperature.unwrap();
    assert!(
        (temperature.as_fahrenheit() - 104.0).abs() < 0.05,
        "{temperature:?}"
    );
}
