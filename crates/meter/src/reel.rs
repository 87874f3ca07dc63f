//! Readings in few bytes: runs of equal intervals, each value as its difference from the one before.
//!
//! In: readings in the order of the file. Out: readings in the order of time, none overlapping another, with a count of
//! what was given twice. Start at [`Reel`]. A year of quarter hours takes about 100 kB; a file in order is never copied.
//! Knows no unit: a value is the whole number of the file.

use crate::quality::Quality;
use std::collections::BTreeMap;

/// Readings one series may have: forty years of quarter hours.
pub(crate) const READINGS_MAX: u64 = 1_500_000;

/// A reading as the file gave it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Raw {
    pub(crate) start_s: i64,
    pub(crate) length_s: u32,
    pub(crate) value: i64,
    /// None where the file does not say.
    pub(crate) quality: Option<Quality>,
}

impl Raw {
    fn end_s(self) -> i64 {
        self.start_s + i64::from(self.length_s)
    }
}

/// Equal intervals, one behind the other, of one quality.
#[derive(Debug, Clone, Copy)]
struct Run {
    start_s: i64,
    length_s: u32,
    count: u32,
    /// Where its values begin.
    at: usize,
    quality: Option<Quality>,
}

impl Run {
    fn end_s(&self) -> i64 {
        self.start_s + i64::from(self.length_s) * i64::from(self.count)
    }
}

/// What was given more than once.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct Twice {
    pub(crate) duplicate: u64,
    pub(crate) conflicting: u64,
    pub(crate) overlapping: u64,
    /// Start of the first of each.
    pub(crate) first_duplicate_s: Option<i64>,
    pub(crate) first_conflict_s: Option<i64>,
    pub(crate) first_overlap_s: Option<i64>,
}

/// Many readings.
#[derive(Debug, Clone, Default)]
pub(crate) struct Reel {
    runs: Vec<Run>,
    bytes: Vec<u8>,
    last_value: i64,
    len: u64,
}

impl Reel {
    pub(crate) fn len(&self) -> u64 {
        self.len
    }

    /// Adds a reading; false when there is no room.
    #[must_use]
    pub(crate) fn push(&mut self, reading: Raw) -> bool {
        if self.len >= READINGS_MAX {
            return false;
        }
        let continues = self.runs.last().is_some_and(|run| {
            run.length_s == reading.length_s
                && run.quality == reading.quality
                && run.end_s() == reading.start_s
                && run.count < u32::MAX
        });
        if continues && let Some(run) = self.runs.last_mut() {
            run.count += 1;
        } else {
            self.runs.push(Run {
                start_s: reading.start_s,
                length_s: reading.length_s,
                count: 1,
                at: self.bytes.len(),
                quality: reading.quality,
            });
            self.last_value = 0;
        }
        put(&mut self.bytes, reading.value.wrapping_sub(self.last_value));
        self.last_value = reading.value;
        self.len += 1;
        true
    }

    pub(crate) fn iter(&self) -> impl Iterator<Item = Raw> + '_ {
        self.runs.iter().flat_map(move |run| {
            let (mut at, mut value) = (run.at, 0_i64);
            (0..run.count).map(move |index| {
                value = value.wrapping_add(take(&self.bytes, &mut at));
                Raw {
                    start_s: run.start_s + i64::from(run.length_s) * i64::from(index),
                    length_s: run.length_s,
                    value,
                    quality: run.quality,
                }
            })
        })
    }

    /// The same readings in the order of time, each moment at most once.
    ///
    /// Of equal intervals the first stays, with the larger value where two differ; of overlapping ones the shorter
    /// stays, then the earlier: an hour must not hide its quarters.
    pub(crate) fn settled(self) -> (Self, Twice) {
        let in_order = self
            .runs
            .windows(2)
            .all(|pair| pair[0].end_s() <= pair[1].start_s);
        if in_order {
            return (self, Twice::default());
        }
        let mut all: Vec<Raw> = self.iter().collect();
        drop(self);
        // Stable: of equal intervals the file's first stays first.
        all.sort_by_key(|reading| (reading.length_s, reading.start_s));
        let mut twice = Twice::default();
        all.dedup_by(|later, kept| {
            let same = later.start_s == kept.start_s && later.length_s == kept.length_s;
            if same && later.value == kept.value {
                twice.duplicate += 1;
                earliest(&mut twice.first_duplicate_s, later.start_s);
            } else if same {
                twice.conflicting += 1;
                earliest(&mut twice.first_conflict_s, later.start_s);
                if later.value > kept.value {
                    (kept.value, kept.quality) = (later.value, later.quality);
                }
            }
            same
        });
        let mut kept: BTreeMap<i64, Raw> = BTreeMap::new();
        for reading in all {
            let before = kept.range(..reading.end_s()).next_back();
            if before.is_some_and(|(_, other)| other.end_s() > reading.start_s) {
                twice.overlapping += 1;
                earliest(&mut twice.first_overlap_s, reading.start_s);
            } else {
                kept.insert(reading.start_s, reading);
            }
        }
        let mut settled = Self::default();
        for reading in kept.into_values() {
            // No more than there were.
            let _ = settled.push(reading);
        }
        (settled, twice)
    }
}

