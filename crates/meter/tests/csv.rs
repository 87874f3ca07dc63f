//! CSV files as utilities write them, and files that are not.

use jiff::tz::TimeZone;
use meter::{CsvOptions, Import, MeterError, NoteKind, csv_file, demand};
use std::fmt::Write as _;

fn with_zone(text: &str, zone: &str) -> Result<Import, MeterError> {
    let options = CsvOptions {
        zone: Some(TimeZone::get(zone).expect("a zone of the database")),
        ..CsvOptions::default()
    };
    csv_file(text.as_bytes(), &options)
}

fn starts(import: &Import) -> Vec<i64> {
    import.series[0]
        .iter()
        .map(|reading| reading.start_unix_s)
        .collect()
}

#[test]
fn columns_are_found_by_their_headings() {
    let text = "Name,J. Doe\nAddress,1 Main\n\nTYPE,DATE,START TIME,END TIME,USAGE (kWh),COST,NOTES\n\
                Electric usage,2024-01-01,00:00,00:14,0.25,$0.05,\n\
                Electric usage,2024-01-01,00:15,00:29,0.50,$0.10,\n\
                Electric usage,2024-01-01,23:45,23:59,0.75,$0.10,\n";
    let import = with_zone(text, "America/Chicago").unwrap();
    let readings: Vec<_> = import.series[0].iter().collect();
    assert_eq!(
        readings.iter().map(|one| one.length_s).collect::<Vec<_>>(),
        [900; 3],
        "ends are written as the last minute"
    );
    assert_eq!(
        readings.iter().map(|one| one.mean_w).collect::<Vec<_>>(),
        [1000.0, 2000.0, 3000.0]
    );
    assert_eq!(
        readings[0].start_unix_s, 1_704_088_800,
        "midnight in Chicago is six in the morning UTC"
    );
    assert!(import.account.is_closed());
}

#[test]
fn semicolons_and_decimal_commas() {
    let text = "Datum;Zeit;kWh\n01.02.2024;00:00;0,25\n01.02.2024;00:15;1.000,5\n01.02.2024;00:30;0,1\n";
    let options = CsvOptions {
        start: Some("Datum".into()),
        time: Some("Zeit".into()),
        zone: Some(TimeZone::get("Europe/Berlin").unwrap()),
        ..CsvOptions::default()
    };
    let import = csv_file(text.as_bytes(), &options).unwrap();
    let demand: Vec<f64> = import.series[0].iter().map(|one| one.mean_w).collect();
    assert_eq!(demand, [1000.0, 4_002_000.0, 400.0]);
}

#[test]
fn the_hour_that_comes_twice_and_the_one_that_never_comes() {
    // 3 November 2024 in Chicago: 1:00 to 2:00 comes twice. 10 March 2024: 2:00 to 3:00 does not come.
    let autumn = "start,kWh\n11/3/2024 0:00,1\n11/3/2024 1:00,2\n11/3/2024 1:00,3\n11/3/2024 2:00,4\n";
    let import = with_zone(autumn, "America/Chicago").unwrap();
    let found = starts(&import);
    assert!(
        found.windows(2).all(|pair| pair[1] - pair[0] == 3600),
        "{found:?}"
    );
    assert_eq!(import.account.kept, 4);
    let spring = "start,kWh\n3/10/2024 1:00,1\n3/10/2024 2:00,0\n3/10/2024 3:00,2\n3/10/2024 4:00,2\n";
    let import = with_zone(spring, "America/Chicago").unwrap();
    assert_eq!((import.account.kept, import.account.unusable), (3, 1));
    assert!(
        import
            .notes
            .iter()
            .any(|note| note.kind == NoteKind::SkippedHour && note.first.is_some_and(|at| at.line == 3))
    );
    let found = starts(&import);
    assert!(
        found.windows(2).all(|pair| pair[1] - pair[0] == 3600),
        "no gap at the change: {found:?}"
    );
}

