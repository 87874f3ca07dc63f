//! Printer for a terminal: a number of columns, no line wider, nothing that needs color.
//!
//! In: a [`Document`] and a [`Look`]. Out: text ending in a line feed. Styles are escape sequences of `anstyle` and come
//! only when asked for; whether the terminal wants them is for the caller to know. A wide character counts as two
//! columns, as terminals draw it. Start at [`print()`].

mod block;
mod finding;
mod line;
mod table;
mod wrap;

use crate::document::Document;
use crate::legible;
use line::{Face, Line, Piece};
use wrap::wrap;

/// How the text is to be printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Look {
    /// No line is wider. Less than [`Look::COLUMNS_MIN`] is taken as that.
    pub columns: usize,
    /// Whether weights and severities are also shown by style.
    pub styled: bool,
}

impl Look {
    /// The narrowest page that is still laid out.
    pub const COLUMNS_MIN: usize = 24;
}

impl Default for Look {
    /// 80 columns, plain.
    fn default() -> Self {
        Self {
            columns: 80,
            styled: false,
        }
    }
}

/// Prints a document.
pub fn print(document: &Document, look: Look) -> String {
    let columns = look.columns.max(Look::COLUMNS_MIN);
    let mut page = head(document, columns);
    page.extend(block::lines(document, columns));
    page.push(Line::blank());
    page.extend(foot(document, columns));

    let mut text = String::new();
    for line in page {
        line.print(&mut text, look.styled);
        text.push('\n');
    }
    text
}

/// The title block: title, subtitle, facts in two columns of label and value.
fn head(document: &Document, columns: usize) -> Vec<Line> {
    let words = document.language.words();
    let mut lines = vec![Line::rule('=', columns)];
    lines.extend(wrap(
        &[Piece::new(Face::Title, legible::line(document.name()))],
        columns,
    ));
    if let Some(subtitle) = &document.subtitle {
        lines.extend(wrap(&[Piece::plain(legible::line(subtitle))], columns));
    }
    lines.push(Line::rule('-', columns));
    let facts: Vec<(String, Vec<Piece>)> = document
        .head
        .facts(words)
        .into_iter()
        .map(|fact| (fact.label, vec![Piece::plain(legible::lines(&fact.value))]))
        .collect();
    lines.extend(block::labeled(&facts, columns));
    lines.push(Line::rule('=', columns));
    lines
}

/// The caution that a sheet would carry.
fn foot(document: &Document, columns: usize) -> Vec<Line> {
    let mut lines = vec![Line::rule('-', columns)];
    lines.extend(wrap(
        &[Piece::new(Face::Quiet, legible::line(document.caution()))],
        columns,
    ));
    lines
}
