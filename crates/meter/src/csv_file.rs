//! Interval data as comma-separated values: one row a reading, columns found by their headings or named.
//!
//! In: bytes and [`CsvOptions`]. Out: an [`Import`] with one series, or an error with its place. Start at [`csv_file`].
//! Rows before the head row are passed over; they often hold a name and an address, so nothing of them is kept.
//!
//! Where the length of an interval is not written, it is the usual distance between two starts among the first rows; a
//! smaller distance later on shortens it from there. A file with one row a day and a column an hour is not read.

use crate::bounded::{Bounded, PIECE_MAX};
use crate::columns::{Columns, Headings};
use crate::csv_text::{HEAD_ROWS, PER_UNIT, delimiter, end_is_time, number};
use crate::error::{MeterError, Place};
use crate::local_time::LocalTime;
use crate::note::{NoteKind, Notes};
use crate::quality::Quality;
use crate::reading_type::{Flow, Scale};
use crate::reel::{READINGS_MAX, Raw, Reel};
use crate::series::{Account, Format, Import, Series};
use crate::timestamp::{DateOrder, Stamp, stamp};
use csv::{ByteRecord, ReaderBuilder};
use jiff::tz::TimeZone;
use std::collections::BTreeMap;
use std::io::Read;

/// What the caller says about a CSV file; nothing of it is needed when the head row is plain.
#[derive(Debug, Clone, Default)]
pub struct CsvOptions {
    /// Heading of the column with the start (date, or date and time).
    pub start: Option<String>,
    /// Heading of the column with the time of day, where it stands apart from the date.
    pub time: Option<String>,
    /// Heading of the column with the end.
    pub end: Option<String>,
    /// Heading of the column with the value.
    pub value: Option<String>,
    /// Unit of the values.
    pub unit: Option<String>,
    /// Zone of local times.
    pub zone: Option<TimeZone>,
    /// Order of day and month in dates with slashes; month first unless said otherwise.
    pub day_first: bool,
}

/// Readings from which the usual distance of two starts is taken.
const SAMPLE: usize = 96;
/// Start of 2100, and the longest interval.
const START_MAX_S: i64 = 4_102_444_800;
const LENGTH_MAX_S: i64 = 31 * 86_400;

/// Reads a CSV file.
///
/// # Errors
/// [`MeterError`] with the line, when no head row is found, the unit is not known, local times have no zone, or the bytes
/// cannot be read.
///
/// ```
/// let text = "start,usage (kWh)\n2024-01-01T00:00:00-06:00,0.5\n2024-01-01T00:15:00-06:00,1.0\n";
/// let import = meter::csv_file(text.as_bytes(), &meter::CsvOptions::default())?;
/// let demand: Vec<f64> = import.demand(None)?.iter().map(|reading| reading.mean_w).collect();
/// assert_eq!(demand, [2000.0, 4000.0]);
/// # Ok::<(), meter::MeterError>(())
/// ```
pub fn csv_file(source: impl Read, options: &CsvOptions) -> Result<Import, MeterError> {
    let mut bounded = Bounded::new(source);
    let delimiter = delimiter(&mut bounded)?;
    let mut reader = ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(delimiter)
        .buffer_capacity(16 * 1024)
        .from_reader(bounded);
    let mut row = ByteRecord::new();
    let mut head = None;
    let mut best = Headings::default();
    for _ in 0..HEAD_ROWS {
        if !next(&mut reader, &mut row)? {
            break;
        }
        let headings = Headings::of(&row);
        match headings.columns(options) {
            Ok(columns) => {
                head = Some((columns, headings));
                break;
            }
            Err(_) if headings.len() <= best.len() => {}
            Err(_) => best = headings,
        }
    }
    let Some((columns, headings)) = head else {
        return Err(best.columns(options).err().unwrap_or(MeterError::NoReadings));
    };
    let mut rows = Rows::new(options, columns, delimiter == b';');
    if headings.has_export() {
        rows.notes
            .add(NoteKind::ExportColumn, 1, || (None, headings.list()));
    }
    while next(&mut reader, &mut row)? {
        let at = row.position();
        rows.row(&row, || Place {
            byte: at.map_or(0, csv::Position::byte),
            line: at.map_or(0, csv::Position::line),
        })?;
    }
    let name = headings.name(rows.columns.value);
    rows.import(name)
}

