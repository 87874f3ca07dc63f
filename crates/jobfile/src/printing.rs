//! Writing a record as TOML, in the order of the form.
//!
//! In: a [`Job`]. Out: text that reads back to the same record. A section stands under its own `[head]`; a list of
//! small things is written a row to a line, a list of larger ones block by block; what lies deeper stands inline.
//! [`Sheet`] holds the layout, shared with the starter.

use crate::form::{Field, Shape, form};
use job::Job;
use std::fmt::Write as _;
use toml::{Table, Value};

/// The record as TOML text. Values keep their exact worth: quantities are written in the unit that says them shortest.
pub fn write(job: &Job) -> String {
    let mut sheet = Sheet::default();
    sheet.record(&tree(job), &mut Plain);
    sheet.text
}

/// The record as a plain tree.
pub(crate) fn tree(job: &Job) -> Table {
    // Every type of the record is a table, a list, a text or a number, all of which TOML has; a test writes them all.
    Table::try_from(job).unwrap_or_default()
}

/// What is written beside the values.
pub(crate) trait Teacher {
    /// Before a section, or the first block of a list.
    fn before(&mut self, _field: &Field, _sheet: &mut Sheet) {}
    /// Before a list of rows.
    fn before_rows(&mut self, _field: &Field, _sheet: &mut Sheet) {}
    /// A section or a list that the record does not have.
    fn absent(&mut self, _path: &str, _field: &Field, _sheet: &mut Sheet) {}
    /// The lines of a table that are not sections: given values, and whatever is to be said about fields without one.
    fn lines(&mut self, lines: &[(&Field, Option<String>)], first: bool, sheet: &mut Sheet);
}

/// Says nothing.
pub(crate) struct Plain;

impl Teacher for Plain {
    fn lines(&mut self, lines: &[(&Field, Option<String>)], _first: bool, sheet: &mut Sheet) {
        for (field, value) in lines {
            if let Some(value) = value {
                sheet.line(&format!("{} = {value}", field.name));
            }
        }
    }
}

/// Longest row of a list that is written a row to a line.
const ROW_MAX: usize = 200;

/// Text being written.
#[derive(Debug, Default)]
pub(crate) struct Sheet {
    pub(crate) text: String,
}

impl Sheet {
    pub(crate) fn line(&mut self, line: &str) {
        self.text.push_str(line);
        self.text.push('\n');
    }

    /// An empty line, unless one stands there already.
    pub(crate) fn gap(&mut self) {
        if !self.text.is_empty() && !self.text.ends_with("\n\n") {
            self.text.push('\n');
        }
    }

    /// The whole record.
    pub(crate) fn record(&mut self, record: &Table, teacher: &mut impl Teacher) {
        self.body("", form(), record, true, teacher);
    }

    /// A section: its head, its lines, its lists.
    fn section(
        &mut self,
        path: &str,
        field: &Field,
        fields: &[Field],
        table: &Table,
        teacher: &mut impl Teacher,
    ) {
        self.gap();
        teacher.before(field, self);
        self.line(&format!("[{path}]"));
        self.body(path, fields, table, true, teacher);
    }

    /// What stands under a head.
    fn body(&mut self, path: &str, fields: &[Field], table: &Table, first: bool, teacher: &mut impl Teacher) {
        let own = |field: &Field| {
            let value = table.get(&field.name);
            let rows = !path.is_empty() && value.is_some_and(|value| rows(value).is_some());
            (value, rows)
        };
        let parts: Vec<&Field> = fields.iter().filter(|field| part(path, field)).collect();
        let lines: Vec<(&Field, Option<String>)> = fields
            .iter()
            .filter(|field| !part(path, field))
            .map(|field| {
                (
                    field,
                    table.get(&field.name).map(|value| in_order(&field.shape, value)),
                )
            })
            .collect();
        teacher.lines(&lines, first, self);
        // Rows belong to the head above; they must come before the next head.
        for field in parts.iter().filter(|field| own(field).1) {
            self.rows(field, own(field).0, teacher);
        }
        for field in parts.iter().filter(|field| !own(field).1) {
            let path = if path.is_empty() {
                field.name.clone()
            } else {
                format!("{path}.{}", field.name)
            };
            match (&field.shape, own(field).0) {
                (Shape::Table(fields), Some(Value::Table(table))) if !table.is_empty() => {
                    self.section(&path, field, fields, table, teacher);
                }
                (Shape::Map { value: below, .. }, Some(Value::Table(table))) if !table.is_empty() => {
                    self.gap();
                    teacher.before(field, self);
                    self.line(&format!("[{path}]"));
                    for (name, value) in table {
                        self.line(&format!("{} = {}", key(name), in_order(below, value)));
                    }
                }
                (Shape::List(item), Some(Value::Array(items))) if !items.is_empty() => {
                    self.blocks(&path, field, item, items, teacher);
                }
                _ => teacher.absent(&path, field, self),
            }
        }
    }

