//! Lines of a finding: sign, word and title first, then what to do, then where it comes from and how it was worked out.

use super::block::{HANG, hanging, labeled, pieces};
use super::line::{Face, Line, Piece};
use super::table;
use crate::document::{Detail, FindingBlock, Text};
use crate::legible;
use crate::words::Words;
use crate::working;

pub(super) fn lines(block: &FindingBlock, words: &Words, width: usize) -> Vec<Line> {
    let finding = &block.finding;
    let face = Face::Severity(finding.severity);
    let title = [
        Piece::new(face, words.severity(finding.severity).to_uppercase()),
        Piece::plain(": "),
        Piece::new(Face::Strong, legible::line(&finding.title)),
    ];
    let lead = Line::of([Piece::new(face, finding.severity.sign())]);
    let mut lines = hanging(lead, HANG, &title, width);
    let room = width - HANG;

    let mut body = Vec::new();
    let subject = Text::new().emphasis(&finding.subject);
    body.extend(super::wrap(&pieces(&subject), room));
    body.extend(super::wrap(&pieces(&Text::with_values(&finding.message)), room));
    body.extend(labeled(&facts(block, words), room));
    if let Some(missing) = working::missing(block, words) {
        body.extend(table::lines(&missing, room));
    }
    if block.detail == Detail::Full {
        body.extend(working_lines(block, words, room));
    }
    lines.extend(body.into_iter().map(|line| line.indented(HANG)));
    lines
}

fn facts(block: &FindingBlock, words: &Words) -> Vec<(String, Vec<Piece>)> {
    let finding = &block.finding;
    let mut facts = Vec::new();
    let mut add = |label: &str, text: Text| facts.push((label.to_owned(), pieces(&text)));
    if let Some(remedy) = &finding.remedy {
        add(words.remedy, Text::with_values(remedy));
    }
    if let Some(caution) = &finding.caution {
        add(words.caution, Text::from(caution.as_str()));
    }
    if let Some(why) = finding.why.as_ref().filter(|_| block.detail == Detail::Full) {
        add(words.why, Text::from(why.as_str()));
    }
    add(words.rule, Text::from(finding.rule.as_str()));
    if let Some(edition) = &finding.edition {
        add(words.edition, Text::from(edition.as_str()));
    }
    add(words.source, Text::from(words.source(&finding.source)));
    facts
}

fn working_lines(block: &FindingBlock, words: &Words, width: usize) -> Vec<Line> {
    let mut lines = Vec::new();
    if let Some(inputs) = working::inputs(block, words) {
        lines.extend(table::lines(&inputs, width));
    }
    let steps: Vec<(String, Vec<Piece>)> = working::steps(block, words)
        .into_iter()
        .map(|(label, step)| (label.to_owned(), vec![Piece::plain(legible::lines(&step))]))
        .collect();
    lines.extend(labeled(&steps, width));
    if !lines.is_empty() {
        lines.insert(0, Line::of([Piece::new(Face::Quiet, words.working)]));
    }
    lines
}