fn next<R: Read>(reader: &mut csv::Reader<Bounded<R>>, row: &mut ByteRecord) -> Result<bool, MeterError> {
    let more = reader.read_byte_record(row).map_err(|error| {
        let position = reader.position();
        let place = Place {
            byte: position.byte(),
            line: position.line(),
        };
        if reader.get_ref().overrun() {
            MeterError::TooLong {
                place,
                limit: PIECE_MAX,
            }
        } else {
            MeterError::Unreadable {
                place,
                why: error.to_string(),
            }
        }
    })?;
    reader.get_mut().piece_done();
    Ok(more)
}

/// The rows below the head row.
struct Rows<'o> {
    options: &'o CsvOptions,
    columns: Columns,
    decimal_comma: bool,
    order: DateOrder,
    reel: Reel,
    account: Account,
    notes: Notes,
    /// Readings without a written length that wait for the usual one.
    sample: Vec<Raw>,
    /// Usual length once known, and the reading whose length the next start tells.
    length_s: Option<u32>,
    waiting: Option<Raw>,
    before_s: Option<i64>,
}

impl<'o> Rows<'o> {
    fn new(options: &'o CsvOptions, columns: Columns, decimal_comma: bool) -> Self {
        Self {
            options,
            columns,
            decimal_comma,
            order: if options.day_first {
                DateOrder::DayFirst
            } else {
                DateOrder::MonthFirst
            },
            reel: Reel::default(),
            account: Account::default(),
            notes: Notes::default(),
            sample: Vec::new(),
            length_s: None,
            waiting: None,
            before_s: None,
        }
    }

    fn row(&mut self, row: &ByteRecord, place: impl Fn() -> Place) -> Result<(), MeterError> {
        if row.iter().all(|cell| cell.trim_ascii().is_empty()) {
            return Ok(());
        }
        self.account.read += 1;
        match self.reading(row, &place)? {
            Ok((reading, end_s)) => {
                self.before_s = Some(reading.start_s);
                match end_s {
                    Some(end_s) => {
                        let length = end_s - reading.start_s;
                        if (1..=LENGTH_MAX_S).contains(&length) {
                            let length_s = u32::try_from(length).unwrap_or(u32::MAX);
                            self.keep(Raw { length_s, ..reading }, &place)?;
                        } else {
                            self.set_aside(NoteKind::LengthOutside, &place, &length.to_string());
                        }
                    }
                    None => self.without_length(reading, &place)?,
                }
            }
            Err((kind, text)) => self.set_aside(kind, &place, &text),
        }
        Ok(())
    }

    fn set_aside(&mut self, kind: NoteKind, place: &dyn Fn() -> Place, text: &str) {
        self.account.unusable += 1;
        self.notes.add(kind, 1, || (Some(place()), text.to_owned()));
    }

