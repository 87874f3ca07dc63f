//! The entries of a Green Button feed: which readings belong to which series, and what they count.
//!
//! In: elements as they open and close, their text, links. Out: an [`Import`]. Knows the schema, not XML.
//!
//! An interval block says by its links which meter reading it belongs to; the meter reading says which reading type
//! describes it; the usage point is the beginning of its address. Where links are missing, the only reading type stands in.

use crate::element::Element;
use crate::error::{MeterError, Place};
use crate::local_time::{ClockRule, LocalTime, Summer, YearlyMoment};
use crate::note::{NoteKind, Notes, shortened};
use crate::quality::Quality;
use crate::reading_type::ReadingType;
use crate::reel::{READINGS_MAX, Raw, Reel};
use crate::series::{Account, Format, Import, Series};
use std::collections::BTreeMap;

/// Meter readings, reading types or usage points a file may have.
const ENTRIES_MAX: usize = 1000;
/// Longest address or title kept.
const TEXT_MAX: usize = 512;
/// Start of 2100, and the longest interval.
const START_MAX_S: i64 = 4_102_444_800;
const LENGTH_MAX_S: i64 = 31 * 86_400;

/// The reading being read.
#[derive(Debug, Clone, Copy, Default)]
struct Current {
    start: Option<i64>,
    length: Option<i64>,
    value: Option<i64>,
    quality: Option<Quality>,
}

/// A series in the making.
#[derive(Debug, Default)]
struct Slot {
    /// Address up to the meter reading.
    address: String,
    types: Vec<String>,
    reel: Reel,
    account: Account,
}

#[derive(Debug, Default)]
struct EntryLinks {
    own: String,
    up: String,
    related: Vec<String>,
    title: Option<String>,
    holds: Option<Element>,
}

/// The feed so far.
#[derive(Debug, Default)]
pub(crate) struct Entries {
    text: String,
    keep_text: bool,
    entry: EntryLinks,
    current: Current,
    slots: Vec<Slot>,
    slot_of: BTreeMap<String, usize>,
    /// Slot of the block being read.
    target: Option<usize>,
    /// Readings of a block whose links have not come yet.
    waiting: Slot,
    reading_type: ReadingType,
    types: BTreeMap<String, ReadingType>,
    /// Usage points: title, and whether they are electricity.
    points: BTreeMap<String, (Option<String>, bool)>,
    service_kind: Option<i64>,
    clock: [String; 4],
    local: Option<LocalTime>,
    read: u64,
    notes: Notes,
}

impl Entries {
    /// Readings seen so far.
    pub(crate) fn readings(&self) -> u64 {
        self.read
    }

    pub(crate) fn opened(&mut self, parent: Option<Element>, element: Element) {
        use Element as E;
        self.text.clear();
        self.keep_text = !matches!(
            element,
            E::Other | E::Feed | E::Entry | E::Link | E::TimePeriod | E::IntervalReading | E::IntervalBlock
        );
        match element {
            E::Entry => {
                self.entry = EntryLinks::default();
                self.target = None;
            }
            E::IntervalReading => self.current = Current::default(),
            E::ReadingType => self.reading_type = ReadingType::default(),
            E::UsagePoint => self.service_kind = None,
            E::LocalTimeParameters => self.clock = Default::default(),
            _ => {}
        }
        let content = matches!(
            element,
            E::UsagePoint | E::MeterReading | E::ReadingType | E::IntervalBlock | E::LocalTimeParameters
        );
        if content && parent != Some(E::IntervalReading) {
            self.entry.holds = Some(element);
        }
    }

    pub(crate) fn text(&mut self, text: &str) {
        if self.keep_text && self.text.len() + text.len() <= TEXT_MAX {
            self.text.push_str(text);
        } else if self.keep_text {
            // A number of this length is none; a title may end here.
            let room = TEXT_MAX.saturating_sub(self.text.len());
            let end = (0..=room.min(text.len()))
                .rev()
                .find(|end| text.is_char_boundary(*end));
            self.text.push_str(&text[..end.unwrap_or(0)]);
        }
    }

