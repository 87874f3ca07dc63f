//! Says which parts of a condition decided it, and by how much: "37.5 A ≤ 40 A, 2.5 A to spare".
//!
//! The margin is the sensitivity a reader needs: how far a measured or assumed value may move before the answer turns.

use super::evaluate::{truth, value};
use super::literal::show_written;
use super::node::Node;
use super::syntax::Comparison;
use super::words::Writer;
use crate::fact_set::FactSet;
use crate::kind::{NumberKind, Value, ValueKind};

/// The deciding parts of a condition that answered `outcome`, as text.
pub(crate) fn deciding(node: &Node, outcome: bool, facts: &FactSet<'_>, writer: &Writer<'_>) -> String {
    let mut parts = Vec::new();
    collect(node, outcome, facts, writer, &mut parts);
    parts.dedup();
    parts.join("; ")
}

fn collect(node: &Node, outcome: bool, facts: &FactSet<'_>, writer: &Writer<'_>, parts: &mut Vec<String>) {
    match node {
        // Of several joined parts, those that agree with the outcome made it.
        Node::All(items) | Node::Any(items) => {
            for item in items {
                if truth(item, facts) == Ok(outcome) {
                    collect(item, outcome, facts, writer, parts);
                }
            }
        }
        Node::Not(inner) => collect(inner, !outcome, facts, writer, parts),
        Node::If {
            condition,
            then,
            otherwise,
        } => {
            let Ok(taken) = truth(condition, facts) else {
                return;
            };
            collect(condition, taken, facts, writer, parts);
            collect(
                if taken { then } else { otherwise },
                outcome,
                facts,
                writer,
                parts,
            );
        }
        Node::Compare {
            comparison,
            left,
            right,
            kind,
        } => parts.extend(compared(
            node,
            (*comparison, left, right),
            *kind,
            outcome,
            facts,
            writer,
        )),
        Node::Fact(index) => parts.push(format!(
            "{}: {}",
            writer.vocabulary.facts()[*index].words(writer.scope),
            if outcome { "yes" } else { "no" }
        )),
        Node::OneOf { value: inner, .. } => {
            let name = Writer {
                values: None,
                ..*writer
            }
            .write(inner);
            if let Ok(found) = value(inner, facts) {
                parts.push(format!("{name}: {}", found.show(writer.system)));
            }
        }
        Node::Known { fact, wanted } => parts.push(format!(
            "{} is {}known",
            writer.vocabulary.facts()[*fact].words(writer.scope),
            if *wanted == outcome { "" } else { "not " }
        )),
        Node::Literal { .. } | Node::Negative(_) | Node::Arithmetic { .. } | Node::Call { .. } => {}
    }
}

fn compared(
    node: &Node,
    (comparison, left, right): (Comparison, &Node, &Node),
    kind: ValueKind,
    outcome: bool,
    facts: &FactSet<'_>,
    writer: &Writer<'_>,
) -> Option<String> {
    let (left_value, right_value) = (value(left, facts).ok()?, value(right, facts).ok()?);
    let holds = if outcome {
        comparison
    } else {
        comparison.opposite()
    };
    let ValueKind::Number(kind) = kind else {
        let name = Writer {
            values: None,
            ..*writer
        }
        .write(left);
        return Some(format!("{name}: {}", left_value.show(writer.system)));
    };
    let (Value::Number(_, left_base), Value::Number(_, right_base)) = (&left_value, &right_value) else {
        return None;
    };
    let unit = writer.unit_around(node, kind);
    let statement = format!(
        "{} {} {}",
        show(left, kind, *left_base, unit.as_deref(), writer),
        holds.sign(),
        show(right, kind, *right_base, unit.as_deref(), writer)
    );
    Some(
        match margin(
            comparison,
            outcome,
            left_base - right_base,
            kind,
            unit.as_deref(),
            writer,
        ) {
            Some(margin) => format!("{statement}, {margin}"),
            None => statement,
        },
    )
}

/// How far the comparison is from turning.
fn margin(
    comparison: Comparison,
    outcome: bool,
    difference: f64,
    kind: NumberKind,
    unit: Option<&str>,
    writer: &Writer<'_>,
) -> Option<String> {
    if !comparison.orders() || !difference.is_finite() {
        return None;
    }
    let amount = writer.number(kind.difference(), difference.abs(), unit);
    let shows_nothing = !amount.contains(|digit: char| ('1'..='9').contains(&digit));
    let from_above = matches!(comparison, Comparison::Less | Comparison::AtMost);
    Some(match (outcome, from_above) {
        (true, _) if shows_nothing => "nothing to spare".to_owned(),
        (true, _) => format!("{amount} to spare"),
        (false, true) if shows_nothing => "over by less than the digits shown".to_owned(),
        (false, true) => format!("{amount} over"),
        (false, false) if shows_nothing => "short by less than the digits shown".to_owned(),
        (false, false) => format!("{amount} short"),
    })
}

/// The number of a side: as the fact prints it, as the rule writes it, or as worked out.
fn show(node: &Node, kind: NumberKind, base: f64, unit: Option<&str>, writer: &Writer<'_>) -> String {
    match node {
        Node::Fact(_) => writer.write(node),
        Node::Literal { written, .. } => show_written(kind, base, written, unit, writer.system),
        _ => writer.number(kind, base, unit),
    }
}