    /// The reading of a row and its written end; or why the row is set aside.
    #[allow(
        clippy::type_complexity,
        reason = "two kinds of failure: of the file, and of a row"
    )]
    fn reading(
        &mut self,
        row: &ByteRecord,
        place: &dyn Fn() -> Place,
    ) -> Result<Result<(Raw, Option<i64>), (NoteKind, String)>, MeterError> {
        let cell = |at: usize| {
            row.get(at)
                .map(|bytes| String::from_utf8_lossy(bytes.trim_ascii()))
        };
        let (Some(start), Some(value)) = (cell(self.columns.start), cell(self.columns.value)) else {
            return Ok(Err((NoteKind::ShortRow, format!("{} cells", row.len()))));
        };
        let start = match self.columns.time.map(cell) {
            Some(Some(time)) => format!("{start} {time}"),
            Some(None) => return Ok(Err((NoteKind::ShortRow, format!("{} cells", row.len())))),
            None => start.into_owned(),
        };
        let Some(value) = number(&value, self.decimal_comma) else {
            return Ok(Err((NoteKind::NoValue, value.into_owned())));
        };
        let start_s = match self.moment(&start, self.before_s, place)? {
            Ok(start_s) => start_s,
            Err(kind) => return Ok(Err((kind, start))),
        };
        if !(0..START_MAX_S).contains(&start_s) {
            return Ok(Err((NoteKind::TimeOutside, start)));
        }
        let end_s = match self.columns.end.map(cell) {
            Some(Some(end)) => {
                // An end that is only a time of day lies on the day of the start.
                let end = match start.split_once([' ', 'T']) {
                    Some((date, _)) if !end.contains(['/', '-', '.', 'T', ' ']) || end_is_time(&end) => {
                        format!("{date} {end}")
                    }
                    _ => end.into_owned(),
                };
                match self.moment(&end, Some(start_s), place)? {
                    // The last interval of a day ends at midnight, or one minute before it.
                    Ok(end_s) if end_s <= start_s && start_s - end_s < 86_400 => Some(end_s + 86_400),
                    Ok(end_s) if (end_s - start_s) % 60 == 59 => Some(end_s + 1),
                    Ok(end_s) if (end_s + 60 - start_s) % 300 == 0 => Some(end_s + 60),
                    Ok(end_s) => Some(end_s),
                    Err(kind) => return Ok(Err((kind, end))),
                }
            }
            Some(None) => return Ok(Err((NoteKind::ShortRow, format!("{} cells", row.len())))),
            None => None,
        };
        let quality = self.columns.quality.and_then(cell).and_then(|word| {
            if word.is_empty() {
                return None;
            }
            let known = Quality::of_word(&word);
            if known.is_none() {
                self.notes
                    .add(NoteKind::UnknownQuality, 1, || (Some(place()), word.into_owned()));
            }
            known
        });
        let raw = Raw {
            start_s,
            length_s: 0,
            value,
            quality,
        };
        Ok(Ok((raw, end_s)))
    }

    fn moment(
        &mut self,
        text: &str,
        after_s: Option<i64>,
        place: &dyn Fn() -> Place,
    ) -> Result<Result<i64, NoteKind>, MeterError> {
        let civil = match stamp(text, self.order) {
            Some(Stamp::Unix(unix_s)) => return Ok(Ok(unix_s)),
            Some(Stamp::Civil(civil)) => civil,
            None => return Ok(Err(NoteKind::NoTime)),
        };
        let Some(zone) = &self.options.zone else {
            return Err(MeterError::NoZone {
                place: place(),
                time: crate::note::shortened(text),
            });
        };
        let ambiguous = zone.to_ambiguous_timestamp(civil);
        let kind = ambiguous.offset();
        Ok(match kind {
            jiff::tz::AmbiguousOffset::Unambiguous { .. } => ambiguous
                .compatible()
                .map(jiff::Timestamp::as_second)
                .map_err(|_| NoteKind::TimeOutside),
            jiff::tz::AmbiguousOffset::Gap { .. } => Err(NoteKind::SkippedHour),
            jiff::tz::AmbiguousOffset::Fold { .. } => {
                let earlier = zone.to_ambiguous_timestamp(civil).earlier();
                let later = zone.to_ambiguous_timestamp(civil).later();
                // Rows come in order, so the second time an hour is told it is the later one.
                match (earlier, later) {
                    (Ok(earlier), _) if after_s.is_none_or(|after_s| earlier.as_second() > after_s) => {
                        if after_s.is_none() {
                            let text = text.to_owned();
                            self.notes
                                .add(NoteKind::RepeatedHour, 1, || (Some(place()), text));
                        }
                        Ok(earlier.as_second())
                    }
                    (_, Ok(later)) => Ok(later.as_second()),
                    _ => Err(NoteKind::TimeOutside),
                }
            }
        })
    }

    fn without_length(&mut self, reading: Raw, place: &dyn Fn() -> Place) -> Result<(), MeterError> {
        if self.length_s.is_none() {
            self.sample.push(reading);
            if self.sample.len() == SAMPLE {
                self.take_sample(place)?;
            }
            return Ok(());
        }
        self.with_usual_length(reading, place)
    }

    /// The usual distance of two starts becomes the length of all.
    fn take_sample(&mut self, place: &dyn Fn() -> Place) -> Result<(), MeterError> {
        let sample = std::mem::take(&mut self.sample);
        let mut counts: BTreeMap<i64, usize> = BTreeMap::new();
        for pair in sample.windows(2) {
            let distance = pair[1].start_s - pair[0].start_s;
            if (1..=LENGTH_MAX_S).contains(&distance) {
                *counts.entry(distance).or_default() += 1;
            }
        }
        // Of equally usual ones the shorter: it overstates a demand rather than hides it.
        let usual = counts
            .iter()
            .max_by_key(|(distance, count)| (**count, std::cmp::Reverse(**distance)));
        let Some((usual, _)) = usual else {
            // One row, or all at one moment: no length, no demand.
            for _ in &sample {
                self.set_aside(NoteKind::NoTime, place, "no distance between starts");
            }
            return Ok(());
        };
        let usual = u32::try_from(*usual).unwrap_or(u32::MAX);
        self.length_s = Some(usual);
        self.notes
            .add(NoteKind::LengthInferred, 1, || (None, format!("{usual} s")));
        for reading in sample {
            self.with_usual_length(reading, place)?;
        }
        Ok(())
    }

    fn with_usual_length(&mut self, reading: Raw, place: &dyn Fn() -> Place) -> Result<(), MeterError> {
        let usual = self.length_s.unwrap_or(3600);
        if let Some(waiting) = self.waiting.take() {
            let distance = reading.start_s - waiting.start_s;
            let length_s = match u32::try_from(distance) {
                Ok(distance) if distance > 0 && distance < usual => distance,
                _ => usual,
            };
            self.length_s = Some(length_s);
            self.keep(Raw { length_s, ..waiting }, place)?;
        }
        self.waiting = Some(reading);
        Ok(())
    }

    fn keep(&mut self, reading: Raw, place: &dyn Fn() -> Place) -> Result<(), MeterError> {
        if self.reel.push(reading) {
            return Ok(());
        }
        Err(MeterError::TooMany {
            place: place(),
            what: "rows",
            limit: usize::try_from(READINGS_MAX).unwrap_or(usize::MAX),
        })
    }

    fn import(mut self, name: String) -> Result<Import, MeterError> {
        let end = Place::default;
        if self.length_s.is_none() && !self.sample.is_empty() {
            self.take_sample(&end)?;
        }
        if let Some(last) = self.waiting.take() {
            let length_s = self.length_s.unwrap_or(3600);
            self.keep(Raw { length_s, ..last }, &end)?;
        }
        if self.account.read == 0 {
            return Err(MeterError::NoReadings);
        }
        let scale = self.columns.scale;
        let scale = Scale {
            per_count: scale.per_count / PER_UNIT,
            ..scale
        };
        let local = self.options.zone.clone().map_or(LocalTime::Utc, LocalTime::Zone);
        if local == LocalTime::Utc {
            self.notes.add(NoteKind::NoLocalTime, 1, || (None, String::new()));
        }
        let kept = (Flow::Delivered, scale, Quality::Raw);
        let mut series = Series::settle(self.reel, name, None, kept, &mut self.notes);
        series.account.read += self.account.unusable;
        series.account.unusable = self.account.unusable;
        Ok(Import {
            format: Format::Csv,
            account: series.account,
            series: vec![series],
            notes: self.notes.into_list(),
            local,
        })
    }
}