    pub(crate) fn link(&mut self, relation: &str, address: &str) {
        let address = || {
            let end = (0..=TEXT_MAX.min(address.len()))
                .rev()
                .find(|end| address.is_char_boundary(*end));
            address[..end.unwrap_or(0)].trim_end_matches('/').to_owned()
        };
        match relation {
            "self" => self.entry.own = address(),
            "up" => self.entry.up = address(),
            "related" if self.entry.related.len() < ENTRIES_MAX => self.entry.related.push(address()),
            _ => {}
        }
    }

    pub(crate) fn closed(
        &mut self,
        parent: Option<Element>,
        element: Element,
        place: impl Fn() -> Place,
    ) -> Result<(), MeterError> {
        use Element as E;
        match (parent, element) {
            (Some(E::TimePeriod), E::Start) => self.current.start = self.number(),
            (Some(E::TimePeriod), E::Duration) => self.current.length = self.number(),
            (Some(E::IntervalReading), E::Value) => self.current.value = self.number(),
            (Some(E::ReadingQuality), E::Quality) => {
                let quality = self.quality(&place);
                // Of several the worst counts.
                self.current.quality = self.current.quality.max(Some(quality));
            }
            (_, E::IntervalReading) => self.reading(&place)?,
            (Some(E::ReadingType), E::Uom) => self.reading_type.uom = self.number(),
            (Some(E::ReadingType), E::Multiplier) => {
                // One that is no number must not count as 0.
                self.reading_type.multiplier = Some(self.number().unwrap_or(i64::MAX));
            }
            (Some(E::ReadingType), E::FlowDirection) => self.reading_type.flow = self.number(),
            (Some(E::ReadingType), E::Commodity) => self.reading_type.commodity = self.number(),
            (Some(E::ReadingType), E::Accumulation) => self.reading_type.accumulation = self.number(),
            (Some(E::ReadingType), E::DefaultQuality) => {
                self.reading_type.default_quality = self.number();
            }
            (Some(E::ServiceCategory), E::Kind) => self.service_kind = self.number(),
            (Some(E::LocalTimeParameters), E::Offset) => self.text.trim().clone_into(&mut self.clock[0]),
            (Some(E::LocalTimeParameters), E::SummerOffset) => {
                self.text.trim().clone_into(&mut self.clock[1]);
            }
            (Some(E::LocalTimeParameters), E::SummerFrom) => self.text.trim().clone_into(&mut self.clock[2]),
            (Some(E::LocalTimeParameters), E::SummerTo) => self.text.trim().clone_into(&mut self.clock[3]),
            (_, E::LocalTimeParameters) => self.clock_rule(&place),
            (Some(E::Entry), E::Title) => {
                self.entry.title = Some(shortened(&self.text)).filter(|title| !title.is_empty());
            }
            (_, E::Entry) => self.entry_done(&place)?,
            _ => {}
        }
        self.keep_text = false;
        Ok(())
    }

    fn number(&self) -> Option<i64> {
        self.text.trim().parse().ok()
    }

    fn quality(&mut self, place: &dyn Fn() -> Place) -> Quality {
        let found = self.number().and_then(Quality::of_code);
        if found.is_none() {
            let text = &self.text;
            self.notes
                .add(NoteKind::UnknownQuality, 1, || (Some(place()), text.clone()));
        }
        found.unwrap_or(Quality::Questionable)
    }

