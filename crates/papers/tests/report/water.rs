//! Heaters, fixtures, situations and modes of the invented house, by the plain arithmetic named beside it.

use assess::{
    DeadLegResult, FeedResult, FixtureResult, HeaterResult, HotPath, MainsYear, ModeResult, Placement,
    PlacementResult, PlacementWait, SituationHeat, SituationResult, SlugResult, TubResult, ValveResult,
};
use job::{FixtureKind, SourceKind, SourceStatus};
use quantity::{
    Energy, GaugePressure, Length, Power, PressureDifference, Ratio, Temperature, Time, Velocity, Volume,
    VolumeFlow,
};
use trace::Origin;

/// Mains by month, °F, January first.
const MAINS_F: [f64; 12] = [
    48.6, 47.3, 49.8, 55.3, 62.3, 68.9, 73.5, 74.8, 72.3, 66.8, 59.8, 53.2,
];
const COLDEST_F: f64 = 47.3;
const WARMEST_F: f64 = 74.8;
/// Two elements of 9 kW at 240 V that see 235.6 V.
pub(super) const DELIVERED_KW: f64 = 17.34;
const SET_POINT_F: f64 = 118.0;

/// Kilowatts = 0.1465 × gallons a minute × degrees Fahrenheit of rise (8.33 lb a gallon, 3412 Btu a kilowatt-hour).
const KW_PER_GPM_F: f64 = 0.1465;

fn gpm(flow: f64) -> VolumeFlow {
    VolumeFlow::from_gallons_per_minute(flow)
}

pub(super) fn fahrenheit(degrees: f64) -> Temperature {
    Temperature::from_fahrenheit(degrees)
}

/// The flow that the delivered power lifts from `from_f` to `to_f`.
fn lifted(from_f: f64, to_f: f64) -> f64 {
    DELIVERED_KW / KW_PER_GPM_F / (to_f - from_f)
}

pub(super) fn mains() -> MainsYear {
    MainsYear {
        origin: Origin::Computed,
        basis: "sine through the year from the monthly air temperatures of the nearest station".to_owned(),
        months: MAINS_F.map(fahrenheit).to_vec(),
        coldest: fahrenheit(COLDEST_F),
        coldest_month: Some(2),
        warmest: fahrenheit(WARMEST_F),
        warmest_month: Some(8),
    }
}
pub(super) fn heaters() -> Vec<HeaterResult> {
    vec![
        HeaterResult {
            id: "unit".to_owned(),
            name: "on-demand unit, linen closet".to_owned(),
            kind: SourceKind::OnDemand,
            status: SourceStatus::Proposed,
            set_point: fahrenheit(SET_POINT_F),
            rated_power: Power::from_kilowatts(18.0),
            delivered_power: Power::from_kilowatts(DELIVERED_KW),
            delivered_share: Ratio::from_fraction(DELIVERED_KW / 18.0),
            flow_at_set_point_coldest: Some(gpm(lifted(COLDEST_F, SET_POINT_F))),
            flow_at_set_point_warmest: Some(gpm(lifted(WARMEST_F, SET_POINT_F))),
            shower_flow_by_month: MAINS_F.map(|incoming| gpm(lifted(incoming, 105.0))).to_vec(),
            curves: Vec::new(),
            activation_flow: Some(gpm(0.4)),
        },
        HeaterResult {
            id: "tank".to_owned(),
            name: "storage tank, utility room".to_owned(),
            kind: SourceKind::Tank,
            status: SourceStatus::Existing,
            set_point: fahrenheit(125.0),
            rated_power: Power::from_kilowatts(4.5),
            delivered_power: Power::from_kilowatts(4.5),
            delivered_share: Ratio::from_percent(100.0),
            flow_at_set_point_coldest: None,
            flow_at_set_point_warmest: None,
            shower_flow_by_month: Vec::new(),
            curves: Vec::new(),
            activation_flow: None,
        },
    ]
}

