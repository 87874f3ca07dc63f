//! Fixtures that run together: whether the heater holds, what people get when it does not, and in which months it does.

use super::{Part, Sheet, months};
use crate::document::{Block, Column, Table, Text};
use crate::report::phrases::fill;
use assess::{SituationHeat, SituationResult};
use quantity::{Power, Ratio, Temperature, VolumeFlow};

pub(super) fn add(sheet: &Sheet<'_>, part: &mut Part) {
    let phrases = &sheet.phrases.situations;
    let digits = sheet.digits;
    if sheet.assessment.situations.is_empty() {
        part.leave_out(&phrases.none);
        return;
    }
    part.section(phrases.heading);
    part.say(phrases.lead);
    let mut table = Table::new([
        Column::words(phrases.together).share(4),
        digits.slim_column::<VolumeFlow>(phrases.flow),
        digits.slim_column::<Power>(phrases.needs),
        digits.slim_column::<Power>(phrases.has),
        Column::words(phrases.holds),
        digits.slim_column::<Temperature>(phrases.people_get),
        digits.slim_column::<Ratio>(phrases.flow_share),
        Column::words(phrases.months),
    ])
    .with_named_rows();
    for situation in &sheet.assessment.situations {
        let coldest = &situation.coldest;
        table = table.row([
            name(sheet, situation),
            digits.flow(situation.flow).number().into(),
            digits.power(coldest.power_needed).number().into(),
            digits.power(coldest.power_available).number().into(),
            holds(sheet, coldest),
            people_get(sheet, situation).into(),
            digits.share(coldest.flow_share).number().into(),
            when(sheet, situation).into(),
        ]);
    }
    part.push(Block::Table(table));
    part.say(phrases.explain);
}

/// What the situation is called; below it the fixtures, the heater and the temperature wanted.
fn name(sheet: &Sheet<'_>, situation: &SituationResult) -> Text {
    let wanted = situation.use_temperature.show(sheet.digits.units()).to_string();
    let more = fill(
        sheet.phrases.situations.who,
        &[
            ("fixtures", Text::from(situation.fixtures.join(", "))),
            ("heater", Text::from(&*situation.heater)),
            ("wanted", Text::from(wanted)),
        ],
    );
    Text::new().strong(&*situation.name).plain("\n").append(&more)
}

/// What is wanted where it holds, what comes where it does not.
fn people_get(sheet: &Sheet<'_>, situation: &SituationResult) -> String {
    if situation.coldest.holds {
        situation.use_temperature.show(sheet.digits.units()).number()
    } else {
        sheet.digits.temperature(situation.coldest.temperature).number()
    }
}

fn holds(sheet: &Sheet<'_>, heat: &SituationHeat) -> Text {
    let phrases = &sheet.phrases;
    if heat.holds {
        phrases.yes.into()
    } else {
        Text::new().strong(phrases.no)
    }
}

/// The months in which it holds; the warmest alone where months are not known.
fn when(sheet: &Sheet<'_>, situation: &SituationResult) -> String {
    let phrases = sheet.phrases;
    if !sheet.assessment.mains.months.is_empty() {
        return months::runs(phrases, &situation.holds_in_months);
    }
    let known = match (situation.coldest.holds, situation.warmest.holds) {
        (true, true) => phrases.all_year,
        (false, true) => phrases.situations.in_warmest,
        _ => phrases.no_month,
    };
    known.to_owned()
}
