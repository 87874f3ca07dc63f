//! The measured demand minute by minute, and simulated years laid over it.

use super::house::{House, OnDemand};
use super::{OverlayDay, OverlaySettings, Peaks, RUNS_MIN, RunAbove, minutes};
use meter::{LocalTime, Series};
use quantity::{Energy, Power, Ratio, Time};
use water::draws::{HotUse, power_by_minute};

const YEAR_S: i64 = 365 * 86_400;
const DAY_MIN: usize = 1440;

/// The measured demand of the last 365 days.
pub(super) struct Base {
    /// Mean of each minute from the first; NaN where nothing was recorded.
    minutes_w: Vec<f32>,
    /// Readings: first minute, number of minutes, mean.
    readings: Vec<(usize, usize, f32)>,
    /// Days that touch the time: minute of local midnight (may lie before the first), month from 0, date.
    days: Vec<Day>,
    usual_interval: Time,
}

struct Day {
    midnight_min: i64,
    month: usize,
    date: String,
}

impl Base {
    pub(super) fn new(series: &Series, local: &LocalTime) -> Option<Self> {
        let end = series.iter().last()?.end_unix_s();
        let first = series.iter().next()?.start_unix_s.max(end - YEAR_S);
        // Whole minutes, so that meters that count from odd seconds still fall on the grid.
        let from = first.div_euclid(60) * 60;
        let count = usize::try_from((end - from + 59) / 60).ok()?;
        let mut sums = vec![(0.0_f32, 0.0_f32); count];
        let mut readings = Vec::new();
        for reading in series.iter().filter(|reading| reading.start_unix_s >= first) {
            let at = usize::try_from((reading.start_unix_s - from) / 60).ok()?;
            let until = usize::try_from((reading.end_unix_s() - from + 59) / 60)
                .ok()?
                .min(count);
            #[allow(
                clippy::cast_possible_truncation,
                reason = "seven digits are enough for a demand"
            )]
            let mean_w = reading.mean_w as f32;
            if at < until {
                readings.push((at, until - at, mean_w));
            }
            for (minute, (sum, weight)) in sums.iter_mut().enumerate().take(until).skip(at) {
                let minute_s = from + i64::try_from(minute).unwrap_or(0) * 60;
                let inside = reading.end_unix_s().min(minute_s + 60) - reading.start_unix_s.max(minute_s);
                #[allow(clippy::cast_precision_loss, reason = "at most 60")]
                let inside = inside as f32;
                *sum += mean_w * inside;
                *weight += inside;
            }
        }
        let minutes_w = sums
            .into_iter()
            .map(|(sum, weight)| if weight > 0.0 { sum / weight } else { f32::NAN })
            .collect();
        let usual_interval = meter::quality_report(series)?.resolutions.first()?.interval;
        Some(Self {
            minutes_w,
            readings,
            days: days(from, end, local),
            usual_interval,
        })
    }

    pub(super) fn usual_interval(&self) -> Time {
        self.usual_interval
    }

    pub(super) fn recorded(&self) -> Time {
        let recorded = self.minutes_w.iter().filter(|mean_w| mean_w.is_finite()).count();
        minutes(u32::try_from(recorded).unwrap_or(u32::MAX))
    }

    pub(super) fn maximum(&self) -> Power {
        let most = self
            .readings
            .iter()
            .map(|(_, _, mean_w)| *mean_w)
            .fold(f32::MIN, f32::max);
        Power::from_watts(f64::from(most))
    }
}

/// Local days, by their midnights; around a clock change a midnight is up to an hour off, which moves no peak.
fn days(from: i64, end: i64, local: &LocalTime) -> Vec<Day> {
    let mut days = Vec::new();
    let mut noon = from - i64::from(local.at(from).second_of_day) + 43_200;
    while noon - 43_200 < end {
        let at = local.at(noon);
        let midnight = noon - i64::from(at.second_of_day);
        days.push(Day {
            midnight_min: (midnight - from).div_euclid(60),
            month: usize::from(at.date.month().unsigned_abs()).saturating_sub(1),
            date: at.date.to_string(),
        });
        noon += 86_400;
    }
    days
}

/// Peaks of every simulated year.
pub(super) struct Years {
    interval_w: Vec<f32>,
    minute_w: Vec<f32>,
    longest_min: Vec<u32>,
    above_min: u64,
    energy_j: f64,
    rating_w: f32,
    pub(super) worst_day: Option<OverlayDay>,
}

