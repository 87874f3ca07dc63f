//! Works a checked formula out with the facts known, in three values: yes, no, not known.
//!
//! A missing fact leaves the answer open only where it matters: `no and unknown` is no, `yes or unknown` is yes.
//! Numbers count as equal within one part in 10⁹, so that 1.25 × 30 A meets 37.5 A whatever the binary rounding.

use super::node::Node;
use super::syntax::{Comparison, Function, Operation};
use crate::fact_set::FactSet;
use crate::kind::{NumberKind, Value};

/// Two numbers nearer than this share of the larger are equal: far above binary rounding, far below any instrument.
const EQUAL_WITHIN: f64 = 1e-9;

/// Why a formula has no answer.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Gap {
    /// Facts that are not known and matter.
    pub(crate) missing: Vec<usize>,
    /// Arithmetic without a result.
    pub(crate) troubles: Vec<Trouble>,
}

/// Arithmetic that has no result, with the part of the formula where it happened.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Trouble {
    DivisionByZero(Node),
    NotFinite(Node),
    StepNotPositive(Node),
}

impl Gap {
    fn missing(fact: usize) -> Self {
        Self {
            missing: vec![fact],
            troubles: Vec::new(),
        }
    }

    fn trouble(trouble: Trouble) -> Self {
        Self {
            missing: Vec::new(),
            troubles: vec![trouble],
        }
    }

    /// Both gaps, each missing fact once.
    pub(crate) fn and(mut self, other: Self) -> Self {
        for fact in other.missing {
            if !self.missing.contains(&fact) {
                self.missing.push(fact);
            }
        }
        self.troubles.extend(other.troubles);
        self
    }
}

/// The answer of a condition.
pub(crate) fn truth(node: &Node, facts: &FactSet<'_>) -> Result<bool, Gap> {
    match value(node, facts)? {
        Value::Flag(flag) => Ok(flag),
        // The checker lets no other kind stand where a condition is wanted.
        Value::Number(..) | Value::Text(_) => Err(Gap::trouble(Trouble::NotFinite(node.clone()))),
    }
}

/// The value of a part.
pub(crate) fn value(node: &Node, facts: &FactSet<'_>) -> Result<Value, Gap> {
    match node {
        Node::Literal { value, .. } => Ok(value.clone()),
        Node::Fact(fact) => facts
            .get(*fact)
            .map(|known| known.value.clone())
            .ok_or_else(|| Gap::missing(*fact)),
        Node::Known { fact, wanted } => Ok(Value::Flag(facts.get(*fact).is_some() == *wanted)),
        Node::OneOf {
            value: inner,
            choices,
        } => {
            let value = value(inner, facts)?;
            Ok(Value::Flag(
                matches!(value, Value::Text(text) if choices.contains(&text)),
            ))
        }
        Node::Not(inner) => truth(inner, facts).map(|flag| Value::Flag(!flag)),
        Node::Negative(inner) => {
            let (kind, base) = number(inner, facts)?;
            Ok(Value::Number(kind, -base))
        }
        Node::Arithmetic {
            operation,
            left,
            right,
            kind,
        } => {
            let (left, right) = both(number(left, facts), number(right, facts))?;
            let base = match operation {
                Operation::Add => left.1 + right.1,
                Operation::Subtract => left.1 - right.1,
                Operation::Multiply => left.1 * right.1,
                Operation::Divide if right.1 == 0.0 => {
                    return Err(Gap::trouble(Trouble::DivisionByZero(node.clone())));
                }
                Operation::Divide => left.1 / right.1,
            };
            finite(node, *kind, base)
        }
        Node::Compare {
            comparison,
            left,
            right,
            ..
        } => {
            let (left, right) = both(value(left, facts), value(right, facts))?;
            Ok(Value::Flag(compare(*comparison, &left, &right)))
        }
        Node::All(items) => joined(items, facts, false),
        Node::Any(items) => joined(items, facts, true),
        Node::Call {
            function,
            values,
            kind,
        } => call(node, *function, values, *kind, facts),
        Node::If {
            condition,
            then,
            otherwise,
        } => {
            if truth(condition, facts)? {
                value(then, facts)
            } else {
                value(otherwise, facts)
            }
        }
    }
}

