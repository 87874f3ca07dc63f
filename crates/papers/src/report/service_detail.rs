//! Beside the load of the service: the heater counted each way, alternatives, conductors, what others feel, the sheet to
//! the utility.

use super::{Part, Sheet};
use crate::document::{Block, Column, ListMarks, Table, Text};
use crate::report::phrases::fill;
use assess::{Disturbance, ServiceDetail, TransformerHeating};
use quantity::{ApparentPower, Current, Temperature};

/// Adds the sections to the part of the service.
pub(super) fn sections(sheet: &Sheet<'_>, part: &mut Part, detail: &ServiceDetail) {
    let phrases = &sheet.phrases.detail;
    if !detail.counted_otherwise.is_empty() {
        part.section(phrases.counted);
        if let Some(profile) = &detail.profile {
            part.say(fill(
                phrases.profile,
                &[
                    ("heater", Text::from(&*profile.heater)),
                    ("heating", Text::from(&*profile.existing_heating)),
                ],
            ));
        }
        part.push(Block::Table(counted(sheet, detail)));
    }
    if let Some(current) = detail.measured_with_credit {
        let current = sheet.digits.current(current).to_string();
        part.say(fill(phrases.credit, &[("current", Text::from(&*current))]));
    }
    if !detail.alternatives.is_empty() {
        part.section(phrases.alternatives);
        part.push(Block::Table(alternatives(sheet, detail)));
        part.say(phrases.alternatives_note);
    }
    let conductors = detail.conductors.iter().map(|one| {
        fill(
            phrases.conductors,
            &[
                (
                    "rating",
                    Text::from(&*one.rating.show(sheet.digits.units()).to_string()),
                ),
                ("copper", Text::from(&*one.copper.to_string())),
                ("aluminum", Text::from(&*one.aluminum.to_string())),
                ("article", Text::from(&*one.article)),
            ],
        )
    });
    if !detail.conductors.is_empty() {
        part.push(Block::list(ListMarks::Bullets, conductors));
    }
    if let Some(felt) = &detail.disturbance {
        disturbance(sheet, part, felt);
    }
    if let Some(heating) = &detail.transformer {
        transformer(sheet, part, heating);
    }
}

fn counted(sheet: &Sheet<'_>, detail: &ServiceDetail) -> Table {
    let phrases = &sheet.phrases.detail;
    let digits = sheet.digits;
    let mut table = Table::new([
        Column::words(phrases.heater_counts).share(4),
        Column::words(phrases.method).share(2),
        digits.slim_column::<Current>(phrases.current),
        digits.slim_column::<Current>(phrases.margin),
    ])
    .with_named_rows();
    for one in &detail.counted_otherwise {
        table = table.row([
            one.heater.clone(),
            one.method.clone(),
            digits.current(one.current).number(),
            digits.current(one.margin).number(),
        ]);
    }
    table
}

fn alternatives(sheet: &Sheet<'_>, detail: &ServiceDetail) -> Table {
    let phrases = &sheet.phrases.detail;
    let digits = sheet.digits;
    let mut table = Table::new([
        Column::words(phrases.instead).share(4),
        Column::words(phrases.loads).share(3),
        digits.slim_column::<Current>(phrases.at_once),
        digits.slim_column::<Current>(phrases.rating),
    ])
    .with_named_rows();
    for one in &detail.alternatives {
        let loads: Vec<String> = one
            .by_method
            .iter()
            .map(|load| {
                let mark = if load.fits { phrases.fits } else { phrases.over };
                format!("{} {} {mark}", load.method, digits.current(load.current))
            })
            .collect();
        let flow = one.flow_coldest.map_or_else(String::new, |flow| {
            format!(" ({} {})", digits.flow(flow), phrases.in_coldest)
        });
        table = table.row([
            format!("{}{flow}", one.what),
            loads.join("; "),
            digits.current(one.coincident).number(),
            one.rating.show(digits.units()).number(),
        ]);
    }
    table
}

fn disturbance(sheet: &Sheet<'_>, part: &mut Part, felt: &Disturbance) {
    let phrases = &sheet.phrases.detail;
    let digits = sheet.digits;
    part.section(phrases.felt);
    let mut table = Table::new([
        Column::words(phrases.switches).share(3),
        Column::words(phrases.neighbors).share(1),
        Column::words(phrases.panel).share(1),
        Column::words(phrases.lamp).share(1),
        Column::figures(phrases.severity).share(1),
    ])
    .with_named_rows();
    for step in &felt.steps {
        table = table.row([
            step.what.clone(),
            digits.fine_share(step.neighbors).to_string(),
            digits.fine_share(step.panel).to_string(),
            digits.fine_share(step.lamp).to_string(),
            step.severity.map_or_else(
                || sheet.phrases.unknown.to_owned(),
                |severity| quantity::number(severity.as_fraction(), 2, 2),
            ),
        ]);
    }
    part.push(Block::Table(table));
    part.say(fill(
        phrases.rate,
        &[
            ("changes", Text::from(&*felt.changes_per_minute.to_string())),
            ("basis", Text::from(&*felt.basis)),
        ],
    ));
    part.push(Block::list(
        ListMarks::Bullets,
        felt.limits.iter().map(|limit| Text::from(&**limit)),
    ));
    part.say(phrases.felt_note);
}

fn transformer(sheet: &Sheet<'_>, part: &mut Part, heating: &TransformerHeating) {
    let phrases = &sheet.phrases.detail;
    let digits = sheet.digits;
    let units = digits.units();
    part.section(phrases.utility);
    part.say(fill(
        phrases.utility_lead,
        &[
            ("rating", Text::from(&*heating.rating.show(units).to_string())),
            ("houses", Text::from(&*heating.houses.to_string())),
            ("base", Text::from(&*heating.base_load.show(units).to_string())),
            ("heater", Text::from(&*digits.power(heating.heater).to_string())),
            (
                "ambient",
                Text::from(&*digits.temperature(heating.ambient).to_string()),
            ),
            ("draw", Text::from(&*super::digits::time(heating.draw))),
        ],
    ));
    let mut table = Table::new([
        Column::figures(phrases.together).share(1),
        digits.slim_column::<ApparentPower>(phrases.load),
        Column::figures(phrases.of_rating).share(1),
        digits.slim_column::<Temperature>(phrases.oil),
        digits.slim_column::<Temperature>(phrases.hot_spot),
        Column::figures(phrases.aging).share(1),
        Column::figures(phrases.sag).share(1),
    ]);
    for case in &heating.cases {
        table = table.row([
            case.heaters.to_string(),
            case.load.show(units).number(),
            digits.share(case.share).to_string(),
            digits.temperature(case.top_oil).number(),
            digits.temperature(case.hot_spot).number(),
            quantity::number(case.aging.as_fraction(), 3, 2),
            digits.fine_share(case.sag).to_string(),
        ]);
    }
    part.push(Block::Table(table));
    part.push(Block::list(
        ListMarks::Bullets,
        heating.basis.iter().map(|basis| Text::from(&**basis)),
    ));
}
