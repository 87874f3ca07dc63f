//! The demand in a series: its maximum, its months and hours, how long it stays above what.
//!
//! In: a series and the local time. Out: a [`Demand`]. Start at [`demand`]. A meter tells means over its interval;
//! [`interval_mean`] says what it makes of a short use.

use crate::local_time::LocalTime;
use crate::quality_report::seconds;
use crate::series::{Reading, Series};
use quantity::{Energy, Power, Ratio, Time};
use std::collections::{BTreeMap, VecDeque};

/// The averaging time that the measured-demand method of the electrical code names.
///
/// Source: NEC 220.87, exception ("15-minute average"): seen as quoted, handbook of the project, electrical section 12.
const CODE_INTERVAL_S: u32 = 900;
const YEAR_S: i64 = 365 * 86_400;

/// The largest mean over an interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Maximum {
    /// The mean.
    pub power: Power,
    /// Start of the interval, seconds since 1970 UTC.
    pub start_unix_s: i64,
    /// Its length.
    pub interval: Time,
}

/// A calendar month.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MonthOfYear {
    /// Year.
    pub year: i16,
    /// Month, 1 to 12.
    pub month: u8,
    /// Energy of its readings.
    pub energy: Energy,
    /// Largest interval mean.
    pub maximum: Power,
    /// Time with a reading.
    pub covered: Time,
}

/// An hour of the day, over all days.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HourOfDay {
    /// Mean.
    pub mean: Power,
    /// Largest interval mean.
    pub maximum: Power,
    /// Time with a reading.
    pub covered: Time,
}

/// The demand of the last 365 days of a series, or of all of it when it is shorter.
#[derive(Debug, Clone, PartialEq)]
pub struct Demand {
    /// Start and end of what was looked at, seconds since 1970 UTC.
    pub from_unix_s: i64,
    /// End.
    pub to_unix_s: i64,
    /// Energy.
    pub energy: Energy,
    /// Mean over the time with readings.
    pub mean: Power,
    /// Largest mean over one interval of the meter.
    pub maximum: Maximum,
    /// Largest mean over 15 minutes: at least this.
    pub maximum_15_min: Power,
    /// And at most this: above the one before when an interval is longer than 15 minutes, for all its energy may have
    /// been drawn in one quarter of it.
    pub maximum_15_min_bound: Power,
    /// Largest interval mean of the whole series, however long.
    pub maximum_ever: Maximum,
    /// By month, in order.
    pub months: Vec<MonthOfYear>,
    /// By hour of the day, 24 of them.
    pub hours: Vec<HourOfDay>,
    /// Demand exceeded for a share of the time, from 0 to 100 %.
    pub duration: Vec<(Ratio, Power)>,
}

