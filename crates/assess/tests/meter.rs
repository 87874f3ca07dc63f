//! A meter file on the desk: what an assessment takes from it, and the heater laid over it.

use assess::demand::{OverlayError, OverlaySettings, overlay};
use assess::{DatedDesk, MeterReport, MeteredDesk, assess, meter_report};
use job::{Fixture, FixtureKind, HeatSource, Job, SourceKind, SourceStatus};
use meter::{CsvOptions, Import, csv_file};
use quantity::{Current, Power, Temperature, Time, Voltage, VolumeFlow};
use std::fmt::Write as _;
use trace::Severity;

fn desk() -> DatedDesk {
    DatedDesk {
        today: jiff::civil::date(2026, 11, 25),
        electrical: None,
    }
}

/// A year of intervals of so many minutes, each with the mean power given for its number.
fn year(interval_min: i64, watts: impl Fn(i64) -> f64) -> Import {
    let mut text = "start,W\n".to_owned();
    for index in 0..365 * 1440 / interval_min {
        let start = 1_704_067_200 + index * interval_min * 60;
        let _ = writeln!(text, "{start},{}", watts(index));
    }
    csv_file(text.as_bytes(), &CsvOptions::default()).expect("a year")
}

fn report(import: &Import) -> MeterReport {
    meter_report(import, import.demand(None).expect("one series")).expect("readings")
}

/// One shower on one unit, nothing else known.
fn house(rating_a: f64, unit_kw: f64, uses_per_day: f64) -> Job {
    let source = HeatSource {
        control: None,
        changes_per_minute: None,
        id: "unit".into(),
        name: None,
        kind: SourceKind::OnDemand,
        status: SourceStatus::Proposed,
        inlet: None,
        outlet: None,
        space: None,
        set_point: Some(Temperature::from_fahrenheit(120.0)),
        elements: vec![job::Element {
            power: Power::from_kilowatts(unit_kw),
            voltage: Voltage::from_volts(240.0),
        }],
        simultaneous: None,
        breaker_max: None,
        circuits_required: None,
        listed: None,
        cord_and_plug: None,
        terminal_rating_c: None,
        volume: None,
        activation_flow: Some(VolumeFlow::from_gallons_per_minute(0.4)),
        flow_max: None,
        pressure_min: None,
        inlet_max: None,
        pressure_drop: Vec::new(),
        relief: None,
        service_valves: None,
        temperature_listing: None,
        interlocked_with: None,
        plastic_pipe_distance: None,
    };
    let shower = Fixture {
        id: "shower".into(),
        name: None,
        kind: FixtureKind::Shower,
        hot: None,
        cold: None,
        rated_flow: Some(VolumeFlow::from_gallons_per_minute(2.0)),
        rated_pressure: None,
        pressure_compensated: Some(true),
        use_temperature: Some(Temperature::from_fahrenheit(105.0)),
        fill_volume: None,
        protection: None,
        uses_per_day: Some(uses_per_day),
        use_time: Some(Time::from_minutes(8.0)),
    };
    Job {
        schema: 1,
        service: Some(job::Service {
            disconnect_outside: None,
            system: job::SupplySystem::SplitPhase120_240,
            rating: Current::from_amperes(rating_a),
            measured_voltage: None,
            transformer: None,
            drop: None,
            fault_current: None,
            panels: Vec::new(),
        }),
        sources: vec![source],
        fixtures: vec![shower],
        ..Job::default()
    }
}

fn settings(years: u32) -> OverlaySettings {
    OverlaySettings {
        years,
        ..OverlaySettings::default()
    }
}

#[test]
fn the_file_on_the_desk_gives_the_measured_load_and_its_length() {
    let import = year(15, |index| if index == 7000 { 9600.0 } else { 800.0 });
    let meter = Some(report(&import).summary());
    let job = house(100.0, 18.0, 2.0);
    let found = assess(&job, &MeteredDesk { desk: desk(), meter });
    let methods = found.service.expect("a service").methods;
    let measured = methods
        .iter()
        .find(|method| method.id == "measured")
        .expect("the measured method");
    // Fact sheet, case LC6 (computed): peak 9.6 kW and 18 kW: 30.0 kVA, 125.0 A.
    assert!(
        (measured.current.as_amperes() - 125.0).abs() < 1e-6,
        "{measured:?}"
    );
    let severity = |rule: &str| {
        found
            .findings
            .iter()
            .find(|finding| finding.rule == rule)
            .map(|finding| finding.severity)
    };
    assert_eq!(severity("service.record-length"), Some(Severity::Met));
    assert!(
        assess(&job, &desk())
            .service
            .is_some_and(|service| service.methods.iter().all(|method| method.id != "measured"))
    );
}

