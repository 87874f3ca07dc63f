//! The parts of a finding that every printer shows alike: tables of inputs and of missing facts, steps of the working.

use crate::document::{Column, FindingBlock, Table};
use crate::legible;
use crate::words::Words;
use std::borrow::Cow;
use trace::{Origin, Turn};

/// The inputs of the working; none if there are none.
pub(crate) fn inputs(block: &FindingBlock, words: &Words) -> Option<Table> {
    let inputs = &block.finding.working.inputs;
    let table = Table::new([
        Column::words(words.symbol),
        Column::words(words.meaning).share(1),
        Column::figures(words.value),
        Column::words(words.origin),
    ])
    .with_named_rows();
    (!inputs.is_empty()).then(|| {
        inputs.iter().fold(table, |table, input| {
            table.row([
                &*input.symbol,
                &input.meaning,
                &input.value,
                words.origin(input.origin),
            ])
        })
    })
}

/// The facts that were missing; none if there are none.
pub(crate) fn missing(block: &FindingBlock, words: &Words) -> Option<Table> {
    let missing = &block.finding.missing;
    let table = Table::new([
        Column::words(words.missing),
        Column::words(words.meaning).share(2),
        Column::words(words.measure).share(3),
    ])
    .with_named_rows();
    (!missing.is_empty()).then(|| {
        missing.iter().fold(table, |table, fact| {
            table.row([&*fact.symbol, &fact.meaning, &fact.measure])
        })
    })
}

/// Formula, numbers put in, result, values at which it turns, inputs that were assumed: those that are given, labeled.
pub(crate) fn steps<'a>(block: &'a FindingBlock, words: &Words) -> Vec<(&'static str, Cow<'a, str>)> {
    let working = &block.finding.working;
    let turns: Vec<String> = working.turns.iter().map(|turn| turning(turn, words)).collect();
    let assumed: Vec<&str> = working
        .inputs
        .iter()
        .filter(|input| input.origin == Origin::Assumed)
        .map(|input| input.symbol.as_str())
        .collect();
    [
        (words.formula, Cow::from(&working.formula)),
        (words.substituted, Cow::from(&working.substituted)),
        (words.result, Cow::from(&working.result)),
        (words.turns, Cow::from(turns.join("; "))),
        (words.assumed, Cow::from(assumed.join(", "))),
    ]
    .into_iter()
    .filter(|(_, step)| !legible::is_blank(step))
    .collect()
}

/// "run length 87 ft (84 ft)": where it would turn, and where it is.
fn turning(turn: &Turn, words: &Words) -> String {
    format!("{} {} ({} {})", turn.symbol, turn.at, words.now, turn.value)
}
