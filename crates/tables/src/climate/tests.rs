//! The packed stations against the table they come from, and the lookups against published places.

use super::*;
use serde::Deserialize;

fn table() -> String {
    let path =
        std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/climate/stations_1981_2010.csv");
    std::fs::read_to_string(path).unwrap()
}

#[test]
fn the_packed_file_is_the_packed_table() {
    let packed: &[u8] = include_bytes!("../../../../data/climate/stations_1981_2010.bin");
    assert!(
        packed == pack(&table()).unwrap().as_slice(),
        "data/climate/stations_1981_2010.bin is not what `pack` makes of the table beside it: make it anew"
    );
    assert!(packed.len() < 220_000, "{} bytes", packed.len());
}

#[test]
fn every_station_comes_back_as_the_table_has_it() {
    #[derive(Deserialize)]
    struct Row {
        station_id: String,
        zip: String,
        lat: f64,
        lon: f64,
        elev_m: f64,
        state: String,
        name: String,
        annual_avg_f: f64,
        max_monthly_diff_f: f64,
    }
    let text = table();
    let rows: Vec<Row> = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(text.as_bytes())
        .deserialize()
        .collect::<Result<_, _>>()
        .unwrap();
    assert_eq!((rows.len(), all().count()), (7501, 7501));
    let close = |a: f64, b: f64| (a - b).abs() < 1e-6;
    for (row, found) in rows.iter().zip(all()) {
        assert_eq!(row.station_id, found.id);
        let postal_code = found.postal_code.as_deref().unwrap_or_default();
        assert!(
            row.zip == postal_code || (postal_code.is_empty() && row.zip.as_str() < "00501"),
            "{}",
            found.id
        );
        assert_eq!((&row.state, &row.name), (&found.state, &found.name));
        assert!(
            close(row.lat, found.latitude) && close(row.lon, found.longitude),
            "{}",
            found.id
        );
        assert!(close(row.elev_m, found.elevation.as_meters()), "{}", found.id);
        assert!(
            close(row.annual_avg_f, found.annual_mean.as_fahrenheit()),
            "{}",
            found.id
        );
        assert!(
            close(row.max_monthly_diff_f, found.monthly_swing.as_fahrenheit()),
            "{}",
            found.id
        );
        assert_eq!(station(&row.station_id).unwrap(), found);
    }
}

#[test]
fn published_climate_of_cities() {
    for case in &checks::load("water/climate_stations.toml").cases {
        let found = station(case.given_text("station")).unwrap();
        case.close("annual_mean_f", found.annual_mean.as_fahrenheit());
        case.close("monthly_swing_f", found.monthly_swing.as_fahrenheit());
    }
}

#[test]
fn distances_agree_with_published_city_pairs() {
    // New York 40.7128 N 74.0060 W to Los Angeles 34.0522 N 118.2437 W: 2445 mi (3936 km) great circle, as printed in
    // distance tables (from memory); a quarter of the equator is 10 007.5 km on this sphere (arithmetic).
    let coast = distance(40.7128, -74.0060, 34.0522, -118.2437);
    assert!((coast.as_meters() / 3.936e6 - 1.0).abs() < 2e-3, "{coast:?}");
    let quarter = distance(0.0, 0.0, 0.0, 90.0);
    assert!((quarter.as_meters() - 10_007_557.0).abs() < 10.0);
    // Across the date line the short way counts.
    let date_line = distance(0.0, 179.5, 0.0, -179.5);
    assert!((date_line.as_meters() - 10_007_557.0 / 90.0).abs() < 1.0);
}

proptest::proptest! {
    #![proptest_config(proptest::test_runner::Config::with_cases(24))]
    #[test]
    fn nearest_is_the_least_of_all(latitude in -90.0_f64..=90.0, longitude in -180.0_f64..=180.0) {
        let found = nearest(latitude, longitude, None).unwrap();
        let least = all()
            .map(|station| distance(latitude, longitude, station.latitude, station.longitude).as_meters())
            .fold(f64::INFINITY, f64::min);
        proptest::prop_assert!((found.distance.as_meters() - least).abs() < 1e-6);
        proptest::prop_assert_eq!(found.higher_by, None);
    }
}

#[test]
fn the_height_difference_is_station_minus_place() {
    // Leadville, Colorado: the town lies at 3094 m (10 152 ft, as printed on its signs; from memory).
    let found = nearest(39.25, -106.29, Some(Length::from_meters(3094.0))).unwrap();
    let higher = found.higher_by.unwrap();
    assert!(
        (found.station.elevation - higher - Length::from_meters(3094.0))
            .as_meters()
            .abs()
            < 1e-9
    );
}

#[test]
fn places_and_codes_that_are_none_are_refused() {
    assert!(nearest(f64::NAN, 0.0, None).is_err());
    assert!(nearest(90.1, 0.0, None).is_err());
    assert!(nearest(0.0, -180.1, None).is_err());
    assert_eq!(
        station("USW000948460").unwrap_err().to_string(),
        "no climate station has the id `USW000948460`; look it up by place or postal code"
    );
    for id in ["", "USW0009484é", "USW+0094846", "XXX00094846", "USW99999999"] {
        assert!(station(id).is_err(), "{id}");
    }
    for code in ["", "6060", "6o601", "606011", "K1A 0B1"] {
        assert!(
            matches!(by_postal_code(code), Err(ClimateError::NotAPostalCode { .. })),
            "{code}"
        );
    }
    assert!(matches!(
        by_postal_code("00001"),
        Err(ClimateError::NoStationThere { .. })
    ));
}

#[test]
fn a_postal_code_without_station_falls_back_to_its_area() {
    let (found, stations) = by_postal_code("60601-1234").unwrap();
    assert_eq!(found, PostalMatch::SameArea);
    assert!(stations.iter().all(|station| {
        station
            .postal_code
            .as_deref()
            .is_some_and(|code| code.starts_with("606"))
    }));
}

#[test]
fn the_source_is_named() {
    assert_eq!(source().edition.as_deref(), Some("1981-2010"));
    assert!(source().document.contains("Climate Normals"));
}

#[test]
fn a_table_that_does_not_fit_is_refused() {
    let header = "station_id,zip,lat,lon,elev_m,state,name,annual_avg_f,max_monthly_diff_f\n";
    let row =
        |id: &str, zip: &str, latitude: &str| format!("{header}{id},{zip},{latitude},-80,10,FL,X,70,20\n");
    assert!(pack(&row("USC00000001", "33101", "25.5")).is_ok());
    assert!(pack(&row("USC0000001", "33101", "25.5")).is_err());
    assert!(pack(&row("USC00000001", "3310", "25.5")).is_err());
    assert!(pack(&row("USC00000001", "33101", "2555")).is_err());
    assert!(pack(&row("USC00000001", "33101", "NaN")).is_err());
    let line = "USC00000001,33101,25.5,-80,10,FL,X,70,20\n";
    assert!(matches!(
        pack(&format!("{header}{line}{line}")),
        Err(PackError::Order { .. })
    ));
}
