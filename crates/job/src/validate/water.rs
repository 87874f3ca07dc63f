//! The site and its water supply.

use super::limits::{
    ELEVATION, EXPANSION_TANK, FLOWING_PRESSURE, HARDNESS, LATITUDE, LONGITUDE, MAINS, PRECHARGE, Plain,
    REGULATOR, STATIC_PRESSURE, SUPPLY_FLOW,
};
use super::{Problems, names};
use crate::{Job, Mains, Site, WaterSupply};
use quantity::Kind;
use trace::RecordPath;

pub(super) fn check(job: &Job, problems: &mut Problems) {
    site(&job.site, problems);
    supply(&job.water, problems);
}

fn site(site: &Site, problems: &mut Problems) {
    let at = RecordPath::from("site");
    names::optional_line(&at.field("place"), "the place", site.place.as_ref(), problems);
    names::optional_line(
        &at.field("postal_code"),
        "the postal code",
        site.postal_code.as_ref(),
        problems,
    );
    names::optional_line(
        &at.field("climate_station"),
        "the climate station",
        site.climate_station.as_ref(),
        problems,
    );
    problems.limit(&at, "latitude", "the site", site.latitude.map(Plain), &LATITUDE);
    problems.limit(
        &at,
        "longitude",
        "the site",
        site.longitude.map(Plain),
        &LONGITUDE,
    );
    problems.limit(&at, "elevation", "the site", site.elevation, &ELEVATION);
    problems.limit(&at, "hardness", "the water", site.hardness, &HARDNESS);
    let half = match (site.latitude, site.longitude) {
        (Some(_), None) => Some(("latitude", "longitude")),
        (None, Some(_)) => Some(("longitude", "latitude")),
        _ => None,
    };
    if let Some((given, lacking)) = half {
        problems.add(
            at.clone(),
            format!("`{given}` alone is no position: `{lacking}` is missing"),
            format!("enter `{lacking}` too, or leave out both"),
        );
    }
    if let Some(mains) = &site.mains {
        incoming(&at.field("mains"), mains, problems);
    }
}

fn incoming(at: &RecordPath, mains: &Mains, problems: &mut Problems) {
    problems.limit(at, "coldest", "the incoming water", mains.coldest, &MAINS);
    problems.limit(at, "warmest", "the incoming water", mains.warmest, &MAINS);
    if let (Some(coldest), Some(warmest)) = (mains.coldest, mains.warmest)
        && coldest > warmest
    {
        problems.add(
            at.field("coldest"),
            format!(
                "coldest `{}` is warmer than warmest `{}`",
                coldest.written(),
                warmest.written()
            ),
            "exchange the two, or measure again".into(),
        );
    }
}

fn supply(water: &WaterSupply, problems: &mut Problems) {
    let at = RecordPath::from("water");
    problems.limit(
        &at,
        "static_pressure",
        "the water supply",
        water.static_pressure,
        &STATIC_PRESSURE,
    );
    problems.limit(
        &at,
        "regulator_setting",
        "the pressure regulator",
        water.regulator_setting,
        &REGULATOR,
    );
    if let Some(flowing) = &water.flowing {
        let at = at.field("flowing");
        problems.limit(
            &at,
            "pressure",
            "the flowing supply",
            flowing.pressure,
            &FLOWING_PRESSURE,
        );
        problems.limit(&at, "flow", "the flowing supply", flowing.flow, &SUPPLY_FLOW);
        if let Some(standing) = water
            .static_pressure
            .filter(|standing| flowing.pressure > *standing)
        {
            problems.add(
                at.field("pressure"),
                format!(
                    "flowing pressure `{}` is above static pressure `{}`, but flow costs pressure",
                    flowing.pressure.written(),
                    standing.written()
                ),
                "read both at the same gauge, within a few minutes".into(),
            );
        }
    }
    if let Some(tank) = &water.expansion_tank {
        let at = at.field("expansion_tank");
        problems.limit(&at, "volume", "the expansion tank", tank.volume, &EXPANSION_TANK);
        problems.limit(&at, "precharge", "the expansion tank", tank.precharge, &PRECHARGE);
    }
}
