//! Incoming water through the year: the published model at the nearest climate station, stretched to what was measured.

use crate::MainsYear;
use crate::context::Context;
use job::Site;
use quantity::Temperature;
use tables::climate::{Nearest, PostalMatch, Station, by_postal_code, nearest, source, station};
use trace::{Assumption, Influence, Origin, RecordPath};
use water::WaterError;
use water::mains::{Hemisphere, Mains};

/// Incoming water through the year.
pub(crate) fn year(context: &Context<'_>) -> Result<MainsYear, WaterError> {
    let site = &context.job.site;
    let measured = site.mains.as_ref();
    let (coldest, warmest) = (
        measured.and_then(|mains| mains.coldest),
        measured.and_then(|mains| mains.warmest),
    );
    let hemisphere = site.latitude.map_or(Hemisphere::North, Hemisphere::of_latitude);
    let found = climate_station(context, site);
    let (model, basis) = match &found {
        Some(found) => {
            let station = &found.station;
            let model = Mains::from_climate(station.annual_mean, station.monthly_swing, hemisphere)?;
            (Some(model), describe(context, found))
        }
        None => (None, "no place known".to_owned()),
    };
    let mains = if let Some(model) = model {
        model.measured(coldest, warmest)?
    } else {
        let given = &context.given;
        let place = RecordPath::from("site.mains");
        let cold = given
            .take(coldest, place.field("coldest"), "site.mains.coldest")
            .value;
        let warm = given
            .take(warmest, place.field("warmest"), "site.mains.warmest")
            .value;
        let warm = if warm.as_kelvins() < cold.as_kelvins() {
            cold
        } else {
            warm
        };
        Mains::from_extremes(cold, warm, hemisphere)?
    };
    let both = coldest.is_some() && warmest.is_some();
    if let (Some(found), false) = (&found, both) {
        context.given.record(modelled(context, found, &mains));
    }
    let origin = if both {
        Origin::Measured
    } else if found.is_some() {
        Origin::Computed
    } else {
        Origin::Assumed
    };
    let (cold_month, coldest) = mains.coldest_month();
    let (warm_month, warmest) = mains.warmest_month();
    Ok(MainsYear {
        origin,
        basis: if both {
            "measured in the coldest and the warmest month".to_owned()
        } else {
            basis
        },
        months: mains.month_means().to_vec(),
        coldest,
        coldest_month: Some(cold_month),
        warmest,
        warmest_month: Some(warm_month),
    })
}

fn climate_station(context: &Context<'_>, site: &Site) -> Option<Nearest> {
    let at = |station: Station| Nearest {
        station,
        distance: quantity::Length::zero(),
        higher_by: None,
    };
    let found = if let Some(id) = &site.climate_station {
        station(id).map(at)
    } else if let (Some(latitude), Some(longitude)) = (site.latitude, site.longitude) {
        nearest(latitude, longitude, site.elevation)
    } else if let Some(code) = &site.postal_code {
        by_postal_code(code).and_then(|(how, stations)| {
            if how == PostalMatch::SameArea {
                context.given.record(nearby(code));
            }
            let first = stations.into_iter().next();
            first
                .map(at)
                .ok_or(tables::climate::ClimateError::NoStationThere { code: code.clone() })
        })
    } else {
        return None;
    };
    match found {
        Ok(found) => Some(found),
        Err(error) => {
            context.gap("site", "incoming water from the climate", error.to_string());
            None
        }
    }
}

fn describe(context: &Context<'_>, found: &Nearest) -> String {
    let units = context.given.units();
    let station = &found.station;
    let far = if found.distance > quantity::Length::zero() {
        let miles = found.distance.as_meters() / 1609.344;
        match units {
            quantity::UnitSystem::Us => format!(", {miles:.0} mi away"),
            quantity::UnitSystem::Si => format!(", {:.0} km away", found.distance.as_meters() / 1000.0),
        }
    } else {
        String::new()
    };
    format!(
        "modelled for {} ({}){far}: yearly mean air {}, hottest less coldest month {}",
        station.name,
        station.state,
        station.annual_mean.show(units),
        station.monthly_swing.show(units),
    )
}

fn modelled(context: &Context<'_>, found: &Nearest, mains: &Mains) -> Assumption {
    let units = context.given.units();
    let show = |temperature: Temperature| temperature.show(units);
    let doubt = if mains.outside_fit() {
        "; this place is colder than the data the model was fitted to"
    } else {
        ""
    };
    Assumption {
        field: RecordPath::from("site.mains"),
        subject: "incoming water temperature".to_owned(),
        value: format!("{} to {}", show(mains.coldest_month().1), show(mains.warmest_month().1)),
        reason: format!("the mains-temperature model at {}; wells and surface supplies differ{doubt}", found.station.name),
        influence: Influence::High,
        measure: "run the cold tap nearest the meter three minutes in the coldest month, and again in late summer, and read a thermometer".to_owned(),
        source: source(),
    }
}

fn nearby(code: &str) -> Assumption {
    Assumption {
        field: RecordPath::from("site.postal_code"),
        subject: "climate station".to_owned(),
        value: format!("one of the area of {code}"),
        reason: "no station carries this very postal code; the first of its sorting area was taken"
            .to_owned(),
        influence: Influence::Medium,
        measure: "enter latitude and longitude".to_owned(),
        source: source(),
    }
}