impl Years {
    pub(super) fn simulate(
        house: &House,
        units: &[OnDemand<'_>],
        base: &Base,
        rating: Power,
        settings: &OverlaySettings,
    ) -> Self {
        #[allow(
            clippy::cast_possible_truncation,
            reason = "seven digits are enough for a power"
        )]
        let rating_w = rating.as_watts() as f32;
        let mut years = Self {
            interval_w: Vec::new(),
            minute_w: Vec::new(),
            longest_min: Vec::new(),
            above_min: 0,
            energy_j: 0.0,
            rating_w,
            worst_day: None,
        };
        let mut heater_w = vec![0.0_f32; base.minutes_w.len()];
        let mut highest_w = f32::MIN;
        for year in 0..settings.years {
            heater_w.fill(0.0);
            heat(house, units, base, settings.seed, year, &mut heater_w);
            let at = years.year(base, &heater_w);
            if let Some((minute, peak_w)) = at
                && peak_w > highest_w
            {
                highest_w = peak_w;
                years.worst_day = Some(day_of(base, &heater_w, minute));
            }
        }
        years
    }

    /// Adds a year; gives the minute of its peak.
    fn year(&mut self, base: &Base, heater_w: &[f32]) -> Option<(usize, f32)> {
        let (mut peak_w, mut peak_at) = (f32::MIN, None);
        let (mut run, mut longest) = (0_u32, 0_u32);
        for (at, (base_w, heater_w)) in base.minutes_w.iter().zip(heater_w).enumerate() {
            let total_w = base_w + heater_w;
            // A minute without a record is neither a peak nor above: comparisons with NaN are false.
            if total_w > peak_w {
                (peak_w, peak_at) = (total_w, Some(at));
            }
            if total_w > self.rating_w {
                run += 1;
                self.above_min += 1;
                longest = longest.max(run);
            } else {
                run = 0;
            }
            if !base_w.is_nan() {
                self.energy_j += f64::from(*heater_w) * 60.0;
            }
        }
        let mut interval_w = f32::MIN;
        for (first, count, mean_w) in &base.readings {
            let minutes = &heater_w[*first..*first + *count];
            #[allow(clippy::cast_precision_loss, reason = "minutes of an interval")]
            let heater_w = minutes.iter().sum::<f32>() / minutes.len() as f32;
            interval_w = interval_w.max(mean_w + heater_w);
        }
        self.interval_w.push(interval_w);
        self.minute_w.push(peak_w);
        self.longest_min.push(longest);
        peak_at.map(|at| (at, peak_w))
    }

    pub(super) fn by_interval(&self) -> Peaks {
        peaks(&self.interval_w, self.rating_w)
    }

    pub(super) fn by_minute(&self) -> Peaks {
        peaks(&self.minute_w, self.rating_w)
    }

    pub(super) fn runs(&self) -> Vec<RunAbove> {
        RUNS_MIN
            .into_iter()
            .map(|least| {
                let years = self
                    .longest_min
                    .iter()
                    .filter(|longest| **longest >= least)
                    .count();
                RunAbove {
                    at_least: minutes(least),
                    years: u32::try_from(years).unwrap_or(u32::MAX),
                    probability: share(years, self.longest_min.len()),
                }
            })
            .collect()
    }

    #[allow(clippy::cast_precision_loss, reason = "minutes of ten thousand years fit")]
    pub(super) fn above(&self) -> Time {
        Time::from_minutes(self.above_min as f64 / self.minute_w.len().max(1) as f64)
    }

    #[allow(clippy::cast_precision_loss, reason = "years are few")]
    pub(super) fn energy_per_day(&self, base: &Base) -> Energy {
        let days = base.recorded().as_days() * self.minute_w.len().max(1) as f64;
        Energy::from_joules(if days > 0.0 { self.energy_j / days } else { 0.0 })
    }
}

/// The heaters' power of one simulated year, minute by minute.
fn heat(house: &House, units: &[OnDemand<'_>], base: &Base, seed: u64, year: u32, heater_w: &mut [f32]) {
    let mut uses: Vec<Vec<HotUse>> = vec![Vec::new(); units.len()];
    #[allow(clippy::cast_precision_loss, reason = "minutes of a year")]
    let midnights_s = base.days.iter().map(|day| day.midnight_min as f64 * 60.0);
    for draw in house.household.days(seed, year, midnights_s) {
        let month = base.days.get(draw.day as usize).map_or(0, |day| day.month);
        let (unit, asks) = house.asks(draw.fixture, month);
        uses[unit].push(HotUse {
            start_s: draw.start_s,
            duration_s: draw.duration_s,
            power: asks.power * draw.flow_share,
            hot_flow: asks.hot_flow * draw.flow_share,
        });
    }
    for (uses, unit) in uses.iter_mut().zip(units) {
        power_by_minute(uses, unit.limits, heater_w);
    }
}

fn day_of(base: &Base, heater_w: &[f32], minute: usize) -> OverlayDay {
    let at = i64::try_from(minute).unwrap_or(0);
    let day = base.days.iter().rev().find(|day| day.midnight_min <= at);
    let first = day.map_or(0, |day| day.midnight_min);
    let power = |minute: usize, extra: bool| {
        let at = usize::try_from(first + i64::try_from(minute).unwrap_or(0)).ok()?;
        let base_w = *base.minutes_w.get(at)?;
        let total_w = base_w + if extra { heater_w[at] } else { 0.0 };
        total_w.is_finite().then(|| Power::from_watts(f64::from(total_w)))
    };
    OverlayDay {
        date: day.map(|day| day.date.clone()).unwrap_or_default(),
        measured: (0..DAY_MIN).map(|minute| power(minute, false)).collect(),
        with_heater: (0..DAY_MIN).map(|minute| power(minute, true)).collect(),
    }
}

fn peaks(peaks_w: &[f32], rating_w: f32) -> Peaks {
    let mut all = peaks_w.to_vec();
    all.sort_by(f32::total_cmp);
    let at = |share: f64| {
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            clippy::cast_precision_loss,
            reason = "an index below the length"
        )]
        let index = (share * (all.len().saturating_sub(1)) as f64).round() as usize;
        Power::from_watts(all.get(index).copied().map_or(0.0, f64::from))
    };
    let above = all.iter().filter(|peak_w| **peak_w > rating_w).count();
    Peaks {
        lowest: at(0.0),
        tenth: at(0.1),
        median: at(0.5),
        ninetieth: at(0.9),
        highest: at(1.0),
        years_above: u32::try_from(above).unwrap_or(u32::MAX),
        probability_above: share(above, all.len()),
        all: all
            .iter()
            .map(|peak_w| Power::from_watts(f64::from(*peak_w)))
            .collect(),
    }
}

#[allow(clippy::cast_precision_loss, reason = "years are few")]
fn share(part: usize, whole: usize) -> Ratio {
    Ratio::from_fraction(part as f64 / whole.max(1) as f64)
}
