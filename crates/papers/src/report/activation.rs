//! Whether each fixture starts the heater in the warmest month, when it draws the least hot water.

use super::{Part, Sheet};
use crate::document::{Block, Column, Table, Text};
use crate::report::phrases::fill;
use assess::{FixtureResult, HeaterResult};
use quantity::VolumeFlow;

pub(super) fn add(sheet: &Sheet<'_>, part: &mut Part) {
    let phrases = &sheet.phrases.activation;
    let digits = sheet.digits;
    let served: Vec<(&FixtureResult, &HeaterResult)> = sheet
        .assessment
        .fixtures
        .iter()
        .filter_map(|fixture| Some((fixture, heater_of(sheet, fixture)?)))
        .collect();
    if sheet.on_demand().any(|heater| heater.activation_flow.is_none()) {
        part.leave_out(&phrases.no_flow);
    }
    if served.iter().all(|(_, heater)| heater.activation_flow.is_none()) {
        return;
    }

    part.section(phrases.heading);
    part.say(phrases.lead);
    let mut table = Table::new([
        Column::words(phrases.fixture).share(3),
        Column::words(phrases.heater).share(1),
        digits.slim_column::<VolumeFlow>(phrases.sees),
        digits.slim_column::<VolumeFlow>(phrases.starts_at),
        digits.slim_column::<VolumeFlow>(phrases.to_spare),
    ])
    .with_named_rows();
    let mut too_little = Vec::new();
    for (fixture, heater) in served {
        let sees = fixture.hot_flow_warmest;
        let unknown = || sheet.phrases.unknown.to_owned();
        let spare = heater.activation_flow.map(|starts_at| sees - starts_at);
        if spare.is_some_and(|spare| spare < VolumeFlow::from_liters_per_minute(0.0)) {
            too_little.push(fixture.name.as_str());
        }
        table = table.row([
            fixture.name.clone(),
            heater.id.clone(),
            digits.small_flow(sees).number(),
            heater
                .activation_flow
                .map_or_else(unknown, |starts_at| digits.small_flow(starts_at).number()),
            spare.map_or_else(unknown, |spare| digits.small_flow(spare).number()),
        ]);
    }
    part.push(Block::Table(table));
    if !too_little.is_empty() {
        part.say(fill(
            phrases.too_little,
            &[("fixtures", Text::new().strong(too_little.join(", ")))],
        ));
    }
}

/// The on-demand heater that serves a fixture; where the piping does not tell, the only one there is.
fn heater_of<'a>(sheet: &'a Sheet<'_>, fixture: &FixtureResult) -> Option<&'a HeaterResult> {
    let mut on_demand = sheet.on_demand();
    if let Some(path) = &fixture.after {
        return on_demand.find(|heater| heater.id == path.heater);
    }
    on_demand.next().filter(|_| on_demand.next().is_none())
}
