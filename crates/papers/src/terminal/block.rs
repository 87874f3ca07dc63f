//! Lines of each kind of block but tables and findings, which have files of their own.

use super::line::{Face, Line, Piece, columns};
use super::wrap::{wishes, wrap};
use super::{finding, table};
use crate::document::{
    Blank, BlankLength, Block, Callout, CalloutKind, Definition, Document, Figure, FillIn, List, ListMarks,
    Text, Weight,
};
use crate::legible;
use crate::signs::Sign;
use crate::words::Words;

/// Columns that text hangs in behind a sign or a label.
pub(super) const HANG: usize = 4;

/// All blocks, a blank line before each.
pub(super) fn lines(document: &Document, width: usize) -> Vec<Line> {
    let words = document.language.words();
    let mut n_figures = 0;
    let mut page = Vec::new();
    for (depth, block) in document.outline() {
        page.push(Line::blank());
        page.extend(match block {
            Block::Heading(heading) => heading_lines(depth, &heading.words, width),
            Block::Paragraph(text) => wrap(&pieces(text), width),
            Block::Callout(callout) => callout_lines(callout, words, width),
            Block::Table(table) => table::lines(table, width),
            Block::Definitions(definitions) => definition_lines(definitions, words, width),
            Block::Finding(block) => finding::lines(block, words, width),
            Block::Figure(figure) => {
                n_figures += 1;
                figure_lines(figure, n_figures, words, width)
            }
            Block::FillIn(fill_in) => fill_in_lines(fill_in, width),
            Block::List(list) => list_lines(list, width),
            Block::PageBreak => vec![Line::rule('-', width)],
        });
    }
    page
}

/// Inline text; code keeps its backticks, so that it can be told from the words around it without style.
pub(super) fn pieces(text: &Text) -> Vec<Piece> {
    text.spans()
        .iter()
        .map(|span| {
            let legible = legible::lines(&span.words);
            let shown = if span.weight == Weight::Code {
                format!("`{legible}`")
            } else {
                legible
            };
            Piece::new(span.weight.into(), shown)
        })
        .collect()
}

/// Plain words of one line.
pub(super) fn piece(face: Face, words: &str) -> [Piece; 1] {
    [Piece::new(face, legible::line(words))]
}

/// Lines of `pieces` behind `lead`, the later ones hanging below the first.
pub(super) fn hanging(lead: Line, hang: usize, pieces: &[Piece], width: usize) -> Vec<Line> {
    let mut lead = Some(lead);
    wrap(pieces, width.saturating_sub(hang))
        .into_iter()
        .map(|line| match lead.take() {
            Some(mut first) => {
                first.space(hang.saturating_sub(first.columns()));
                first.append(line);
                first
            }
            None => line.indented(hang),
        })
        .collect()
}

/// Labels in one column, values in another.
pub(super) fn labeled(facts: &[(String, Vec<Piece>)], width: usize) -> Vec<Line> {
    let longest = facts
        .iter()
        .map(|(label, _)| columns(&legible::line(label)))
        .max()
        .unwrap_or(0);
    let label_width = longest.clamp(1, width / 3);
    let value_width = width - label_width - 2;
    let mut lines = Vec::new();
    for (label, value) in facts {
        let mut labels = wrap(&piece(Face::Quiet, label), label_width).into_iter();
        let mut values = wrap(value, value_width).into_iter();
        loop {
            let (label, value) = (labels.next(), values.next());
            if label.is_none() && value.is_none() {
                break;
            }
            let mut line = label.unwrap_or_default();
            line.space(label_width + 2 - line.columns());
            line.append(value.unwrap_or_default());
            lines.push(line);
        }
    }
    lines
}

fn heading_lines(depth: u8, words: &str, width: usize) -> Vec<Line> {
    let mut lines = wrap(&piece(Face::Title, words), width);
    let widest = lines.iter().map(Line::columns).max().unwrap_or(0);
    match depth {
        1 => lines.push(Line::rule('=', widest)),
        2 => lines.push(Line::rule('-', widest)),
        _ => {}
    }
    lines
}

