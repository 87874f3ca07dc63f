//! Green Button: NAESB ESPI XML inside an Atom feed, read event by event.
//!
//! In: bytes. Out: an [`Import`], or an error with its place. Start at [`green_button`]. Readings go into reels as they
//! come; what they count is settled at the end, because a reading type may stand behind its readings. Names are matched
//! without their prefix. Element text that no reading needs is not kept.
//!
//! What a reader of XML can be attacked with is bounded: no document type, no entities beyond XML's own five and character
//! references, [`DEPTH_MAX`] open elements, one tag or text of [`crate::bounded::PIECE_MAX`] bytes.
//!
//! Source of the structure: NAESB ESPI schema: seen in bindings generated from it and in three public sample files.

use crate::bounded::{Bounded, PIECE_MAX};
use crate::element::Element;
use crate::entries::Entries;
use crate::error::{MeterError, Place};
use crate::local_time::LocalTime;
use crate::series::Import;
use quick_xml::Reader;
use quick_xml::errors::{Error, IllFormedError, SyntaxError};
use quick_xml::events::{BytesStart, Event};
use std::io::Read;

/// Elements that may lie inside each other; real files have 8.
const DEPTH_MAX: usize = 64;

/// Reads a Green Button file.
///
/// `local` overrides the local time of the file.
///
/// # Errors
/// [`MeterError`] with byte and line when the file is damaged, cut short, hostile, or no such file.
///
/// ```
/// let xml = r#"<feed xmlns="http://www.w3.org/2005/Atom"><entry><link rel="self" href="ReadingType/1"/><content>
///   <ReadingType xmlns="http://naesb.org/espi"><powerOfTenMultiplier>3</powerOfTenMultiplier><uom>72</uom></ReadingType>
/// </content></entry><entry><link rel="up" href="MeterReading/1/IntervalBlock"/><content>
///   <IntervalBlock xmlns="http://naesb.org/espi"><IntervalReading>
///     <timePeriod><duration>900</duration><start>1330578000</start></timePeriod><value>2</value>
///   </IntervalReading></IntervalBlock>
/// </content></entry></feed>"#;
/// let import = meter::green_button(xml.as_bytes(), None)?;
/// // 2 · 10³ Wh in a quarter of an hour is a mean of 8 kW.
/// assert_eq!(import.demand(None)?.iter().next().map(|reading| reading.mean_w), Some(8000.0));
/// # Ok::<(), meter::MeterError>(())
/// ```
pub fn green_button(source: impl Read, local: Option<LocalTime>) -> Result<Import, MeterError> {
    let mut reader = Reader::from_reader(Bounded::new(source));
    let mut buffer = Vec::with_capacity(4096);
    let mut entries = Entries::default();
    let mut open: Vec<Element> = Vec::with_capacity(DEPTH_MAX);
    loop {
        let event = match reader.read_event_into(&mut buffer) {
            Ok(event) => event,
            Err(error) => return Err(damaged(&reader, &error, &open, entries.readings())),
        };
        let place = || reader.get_ref().place();
        match event {
            Event::Start(tag) => {
                let element = Element::named(tag.local_name().into_inner());
                if open.len() == DEPTH_MAX {
                    return Err(MeterError::TooDeep {
                        place: place(),
                        limit: DEPTH_MAX,
                    });
                }
                if element == Element::Link {
                    link(&tag, &mut entries, &place)?;
                }
                entries.opened(open.last().copied(), element);
                open.push(element);
            }
            Event::Empty(tag) => {
                let element = Element::named(tag.local_name().into_inner());
                if element == Element::Link {
                    link(&tag, &mut entries, &place)?;
                }
                entries.opened(open.last().copied(), element);
                entries.closed(open.last().copied(), element, place)?;
            }
            Event::End(_) => {
                if let Some(element) = open.pop() {
                    entries.closed(open.last().copied(), element, place)?;
                }
            }
            Event::Text(text) => entries.text(&text),
            Event::CData(text) => entries.text(&text),
            Event::GeneralRef(name) => match resolved(&name) {
                Some(character) => entries.text(character.encode_utf8(&mut [0; 4])),
                None => {
                    return Err(MeterError::Entity {
                        place: place(),
                        name: crate::note::shortened(&name),
                    });
                }
            },
            Event::DocType(_) => return Err(MeterError::DocumentType { place: place() }),
            Event::Eof => {
                if let Some(innermost) = open.last() {
                    return Err(MeterError::Truncated {
                        place: place(),
                        open: innermost.name().to_owned(),
                        readings: entries.readings(),
                    });
                }
                break;
            }
            Event::Comment(_) | Event::Decl(_) | Event::PI(_) => {}
        }
        reader.get_mut().piece_done();
        buffer.clear();
    }
    entries.import(local)
}

/// Character references and the five entities of XML itself.
fn resolved(name: &quick_xml::events::BytesRef<'_>) -> Option<char> {
    match &**name {
        "lt" => Some('<'),
        "gt" => Some('>'),
        "amp" => Some('&'),
        "apos" => Some('\''),
        "quot" => Some('"'),
        _ => name.resolve_char_ref().ok().flatten(),
    }
}

fn link(tag: &BytesStart<'_>, entries: &mut Entries, place: &dyn Fn() -> Place) -> Result<(), MeterError> {
    let (mut relation, mut address) = (None, None);
    for attribute in tag.attributes() {
        let attribute = attribute.map_err(|error| MeterError::Damaged {
            place: place(),
            why: error.to_string(),
        })?;
        match attribute.key.local_name().into_inner() {
            "rel" => relation = Some(attribute.value),
            "href" => address = Some(attribute.value),
            _ => {}
        }
    }
    if let (Some(relation), Some(address)) = (relation, address) {
        entries.link(relation.trim(), address.trim());
    }
    Ok(())
}

fn damaged<R: Read>(
    reader: &Reader<Bounded<R>>,
    error: &Error,
    open: &[Element],
    readings: u64,
) -> MeterError {
    let place = reader.get_ref().place();
    if reader.get_ref().overrun() {
        return MeterError::TooLong {
            place,
            limit: PIECE_MAX,
        };
    }
    let truncated = |what: &str| MeterError::Truncated {
        place,
        open: open.last().map_or(what, |element| element.name()).to_owned(),
        readings,
    };
    match error {
        Error::Io(error) => MeterError::Unreadable {
            place,
            why: error.to_string(),
        },
        Error::Encoding(_) => MeterError::NotText { place },
        Error::IllFormed(IllFormedError::MissingEndTag(_)) => truncated("the feed"),
        Error::Syntax(SyntaxError::InvalidBangMarkup) => MeterError::Damaged {
            place,
            why: error.to_string(),
        },
        // All other syntax errors are things that never end.
        Error::Syntax(_) => truncated("a tag"),
        other => MeterError::Damaged {
            place,
            why: crate::note::shortened(&other.to_string()),
        },
    }
}
