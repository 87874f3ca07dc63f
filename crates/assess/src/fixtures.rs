//! Each fixture alone: what it takes, what it gets, how long it waits today and after the work.

use crate::FixtureResult;
use crate::context::Context;
use crate::delivery::Plumbing;
use crate::heat::{Tap, heat_at};
use crate::waits::{Waits, running};
use job::{Fixture, FixtureKind};
use quantity::{GaugePressure, Ratio, Temperature, VolumeFlow};
use trace::RecordPath;
use water::mixing::{Draw, hot_share, sustained_flow};
use water::outlet::Outlet;
use water::{Water, WaterError};

/// Fixtures as found, with their taps for whatever runs together.
pub(crate) struct Fixtures {
    pub(crate) results: Vec<FixtureResult>,
    pub(crate) taps: Vec<Tap>,
    /// Pressure at the inlet of a heater while a fixture runs.
    pub(crate) inlet_pressures: Vec<(usize, GaugePressure)>,
}

/// The piping in the mode designed for, and as it is served today.
pub(crate) struct Piping<'job> {
    pub(crate) after: Option<Plumbing<'job>>,
    pub(crate) today: Option<Plumbing<'job>>,
}

/// A fixture's own values, given or assumed.
struct Asked {
    name: String,
    rated_flow: VolumeFlow,
    rated_pressure: GaugePressure,
    use_temperature: Temperature,
    compensated: bool,
}

/// Every fixture alone.
pub(crate) fn fixtures(waits: &Waits<'_>, piping: &Piping<'_>) -> Fixtures {
    let context = waits.context;
    let mut all = Fixtures {
        results: Vec::new(),
        taps: Vec::new(),
        inlet_pressures: Vec::new(),
    };
    for (index, fixture) in context.job.fixtures.iter().enumerate() {
        let asked = asked(context, index, fixture);
        match one(waits, piping, index, &asked) {
            Ok((result, heater, inlet)) => {
                all.inlet_pressures.extend(heater.zip(inlet));
                let draw = Draw {
                    flow: result.flow,
                    use_temperature: asked.use_temperature,
                };
                all.taps.push(Tap {
                    fixture: index,
                    name: asked.name,
                    draw,
                    heater,
                });
                all.results.push(result);
            }
            Err(error) => context.gap(asked.name, "the fixture", error.to_string()),
        }
    }
    all
}

fn asked(context: &Context<'_>, index: usize, fixture: &Fixture) -> Asked {
    let given = &context.given;
    let at = RecordPath::from("fixtures").item(index);
    let kind = kind_key(fixture.kind);
    let pressure_key = match fixture.kind {
        FixtureKind::Shower => "fixtures.rated_pressure.shower",
        _ => "fixtures.rated_pressure",
    };
    let temperature_key = match fixture.kind {
        FixtureKind::Shower | FixtureKind::TubFiller | FixtureKind::Dishwasher => {
            format!("fixtures.use_temperature.{kind}")
        }
        _ => "fixtures.use_temperature".to_owned(),
    };
    let flow_key = format!("fixtures.rated_flow.{kind}");
    Asked {
        name: fixture.name.clone().unwrap_or_else(|| fixture.id.clone()),
        rated_flow: given
            .take(fixture.rated_flow, at.field("rated_flow"), &flow_key)
            .value,
        rated_pressure: given
            .take(fixture.rated_pressure, at.field("rated_pressure"), pressure_key)
            .value,
        use_temperature: given
            .take(
                fixture.use_temperature,
                at.field("use_temperature"),
                &temperature_key,
            )
            .value,
        compensated: fixture.pressure_compensated.unwrap_or(false),
    }
}

/// Pressure above which a compensated fixture keeps its flow.
///
/// Source: handbook of the project, water section 4, "flat above about 20 to 25 psi"; common practice, no source.
const COMPENSATED_FROM_PSI: f64 = 25.0;

