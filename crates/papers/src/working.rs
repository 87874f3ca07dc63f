//! The parts of a finding that every printer shows alike: tables of inputs and of missing facts, steps of the working.

use crate::document::{Column, FindingBlock, Table};
use crate::legible;
use crate::words::Words;

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

/// Formula, numbers put in, result: those that are given, labeled.
pub(crate) fn steps<'a>(block: &'a FindingBlock, words: &Words) -> Vec<(&'static str, &'a str)> {
    let working = &block.finding.working;
    [
        (words.formula, &working.formula),
        (words.substituted, &working.substituted),
        (words.result, &working.result),
    ]
    .into_iter()
    .filter(|(_, step)| !legible::is_blank(step))
    .map(|(label, step)| (label, step.as_str()))
    .collect()
}
