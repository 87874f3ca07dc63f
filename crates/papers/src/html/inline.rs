//! Inline text as markup.

use crate::document::{Text, Weight};
use crate::legible;
use maud::{Markup, html};

/// Words of one line.
pub(super) fn line(words: &str) -> Markup {
    html! { (legible::line(words)) }
}

/// Words whose line feeds break the line.
pub(super) fn lines(words: &str) -> Markup {
    let legible = legible::lines(words);
    html! {
        @for (index, part) in legible.split('\n').enumerate() {
            @if index > 0 { br; }
            (part)
        }
    }
}

/// Spans with their weights.
pub(super) fn text(text: &Text) -> Markup {
    html! {
        @for span in text.spans() {
            @match span.weight {
                Weight::Plain => { (lines(&span.words)) }
                Weight::Emphasis => { em { (lines(&span.words)) } }
                Weight::Strong => { strong { (lines(&span.words)) } }
                Weight::Code => {
                    // A figure and its unit stay on one line.
                    code.short[span.words.chars().count() < 20] { (lines(&span.words)) }
                }
            }
        }
    }
}
