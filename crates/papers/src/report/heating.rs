//! What the heaters can do: the power they really get, the water they can lift by month, and what that gives people.

use super::alike::alike;
use super::{Part, Sheet, activation, fixtures, months, situations, tubs};
use crate::document::{Block, Column, Definition, ListMarks, Table, Text};
use crate::report::phrases::fill;
use assess::{CircuitResult, HeaterResult};
use job::{SourceKind, SourceStatus};
use quantity::{Power, Ratio, Temperature, VolumeFlow};

/// What a shower is used at; the flows by month are given for it.
const SHOWER_DEGREES_F: f64 = 105.0;

pub(super) fn part(sheet: &Sheet<'_>) -> Part {
    let phrases = &sheet.phrases.heating;
    let mut part = Part::new(phrases.heading);
    if sheet.assessment.heaters.is_empty() {
        part.leave_out(&phrases.no_heater);
    } else {
        part.section(phrases.power);
        part.push(Block::Table(heaters(sheet)));
        if let Some(reasons) = reasons(sheet) {
            part.say(phrases.why_less);
            part.push(reasons);
        }
    }
    let months_known = !sheet.assessment.mains.months.is_empty();
    if months_known || sheet.on_demand().next().is_some() {
        part.section(phrases.year);
        by_month(sheet, &mut part);
        part.draw(sheet.drawings.outlet_temperature.as_ref());
    }
    situations::add(sheet, &mut part);
    fixtures::add(sheet, &mut part);
    activation::add(sheet, &mut part);
    tubs::add(sheet, &mut part);
    part
}

fn heaters(sheet: &Sheet<'_>) -> Table {
    let phrases = &sheet.phrases.heating;
    let digits = sheet.digits;
    let mut table = Table::new([
        Column::words(phrases.heater).share(1),
        Column::words(phrases.what).share(3),
        Column::words(phrases.state),
        digits.slim_column::<Temperature>(phrases.set_point),
        digits.slim_column::<Power>(phrases.on_label),
        digits.slim_column::<Power>(phrases.really_gets),
        digits.slim_column::<Ratio>(phrases.share),
    ])
    .with_named_rows();
    for heater in &sheet.assessment.heaters {
        let state = match heater.status {
            SourceStatus::Existing => phrases.stays,
            SourceStatus::Proposed => phrases.new,
            SourceStatus::Removed => phrases.goes,
        };
        let kind = match heater.kind {
            SourceKind::OnDemand => phrases.on_demand,
            SourceKind::Tank => phrases.tank,
        };
        table = table.row([
            heater.id.clone(),
            format!("{} ({kind})", heater.name),
            state.to_owned(),
            heater.set_point.show(digits.units()).number(),
            digits.power(heater.rated_power).number(),
            digits.power(heater.delivered_power).number(),
            digits.share(heater.delivered_share).number(),
        ]);
    }
    table
}

/// Why each heater gets the power it gets: the voltage that its circuits bring.
fn reasons(sheet: &Sheet<'_>) -> Option<Block> {
    let phrases = &sheet.phrases.heating;
    let digits = sheet.digits;
    let same = |one: &CircuitResult, other: &CircuitResult| {
        (&one.heater, &one.panel) == (&other.heater, &other.panel)
            && (one.panel_voltage, one.drop) == (other.panel_voltage, other.drop)
            && (one.element_voltage, one.delivered_power) == (other.element_voltage, other.delivered_power)
    };
    let lines: Vec<Text> = alike(&sheet.assessment.circuits, |circuit| &circuit.id, same)
        .into_iter()
        .map(|(circuits, circuit)| {
            fill(
                phrases.why_circuit,
                &[
                    ("circuits", Text::new().code(circuits)),
                    ("heater", Text::new().code(&*circuit.heater)),
                    (
                        "at_panel",
                        digits.voltage(circuit.panel_voltage).to_string().into(),
                    ),
                    ("panel", Text::new().code(&*circuit.panel)),
                    ("lost", digits.voltage(circuit.drop).to_string().into()),
                    (
                        "at_elements",
                        digits.voltage(circuit.element_voltage).to_string().into(),
                    ),
                    ("power", digits.power(circuit.delivered_power).to_string().into()),
                ],
            )
        })
        .collect();
    (!lines.is_empty()).then(|| Block::list(ListMarks::Bullets, lines))
}

