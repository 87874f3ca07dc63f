//! Printer for a browser: one self-contained HTML file that also prints well.
//!
//! In: a [`Document`]. Out: the file. It fetches nothing, runs nothing and says so in its content policy; drawings are
//! images with their data inside, so that a script or a link in an SVG stays dead. Every text is escaped by `maud`, and
//! text that enters the style sheet (the running head in print) is escaped letter by letter. Start at [`print()`]. The
//! look is in `html/sheet.css`: light, dark, paper.

mod block;
mod finding;
mod inline;
mod table;

use crate::document::{Block, Document, Heading};
use crate::legible;
use crate::words::Words;
use inline::line;
use maud::{DOCTYPE, Markup, PreEscaped, html};
use quantity::UnitSystem;

const SHEET: &str = include_str!("html/sheet.css");
/// Nothing may be loaded, run or sent; style is the file's own, images are data inside it.
const POLICY: &str =
    "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'";

/// Prints a document.
pub fn print(document: &Document) -> String {
    let words = document.language.words();
    let name = legible::line(document.name());
    html! {
        (DOCTYPE)
        html lang=(document.language.tag()) {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(POLICY);
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (name) " · " (legible::line(&document.head.job)) }
                style { (PreEscaped(SHEET)) (PreEscaped(page_rule(document, words))) }
            }
            body {
                (title_block(document, words))
                (contents(document, words))
                main { (block::blocks(document)) }
                footer { p dir="auto" { (line(document.caution())) } }
            }
        }
    }
    .into_string()
}

fn title_block(document: &Document, words: &'static Words) -> Markup {
    html! {
        header.title-block {
            h1 dir="auto" { (line(document.name())) }
            @if let Some(subtitle) = &document.subtitle {
                p.subtitle dir="auto" { (line(subtitle)) }
            }
            dl.facts {
                @for fact in document.head.facts(words) {
                    div { dt { (line(&fact.label)) } dd dir="auto" { (inline::lines(&fact.value)) } }
                }
            }
            p.standing dir="auto" { (line(document.caution())) }
        }
    }
}

/// Links to the headings; not on paper, and not where there is little to find.
fn contents(document: &Document, words: &Words) -> Markup {
    let headings: Vec<(u8, &Heading)> = document
        .outline()
        .filter_map(|(depth, block)| match block {
            Block::Heading(heading) => Some((depth, heading)),
            _ => None,
        })
        .collect();
    html! {
        @if headings.len() > 2 {
            nav aria-label=(words.contents) {
                details {
                    summary { (words.contents) }
                    ul {
                        @for (index, (depth, heading)) in headings.iter().enumerate() {
                            li class={ "depth-" (depth) } {
                                a href={ "#h" (index + 1) } { (line(&heading.words)) }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// The sheet and what runs along its edges. Engines that know no page margins leave the edges out.
fn page_rule(document: &Document, words: &Words) -> String {
    let size = match document.units {
        UnitSystem::Us => "letter",
        UnitSystem::Si => "A4",
    };
    let head = &document.head;
    let mut right = String::new();
    if let Some(revision) = &head.revision {
        right = format!("{} {} · ", words.revision, legible::shortened(revision, 24));
    }
    right.push_str(&head.date.to_string());
    let left = format!(
        "{} · {}",
        legible::shortened(document.name(), 40),
        legible::shortened(&head.job, 40)
    );
    let caution = legible::shortened(document.caution(), 200);
    format!(
        "@page{{size:{size};margin:20mm 16mm 24mm;\
         @top-left{{content:{};}}@top-right{{content:{};}}\
         @bottom-left{{content:{};}}\
         @bottom-right{{content:{} counter(page) {} counter(pages);}}}}",
        css_string(&left),
        css_string(&right),
        css_string(&caution),
        css_string(&format!("{} ", words.page)),
        css_string(&format!(" {} ", words.of)),
    )
}

/// A string of a style sheet that nothing can break out of: all but letters and digits by number. Blanks too, for one
/// behind a number would be read as its end.
fn css_string(text: &str) -> String {
    let escaped: String = text
        .chars()
        .map(|character| {
            if character.is_ascii_alphanumeric() {
                character.to_string()
            } else {
                format!("\\{:06x}", u32::from(character))
            }
        })
        .collect();
    format!("\"{escaped}\"")
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeMap;

    #[test]
    fn a_style_string_cannot_be_left() {
        assert_eq!(
            css_string("a\"}b</style>"),
            "\"a\\000022\\00007db\\00003c\\00002fstyle\\00003e\""
        );
        assert_eq!(css_string("é 1"), "\"\\0000e9\\0000201\"");
    }

    /// Relative luminance of a color. Source: WCAG 2.2, definition of relative luminance, status memory.
    fn luminance(color: &str) -> f64 {
        let channel = |at: usize| {
            let value = f64::from(u8::from_str_radix(&color[at..at + 2], 16).unwrap()) / 255.0;
            if value <= 0.040_45 {
                value / 12.92
            } else {
                ((value + 0.055) / 1.055).powf(2.4)
            }
        };
        0.2126 * channel(1) + 0.7152 * channel(3) + 0.0722 * channel(5)
    }

    fn contrast(one: &str, other: &str) -> f64 {
        let (one, other) = (luminance(one), luminance(other));
        (one.max(other) + 0.05) / (one.min(other) + 0.05)
    }

    /// The named colors of one block of the sheet.
    fn colors(block: &str) -> BTreeMap<&str, &str> {
        block
            .split(';')
            .filter_map(|rule| rule.trim().trim_start_matches(":root{").trim().split_once(':'))
            .filter(|(name, value)| name.starts_with("--") && value.trim().starts_with('#'))
            .map(|(name, value)| (name, value.trim()))
            .collect()
    }

    #[test]
    fn words_stand_out_from_their_ground() {
        // 4.5:1 for text. Source: WCAG 2.2, success criterion 1.4.3, status memory.
        assert!((contrast("#000000", "#ffffff") - 21.0).abs() < 1e-9);
        let blocks: Vec<&str> = SHEET.split("/* colors */").skip(1).collect();
        assert_eq!(blocks.len(), 3, "light, dark, paper");
        for block in blocks {
            let colors = colors(block.split('}').next().unwrap());
            assert!(colors.len() >= 10, "{colors:?}");
            for ground in ["--paper", "--tint"] {
                for (name, color) in colors
                    .iter()
                    .filter(|(name, _)| !["--paper", "--tint", "--hair", "--line"].contains(name))
                {
                    let ratio = contrast(color, colors[ground]);
                    assert!(ratio >= 4.5, "{name} on {ground}: {ratio}");
                }
            }
        }
    }
}
