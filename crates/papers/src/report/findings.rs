//! The findings: first what asks for something, then what lacks a fact, then notes, then what is met.
//!
//! What stops, changes or asks for a judgment stands in full. A real house has many rules that wait for a look on site,
//! and more that are met: these are rows below their subject, unless their working is asked for.

use super::alike::alike;
use super::{Part, ReportDetail, Sheet};
use crate::document::{Block, Column, Detail, FindingBlock, RowRole, Table, Text};
use trace::{Finding, Severity};

pub(super) fn part(sheet: &Sheet<'_>) -> Part {
    let mut part = Part::new(sheet.phrases.findings.heading);
    for severity in Severity::ALL {
        let of_severity: Vec<&Finding> = sheet
            .assessment
            .findings
            .iter()
            .filter(|finding| finding.severity == severity)
            .collect();
        if of_severity.is_empty() {
            continue;
        }
        part.section(heading(sheet, severity, of_severity.len()));
        match (severity, sheet.detail) {
            (Severity::Unknown, ReportDetail::MetAsTable) => {
                part.say(sheet.phrases.findings.unknown_lead);
                part.push(Block::Table(unknown(sheet, &of_severity)));
            }
            (Severity::Met, ReportDetail::MetAsTable) => part.push(Block::Table(met(sheet, &of_severity))),
            _ => {
                let detail = if severity == Severity::Note {
                    Detail::Brief
                } else {
                    Detail::Full
                };
                for finding in of_severity {
                    part.push(Block::Finding(FindingBlock {
                        finding: finding.clone(),
                        detail,
                    }));
                }
            }
        }
    }
    if sheet.assessment.findings.is_empty() {
        part.say(sheet.phrases.findings.none);
    }
    part
}

/// Word, meaning and count: the meaning is said once here and not with each finding.
fn heading(sheet: &Sheet<'_>, severity: Severity, count: usize) -> String {
    let word = sheet.words.severity(severity);
    let mut letters = word.chars();
    let capitalized: String = letters
        .next()
        .into_iter()
        .flat_map(char::to_uppercase)
        .chain(letters)
        .collect();
    format!(
        "{capitalized} ({count}): {}",
        sheet.words.severity_meaning(severity)
    )
}

/// Rules that wait for a fact: what it is and how to find it.
fn unknown(sheet: &Sheet<'_>, findings: &[&Finding]) -> Table {
    let phrases = &sheet.phrases.findings;
    let mut table = Table::new([
        Column::words(phrases.rule).share(4),
        Column::words(phrases.missing).share(4),
        Column::words(phrases.find_out).share(3),
    ]);
    let same = |one: &Finding, other: &Finding| {
        (&one.title, &one.missing, &one.working) == (&other.title, &other.missing, &other.working)
    };
    for (subject, findings) in by_subject(findings, same) {
        table = table.row_as(RowRole::Group, [subject]);
        for finding in findings {
            for row in waiting(finding) {
                table = table.row(row);
            }
        }
    }
    table
}

/// A row for each fact that a rule waits for. What is known already stands with the rule.
fn waiting(finding: &Finding) -> Vec<[Text; 3]> {
    let mut rule = Text::from(&*finding.title);
    if !finding.working.inputs.is_empty() {
        rule = rule.plain("\n").code(&*finding.working.substituted);
    }
    if finding.missing.is_empty() {
        return vec![[rule, Text::with_values(&finding.message), Text::new()]];
    }
    let facts = finding
        .missing
        .iter()
        .map(|fact| [Text::from(&*fact.meaning), Text::with_values(&fact.measure)]);
    let rules = std::iter::once(rule).chain(std::iter::repeat(Text::new()));
    rules
        .zip(facts)
        .map(|(rule, [fact, measure])| [rule, fact, measure])
        .collect()
}

/// Rules whose requirement is met, with what came out.
fn met(sheet: &Sheet<'_>, findings: &[&Finding]) -> Table {
    let phrases = &sheet.phrases.findings;
    let mut table = Table::new([
        Column::words(phrases.rule).share(1),
        Column::words(phrases.result).share(1),
    ])
    .with_named_rows();
    let same = |one: &Finding, other: &Finding| (&one.title, result(one)) == (&other.title, result(other));
    for (subject, findings) in by_subject(findings, same) {
        table = table.row_as(RowRole::Group, [subject]);
        for finding in findings {
            table = table.row([Text::from(&*finding.title), Text::with_values(result(finding))]);
        }
    }
    table
}

/// What came out; the message where the working does not say.
fn result(finding: &Finding) -> &str {
    let result = &finding.working.result;
    if result.trim().is_empty() {
        &finding.message
    } else {
        result
    }
}

/// Findings under the subjects that share them, in the order in which such a set of subjects first comes up.
fn by_subject<'a>(
    findings: &[&'a Finding],
    same: impl Fn(&Finding, &Finding) -> bool,
) -> Vec<(String, Vec<&'a Finding>)> {
    let mut groups: Vec<(String, Vec<&Finding>)> = Vec::new();
    for (subjects, finding) in alike(findings.iter().copied(), |finding| &finding.subject, same) {
        match groups.iter_mut().find(|(group, _)| *group == subjects) {
            Some((_, findings)) => findings.push(finding),
            None => groups.push((subjects, vec![finding])),
        }
    }
    groups
}
