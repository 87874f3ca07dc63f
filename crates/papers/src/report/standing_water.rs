//! Water that stood: cold slugs after a short pause, dead legs, and the waits with the unit at other places.

use super::{Part, Sheet, digits};
use crate::document::{Block, Column, ListMarks, Table, Text};
use crate::report::phrases::fill;
use assess::{Placement, PlacementResult};
use quantity::{Length, Temperature, Time, Volume};

pub(super) fn add(sheet: &Sheet<'_>, part: &mut Part) {
    if let Some(table) = slugs(sheet) {
        part.push(Block::Table(table));
    }
    if let Some(table) = placements(sheet) {
        part.push(Block::Table(table));
    }
    beside(sheet, part);
    dead_legs(sheet, part);
}

/// What a second draw gets after a short pause.
fn slugs(sheet: &Sheet<'_>) -> Option<Table> {
    let phrases = &sheet.phrases.standing_water;
    let digits = sheet.digits;
    let with_slug: Vec<_> = sheet
        .assessment
        .fixtures
        .iter()
        .filter_map(|fixture| Some((fixture, fixture.after.as_ref()?.slug.as_ref()?)))
        .collect();
    let (_, first) = with_slug.first()?;
    let caption = fill(phrases.slugs, &[("pause", Text::from(digits::time(first.pause)))]);
    let mut table = Table::new([
        Column::words(phrases.fixture).share(3),
        Column::figures(phrases.begins).share(1),
        Column::figures(phrases.lasts).share(1),
        digits.slim_column::<Volume>(phrases.volume),
        digits.slim_column::<Temperature>(phrases.coldest),
    ])
    .captioned(caption.to_string())
    .with_named_rows();
    for (fixture, slug) in with_slug {
        table = table.row([
            fixture.name.clone(),
            digits::time(slug.begins),
            digits::time(slug.lasts),
            digits.volume(slug.volume).number(),
            digits.temperature(slug.coldest).number(),
        ]);
    }
    Some(table)
}

/// Waits with the unit as planned and where the heater of today stands.
fn placements(sheet: &Sheet<'_>) -> Option<Table> {
    let phrases = &sheet.phrases.standing_water;
    let at = |place| find(sheet, place);
    let (planned, there) = (at(Placement::AsPlanned)?, at(Placement::AtTodaysHeater)?);
    let heater = there.instead_of.clone().unwrap_or_default();
    let mut table = Table::new([
        Column::words(phrases.fixture).share(3),
        Column::figures(phrases.as_planned).share(1),
        Column::figures(phrases.at_todays_heater).share(1),
    ])
    .captioned(fill(phrases.places, &[("heater", Text::from(heater))]).to_string())
    .with_named_rows();
    let wait = |placement: &PlacementResult, fixture: &str| -> Option<Time> {
        let found = placement.waits.iter().find(|wait| wait.fixture == fixture)?;
        Some(found.wait)
    };
    let unknown = || sheet.phrases.unknown.to_owned();
    for fixture in &sheet.assessment.fixtures {
        let (here, other) = (wait(planned, &fixture.name), wait(there, &fixture.name));
        if here.is_some() || other.is_some() {
            table = table.row([
                fixture.name.clone(),
                here.map_or_else(unknown, digits::time),
                other.map_or_else(unknown, digits::time),
            ]);
        }
    }
    Some(table)
}

fn find<'s>(sheet: &'s Sheet<'_>, place: Placement) -> Option<&'s PlacementResult> {
    sheet
        .assessment
        .placements
        .iter()
        .find(|placement| placement.place == place)
}

/// The unit right at one fixture.
fn beside(sheet: &Sheet<'_>, part: &mut Part) {
    let alone = find(sheet, Placement::AtTheFixture).and_then(|placement| placement.waits.first());
    if let Some(wait) = alone {
        part.say(fill(
            sheet.phrases.standing_water.beside,
            &[
                ("fixture", Text::new().strong(wait.fixture.clone())),
                ("wait", Text::from(digits::time(wait.wait))),
            ],
        ));
    }
}

fn dead_legs(sheet: &Sheet<'_>, part: &mut Part) {
    let legs = &sheet.assessment.dead_legs;
    if legs.is_empty() {
        return;
    }
    let phrases = &sheet.phrases.standing_water;
    let digits = sheet.digits;
    part.say(phrases.dead_legs);
    part.push(Block::list(
        ListMarks::Bullets,
        legs.iter().map(|leg| {
            let sentence = if leg.hangs_at.is_empty() {
                phrases.cut_off
            } else {
                phrases.dead_leg
            };
            let length: Length = leg.length;
            fill(
                sentence,
                &[
                    ("pipes", Text::new().strong(leg.pipes.join(" "))),
                    ("at", Text::from(leg.hangs_at.join(", "))),
                    ("length", Text::from(digits.length(length).to_string())),
                    ("volume", Text::from(digits.volume(leg.volume).to_string())),
                ],
            )
        }),
    ));
}
