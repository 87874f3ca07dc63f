//! Comparing a file with the form, and turning it into the plain tree that the record's types are read from.
//!
//! In: the tree of the file with the place of every value. Out: a tree that fits the form, and problems for all that
//! does not. A value that cannot be used is left out when it may be missing, and else stands for itself as an example,
//! so that everything beside it can still be checked; [`Doubt`] remembers where, and no later check speaks about that.

use crate::faults::Faults;
use crate::form::{Choice, Field, Shape, form};
use crate::{text_kinds, words};
use std::collections::BTreeSet;
use std::ops::Range;
use toml::de::{DeInteger, DeString, DeTable, DeValue};
use toml::{Spanned, Table, Value};
use trace::RecordPath;

/// A file turned into a tree that fits the form.
#[derive(Debug)]
pub(crate) struct Conversion {
    pub(crate) record: Table,
    pub(crate) doubt: Doubt,
}

impl Conversion {
    pub(crate) fn of(root: &DeTable<'_>, text: &str, faults: &mut Faults) -> Self {
        let mut walk = Walk {
            text,
            faults,
            doubt: Doubt::default(),
        };
        // What the file says about its version is judged before; from here on the version is this program's.
        let version = Table::from_iter([("schema".to_owned(), Value::Integer(job::SCHEMA_VERSION.into()))]);
        let record = walk.table(form(), root, &(0..0), &RecordPath::root(), version);
        Self {
            record,
            doubt: walk.doubt,
        }
    }
}

/// Places whose value in the tree is not the file's.
#[derive(Debug, Default)]
pub(crate) struct Doubt {
    places: BTreeSet<String>,
    everywhere: bool,
}

impl Doubt {
    /// Whether so much is lost that the record as a whole says nothing.
    pub(crate) fn everywhere(&self) -> bool {
        self.everywhere
    }

    /// Whether what is said about `at` may come from a value that is not the file's: one there, above or below.
    pub(crate) fn touches(&self, at: &RecordPath) -> bool {
        let ends =
            at.0.match_indices(['.', '['])
                .map(|(end, _)| end)
                .chain([at.0.len()]);
        let above = ends
            .map(|end| &at.0[..end])
            .any(|place| self.places.contains(place));
        let continues = |place: &String| {
            place
                .as_bytes()
                .get(at.0.len())
                .is_some_and(|next| b".[".contains(next))
        };
        let mut below = self
            .places
            .range(at.0.clone()..)
            .take_while(|place| place.starts_with(&at.0));
        above || below.any(continues) || (at.0.is_empty() && !self.places.is_empty())
    }

    fn note(&mut self, at: &RecordPath, shape: &Shape) {
        self.everywhere |= holds_things(shape);
        self.places.insert(at.0.clone());
    }
}

struct Walk<'a> {
    text: &'a str,
    faults: &'a mut Faults,
    doubt: Doubt,
}

