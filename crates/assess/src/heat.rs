//! Heat at the taps: what each heater can lift, what each fixture and each situation gets, how tubs are filled.
//!
//! In: incoming water of the coldest and warmest month, delivered power, flows at the fixtures. Out: results for the
//! report. A tank gives its set point whatever the flow, as long as it lasts: how long that is, is not worked out here.

use crate::context::{Context, source_at, source_name};
use crate::given::Known;
use crate::{HeaterResult, MainsYear, OutletCurve, SituationHeat, SituationResult, TubResult};
use job::{Fixture, FixtureKind, HeatSource, SourceKind};
use quantity::{Power, Ratio, Temperature, VolumeFlow};
use trace::RecordPath;
use water::heating::{Heater, flow_heated, outlet_temperature};
use water::mixing::{Draw, serve, sustained_flow};
use water::tub::tub_fill;
use water::{Water, WaterError};

/// Power that stands for "as much as is asked": a tank's stored heat.
const STORED: f64 = 1e6;

/// A fixture ready to be served: its draw, and the heater behind it.
#[derive(Debug, Clone)]
pub(crate) struct Tap {
    pub(crate) fixture: usize,
    pub(crate) name: String,
    pub(crate) draw: Draw,
    pub(crate) heater: Option<usize>,
}

/// A heater with its real power.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Boiler {
    pub(crate) index: usize,
    pub(crate) kind: SourceKind,
    pub(crate) set_point: Known<Temperature>,
    pub(crate) delivered: Power,
}

impl Boiler {
    pub(crate) fn new(context: &Context<'_>, index: usize, heater: &HeatSource, delivered: Power) -> Self {
        let key = match heater.kind {
            SourceKind::OnDemand => "sources.set_point.on-demand",
            SourceKind::Tank => "sources.set_point.tank",
        };
        let set_point = context
            .given
            .take(heater.set_point, source_at(index).field("set_point"), key);
        Self {
            index,
            kind: heater.kind,
            set_point,
            delivered,
        }
    }

    pub(crate) fn engine(&self) -> Heater {
        let power = match self.kind {
            SourceKind::OnDemand => self.delivered,
            SourceKind::Tank => Power::from_watts(STORED),
        };
        Heater {
            power,
            set_point: self.set_point.value,
        }
    }
}

/// What a heater can lift through the year.
pub(crate) fn heater_result(
    context: &Context<'_>,
    boiler: &Boiler,
    rated: Power,
    mains: &MainsYear,
) -> Result<HeaterResult, WaterError> {
    let heater = &context.job.sources[boiler.index];
    let set_point = boiler.set_point.value;
    let on_demand = boiler.kind == SourceKind::OnDemand;
    let lifts = |inlet: Temperature| -> Result<Option<VolumeFlow>, WaterError> {
        if !on_demand || set_point.as_kelvins() <= inlet.as_kelvins() + 0.5 {
            return Ok(None);
        }
        flow_heated(boiler.delivered, &Water::in_house(inlet)?, set_point).map(Some)
    };
    let shower = Temperature::from_fahrenheit(105.0);
    let mut shower_flow_by_month = Vec::new();
    let mut curves = Vec::new();
    if on_demand && boiler.delivered > Power::zero() {
        let ends = [mains.coldest, mains.warmest];
        let months: &[Temperature] = if mains.months.is_empty() {
            &ends
        } else {
            &mains.months
        };
        for inlet in months {
            if shower.as_kelvins() > inlet.as_kelvins() + 0.5 {
                shower_flow_by_month.push(sustained_flow(
                    boiler.delivered,
                    &Water::in_house(*inlet)?,
                    shower,
                )?);
            }
        }
        for (label, inlet) in [("coldest month", mains.coldest), ("warmest month", mains.warmest)] {
            curves.push(curve(boiler, label, inlet, heater.flow_max)?);
        }
    }
    let activation_flow = on_demand.then(|| {
        let at = source_at(boiler.index).field("activation_flow");
        context
            .given
            .take(heater.activation_flow, at, "sources.activation_flow")
            .value
    });
    let share = if rated > Power::zero() {
        boiler.delivered / rated
    } else {
        0.0
    };
    Ok(HeaterResult {
        id: heater.id.clone(),
        name: source_name(heater),
        kind: heater.kind,
        status: heater.status,
        set_point,
        rated_power: rated,
        delivered_power: boiler.delivered,
        delivered_share: Ratio::from_fraction(share),
        flow_at_set_point_coldest: lifts(mains.coldest)?,
        flow_at_set_point_warmest: lifts(mains.warmest)?,
        shower_flow_by_month,
        curves,
        activation_flow,
    })
}

/// Outlet temperature over flow, held at the set point as long as the power lasts.
fn curve(
    boiler: &Boiler,
    label: &str,
    inlet: Temperature,
    most: Option<VolumeFlow>,
) -> Result<OutletCurve, WaterError> {
    let water = Water::in_house(inlet)?;
    let end = most
        .unwrap_or_else(|| VolumeFlow::from_gallons_per_minute(6.0))
        .as_gallons_per_minute()
        .clamp(1.0, 20.0);
    let mut points = Vec::with_capacity(49);
    for step in 0..=48 {
        let flow = VolumeFlow::from_gallons_per_minute(0.2 + (end - 0.2) * f64::from(step) / 48.0);
        // Small flows would boil at full power; the unit holds its set point there.
        let full = match outlet_temperature(boiler.delivered, flow, &water) {
            Ok(temperature) => temperature,
            Err(WaterError::WouldBoil { .. } | WaterError::OutOfRange { .. }) => boiler.set_point.value,
            Err(error) => return Err(error),
        };
        let held = if full.as_kelvins() > boiler.set_point.value.as_kelvins() {
            boiler.set_point.value
        } else {
            full
        };
        points.push((flow, held));
    }
    Ok(OutletCurve {
        label: label.to_owned(),
        inlet,
        points,
    })
}