    fn reading(&mut self, place: &dyn Fn() -> Place) -> Result<(), MeterError> {
        self.read += 1;
        let current = std::mem::take(&mut self.current);
        let target = match self.target {
            Some(index) => Some(index),
            None => match self.meter_reading() {
                Some(address) => Some(self.slot(address, place)?),
                None => None,
            },
        };
        self.target = target;
        let slot = match target {
            Some(index) => &mut self.slots[index],
            None => &mut self.waiting,
        };
        slot.account.read += 1;
        let (kind, example) = match current {
            Current { value: None, .. } => (NoteKind::NoValue, String::new()),
            Current {
                start: Some(start),
                length: Some(length),
                value: Some(value),
                quality,
            } => {
                if !(0..START_MAX_S).contains(&start) {
                    (NoteKind::TimeOutside, start.to_string())
                } else if !(1..=LENGTH_MAX_S).contains(&length) {
                    (NoteKind::LengthOutside, length.to_string())
                } else {
                    let reading = Raw {
                        start_s: start,
                        length_s: u32::try_from(length).unwrap_or(u32::MAX),
                        value,
                        quality,
                    };
                    if slot.reel.push(reading) {
                        return Ok(());
                    }
                    return Err(MeterError::TooMany {
                        place: place(),
                        what: "readings in one series",
                        limit: usize::try_from(READINGS_MAX).unwrap_or(usize::MAX),
                    });
                }
            }
            Current { .. } => (NoteKind::NoTime, String::new()),
        };
        slot.account.unusable += 1;
        self.notes.add(kind, 1, || (Some(place()), example));
        Ok(())
    }

    /// Address of the meter reading that the entry's block belongs to, if its links have come.
    fn meter_reading(&self) -> Option<String> {
        for address in [&self.entry.up, &self.entry.own] {
            if let Some((before, _)) = address.split_once("/IntervalBlock") {
                return Some(before.to_owned());
            }
        }
        None
    }

    fn slot(&mut self, address: String, place: &dyn Fn() -> Place) -> Result<usize, MeterError> {
        if let Some(index) = self.slot_of.get(&address) {
            return Ok(*index);
        }
        if self.slots.len() == ENTRIES_MAX {
            return Err(too_many(place));
        }
        self.slots.push(Slot {
            address: address.clone(),
            ..Slot::default()
        });
        self.slot_of.insert(address, self.slots.len() - 1);
        Ok(self.slots.len() - 1)
    }

    fn entry_done(&mut self, place: &dyn Fn() -> Place) -> Result<(), MeterError> {
        let entry = std::mem::take(&mut self.entry);
        match entry.holds {
            Some(Element::IntervalBlock) if self.waiting.account.read > 0 => {
                self.entry = entry;
                let address = self.meter_reading().unwrap_or_default();
                let index = self.slot(address, place)?;
                let waiting = std::mem::take(&mut self.waiting);
                let slot = &mut self.slots[index];
                slot.account.add(&waiting.account);
                for reading in waiting.reel.iter() {
                    if !slot.reel.push(reading) {
                        return Err(too_many(place));
                    }
                }
            }
            Some(Element::MeterReading) if !entry.own.is_empty() => {
                let index = self.slot(entry.own, place)?;
                let types = entry.related.into_iter().filter(|address| is_type(address));
                let slot = &mut self.slots[index];
                slot.types
                    .extend(types.take(ENTRIES_MAX.saturating_sub(slot.types.len())));
            }
            Some(Element::ReadingType) => {
                let read = std::mem::take(&mut self.reading_type);
                if let Some(known) = self.types.get(&entry.own)
                    && *known != read
                {
                    self.notes
                        .add(NoteKind::SeveralTypes, 1, || (Some(place()), entry.own));
                } else if self.types.len() == ENTRIES_MAX {
                    return Err(too_many(place));
                } else {
                    self.types.insert(entry.own, read);
                }
            }
            Some(Element::UsagePoint) => {
                let electricity = matches!(self.service_kind, None | Some(0));
                if self.points.len() == ENTRIES_MAX {
                    return Err(too_many(place));
                }
                self.points.insert(entry.own, (entry.title, electricity));
            }
            _ => {}
        }
        self.target = None;
        Ok(())
    }

