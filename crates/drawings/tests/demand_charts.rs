//! The charts of a meter file are readable, as sheets and as characters, whatever the file holds.

use assess::demand::{DemandOverlay, OverlayDay, Peaks, RunAbove};
use assess::{MeterReport, meter_report};
use drawings::chart::{LineChart, sheet};
use drawings::{clash, demand, plain, svg_print};
use quantity::{Current, Energy, Power, Ratio, Time};
use std::fmt::Write as _;

fn report(days: i64, watts: impl Fn(i64) -> f64) -> MeterReport {
    let mut text = "start,W\n".to_owned();
    for index in 0..days * 24 {
        let _ = writeln!(text, "{},{}", 1_704_067_200 + index * 3600, watts(index));
    }
    let import = meter::csv_file(text.as_bytes(), &meter::CsvOptions::default()).expect("a file");
    meter_report(&import, import.demand(None).expect("a series")).expect("readings")
}

fn peaks(from_kw: f64, count: u32) -> Peaks {
    let all: Vec<Power> = (0..count)
        .map(|at| Power::from_kilowatts(from_kw + f64::from(at) * 0.01))
        .collect();
    let at = |index: usize| all.get(index).copied().unwrap_or_else(Power::zero);
    Peaks {
        lowest: at(0),
        tenth: at(all.len() / 10),
        median: at(all.len() / 2),
        ninetieth: at(all.len() * 9 / 10),
        highest: at(all.len().saturating_sub(1)),
        years_above: 0,
        probability_above: Ratio::from_fraction(0.0),
        all,
    }
}

fn overlay(count: u32) -> DemandOverlay {
    let measured: Vec<Option<Power>> = (0..1440_u32)
        .map(|minute| (minute < 1300).then(|| Power::from_kilowatts(f64::from(minute / 60 % 5))))
        .collect();
    DemandOverlay {
        years: count,
        seed: 1,
        people: 3,
        unit_power: Power::from_kilowatts(27.0),
        rating: Current::from_amperes(100.0),
        rating_power: Power::from_kilowatts(24.0),
        interval: Time::from_minutes(15.0),
        recorded: Time::from_days(365.0),
        measured_maximum: Power::from_kilowatts(9.6),
        by_interval: peaks(12.0, count),
        by_minute: peaks(23.0, count),
        runs: vec![RunAbove {
            at_least: Time::from_minutes(1.0),
            years: 0,
            probability: Ratio::from_fraction(0.0),
        }],
        above_per_year: Time::zero(),
        hot_water_per_day: Energy::from_kilowatt_hours(8.0),
        worst_day: Some(OverlayDay {
            date: "2024-01-15".into(),
            with_heater: measured
                .iter()
                .map(|one| one.map(|power| power + Power::from_kilowatts(20.0)))
                .collect(),
            measured,
        }),
        assumptions: Vec::new(),
    }
}

fn readable(chart: &LineChart) {
    let drawing = sheet(chart);
    let clashes = clash::overlaps(&drawing);
    assert!(clashes.is_empty(), "{}: {}", chart.title, clashes[0]);
    assert!(svg_print::svg(&drawing).starts_with("<svg") || svg_print::svg(&drawing).contains("<svg"));
    assert!(
        plain::line_chart(chart, 76, 14)
            .iter()
            .all(|line| line.chars().count() <= 76)
    );
}

#[test]
fn charts_of_many_files_are_readable() {
    for report in [
        report(366, |index| {
            f64::from(u8::try_from(index % 24).unwrap_or(0)) * 300.0
        }),
        report(3, |_| 0.0),
        report(2, |index| if index == 7 { -2500.0 } else { 1200.0 }),
        report(40, |index| if index == 100 { 9.9e6 } else { 1.0 }),
    ] {
        readable(&demand::duration(&report));
        readable(&demand::by_hour(&report));
        readable(&demand::by_month(&report));
    }
}

#[test]
fn charts_of_the_overlay_are_readable_and_true() {
    for count in [1, 7, 200, 1000] {
        let overlay = overlay(count);
        readable(&demand::peaks(&overlay));
        readable(&demand::highest_day(&overlay).expect("a day"));
    }
    let chart = demand::peaks(&overlay(200));
    let points = &chart.series[0].points;
    assert!(points.len() <= 102 && points.windows(2).all(|pair| pair[0].1 >= pair[1].1));
    assert_eq!(
        (points[0].1, points.last().map(|last| last.1)),
        (100.0, Some(0.0))
    );
    // A gap breaks the line; a step is two points at one time.
    let day = demand::highest_day(&overlay(5)).expect("a day");
    let measured = &day.series[1].points;
    assert!(measured.iter().any(|point| point.1.is_nan()));
    assert!(measured.windows(2).all(|pair| pair[0].0 <= pair[1].0));
    assert!(
        measured
            .windows(2)
            .any(|pair| pair[0].0 >= pair[1].0 && pair[0].1 < pair[1].1)
    );
}
