//! Pressure, flow and velocity at each fixture running alone and with others, and the piping schematic.

use super::phrases::fill;
use super::{Part, Sheet};
use crate::document::{Block, Column, RowRole, Table, Text};
use assess::PressureResult;
use quantity::{GaugePressure, PressureDifference, Temperature, Velocity, VolumeFlow};

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
    if !sheet.assessment.pressures.is_empty() {
        part.section(phrases.together);
        part.say(phrases.together_lead);
        part.push(Block::Table(together(sheet)));
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

/// A group of rows for each situation: the heaters, then the fixtures.
fn together(sheet: &Sheet<'_>) -> Table {
    let phrases = &sheet.phrases.pressure;
    let digits = sheet.digits;
    let unknown = || sheet.phrases.unknown.to_owned();
    let mut table = Table::new([
        Column::words(phrases.part).share(3),
        digits.slim_column::<VolumeFlow>(phrases.flow),
        digits.slim_column::<GaugePressure>(phrases.left),
        digits.slim_column::<Temperature>(phrases.temperature),
        Column::words(phrases.remark).share(3),
    ])
    .with_named_rows();
    for situation in &sheet.assessment.pressures {
        table = table.row_as(RowRole::Group, [situation_words(sheet, situation)]);
        let pressure =
            |pressure: Option<GaugePressure>| pressure.map_or_else(unknown, |p| digits.pressure(p).number());
        let temperature =
            |water: Option<Temperature>| water.map_or_else(unknown, |t| digits.temperature(t).number());
        for heater in &situation.heaters {
            let remark = if heater.holds_set_point || heater.outlet.is_none() {
                ""
            } else {
                phrases.cooler
            };
            table = table.row([
                heater.id.clone(),
                digits.flow(heater.flow).number(),
                pressure(heater.inlet_pressure),
                temperature(heater.outlet),
                remark.to_owned(),
            ]);
        }
        for fixture in &situation.fixtures {
            let remark = match fixture.aim_flow {
                None => Text::new(),
                Some(flow) if flow == VolumeFlow::zero() => Text::from(phrases.none_warm),
                Some(flow) => fill(
                    phrases.aim,
                    &[("flow", Text::from(digits.flow(flow).to_string()))],
                ),
            };
            table = table.row([
                Text::from(&*fixture.name),
                Text::from(digits.flow(fixture.flow).number()),
                Text::from(pressure(fixture.pressure)),
                Text::from(temperature(fixture.temperature)),
                remark,
            ]);
        }
    }
    table
}

fn situation_words(sheet: &Sheet<'_>, situation: &PressureResult) -> Text {
    match (&situation.velocity, &situation.fastest_pipe) {
        (Some(velocity), Some(pipe)) => fill(
            sheet.phrases.pressure.situation,
            &[
                ("situation", Text::from(&*situation.name)),
                (
                    "velocity",
                    Text::from(sheet.digits.velocity(*velocity).to_string()),
                ),
                ("pipe", Text::from(&**pipe)),
            ],
        ),
        _ => Text::from(&*situation.name),
    }
}
