//! Why a meter file cannot be imported: what was found, at which byte and line, and what to do.
//!
//! Start at [`MeterError`]. A single reading that cannot be used is not an error but a note ([`crate::Note`]): the file
//! is still worth reading. An error means that what follows in the file cannot be trusted to be readings.

use std::fmt;

/// A place in the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Place {
    /// Bytes before it.
    pub byte: u64,
    /// Line, the first is 1.
    pub line: u64,
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}, byte {}", self.line, self.byte)
    }
}

/// Why a file cannot be imported.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum MeterError {
    /// The bytes could not be fetched.
    #[error("the file could not be read further at {place}: {why}; check the disk or copy the file again")]
    Unreadable {
        /// Where.
        place: Place,
        /// What the system said.
        why: String,
    },
    /// Not XML, or no longer.
    #[error("the XML is damaged at {place}: {why}; download the file again")]
    Damaged {
        /// Where.
        place: Place,
        /// What the XML reader said.
        why: String,
    },
    /// The file ends inside an element.
    #[error(
        "the file ends at {place} with `{open}` still open, after {readings} readings; it was cut short, download it again"
    )]
    Truncated {
        /// Where it ends.
        place: Place,
        /// The innermost open element.
        open: String,
        /// Readings seen until then.
        readings: u64,
    },
    /// Bytes that are no UTF-8 text.
    #[error("the bytes at {place} are not UTF-8 text; save the file as UTF-8, or download it again")]
    NotText {
        /// Where.
        place: Place,
    },
    /// A document type declaration, the door for entity bombs.
    #[error(
        "the file declares a document type at {place}, which Green Button files do not; it was not made by a meter system"
    )]
    DocumentType {
        /// Where.
        place: Place,
    },
    /// A reference to an entity that XML does not define by itself.
    #[error("`&{name};` at {place} is not defined; download the file again")]
    Entity {
        /// Where.
        place: Place,
        /// The name, shortened.
        name: String,
    },
    /// Elements inside elements without end.
    #[error("more than {limit} elements lie inside each other at {place}; this is not a Green Button file")]
    TooDeep {
        /// Where.
        place: Place,
        /// Elements allowed.
        limit: usize,
    },
    /// One tag, text, comment or row longer than any real one.
    #[error("a single tag, text or row at {place} is longer than {limit} bytes; this is not a meter file")]
    TooLong {
        /// Where.
        place: Place,
        /// Bytes allowed.
        limit: usize,
    },
    /// More of something than a house has.
    #[error("the file has more than {limit} {what} (at {place}); split it by house or by year")]
    TooMany {
        /// Where.
        place: Place,
        /// What.
        what: &'static str,
        /// How many are allowed.
        limit: usize,
    },
    /// An XML file of another kind.
    #[error("the file holds no interval readings; ask the utility for interval data (Green Button, ESPI)")]
    NoReadings,
    /// A CSV file whose head row was not found.
    #[error(
        "no head row with a column for {what} in the first {rows} rows (found: {found}); name the column"
    )]
    NoColumn {
        /// The column missing.
        what: &'static str,
        /// Rows looked at.
        rows: usize,
        /// Headings found.
        found: String,
    },
    /// A column was named that the head row does not have.
    #[error("no column is called `{named}`; the head row has: {found}")]
    NoSuchColumn {
        /// As named.
        named: String,
        /// Headings found.
        found: String,
    },
    /// The unit of the values is not known.
    #[error("nothing says in which unit column `{column}` counts; give the unit, such as kWh")]
    NoUnit {
        /// Heading of the column.
        column: String,
    },
    /// A unit that is no electricity.
    #[error("`{unit}` is not a unit of electricity here; give Wh, kWh, MWh, W, kW, VAh, kVAh, VA or kVA")]
    UnknownUnit {
        /// As given.
        unit: String,
    },
    /// Local times without a zone.
    #[error(
        "`{time}` at {place} names no offset from UTC; give the zone of the house, such as America/Chicago"
    )]
    NoZone {
        /// Where.
        place: Place,
        /// The time as written.
        time: String,
    },
    /// Several usage points or none that fits the name.
    #[error("{}; name one of: {}", if *.asked { "no usage point has that name" } else { "the file holds several usage points" }, .points.join(", "))]
    ChoosePoint {
        /// A name was given.
        asked: bool,
        /// The usage points there are.
        points: Vec<String>,
    },
    /// Series there are, but none that says what the house drew.
    #[error(
        "no series of the file is electricity delivered to the house ({found}); ask the utility for interval data in kWh or kW"
    )]
    NoDemand {
        /// What there is.
        found: String,
    },
}
