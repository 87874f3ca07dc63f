//! The verdict: worst severity, counts, the answer in sentences, and what to measure first.

use super::Sheet;
use super::alike::alike;
use crate::document::{Block, Callout, CalloutKind, ListMarks, Text};
use trace::Severity;

pub(super) fn blocks(sheet: &Sheet<'_>) -> Vec<Block> {
    let verdict = &sheet.assessment.verdict;
    let phrases = &sheet.phrases.verdict;
    // Without a single finding nothing was checked, and that must not read as if something were met.
    let nothing_checked = sheet.assessment.findings.is_empty();
    let worst = if nothing_checked {
        verdict.worst.min(Severity::Unknown)
    } else {
        verdict.worst
    };
    let title = match worst {
        _ if nothing_checked => Some(phrases.nothing_checked),
        Severity::Note => Some(phrases.only_notes),
        Severity::Met => Some(phrases.all_met),
        Severity::Stop | Severity::Change | Severity::Judge | Severity::Unknown => None,
    };

    let mut paragraphs: Vec<Text> = verdict.lines.iter().map(|line| Text::with_values(line)).collect();
    if !verdict.counts.is_empty() {
        let counts: Vec<String> = verdict
            .counts
            .iter()
            .map(|counted| format!("{} {}", counted.count, sheet.words.severity(counted.severity)))
            .collect();
        paragraphs.push(
            Text::new()
                .strong(phrases.findings)
                .plain(counts.join(", "))
                .plain("."),
        );
    }
    let mut blocks = vec![Block::Callout(Callout {
        kind: CalloutKind::Verdict(worst),
        title: title.map(str::to_owned),
        paragraphs,
    })];
    if !verdict.measure_first.is_empty() {
        blocks.push(Block::paragraph(
            Text::new()
                .strong(phrases.measure_first)
                .plain(phrases.measure_why),
        ));
        // One look may settle the same question for several circuits.
        let once = alike(&verdict.measure_first, |line| line, |one, other| one == other);
        blocks.push(Block::list(
            ListMarks::Numbers,
            once.into_iter().map(|(_, line)| Text::with_values(line)),
        ));
    }
    blocks
}