/// The demand in a series; none without a reading.
///
/// Pᵢ = Eᵢ / Δtᵢ for each interval; maximum = max Pᵢ; over 15 minutes: the largest mean of contiguous intervals that add
/// up to 15 minutes where Δt divides it, else from max Pᵢ to max Pᵢ · Δtᵢ / 15 min.
///
/// # Symbols
/// | here     | meaning                                        | unit |
/// |----------|------------------------------------------------|------|
/// | `series` | readings: mean power Pᵢ over Δtᵢ               | W, s |
/// | `local`  | local time, for months and hours               | –    |
/// | result   | maxima, months, hours, load duration           | W    |
///
/// # Valid
/// Any series with a reading.
/// # Outside
/// None for an empty series.
/// # Assumes
/// A reading belongs to the month and hour in which it begins. Apparent power, where the meter counts it, stands as if it
/// were real.
/// # Source
/// The 15 minutes: NEC 220.87 as quoted (seen). The bound for longer intervals is physical: energy of the interval in one
/// quarter of an hour (computed; handbook of the project, electrical section 12).
/// # Example
/// ```
/// use meter::{CsvOptions, LocalTime, csv_file, demand};
/// let text = "start,kWh\n2024-01-01T00:00:00Z,1.0\n2024-01-01T01:00:00Z,3.6\n2024-01-01T02:00:00Z,0.5\n";
/// let import = csv_file(text.as_bytes(), &CsvOptions::default())?;
/// let found = demand(import.demand(None)?, &LocalTime::Utc).expect("three readings");
/// assert!((found.maximum.power.as_kilowatts() - 3.6).abs() < 1e-9);
/// // 3.6 kWh within one quarter of the hour is 14.4 kW.
/// assert!((found.maximum_15_min_bound.as_kilowatts() - 14.4).abs() < 1e-9);
/// # Ok::<(), meter::MeterError>(())
/// ```
pub fn demand(series: &Series, local: &LocalTime) -> Option<Demand> {
    let to_unix_s = series.iter().last()?.end_unix_s();
    let first = series.iter().next()?;
    let maximum_ever = largest(series.iter())?;
    let from_unix_s = first.start_unix_s.max(to_unix_s - YEAR_S);
    let year = || {
        series
            .iter()
            .skip_while(move |reading| reading.start_unix_s < from_unix_s)
    };
    let maximum = largest(year())?;
    let (mut energy_j, mut covered_s) = (0.0, 0_i64);
    let mut months: BTreeMap<(i16, i8), Sum> = BTreeMap::new();
    let mut hours = [Sum::default(); 24];
    let mut by_size: Vec<(f32, u32)> = Vec::new();
    let mut quarter = Quarter::default();
    let mut bound_w: f64 = maximum.power.as_watts();
    for reading in year() {
        energy_j += reading.energy_j();
        covered_s += i64::from(reading.length_s);
        let at = local.at(reading.start_unix_s);
        months
            .entry((at.date.year(), at.date.month()))
            .or_default()
            .add(&reading);
        hours[at.hour().min(23)].add(&reading);
        #[allow(
            clippy::cast_possible_truncation,
            reason = "seven digits are more than a meter has"
        )]
        by_size.push((reading.mean_w as f32, reading.length_s));
        quarter.add(reading);
        if reading.length_s > CODE_INTERVAL_S {
            let share = f64::from(reading.length_s) / f64::from(CODE_INTERVAL_S);
            bound_w = bound_w.max(reading.mean_w * share);
        }
    }
    // A finer series than 15 minutes has its true maximum; intervals of 15 minutes and more are at least the longest mean.
    let coarse_w = year()
        .filter(|reading| reading.length_s >= CODE_INTERVAL_S)
        .map(|reading| reading.mean_w)
        .fold(None, |most: Option<f64>, mean_w| {
            Some(most.map_or(mean_w, |most| most.max(mean_w)))
        });
    let least_w = match (quarter.most_w, coarse_w) {
        (Some(fine), Some(coarse)) => fine.max(coarse),
        (Some(one), None) | (None, Some(one)) => one,
        // Intervals that do not add up to 15 minutes anywhere: each mean stands for itself.
        (None, None) => maximum.power.as_watts(),
    };
    let all_fine = year().all(|reading| reading.length_s <= CODE_INTERVAL_S) && quarter.most_w.is_some();
    let bound_w = if all_fine { least_w } else { bound_w };
    Some(Demand {
        from_unix_s,
        to_unix_s,
        energy: Energy::from_joules(energy_j),
        mean: Power::from_watts(energy_j / seconds(covered_s).as_seconds()),
        maximum,
        maximum_15_min: Power::from_watts(least_w),
        maximum_15_min_bound: Power::from_watts(bound_w.max(least_w)),
        maximum_ever,
        months: months
            .into_iter()
            .map(|((year, month), sum)| MonthOfYear {
                year,
                month: month.unsigned_abs(),
                energy: Energy::from_joules(sum.energy_j),
                maximum: Power::from_watts(sum.most_w),
                covered: seconds(sum.covered_s),
            })
            .collect(),
        hours: hours
            .into_iter()
            .map(|sum| HourOfDay {
                mean: Power::from_watts(if sum.covered_s > 0 {
                    sum.energy_j / seconds(sum.covered_s).as_seconds()
                } else {
                    0.0
                }),
                maximum: Power::from_watts(sum.most_w),
                covered: seconds(sum.covered_s),
            })
            .collect(),
        duration: duration(by_size),
    })
}