pub(super) fn modes() -> Vec<ModeResult> {
    let valve = |tag: &str, purpose: &str, open: bool| ValveResult {
        tag: tag.to_owned(),
        purpose: purpose.to_owned(),
        open,
    };
    let mode = |name: &str, open: [bool; 4], heater: &str| ModeResult {
        name: name.to_owned(),
        valves: vec![
            valve("V1", "tank cold, utility room", open[0]),
            valve("V2", "tank hot, utility room", open[1]),
            valve("V3", "unit cold, linen closet", open[2]),
            valve("V4", "unit hot, linen closet", open[3]),
        ],
        energized: vec![heater.to_owned()],
        feeds: ["kitchen", "hall-shower", "far-shower", "far-tub", "far-basin"]
            .into_iter()
            .map(|fixture| FeedResult {
                fixture: fixture.to_owned(),
                heaters: vec![heater.to_owned()],
            })
            .collect(),
    };
    vec![
        mode("unit serves the house", [true, false, true, true], "unit"),
        mode("tank serves the house", [true, true, true, false], "tank"),
    ]
}

/// A hot path: gallons in the pipes, wait at the flow of the opened hot side.
fn path(heater: &str, pipes: &str, feet: f64, gallons: f64, flow_gpm: f64) -> HotPath {
    HotPath {
        heater: heater.to_owned(),
        pipes: pipes.split_whitespace().map(str::to_owned).collect(),
        length: Length::from_feet(feet),
        volume: Volume::from_gallons(gallons),
        branch_volume: Volume::from_gallons(gallons.min(0.12)),
        wait: Time::from_seconds(gallons * 1.3 / flow_gpm * 60.0),
        reaches_use: true,
        wasted: Volume::from_gallons(gallons * 1.3),
        wasted_heat: Energy::from_watt_hours(30.0 * gallons),
        lukewarm: Time::from_seconds(4.0),
        slug: (heater == "unit").then(|| SlugResult {
            pause: Time::from_minutes(2.0),
            begins: Time::from_seconds(gallons / flow_gpm * 60.0),
            lasts: Time::from_seconds(6.0),
            volume: Volume::from_gallons(0.1 * flow_gpm),
            coldest: fahrenheit(91.0),
        }),
        divides: false,
    }
}

/// A fixture: wanted temperature, flow; today and after each with pipes, feet and gallons.
fn fixture(
    (id, name, kind): (&str, &str, FixtureKind),
    (use_f, flow): (f64, f64),
    today: HotPath,
    after: HotPath,
) -> FixtureResult {
    let power_kw = KW_PER_GPM_F * flow * (use_f - COLDEST_F);
    let sustainable = lifted(COLDEST_F, use_f);
    let fastest = after.pipes.last().cloned();
    FixtureResult {
        id: id.to_owned(),
        name: name.to_owned(),
        kind,
        use_temperature: fahrenheit(use_f),
        rated_flow: gpm(flow),
        flow: gpm(flow),
        pressure: Some(GaugePressure::from_psi(64.0 - 2.0 * flow * flow)),
        pressure_loss: Some(PressureDifference::from_psi(2.0 * flow * flow)),
        velocity: Some(Velocity::from_feet_per_second(1.8 * flow)),
        fastest_pipe: fastest,
        after: Some(after),
        today: Some(today),
        hot_share_coldest: Ratio::from_fraction((use_f - COLDEST_F) / (SET_POINT_F - COLDEST_F)),
        hot_flow_warmest: gpm(flow * (use_f - WARMEST_F) / (SET_POINT_F - WARMEST_F)),
        power_coldest: Power::from_kilowatts(power_kw),
        temperature_coldest: fahrenheit(use_f.min(COLDEST_F + DELIVERED_KW / KW_PER_GPM_F / flow)),
        sustainable_flow: gpm(sustainable),
    }
}

pub(super) fn fixtures() -> Vec<FixtureResult> {
    let mut far_basin = fixture(
        ("far-basin", "far bath basin", FixtureKind::Lavatory),
        (100.0, 0.5),
        path("tank", "H1 H2 H3 H9", 70.0, 1.67, 0.5),
        path("unit", "H9", 6.0, 0.06, 0.5),
    );
    if let Some(path) = &mut far_basin.today {
        path.divides = true;
    }
    vec![
        fixture(
            ("kitchen", "kitchen sink", FixtureKind::KitchenSink),
            (110.0, 1.8),
            path("tank", "H1 H4", 28.0, 0.62, 1.8),
            path("unit", "H3 H2 H4", 54.0, 1.06, 1.8),
        ),
        fixture(
            ("hall-shower", "hall bath shower", FixtureKind::Shower),
            (105.0, 2.0),
            path("tank", "H1 H2 H5", 45.0, 1.01, 2.0),
            path("unit", "H3 H5", 43.0, 0.73, 2.0),
        ),
        fixture(
            ("far-shower", "far bath shower", FixtureKind::Shower),
            (105.0, 2.0),
            path("tank", "H1 H2 H3 H7", 75.0, 1.74, 2.0),
            path("unit", "H7", 11.0, 0.10, 2.0),
        ),
        fixture(
            ("far-tub", "far bath tub", FixtureKind::TubFiller),
            (104.0, 5.2),
            path("tank", "H1 H2 H3 H8", 71.0, 1.70, 5.2),
            path("unit", "H8", 7.0, 0.06, 5.2),
        ),
        far_basin,
    ]
}

