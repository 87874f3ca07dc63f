//! Climate stations: yearly mean air temperature and its swing through the months, found by place, postal code or id.
//!
//! In: a latitude and longitude, a postal code or a station id. Out: a [`Station`], with distance and difference in
//! height where a place was given. Start at [`nearest`]. Knows no water: the mains temperature model is an engine's.
//!
//! The 7501 stations stand in one packed file (`data/climate/stations_1981_2010.bin`), read in place: nothing is
//! decoded but what a lookup touches. [`pack`] makes that file from the table beside it and describes its layout; a test
//! repeats the packing and compares.

mod pack;
mod packed;

pub use pack::{PackError, pack};
use packed::Packed;
use quantity::{Length, Temperature, TemperatureDifference};
use std::sync::LazyLock;
use trace::{Source, SourceStatus};

/// A climate station.
#[derive(Debug, Clone, PartialEq)]
pub struct Station {
    /// Its id, eleven characters.
    pub id: String,
    /// Its name as the list has it.
    pub name: String,
    /// State or territory, two letters.
    pub state: String,
    /// Postal code nearest to it, where the list has one.
    pub postal_code: Option<String>,
    /// Degrees north.
    pub latitude: f64,
    /// Degrees east.
    pub longitude: f64,
    /// Height above sea level.
    pub elevation: Length,
    /// Yearly mean air temperature.
    pub annual_mean: Temperature,
    /// Mean of the hottest month minus mean of the coldest.
    pub monthly_swing: TemperatureDifference,
}

/// A station found from a place.
#[derive(Debug, Clone, PartialEq)]
pub struct Nearest {
    /// The station.
    pub station: Station,
    /// How far it is.
    pub distance: Length,
    /// How much higher the station stands than the place, where the place's height is known.
    pub higher_by: Option<Length>,
}

/// How a postal code was matched.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PostalMatch {
    /// A station has this very code.
    Exact,
    /// No station has it; these share its first three digits, the sorting area.
    SameArea,
}

/// Why no station was found.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ClimateError {
    /// Not a place on the earth.
    #[error(
        "`{latitude}`, `{longitude}` is not a place: latitude runs from -90 to 90, longitude from -180 to 180"
    )]
    NotAPlace {
        /// Degrees north.
        latitude: f64,
        /// Degrees east.
        longitude: f64,
    },
    /// No such id.
    #[error("no climate station has the id `{id}`; look it up by place or postal code")]
    UnknownStation {
        /// The id.
        id: String,
    },
    /// Not a postal code of the United States.
    #[error("`{code}` is not a postal code of five digits")]
    NotAPostalCode {
        /// What was written.
        code: String,
    },
    /// No station in that sorting area.
    #[error("no climate station lies in the area of postal code `{code}`; give latitude and longitude")]
    NoStationThere {
        /// The code.
        code: String,
    },
}

/// The station nearest to a place, by great-circle distance.
///
/// d = 2 R asin √( sin²(Δφ/2) + cos φ₁ cos φ₂ sin²(Δλ/2) )
///
/// # Symbols
/// | here       | meaning                        | unit     |
/// |------------|--------------------------------|----------|
/// | `latitude` | φ, north positive              | degrees  |
/// | `longitude`| λ, east positive               | degrees  |
/// | `elevation`| height of the place, if known  | `Length` |
/// | R          | mean radius of the earth       | 6371.0 km|
///
/// # Valid
/// -90 to 90 and -180 to 180 degrees.
/// # Outside
/// [`ClimateError::NotAPlace`].
/// # Assumes
/// A round earth (0.5 % of the distance). A station in a valley or on a mountain is not passed over: look at
/// [`Nearest::higher_by`].
/// # Source
/// Haversine formula and mean radius from memory; distances checked against published city pairs.
/// # Example
/// ```
/// use quantity::Length;
/// // Chicago O'Hare airport stands at 41.995 N, 87.934 W, 201 m; its yearly mean is 49.9 °F (NOAA 1981-2010).
/// let found = tables::climate::nearest(41.995, -87.934, Some(Length::from_meters(205.0)))?;
/// assert_eq!(found.station.id, "USW00094846");
/// assert!(found.distance.as_meters() < 1000.0);
/// assert!((found.station.annual_mean.as_fahrenheit() - 49.9).abs() < 1e-6);
/// # Ok::<(), tables::climate::ClimateError>(())
/// ```
pub fn nearest(latitude: f64, longitude: f64, elevation: Option<Length>) -> Result<Nearest, ClimateError> {
    if !(latitude.abs() <= 90.0 && longitude.abs() <= 180.0) {
        return Err(ClimateError::NotAPlace { latitude, longitude });
    }
    let mut best = 0;
    let mut best_angle = f64::INFINITY;
    for index in 0..STATIONS.count() {
        let (there_latitude, there_longitude) = STATIONS.position(index);
        // The angle between two places is never less than their difference in latitude.
        if (there_latitude - latitude).abs().to_radians() >= best_angle {
            continue;
        }
        let angle = central_angle(latitude, longitude, there_latitude, there_longitude);
        if angle < best_angle {
            best = index;
            best_angle = angle;
        }
    }
    let station = STATIONS.station(best);
    let higher_by = elevation.map(|place| station.elevation - place);
    Ok(Nearest {
        station,
        distance: earth_radius() * best_angle,
        higher_by,
    })
}

