//! How good a series is: how long, how complete, how fine, how surely known.
//!
//! In: a series. Out: a [`QualityReport`]. Start at [`quality_report`]. Judges nothing: whether a year is needed is for
//! the rules.

use crate::quality::Quality;
use crate::series::Series;
use quantity::{Ratio, Time};
use std::collections::BTreeMap;

/// How good a series is.
#[derive(Debug, Clone, PartialEq)]
pub struct QualityReport {
    /// Start of the first reading, seconds since 1970 UTC.
    pub first_unix_s: i64,
    /// End of the last reading.
    pub last_unix_s: i64,
    /// From first to last.
    pub span: Time,
    /// Time with a reading.
    pub covered: Time,
    /// Share of the 365 days before the end that has a reading.
    pub year_covered: Ratio,
    /// Number of gaps.
    pub gap_count: u64,
    /// The longest gaps, longest first.
    pub gaps: Vec<Gap>,
    /// Interval lengths, the one covering most time first.
    pub resolutions: Vec<Resolution>,
    /// Time by quality, best first; only those that occur.
    pub by_quality: Vec<(Quality, Time)>,
}

/// Time without a reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gap {
    /// Its start, seconds since 1970 UTC.
    pub start_unix_s: i64,
    /// Its length.
    pub length: Time,
}

/// One interval length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Resolution {
    /// Length of the interval.
    pub interval: Time,
    /// How many readings have it.
    pub readings: u64,
}

/// Gaps listed.
const GAPS_MAX: usize = 10;
/// Interval lengths listed.
const RESOLUTIONS_MAX: usize = 8;
const YEAR_S: i64 = 365 * 86_400;

/// How good a series is; none without a reading.
pub fn quality_report(series: &Series) -> Option<QualityReport> {
    let first_unix_s = series.iter().next()?.start_unix_s;
    let last_unix_s = series.iter().last()?.end_unix_s();
    let year_from = last_unix_s - YEAR_S;
    let (mut covered_s, mut year_s, mut gap_count) = (0_i64, 0_i64, 0_u64);
    let mut gaps: Vec<(i64, i64)> = Vec::new();
    let mut lengths: BTreeMap<u32, u64> = BTreeMap::new();
    let mut by_quality: BTreeMap<Quality, i64> = BTreeMap::new();
    let mut end = first_unix_s;
    for reading in series.iter() {
        let length_s = i64::from(reading.length_s);
        if reading.start_unix_s > end {
            gap_count += 1;
            let gap = (end, reading.start_unix_s - end);
            let at = gaps.partition_point(|known| known.1 >= gap.1);
            if at < GAPS_MAX {
                gaps.insert(at, gap);
                gaps.truncate(GAPS_MAX);
            }
        }
        end = reading.end_unix_s();
        covered_s += length_s;
        year_s += (end - reading.start_unix_s.max(year_from)).clamp(0, length_s);
        *by_quality.entry(reading.quality).or_default() += length_s;
        // A file of random lengths must not fill the memory with them.
        if lengths.len() < 1000 || lengths.contains_key(&reading.length_s) {
            *lengths.entry(reading.length_s).or_default() += 1;
        }
    }
    let mut resolutions: Vec<Resolution> = lengths
        .into_iter()
        .map(|(length_s, readings)| Resolution {
            interval: Time::from_seconds(f64::from(length_s)),
            readings,
        })
        .collect();
    #[allow(clippy::cast_precision_loss, reason = "counts of readings are small")]
    resolutions.sort_by(|a, b| {
        let time = |one: &Resolution| one.interval.as_seconds() * one.readings as f64;
        time(b).total_cmp(&time(a))
    });
    resolutions.truncate(RESOLUTIONS_MAX);
    Some(QualityReport {
        first_unix_s,
        last_unix_s,
        span: seconds(last_unix_s - first_unix_s),
        covered: seconds(covered_s),
        year_covered: Ratio::from_fraction(seconds(year_s) / seconds(YEAR_S)),
        gap_count,
        gaps: gaps
            .into_iter()
            .map(|(start_unix_s, length_s)| Gap {
                start_unix_s,
                length: seconds(length_s),
            })
            .collect(),
        resolutions,
        by_quality: by_quality
            .into_iter()
            .map(|(quality, time_s)| (quality, seconds(time_s)))
            .collect(),
    })
}

#[allow(clippy::cast_precision_loss, reason = "far below 2^53 seconds")]
pub(crate) fn seconds(seconds: i64) -> Time {
    Time::from_seconds(seconds as f64)
}
