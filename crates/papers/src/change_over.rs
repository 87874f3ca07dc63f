//! Papers about changing over between two sources: the report of the analysis, and the card that hangs beside the valves.
//!
//! In: a [`ChangeOver`], drawings made elsewhere. Out: a [`Document`] each. Start at [`report`] and [`card`]. Works out
//! nothing. Nowhere says more than that no hazard of the list was found in any state passed.

mod card;
mod tables;

pub use card::card;

use crate::document::{Block, Callout, CalloutKind, Document, Figure, Head, Level, ListMarks, Text};
use assess::changeover::{ChangeOrder, ChangeOver, ModeStates};
use trace::Severity;

/// The report: modes and states, orders of moves, hazards, findings with their working.
pub fn report(found: &ChangeOver, drawings: &[Figure]) -> Document {
    let mut document = Document::new("Change-over", head(found));
    document.subtitle = Some(
        "What each setting of valves and breakers feeds, and the orders of moves between modes".to_owned(),
    );
    document.units = found.head.units;
    let callout = Callout {
        kind: CalloutKind::Verdict(found.worst),
        title: None,
        paragraphs: found.lines.iter().map(|line| Text::with_values(line)).collect(),
    };
    document.push(Block::Callout(callout));
    modes(&mut document, found);
    if !drawings.is_empty() {
        document.push(Block::heading(Level::Part, "Piping in each mode"));
        document
            .blocks
            .extend(drawings.iter().cloned().map(Block::Figure));
    }
    orders(&mut document, found);
    slips(&mut document, found);
    if !found.additions.is_empty() {
        document.push(Block::heading(Level::Part, "What would help"));
        let additions = found.additions.iter().map(|addition| {
            let words = addition.words.join("; and ");
            Text::with_values(&format!("{words}. Gain: {}.", addition.gain))
        });
        document.push(Block::list(ListMarks::Bullets, additions));
    }
    document.push(Block::heading(Level::Part, "Hazards of the list"));
    document.push(Block::paragraph(format!(
        "{} states were worked out: every position of every handle, every breaker on or off, every heater filled or \
         empty. No order of moves leads through a state with a hazard marked `passing`; no mode rests in one with a \
         hazard marked `rest`.",
        found.states.all
    )));
    document.push(Block::Table(tables::hazards(found)));
    findings(&mut document, found);
    if !found.assumptions.is_empty() {
        document.push(Block::heading(Level::Part, "Assumed"));
        document.push(Block::Table(tables::assumptions(found)));
    }
    document.push(Block::heading(Level::Part, "Cautions"));
    document.blocks.extend(
        found
            .cautions
            .iter()
            .map(|caution| Block::caution(caution.as_str())),
    );
    document
}

fn head(found: &ChangeOver) -> Head {
    let given = &found.head;
    let mut head = Head::new(given.title.clone(), given.date);
    head.revision = Some(given.revision.clone());
    head.prepared_by.clone_from(&given.prepared_by);
    let facts = [
        ("customer", given.customer.as_ref()),
        ("address", given.address.as_ref()),
        ("worked out by", Some(&given.program)),
    ];
    for (label, value) in facts {
        if let Some(value) = value {
            head = head.fact(label, value.clone());
        }
    }
    head
}

fn modes(document: &mut Document, found: &ChangeOver) {
    document.push(Block::heading(
        Level::Part,
        "Modes and the states that realize them",
    ));
    document.push(Block::Table(tables::modes(found)));
    for mode in &found.modes {
        document.push(Block::heading(Level::Section, mode.name.clone()));
        document.push(Block::list(ListMarks::Bullets, facts(found, mode)));
    }
}

