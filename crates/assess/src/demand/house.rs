//! The household of a job: its fixtures as they are used, and what each asks of the heater month by month.

use super::OverlayError;
use crate::{Assessment, FixtureResult};
use job::{Fixture, FixtureKind, Job, SourceKind, SourceStatus};
use quantity::{Power, Temperature, Time, VolumeFlow};
use tables::draw_pattern::{DrawFixture, draw_pattern, hours_source};
use trace::{Assumption, Influence, RecordPath};
use water::Water;
use water::draws::{FixtureUse, HeaterLimits, Household};
use water::heating::power_needed;
use water::mixing::hot_share;

/// A proposed on-demand unit.
#[derive(Debug, Clone, Copy)]
pub(super) struct OnDemand<'a> {
    id: &'a str,
    set_point: Temperature,
    pub(super) limits: HeaterLimits,
}

impl<'a> OnDemand<'a> {
    pub(super) fn all(job: &Job, assessment: &'a Assessment) -> Vec<Self> {
        let proposed = |id: &str| {
            job.sources
                .iter()
                .any(|source| source.id == id && source.status == SourceStatus::Proposed)
        };
        assessment
            .heaters
            .iter()
            .filter(|heater| heater.kind == SourceKind::OnDemand && proposed(&heater.id))
            .map(|heater| Self {
                id: &heater.id,
                set_point: heater.set_point,
                limits: HeaterLimits {
                    rating: heater.delivered_power,
                    activation: heater.activation_flow.unwrap_or_else(VolumeFlow::zero),
                },
            })
            .collect()
    }
}

/// What a fixture asks of its heater at full flow.
#[derive(Debug, Clone, Copy)]
pub(super) struct Asks {
    pub(super) power: Power,
    pub(super) hot_flow: VolumeFlow,
}

/// Fixtures with their use.
pub(super) struct House {
    pub(super) household: Household,
    /// For each fixture: the unit that serves it, and what it asks in each month.
    served: Vec<(usize, [Asks; 12])>,
    patterns: Vec<DrawFixture>,
    own: bool,
}

