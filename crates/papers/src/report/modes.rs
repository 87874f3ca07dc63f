//! Source modes: valve positions, which heaters are energized, and which fixtures each of them feeds.

use super::{Part, Sheet};
use crate::document::{Block, Column, ListMarks, Table, Text};
use crate::report::phrases::fill;
use assess::ModeResult;

pub(super) fn part(sheet: &Sheet<'_>) -> Part {
    let phrases = &sheet.phrases.modes;
    let mut part = Part::new(phrases.heading);
    if sheet.assessment.modes.is_empty() {
        // One heater alone has nothing to change over to.
        if sheet.heaters().count() > 1 {
            part.leave_out(&phrases.none);
        }
        return part;
    }
    for (number, mode) in (1..).zip(&sheet.assessment.modes) {
        part.section(heading(sheet, number, mode));
        if !mode.valves.is_empty() {
            part.push(Block::Table(valves(sheet, mode)));
        }
        part.push(Block::list(ListMarks::Bullets, facts(sheet, mode)));
    }
    part.push(Block::caution(phrases.order));
    part
}

fn heading(sheet: &Sheet<'_>, number: usize, mode: &ModeResult) -> String {
    if mode.name.trim().is_empty() {
        return fill(
            sheet.phrases.modes.unnamed,
            &[("number", number.to_string().into())],
        )
        .to_string();
    }
    mode.name.clone()
}

fn valves(sheet: &Sheet<'_>, mode: &ModeResult) -> Table {
    let phrases = &sheet.phrases.modes;
    let mut table = Table::new([
        Column::words(phrases.valve).share(1),
        Column::words(phrases.position),
        Column::words(phrases.purpose).share(4),
    ])
    .with_named_rows();
    for valve in &mode.valves {
        let position = if valve.open { phrases.open } else { phrases.closed };
        table = table.row([
            Text::from(&*valve.tag),
            Text::new().strong(position),
            Text::from(&*valve.purpose),
        ]);
    }
    table
}

/// Heaters energized, then which fixtures each set of heaters feeds.
fn facts(sheet: &Sheet<'_>, mode: &ModeResult) -> Vec<Text> {
    let phrases = &sheet.phrases.modes;
    let energized = if mode.energized.is_empty() {
        phrases.nothing.to_owned()
    } else {
        mode.energized.join(", ")
    };
    let mut facts = vec![fill(
        phrases.energized,
        &[("heaters", Text::new().strong(energized))],
    )];
    // Fixtures under the heaters that feed them, in the order in which such a set first comes up.
    let mut fed: Vec<(&[String], Vec<&str>)> = Vec::new();
    for feed in &mode.feeds {
        let fixture = sheet.fixture_name(&feed.fixture);
        match fed.iter_mut().find(|(heaters, _)| *heaters == feed.heaters) {
            Some((_, fixtures)) => fixtures.push(fixture),
            None => fed.push((&feed.heaters, vec![fixture])),
        }
    }
    for (heaters, fixtures) in fed {
        let sentence = match heaters.len() {
            0 => phrases.no_hot,
            1 => phrases.feeds,
            _ => phrases.feed,
        };
        facts.push(fill(
            sentence,
            &[
                ("heaters", Text::new().strong(heaters.join(phrases.and))),
                ("fixtures", Text::from(fixtures.join(", "))),
            ],
        ));
    }
    facts
}
