//! Reading single stations out of the packed bytes, in place.
//!
//! In: the bytes that [`super::pack()`] makes, which also describes them. Out: one station, or one value of it, by its
//! number in the order of ids. Nothing is kept but where the parts begin.

use super::Station;
use super::pack::{
    COLDEST_TENTHS, ID_NUMBER_BITS, LETTER_BITS, LOWEST_TENTHS, MARK, NAMES_PER_INDEX, PER_DEGREE,
    POSTAL_BITS, RECORD_BYTES, SWING_BITS,
};
use quantity::{Length, Temperature, TemperatureDifference};

/// The packed stations and where their parts begin.
pub(super) struct Packed {
    bytes: &'static [u8],
    count: usize,
    head: &'static str,
    prefixes: usize,
    states: usize,
    letters: usize,
    records: usize,
    name_index: usize,
    names: usize,
}

impl Packed {
    /// Finds the parts. The file is embedded and compared with a fresh packing by a test.
    pub(super) fn new(bytes: &'static [u8]) -> Self {
        assert!(
            bytes.starts_with(&MARK),
            "embedded climate stations have another layout"
        );
        let count = whole(bytes, 4, 2);
        let head_at = 11;
        let prefixes = head_at + whole(bytes, 9, 2);
        let states = prefixes + 3 * whole(bytes, 6, 1);
        let letters = states + 2 * whole(bytes, 7, 1);
        let records = letters + whole(bytes, 8, 1);
        let name_index = records + RECORD_BYTES * count;
        Self {
            bytes,
            count,
            head: std::str::from_utf8(&bytes[head_at..prefixes]).unwrap_or_default(),
            prefixes,
            states,
            letters,
            records,
            name_index,
            names: name_index + 3 * count.div_ceil(NAMES_PER_INDEX),
        }
    }

    /// How many stations there are.
    pub(super) fn count(&self) -> usize {
        self.count
    }

    /// The value of a head line.
    pub(super) fn head(&self, key: &str) -> &'static str {
        self.head
            .lines()
            .filter_map(|line| line.trim_start_matches('#').split_once(':'))
            .find(|(name, _)| name.trim() == key)
            .map_or("", |(_, value)| value.trim())
    }

    /// Latitude and longitude in degrees.
    pub(super) fn position(&self, index: usize) -> (f64, f64) {
        let at = self.record(index);
        let degrees = |at| f64::from(signed_24(self.bytes, at)) / PER_DEGREE;
        (degrees(at + 7), degrees(at + 10))
    }

    /// The postal code as a number.
    pub(super) fn postal_number(&self, index: usize) -> Option<u32> {
        let number = unsigned(self.bytes, self.record(index) + 4, 3) & ((1 << POSTAL_BITS) - 1);
        (number > 0).then_some(number)
    }

    /// The number of the station with an id.
    pub(super) fn find(&self, id: &str) -> Option<usize> {
        if !id.is_ascii() || id.len() != 11 {
            return None;
        }
        let prefix = self.bytes[self.prefixes..self.states]
            .chunks(3)
            .position(|prefix| prefix == &id.as_bytes()[..3])?;
        let digits = &id[3..];
        let number: u32 = digits
            .bytes()
            .all(|byte| byte.is_ascii_digit())
            .then(|| digits.parse().ok())??;
        let key = (u32::try_from(prefix).ok()? << ID_NUMBER_BITS) | number;
        let (mut low, mut high) = (0, self.count);
        while low < high {
            let middle = low.midpoint(high);
            if unsigned(self.bytes, self.record(middle), 4) < key {
                low = middle + 1;
            } else {
                high = middle;
            }
        }
        (low < self.count && unsigned(self.bytes, self.record(low), 4) == key).then_some(low)
    }

    /// The station, decoded.
    pub(super) fn station(&self, index: usize) -> Station {
        let at = self.record(index);
        let id = unsigned(self.bytes, at, 4);
        let prefix = self.text(self.prefixes, (id >> ID_NUMBER_BITS) as usize, 3);
        let state = unsigned(self.bytes, at + 4, 3) >> POSTAL_BITS;
        let (latitude, longitude) = self.position(index);
        let climate = unsigned(self.bytes, at + 15, 3);
        let swing = climate & ((1 << SWING_BITS) - 1);
        Station {
            id: format!("{prefix}{:08}", id & ((1 << ID_NUMBER_BITS) - 1)),
            name: self.name(index),
            state: self.text(self.states, state as usize, 2).to_owned(),
            postal_code: self.postal_number(index).map(|number| format!("{number:05}")),
            latitude,
            longitude,
            elevation: Length::from_meters(tenths(unsigned(self.bytes, at + 13, 2), LOWEST_TENTHS)),
            annual_mean: Temperature::from_fahrenheit(tenths(climate >> SWING_BITS, COLDEST_TENTHS)),
            monthly_swing: TemperatureDifference::from_fahrenheit(tenths(swing, 0)),
        }
    }

    fn record(&self, index: usize) -> usize {
        self.records + RECORD_BYTES * index
    }

    fn text(&self, from: usize, index: usize, length: usize) -> &'static str {
        let at = from + index * length;
        std::str::from_utf8(&self.bytes[at..at + length]).unwrap_or_default()
    }

    fn name(&self, index: usize) -> String {
        let index_at = self.name_index + 3 * (index / NAMES_PER_INDEX);
        let mut letter = whole(self.bytes, index_at, 3);
        let mut to_skip = index % NAMES_PER_INDEX;
        let mut name = String::new();
        loop {
            let code = self.code(letter);
            letter += 1;
            match code {
                0 if to_skip == 0 => return name,
                0 => to_skip -= 1,
                code if to_skip == 0 => name.push(char::from(self.bytes[self.letters + code - 1])),
                _ => {}
            }
        }
    }

    /// The code of the n-th letter of all names.
    fn code(&self, letter: usize) -> usize {
        let bit = letter * LETTER_BITS;
        let at = self.names + bit / 8;
        let high = self.bytes.get(at + 1).copied().unwrap_or(0);
        let pair = usize::from(self.bytes[at]) | usize::from(high) << 8;
        pair >> (bit % 8) & ((1 << LETTER_BITS) - 1)
    }
}

fn unsigned(bytes: &[u8], at: usize, length: usize) -> u32 {
    bytes[at..at + length]
        .iter()
        .rev()
        .fold(0, |number, byte| number << 8 | u32::from(*byte))
}

fn whole(bytes: &[u8], at: usize, length: usize) -> usize {
    unsigned(bytes, at, length) as usize
}

fn signed_24(bytes: &[u8], at: usize) -> i32 {
    i32::from_le_bytes([0, bytes[at], bytes[at + 1], bytes[at + 2]]) >> 8
}

fn tenths(above: u32, lowest: i64) -> f64 {
    // Both are small whole numbers: exact in a double.
    (f64::from(above) + lowest as f64) / 10.0
}
