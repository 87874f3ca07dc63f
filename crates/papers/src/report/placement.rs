//! Where new breakers go in each panel, what moves first, and the text of the directory.

use super::{Part, Sheet};
use crate::document::{Block, Column, Level, ListMarks, Table, Text};
use crate::report::phrases::fill;
use assess::{PanelPlacement, PanelResult};
use quantity::Current;

/// Adds a section for each panel that has an answer.
pub(super) fn sections(sheet: &Sheet<'_>, part: &mut Part) {
    let phrases = &sheet.phrases.placement;
    for panel in &sheet.assessment.panels {
        if let Some(placement) = &panel.placement {
            part.section(fill(phrases.heading, &[("panel", Text::from(&*panel.id))]).to_string());
            one(sheet, part, placement);
        } else if let Some(why) = &panel.no_room {
            no_room(sheet, part, panel, why);
        }
    }
}

fn no_room(sheet: &Sheet<'_>, part: &mut Part, panel: &PanelResult, why: &str) {
    let phrases = &sheet.phrases.placement;
    part.say(fill(
        phrases.no_room,
        &[("panel", Text::from(&*panel.id)), ("why", Text::from(why))],
    ));
}

fn one(sheet: &Sheet<'_>, part: &mut Part, placement: &PanelPlacement) {
    let phrases = &sheet.phrases.placement;
    let units = sheet.digits.units();
    let spaces = |all: &[u16]| all.iter().map(u16::to_string).collect::<Vec<_>>().join(", ");
    let moves = placement.moves.iter().map(|one| {
        let text = fill(
            if one.half_size {
                phrases.moves_half
            } else {
                phrases.moves
            },
            &[
                ("label", Text::from(&*one.label)),
                ("from", Text::from(&*spaces(&one.from))),
                ("to", Text::from(&*spaces(&one.to))),
            ],
        );
        if one.changes_leg {
            text.plain(phrases.changes_leg)
        } else {
            text
        }
    });
    let added = placement.added.iter().map(|one| {
        fill(
            phrases.goes,
            &[
                ("circuit", Text::from(&*one.circuit)),
                ("rating", Text::from(&*one.rating.show(units).to_string())),
                ("spaces", Text::from(&*spaces(&one.spaces))),
            ],
        )
    });
    part.push(Block::list(ListMarks::Bullets, moves.chain(added)));
    let legs = |all: &[Current]| {
        all.iter()
            .map(|leg| leg.show(units).to_string())
            .collect::<Vec<_>>()
            .join(", ")
    };
    part.say(fill(
        phrases.legs,
        &[
            ("before", Text::from(&*legs(&placement.legs_before))),
            ("after", Text::from(&*legs(&placement.legs_after))),
        ],
    ));
    part.push(Block::heading(Level::Topic, phrases.directory));
    let mut table = Table::new([
        Column::words(phrases.space).share(1),
        Column::words(phrases.feeds).share(4),
    ])
    .with_named_rows();
    for line in &placement.directory {
        table = table.row([line.spaces.clone(), line.text.clone()]);
    }
    part.push(Block::Table(table));
}