/// The great-circle distance between two places given in degrees.
pub fn distance(latitude_1: f64, longitude_1: f64, latitude_2: f64, longitude_2: f64) -> Length {
    earth_radius() * central_angle(latitude_1, longitude_1, latitude_2, longitude_2)
}

/// The station with an id.
///
/// # Errors
/// When no station has it.
///
/// ```
/// let station = tables::climate::station("USW00094846")?;
/// assert_eq!((station.name.as_str(), station.state.as_str()), ("CHICAGO OHARE INTL AP", "IL"));
/// # Ok::<(), tables::climate::ClimateError>(())
/// ```
pub fn station(id: &str) -> Result<Station, ClimateError> {
    STATIONS
        .find(id.trim())
        .map(|index| STATIONS.station(index))
        .ok_or_else(|| ClimateError::UnknownStation { id: id.to_owned() })
}

/// The stations of a postal code, or failing that of its sorting area (same first three digits), in order of their ids.
///
/// # Errors
/// When the text is no postal code or its area has no station.
///
/// ```
/// use tables::climate::{PostalMatch, by_postal_code};
/// let (found, stations) = by_postal_code("60106")?;
/// assert_eq!(found, PostalMatch::Exact);
/// assert!(stations.iter().any(|station| station.id == "USW00094846"));
/// # Ok::<(), tables::climate::ClimateError>(())
/// ```
pub fn by_postal_code(code: &str) -> Result<(PostalMatch, Vec<Station>), ClimateError> {
    let wanted = postal_number(code).ok_or_else(|| ClimateError::NotAPostalCode {
        code: code.to_owned(),
    })?;
    let with = |test: &dyn Fn(u32) -> bool| -> Vec<Station> {
        (0..STATIONS.count())
            .filter(|index| STATIONS.postal_number(*index).is_some_and(test))
            .map(|index| STATIONS.station(index))
            .collect()
    };
    let exact = with(&|number| number == wanted);
    if !exact.is_empty() {
        return Ok((PostalMatch::Exact, exact));
    }
    let area = with(&|number| number / 100 == wanted / 100);
    if area.is_empty() {
        return Err(ClimateError::NoStationThere {
            code: code.to_owned(),
        });
    }
    Ok((PostalMatch::SameArea, area))
}

/// All stations, in order of their ids.
pub fn all() -> impl Iterator<Item = Station> {
    (0..STATIONS.count()).map(|index| STATIONS.station(index))
}

/// Where the stations come from.
pub fn source() -> Source {
    Source {
        document: STATIONS.head("document").to_owned(),
        edition: Some(STATIONS.head("edition").to_owned()),
        place: Some(STATIONS.head("where").to_owned()),
        status: SourceStatus::Seen,
    }
}

fn earth_radius() -> Length {
    Length::from_meters(6_371_008.8)
}

fn central_angle(latitude_1: f64, longitude_1: f64, latitude_2: f64, longitude_2: f64) -> f64 {
    let (phi_1, phi_2) = (latitude_1.to_radians(), latitude_2.to_radians());
    let half_phi = ((phi_2 - phi_1) / 2.0).sin();
    let half_lambda = ((longitude_2 - longitude_1).to_radians() / 2.0).sin();
    let haversine = half_phi * half_phi + phi_1.cos() * phi_2.cos() * half_lambda * half_lambda;
    2.0 * haversine.min(1.0).sqrt().asin()
}

/// The five digits before any extension.
fn postal_number(code: &str) -> Option<u32> {
    let five = code.trim().split('-').next()?.trim();
    (five.len() == 5 && five.bytes().all(|byte| byte.is_ascii_digit()))
        .then(|| five.parse().ok())
        .flatten()
}

static STATIONS: LazyLock<Packed> =
    LazyLock::new(|| Packed::new(include_bytes!("../../../data/climate/stations_1981_2010.bin")));

#[cfg(test)]
mod tests;
