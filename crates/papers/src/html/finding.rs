//! Markup of a finding: sign, word and title, what to do, where it comes from, and the working to unfold.

use super::block::{fact, heading_at, plate};
use super::inline::{line, lines, text};
use super::table;
use crate::document::{Detail, FindingBlock, Text};
use crate::signs::Sign;
use crate::words::Words;
use crate::working;
use maud::{Markup, html};
use trace::Severity;

pub(super) fn markup(block: &FindingBlock, depth: u8, words: &Words) -> Markup {
    let finding = &block.finding;
    let sign = Sign::Severity(finding.severity);
    let full = block.detail == Detail::Full;
    // What asks something of people lies open; the rest can be unfolded. On paper everything is open.
    let open = finding.severity < Severity::Note;
    html! {
        article class={ "finding " (sign.name()) } {
            p.lead { (plate(sign, words.severity(finding.severity))) }
            (heading_at(depth + 1, None, &line(&finding.title)))
            p.subject dir="auto" { (line(&finding.subject)) }
            p.message dir="auto" { (text(&Text::with_values(&finding.message))) }
            @if let Some(caution) = &finding.caution {
                p.caution dir="auto" { (plate(Sign::Caution, words.caution)) " " (lines(caution)) }
            }
            @if finding.remedy.is_some() || (full && finding.why.is_some()) { dl.facts {
                @if let Some(remedy) = &finding.remedy {
                    (fact(words.remedy, &text(&Text::with_values(remedy))))
                }
                @if let Some(why) = finding.why.as_ref().filter(|_| full) {
                    (fact(words.why, &lines(why)))
                }
            } }
            @if let Some(missing) = working::missing(block, words) { (table::markup(&missing)) }
            @if full { (working_markup(block, open, words)) }
            p.origin-line dir="auto" {
                (words.rule) " " code { (line(&finding.rule)) }
                @if let Some(edition) = &finding.edition { " · " (words.edition) " " (line(edition)) }
                " · " (words.source) " " (line(&words.source(&finding.source)))
            }
        }
    }
}

fn working_markup(block: &FindingBlock, open: bool, words: &Words) -> Markup {
    let inputs = working::inputs(block, words);
    let steps = working::steps(block, words);
    html! {
        @if inputs.is_some() || !steps.is_empty() {
            details.working open[open] {
                summary { (words.working) }
                @if let Some(inputs) = &inputs { (table::markup(inputs)) }
                @if !steps.is_empty() {
                    dl.facts.steps {
                        @for (label, step) in steps { (fact(label, &lines(&step))) }
                    }
                }
            }
        }
    }
}