#[test]
fn the_larger_of_file_and_entry_counts() {
    let import = year(15, |_| 5000.0);
    let meter = Some(report(&import).summary());
    let mut job = house(100.0, 18.0, 2.0);
    job.loads.measured_maximum = Some(Power::from_kilowatts(7.2));
    let found = assess(&job, &MeteredDesk { desk: desk(), meter });
    let methods = found.service.expect("a service").methods;
    let measured = methods
        .iter()
        .find(|method| method.id == "measured")
        .expect("the measured method");
    assert!((measured.total.as_volt_amperes() - (1.25 * 7200.0 + 18_000.0)).abs() < 1e-6);
}

#[test]
fn hourly_data_leave_the_quarter_hour_open() {
    let import = year(60, |index| if index == 100 { 3600.0 } else { 500.0 });
    let meter = report(&import).summary();
    assert!((meter.maximum.as_kilowatts() - 3.6).abs() < 1e-6);
    assert!((meter.maximum_bound.as_kilowatts() - 14.4).abs() < 1e-6);
    let found = assess(
        &house(100.0, 18.0, 2.0),
        &MeteredDesk {
            desk: desk(),
            meter: Some(meter),
        },
    );
    let gap = found
        .findings
        .iter()
        .find(|finding| finding.title.contains("15 minutes"))
        .expect("a gap");
    assert!(
        gap.severity == Severity::Unknown && gap.message.contains("14.4 kW"),
        "{gap:?}"
    );
}

#[test]
fn short_records_and_generation_are_told() {
    let text = "start,W\n2024-01-01T00:00:00Z,100\n2024-01-01T00:15:00Z,-200\n2024-01-01T00:30:00Z,300\n";
    let import = csv_file(text.as_bytes(), &CsvOptions::default()).expect("a file");
    let meter = report(&import).summary();
    assert!(meter.generation);
    let found = assess(
        &house(100.0, 9.0, 2.0),
        &MeteredDesk {
            desk: desk(),
            meter: Some(meter),
        },
    );
    let finding = found
        .findings
        .iter()
        .find(|finding| finding.rule == "service.record-length")
        .expect("the rule");
    assert_eq!(finding.severity, Severity::Judge);
}

#[test]
fn the_minute_shows_what_the_interval_hides() {
    // A constant house of 4 kW; two showers a day of 8 minutes.
    let import = year(60, |_| 4000.0);
    let job = house(100.0, 27.0, 2.0);
    let assessment = assess(&job, &desk());
    let series = import.demand(None).expect("one series");
    let found = overlay(&job, &assessment, series, &import.local, &settings(20)).expect("an overlay");
    // The unit's power for the shower in the coldest month, never more: 2 gpm and 60 °F of rise are 17.6 kW by the trade's
    // constant, and flows are at most full.
    let shower = assessment.fixtures[0].power_coldest;
    let peak = found.by_minute.highest - Power::from_kilowatts(4.0);
    assert!(
        peak <= shower * 1.0001 && peak >= shower * 0.98,
        "{peak:?} {shower:?}"
    );
    // Within the hour it reads as less than half: a shower longer than half an hour does not come in 20 years of two a day.
    assert!(
        found.by_interval.highest < found.by_minute.highest * 0.75,
        "{found:?}"
    );
    assert!(
        found
            .by_interval
            .all
            .iter()
            .zip(&found.by_minute.all)
            .all(|(interval, minute)| interval <= minute)
    );
    // 100 A at 240 V is 24 kW: 4 kW and the shower stay below it.
    assert_eq!((found.by_minute.years_above, found.runs[0].years), (0, 0));
    // Energy: two showers of 8 min at 2 gpm each day, 0.1465 kW per gpm and °F by the trade's constant.
    let months = &assessment.mains.months;
    let rise_f: f64 = months
        .iter()
        .map(|inlet| 105.0 - inlet.as_fahrenheit())
        .sum::<f64>()
        / 12.0;
    let expected = 2.0 * 8.0 / 60.0 * 0.1465 * 2.0 * rise_f;
    let ratio = found.hot_water_per_day.as_kilowatt_hours() / expected;
    // The flow is cut at full, so 15 % deviation lowers its mean by 6 %.
    assert!((0.90..0.98).contains(&ratio), "{ratio}");
}