    /// A list a row to a line.
    fn rows(&mut self, field: &Field, value: Option<&Value>, teacher: &mut impl Teacher) {
        teacher.before_rows(field, self);
        self.line(&format!("{} = [", field.name));
        if let (Some(Value::Array(items)), Shape::List(item)) = (value, &field.shape) {
            for value in items {
                let row = in_order(item, value);
                self.line(&format!("  {row},"));
            }
        }
        self.line("]");
    }

    /// A list block by block.
    fn blocks(
        &mut self,
        path: &str,
        field: &Field,
        item: &Shape,
        items: &[Value],
        teacher: &mut impl Teacher,
    ) {
        let Shape::Table(fields) = item else { return };
        for (index, value) in items.iter().enumerate() {
            let Value::Table(table) = value else { continue };
            self.gap();
            if index == 0 {
                teacher.before(field, self);
            }
            self.line(&format!("[[{path}]]"));
            let lines: Vec<(&Field, Option<String>)> = fields
                .iter()
                .map(|field| {
                    (
                        field,
                        table.get(&field.name).map(|value| stacked(&field.shape, value)),
                    )
                })
                .collect();
            teacher.lines(&lines, index == 0, self);
        }
    }
}

/// Whether a field gets a head or rows of its own: tables of the record, and lists of tables in it or in a section.
pub(crate) fn part(path: &str, field: &Field) -> bool {
    match &field.shape {
        Shape::Table(_) | Shape::Map { .. } => path.is_empty(),
        Shape::List(item) => matches!(**item, Shape::Table(_)),
        _ => false,
    }
}

/// The items of a list, when all of them are short enough for a row.
fn rows(value: &Value) -> Option<&[Value]> {
    let Value::Array(items) = value else { return None };
    // Two characters of indentation and a comma.
    let short = |item: &Value| item.to_string().chars().count() + 3 <= ROW_MAX;
    (!items.is_empty() && items.iter().all(short)).then_some(items)
}

/// A value on one line, with the fields of tables in the order of the form.
fn in_order(shape: &Shape, value: &Value) -> String {
    match (shape, value) {
        (Shape::Table(fields), Value::Table(table)) => {
            let fields = fields.iter().filter_map(|field| {
                table
                    .get(&field.name)
                    .map(|value| format!("{} = {}", field.name, in_order(&field.shape, value)))
            });
            let fields: Vec<String> = fields.collect();
            if fields.is_empty() {
                "{}".to_owned()
            } else {
                format!("{{ {} }}", fields.join(", "))
            }
        }
        (Shape::Map { value: below, .. }, Value::Table(table)) => {
            let entries = table
                .iter()
                .map(|(name, value)| format!("{} = {}", key(name), in_order(below, value)));
            format!("{{ {} }}", entries.collect::<Vec<_>>().join(", "))
        }
        (Shape::List(item), Value::Array(items)) => {
            let items: Vec<String> = items.iter().map(|value| in_order(item, value)).collect();
            format!("[{}]", items.join(", "))
        }
        (_, Value::String(text)) => quoted(text),
        (_, value) => value.to_string(),
    }
}

/// A value within a block: a list of tables a row to a line when one line would be too long.
fn stacked(shape: &Shape, value: &Value) -> String {
    const LINE_MAX: usize = 100;
    let line = in_order(shape, value);
    match (shape, value) {
        (Shape::List(item), Value::Array(items))
            if matches!(**item, Shape::Table(_)) && line.chars().count() > LINE_MAX =>
        {
            let rows: Vec<String> = items
                .iter()
                .map(|value| format!("  {},\n", in_order(item, value)))
                .collect();
            format!("[\n{}]", rows.concat())
        }
        _ => line,
    }
}

/// A key, in quotes when it needs them.
fn key(name: &str) -> String {
    let bare = |c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | '_');
    if !name.is_empty() && name.chars().all(bare) {
        name.to_owned()
    } else {
        quoted(name)
    }
}

/// A text as a TOML string on one line.
fn quoted(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 2);
    out.push('"');
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            '\r' => out.push_str("\\r"),
            '\t' => out.push_str("\\t"),
            c if c.is_control() => {
                // Writing to a String cannot fail.
                let _ = write!(out, "\\u{:04x}", u32::from(c));
            }
            c => out.push(c),
        }
    }
    out.push('"');
    out
}
