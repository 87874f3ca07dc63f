//! Each fixture running alone in the coldest month.

use super::{Part, Sheet};
use crate::document::{Block, Column, Table};
use quantity::{Power, Ratio, Temperature, VolumeFlow};

pub(super) fn add(sheet: &Sheet<'_>, part: &mut Part) {
    let phrases = &sheet.phrases.fixtures;
    let digits = sheet.digits;
    if sheet.assessment.fixtures.is_empty() {
        part.leave_out(&phrases.none);
        return;
    }
    part.section(phrases.heading);
    let mut table = Table::new([
        Column::words(phrases.fixture).share(3),
        digits.slim_column::<VolumeFlow>(phrases.flow),
        digits.slim_column::<Temperature>(phrases.wanted),
        digits.slim_column::<Ratio>(phrases.hot_share),
        digits.slim_column::<Power>(phrases.takes),
        digits.slim_column::<Temperature>(phrases.gets),
        digits.slim_column::<VolumeFlow>(phrases.sustainable),
    ])
    .with_named_rows();
    for fixture in &sheet.assessment.fixtures {
        table = table.row([
            fixture.name.clone(),
            digits.flow(fixture.flow).number(),
            fixture.use_temperature.show(digits.units()).number(),
            digits.share(fixture.hot_share_coldest).number(),
            digits.power(fixture.power_coldest).number(),
            digits.temperature(fixture.temperature_coldest).number(),
            digits.flow(fixture.sustainable_flow).number(),
        ]);
    }
    part.push(Block::Table(table));
}
