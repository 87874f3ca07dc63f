//! Incoming water against 48 cities, 7501 stations and the handbook cases.

use super::*;
use proptest::prelude::*;

fn f(degrees: f64) -> Temperature {
    Temperature::from_fahrenheit(degrees)
}

fn climate(mean_f: f64, swing_f: f64) -> Mains {
    Mains::from_climate(
        f(mean_f),
        TemperatureDifference::from_fahrenheit(swing_f),
        Hemisphere::North,
    )
    .unwrap()
}

#[test]
fn cities() {
    for case in &checks::load("water/mains_cities.toml").cases {
        let mains = climate(case.given("annual_mean_f"), case.given("monthly_swing_f"));
        for day in [15_u16, 105, 196, 288] {
            let name = format!("day_{day}_f");
            if case.expected(&name).is_some() {
                case.close(&name, mains.temperature_on(day).unwrap().as_fahrenheit());
            }
        }
        for (name, (day, temperature)) in [("coldest", mains.coldest()), ("warmest", mains.warmest())] {
            if case.expected(&format!("{name}_f")).is_some() {
                case.close(&format!("{name}_f"), temperature.as_fahrenheit());
            }
            if let Some(expected) = case.expected(&format!("{name}_day")) {
                assert!(
                    (f64::from(day) - expected).abs() < 0.5,
                    "case {}: {name} on day {day}",
                    case.id
                );
            }
        }
    }
}

#[test]
fn every_station_of_the_climate_table() {
    // The table carries mains minimum and maximum computed by another hand from the same formula, with one decimal,
    // from climate values of more digits than it prints; hence 0.15 °F.
    let path =
        std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/climate/stations_1981_2010.csv");
    let text = std::fs::read_to_string(path).unwrap();
    let mut compared = 0;
    for line in text.lines().filter(|line| !line.starts_with(['#', 's'])) {
        let mut fields = line.rsplit(',').map(|field| field.parse::<f64>().unwrap());
        let (warmest, _mean, coldest) = (
            fields.next().unwrap(),
            fields.next().unwrap(),
            fields.next().unwrap(),
        );
        let (swing, annual) = (fields.next().unwrap(), fields.next().unwrap());
        let mains = climate(annual, swing);
        for (found, expected) in [(mains.coldest().1, coldest), (mains.warmest().1, warmest)] {
            assert!(
                (found.as_fahrenheit() - expected).abs() < 0.15,
                "{line}: {found:?}"
            );
        }
        compared += 1;
    }
    assert_eq!(compared, 7501);
}

#[test]
fn the_south_is_half_a_year_away() {
    let swing = TemperatureDifference::from_fahrenheit(20.0);
    let south = Mains::from_climate(f(62.0), swing, Hemisphere::of_latitude(-33.9)).unwrap();
    let north = Mains::from_climate(f(62.0), swing, Hemisphere::of_latitude(33.9)).unwrap();
    assert!((i32::from(south.coldest().0) - i32::from(north.coldest().0) - 183).abs() <= 1);
    assert_eq!(north.warmest_month().0, 8);
    assert_eq!(south.coldest_month().0, 8);
    // +90 instead of −90 in the sine: the two years mirror each other about the mean.
    let sum = south.temperature_on(100).unwrap().as_fahrenheit()
        + north.temperature_on(100).unwrap().as_fahrenheit();
    assert!((sum - 2.0 * 68.0).abs() < 1e-6, "{sum}");
}

#[test]
fn very_cold_places_are_floored_and_flagged() {
    // Fairbanks, Alaska: mean 27.7 °F, swing 70.4 °F.
    let mains = climate(27.7, 70.4);
    assert!(mains.outside_fit());
    assert!((mains.coldest().1.as_fahrenheit() - 32.0).abs() < 1e-9);
    assert!(!climate(49.9, 50.3).outside_fit());
    let known = mains.measured(Some(f(36.0)), Some(f(50.0))).unwrap();
    assert!(!known.outside_fit());
    assert!(mains.measured(Some(f(36.0)), None).unwrap().outside_fit());
}

#[test]
fn measured_values_override() {
    let mains = climate(49.9, 50.3)
        .measured(Some(f(40.0)), Some(f(72.0)))
        .unwrap();
    assert!((mains.coldest().1.as_fahrenheit() - 40.0).abs() < 0.01);
    assert!((mains.warmest().1.as_fahrenheit() - 72.0).abs() < 0.01);
    assert_eq!(
        climate(49.9, 50.3).measured(None, None).unwrap(),
        climate(49.9, 50.3)
    );
    let extremes = Mains::from_extremes(f(44.0), f(70.0), Hemisphere::North).unwrap();
    assert!((extremes.coldest().1.as_fahrenheit() - 44.0).abs() < 0.01);
}

#[test]
fn measured_months_are_kept_and_joined() {
    let means = [
        40.0, 41.0, 45.0, 50.0, 56.0, 62.0, 67.0, 68.0, 64.0, 57.0, 50.0, 43.0,
    ]
    .map(f);
    let mains = Mains::from_months(means).unwrap();
    assert_eq!(mains.month_means(), means);
    // 16 January and 15 June are the middles of their months.
    assert!((mains.temperature_on(16).unwrap().as_fahrenheit() - 40.0).abs() < 1e-9);
    assert!((mains.temperature_on(166).unwrap().as_fahrenheit() - 62.0).abs() < 0.15);
    let new_year = mains.temperature_on(1).unwrap().as_fahrenheit();
    assert!(new_year > 40.0 && new_year < 43.0);
    assert_eq!((mains.coldest_month().0, mains.warmest_month().0), (1, 8));
    let colder = mains.measured(Some(f(38.0)), None).unwrap();
    assert!((colder.coldest().1.as_fahrenheit() - 38.0).abs() < 1e-6);
    assert!((colder.warmest().1.as_fahrenheit() - 68.0).abs() < 1e-6);
}

#[test]
fn nonsense_is_refused() {
    let swing = TemperatureDifference::from_fahrenheit;
    assert!(Mains::from_climate(f(f64::NAN), swing(40.0), Hemisphere::North).is_err());
    assert!(Mains::from_climate(f(50.0), swing(-1.0), Hemisphere::North).is_err());
    assert!(Mains::from_extremes(f(70.0), f(44.0), Hemisphere::North).is_err());
    assert!(Mains::from_months([f(30.0); 12]).is_err());
    let mains = climate(50.0, 40.0);
    assert!(mains.temperature_on(0).is_err() && mains.temperature_on(367).is_err());
    assert_eq!(
        mains.temperature_on(366).unwrap(),
        mains.temperature_on(365).unwrap()
    );
}

proptest! {
    #[test]
    fn months_lie_between_the_extremes(mean_f in 35.0_f64..80.0, swing_f in 0.0_f64..60.0) {
        let mains = climate(mean_f, swing_f);
        for month in mains.month_means() {
            let within = month.as_fahrenheit() >= mains.coldest().1.as_fahrenheit() - 1e-9
                && month.as_fahrenheit() <= mains.warmest().1.as_fahrenheit() + 1e-9;
            prop_assert!(within && month.as_fahrenheit() >= 32.0 - 1e-9);
        }
    }
}