fn facts(found: &ChangeOver, mode: &ModeStates) -> Vec<Text> {
    let Some(rest) = &mode.rest else {
        return vec![Text::from(
            "No setting of the valves serves every fixture over one way, with this power, without a hazard of the list.",
        )];
    };
    let settings = if mode.settings == 1 {
        "One setting of the valves realizes it".to_owned()
    } else {
        format!("{} settings of the valves realize it", mode.settings)
    };
    let written = if mode.as_written {
        "; the one written in the record is shown"
    } else {
        "; the one written in the record does not: the nearest is shown"
    };
    let mut facts = vec![Text::from(format!("{settings}{written}."))];
    let free = rest
        .handles
        .iter()
        .filter(|handle| handle.free)
        .map(|handle| handle.tag.as_str());
    let free: Vec<&str> = free.collect();
    if !free.is_empty() {
        facts.push(Text::from(format!(
            "The mode also works with {} otherwise, but every order of moves begins at the positions shown: put it back \
             there before a change.",
            free.join(" or ")
        )));
    }
    // Fixtures under what feeds them, in the order in which such a feed first comes up.
    let mut fed: Vec<(&str, Vec<&str>)> = Vec::new();
    for feed in &rest.feeds {
        match fed.iter_mut().find(|(words, _)| *words == feed.words) {
            Some((_, fixtures)) => fixtures.push(&feed.fixture),
            None => fed.push((&feed.words, vec![&feed.fixture])),
        }
    }
    facts.extend(fed.into_iter().map(|(words, fixtures)| {
        Text::new()
            .strong(fixtures.join(", "))
            .plain(format!(": {words}."))
    }));
    if !rest.still.is_empty() {
        let units = found.head.units;
        let parts = rest
            .still
            .iter()
            .map(|still| format!("{} {}", still.part, still.volume.show(units).decimals(2)));
        let parts: Vec<String> = parts.collect();
        facts.push(Text::from(format!(
            "Water that no draw moves, as old as the mode lasts: {}.",
            parts.join("; ")
        )));
    }
    facts
}

fn orders(document: &mut Document, found: &ChangeOver) {
    if found.orders.is_empty() {
        return;
    }
    document.push(Block::heading(Level::Part, "Orders of moves"));
    document.push(Block::paragraph(
        "Each state passed was looked up among all states and worked out a second time on the whole piping.",
    ));
    for order in &found.orders {
        document.push(Block::heading(
            Level::Section,
            format!("{} → {}", order.from, order.to),
        ));
        if order.exists {
            document.push(Block::list(ListMarks::Numbers, steps(order)));
            document.push(Block::Table(tables::passed(found, order)));
            document.push(Block::paragraph(capitalized(&order.outcome)));
        } else {
            let text = Text::from(capitalized(&order.outcome));
            document.push(Block::Callout(Callout::new(
                CalloutKind::Verdict(Severity::Change),
                text,
            )));
        }
    }
}

/// The moves of an order, each with what the household lacks meanwhile.
fn steps(order: &ChangeOrder) -> impl Iterator<Item = Text> + '_ {
    order.steps.iter().map(|step| {
        let text = Text::with_values(&step.words).plain(".");
        if step.without_water.is_empty() {
            text
        } else {
            text.emphasis(format!(
                " Until the next move no hot water at: {}.",
                step.without_water.join(", ")
            ))
        }
    })
}

fn slips(document: &mut Document, found: &ChangeOver) {
    let any = found
        .modes
        .iter()
        .filter_map(|mode| mode.rest.as_ref())
        .any(|rest| !rest.slips.is_empty());
    if !any {
        return;
    }
    document.push(Block::heading(Level::Part, "One wrong move away"));
    document.push(Block::Table(tables::slips(found)));
}

fn findings(document: &mut Document, found: &ChangeOver) {
    document.push(Block::heading(Level::Part, "Findings"));
    document.push(Block::paragraph(
        "Hazards are those of the positions written in the record, or of where a mode rests when none are written.",
    ));
    for finding in &found.findings {
        document.push(Block::finding(finding.clone()));
    }
}

fn capitalized(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().into_iter().flat_map(char::to_uppercase);
    first.chain(letters).chain(['.']).collect()
}
