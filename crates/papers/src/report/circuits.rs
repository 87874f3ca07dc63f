//! Element circuits: breakers, conductors, what reaches the elements, and how far each size goes.
//!
//! The schedule is three tables, so that each stands side by side in 80 columns; every one begins with the circuit.

use super::alike::alike;
use super::{Part, Sheet};
use crate::document::{Block, Column, ListMarks, Table, Text};
use crate::report::phrases::fill;
use assess::CircuitResult;
use job::ConductorMaterial;
use quantity::{Current, Length, Power, Ratio, Voltage};

pub(super) fn part(sheet: &Sheet<'_>) -> Part {
    let phrases = &sheet.phrases.circuits;
    let circuits = &sheet.assessment.circuits;
    let mut part = Part::new(phrases.heading);
    if circuits.is_empty() {
        part.leave_out(&phrases.none);
    } else {
        part.push(Block::Table(breakers(sheet)));
        part.push(Block::Table(conductors(sheet)));
        remarks(sheet, &mut part);
        part.push(Block::Table(delivery(sheet)));
        part.section(phrases.ampacity_working);
        let workings = alike(
            circuits,
            |circuit| &circuit.id,
            |one, other| one.ampacity_working == other.ampacity_working,
        );
        let lines = workings.into_iter().map(|(ids, circuit)| {
            Text::new()
                .strong(ids)
                .plain(": ")
                .append(&Text::with_values(&circuit.ampacity_working))
        });
        part.push(Block::list(ListMarks::Bullets, lines));
        longest(sheet, &mut part);
        super::wiring::sections(sheet, &mut part);
    }
    part.draw(sheet.drawings.one_line.as_ref());
    part
}

fn breakers(sheet: &Sheet<'_>) -> Table {
    let phrases = &sheet.phrases.circuits;
    let digits = sheet.digits;
    let mut table = Table::new([
        Column::words(phrases.circuit).share(1),
        Column::words(phrases.serves).share(3),
        Column::words(phrases.from).share(1),
        Column::words(phrases.state),
        digits.slim_column::<Current>(phrases.load),
        digits.slim_column::<Current>(phrases.must_carry),
        digits.slim_column::<Current>(phrases.breaker),
        digits.slim_column::<Current>(phrases.breaker_min),
    ])
    .captioned(phrases.breakers)
    .with_named_rows();
    for circuit in &sheet.assessment.circuits {
        let serves = fill(
            phrases.elements_of,
            &[
                ("elements", Text::from(&*circuit.elements)),
                ("heater", Text::from(&*circuit.heater)),
            ],
        );
        table = table.row([
            circuit.id.clone(),
            serves.to_string(),
            circuit.panel.clone(),
            if circuit.existing {
                phrases.stands
            } else {
                phrases.new
            }
            .to_owned(),
            digits.current(circuit.load_current).number(),
            digits.current(circuit.required_current).number(),
            circuit.breaker.show(digits.units()).number(),
            circuit.breaker_min.show(digits.units()).number(),
        ]);
    }
    table
}

fn conductors(sheet: &Sheet<'_>) -> Table {
    let phrases = &sheet.phrases.circuits;
    let digits = sheet.digits;
    let mut table = Table::new([
        Column::words(phrases.circuit).share(1),
        Column::words(phrases.cable).share(2),
        Column::words(phrases.hot),
        Column::words(phrases.neutral),
        Column::words(phrases.ground),
        digits.column::<Current>(phrases.ampacity),
        Column::words(phrases.conductor_min),
        Column::words(phrases.conductor_for_drop),
    ])
    .captioned(phrases.conductors)
    .with_named_rows();
    for circuit in &sheet.assessment.circuits {
        let metal = match circuit.material {
            ConductorMaterial::Copper => phrases.copper,
            ConductorMaterial::Aluminum => phrases.aluminum,
        };
        let for_drop = circuit.conductor_for_drop;
        table = table.row([
            circuit.id.clone(),
            format!("{}, {metal}", circuit.cable),
            format!("2 × {}", circuit.conductor),
            if circuit.insulated_conductors > 2 {
                circuit.conductor.to_string()
            } else {
                phrases.no_neutral.to_owned()
            },
            circuit.ground.to_string(),
            digits.current(circuit.ampacity).number(),
            circuit.conductor_min.to_string(),
            for_drop.map_or_else(|| phrases.no_size.to_owned(), |size| size.to_string()),
        ]);
    }
    table
}

