//! A document as the template reads it: one JSON file, the drawings, the signs.
//!
//! Everything the template prints is worked out here: labels, numbers of figures, rows of blanks. The template only
//! places things.

mod finding;

use super::printable::{FAMILIES, Printer, RUN, RUN_OF_THIRD, Repertoire};
use crate::document::{
    Align, Blank, BlankLength, Block, Callout, CalloutKind, ColumnWidth, Definition, Document, Figure,
    FillIn, List, ListMarks, Row, RowRole, Table, Text, Weight,
};
use crate::legible;
use crate::signs::Sign;
use crate::words::Words;
use quantity::UnitSystem;
use serde_json::{Value, json};

/// Characters that fit beside each other on a sheet in the size of a table.
const TABLE_CHARACTERS: usize = 88;

/// A document as the template reads it.
pub(super) struct PageData {
    /// The text.
    pub(super) json: String,
    /// Drawings by file name, in order.
    pub(super) figures: Vec<(String, String)>,
    /// Signs by file name.
    pub(super) signs: Vec<(String, String)>,
}

impl PageData {
    pub(super) fn of(document: &Document, repertoire: Repertoire) -> Self {
        let words = document.language.words();
        let mut setter = Setter {
            words,
            printer: Printer::new(repertoire),
            figures: Vec::new(),
        };
        let page = setter.page(document);
        let signs = Sign::all()
            .map(|sign| (format!("sign-{}.svg", sign.name()), sign_file(sign)))
            .collect();
        Self {
            json: page.to_string(),
            figures: setter.figures,
            signs,
        }
    }
}

fn sign_file(sign: Sign) -> String {
    let shape = sign.shape("#ffffff").replace("currentColor", "#000000");
    format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 24 24" width="24" height="24">{shape}</svg>"#
    )
}

/// Sets the blocks of one document.
struct Setter {
    words: &'static Words,
    printer: Printer,
    figures: Vec<(String, String)>,
}

impl Setter {
    fn page(&mut self, document: &Document) -> Value {
        let words = self.words;
        let head = &document.head;
        let facts: Vec<Value> = head
            .facts(words)
            .iter()
            .map(|fact| {
                let label = self.printer.line(&fact.label, RUN_OF_THIRD);
                let value = self.printer.lines(&fact.value, RUN_OF_THIRD);
                json!({"label": label, "value": value})
            })
            .collect();
        let blocks: Vec<Value> = document
            .outline()
            .map(|(depth, block)| self.block(depth, block))
            .collect();
        let running = [
            (words.job, Some(head.job.as_str())),
            (words.revision, head.revision.as_deref()),
            (words.edition, head.edition.as_deref()),
        ];
        let running: Vec<Value> = running
            .into_iter()
            .filter_map(|(label, value)| {
                let value = self.line(&legible::shortened(value?, 44));
                Some(json!({"label": label, "value": value}))
            })
            .collect();
        let name = self.line(document.name());
        let caution = self.line(document.caution());
        let running_caution = self.line(&legible::shortened(document.caution(), 240));
        let running_title = self.line(&legible::shortened(document.name(), 60));
        // The file's own name in the archive; a standard limits its length.
        let file_title = self.line(&legible::shortened(document.name(), 400));
        let author = head
            .prepared_by
            .as_deref()
            .map(|author| self.line(&legible::shortened(author, 200)));
        let subtitle = document.subtitle.as_deref().map(|subtitle| self.line(subtitle));
        let unprintable = self
            .printer
            .lacking()
            .map(|list| words.unprintable.replacen("{}", &list, 1));
        json!({
            "typefaces": FAMILIES,
            "language": document.language.tag(),
            "sheet": match document.units { UnitSystem::Us => "us-letter", UnitSystem::Si => "a4" },
            "tight": document.tight,
            "date": {"year": head.date.year(), "month": head.date.month(), "day": head.date.day(), "words": head.date.to_string()},
            "author": author,
            "name": name,
            "file_title": file_title,
            "subtitle": subtitle,
            "facts": facts,
            "caution": caution,
            "running": {"title": running_title, "facts": running, "caution": running_caution},
            "page": words.page,
            "of": words.of,
            "figure": words.figure,
            "unprintable": unprintable,
            "blocks": blocks,
        })
    }

