//! Public sample files against sums and maxima worked out elsewhere.

use meter::{CsvOptions, Import, LocalTime, Quality, demand, import, quality_report};
use quantity::Time;
use std::path::Path;

fn read(name: &str) -> Import {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../checks/meter")
        .join(name);
    let file = std::fs::File::open(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    let options = CsvOptions {
        unit: Some("kWh".into()),
        ..CsvOptions::default()
    };
    import(file, &options).unwrap_or_else(|error| panic!("{name}: {error}"))
}

/// The files have American summer time; where one does not say so in a form that can be read, the zone is given.
fn local(name: &str, import: &Import) -> LocalTime {
    let zone = |name| LocalTime::Zone(jiff::tz::TimeZone::get(name).expect("a zone of the database"));
    match name {
        "espi-15min-1day-2015-08.xml" => zone("America/Los_Angeles"),
        "household-hourly-2017-q1.csv" => zone("America/Chicago"),
        _ => import.local.clone(),
    }
}

#[test]
#[allow(clippy::cast_precision_loss, reason = "small counts")]
fn sums_and_maxima_agree_with_a_reader_of_another_language() {
    for case in &checks::load("meter/sums.toml").cases {
        let import = read(&case.id);
        assert!(import.account.is_closed(), "{}: {:?}", case.id, import.account);
        let series = import.demand(None).unwrap();
        let report = quality_report(series).unwrap();
        let found = demand(series, &local(&case.id, &import)).unwrap();
        case.close("read", import.account.read as f64);
        case.close("kept", series.account.kept as f64);
        case.close("energy_wh", series.energy().as_watt_hours());
        case.close("maximum_w", found.maximum.power.as_watts());
        case.close("maximum_start_unix_s", found.maximum.start_unix_s as f64);
        case.close("first_unix_s", report.first_unix_s as f64);
        case.close("last_unix_s", report.last_unix_s as f64);
        case.close("gap_count", report.gap_count as f64);
        let time = |quality| {
            let of = report.by_quality.iter().find(|(one, _)| *one == quality);
            of.map_or(Time::zero(), |(_, time)| *time).as_seconds()
        };
        case.close("estimated_s", time(Quality::Estimated));
        case.close("edited_s", time(Quality::Edited));
        let energy_wh =
            |hour: usize| found.hours[hour].mean.as_watts() * found.hours[hour].covered.as_hours();
        let busiest = (0..24)
            .max_by(|a, b| energy_wh(*a).total_cmp(&energy_wh(*b)))
            .unwrap();
        case.close("busiest_hour", busiest as f64);
        case.close("busiest_hour_wh", energy_wh(busiest));
        // Months add up to the whole, and so do the hours.
        let by_month: f64 = found
            .months
            .iter()
            .map(|month| month.energy.as_watt_hours())
            .sum();
        let by_hour: f64 = (0..24).map(energy_wh).sum();
        assert!((by_month / found.energy.as_watt_hours() - 1.0).abs() < 1e-9);
        assert!((by_hour / found.energy.as_watt_hours() - 1.0).abs() < 1e-9);
    }
}

#[test]
#[allow(clippy::cast_precision_loss, reason = "small counts")]
fn the_counts_noted_beside_the_files_hold() {
    for case in &checks::load("meter/green-button.toml").cases {
        let import = read(&case.id);
        let series = import.demand(None).unwrap();
        case.close("kept", series.account.kept as f64);
        case.close("energy_wh", series.energy().as_watt_hours());
        case.close(
            "maximum_w",
            demand(series, &LocalTime::Utc).unwrap().maximum.power.as_watts(),
        );
    }
}

#[test]
fn the_schema_is_read_as_it_stands() {
    for case in &checks::load("meter/espi-schema.toml").cases {
        for (name, wanted) in &case.expect {
            if let Some(code) = name.strip_prefix("code_") {
                let found = Quality::of_code(code.parse().unwrap()).unwrap();
                assert_eq!(Some(found.word()), wanted.as_str(), "{name}");
            } else if let Some(rule) = name.strip_prefix("rule_") {
                let moment = meter::YearlyMoment::from_hex(rule).unwrap();
                assert_eq!(
                    moment.in_year(2011).map(|at| at.to_string()).as_deref(),
                    wanted.as_str()
                );
            } else {
                let text = one_reading(case);
                let import = meter::green_button(text.as_bytes(), None).unwrap();
                case.close(name, import.demand(None).unwrap().iter().next().unwrap().mean_w);
            }
        }
    }
    assert!(
        (1..=6).all(|code| Quality::of_code(code).is_none()),
        "codes that do not exist"
    );
}

fn one_reading(case: &checks::Case) -> String {
    format!(
        "<feed><entry><content><ReadingType><powerOfTenMultiplier>{}</powerOfTenMultiplier><uom>{}</uom></ReadingType>\
         </content></entry><entry><content><IntervalBlock><IntervalReading><timePeriod><duration>{}</duration>\
         <start>1330578000</start></timePeriod><value>{}</value></IntervalReading></IntervalBlock></content></entry></feed>",
        case.given("multiplier"),
        case.given("uom"),
        case.given("length_s"),
        case.given("value"),
    )
}