fn callout_lines(callout: &Callout, words: &Words, width: usize) -> Vec<Line> {
    let sign = Sign::from(callout.kind);
    let (face, mut word) = match callout.kind {
        CalloutKind::Caution => (Face::Caution, words.caution.to_uppercase()),
        CalloutKind::Note => (Face::Strong, words.note.to_uppercase()),
        CalloutKind::Verdict(severity) => (
            Face::Severity(severity),
            format!("{} {}", words.verdict, words.severity(severity)).to_uppercase(),
        ),
    };
    let mut first = Vec::new();
    if let Some(title) = &callout.title {
        word.push_str(": ");
        first.push(Piece::new(Face::Strong, legible::line(title)));
    } else if let CalloutKind::Verdict(severity) = callout.kind {
        word.push_str(": ");
        first.push(Piece::plain(words.severity_meaning(severity)));
    }
    first.insert(0, Piece::new(face, word));
    let lead = Line::of([Piece::new(face, sign.letters())]);
    let mut lines = hanging(lead, HANG, &first, width);
    for paragraph in &callout.paragraphs {
        lines.extend(hanging(Line::blank(), HANG, &pieces(paragraph), width));
    }
    lines
}

fn definition_lines(definitions: &[Definition], words: &Words, width: usize) -> Vec<Line> {
    let facts: Vec<(String, Vec<Piece>)> = definitions
        .iter()
        .map(|definition| {
            let mut value = pieces(&definition.value);
            if definition.value.is_blank() {
                value = vec![Piece::new(Face::Quiet, words.none)];
            }
            if let Some(unit) = &definition.unit {
                value.push(Piece::plain(format!(" {}", legible::line(unit))));
            }
            if let Some(origin) = definition.origin {
                value.push(Piece::new(Face::Quiet, format!(" ({})", words.origin(origin))));
            }
            (definition.term.clone(), value)
        })
        .collect();
    labeled(&facts, width)
}

fn figure_lines(figure: &Figure, number: usize, words: &Words, width: usize) -> Vec<Line> {
    let mut lines = wrap(&figure_title(figure, number, words), width);
    let room = width - HANG;
    if figure.lines.is_empty() {
        let alt = [Piece::plain(format!("({})", legible::line(&figure.alt)))];
        lines.extend(wrap(&alt, room).into_iter().map(|line| line.indented(HANG)));
    }
    for drawn in figure.lines.iter().map(|drawn| legible::line(drawn)) {
        if columns(&drawn) <= room {
            // Blanks inside a drawn line hold its parts in place.
            lines.push(Line::of([Piece::plain(drawn)]).indented(HANG));
        } else {
            lines.extend(
                wrap(&[Piece::plain(drawn)], room)
                    .into_iter()
                    .map(|line| line.indented(HANG)),
            );
        }
    }
    lines
}

fn figure_title(figure: &Figure, number: usize, words: &Words) -> Vec<Piece> {
    let name = format!("{} {number}", words.figure);
    match &figure.caption {
        Some(caption) => vec![
            Piece::new(Face::Strong, format!("{name}. ")),
            Piece::plain(legible::line(caption)),
        ],
        None => vec![Piece::new(Face::Strong, name)],
    }
}

fn fill_in_lines(fill_in: &FillIn, width: usize) -> Vec<Line> {
    let mut lines = Vec::new();
    let mut current = Line::blank();
    for blank in &fill_in.blanks {
        let pieces = blank_pieces(blank, width);
        let wanted = wishes(&pieces).0;
        if current.columns() > 0 && current.columns() + 3 + wanted > width {
            lines.push(std::mem::take(&mut current));
        }
        if wanted > width {
            lines.extend(wrap(&pieces, width));
            continue;
        }
        if current.columns() > 0 {
            current.space(3);
        }
        for line in wrap(&pieces, width) {
            current.append(line);
        }
    }
    if current.columns() > 0 {
        lines.push(current);
    }
    lines
}

fn blank_pieces(blank: &Blank, width: usize) -> Vec<Piece> {
    let length = match blank.length {
        BlankLength::Short => 12,
        BlankLength::Long => 34,
    };
    let mut pieces = piece(Face::Plain, &blank.label).to_vec();
    pieces.push(Piece::plain(format!(" {}", "_".repeat(length.min(width)))));
    if let Some(unit) = &blank.unit {
        pieces.push(Piece::plain(format!(" {}", legible::line(unit))));
    }
    pieces
}

fn list_lines(list: &List, width: usize) -> Vec<Line> {
    let number_width = list.items.len().to_string().len();
    let mut lines = Vec::new();
    for (index, item) in list.items.iter().enumerate() {
        let mark = match list.marks {
            ListMarks::Bullets => "-".to_owned(),
            ListMarks::Numbers => format!("{:>number_width$}.", index + 1),
            ListMarks::CheckBoxes => "[ ]".to_owned(),
        };
        let hang = 2 + columns(&mark) + 1;
        let lead = Line::of([Piece::plain(mark)]).indented(2);
        lines.extend(hanging(lead, hang, &pieces(item), width));
    }
    lines
}