impl Walk<'_> {
    /// A table; `here` is its place in the file, `out` what is settled already.
    fn table(
        &mut self,
        fields: &[Field],
        table: &DeTable<'_>,
        here: &Range<usize>,
        at: &RecordPath,
        mut out: Table,
    ) -> Table {
        let mut meant = BTreeSet::new();
        for (key, value) in table {
            let name: &str = key.get_ref();
            if out.contains_key(name) {
                continue;
            }
            match fields.iter().find(|field| field.name == name) {
                Some(field) => {
                    if let Some(value) = self.field(field, value, &at.field(name)) {
                        out.insert(name.to_owned(), value);
                    }
                }
                None => meant.extend(self.unknown(fields, table, (key, value), at)),
            }
        }
        for field in fields.iter().filter(|field| field.required) {
            if out.contains_key(&field.name) {
                continue;
            }
            let place = at.field(&field.name);
            // A misspelled field is told once.
            if !meant.contains(&field.name) && !table.contains_key(field.name.as_str()) {
                self.faults.add(here, &place, || words::missing(field, at));
            }
            self.doubt.note(&place, &field.shape);
            out.insert(field.name.clone(), example(&field.shape));
        }
        out
    }

    /// The value of a field; none when it cannot be used.
    fn field(&mut self, field: &Field, value: &Spanned<DeValue<'_>>, at: &RecordPath) -> Option<Value> {
        let converted = self.value(&field.shape, value, at);
        if converted.is_none() {
            self.doubt.note(at, &field.shape);
        }
        converted
    }

    /// A value that fits `shape`; none, and a problem, when it does not.
    fn value(&mut self, shape: &Shape, value: &Spanned<DeValue<'_>>, at: &RecordPath) -> Option<Value> {
        let span = value.span();
        match (shape, value.get_ref()) {
            (Shape::Table(fields), DeValue::Table(table)) => {
                Some(Value::Table(self.table(fields, table, &span, at, Table::new())))
            }
            (Shape::Map { keys, value }, DeValue::Table(table)) => {
                Some(self.map(keys.as_deref(), value, table, at))
            }
            (Shape::List(item), DeValue::Array(items)) => {
                let items = items.iter().enumerate().map(|(index, value)| {
                    let at = at.item(index);
                    self.value(item, value, &at).unwrap_or_else(|| {
                        // The item keeps its number, so that the places of those after it stay right.
                        self.doubt.note(&at, item);
                        example(item)
                    })
                });
                Some(Value::Array(items.collect()))
            }
            (Shape::Choice(choices), DeValue::String(text)) => {
                if choices.iter().any(|choice| choice.text == **text) {
                    return Some(Value::String(text.clone().into_owned()));
                }
                self.faults
                    .add(&span, at, || words::not_a_choice(text, choices, at));
                None
            }
            (Shape::Kind { name, .. }, DeValue::String(text)) => self.kind(name, text, &span, at),
            // A date may also be written bare, as TOML has it.
            (Shape::Kind { name, .. }, DeValue::Datetime(date)) if name == "Date" && date.time.is_none() => {
                self.kind(name, &date.to_string(), &span, at)
            }
            (Shape::Text, DeValue::String(text)) => Some(Value::String(text.clone().into_owned())),
            (Shape::Whole { least, most }, DeValue::Integer(number)) => {
                let read = whole(number).filter(|number| (*least..=*most).contains(number));
                if read.is_none() {
                    let number = words::clipped(number.as_str());
                    self.faults.add(&span, at, || {
                        (
                            format!(
                                "`{number}` cannot be a count here: it must lie between {least} and {most}"
                            ),
                            "check the number".into(),
                        )
                    });
                }
                read.map(Value::Integer)
            }
            #[expect(clippy::cast_precision_loss, reason = "a number of the record, not a count")]
            (Shape::Number, DeValue::Integer(number)) => {
                whole(number).map(|number| Value::Float(number as f64))
            }
            (Shape::Number, DeValue::Float(number)) => number.as_str().parse().ok().map(Value::Float),
            (Shape::Switch, DeValue::Boolean(on)) => Some(Value::Boolean(*on)),
            (shape, value) => {
                self.faults.add(&span, at, || {
                    words::wrong_type(shape, value, self.text.get(span.clone()), at)
                });
                None
            }
        }
    }

    fn kind(&mut self, name: &str, text: &str, span: &Range<usize>, at: &RecordPath) -> Option<Value> {
        match text_kinds::reader(name)?(text) {
            Ok(()) => Some(Value::String(text.to_owned())),
            Err(misfit) => {
                let span = within(self.text, span, text, &misfit.span);
                self.faults.add(&span, at, || (misfit.message, misfit.fix));
                None
            }
        }
    }

    fn map(&mut self, keys: Option<&[Choice]>, shape: &Shape, table: &DeTable<'_>, at: &RecordPath) -> Value {
        let mut out = Table::new();
        for (key, value) in table {
            let (name, at): (&str, _) = (key.get_ref(), at.field(key.get_ref()));
            if let Some(keys) = keys.filter(|keys| !keys.iter().any(|choice| choice.text == name)) {
                self.faults
                    .add(&key.span(), &at, || words::not_a_name(name, keys, &at));
            } else if let Some(value) = self.value(shape, value, &at) {
                out.insert(name.to_owned(), value);
                continue;
            }
            self.doubt.note(&at, shape);
        }
        Value::Table(out)
    }

    /// A field that the form does not have. Gives the field that was meant, when that is clear.
    fn unknown(
        &mut self,
        fields: &[Field],
        table: &DeTable<'_>,
        (key, value): (&Spanned<DeString<'_>>, &Spanned<DeValue<'_>>),
        at: &RecordPath,
    ) -> Option<String> {
        let name: &str = key.get_ref();
        // What holds other things may have held the names that the rest of the record uses.
        self.doubt.everywhere |= matches!(value.get_ref(), DeValue::Table(_) | DeValue::Array(_));
        // Beyond what is shown, problems are only counted: looking for the nearest name costs time.
        let free = fields
            .iter()
            .map(|field| field.name.as_str())
            .filter(|name| !table.contains_key(*name));
        let near = if self.faults.enough() {
            None
        } else {
            nearest(name, free)
        };
        self.faults.add(&key.span(), &at.field(name), || {
            words::unknown(fields, name, near, at)
        });
        let meant = near?;
        self.doubt.places.insert(at.field(meant).0);
        Some(meant.to_owned())
    }
}

