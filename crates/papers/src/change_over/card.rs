//! The card that hangs beside the valves: positions per mode, the moves between modes, what never to do.

use super::{head, steps, tables};
use crate::document::{Blank, Block, Callout, CalloutKind, Document, FillIn, Level, ListMarks, Text};
use assess::changeover::ChangeOver;

/// The card; meant for one page with two or three modes.
pub fn card(found: &ChangeOver) -> Document {
    // On the wall: which house, which state of its record. Whom it was made for stands in the report.
    let mut head = head(found);
    head.further.retain(|fact| fact.label == "address");
    let mut document = Document::new("Change-over card", head);
    document.subtitle = Some("Hang one at every place with change-over valves".to_owned());
    document.units = found.head.units;
    document.tight = true;
    document.push(Block::Table(tables::modes(found)));
    let modes: Vec<&str> = found.modes.iter().map(|mode| mode.name.as_str()).collect();
    let between = found
        .orders
        .iter()
        .filter(|order| modes.contains(&order.from.as_str()));
    for order in between {
        document.push(Block::heading(
            Level::Part,
            format!("{} → {}", order.from, order.to),
        ));
        if order.exists {
            document.push(Block::list(ListMarks::Numbers, steps(order)));
        } else {
            document.push(Block::caution(Text::from(format!(
                "Do not change over: {}.",
                order.outcome
            ))));
        }
    }
    let never = found
        .modes
        .iter()
        .filter_map(|mode| Some((mode, mode.rest.as_ref()?)))
        .flat_map(|(mode, rest)| {
            let named = rest.slips.iter().map(|slip| {
                Text::new()
                    .strong("Not")
                    .plain(": ")
                    .append(&Text::with_values(&slip.words))
                    .plain(" while ")
                    .strong(mode.name.as_str())
                    .plain(format!(": {}.", slip.hazards.first().map_or("", String::as_str)))
            });
            named.collect::<Vec<_>>()
        });
    let never: Vec<Text> = never.collect();
    if !never.is_empty() {
        document.push(Block::heading(Level::Part, "One move from a hazard"));
        document.push(Block::list(ListMarks::Bullets, never));
    }
    let paragraphs = found
        .cautions
        .iter()
        .take(3)
        .map(|caution| Text::from(caution.as_str()));
    document.push(Block::Callout(Callout {
        kind: CalloutKind::Caution,
        title: None,
        paragraphs: paragraphs.collect(),
    }));
    document.push(Block::FillIn(FillIn {
        blanks: vec![
            Blank::short("changed over on"),
            Blank::short("to mode"),
            Blank::short("by"),
        ],
    }));
    document
}
