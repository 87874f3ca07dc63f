//! A checked formula: every name resolved, every number in its kind's base unit.
//!
//! Made by `check`, worked out by `evaluate`, written out by `words`.

use super::syntax::{Comparison, Function, Operation};
use crate::kind::{NumberKind, Value, ValueKind};

/// A part of a checked formula.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Node {
    /// A value written in the formula or in the rule's limits; numbers keep their writing.
    Literal {
        value: Value,
        written: String,
        /// The limit it comes from.
        limit: Option<String>,
    },
    Fact(usize),
    Known {
        fact: usize,
        wanted: bool,
    },
    OneOf {
        value: Box<Node>,
        choices: Vec<String>,
    },
    Not(Box<Node>),
    Negative(Box<Node>),
    Arithmetic {
        operation: Operation,
        left: Box<Node>,
        right: Box<Node>,
        kind: NumberKind,
    },
    Compare {
        comparison: Comparison,
        left: Box<Node>,
        right: Box<Node>,
        kind: ValueKind,
    },
    All(Vec<Node>),
    Any(Vec<Node>),
    Call {
        function: Function,
        values: Vec<Node>,
        kind: NumberKind,
    },
    If {
        condition: Box<Node>,
        then: Box<Node>,
        otherwise: Box<Node>,
    },
}

impl Node {
    /// Visits this part and all below it, left to right.
    pub(crate) fn each<'n>(&'n self, visit: &mut impl FnMut(&'n Node)) {
        visit(self);
        match self {
            Self::Literal { .. } | Self::Fact(_) | Self::Known { .. } => {}
            Self::OneOf { value: inner, .. } | Self::Not(inner) | Self::Negative(inner) => inner.each(visit),
            Self::Arithmetic { left, right, .. } | Self::Compare { left, right, .. } => {
                left.each(visit);
                right.each(visit);
            }
            Self::All(items) | Self::Any(items) | Self::Call { values: items, .. } => {
                for item in items {
                    item.each(visit);
                }
            }
            Self::If {
                condition,
                then,
                otherwise,
            } => {
                condition.each(visit);
                then.each(visit);
                otherwise.each(visit);
            }
        }
    }
}