fn one(
    waits: &Waits<'_>,
    piping: &Piping<'_>,
    index: usize,
    asked: &Asked,
) -> Result<(FixtureResult, Option<usize>, Option<GaugePressure>), WaterError> {
    let Waits {
        context,
        boilers,
        mains,
    } = *waits;
    let fixture = &context.job.fixtures[index];
    let found = piping
        .after
        .as_ref()
        .and_then(|plumbing| plumbing.heater_of(fixture));
    let boiler = match found {
        Some(index) => boilers.iter().find(|boiler| boiler.index == index),
        // Without piping to it, the first heater of the record that is energized serves it.
        None if fixture.hot.is_none() => boilers.first(),
        None => None,
    };
    let set_point = boiler.map_or(asked.use_temperature, |boiler| boiler.set_point.value);
    let cold_share = share(asked.use_temperature, set_point, mains.coldest, fixture)?;
    let outlet = if asked.compensated {
        let least = GaugePressure::from_psi(COMPENSATED_FROM_PSI).min(asked.rated_pressure);
        Outlet::Compensated {
            flow: asked.rated_flow,
            least_pressure: least,
        }
    } else {
        Outlet::Orifice {
            rated_flow: asked.rated_flow,
            rated_pressure: asked.rated_pressure,
        }
    };
    let delivery = piping
        .after
        .as_ref()
        .and_then(|plumbing| plumbing.delivery(index, outlet, cold_share, set_point));
    let inlet = delivery.as_ref().and_then(|delivery| delivery.heater_inlet);
    let flow = delivery
        .as_ref()
        .map_or(asked.rated_flow, |delivery| delivery.flow);
    if fixture.hot.is_none() {
        let at = RecordPath::from("fixtures").field(&fixture.id).field("hot");
        context.given.unknown(at, "piping.hot_pipe");
    }
    let path = |plumbing: &Option<Plumbing<'_>>| {
        let plumbing = plumbing.as_ref()?;
        waits.hot_path(plumbing, fixture, running(flow), asked.use_temperature)
    };
    let warm = share(asked.use_temperature, set_point, mains.warmest, fixture)?;
    let draw = Draw {
        flow,
        use_temperature: asked.use_temperature,
    };
    let heat = boiler
        .map(|boiler| heat_at(boiler, &[draw], mains.coldest))
        .transpose()?;
    let cold = Water::in_house(mains.coldest)?;
    let sustainable = match boiler {
        Some(boiler) if asked.use_temperature.as_kelvins() > mains.coldest.as_kelvins() + 0.5 => {
            sustained_flow(boiler.engine().power, &cold, asked.use_temperature)?.min(flow)
        }
        _ => flow,
    };
    let result = FixtureResult {
        id: fixture.id.clone(),
        name: asked.name.clone(),
        kind: fixture.kind,
        use_temperature: asked.use_temperature,
        rated_flow: asked.rated_flow,
        flow,
        pressure: delivery.as_ref().map(|delivery| delivery.pressure),
        pressure_loss: delivery.as_ref().map(|delivery| delivery.loss),
        velocity: delivery
            .as_ref()
            .and_then(|delivery| delivery.fastest.as_ref().map(|(_, velocity)| *velocity)),
        fastest_pipe: delivery.and_then(|delivery| delivery.fastest.map(|(pipe, _)| pipe)),
        after: path(&piping.after),
        today: path(&piping.today),
        hot_share_coldest: cold_share,
        hot_flow_warmest: flow * warm.as_fraction(),
        power_coldest: heat
            .as_ref()
            .map_or_else(quantity::Power::zero, |heat| heat.power_needed),
        temperature_coldest: heat.as_ref().map_or(mains.coldest, |heat| heat.temperature),
        sustainable_flow: sustainable,
    };
    Ok((result, boiler.map(|boiler| boiler.index), inlet))
}

/// The hot share of a tap; all of it for a machine without a cold side, or where the set point is not above the wish.
fn share(
    wanted: Temperature,
    hot: Temperature,
    cold: Temperature,
    fixture: &Fixture,
) -> Result<Ratio, WaterError> {
    let machine = fixture.cold.is_none() && fixture.hot.is_some();
    if machine || wanted.as_kelvins() >= hot.as_kelvins() {
        return Ok(Ratio::from_fraction(1.0));
    }
    if wanted.as_kelvins() <= cold.as_kelvins() {
        return Ok(Ratio::from_fraction(0.0));
    }
    hot_share(wanted, hot, &Water::in_house(cold)?)
}

pub(crate) fn kind_key(kind: FixtureKind) -> &'static str {
    match kind {
        FixtureKind::Shower => "shower",
        FixtureKind::TubFiller => "tub-filler",
        FixtureKind::Lavatory => "lavatory",
        FixtureKind::KitchenSink => "kitchen-sink",
        FixtureKind::LaundrySink => "laundry-sink",
        FixtureKind::Bidet => "bidet",
        FixtureKind::Dishwasher => "dishwasher",
        FixtureKind::ClothesWasher => "clothes-washer",
    }
}