/// A situation for each heater that serves fixtures of it.
pub(crate) fn situations(
    context: &Context<'_>,
    taps: &[Tap],
    boilers: &[Boiler],
    mains: &MainsYear,
) -> Vec<SituationResult> {
    let job = context.job;
    let mut results = Vec::new();
    for together in &job.together {
        for boiler in boilers {
            let members: Vec<&Tap> = together
                .fixtures
                .iter()
                .filter_map(|id| taps.iter().find(|tap| &job.fixtures[tap.fixture].id == id))
                .filter(|tap| tap.heater == Some(boiler.index))
                .collect();
            if members.is_empty() {
                continue;
            }
            match situation(context, &together.name, &members, boiler, mains) {
                Ok(result) => results.push(result),
                Err(error) => context.gap(together.name.clone(), "the heat it takes", error.to_string()),
            }
        }
    }
    results
}

fn situation(
    context: &Context<'_>,
    name: &str,
    members: &[&Tap],
    boiler: &Boiler,
    mains: &MainsYear,
) -> Result<SituationResult, WaterError> {
    let draws: Vec<Draw> = members.iter().map(|tap| tap.draw).collect();
    let mut holds_in_months = Vec::new();
    for (month, inlet) in (1_u8..).zip(&mains.months) {
        if heat_at(boiler, &draws, *inlet)?.holds {
            holds_in_months.push(month);
        }
    }
    let hottest = draws
        .iter()
        .map(|draw| draw.use_temperature)
        .max_by(|a, b| a.as_kelvins().total_cmp(&b.as_kelvins()));
    Ok(SituationResult {
        name: name.to_owned(),
        heater: context.job.sources[boiler.index].id.clone(),
        fixtures: members.iter().map(|tap| tap.name.clone()).collect(),
        use_temperature: hottest.unwrap_or(boiler.set_point.value),
        flow: draws.iter().map(|draw| draw.flow).sum(),
        coldest: heat_at(boiler, &draws, mains.coldest)?,
        warmest: heat_at(boiler, &draws, mains.warmest)?,
        holds_in_months,
    })
}

/// Heat of draws at one incoming temperature.
pub(crate) fn heat_at(
    boiler: &Boiler,
    draws: &[Draw],
    inlet: Temperature,
) -> Result<SituationHeat, WaterError> {
    let water = Water::in_house(inlet)?;
    let served = serve(&boiler.engine(), &water, draws)?;
    let holds = draws.iter().all(|draw| served.satisfies(draw));
    let coolest = draws
        .iter()
        // Nobody gets water cooler than what comes in, whatever they wish.
        .map(|draw| {
            if served.at(draw) < inlet {
                inlet
            } else {
                served.at(draw)
            }
        })
        .min_by(|a, b| a.as_kelvins().total_cmp(&b.as_kelvins()))
        .unwrap_or(inlet);
    let share = if served.power_wanted > Power::zero() {
        (boiler.engine().power / served.power_wanted).min(1.0)
    } else {
        1.0
    };
    Ok(SituationHeat {
        inlet,
        power_needed: served.power_wanted,
        power_available: match boiler.kind {
            SourceKind::OnDemand => boiler.delivered,
            SourceKind::Tank => served.power_wanted,
        },
        holds,
        heater_flow: served.hot_flow,
        temperature: coolest,
        flow_share: Ratio::from_fraction(share),
    })
}

/// Tubs that a heater fills, in the coldest month.
pub(crate) fn tubs(
    context: &Context<'_>,
    taps: &[Tap],
    boilers: &[Boiler],
    mains: &MainsYear,
) -> Vec<TubResult> {
    let tub = |tap: &&Tap| context.job.fixtures[tap.fixture].kind == FixtureKind::TubFiller;
    taps.iter()
        .filter(tub)
        .filter_map(|tap| {
            let boiler = boilers.iter().find(|boiler| Some(boiler.index) == tap.heater)?;
            match fill(context, tap, boiler, mains) {
                Ok(result) => Some(result),
                Err(error) => {
                    context.gap(tap.name.clone(), "the filling of the tub", error.to_string());
                    None
                }
            }
        })
        .collect()
}

fn fill(
    context: &Context<'_>,
    tap: &Tap,
    boiler: &Boiler,
    mains: &MainsYear,
) -> Result<TubResult, WaterError> {
    let fixture: &Fixture = &context.job.fixtures[tap.fixture];
    let at = RecordPath::from("fixtures")
        .item(tap.fixture)
        .field("fill_volume");
    let volume = context
        .given
        .take(fixture.fill_volume, at, "fixtures.fill_volume")
        .value;
    let water = Water::in_house(mains.coldest)?;
    let filled = tub_fill(
        volume,
        tap.draw.use_temperature,
        tap.draw.flow,
        &boiler.engine(),
        &water,
    )?;
    let Some(throttled) = filled.throttled else {
        return Err(WaterError::NotWarmer {
            warmer: "the set point",
            warm: boiler.set_point.value,
            cooler: "the use temperature of the tub",
            cool: tap.draw.use_temperature,
        });
    };
    Ok(TubResult {
        id: fixture.id.clone(),
        name: tap.name.clone(),
        volume,
        open_flow: filled.full_open.flow,
        open_temperature: filled.full_open.temperature,
        open_time: filled.full_open.time,
        throttled_flow: throttled.flow,
        throttled_time: throttled.time,
        must_throttle: throttled.flow < filled.full_open.flow,
    })
}