#[test]
fn a_year_in_local_time_has_no_gap_and_nothing_twice() {
    let zone = TimeZone::get("America/Denver").unwrap();
    let mut text = "start,kWh\n".to_owned();
    let first = 1_704_092_400; // 2024-01-01 in Denver
    for quarter in 0..366 * 96 {
        let at = jiff::Timestamp::from_second(first + quarter * 900).unwrap();
        let civil = zone.to_datetime(at);
        let _ = writeln!(
            text,
            "{} {:02}:{:02},0.25",
            civil.date(),
            civil.hour(),
            civil.minute()
        );
    }
    let import = with_zone(&text, "America/Denver").unwrap();
    assert_eq!(import.account.kept, 366 * 96);
    let found = starts(&import);
    assert!(found.windows(2).all(|pair| pair[1] - pair[0] == 900));
}

#[test]
fn what_is_missing_is_asked_for() {
    let error = |text: &str| csv_file(text.as_bytes(), &CsvOptions::default()).unwrap_err();
    assert!(
        matches!(error("start,value\n2024-01-01T00:00:00Z,1\n"), MeterError::NoUnit { column } if column == "value")
    );
    assert!(
        matches!(error("start,kWh\n2024-01-01 00:00,1\n"), MeterError::NoZone { place, .. } if place.line == 2)
    );
    assert!(matches!(error("a,b\n1,2\n"), MeterError::NoColumn { .. }));
    assert!(matches!(
        error(""),
        MeterError::NoReadings | MeterError::NoColumn { .. }
    ));
    let options = CsvOptions {
        value: Some("Usage".into()),
        ..CsvOptions::default()
    };
    let error = csv_file("start,kWh\n".as_bytes(), &options).unwrap_err();
    assert!(
        error.to_string().contains("`Usage`") && error.to_string().contains("start, kWh"),
        "{error}"
    );
    let options = CsvOptions {
        unit: Some("therms".into()),
        ..CsvOptions::default()
    };
    assert!(matches!(
        csv_file("start,value\n".as_bytes(), &options),
        Err(MeterError::UnknownUnit { .. })
    ));
}

#[test]
fn rows_that_cannot_be_used_are_counted() {
    let text = "start,kWh\n2024-01-01T00:00:00Z,1\n2024-01-01T01:00:00Z,n/a\nTotal,1\n2024-01-01T02:00:00Z\n\
                2024-01-01T03:00:00Z,NaN\n2024-01-01T04:00:00Z,1e300\n2024-01-01T05:00:00Z,2\n2024-01-01T06:00:00Z,2\n";
    let import = csv_file(text.as_bytes(), &CsvOptions::default()).unwrap();
    assert!(import.account.is_closed(), "{:?}", import.account);
    assert_eq!(
        (import.account.read, import.account.kept, import.account.unusable),
        (8, 3, 5)
    );
}

#[test]
fn finer_readings_later_in_the_file_shorten_the_interval() {
    let mut text = "start,kWh\n".to_owned();
    for hour in 0..4 {
        let _ = writeln!(text, "2024-01-01T{hour:02}:00:00Z,4");
    }
    for quarter in 0..200 {
        let at = jiff::Timestamp::from_second(1_704_081_600 + quarter * 900).unwrap();
        let _ = writeln!(text, "{at},1");
    }
    let import = csv_file(text.as_bytes(), &CsvOptions::default()).unwrap();
    let found = demand(&import.series[0], &import.local).unwrap();
    assert_eq!(import.account.kept, 204);
    assert!(found.maximum.power.as_kilowatts() >= 4.0);
}

#[test]
fn endless_rows_and_wide_text_are_refused() {
    let long = format!("start,kWh\n{}", "x".repeat(5_000_000));
    assert!(matches!(
        csv_file(long.as_bytes(), &CsvOptions::default()),
        Err(MeterError::TooLong { .. })
    ));
    let quoted = format!("start,kWh\n\"{}", "x\n".repeat(5_000_000));
    assert!(matches!(
        csv_file(quoted.as_bytes(), &CsvOptions::default()),
        Err(MeterError::TooLong { .. })
    ));
    let wide: Vec<u8> = "start,kWh\n".encode_utf16().flat_map(u16::to_le_bytes).collect();
    assert!(matches!(
        csv_file(wide.as_slice(), &CsvOptions::default()),
        Err(MeterError::NotText { .. })
    ));
}
