//! Panels: spaces there, free, needed and freed, and pairs of free spaces side by side.

use super::{Part, Sheet};
use crate::document::{Block, Column, Table};
use assess::PanelResult;
use quantity::Current;

pub(super) fn part(sheet: &Sheet<'_>) -> Part {
    let phrases = &sheet.phrases.panels;
    let mut part = Part::new(phrases.heading);
    let panels = &sheet.assessment.panels;
    if panels.is_empty() {
        part.leave_out(&phrases.none);
        return part;
    }
    part.push(Block::Table(table(sheet)));
    part.say(phrases.explain);
    super::placement::sections(sheet, &mut part);
    let unlisted = |panel: &PanelResult| panel.needed_spaces > 0 && panel.free_pairs.is_none();
    if panels.iter().any(|panel| panel.free_spaces.is_none()) {
        part.leave_out(&phrases.no_spaces);
    } else if panels.iter().any(unlisted) {
        part.leave_out(&phrases.no_pairs);
    }
    part
}

fn table(sheet: &Sheet<'_>) -> Table {
    let phrases = &sheet.phrases.panels;
    let digits = sheet.digits;
    let mut table = Table::new([
        Column::words(phrases.panel).share(2),
        Column::words(phrases.fed_from).share(1),
        digits.slim_column::<Current>(phrases.rating),
        Column::figures(phrases.spaces).share(1),
        Column::figures(phrases.free).share(1),
        Column::figures(phrases.pairs).share(1),
        Column::figures(phrases.freed).share(1),
        Column::figures(phrases.needed).share(1),
        Column::figures(phrases.left).share(1),
    ])
    .with_named_rows();
    let unknown = || sheet.phrases.unknown.to_owned();
    let count = |count: Option<u16>| count.map_or_else(unknown, |count| count.to_string());
    for panel in &sheet.assessment.panels {
        table = table.row([
            panel.id.clone(),
            panel
                .fed_from
                .clone()
                .unwrap_or_else(|| phrases.service.to_owned()),
            panel
                .rating
                .map_or_else(unknown, |rating| rating.show(digits.units()).number()),
            count(panel.spaces),
            count(panel.free_spaces),
            count(panel.free_pairs),
            panel.freed_spaces.to_string(),
            panel.needed_spaces.to_string(),
            left(panel).map_or_else(unknown, |left| left.to_string()),
        ]);
    }
    table
}

/// Spaces left when the work is done; below nought when they do not suffice.
fn left(panel: &PanelResult) -> Option<i32> {
    let free = i32::from(panel.free_spaces?) + i32::from(panel.freed_spaces);
    Some(free - i32::from(panel.needed_spaces))
}