fn earliest(first: &mut Option<i64>, at: i64) {
    *first = Some(first.map_or(at, |first| first.min(at)));
}

/// Writes a number, small ones in one byte, its sign in the lowest bit.
#[allow(
    clippy::cast_sign_loss,
    clippy::cast_possible_truncation,
    reason = "bits, not numbers"
)]
fn put(bytes: &mut Vec<u8>, number: i64) {
    let mut bits = ((number << 1) ^ (number >> 63)) as u64;
    while bits >= 0x80 {
        bytes.push((bits as u8) | 0x80);
        bits >>= 7;
    }
    bytes.push(bits as u8);
}

/// Reads a number that [`put`] wrote.
#[allow(clippy::cast_possible_wrap, reason = "bits, not numbers")]
fn take(bytes: &[u8], at: &mut usize) -> i64 {
    let (mut bits, mut shift) = (0_u64, 0_u32);
    while let Some(byte) = bytes.get(*at) {
        *at += 1;
        bits |= u64::from(byte & 0x7f).wrapping_shl(shift);
        shift += 7;
        if byte & 0x80 == 0 {
            break;
        }
    }
    ((bits >> 1) as i64) ^ -((bits & 1) as i64)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn raw(start_s: i64, length_s: u32, value: i64) -> Raw {
        Raw {
            start_s,
            length_s,
            value,
            quality: None,
        }
    }

    fn reel(readings: &[Raw]) -> Reel {
        let mut reel = Reel::default();
        for reading in readings {
            assert!(reel.push(*reading));
        }
        reel
    }

    #[test]
    fn a_year_of_quarter_hours_is_small() {
        let mut reel = Reel::default();
        for index in 0..35_040 {
            assert!(reel.push(raw(index * 900, 900, 100 + (index * 37) % 400)));
        }
        assert_eq!(reel.runs.len(), 1);
        assert!(reel.bytes.len() <= 2 * 35_040);
    }

    #[test]
    fn an_hour_does_not_hide_its_quarters() {
        let (settled, twice) = reel(&[
            raw(0, 3600, 9),
            raw(0, 900, 1),
            raw(900, 900, 2),
            raw(3600, 3600, 5),
        ])
        .settled();
        let kept: Vec<i64> = settled.iter().map(|reading| reading.value).collect();
        assert_eq!(kept, [1, 2, 5]);
        assert_eq!((twice.overlapping, twice.duplicate), (1, 0));
    }

    #[test]
    fn of_two_values_the_larger_stays() {
        let (settled, twice) = reel(&[raw(0, 900, 3), raw(0, 900, 8), raw(0, 900, 8)]).settled();
        assert_eq!(settled.iter().next().map(|reading| reading.value), Some(8));
        assert_eq!((twice.conflicting, twice.duplicate), (1, 1));
    }

    proptest! {
        #[test]
        fn numbers_come_back(values in proptest::collection::vec(any::<i64>(), 1..50)) {
            let readings: Vec<Raw> = (0_i64..).zip(&values).map(|(at, value)| raw(at * 60, 60, *value)).collect();
            prop_assert_eq!(reel(&readings).iter().collect::<Vec<_>>(), readings);
        }

        #[test]
        fn nothing_is_lost_and_no_moment_counts_twice(
            given in proptest::collection::vec((0_i64..60, 1_u32..5, 0_i64..4), 0..60)
        ) {
            let readings: Vec<Raw> = given.iter().map(|(start, length, value)| raw(*start, *length, *value)).collect();
            let (settled, twice) = reel(&readings).settled();
            let kept: Vec<Raw> = settled.iter().collect();
            prop_assert!(kept.windows(2).all(|pair| pair[0].end_s() <= pair[1].start_s));
            let accounted = settled.len() + twice.duplicate + twice.conflicting + twice.overlapping;
            prop_assert_eq!(accounted, readings.len() as u64);
            // Whatever was kept was given.
            prop_assert!(kept.iter().all(|one| readings.contains(one)));
        }
    }
}
