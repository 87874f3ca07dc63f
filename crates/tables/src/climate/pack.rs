//! Packing the climate stations: from the table as text to the bytes that the program carries.
//!
//! In: `data/climate/stations_1981_2010.csv` as text. Out: the bytes of `stations_1981_2010.bin`, the same on every
//! machine. A developer command calls it when the table changes; a test calls it to see that it has not.
//!
//! Layout, all numbers little-endian:
//!
//! | part        | bytes                                                                              |
//! |-------------|------------------------------------------------------------------------------------|
//! | mark        | `CST1`                                                                             |
//! | counts      | u16 stations, u8 id prefixes, u8 states, u8 letters, u16 length of the head          |
//! | head        | the `# key: value` lines of the table, UTF-8                                       |
//! | id prefixes | 3 letters each, sorted                                                             |
//! | states      | 2 letters each, sorted                                                             |
//! | letters     | every letter that occurs in a name, sorted; a name is written in their numbers, 1…  |
//! | stations    | [`RECORD_BYTES`] each, sorted by id: u32 prefix·2²⁷ + number · u24 state·2¹⁷ + postal code (0 none) · i24 latitude and i24 longitude in 1e-4 degrees · u16 height in 0.1 m above -100 m · u24 (mean + 100 °F)·2¹² + swing, in 0.1 °F |
//! | name index  | u24 for every [`NAMES_PER_INDEX`]th name: where it begins, in letters               |
//! | names       | 6 bits a letter, low bits first, each name closed by a 0                           |

use serde::Deserialize;

pub(super) const MARK: [u8; 4] = *b"CST1";
pub(super) const RECORD_BYTES: usize = 18;
pub(super) const NAMES_PER_INDEX: usize = 32;
pub(super) const LETTER_BITS: usize = 6;
pub(super) const ID_NUMBER_BITS: u32 = 27;
pub(super) const POSTAL_BITS: u32 = 17;
pub(super) const SWING_BITS: u32 = 12;
pub(super) const PER_DEGREE: f64 = 1e4;
/// The list fills in running numbers where it has no postal code (41 stations, 00001 to 00198): below the first code in
/// use they are left out. From memory: 00501 is the lowest code assigned.
const FIRST_POSTAL_CODE: u64 = 501;
/// Heights are stored above this many tenths of a meter.
pub(super) const LOWEST_TENTHS: i64 = -1000;
/// Yearly means are stored above this many tenths of a degree Fahrenheit.
pub(super) const COLDEST_TENTHS: i64 = -1000;