/// What a meter makes of a steady use that is shorter than its interval.
///
/// P̄ = P · t / Δt
///
/// # Symbols
/// | here       | meaning                | unit |
/// |------------|------------------------|------|
/// | `power`    | power P while it runs  | W    |
/// | `runs`     | how long t it runs     | s    |
/// | `interval` | interval Δt            | s    |
/// | result     | mean P̄                 | W    |
///
/// # Valid
/// A positive interval; a use longer than it fills it.
/// # Outside
/// Zero for an interval that is not positive.
/// # Assumes
/// The whole use falls into one interval; across two, each shows less.
/// # Source
/// Arithmetic; the example is the handbook's (field practice, lesson 9, computed there).
/// # Example
/// ```
/// use meter::interval_mean;
/// use quantity::{Power, Time};
/// let shown = |minutes| interval_mean(
///     Power::from_kilowatts(27.0), Time::from_minutes(8.0), Time::from_minutes(minutes)).as_kilowatts();
/// assert!((shown(15.0) - 14.4).abs() < 1e-9 && (shown(60.0) - 3.6).abs() < 1e-9);
/// ```
pub fn interval_mean(power: Power, runs: Time, interval: Time) -> Power {
    if interval.as_seconds() > 0.0 {
        power * (runs / interval).clamp(0.0, 1.0)
    } else {
        Power::zero()
    }
}

#[derive(Debug, Clone, Copy, Default)]
struct Sum {
    energy_j: f64,
    covered_s: i64,
    most_w: f64,
}

impl Sum {
    fn add(&mut self, reading: &Reading) {
        self.most_w = if self.covered_s == 0 {
            reading.mean_w
        } else {
            self.most_w.max(reading.mean_w)
        };
        self.energy_j += reading.energy_j();
        self.covered_s += i64::from(reading.length_s);
    }
}

fn largest(readings: impl Iterator<Item = Reading>) -> Option<Maximum> {
    // The first of equals.
    let most = readings.reduce(|most, one| if one.mean_w > most.mean_w { one } else { most })?;
    Some(Maximum {
        power: Power::from_watts(most.mean_w),
        start_unix_s: most.start_unix_s,
        interval: Time::from_seconds(f64::from(most.length_s)),
    })
}

/// A window of 15 minutes over contiguous readings.
#[derive(Debug, Default)]
struct Quarter {
    inside: VecDeque<Reading>,
    length_s: u32,
    most_w: Option<f64>,
}

impl Quarter {
    fn add(&mut self, reading: Reading) {
        let follows = self
            .inside
            .back()
            .is_some_and(|last| last.end_unix_s() == reading.start_unix_s);
        if !follows || reading.length_s > CODE_INTERVAL_S {
            self.inside.clear();
            self.length_s = 0;
        }
        if reading.length_s > CODE_INTERVAL_S {
            return;
        }
        self.inside.push_back(reading);
        self.length_s += reading.length_s;
        while self.length_s > CODE_INTERVAL_S
            && let Some(first) = self.inside.pop_front()
        {
            self.length_s -= first.length_s;
        }
        if self.length_s == CODE_INTERVAL_S {
            let energy_j: f64 = self.inside.iter().map(Reading::energy_j).sum();
            let mean_w = energy_j / f64::from(CODE_INTERVAL_S);
            self.most_w = Some(self.most_w.map_or(mean_w, |most| most.max(mean_w)));
        }
    }
}

/// Shares of the time at which the load-duration curve is told, in percent.
const SHARES: [f64; 21] = [
    0.0, 0.1, 0.2, 0.5, 1.0, 2.0, 3.0, 5.0, 7.0, 10.0, 15.0, 20.0, 30.0, 40.0, 50.0, 60.0, 70.0, 80.0, 90.0,
    95.0, 100.0,
];

fn duration(mut by_size: Vec<(f32, u32)>) -> Vec<(Ratio, Power)> {
    by_size.sort_by(|a, b| b.0.total_cmp(&a.0));
    let total_s: f64 = by_size.iter().map(|(_, length_s)| f64::from(*length_s)).sum();
    let mut sizes = by_size.into_iter();
    let (mut passed_s, mut size_w) = (0.0, None);
    SHARES
        .into_iter()
        .filter_map(|percent| {
            let wanted_s = total_s * percent / 100.0;
            while size_w.is_none() || passed_s < wanted_s - 1e-6 {
                let Some((next_w, length_s)) = sizes.next() else {
                    break;
                };
                size_w = Some(next_w);
                passed_s += f64::from(length_s);
            }
            size_w.map(|size_w| (Ratio::from_percent(percent), Power::from_watts(f64::from(size_w))))
        })
        .collect()
}