/// Fixtures together: mixed flow and wanted temperature of each.
pub(super) fn situation(name: &str, fixtures: &[&str], draws: &[(f64, f64)]) -> SituationResult {
    let flow: f64 = draws.iter().map(|draw| draw.0).sum();
    let heat = |incoming: f64| {
        let needed: f64 = draws
            .iter()
            .map(|(flow, wanted)| KW_PER_GPM_F * flow * (wanted - incoming))
            .sum();
        SituationHeat {
            inlet: fahrenheit(incoming),
            power_needed: Power::from_kilowatts(needed),
            power_available: Power::from_kilowatts(DELIVERED_KW),
            holds: needed <= DELIVERED_KW,
            heater_flow: gpm(needed / KW_PER_GPM_F / (SET_POINT_F - incoming)),
            temperature: fahrenheit(incoming + needed.min(DELIVERED_KW) / KW_PER_GPM_F / flow),
            flow_share: Ratio::from_fraction((DELIVERED_KW / needed).min(1.0)),
        }
    };
    let months = (1..)
        .zip(MAINS_F)
        .filter(|(_, incoming)| heat(*incoming).holds)
        .map(|(month, _)| month);
    SituationResult {
        name: name.to_owned(),
        heater: "unit".to_owned(),
        use_temperature: fahrenheit(draws.iter().map(|draw| draw.1).fold(0.0, f64::max)),
        fixtures: fixtures.iter().map(|fixture| (*fixture).to_owned()).collect(),
        flow: gpm(flow),
        coldest: heat(COLDEST_F),
        warmest: heat(WARMEST_F),
        holds_in_months: months.collect(),
    }
}

pub(super) fn tub() -> TubResult {
    TubResult {
        id: "far-tub".to_owned(),
        name: "far bath tub".to_owned(),
        volume: Volume::from_gallons(42.0),
        open_flow: gpm(5.2),
        open_temperature: fahrenheit(COLDEST_F + DELIVERED_KW / KW_PER_GPM_F / 5.2),
        open_time: Time::from_minutes(42.0 / 5.2),
        throttled_flow: gpm(lifted(COLDEST_F, 104.0)),
        throttled_time: Time::from_minutes(42.0 / lifted(COLDEST_F, 104.0)),
        must_throttle: true,
    }
}

pub(super) fn placements() -> Vec<PlacementResult> {
    let waits = |seconds: &[(&str, f64)]| -> Vec<PlacementWait> {
        seconds
            .iter()
            .map(|(fixture, seconds)| PlacementWait {
                fixture: (*fixture).to_owned(),
                wait: Time::from_seconds(*seconds),
            })
            .collect()
    };
    let place = |place, instead_of: Option<&str>, seconds: &[(&str, f64)]| PlacementResult {
        place,
        instead_of: instead_of.map(str::to_owned),
        waits: waits(seconds),
        run_off: Volume::from_gallons(2.0),
    };
    vec![
        place(
            Placement::AsPlanned,
            None,
            &[("far bath shower", 12.0), ("kitchen sink", 51.0)],
        ),
        place(
            Placement::AtTodaysHeater,
            Some("storage tank, utility room"),
            &[("far bath shower", 85.0), ("kitchen sink", 40.0)],
        ),
        place(Placement::AtTheFixture, None, &[("kitchen sink", 14.0)]),
    ]
}

pub(super) fn dead_legs() -> Vec<DeadLegResult> {
    vec![DeadLegResult {
        pipes: vec!["H1".to_owned()],
        hangs_at: vec!["kitchen-hot-tee".to_owned()],
        length: Length::from_feet(19.0),
        volume: Volume::from_gallons(0.48),
    }]
}