/// True when `left comparison right` holds.
fn compare(comparison: Comparison, left: &Value, right: &Value) -> bool {
    let (Value::Number(_, left), Value::Number(_, right)) = (left, right) else {
        return (left == right) == (comparison == Comparison::Equal);
    };
    let equal = (left - right).abs() <= EQUAL_WITHIN * left.abs().max(right.abs());
    match comparison {
        Comparison::Less => !equal && left < right,
        Comparison::AtMost => equal || left < right,
        Comparison::Greater => !equal && left > right,
        Comparison::AtLeast => equal || left > right,
        Comparison::Equal => equal,
        Comparison::Different => !equal,
    }
}

/// `and` (decided by a no) and `or` (decided by a yes).
fn joined(items: &[Node], facts: &FactSet<'_>, decides: bool) -> Result<Value, Gap> {
    let mut gap: Option<Gap> = None;
    for item in items {
        match truth(item, facts) {
            Ok(flag) if flag == decides => return Ok(Value::Flag(decides)),
            Ok(_) => {}
            Err(more) => {
                gap = Some(match gap {
                    None => more,
                    Some(before) => before.and(more),
                });
            }
        }
    }
    gap.map_or(Ok(Value::Flag(!decides)), Err)
}

fn call(
    node: &Node,
    function: Function,
    values: &[Node],
    kind: NumberKind,
    facts: &FactSet<'_>,
) -> Result<Value, Gap> {
    let mut numbers = Vec::with_capacity(values.len());
    let mut gap: Option<Gap> = None;
    for value in values {
        match number(value, facts) {
            Ok((_, base)) => numbers.push(base),
            Err(more) => {
                gap = Some(match gap {
                    None => more,
                    Some(before) => before.and(more),
                });
            }
        }
    }
    if let Some(gap) = gap {
        return Err(gap);
    }
    let base = match (function, numbers.as_slice()) {
        (Function::Min, all) => all.iter().copied().fold(f64::INFINITY, f64::min),
        (Function::Max, all) => all.iter().copied().fold(f64::NEG_INFINITY, f64::max),
        (Function::Abs, all) => all.iter().copied().fold(0.0, |_, one| one.abs()),
        (Function::RoundUp, [value, step]) if *step > 0.0 => {
            let steps = value / step;
            // A value that is already a multiple stays, whatever the binary rounding of the division.
            let nearest = steps.round();
            if (steps - nearest).abs() <= EQUAL_WITHIN * steps.abs() {
                nearest * step
            } else {
                steps.ceil() * step
            }
        }
        (Function::RoundUp, _) => return Err(Gap::trouble(Trouble::StepNotPositive(node.clone()))),
    };
    finite(node, kind, base)
}

fn finite(node: &Node, kind: NumberKind, base: f64) -> Result<Value, Gap> {
    if base.is_finite() {
        Ok(Value::Number(kind, base))
    } else {
        Err(Gap::trouble(Trouble::NotFinite(node.clone())))
    }
}

fn number(node: &Node, facts: &FactSet<'_>) -> Result<(NumberKind, f64), Gap> {
    match value(node, facts)? {
        Value::Number(kind, base) => Ok((kind, base)),
        Value::Flag(_) | Value::Text(_) => Err(Gap::trouble(Trouble::NotFinite(node.clone()))),
    }
}

/// Both values, or everything that is missing for either.
fn both<T>(left: Result<T, Gap>, right: Result<T, Gap>) -> Result<(T, T), Gap> {
    match (left, right) {
        (Ok(left), Ok(right)) => Ok((left, right)),
        (Err(left), Err(right)) => Err(left.and(right)),
        (Err(gap), Ok(_)) | (Ok(_), Err(gap)) => Err(gap),
    }
}