/// Why the table cannot be packed.
#[derive(Debug, thiserror::Error)]
pub enum PackError {
    /// A row does not read.
    #[error("climate stations: {0}")]
    Row(#[from] csv::Error),
    /// A value does not fit its place in the layout.
    #[error("climate station `{id}`: {what} does not fit the packed form")]
    Value {
        /// The station.
        id: String,
        /// Which value.
        what: &'static str,
    },
    /// Too many different things for the layout.
    #[error("climate stations: too many {what} for the packed form")]
    Count {
        /// Of what.
        what: &'static str,
    },
    /// The rows are not in order of their ids, or an id comes twice.
    #[error("climate station `{id}` is out of order or comes twice; sort the table by station_id")]
    Order {
        /// The station.
        id: String,
    },
}

#[derive(Deserialize)]
struct Row {
    station_id: String,
    zip: String,
    lat: f64,
    lon: f64,
    elev_m: f64,
    state: String,
    name: String,
    annual_avg_f: f64,
    max_monthly_diff_f: f64,
}

/// Packs the table of stations.
///
/// # Errors
/// When a row does not read, a value does not fit, or the rows are not in order.
pub fn pack(text: &str) -> Result<Vec<u8>, PackError> {
    let head: String = text
        .lines()
        .take_while(|line| line.starts_with('#'))
        .flat_map(|line| [line, "\n"])
        .collect();
    let rows = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(text.as_bytes())
        .deserialize()
        .collect::<Result<Vec<Row>, _>>()?;
    for pair in rows.windows(2) {
        if pair[0].station_id >= pair[1].station_id {
            return Err(PackError::Order {
                id: pair[1].station_id.clone(),
            });
        }
    }
    let prefixes = distinct(rows.iter().map(|row| prefix(row).to_owned()));
    let states = distinct(rows.iter().map(|row| row.state.clone()));
    let letters = distinct(rows.iter().flat_map(|row| row.name.bytes()));
    if letters.len() >= 1 << LETTER_BITS {
        return Err(PackError::Count { what: "letters" });
    }

    let mut out = MARK.to_vec();
    put(&mut out, rows.len(), 2, "stations")?;
    put(&mut out, prefixes.len(), 1, "id prefixes")?;
    put(&mut out, states.len(), 1, "states")?;
    put(&mut out, letters.len(), 1, "letters")?;
    put(&mut out, head.len(), 2, "letters in the head")?;
    out.extend_from_slice(head.as_bytes());
    for prefix in &prefixes {
        out.extend_from_slice(prefix.as_bytes());
    }
    for state in &states {
        out.extend_from_slice(state.as_bytes());
    }
    out.extend_from_slice(&letters);
    for row in &rows {
        record(&mut out, row, &prefixes, &states)?;
    }
    names(&mut out, &rows, &letters)?;
    Ok(out)
}

fn record(out: &mut Vec<u8>, row: &Row, prefixes: &[String], states: &[String]) -> Result<(), PackError> {
    let wrong = |what| PackError::Value {
        id: row.station_id.clone(),
        what,
    };
    let number: u64 = row
        .station_id
        .get(3..)
        .filter(|digits| digits.len() == 8)
        .and_then(|digits| digits.parse().ok())
        .filter(|number| *number < 1 << ID_NUMBER_BITS)
        .ok_or_else(|| wrong("id"))?;
    let prefix = place(prefixes, prefix(row)).filter(|at| *at < 1 << (32 - ID_NUMBER_BITS));
    let prefix = prefix.ok_or_else(|| wrong("id prefix"))?;
    little_endian(out, prefix << ID_NUMBER_BITS | number, 4);

    let postal: u64 = match row.zip.as_str() {
        "" => 0,
        zip => zip
            .parse()
            .ok()
            .filter(|number| zip.len() == 5 && (1..1 << POSTAL_BITS).contains(number))
            .ok_or_else(|| wrong("postal code"))?,
    };
    let postal = if postal < FIRST_POSTAL_CODE { 0 } else { postal };
    let state = place(states, &row.state).filter(|at| *at < 1 << (24 - POSTAL_BITS) && row.state.len() == 2);
    let state = state.ok_or_else(|| wrong("state"))?;
    little_endian(out, state << POSTAL_BITS | postal, 3);

    little_endian(
        out,
        signed(row.lat * PER_DEGREE, 23).ok_or_else(|| wrong("latitude"))?,
        3,
    );
    little_endian(
        out,
        signed(row.lon * PER_DEGREE, 23).ok_or_else(|| wrong("longitude"))?,
        3,
    );
    let height = unsigned(row.elev_m * 10.0, LOWEST_TENTHS, 16).ok_or_else(|| wrong("elevation"))?;
    little_endian(out, height, 2);
    let mean = unsigned(row.annual_avg_f * 10.0, COLDEST_TENTHS, 24 - SWING_BITS);
    let mean = mean.ok_or_else(|| wrong("yearly mean"))?;
    let swing =
        unsigned(row.max_monthly_diff_f * 10.0, 0, SWING_BITS).ok_or_else(|| wrong("monthly swing"))?;
    little_endian(out, mean << SWING_BITS | swing, 3);
    Ok(())
}

fn names(out: &mut Vec<u8>, rows: &[Row], letters: &[u8]) -> Result<(), PackError> {
    let mut codes: Vec<u8> = Vec::new();
    for (index, row) in rows.iter().enumerate() {
        if index % NAMES_PER_INDEX == 0 {
            put(out, codes.len(), 3, "letters in names")?;
        }
        for letter in row.name.bytes() {
            let at = letters.binary_search(&letter).unwrap_or(0);
            codes.push(u8::try_from(at + 1).unwrap_or(0));
        }
        codes.push(0);
    }
    let mut bits: u32 = 0;
    let mut held = 0;
    for code in codes {
        bits |= u32::from(code) << held;
        held += LETTER_BITS;
        while held >= 8 {
            out.push(bits.to_le_bytes()[0]);
            bits >>= 8;
            held -= 8;
        }
    }
    if held > 0 {
        out.push(bits.to_le_bytes()[0]);
    }
    Ok(())
}

fn prefix(row: &Row) -> &str {
    row.station_id.get(..3).unwrap_or_default()
}

fn distinct<T: Ord>(items: impl Iterator<Item = T>) -> Vec<T> {
    items
        .collect::<std::collections::BTreeSet<T>>()
        .into_iter()
        .collect()
}

fn place(sorted: &[String], item: &str) -> Option<u64> {
    let at = sorted.binary_search_by(|other| other.as_str().cmp(item)).ok()?;
    u64::try_from(at).ok()
}

fn put(out: &mut Vec<u8>, count: usize, bytes: usize, what: &'static str) -> Result<(), PackError> {
    let count = u64::try_from(count)
        .ok()
        .filter(|count| *count < 1 << (8 * bytes));
    little_endian(out, count.ok_or(PackError::Count { what })?, bytes);
    Ok(())
}

fn little_endian(out: &mut Vec<u8>, number: u64, bytes: usize) {
    out.extend_from_slice(&number.to_le_bytes()[..bytes]);
}

/// The whole number above `lowest`, if it fits in `bits`.
fn unsigned(tenths: f64, lowest: i64, bits: u32) -> Option<u64> {
    let above = u64::try_from(whole(tenths)? - lowest).ok()?;
    (above < 1 << bits).then_some(above)
}

/// The whole number in two's complement, if it fits in `bits` and a sign.
fn signed(value: f64, bits: u32) -> Option<u64> {
    let number = whole(value)?;
    (-(1 << bits)..1 << bits)
        .contains(&number)
        .then(|| u64::from_le_bytes(number.to_le_bytes()))
}

#[allow(clippy::cast_possible_truncation)] // checked against the limit first
fn whole(value: f64) -> Option<i64> {
    (value.abs() < 1e9).then(|| value.round() as i64)
}
