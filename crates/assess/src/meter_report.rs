//! What a meter file says, ready for a page or a machine: quality, maximum demand, months and hours.
//!
//! In: an [`meter::Import`] and the series chosen. Out: a [`MeterReport`], and from it the [`MeterSummary`] that an
//! assessment takes through its desk. Holds no computation of its own.

use meter::{Import, LocalTime, Series, demand, quality_report};
use quantity::{Energy, Power, Ratio, Time};
use serde::Serialize;

/// Version of the form of [`MeterReport`] as written to JSON.
pub const METER_VERSION: u32 = 1;

/// What a meter file says.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MeterReport {
    /// Version of this form.
    pub schema: u32,
    /// Kind of file.
    pub format: String,
    /// Usage point.
    pub point: String,
    /// Its title in the file.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub title: Option<String>,
    /// Direction of the energy.
    pub flow: String,
    /// The meter counts apparent power, so every W below is a VA.
    pub apparent: bool,
    /// Energy also goes from the house to the utility, so part of the load is hidden.
    pub generation: bool,
    /// How local time is known.
    pub local_time: String,
    /// Where every reading of the file went.
    pub account: AccountResult,
    /// What was odd.
    pub notes: Vec<NoteResult>,
    /// First and last moment, local time.
    pub first: String,
    /// Last moment.
    pub last: String,
    /// From first to last.
    pub span: Time,
    /// Time with a reading.
    pub covered: Time,
    /// Share of the 365 days before the end that has a reading.
    pub year_covered: Ratio,
    /// Number of gaps.
    pub gap_count: u64,
    /// The longest gaps.
    pub gaps: Vec<GapResult>,
    /// Interval lengths, the one covering most time first.
    pub resolutions: Vec<ResolutionResult>,
    /// Time by quality of the reading.
    pub by_quality: Vec<QualityResult>,
    /// Energy of the last 365 days, or of all if shorter.
    pub energy: Energy,
    /// Mean demand of the same time.
    pub mean: Power,
    /// Largest mean over one interval.
    pub maximum: MaximumResult,
    /// Largest mean over 15 minutes: at least.
    pub maximum_15_min: Power,
    /// And at most; above the other when intervals are longer than 15 minutes.
    pub maximum_15_min_bound: Power,
    /// Largest interval mean of the whole file.
    pub maximum_ever: MaximumResult,
    /// By month.
    pub months: Vec<MonthResult>,
    /// By hour of the day, 24 of them.
    pub hours: Vec<HourResult>,
    /// Demand exceeded for a share of the time.
    pub duration: Vec<(Ratio, Power)>,
}

/// Where every reading went; `read` is the sum of the others.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct AccountResult {
    /// Found in the file.
    pub read: u64,
    /// Kept.
    pub kept: u64,
    /// Given again.
    pub duplicate: u64,
    /// Given again with another value.
    pub conflicting: u64,
    /// Overlapping shorter or earlier intervals.
    pub overlapping: u64,
    /// Without usable value or time.
    pub unusable: u64,
    /// Counting something else.
    pub other: u64,
}

/// Something odd.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct NoteResult {
    /// What, and what was done.
    pub what: String,
    /// How often.
    pub count: u64,
    /// Place of the first.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
    /// The first, as written.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub example: String,
}

/// Time without a reading.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct GapResult {
    /// Start, local time.
    pub start: String,
    /// Length.
    pub length: Time,
}

/// An interval length.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ResolutionResult {
    /// Length.
    pub interval: Time,
    /// Readings of that length.
    pub readings: u64,
}

/// Time by quality.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct QualityResult {
    /// Quality, in a word.
    pub quality: String,
    /// Time.
    pub time: Time,
}

/// A largest mean.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MaximumResult {
    /// The mean.
    pub power: Power,
    /// Start of the interval, local time.
    pub start: String,
    /// Length of the interval.
    pub interval: Time,
}

/// A month.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct MonthResult {
    /// Year.
    pub year: i16,
    /// Month, 1 to 12.
    pub month: u8,
    /// Energy.
    pub energy: Energy,
    /// Largest interval mean.
    pub maximum: Power,
    /// Time with a reading.
    pub covered: Time,
}