#[test]
fn a_small_service_is_passed_and_for_how_long() {
    let import = year(15, |_| 5000.0);
    let job = house(60.0, 27.0, 3.0);
    let assessment = assess(&job, &desk());
    let series = import.demand(None).expect("one series");
    let found = overlay(&job, &assessment, series, &import.local, &settings(10)).expect("an overlay");
    // 60 A at 240 V is 14.4 kW; the house takes 5, a winter shower well over 9.4.
    assert_eq!(found.by_minute.years_above, 10);
    assert!((found.by_minute.probability_above.as_fraction() - 1.0).abs() < 1e-12);
    assert!(found.above_per_year > Time::from_hours(10.0));
    // Longer stretches are never more probable than shorter ones.
    assert!(found.runs.windows(2).all(|pair| pair[0].years >= pair[1].years));
    assert!(
        found.runs[3].years == 10 && found.runs[6].years < 10,
        "{:?}",
        found.runs
    );
    let day = found.worst_day.expect("a day");
    let most = day
        .with_heater
        .iter()
        .flatten()
        .fold(Power::zero(), |most, one| most.max(*one));
    assert_eq!(most, found.by_minute.highest);
    assert!(
        day.measured
            .iter()
            .flatten()
            .all(|one| (one.as_watts() - 5000.0).abs() < 0.5)
    );
}

#[test]
fn the_same_seed_gives_the_same_years_and_gaps_are_not_invented() {
    let job = house(100.0, 18.0, 2.0);
    let assessment = assess(&job, &desk());
    let import = year(15, |index| {
        f64::from(u8::try_from(index % 7).unwrap_or(0)) * 100.0
    });
    let series = import.demand(None).expect("one series");
    let run = |seed| {
        let settings = OverlaySettings {
            years: 5,
            seed,
            people: None,
        };
        overlay(&job, &assessment, series, &import.local, &settings).expect("an overlay")
    };
    assert_eq!(run(3), run(3));
    assert_ne!(run(3).hot_water_per_day, run(4).hot_water_per_day);
    // A file with one morning in it: only that morning is laid over.
    let text = "start,W\n2024-01-01T06:00:00Z,100\n2024-01-01T06:15:00Z,200\n2024-01-01T06:45:00Z,300\n";
    let short = csv_file(text.as_bytes(), &CsvOptions::default()).expect("a file");
    let series = short.demand(None).expect("one series");
    let found = overlay(&job, &assessment, series, &short.local, &settings(50)).expect("an overlay");
    assert_eq!(found.recorded, Time::from_minutes(45.0));
}

#[test]
fn what_is_missing_is_named() {
    let import = year(60, |_| 100.0);
    let series = import.demand(None).expect("one series");
    let try_with = |job: &Job, years| {
        let assessment = assess(job, &desk());
        overlay(job, &assessment, series, &import.local, &settings(years)).expect_err("refused")
    };
    let whole = house(100.0, 18.0, 2.0);
    let without = |change: fn(&mut Job)| {
        let mut job = whole.clone();
        change(&mut job);
        job
    };
    assert_eq!(
        try_with(&without(|job| job.service = None), 5),
        OverlayError::NoService
    );
    assert_eq!(
        try_with(&without(|job| job.sources.clear()), 5),
        OverlayError::NoUnit
    );
    assert_eq!(
        try_with(&without(|job| job.fixtures.clear()), 5),
        OverlayError::NoFixture
    );
    assert_eq!(try_with(&whole, 0), OverlayError::Years { years: 0 });
}
