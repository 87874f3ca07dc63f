//! Pressure, flow and velocity at each fixture running alone, and the piping schematic.

use super::{Part, Sheet};
use crate::document::{Block, Column, Table};
use quantity::{GaugePressure, PressureDifference, Velocity, VolumeFlow};

pub(super) fn part(sheet: &Sheet<'_>) -> Part {
    let phrases = &sheet.phrases.pressure;
    let mut part = Part::new(phrases.heading);
    let mut fixtures = sheet.assessment.fixtures.iter();
    if fixtures.any(|fixture| fixture.pressure.is_some() || fixture.velocity.is_some()) {
        part.say(phrases.lead);
        part.push(Block::Table(table(sheet)));
    } else {
        part.leave_out(&phrases.none);
    }
    part.draw(sheet.drawings.piping.as_ref());
    part
}

fn table(sheet: &Sheet<'_>) -> Table {
    let phrases = &sheet.phrases.pressure;
    let digits = sheet.digits;
    let mut table = Table::new([
        Column::words(phrases.fixture).share(3),
        digits.slim_column::<VolumeFlow>(phrases.rated_flow),
        digits.slim_column::<VolumeFlow>(phrases.flow),
        digits.slim_column::<PressureDifference>(phrases.lost),
        digits.slim_column::<GaugePressure>(phrases.left),
        digits.slim_column::<Velocity>(phrases.velocity),
        Column::words(phrases.fastest).share(1),
    ])
    .with_named_rows();
    let unknown = || sheet.phrases.unknown.to_owned();
    for fixture in &sheet.assessment.fixtures {
        table = table.row([
            fixture.name.clone(),
            digits.flow(fixture.rated_flow).number(),
            digits.flow(fixture.flow).number(),
            fixture
                .pressure_loss
                .map_or_else(unknown, |loss| digits.pressure_loss(loss).number()),
            fixture
                .pressure
                .map_or_else(unknown, |pressure| digits.pressure(pressure).number()),
            fixture
                .velocity
                .map_or_else(unknown, |velocity| digits.velocity(velocity).number()),
            fixture.fastest_pipe.clone().unwrap_or_else(unknown),
        ]);
    }
    table
}