impl House {
    pub(super) fn new(
        job: &Job,
        assessment: &Assessment,
        units: &[OnDemand<'_>],
        people: u16,
    ) -> Result<Self, OverlayError> {
        let mut uses = Vec::new();
        let mut served = Vec::new();
        let mut patterns = Vec::new();
        let mut own = false;
        for result in &assessment.fixtures {
            let Some(fixture) = job.fixtures.iter().find(|fixture| fixture.id == result.id) else {
                continue;
            };
            let Some(unit) = unit_of(result, fixture, units) else {
                continue;
            };
            let kind = pattern_of(fixture.kind);
            // The household's uses are shared by the fixtures of a kind.
            let alike = job
                .fixtures
                .iter()
                .filter(|other| other.kind == fixture.kind)
                .count();
            uses.push(use_of(fixture, result, kind, people, alike));
            own |= fixture.uses_per_day.is_some() || fixture.use_time.is_some();
            served.push((unit, asks(result, &units[unit], assessment)?));
            patterns.push(kind);
        }
        if served.is_empty() {
            return Err(OverlayError::NoFixture);
        }
        Ok(Self {
            household: Household::new(uses)?,
            served,
            patterns,
            own,
        })
    }

    /// The unit that serves a fixture, and what the fixture asks in a month (0 is January).
    pub(super) fn asks(&self, fixture: usize, month: usize) -> (usize, Asks) {
        let (unit, asks) = &self.served[fixture];
        (*unit, asks[month.min(11)])
    }

    pub(super) fn assumptions(&self) -> Vec<Assumption> {
        let mut kinds = self.patterns.clone();
        kinds.sort();
        kinds.dedup();
        let measure =
            "ask who uses what, when and how long; enter `uses_per_day` and `use_time` of each fixture";
        let mut all: Vec<Assumption> = kinds
            .into_iter()
            .map(|kind| {
                let pattern = draw_pattern(kind);
                Assumption {
                    field: RecordPath::from("fixtures"),
                    subject: format!("use of {}", word(kind)),
                    value: format!(
                        "{:.1} uses a day and person, {:.1} min each on average{}",
                        pattern.uses_per_person_day,
                        pattern.duration.as_minutes(),
                        if self.own {
                            ", where the record does not say otherwise"
                        } else {
                            ""
                        }
                    ),
                    reason: "averages of many households; no house is one".to_owned(),
                    influence: Influence::High,
                    measure: measure.to_owned(),
                    source: pattern.source.clone(),
                }
            })
            .collect();
        all.push(Assumption {
            field: RecordPath::from("fixtures"),
            subject: "hours at which hot water is drawn".to_owned(),
            value: "by the shares of one measured home, each draw by itself".to_owned(),
            reason: "the shape of a day, not this family's; a rush hour makes higher peaks".to_owned(),
            influence: Influence::Medium,
            measure: "ask when the household gets up, bathes and cooks".to_owned(),
            source: hours_source().clone(),
        });
        all
    }
}

/// The unit that serves a fixture: by the piping, else the only one for a fixture that is not piped in the record.
fn unit_of(result: &FixtureResult, fixture: &Fixture, units: &[OnDemand<'_>]) -> Option<usize> {
    match &result.after {
        Some(path) => units.iter().position(|unit| unit.id == path.heater),
        None => (fixture.hot.is_none() && !units.is_empty()).then_some(0),
    }
}

fn use_of(
    fixture: &Fixture,
    result: &FixtureResult,
    kind: DrawFixture,
    people: u16,
    alike: usize,
) -> FixtureUse {
    let pattern = draw_pattern(kind);
    #[allow(clippy::cast_precision_loss, reason = "fixtures of a house")]
    let shared =
        (pattern.uses_per_day + pattern.uses_per_person_day * f64::from(people)) / alike.max(1) as f64;
    // A tub runs until it is full.
    let filling = fixture
        .fill_volume
        .filter(|_| fixture.kind == FixtureKind::TubFiller && result.flow > VolumeFlow::zero())
        .map(|volume| Time::from_minutes(volume.as_liters() / result.flow.as_liters_per_minute()));
    let duration = fixture.use_time.or(filling).unwrap_or(pattern.duration);
    FixtureUse {
        uses_per_day: fixture.uses_per_day.unwrap_or(shared).clamp(0.0, 200.0),
        duration: duration.max(Time::from_seconds(1.0)).min(Time::from_hours(2.0)),
        duration_log_deviation: pattern.duration_log_deviation,
        flow_deviation: pattern.flow_deviation,
        hours: pattern.hours,
    }
}

fn asks(
    result: &FixtureResult,
    unit: &OnDemand<'_>,
    assessment: &Assessment,
) -> Result<[Asks; 12], OverlayError> {
    let mut all = [Asks {
        power: Power::zero(),
        hot_flow: VolumeFlow::zero(),
    }; 12];
    for (month, asks) in all.iter_mut().enumerate() {
        // Where only the extremes are known, the coldest stands for the whole year.
        let inlet = assessment
            .mains
            .months
            .get(month)
            .copied()
            .unwrap_or(assessment.mains.coldest);
        // What is wanted hotter than the unit is set to gets the set point.
        let wanted = if result.use_temperature < unit.set_point {
            result.use_temperature
        } else {
            unit.set_point
        };
        if wanted <= inlet {
            continue;
        }
        let water = Water::in_house(inlet)?;
        let share = if wanted < unit.set_point {
            hot_share(wanted, unit.set_point, &water)?.as_fraction()
        } else {
            1.0
        };
        *asks = Asks {
            power: power_needed(result.flow, &water, wanted)?,
            hot_flow: result.flow * share,
        };
    }
    Ok(all)
}

fn pattern_of(kind: FixtureKind) -> DrawFixture {
    match kind {
        FixtureKind::Shower => DrawFixture::Shower,
        FixtureKind::TubFiller => DrawFixture::TubFiller,
        FixtureKind::Lavatory => DrawFixture::Lavatory,
        FixtureKind::KitchenSink => DrawFixture::KitchenSink,
        FixtureKind::LaundrySink => DrawFixture::LaundrySink,
        FixtureKind::Bidet => DrawFixture::Bidet,
        FixtureKind::Dishwasher => DrawFixture::Dishwasher,
        FixtureKind::ClothesWasher => DrawFixture::ClothesWasher,
    }
}

fn word(kind: DrawFixture) -> &'static str {
    match kind {
        DrawFixture::Shower => "showers",
        DrawFixture::TubFiller => "tubs",
        DrawFixture::Lavatory => "lavatories",
        DrawFixture::KitchenSink => "kitchen sinks",
        DrawFixture::LaundrySink => "laundry sinks",
        DrawFixture::Bidet => "bidets",
        DrawFixture::Dishwasher => "dishwashers",
        DrawFixture::ClothesWasher => "clothes washers",
    }
}