    fn line(&mut self, words: &str) -> String {
        self.printer.line(words, RUN)
    }

    fn lines(&mut self, words: &str) -> String {
        self.printer.lines(words, RUN)
    }

    fn text(&mut self, text: &Text) -> Value {
        self.text_in(text, RUN)
    }

    fn text_in(&mut self, text: &Text, run: usize) -> Value {
        text.spans()
            .iter()
            .map(|span| {
                let weight = match span.weight {
                    Weight::Plain => "plain",
                    Weight::Emphasis => "emphasis",
                    Weight::Strong => "strong",
                    Weight::Code => "code",
                };
                json!({"weight": weight, "words": self.printer.lines(&span.words, run)})
            })
            .collect()
    }

    fn block(&mut self, depth: u8, block: &Block) -> Value {
        match block {
            Block::Heading(heading) => {
                json!({"kind": "heading", "depth": depth, "words": self.line(&heading.words)})
            }
            Block::Paragraph(text) => json!({"kind": "paragraph", "text": self.text(text)}),
            Block::Callout(callout) => self.callout(callout),
            Block::Table(table) => self.table(table),
            Block::Definitions(definitions) => {
                let items: Vec<Value> = definitions
                    .iter()
                    .map(|definition| self.definition(definition))
                    .collect();
                json!({"kind": "definitions", "items": items})
            }
            Block::Finding(block) => self.finding(block),
            Block::Figure(figure) => self.figure(figure),
            Block::FillIn(fill_in) => self.fill_in(fill_in),
            Block::List(list) => self.list(list),
            Block::PageBreak => json!({"kind": "page-break"}),
        }
    }

    fn callout(&mut self, callout: &Callout) -> Value {
        let words = self.words;
        let (word, meaning) = match callout.kind {
            CalloutKind::Caution => (words.caution.to_owned(), None),
            CalloutKind::Note => (words.note.to_owned(), None),
            CalloutKind::Verdict(severity) => (
                format!("{}: {}", words.verdict, words.severity(severity)),
                Some(words.severity_meaning(severity)),
            ),
        };
        let title = callout.title.as_deref().map(|title| self.line(title));
        let paragraphs: Vec<Value> = callout.paragraphs.iter().map(|text| self.text(text)).collect();
        json!({
            "kind": "callout",
            "sign": Sign::from(callout.kind).name(),
            "word": word.to_uppercase(),
            "meaning": meaning.filter(|_| title.is_none()),
            "title": title,
            "paragraphs": paragraphs,
        })
    }

    fn table(&mut self, table: &Table) -> Value {
        let run = (TABLE_CHARACTERS / table.columns().len()).clamp(3, RUN);
        // A head that fills a sheet would leave no room for rows on any sheet.
        let head_repeats = table
            .columns()
            .iter()
            .all(|column| column.head.chars().count() < 6 * run);
        let columns: Vec<Value> = table
            .columns()
            .iter()
            .map(|column| {
                let align = match column.align {
                    Align::Left => "left",
                    Align::Right => "right",
                    Align::Center => "center",
                };
                let share = match column.width {
                    ColumnWidth::Fit => 0,
                    ColumnWidth::Share(parts) => parts,
                };
                json!({"head": self.printer.line(&column.head, run), "align": align, "share": share})
            })
            .collect();
        let roles_after = table
            .rows()
            .iter()
            .skip(1)
            .map(|row| Some(row.role))
            .chain([None]);
        let rows: Vec<Value> = table
            .rows()
            .iter()
            .zip(roles_after)
            .map(|(row, after)| self.row(row, after, run))
            .collect();
        json!({
            "kind": "table",
            "caption": table.caption.as_deref().map(|caption| self.line(caption)),
            "named": table.named_rows,
            "headed": table.is_headed(),
            "head_repeats": head_repeats,
            "columns": columns,
            "rows": rows,
        })
    }

