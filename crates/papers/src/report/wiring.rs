//! How each circuit is wired: wires, warmth, raceway, fault current, types that suit, and the metric design where it holds.

use super::{Part, Sheet, digits};
use crate::document::{Block, Column, Table, Text};
use crate::report::phrases::fill;
use assess::{CircuitResult, PriceDifference};
use quantity::{Current, Temperature};

/// Adds the sections to the part of the circuits.
pub(super) fn sections(sheet: &Sheet<'_>, part: &mut Part) {
    let phrases = &sheet.phrases.wiring;
    let circuits = &sheet.assessment.circuits;
    if circuits.iter().any(|circuit| !circuit.wiring.wires.is_empty()) {
        part.section(phrases.heading);
        part.push(Block::Table(table(sheet, circuits)));
        suited(sheet, part);
        prices(sheet, part);
    }
    if !sheet.assessment.metric_circuits.is_empty() {
        part.section(phrases.metric);
        part.push(Block::Table(metric(sheet)));
        part.say(phrases.metric_note);
    }
}

fn table(sheet: &Sheet<'_>, circuits: &[CircuitResult]) -> Table {
    let phrases = &sheet.phrases.wiring;
    let digits = sheet.digits;
    let unknown = || sheet.phrases.unknown.to_owned();
    let mut table = Table::new([
        Column::words(phrases.circuit).share(1),
        Column::words(phrases.between).share(2),
        digits.slim_column::<Temperature>(phrases.warmth),
        Column::words(phrases.raceway).share(2),
        Column::words(phrases.fault).share(1),
    ])
    .with_named_rows();
    for circuit in circuits {
        let wiring = &circuit.wiring;
        table = table.row([
            circuit.id.clone(),
            wiring.wires.clone(),
            wiring
                .conductor_temperature
                .map_or_else(unknown, |warm| digits.temperature(warm).number()),
            wiring.raceway.as_ref().map_or_else(
                || phrases.no_raceway.to_owned(),
                |raceway| format!("{}, {}", raceway.name, digits.share(raceway.fill)),
            ),
            wiring.fault_current.map_or_else(unknown, digits::fault),
        ]);
    }
    table
}

/// The types that suit, and what stands against the others, once for circuits whose answer is the same.
fn suited(sheet: &Sheet<'_>, part: &mut Part) {
    let phrases = &sheet.phrases.wiring;
    let groups = super::alike::alike(
        &sheet.assessment.circuits,
        |circuit| &circuit.id,
        |one, other| one.wiring.types == other.wiring.types,
    );
    for (ids, circuit) in groups {
        if circuit.wiring.types.is_empty() {
            continue;
        }
        let words: Vec<String> = circuit
            .wiring
            .types
            .iter()
            .map(|one| match &one.against {
                None => one.cable.clone(),
                Some(against) => format!("{} ({against})", one.cable),
            })
            .collect();
        part.say(fill(
            phrases.types,
            &[
                ("circuits", Text::from(&*ids)),
                ("types", Text::from(&*words.join(", "))),
            ],
        ));
    }
}

fn prices(sheet: &Sheet<'_>, part: &mut Part) {
    let phrases = &sheet.phrases.wiring;
    for circuit in &sheet.assessment.circuits {
        let circuit_id = || Text::from(&*circuit.id);
        match &circuit.wiring.extra_for_drop {
            PriceDifference::Same => {}
            PriceDifference::Amount(more) => part.say(fill(
                phrases.costs_more,
                &[("circuit", circuit_id()), ("more", Text::from(&**more))],
            )),
            PriceDifference::Missing(items) => part.say(fill(
                phrases.no_price,
                &[
                    ("circuit", circuit_id()),
                    ("items", Text::from(&*items.join("; "))),
                ],
            )),
        }
    }
}

fn metric(sheet: &Sheet<'_>) -> Table {
    let phrases = &sheet.phrases.wiring;
    let digits = sheet.digits;
    let mut table = Table::new([
        Column::words(phrases.circuit).share(1),
        digits.slim_column::<Current>(phrases.design),
        digits.slim_column::<Current>(phrases.breaker),
        Column::words(phrases.conductor).share(1),
        Column::words(phrases.for_drop).share(1),
        Column::words(phrases.protective).share(1),
        digits.slim_column::<Current>(phrases.ampacity),
        Column::words(phrases.drop).share(1),
    ])
    .with_named_rows();
    for circuit in &sheet.assessment.metric_circuits {
        table = table.row([
            circuit.circuit.clone(),
            digits.current(circuit.design_current).number(),
            circuit.breaker.show(digits.units()).number(),
            circuit.conductor.to_string(),
            circuit
                .conductor_for_drop
                .map_or_else(|| phrases.no_size.to_owned(), |size| size.to_string()),
            circuit.protective.to_string(),
            digits.current(circuit.ampacity).number(),
            digits.fine_share(circuit.drop).to_string(),
        ]);
    }
    table
}
