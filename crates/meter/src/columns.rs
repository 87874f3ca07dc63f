//! The head row of a CSV file: which column is which.
//!
//! In: a row and the names the caller gave. Out: the columns, or which one is missing. A heading counts by its words:
//! "Usage (kWh)" is a value in kWh, "Interval Start" a start.

use crate::csv_file::CsvOptions;
use crate::csv_text::{HEAD_ROWS, unit};
use crate::error::MeterError;
use crate::note::shortened;
use crate::reading_type::Scale;
use csv::ByteRecord;

/// Where the cells of a reading stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Columns {
    pub(crate) start: usize,
    pub(crate) time: Option<usize>,
    pub(crate) end: Option<usize>,
    pub(crate) value: usize,
    pub(crate) quality: Option<usize>,
    pub(crate) scale: Scale,
}

/// The cells of a head row.
#[derive(Debug, Clone, Default)]
pub(crate) struct Headings(Vec<String>);

/// Columns looked at; more are no meter file.
const COLUMNS_MAX: usize = 64;

const SENT_OUT: [&str; 6] = [
    "export",
    "exported",
    "received",
    "generation",
    "produced",
    "solar",
];
const VALUE: [&str; 12] = [
    "usage",
    "value",
    "consumption",
    "energy",
    "kwh",
    "wh",
    "kw",
    "import",
    "delivered",
    "demand",
    "reading",
    "mwh",
];

impl Headings {
    pub(crate) fn of(row: &ByteRecord) -> Self {
        let cells = row.iter().take(COLUMNS_MAX);
        Self(
            cells
                .map(|cell| {
                    String::from_utf8_lossy(cell)
                        .trim_start_matches('\u{feff}')
                        .trim()
                        .to_owned()
                })
                .collect(),
        )
    }

    /// Headings with letters in them.
    pub(crate) fn len(&self) -> usize {
        self.0
            .iter()
            .filter(|cell| cell.chars().any(char::is_alphabetic))
            .count()
    }

    pub(crate) fn list(&self) -> String {
        if self.0.is_empty() {
            return "nothing".to_owned();
        }
        let shown: Vec<String> = self.0.iter().take(12).map(|cell| shortened(cell)).collect();
        shown.join(", ")
    }

    pub(crate) fn name(&self, at: usize) -> String {
        self.0.get(at).map(|cell| shortened(cell)).unwrap_or_default()
    }

    /// Whether a column counts energy sent out.
    pub(crate) fn has_export(&self) -> bool {
        self.0
            .iter()
            .any(|cell| words(cell).iter().any(|word| SENT_OUT.contains(&word.as_str())))
    }

    pub(crate) fn columns(&self, options: &CsvOptions) -> Result<Columns, MeterError> {
        let start = match &options.start {
            Some(name) => self.named(name)?,
            None => self
                .by_words(
                    &[
                        &["start"],
                        &["from"],
                        &["begin"],
                        &["datetime"],
                        &["timestamp"],
                        &["date"],
                        &["time"],
                    ],
                    &[],
                )
                .ok_or_else(|| self.missing("the start"))?,
        };
        let time = match &options.time {
            Some(name) => Some(self.named(name)?),
            // "Date", "Start Time", "End Time": the start stands in two columns.
            None => self.time_beside(start),
        };
        let (start, time) = match time {
            Some(time) if words(&self.0[start]).contains(&"time".to_owned()) => (time, Some(start)),
            other => (start, other),
        };
        let end = match &options.end {
            Some(name) => Some(self.named(name)?),
            None => self.by_words(&[&["end"], &["to"], &["until"]], &[start]),
        };
        let taken = [Some(start), time, end];
        let taken: Vec<usize> = taken.into_iter().flatten().collect();
        let value = match &options.value {
            Some(name) => self.named(name)?,
            None => self.value(&taken).ok_or_else(|| self.missing("the value"))?,
        };
        let quality = self.by_words(
            &[&["quality"], &["estimated"], &["status"], &["flag"]],
            &[start, value],
        );
        Ok(Columns {
            start,
            time,
            end,
            value,
            quality,
            scale: self.scale(value, options)?,
        })
    }

    fn value(&self, taken: &[usize]) -> Option<usize> {
        let candidates = (0..self.0.len()).filter(|at| !taken.contains(at));
        candidates
            .filter_map(|at| {
                let words = words(&self.0[at]);
                if words.iter().any(|word| {
                    SENT_OUT.contains(&word.as_str())
                        || word == "cost"
                        || word == "unit"
                        || word == "units"
                        || word == "type"
                }) {
                    return None;
                }
                let by_unit = words.iter().any(|word| unit(word).is_ok());
                let by_word = words.iter().any(|word| VALUE.contains(&word.as_str()));
                (by_unit || by_word).then_some((by_unit, at))
            })
            .max_by_key(|(by_unit, at)| (*by_unit, std::cmp::Reverse(*at)))
            .map(|(_, at)| at)
    }

    fn scale(&self, value: usize, options: &CsvOptions) -> Result<Scale, MeterError> {
        if let Some(given) = &options.unit {
            return unit(given);
        }
        words(&self.0[value])
            .iter()
            .find_map(|word| unit(word).ok())
            .ok_or_else(|| MeterError::NoUnit {
                column: self.name(value),
            })
    }

    fn named(&self, name: &str) -> Result<usize, MeterError> {
        let wanted = name.trim();
        let exact = self.0.iter().position(|cell| cell.eq_ignore_ascii_case(wanted));
        exact.ok_or_else(|| MeterError::NoSuchColumn {
            named: shortened(wanted),
            found: self.list(),
        })
    }

    /// The first column with the words, the earlier words first.
    fn by_words(&self, wanted: &[&[&str]], taken: &[usize]) -> Option<usize> {
        wanted.iter().find_map(|all| {
            (0..self.0.len()).filter(|at| !taken.contains(at)).find(|at| {
                let words = words(&self.0[*at]);
                all.iter().all(|one| words.iter().any(|word| word == one))
            })
        })
    }

    /// Where date and time of a start stand in two columns, the other one.
    fn time_beside(&self, start: usize) -> Option<usize> {
        let of_start = words(&self.0[start]);
        let has = |word: &str| of_start.iter().any(|one| one == word);
        if has("date") && !has("time") {
            return self.by_words(&[&["start", "time"], &["time"], &["hour"]], &[start]);
        }
        if has("time") && !has("date") {
            return self.by_words(&[&["date"]], &[start]);
        }
        None
    }

    fn missing(&self, what: &'static str) -> MeterError {
        MeterError::NoColumn {
            what,
            rows: HEAD_ROWS,
            found: self.list(),
        }
    }
}

/// The words of a heading in small letters.
fn words(heading: &str) -> Vec<String> {
    heading
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_ascii_lowercase)
        .collect()
}
