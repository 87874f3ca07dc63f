//! The comparison of two editions as a paper: what appears, vanishes, and changes.
//!
//! In: an [`EditionComparison`]. Out: a document. Works nothing out and judges nothing.

use assess::{EditionComparison, FindingChange, Pair};
use papers::Document;
use papers::document::{Block, Column, Head, Level, Table, Text};
use quantity::UnitSystem;
use trace::Finding;

/// The paper.
pub(crate) fn document(
    compared: &EditionComparison,
    today: jiff::civil::Date,
    units: UnitSystem,
) -> Document {
    let (first, second) = (&compared.first, &compared.second);
    let mut head = Head::new(compared.title.clone(), today);
    head.edition = Some(format!("{} and {}", first.edition, second.edition));
    let mut document = Document::new("The same job under two editions", head);
    document.subtitle = Some(format!(
        "{}, then {}; all else as recorded",
        first.edition, second.edition
    ));
    document.units = units;
    document.push(Block::paragraph(format!(
        "Worst finding: {} {} under {}, {} {} under {}. {} findings appear, {} vanish, {} change, {} stay as they are. \
         Which edition is in force, and with which amendments, the authority having jurisdiction says.",
        first.worst.sign(),
        first.worst,
        first.edition,
        second.worst.sign(),
        second.worst,
        second.edition,
        compared.appears.len(),
        compared.vanishes.len(),
        compared.changes.len(),
        compared.unchanged,
    )));
    one_sided(
        &mut document,
        format!("Appear under {}", second.edition),
        &compared.appears,
    );
    one_sided(
        &mut document,
        format!("Vanish under {}", second.edition),
        &compared.vanishes,
    );
    let (moved, elsewhere): (Vec<&FindingChange>, Vec<&FindingChange>) = compared
        .changes
        .iter()
        .partition(|change| !(change.severity.is_same() && change.result.is_same()));
    if !moved.is_empty() {
        document.push(Block::heading(Level::Part, "Change severity or figures"));
        let mut table = Table::new([
            Column::words("rule, subject").share(4),
            Column::words(&*first.edition).share(3),
            Column::words(&*second.edition).share(3),
        ])
        .with_named_rows();
        for change in moved {
            let side = |pick: fn(&Pair) -> &String| {
                Text::from(format!("{}: ", pick(&change.severity)))
                    .append(&Text::with_values(pick(&change.result)))
            };
            table = table.row([about(change), side(|pair| &pair.first), side(|pair| &pair.second)]);
        }
        document.push(Block::Table(table));
    }
    if !elsewhere.is_empty() {
        document.push(Block::heading(
            Level::Part,
            "Stand elsewhere, or are worded otherwise",
        ));
        let mut table = Table::new([
            Column::words("rule, subject").share(4),
            Column::words(&*first.edition).share(3),
            Column::words(&*second.edition).share(3),
        ])
        .with_named_rows();
        for change in elsewhere {
            let place = &change.place;
            table = table.row([
                about(change),
                Text::from(&*place.first),
                Text::from(&*place.second),
            ]);
        }
        document.push(Block::Table(table));
    }
    document
}

/// Findings under one edition only.
fn one_sided(document: &mut Document, heading: String, findings: &[Finding]) {
    if findings.is_empty() {
        return;
    }
    document.push(Block::heading(Level::Part, heading));
    for finding in findings {
        document.push(Block::finding(finding.clone()));
    }
}

fn about(change: &FindingChange) -> Text {
    Text::from(&*change.title)
        .plain("\n")
        .emphasis(&change.subject)
        .plain(" ")
        .code(&*change.rule)
}
