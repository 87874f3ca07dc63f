//! Interval data of an electricity meter: files in, a compact series, its quality and its demand out.
//!
//! In: the bytes of a Green Button file ([`green_button`]) or of a CSV file ([`csv_file`]); [`import`] tells them apart.
//! Out: an [`Import`] with its series and an [`Account`] of every reading; from a series a [`QualityReport`] and a
//! [`Demand`]. A file is read piece by piece and never held whole.
//!
//! Knows no job, no heater and no rule. A meter averages over its interval: what happens within one, nothing here can
//! tell. Nothing is dropped or counted twice in silence: [`Account::is_closed`] holds for every file.

mod bounded;
mod columns;
mod csv_file;
mod csv_text;
mod demand;
mod element;
mod entries;
mod error;
mod green_button;
mod local_time;
mod note;
mod quality;
mod quality_report;
mod reading_type;
mod reel;
mod series;
mod timestamp;

pub use csv_file::{CsvOptions, csv_file};
pub use demand::{Demand, HourOfDay, Maximum, MonthOfYear, demand, interval_mean};
pub use error::{MeterError, Place};
pub use green_button::green_button;
pub use local_time::{ClockRule, Local, LocalTime, Summer, YearlyMoment};
pub use note::{Note, NoteKind};
pub use quality::Quality;
pub use quality_report::{Gap, QualityReport, Resolution, quality_report};
pub use reading_type::{Flow, Measured, Scale};
pub use series::{Account, Format, Import, Reading, Series};

use std::io::{BufRead, BufReader, Read};

/// Reads a file of either kind: XML begins with `<`.
///
/// # Errors
/// As [`green_button`] and [`csv_file`].
pub fn import(source: impl Read, options: &CsvOptions) -> Result<Import, MeterError> {
    let mut source = BufReader::with_capacity(64 * 1024, source);
    let start = source.fill_buf().map_err(|error| MeterError::Unreadable {
        place: Place { byte: 0, line: 1 },
        why: error.to_string(),
    })?;
    let start = start
        .strip_prefix(b"\xef\xbb\xbf")
        .unwrap_or(start)
        .trim_ascii_start();
    if start.first() == Some(&b'<') {
        let zone = options.zone.clone().map(LocalTime::Zone);
        green_button(source, zone)
    } else {
        csv_file(source, options)
    }
}