/// An hour of the day.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct HourResult {
    /// Mean.
    pub mean: Power,
    /// Largest interval mean.
    pub maximum: Power,
}

/// What an assessment takes from a meter file.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeterSummary {
    /// Largest mean over 15 minutes: at least.
    pub maximum: Power,
    /// And at most.
    pub maximum_bound: Power,
    /// Usual interval.
    pub interval: Time,
    /// Time with a reading.
    pub covered: Time,
    /// Energy also goes out.
    pub generation: bool,
}

impl MeterReport {
    /// What an assessment takes from it.
    pub fn summary(&self) -> MeterSummary {
        MeterSummary {
            maximum: self.maximum_15_min,
            maximum_bound: self.maximum_15_min_bound,
            interval: self.interval(),
            covered: self.covered,
            generation: self.generation,
        }
    }

    /// The usual interval.
    pub fn interval(&self) -> Time {
        self.resolutions
            .first()
            .map_or(self.maximum.interval, |usual| usual.interval)
    }
}

/// Reports on a series; none without a reading.
pub fn meter_report(import: &Import, series: &Series) -> Option<MeterReport> {
    let quality = quality_report(series)?;
    let local = &import.local;
    let found = demand(series, local)?;
    let maximum = |of: meter::Maximum| MaximumResult {
        power: of.power,
        start: moment(local, of.start_unix_s),
        interval: of.interval,
    };
    let account = import.account;
    Some(MeterReport {
        schema: METER_VERSION,
        format: import.format.word().to_owned(),
        point: series.point.clone(),
        title: series.title.clone(),
        flow: series.flow.word().to_owned(),
        apparent: series.scale.measured == meter::Measured::Apparent,
        generation: import.generates(&series.point),
        local_time: local.words(),
        account: AccountResult {
            read: account.read,
            kept: account.kept,
            duplicate: account.duplicate,
            conflicting: account.conflicting,
            overlapping: account.overlapping,
            unusable: account.unusable,
            other: account.other,
        },
        notes: import
            .notes
            .iter()
            .map(|note| NoteResult {
                what: note.kind.words().to_owned(),
                count: note.count,
                place: note.first.map(|place| place.to_string()),
                example: note.example.clone(),
            })
            .collect(),
        first: moment(local, quality.first_unix_s),
        last: moment(local, quality.last_unix_s),
        span: quality.span,
        covered: quality.covered,
        year_covered: quality.year_covered,
        gap_count: quality.gap_count,
        gaps: quality
            .gaps
            .iter()
            .map(|gap| GapResult {
                start: moment(local, gap.start_unix_s),
                length: gap.length,
            })
            .collect(),
        resolutions: quality
            .resolutions
            .iter()
            .map(|one| ResolutionResult {
                interval: one.interval,
                readings: one.readings,
            })
            .collect(),
        by_quality: quality
            .by_quality
            .iter()
            .map(|(quality, time)| QualityResult {
                quality: quality.word().to_owned(),
                time: *time,
            })
            .collect(),
        energy: found.energy,
        mean: found.mean,
        maximum: maximum(found.maximum),
        maximum_15_min: found.maximum_15_min,
        maximum_15_min_bound: found.maximum_15_min_bound,
        maximum_ever: maximum(found.maximum_ever),
        months: found
            .months
            .iter()
            .map(|month| MonthResult {
                year: month.year,
                month: month.month,
                energy: month.energy,
                maximum: month.maximum,
                covered: month.covered,
            })
            .collect(),
        hours: found
            .hours
            .iter()
            .map(|hour| HourResult {
                mean: hour.mean,
                maximum: hour.maximum,
            })
            .collect(),
        duration: found.duration,
    })
}

/// A moment as the house calls it.
pub(crate) fn moment(local: &LocalTime, unix_s: i64) -> String {
    let at = local.at(unix_s);
    let minutes = at.second_of_day / 60;
    format!("{} {:02}:{:02}", at.date, minutes / 60, minutes % 60)
}
