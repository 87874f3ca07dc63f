//! The service against its load: each method line by line, then all of them side by side.

use super::{Part, Sheet, digits};
use crate::document::{Block, Column, Definition, Level, RowRole, Table, Text};
use crate::report::phrases::fill;
use assess::{LoadResult, ServiceResult};
use job::SupplySystem;
use quantity::{ApparentPower, Current};

pub(super) fn part(sheet: &Sheet<'_>) -> Part {
    let phrases = &sheet.phrases.service;
    let mut part = Part::new(phrases.heading);
    let Some(service) = &sheet.assessment.service else {
        part.leave_out(&phrases.none);
        return part;
    };
    part.push(Block::Definitions(facts(sheet, service)));
    if service.methods.is_empty() {
        part.leave_out(&phrases.no_method);
    } else {
        part.section(phrases.methods);
        for method in &service.methods {
            part.push(Block::heading(Level::Topic, name(sheet, method).to_string()));
            lines(sheet, service, method, &mut part);
        }
    }
    part.section(phrases.compared);
    part.push(Block::Table(comparison(sheet, service)));
    part.say(phrases.who_decides);
    part.section(phrases.coincident);
    part.say(phrases.coincident_lead);
    lines(sheet, service, &service.coincident, &mut part);
    super::service_detail::sections(sheet, &mut part, &service.detail);
    for (known, gap) in [
        (service.voltage_step.is_some(), &phrases.no_step),
        (service.fault_current.is_some(), &phrases.no_fault),
    ] {
        if !known {
            part.leave_out(gap);
        }
    }
    part
}

fn facts(sheet: &Sheet<'_>, service: &ServiceResult) -> Vec<Definition> {
    let phrases = &sheet.phrases.service;
    let units = sheet.digits.units();
    let system = match service.system {
        SupplySystem::SplitPhase120_240 => phrases.split_phase,
        SupplySystem::TwoLegs120_208 => phrases.two_legs,
        SupplySystem::Single230 => phrases.single_230,
        SupplySystem::ThreePhase230_400 => phrases.three_phase,
    };
    let mut facts = vec![
        Definition::new(phrases.system, system),
        Definition::new(phrases.rating, service.rating.show(units).to_string()),
    ];
    if let Some(step) = service.voltage_step {
        facts.push(Definition::new(
            phrases.voltage_step,
            fill(
                phrases.voltage_step_is,
                &[("share", step.show(units).to_string().into())],
            ),
        ));
    }
    if let Some(current) = service.fault_current {
        facts.push(Definition::new(
            phrases.fault_current,
            fill(
                phrases.fault_current_is,
                &[("current", digits::fault(current).into())],
            ),
        ));
    }
    facts
}

/// The method with its article.
fn name(sheet: &Sheet<'_>, load: &LoadResult) -> Text {
    if load.article.trim().is_empty() {
        return Text::from(&*load.method);
    }
    fill(
        sheet.phrases.service.method_name,
        &[
            ("method", Text::from(&*load.method)),
            ("article", Text::from(&*load.article)),
        ],
    )
}

/// The lines of one calculation, their sum, and what it makes in amperes.
fn lines(sheet: &Sheet<'_>, service: &ServiceResult, load: &LoadResult, part: &mut Part) {
    let phrases = &sheet.phrases.service;
    let digits = sheet.digits;
    let units = digits.units();
    let mut table = Table::new([
        Column::words(phrases.counts).share(3),
        digits.column::<ApparentPower>(phrases.connected),
        Column::words(phrases.factor).share(2),
        digits.column::<ApparentPower>(phrases.counted),
    ])
    .with_named_rows();
    for line in &load.lines {
        table = table.row([
            line.label.clone(),
            line.connected.show(units).number(),
            line.factor.clone(),
            // An item that a subtotal counts has no figure of its own here, or the column would not add up.
            line.counted.map_or_else(
                || phrases.in_subtotal.to_owned(),
                |counted| counted.show(units).number(),
            ),
        ]);
    }
    table = table.row_as(
        RowRole::Total,
        [
            phrases.total.to_owned(),
            String::new(),
            String::new(),
            load.total.show(units).number(),
        ],
    );
    part.push(Block::Table(table));
    let over = load.margin < Current::from_amperes(0.0);
    let margin = if over { -load.margin } else { load.margin };
    part.say(fill(
        if over { phrases.over } else { phrases.below },
        &[
            ("total", load.total.show(units).to_string().into()),
            ("voltage", service.voltage.show(units).to_string().into()),
            (
                "current",
                Text::new().strong(digits.current(load.current).to_string()),
            ),
            ("margin", Text::new().strong(digits.current(margin).to_string())),
            ("rating", service.rating.show(units).to_string().into()),
        ],
    ));
}

fn comparison(sheet: &Sheet<'_>, service: &ServiceResult) -> Table {
    let phrases = &sheet.phrases.service;
    let digits = sheet.digits;
    let mut table = Table::new([
        Column::words(phrases.method).share(1),
        digits.column::<ApparentPower>(phrases.total),
        digits.column::<Current>(phrases.current),
        digits.column::<Current>(phrases.margin),
    ])
    .with_named_rows();
    let figures = |load: &LoadResult| {
        [
            load.total.show(digits.units()).number(),
            digits.current(load.current).number(),
            digits.current(load.margin).number(),
        ]
        .map(Text::from)
    };
    for method in &service.methods {
        table = table.row(std::iter::once(name(sheet, method)).chain(figures(method)));
    }
    let coincident = std::iter::once(Text::from(phrases.coincident)).chain(figures(&service.coincident));
    table.row_as(RowRole::Strong, coincident)
}
