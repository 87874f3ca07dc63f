//! The heater's own use laid over the measured demand: how high the house peaks, in many simulated years.
//!
//! In: a job with its assessment, the measured series, a seed. Out: a [`DemandOverlay`]. Start at [`overlay`].
//!
//! A meter says means over its interval. Within one, the house is taken as constant at that mean, so peaks of the house
//! itself that are shorter are not in the result; the heater is simulated second by second and stands in it at its real
//! power. Existing use of a heater that this job removes stays in the measured series: the result is that much too high.

mod house;
mod lay;
mod result;

pub use result::{DemandOverlay, OverlayDay, Peaks, RunAbove};

use crate::Assessment;
use crate::given::{Given, count};
use house::{House, OnDemand};
use job::Job;
use lay::{Base, Years};
use meter::{LocalTime, Series};
use quantity::{Current, Power, Time};
use trace::RecordPath;
use water::WaterError;

/// How the simulation runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OverlaySettings {
    /// Simulated years; more make rare events better known and take longer.
    pub years: u32,
    /// The same seed gives the same years.
    pub seed: u64,
    /// People in the house; assumed when not given.
    pub people: Option<u16>,
}

impl Default for OverlaySettings {
    fn default() -> Self {
        Self {
            years: 200,
            seed: 1,
            people: None,
        }
    }
}

/// Most years simulated at once.
const YEARS_MAX: u32 = 10_000;

/// Why nothing can be laid over.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum OverlayError {
    /// No service.
    #[error("the record has no `service`, so no rating can be passed; enter its `system` and `rating`")]
    NoService,
    /// No heater.
    #[error("the record has no proposed on-demand unit; give one of its `sources` the status `proposed`")]
    NoUnit,
    /// No fixture.
    #[error("no fixture of the record is served by the proposed unit; enter its `fixtures`")]
    NoFixture,
    /// Too many or no years.
    #[error("`{years}` simulated years; give 1 to 10,000")]
    Years {
        /// As given.
        years: u32,
    },
    /// No reading.
    #[error("the series has no reading")]
    NoReading,
    /// The water engine refused a value.
    #[error(transparent)]
    Water(#[from] WaterError),
}

/// Lays the heater's use over the measured demand of the last 365 days, year after simulated year.
///
/// peak of a year = max over the recorded time of ( measured mean + heater's mean ), once over each interval of the meter
/// and once over each minute
///
/// # Symbols
/// | here         | meaning                                                        |
/// |--------------|----------------------------------------------------------------|
/// | `job`        | fixtures with their use, service rating                        |
/// | `assessment` | of the same job: delivered power, flows, incoming water by month |
/// | `series`     | measured demand; only recorded time is looked at               |
/// | `local`      | local time: people shower by the clock on the wall             |
/// | `settings`   | years, seed, people                                            |
///
/// # Valid
/// A 120/240 V or other single-phase service; series of real power. Three-phase services are compared as if balanced.
/// # Outside
/// [`OverlayError`].
/// # Assumes
/// Legs share the load evenly and the power factor is 1, so rating · voltage is the power that may pass; the house is
/// constant within an interval of the meter; draws as [`water::draws::Household`]; incoming water of a month is constant.
/// Passing the rating is not tripping: a breaker carries more than its rating for some time, by its own curve.
/// # Source
/// Method of this project (computed): no standard gives one. Field practice, lesson 9: interval data speaks for the
/// existing load, the new heater enters at its real power.
/// # Example
/// Through the command line: `wattspring meter FILE --job JOB`.
pub fn overlay(
    job: &Job,
    assessment: &Assessment,
    series: &Series,
    local: &LocalTime,
    settings: &OverlaySettings,
) -> Result<DemandOverlay, OverlayError> {
    let service = assessment.service.as_ref().ok_or(OverlayError::NoService)?;
    if !(1..=YEARS_MAX).contains(&settings.years) {
        return Err(OverlayError::Years {
            years: settings.years,
        });
    }
    let given = Given::new(assessment.head.units);
    let people: u16 = given
        .take_other(settings.people, RecordPath::root(), "simulation.people", count)
        .value;
    let units = OnDemand::all(job, assessment);
    if units.is_empty() {
        return Err(OverlayError::NoUnit);
    }
    let house = House::new(job, assessment, &units, people)?;
    let base = Base::new(series, local).ok_or(OverlayError::NoReading)?;
    let rating = rated_power(service.system, service.voltage.as_volts(), service.rating);
    let years = Years::simulate(&house, &units, &base, rating, settings);
    let mut assumptions = given.into_assumptions();
    assumptions.extend(house.assumptions());
    Ok(DemandOverlay {
        years: settings.years,
        seed: settings.seed,
        people,
        unit_power: units.iter().map(|unit| unit.limits.rating).sum(),
        rating: service.rating,
        rating_power: rating,
        interval: base.usual_interval(),
        recorded: base.recorded(),
        measured_maximum: base.maximum(),
        by_interval: years.by_interval(),
        by_minute: years.by_minute(),
        runs: years.runs(),
        above_per_year: years.above(),
        hot_water_per_day: years.energy_per_day(&base),
        worst_day: years.worst_day,
        assumptions,
    })
}

/// The power at which the rating is just reached, legs balanced.
fn rated_power(system: job::SupplySystem, volts: f64, rating: Current) -> Power {
    let phases = match system {
        job::SupplySystem::ThreePhase230_400 => 3.0_f64.sqrt(),
        _ => 1.0,
    };
    Power::from_watts(rating.as_amperes() * volts * phases)
}

/// Minutes above the rating that are looked for in one stretch.
const RUNS_MIN: [u32; 7] = [1, 2, 5, 10, 15, 30, 60];

/// Minutes as a time.
fn minutes(count: u32) -> Time {
    Time::from_minutes(f64::from(count))
}
