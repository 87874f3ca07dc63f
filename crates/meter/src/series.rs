//! A series of readings of one kind, in the order of time, and the account of everything that was read.

use crate::error::MeterError;
use crate::local_time::LocalTime;
use crate::note::{Note, NoteKind, Notes};
use crate::quality::Quality;
use crate::reading_type::{Flow, Scale};
use crate::reel::Reel;
use quantity::Energy;

/// Where every reading of the file went. `read` is the sum of the others.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Account {
    /// Readings (or rows) found in the file.
    pub read: u64,
    /// Kept, each moment at most once.
    pub kept: u64,
    /// Given again with the same value.
    pub duplicate: u64,
    /// Given again with a smaller value (or, where larger, the one it replaced).
    pub conflicting: u64,
    /// Set aside because shorter or earlier intervals cover the same time.
    pub overlapping: u64,
    /// Set aside because value or time cannot be used.
    pub unusable: u64,
    /// Set aside because they count something else than electricity in intervals.
    pub other: u64,
}

impl Account {
    /// Whether every reading is accounted for.
    pub fn is_closed(&self) -> bool {
        self.read
            == self.kept + self.duplicate + self.conflicting + self.overlapping + self.unusable + self.other
    }

    pub(crate) fn add(&mut self, other: &Self) {
        self.read += other.read;
        self.kept += other.kept;
        self.duplicate += other.duplicate;
        self.conflicting += other.conflicting;
        self.overlapping += other.overlapping;
        self.unusable += other.unusable;
        self.other += other.other;
    }
}

/// A reading: the mean power over an interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// Start, seconds since 1970 UTC.
    pub start_unix_s: i64,
    /// Length in seconds.
    pub length_s: u32,
    /// Mean power in W (VA where the series counts apparent power).
    pub mean_w: f64,
    /// How surely it is known.
    pub quality: Quality,
}

impl Reading {
    /// End, seconds since 1970 UTC.
    pub fn end_unix_s(&self) -> i64 {
        self.start_unix_s + i64::from(self.length_s)
    }

    /// Energy in J.
    pub(crate) fn energy_j(&self) -> f64 {
        self.mean_w * f64::from(self.length_s)
    }
}

/// Readings of one kind.
#[derive(Debug, Clone)]
pub struct Series {
    /// The usage point: the end of its address in the file, or the name of the column.
    pub point: String,
    /// Its title, if the file has one.
    pub title: Option<String>,
    /// Direction.
    pub flow: Flow,
    /// Unit.
    pub scale: Scale,
    /// Account of this series.
    pub account: Account,
    pub(crate) default_quality: Quality,
    pub(crate) reel: Reel,
}

impl Series {
    /// The readings in the order of time.
    pub fn iter(&self) -> impl Iterator<Item = Reading> + '_ {
        self.reel.iter().map(|raw| Reading {
            start_unix_s: raw.start_s,
            length_s: raw.length_s,
            mean_w: self.scale.mean(raw.value, raw.length_s),
            quality: raw.quality.unwrap_or(self.default_quality),
        })
    }

    /// Energy of all readings (`VAh` as Wh where the series counts apparent power).
    pub fn energy(&self) -> Energy {
        Energy::from_joules(self.iter().map(|reading| reading.energy_j()).sum())
    }

    /// Settles a reel into a series and writes down what was given twice.
    pub(crate) fn settle(
        reel: Reel,
        point: String,
        title: Option<String>,
        (flow, scale, default_quality): (Flow, Scale, Quality),
        notes: &mut Notes,
    ) -> Self {
        let read = reel.len();
        let (reel, twice) = reel.settled();
        let at = |first: Option<i64>| move || (None, moment(first.unwrap_or_default()));
        notes.add(NoteKind::Duplicate, twice.duplicate, at(twice.first_duplicate_s));
        notes.add(NoteKind::Conflict, twice.conflicting, at(twice.first_conflict_s));
        notes.add(NoteKind::Overlap, twice.overlapping, at(twice.first_overlap_s));
        let account = Account {
            read,
            kept: reel.len(),
            duplicate: twice.duplicate,
            conflicting: twice.conflicting,
            overlapping: twice.overlapping,
            ..Account::default()
        };
        let series = Self {
            point,
            title,
            flow,
            scale,
            account,
            default_quality,
            reel,
        };
        series.look(notes);
        series
    }

    /// Values that no house has.
    fn look(&self, notes: &mut Notes) {
        let (mut negative, mut implausible) = (0, 0);
        let (mut first_negative, mut first_implausible) = (0, 0);
        let mut largest: f64 = 0.0;
        for reading in self.iter() {
            if reading.mean_w < 0.0 {
                negative += 1;
                if negative == 1 {
                    first_negative = reading.start_unix_s;
                }
            }
            if reading.mean_w.abs() > PLAUSIBLE_MAX_W {
                implausible += 1;
                if implausible == 1 {
                    first_implausible = reading.start_unix_s;
                }
            }
            largest = largest.max(reading.mean_w.abs());
        }
        notes.add(NoteKind::Negative, negative, || (None, moment(first_negative)));
        notes.add(NoteKind::Implausible, implausible, || {
            (None, moment(first_implausible))
        });
        if self.account.kept > 0 && largest > 0.0 && largest < PLAUSIBLE_MIN_W {
            notes.add(NoteKind::Implausible, 1, || {
                (None, format!("largest demand {largest:.3} W"))
            });
        }
    }
}