    fn clock_rule(&mut self, place: &dyn Fn() -> Place) {
        let number = |text: &str| text.parse::<i64>().ok().filter(|s| s.abs() <= 86_400);
        let [offset, adds, from, to] = &self.clock;
        let Some(offset_s) = number(offset) else {
            let text = offset.clone();
            self.notes.add(NoteKind::ClockRule, 1, || (Some(place()), text));
            return;
        };
        let summer = match (
            number(adds),
            YearlyMoment::from_hex(from),
            YearlyMoment::from_hex(to),
        ) {
            (Some(adds_s), Some(from), Some(to)) if adds_s != 0 => Some(Summer { adds_s, from, to }),
            (Some(0) | None, ..) if from.is_empty() && to.is_empty() => None,
            // The schema's own sign for "no clock change".
            _ if from.eq_ignore_ascii_case("FFFFFFFF") => None,
            _ => {
                let text = format!("{from} {to}");
                self.notes.add(NoteKind::ClockRule, 1, || (Some(place()), text));
                None
            }
        };
        self.local = Some(LocalTime::Rule(ClockRule { offset_s, summer }));
    }

    /// Settles every series.
    pub(crate) fn import(mut self, local: Option<LocalTime>) -> Result<Import, MeterError> {
        if self.waiting.account.read > 0 {
            // A block outside of any entry.
            self.slots.push(std::mem::take(&mut self.waiting));
        }
        if self.read == 0 {
            return Err(MeterError::NoReadings);
        }
        let mut account = Account::default();
        let mut series = Vec::new();
        for slot in std::mem::take(&mut self.slots) {
            let Slot {
                address,
                types,
                reel,
                account: mut own,
            } = slot;
            if own.read == 0 {
                continue;
            }
            let point = point_of(&address);
            let (title, electricity) = self.points.get(&point).cloned().unwrap_or((None, true));
            match self.scale_of(&types, electricity) {
                Ok((read, (scale, flow))) => {
                    if read.instantaneous() {
                        self.notes
                            .add(NoteKind::Instantaneous, own.read, || (None, address.clone()));
                    }
                    let default = read
                        .default_quality
                        .and_then(Quality::of_code)
                        .unwrap_or(Quality::Raw);
                    let name = point.rsplit('/').next().unwrap_or_default().to_owned();
                    let mut settled =
                        Series::settle(reel, name, title, (flow, scale, default), &mut self.notes);
                    settled.account.read += own.unusable;
                    settled.account.unusable = own.unusable;
                    account.add(&settled.account);
                    series.push(settled);
                }
                Err((kind, why)) => {
                    own.other = reel.len();
                    self.notes.add(kind, own.other.max(1), || (None, why));
                    account.add(&own);
                }
            }
        }
        let local = local.or(self.local).unwrap_or_else(|| {
            self.notes.add(NoteKind::NoLocalTime, 1, || (None, String::new()));
            LocalTime::Utc
        });
        Ok(Import {
            format: Format::GreenButton,
            series,
            account,
            notes: self.notes.into_list(),
            local,
        })
    }

    /// The type of a series: the first it names, or the only one of the file.
    #[allow(
        clippy::type_complexity,
        reason = "a reading type with what follows from it, used once"
    )]
    fn scale_of(
        &mut self,
        types: &[String],
        electricity: bool,
    ) -> Result<(ReadingType, (crate::Scale, crate::Flow)), (NoteKind, String)> {
        if !electricity {
            return Err((
                NoteKind::OtherQuantity,
                "a usage point that is not electricity".to_owned(),
            ));
        }
        if types.len() > 1 {
            let second = types[1].clone();
            self.notes.add(NoteKind::SeveralTypes, 1, || (None, second));
        }
        let named = types.iter().find_map(|address| self.types.get(address));
        let only = || {
            (self.types.len() == 1)
                .then(|| self.types.values().next())
                .flatten()
        };
        let found = named
            .or_else(only)
            .ok_or_else(|| (NoteKind::NoType, "no reading type".to_owned()))?
            .clone();
        let scale = found.scale()?;
        Ok((found, scale))
    }
}

fn is_type(address: &str) -> bool {
    address.contains("ReadingType/")
}

/// The usage point's address: what stands before the meter reading.
fn point_of(address: &str) -> String {
    address
        .split_once("/MeterReading")
        .map_or_else(String::new, |(before, _)| before.to_owned())
}

fn too_many(place: &dyn Fn() -> Place) -> MeterError {
    MeterError::TooMany {
        place: place(),
        what: "series, reading types or usage points",
        limit: ENTRIES_MAX,
    }
}