/// What the columns cannot say: who chose the size, and whether the load counts as continuous.
fn remarks(sheet: &Sheet<'_>, part: &mut Part) {
    let phrases = &sheet.phrases.circuits;
    let mut lines = Vec::new();
    for (sentence, holds) in [
        (
            phrases.chosen_here,
            (|circuit| !circuit.conductor_entered) as fn(&CircuitResult) -> bool,
        ),
        (phrases.continuous, |circuit| circuit.continuous),
        (phrases.not_continuous, |circuit| !circuit.continuous),
    ] {
        let ids: Vec<&str> = sheet
            .assessment
            .circuits
            .iter()
            .filter(|circuit| holds(circuit))
            .map(|circuit| &*circuit.id)
            .collect();
        if !ids.is_empty() {
            lines.push(fill(
                sentence,
                &[("circuits", Text::new().strong(ids.join(", ")))],
            ));
        }
    }
    part.push(Block::list(ListMarks::Bullets, lines));
}

fn delivery(sheet: &Sheet<'_>) -> Table {
    let phrases = &sheet.phrases.circuits;
    let digits = sheet.digits;
    let mut table = Table::new([
        Column::words(phrases.circuit).share(1),
        digits.slim_column::<Length>(phrases.length),
        digits.slim_column::<Voltage>(phrases.at_panel),
        digits.slim_column::<Voltage>(phrases.lost),
        digits.slim_column::<Ratio>(phrases.lost),
        digits.slim_column::<Ratio>(phrases.drop_target),
        digits.slim_column::<Voltage>(phrases.at_elements),
        digits.slim_column::<Current>(phrases.runs_at),
        digits.slim_column::<Power>(phrases.delivered),
    ])
    .captioned(phrases.delivery)
    .with_named_rows();
    for circuit in &sheet.assessment.circuits {
        table = table.row([
            circuit.id.clone(),
            digits.length(circuit.length).number(),
            digits.voltage(circuit.panel_voltage).number(),
            digits.voltage(circuit.drop).number(),
            digits.fine_share(circuit.drop_share).number(),
            circuit.drop_target.show(digits.units()).number(),
            digits.voltage(circuit.element_voltage).number(),
            digits.current(circuit.running_current).number(),
            digits.power(circuit.delivered_power).number(),
        ]);
    }
    table
}

/// How far each size goes within the drop wanted; one table for circuits with the same lengths.
fn longest(sheet: &Sheet<'_>, part: &mut Part) {
    let phrases = &sheet.phrases.circuits;
    let digits = sheet.digits;
    let groups = alike(
        &sheet.assessment.circuits,
        |circuit| &circuit.id,
        |one, other| {
            one.longest == other.longest && one.drop_target == other.drop_target && one.length == other.length
        },
    );
    let groups = groups
        .into_iter()
        .filter(|(_, circuit)| !circuit.longest.is_empty());
    for (index, (ids, circuit)) in groups.enumerate() {
        if index == 0 {
            part.section(phrases.longest);
        }
        let caption = fill(
            phrases.longest_for,
            &[
                ("circuits", Text::from(ids)),
                (
                    "share",
                    circuit.drop_target.show(digits.units()).to_string().into(),
                ),
                ("length", digits.length(circuit.length).to_string().into()),
            ],
        );
        let mut table = Table::new([
            Column::words(phrases.conductor),
            digits.column::<Length>(phrases.one_way),
            Column::words(phrases.carries),
        ])
        .captioned(caption.to_string())
        .with_named_rows();
        for size in &circuit.longest {
            table = table.row([
                size.conductor.to_string(),
                digits.length(size.length).number(),
                if size.carries {
                    sheet.phrases.yes
                } else {
                    phrases.too_small
                }
                .to_owned(),
            ]);
        }
        part.push(Block::Table(table));
    }
}
