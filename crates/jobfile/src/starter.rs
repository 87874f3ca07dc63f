//! The starter text: a record that explains itself, with every field it does not use as a line to bring to life.
//!
//! In: a [`Job`]. Out: text that reads back to the same record. Remarks begin with `# `, lines to bring to life with
//! `#` and a name. All words come from the schema's descriptions and examples, so that they cannot drift from the form.

use crate::form::{Field, Shape};
use crate::printing::{Plain, Sheet, Teacher, part, tree};
use crate::words::{example_of, written_example};
use job::Job;

const HEAD: &str = "\
# Job record. What stands behind # is a remark. A line that begins with #name is a field that may be given: take the
# sign away and write the right value. Leave out what is not known; the report says what was assumed instead.
# Every quantity is text with its unit: \"50 ft\", \"3/4 in\", \"2.5 gpm\", \"120 °F\", \"9 kW\", \"240 V\", \"15 m\".
";

/// The record with remarks, and with the fields it does not use as examples in remarks.
pub fn starter(job: &Job) -> String {
    let mut sheet = Sheet {
        text: HEAD.to_owned(),
    };
    sheet.record(&tree(job), &mut Explaining);
    sheet.text
}

struct Explaining;

impl Teacher for Explaining {
    fn before(&mut self, field: &Field, sheet: &mut Sheet) {
        remark(&field.description, sheet);
    }

    fn before_rows(&mut self, field: &Field, sheet: &mut Sheet) {
        remark(&field.description, sheet);
        if let Shape::List(item) = &field.shape
            && let Shape::Table(fields) = &**item
        {
            let names: Vec<&str> = fields.iter().map(|field| field.name.as_str()).collect();
            remark(&format!("Each can have {}.", names.join(", ")), sheet);
        }
    }

    fn absent(&mut self, path: &str, field: &Field, sheet: &mut Sheet) {
        sheet.gap();
        remark(&field.description, sheet);
        match &field.shape {
            Shape::Table(fields) => {
                // An empty section is nothing, unless the form wants something in it.
                let asleep = fields.iter().any(|field| field.required);
                sheet.line(&format!("{}[{path}]", if asleep { "#" } else { "" }));
                lines(
                    fields
                        .iter()
                        .filter(|field| !part(path, field))
                        .map(|field| (field, None)),
                    sheet,
                );
                for field in fields.iter().filter(|field| part(path, field)) {
                    self.absent(&format!("{path}.{}", field.name), field, sheet);
                }
            }
            Shape::List(item) => {
                sheet.line(&format!("#[[{path}]]"));
                if let Shape::Table(fields) = &**item {
                    lines(fields.iter().map(|field| (field, None)), sheet);
                }
            }
            Shape::Map { value, .. } => {
                sheet.line(&format!("#[{path}]"));
                sheet.line(&format!("#\"…\" = {}", written_example(value)));
            }
            _ => {}
        }
    }

    fn lines(&mut self, all: &[(&Field, Option<String>)], first: bool, sheet: &mut Sheet) {
        if first {
            lines(all.iter().map(|(field, value)| (*field, value.as_deref())), sheet);
        } else {
            Plain.lines(all, first, sheet);
        }
    }
}

/// Fields with their values or examples, and what each means, in one column where that is possible.
fn lines<'a>(fields: impl Iterator<Item = (&'a Field, Option<&'a str>)>, sheet: &mut Sheet) {
    const COLUMN_MAX: usize = 44;
    let lines: Vec<(String, String)> = fields
        .map(|(field, value)| (line(field, value), meaning(field)))
        .collect();
    let widths = lines.iter().map(|(line, _)| line.chars().count());
    let column = widths.filter(|width| *width <= COLUMN_MAX).max().unwrap_or(0);
    for (line, meaning) in lines {
        let width = line.chars().count();
        if line.contains('\n') || width > COLUMN_MAX {
            remark(&meaning, sheet);
            sheet.line(&line);
        } else {
            sheet.line(&format!("{line}{}  # {meaning}", " ".repeat(column - width)));
        }
    }
}

fn line(field: &Field, value: Option<&str>) -> String {
    match value {
        Some(value) => format!("{} = {value}", field.name),
        None => format!("#{} = {}", field.name, example_of(field)),
    }
}

fn meaning(field: &Field) -> String {
    let mut shape = &field.shape;
    while let Shape::List(item) = shape {
        shape = item;
    }
    match shape {
        Shape::Choice(choices) => {
            let texts: Vec<&str> = choices.iter().map(|choice| choice.text.as_str()).collect();
            format!("{} One of: {}.", field.description, texts.join(", "))
        }
        _ => field.description.clone(),
    }
}

/// A remark, broken into lines.
fn remark(text: &str, sheet: &mut Sheet) {
    const WIDTH: usize = 110;
    let mut line = "#".to_owned();
    for word in text.split_whitespace() {
        if line.chars().count() + 1 + word.chars().count() > WIDTH && line.len() > 1 {
            sheet.line(&line);
            "#".clone_into(&mut line);
        }
        line.push(' ');
        line.push_str(word);
    }
    sheet.line(&line);
}