    fn row(&mut self, row: &Row, after: Option<RowRole>, run: usize) -> Value {
        let role = match row.role {
            RowRole::Group => {
                let name = row.across();
                // The typesetter stops at two repeating names in a row, and a long name would leave no room for rows.
                let repeats = after.is_some_and(|after| after != RowRole::Group)
                    && name.to_string().chars().count() < TABLE_CHARACTERS;
                return json!({"role": "group", "text": self.text(&name), "repeats": repeats});
            }
            RowRole::Strong => "strong",
            RowRole::Total => "total",
            RowRole::Plain => "plain",
        };
        let cells: Vec<Value> = row.cells().iter().map(|cell| self.text_in(cell, run)).collect();
        json!({"role": role, "cells": cells})
    }

    fn definition(&mut self, definition: &Definition) -> Value {
        let value = if definition.value.is_blank() {
            json!(null)
        } else {
            self.text(&definition.value)
        };
        json!({
            "term": self.printer.line(&definition.term, RUN_OF_THIRD),
            "value": value,
            "none": self.words.none,
            "unit": definition.unit.as_deref().map(|unit| self.line(unit)),
            "origin": definition.origin.map(|origin| self.words.origin(origin)),
        })
    }

    fn figure(&mut self, figure: &Figure) -> Value {
        let file = format!("figure-{}.svg", self.figures.len() + 1);
        let drawing = self.printer.drawing(&figure.svg);
        self.figures.push((file.clone(), drawing));
        let alt = self.line(&figure.alt);
        let caption = figure.caption.as_deref().map(|caption| self.line(caption));
        json!({
            "kind": "figure",
            "file": file,
            "alt": if legible::is_blank(&alt) { self.words.figure.to_owned() } else { alt },
            "caption": caption.filter(|caption| !legible::is_blank(caption)),
        })
    }

    /// Blanks in rows of six parts; the last of a row takes what is left.
    fn fill_in(&mut self, fill_in: &FillIn) -> Value {
        const PARTS: usize = 6;
        let mut rows: Vec<Vec<(usize, Value)>> = Vec::new();
        let mut used = PARTS;
        for blank in &fill_in.blanks {
            let parts = blank_parts(blank);
            if used + parts > PARTS {
                rows.push(Vec::new());
                used = 0;
            }
            used += parts;
            let set = json!({
                "label": self.printer.line(&blank.label, RUN_OF_THIRD),
                "unit": blank.unit.as_deref().map(|unit| self.printer.line(unit, RUN_OF_THIRD)),
            });
            if let Some(row) = rows.last_mut() {
                row.push((parts, set));
            }
        }
        let rows: Vec<Value> = rows
            .into_iter()
            .map(|row| {
                row.into_iter()
                    .map(|(parts, blank)| json!({"parts": parts, "blank": blank}))
                    .collect()
            })
            .collect();
        json!({"kind": "fill-in", "rows": rows})
    }

    fn list(&mut self, list: &List) -> Value {
        let marks = match list.marks {
            ListMarks::Bullets => "bullets",
            ListMarks::Numbers => "numbers",
            ListMarks::CheckBoxes => "check-boxes",
        };
        let items: Vec<Value> = list.items.iter().map(|item| self.text(item)).collect();
        let n_characters: usize = list.items.iter().map(|item| item.to_string().len()).sum();
        let long = n_characters > 700 || list.items.len() > 6;
        json!({"kind": "list", "marks": marks, "items": items, "long": long})
    }
}

/// How many sixths of a line a blank with its label takes.
fn blank_parts(blank: &Blank) -> usize {
    let n_label = blank.label.chars().count();
    match blank.length {
        BlankLength::Short if n_label <= 12 => 2,
        BlankLength::Short if n_label <= 40 => 3,
        BlankLength::Long if n_label <= 20 => 4,
        BlankLength::Short | BlankLength::Long => 6,
    }
}
