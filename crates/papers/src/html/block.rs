//! Markup of each kind of block but tables and findings, which have files of their own.

use super::inline::{line, text};
use super::{finding, table};
use crate::document::{
    Blank, BlankLength, Block, Callout, CalloutKind, Definition, Document, Figure, FillIn, List, ListMarks,
};
use crate::legible;
use crate::signs::Sign;
use crate::words::Words;
use maud::{Markup, PreEscaped, html};

/// All blocks.
pub(super) fn blocks(document: &Document) -> Markup {
    let words = document.language.words();
    let mut n_headings = 0;
    let mut n_figures = 0;
    html! {
        @for (depth, block) in document.outline() {
            @match block {
                Block::Heading(heading) => {
                    ({ n_headings += 1; heading_markup(depth, n_headings, &heading.words) })
                }
                Block::Paragraph(paragraph) => { p dir="auto" { (text(paragraph)) } }
                Block::Callout(callout) => { (callout_markup(callout, words)) }
                Block::Table(table) => { (table::markup(table)) }
                Block::Definitions(definitions) => { (definitions_markup(definitions, words)) }
                Block::Finding(block) => { (finding::markup(block, depth, words)) }
                Block::Figure(figure) => { ({ n_figures += 1; figure_markup(figure, n_figures, words) }) }
                Block::FillIn(fill_in) => { (fill_in_markup(fill_in)) }
                Block::List(list) => { (list_markup(list)) }
                Block::PageBreak => { hr.sheet; }
            }
        }
    }
}

/// A heading one below that of the outline: the title of the paper is the first.
pub(super) fn heading_at(depth: u8, id: Option<String>, words: &Markup) -> Markup {
    html! {
        @match depth {
            0 | 1 => { h2 id=[id] dir="auto" { (words) } }
            2 => { h3 id=[id] dir="auto" { (words) } }
            3 => { h4 id=[id] dir="auto" { (words) } }
            _ => { h5 id=[id] dir="auto" { (words) } }
        }
    }
}

fn heading_markup(depth: u8, number: usize, words: &str) -> Markup {
    heading_at(depth, Some(format!("h{number}")), &line(words))
}

/// Sign and word; the word says it to those who do not see the sign.
pub(super) fn plate(sign: Sign, word: &str) -> Markup {
    html! {
        span.plate {
            svg.sign viewBox="0 0 24 24" width="24" height="24" aria-hidden="true" {
                (PreEscaped(sign.shape("var(--paper)")))
            }
            span.word { (word) }
        }
    }
}

fn callout_markup(callout: &Callout, words: &Words) -> Markup {
    let sign = Sign::from(callout.kind);
    let (word, meaning) = match callout.kind {
        CalloutKind::Caution => (words.caution.to_owned(), None),
        CalloutKind::Note => (words.note.to_owned(), None),
        CalloutKind::Verdict(severity) => (
            format!("{}: {}", words.verdict, words.severity(severity)),
            Some(words.severity_meaning(severity)),
        ),
    };
    html! {
        div role="note" class={ "callout " (sign.name()) } {
            p.lead {
                (plate(sign, &word))
                @if let Some(title) = &callout.title {
                    " " strong dir="auto" { (line(title)) }
                } @else if let Some(meaning) = meaning {
                    " " (meaning)
                }
            }
            @for paragraph in &callout.paragraphs {
                p dir="auto" { (text(paragraph)) }
            }
        }
    }
}

fn definitions_markup(definitions: &[Definition], words: &Words) -> Markup {
    html! {
        dl.definitions {
            @for definition in definitions {
                div {
                    dt dir="auto" { (line(&definition.term)) }
                    dd dir="auto" {
                        @if definition.value.is_blank() {
                            span.quiet { (words.none) }
                        } @else {
                            (text(&definition.value))
                        }
                        @if let Some(unit) = &definition.unit { " " (line(unit)) }
                        @if let Some(origin) = definition.origin { " " span.origin { (words.origin(origin)) } }
                    }
                }
            }
        }
    }
}

fn figure_markup(figure: &Figure, number: usize, words: &Words) -> Markup {
    html! {
        figure {
            img src=(data_address(&figure.svg)) alt=(legible::line(&figure.alt));
            figcaption dir="auto" {
                strong { (words.figure) " " (number) "." }
                @if let Some(caption) = &figure.caption { " " (line(caption)) }
            }
            @if !figure.lines.is_empty() {
                details.in-words {
                    summary { (words.in_words) }
                    pre { @for drawn in &figure.lines { (line(drawn)) "\n" } }
                }
            }
        }
    }
}

/// An SVG as the address of an image with its data inside.
fn data_address(svg: &str) -> String {
    let mut address = String::from("data:image/svg+xml,");
    for byte in svg.bytes() {
        if byte.is_ascii_alphanumeric() || b"-_.~ =:/".contains(&byte) {
            address.push(char::from(byte));
        } else {
            address.push('%');
            address.extend([byte >> 4, byte & 15].map(hex_digit));
        }
    }
    address
}

fn hex_digit(value: u8) -> char {
    char::from_digit(value.into(), 16)
        .unwrap_or('0')
        .to_ascii_uppercase()
}

fn fill_in_markup(fill_in: &FillIn) -> Markup {
    html! {
        div.fill-in {
            @for blank in &fill_in.blanks { (blank_markup(blank)) }
        }
    }
}

fn blank_markup(blank: &Blank) -> Markup {
    let class = match blank.length {
        BlankLength::Short => "blank short",
        BlankLength::Long => "blank long",
    };
    html! {
        span class=(class) {
            span.label dir="auto" { (line(&blank.label)) }
            span.line aria-hidden="true" {}
            @if let Some(unit) = &blank.unit { span.unit { (line(unit)) } }
        }
    }
}

fn list_markup(list: &List) -> Markup {
    let items = |marked: bool| {
        html! {
            @for item in &list.items {
                li dir="auto" {
                    @if marked { span.box aria-hidden="true" {} }
                    span { (text(item)) }
                }
            }
        }
    };
    html! {
        @match list.marks {
            ListMarks::Bullets => { ul { (items(false)) } }
            ListMarks::Numbers => { ol { (items(false)) } }
            ListMarks::CheckBoxes => { ul.checks { (items(true)) } }
        }
    }
}

/// A label with its text, for lists of facts.
pub(super) fn fact(label: &str, value: &Markup) -> Markup {
    html! { div { dt { (label) } dd dir="auto" { (value) } } }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_drawing_cannot_leave_its_address() {
        let address = data_address("<svg onload=\"x('&')\">é</svg>");
        assert!(
            address.chars().all(|c| c.is_ascii() && !"<>\"'&#".contains(c)),
            "{address}"
        );
        assert!(address.ends_with("%C3%A9%3C/svg%3E"), "{address}");
    }
}