/// What stands for a value that must be there and is not usable.
fn example(shape: &Shape) -> Value {
    match shape {
        Shape::Table(fields) => {
            let required = fields.iter().filter(|field| field.required);
            Value::Table(
                required
                    .map(|field| (field.name.clone(), example(&field.shape)))
                    .collect(),
            )
        }
        Shape::Map { .. } => Value::Table(Table::new()),
        Shape::List(_) => Value::Array(Vec::new()),
        Shape::Choice(choices) => Value::String(
            choices
                .first()
                .map(|choice| choice.text.clone())
                .unwrap_or_default(),
        ),
        Shape::Kind { example, .. } => Value::String(example.clone()),
        Shape::Text | Shape::Anything => Value::String("…".to_owned()),
        Shape::Whole { least, most } => Value::Integer(1.clamp(*least, *most)),
        Shape::Number => Value::Float(1.0),
        Shape::Switch => Value::Boolean(false),
    }
}

/// Whether a shape can hold things that other parts of the record name.
fn holds_things(shape: &Shape) -> bool {
    match shape {
        Shape::List(item) => matches!(**item, Shape::Table(_)),
        Shape::Table(fields) => fields.iter().any(|field| holds_things(&field.shape)),
        _ => false,
    }
}

fn whole(number: &DeInteger<'_>) -> Option<i64> {
    i64::from_str_radix(number.as_str(), number.radix()).ok()
}

/// The bytes of a part of a text, when the file holds the text as it is; else those of the whole text.
fn within(file: &str, span: &Range<usize>, text: &str, part: &Range<usize>) -> Range<usize> {
    let plain = file.get(span.start + 1..span.end.saturating_sub(1)) == Some(text);
    let start = span.start + 1 + part.start;
    if plain && !part.is_empty() {
        start..start + part.len()
    } else {
        span.clone()
    }
}

/// The one of `names` that is nearest to `name`, when it is near.
pub(crate) fn nearest<'a>(name: &str, names: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    const LONGEST: usize = 60;
    let same = |text: &str| text.to_lowercase().replace(['-', ' '], "_");
    let wanted: String = same(name).chars().take(LONGEST).collect();
    // One slip in four letters; of shorter names only another case is near.
    let far = wanted.chars().count() / 4;
    names
        .map(|name| (strsim::osa_distance(&wanted, &same(name)), name))
        .filter(|(distance, _)| *distance <= far)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, name)| name)
}
