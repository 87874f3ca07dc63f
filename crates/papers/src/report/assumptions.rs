//! What was assumed: the value taken, why, how much it can move, and how to find the real one.

use super::alike::alike;
use super::{Part, Sheet};
use crate::document::{Block, Column, RowRole, Table, Text};
use trace::{Assumption, Influence};

pub(super) fn part(sheet: &Sheet<'_>) -> Part {
    let phrases = &sheet.phrases.assumptions;
    let mut part = Part::new(phrases.heading);
    if sheet.assessment.assumptions.is_empty() {
        part.say(phrases.none);
        return part;
    }
    part.say(phrases.lead);
    let mut table = Table::new([
        Column::words(phrases.assumed).share(3),
        Column::words(phrases.why).share(3),
        Column::words(phrases.find_out).share(3),
    ])
    .with_named_rows();
    let runs = sheet
        .assessment
        .assumptions
        .chunk_by(|one, next| one.influence == next.influence);
    for run in runs {
        let [first, ..] = run else { continue };
        let influence = match first.influence {
            Influence::High => phrases.high,
            Influence::Medium => phrases.medium,
            Influence::Low => phrases.low,
        };
        table = table.row_as(RowRole::Group, [influence]);
        let same = |one: &Assumption, other: &Assumption| {
            (&one.subject, &one.value, &one.reason) == (&other.subject, &other.value, &other.reason)
                && (&one.measure, &one.source) == (&other.measure, &other.source)
        };
        for (fields, assumption) in alike(run, |assumption| &assumption.field.0, same) {
            table = table.row(cells(sheet, assumption, fields));
        }
    }
    part.push(Block::Table(table));
    part
}

fn cells(sheet: &Sheet<'_>, assumption: &Assumption, fields: String) -> [Text; 3] {
    let taken = Text::from(&*assumption.subject)
        .plain(": ")
        .strong(&*assumption.value);
    let why = Text::with_values(&assumption.reason)
        .plain("\n")
        .emphasis(sheet.words.source(&assumption.source));
    let find_out = Text::with_values(&assumption.measure).plain("\n").code(fields);
    [taken, why, find_out]
}
