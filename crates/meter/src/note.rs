//! What the import found odd and kept, mended or set aside: counted by kind, with the place of the first.
//!
//! Start at [`Notes`]. The list is bounded by the number of kinds, however bad the file is.

use crate::error::Place;
use std::collections::BTreeMap;

/// What was odd.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum NoteKind {
    /// A reading without a value, or with one that is no number. Set aside.
    NoValue,
    /// A reading without a start or a length. Set aside.
    NoTime,
    /// A start outside 1970 to 2100. Set aside.
    TimeOutside,
    /// A length of nothing or above 31 days. Set aside.
    LengthOutside,
    /// A local time that the clock change skipped. Set aside.
    SkippedHour,
    /// A local time that comes twice, with nothing to tell which; the earlier was taken.
    RepeatedHour,
    /// A row that has too few cells. Set aside.
    ShortRow,
    /// The same reading again. Counted once.
    Duplicate,
    /// Two values for one interval; the larger was kept.
    Conflict,
    /// A reading that overlaps others; the shorter interval was kept.
    Overlap,
    /// A quality code that the schema does not have; kept as questionable.
    UnknownQuality,
    /// A multiplier outside the schema's −12 to 12. The series was set aside.
    Multiplier,
    /// A demand that no house has, so unit or multiplier may be wrong. Kept.
    Implausible,
    /// Values below zero: more came from the house than went in. Kept.
    Negative,
    /// Samples of a moment instead of means over an interval. Kept.
    Instantaneous,
    /// Readings of a running register instead of intervals. The series was set aside.
    Register,
    /// A series of something else than electricity in this house. Set aside.
    OtherQuantity,
    /// Readings that no reading type describes. Set aside.
    NoType,
    /// Several reading types or names for one series; the first was taken.
    SeveralTypes,
    /// A rule for the clock change that cannot be read; the offset from UTC alone was used.
    ClockRule,
    /// Neither the file nor the caller says the local time; hours and months are those of UTC.
    NoLocalTime,
    /// The length of the intervals was not written; it is the usual distance between two starts.
    LengthInferred,
    /// A column for energy sent out, which was not read.
    ExportColumn,
}

impl NoteKind {
    /// What happened, and what was done.
    pub fn words(self) -> &'static str {
        match self {
            Self::NoValue => "reading without a usable value, set aside",
            Self::NoTime => "reading without a usable start or length, set aside",
            Self::TimeOutside => "reading dated outside 1970 to 2100, set aside",
            Self::LengthOutside => "interval of no length or above 31 days, set aside",
            Self::SkippedHour => "local time skipped by the clock change, set aside",
            Self::RepeatedHour => "local time that comes twice, taken as the earlier",
            Self::ShortRow => "row with too few cells, set aside",
            Self::Duplicate => "reading given again, counted once",
            Self::Conflict => "two values for one interval, the larger kept",
            Self::Overlap => "interval overlapping others, the shorter kept",
            Self::UnknownQuality => "unknown quality code, kept as questionable",
            Self::Multiplier => "multiplier outside -12 to 12, series set aside",
            Self::Implausible => "demand no house has, check unit and multiplier",
            Self::Negative => "reading below zero: the house sent energy out",
            Self::Instantaneous => "samples of a moment, not means of an interval",
            Self::Register => "readings of a running register, series set aside",
            Self::OtherQuantity => "series that is not the electricity of the house, set aside",
            Self::NoType => "readings that no reading type describes, set aside",
            Self::SeveralTypes => "several reading types for one series, the first taken",
            Self::ClockRule => "clock change rule unreadable, plain offset used",
            Self::NoLocalTime => "no local time known, hours and months are UTC",
            Self::LengthInferred => "interval length inferred from the distance of starts",
            Self::ExportColumn => "column for energy sent out, not read",
        }
    }
}

/// One kind of oddity.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Note {
    /// What was odd.
    pub kind: NoteKind,
    /// How often.
    pub count: u64,
    /// The place of the first, where the file has one.
    pub first: Option<Place>,
    /// The first, as written; shortened.
    pub example: String,
}

/// Notes while they are gathered.
#[derive(Debug, Clone, Default)]
pub(crate) struct Notes(BTreeMap<NoteKind, Note>);

/// Longest example kept.
const EXAMPLE_MAX: usize = 60;

impl Notes {
    pub(crate) fn add(
        &mut self,
        kind: NoteKind,
        count: u64,
        first: impl FnOnce() -> (Option<Place>, String),
    ) {
        if count == 0 {
            return;
        }
        self.0
            .entry(kind)
            .and_modify(|note| note.count += count)
            .or_insert_with(|| {
                let (first, example) = first();
                Note {
                    kind,
                    count,
                    first,
                    example: shortened(&example),
                }
            });
    }

    pub(crate) fn into_list(self) -> Vec<Note> {
        self.0.into_values().collect()
    }
}

/// Text of a file fit for one line of a message.
pub(crate) fn shortened(text: &str) -> String {
    let mut plain: String = text
        .trim()
        .chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .take(EXAMPLE_MAX + 1)
        .collect();
    if plain.chars().count() > EXAMPLE_MAX {
        plain.pop();
        plain.push('…');
    }
    plain
}