/// Beyond this a house's demand is doubted: an 800 A service at 240 V, and twice that for a margin.
const PLAUSIBLE_MAX_W: f64 = 400e3;
/// Below this the largest demand of a house is doubted.
const PLAUSIBLE_MIN_W: f64 = 20.0;

/// A moment in UTC, for messages.
pub(crate) fn moment(unix_s: i64) -> String {
    jiff::Timestamp::from_second(unix_s).map_or_else(|_| unix_s.to_string(), |at| at.to_string())
}

/// What kind of file it was.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Format {
    /// Green Button (NAESB ESPI XML).
    GreenButton,
    /// Comma-separated values.
    Csv,
}

impl Format {
    /// The word shown.
    pub fn word(self) -> &'static str {
        match self {
            Self::GreenButton => "Green Button (ESPI XML)",
            Self::Csv => "comma-separated values",
        }
    }
}

/// A file, imported.
#[derive(Debug, Clone)]
pub struct Import {
    /// Kind of file.
    pub format: Format,
    /// Its series of electricity.
    pub series: Vec<Series>,
    /// Where every reading of the file went.
    pub account: Account,
    /// What was odd.
    pub notes: Vec<Note>,
    /// Local time of the house.
    pub local: LocalTime,
}

impl Import {
    /// The series that says what the house drew: real power delivered (or net), at the usage point named, or at the only
    /// one.
    ///
    /// # Errors
    /// [`MeterError::NoDemand`] without such a series; [`MeterError::ChoosePoint`] with several usage points and no name.
    pub fn demand(&self, point: Option<&str>) -> Result<&Series, MeterError> {
        let suits =
            |series: &&Series| series.account.kept > 0 && matches!(series.flow, Flow::Delivered | Flow::Net);
        let all: Vec<&Series> = self.series.iter().filter(suits).collect();
        if all.is_empty() {
            let mut found: Vec<&str> = self.series.iter().map(|series| series.flow.word()).collect();
            found.dedup();
            let found = if found.is_empty() {
                "nothing else either".to_owned()
            } else {
                format!("there is: {}", found.join(", "))
            };
            return Err(MeterError::NoDemand { found });
        }
        let mut points: Vec<String> = all.iter().map(|series| series.point.clone()).collect();
        points.sort();
        points.dedup();
        let wanted = match point {
            Some(point) if points.iter().any(|one| one == point) => point,
            None if points.len() == 1 => points[0].as_str(),
            _ => {
                return Err(MeterError::ChoosePoint {
                    asked: point.is_some(),
                    points,
                });
            }
        };
        // Of several series at one point: real before apparent power, delivered before net, then finer intervals.
        let of_point = all.into_iter().filter(|series| series.point == wanted);
        of_point
            .min_by_key(|series| {
                (
                    series.scale.measured,
                    series.flow,
                    std::cmp::Reverse(series.account.kept),
                )
            })
            .ok_or_else(|| MeterError::NoDemand {
                found: "nothing".to_owned(),
            })
    }

    /// Whether energy went from the house to the utility at a usage point, so that the meter hides part of the load.
    pub fn generates(&self, point: &str) -> bool {
        self.series
            .iter()
            .filter(|series| series.point == point)
            .any(|series| match series.flow {
                Flow::Received => series.iter().any(|reading| reading.mean_w != 0.0),
                _ => series.iter().any(|reading| reading.mean_w < 0.0),
            })
    }
}