fn by_month(sheet: &Sheet<'_>, part: &mut Part) {
    let phrases = &sheet.phrases.heating;
    let mains = &sheet.assessment.mains;
    let origin = Text::from(sheet.words.origin(mains.origin));
    part.say(fill(
        phrases.incoming_basis,
        &[("origin", origin), ("basis", Text::with_values(&mains.basis))],
    ));
    part.push(Block::Definitions(vec![
        Definition::new(
            phrases.coldest,
            extreme(sheet, mains.coldest, mains.coldest_month),
        ),
        Definition::new(
            phrases.warmest,
            extreme(sheet, mains.warmest, mains.warmest_month),
        ),
    ]));
    let lifts: Vec<Text> = sheet
        .on_demand()
        .filter_map(|heater| lift(sheet, heater))
        .collect();
    if !lifts.is_empty() {
        part.push(Block::list(ListMarks::Bullets, lifts));
    }

    let digits = sheet.digits;
    let shower = Temperature::from_fahrenheit(SHOWER_DEGREES_F)
        .show(digits.units())
        .to_string();
    let flow_head = |heater: &HeaterResult| {
        let words = fill(
            phrases.shower_flow,
            &[
                ("heater", Text::from(&*heater.id)),
                ("temperature", Text::from(&*shower)),
            ],
        );
        digits.column::<VolumeFlow>(&words.to_string())
    };
    let columns = [
        Column::words(phrases.month),
        digits.column::<Temperature>(phrases.incoming),
    ];
    let mut table = Table::new(columns.into_iter().chain(sheet.on_demand().map(flow_head))).with_named_rows();
    let rows: Vec<(Text, Temperature)> = if mains.months.is_empty() {
        part.leave_out(&phrases.no_months);
        vec![
            (phrases.coldest.into(), mains.coldest),
            (phrases.warmest.into(), mains.warmest),
        ]
    } else {
        (1..)
            .zip(&mains.months)
            .map(|(month, incoming)| (month_name(sheet, month), *incoming))
            .collect()
    };
    for (index, (month, incoming)) in rows.into_iter().enumerate() {
        let flows = sheet.on_demand().map(|heater| {
            heater.shower_flow_by_month.get(index).map_or_else(
                || sheet.phrases.unknown.to_owned(),
                |flow| digits.flow(*flow).number(),
            )
        });
        let figures: Vec<Text> = std::iter::once(digits.temperature(incoming).number())
            .chain(flows)
            .map(Text::from)
            .collect();
        table = table.row(std::iter::once(month).chain(figures));
    }
    part.push(Block::Table(table));
    part.draw(sheet.drawings.mains_by_month.as_ref());
}

/// The month, saying so where it is the coldest or the warmest.
fn month_name(sheet: &Sheet<'_>, month: u8) -> Text {
    let mains = &sheet.assessment.mains;
    let phrases = &sheet.phrases.heating;
    let name = Text::from(months::name(sheet.phrases, month).unwrap_or(sheet.phrases.unknown));
    if mains.coldest_month == Some(month) {
        name.plain(phrases.mark_coldest)
    } else if mains.warmest_month == Some(month) {
        name.plain(phrases.mark_warmest)
    } else {
        name
    }
}

fn extreme(sheet: &Sheet<'_>, temperature: Temperature, month: Option<u8>) -> Text {
    let shown = sheet.digits.temperature(temperature).to_string();
    match month.and_then(|month| months::name(sheet.phrases, month)) {
        Some(month) => fill(
            sheet.phrases.heating.in_month,
            &[("temperature", Text::from(shown)), ("month", Text::from(month))],
        ),
        None => shown.into(),
    }
}

/// The flows a heater lifts to its set point in the coldest and the warmest month.
fn lift(sheet: &Sheet<'_>, heater: &HeaterResult) -> Option<Text> {
    let flow = |flow: VolumeFlow| Text::from(sheet.digits.flow(flow).to_string());
    Some(fill(
        sheet.phrases.heating.lifts,
        &[
            ("heater", Text::new().code(&*heater.id)),
            (
                "set_point",
                heater.set_point.show(sheet.digits.units()).to_string().into(),
            ),
            ("coldest", flow(heater.flow_at_set_point_coldest?)),
            ("warmest", flow(heater.flow_at_set_point_warmest?)),
        ],
    ))
}
