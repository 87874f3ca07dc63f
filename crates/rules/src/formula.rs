//! The formula language of rules: read, checked for kinds, worked out, and written out again.
//!
//! In: text such as `circuit.load_current <= 80 % * circuit.breaker_rating`. Out: yes, no, or what is missing; and the
//! same formula in words, and with the numbers put in. Start at [`Formula::read`]. Total: no loop, no recursion beyond
//! the text's own bounded nesting; a division by zero is an answer, not a crash. Knows no rule and no file.

pub(crate) mod algebra;
pub(crate) mod check;
pub(crate) mod decision;
pub(crate) mod evaluate;
pub(crate) mod grammar;
pub(crate) mod literal;
pub(crate) mod node;
pub(crate) mod syntax;
pub(crate) mod turning;
pub(crate) mod words;

use crate::vocabulary::Vocabulary;
use check::Names;
use node::Node;
use std::ops::Range;

/// Why a formula is refused, and the byte range in its text.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct FormulaError {
    pub(crate) span: Range<usize>,
    pub(crate) problem: FormulaProblem,
}

/// What is wrong with a formula.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum FormulaProblem {
    /// The text is not a formula.
    #[error("the formula cannot be read here; wanted: {wanted}")]
    Unreadable {
        /// What is wanted instead.
        wanted: String,
    },
    /// No such fact.
    #[error("`{name}` is not in the fact vocabulary{}", nearest.as_ref().map(|name| format!("; did you mean `{name}`?")).unwrap_or_default())]
    UnknownFact {
        /// The name written.
        name: String,
        /// The nearest known name.
        nearest: Option<String>,
    },
    /// A fact of a scope that the rule's scope does not see.
    #[error("a rule of scope `{scope}` does not see `{name}`; it sees {sees}")]
    UnseenFact {
        /// The fact.
        name: String,
        /// The rule's scope.
        scope: String,
        /// What it sees.
        sees: String,
    },
    /// No such limit in the rule.
    #[error("the rule has no limit `{name}`; add it under `limits`")]
    UnknownLimit {
        /// The name written.
        name: String,
    },
    /// A number that is out of any range.
    #[error("`{text}` is not a usable number: {reason}")]
    Number {
        /// As written.
        text: String,
        /// Why not.
        reason: String,
    },
    /// Two kinds that do not go together.
    #[error("{left} and {right} cannot be {action}")]
    Mismatch {
        /// Kind of the left side.
        left: String,
        /// Kind of the right side.
        right: String,
        /// "added", "compared", …
        action: &'static str,
    },
    /// A kind that is wrong in its place.
    #[error("a {wanted} is wanted here, not a {given}")]
    Unwanted {
        /// What is wanted.
        wanted: &'static str,
        /// What is there.
        given: String,
    },
    /// More than one reading.
    #[error("this can be read as {readings}; compare it with a fact so that one reading is left")]
    Ambiguous {
        /// The readings.
        readings: String,
    },
    /// A word the fact never has.
    #[error("`{text}` is not one of the words of `{fact}`: {choices}")]
    Choice {
        /// The word written.
        text: String,
        /// The fact.
        fact: String,
        /// The words it may have.
        choices: String,
    },
    /// Too few or too many values for a function.
    #[error("`{function}` takes {wanted}, not {given}")]
    Count {
        /// The function.
        function: &'static str,
        /// How many it takes.
        wanted: String,
        /// How many it got.
        given: usize,
    },
}

/// A formula that has been read and checked; it answers yes or no.
#[derive(Debug, Clone)]
pub(crate) struct Formula {
    pub(crate) root: Node,
}

impl Formula {
    /// Reads and checks a formula that must answer yes or no.
    ///
    /// # Errors
    /// What is wrong with it, and where.
    pub(crate) fn read(text: &str, names: &Names<'_>) -> Result<Self, FormulaError> {
        let written = grammar::parse(text).map_err(|error| FormulaError {
            span: error.span,
            problem: FormulaProblem::Unreadable { wanted: error.wanted },
        })?;
        check::condition(&written, names).map(|root| Self { root })
    }

    /// The facts it uses, each once, in order of appearance.
    pub(crate) fn facts(&self) -> Vec<usize> {
        let mut found = Vec::new();
        self.root.each(&mut |node| {
            if let Node::Fact(index) | Node::Known { fact: index, .. } = node
                && !found.contains(index)
            {
                found.push(*index);
            }
        });
        found
    }

    /// The formula in words, for a reader who knows that it is about a subject of `scope`.
    pub(crate) fn in_words(
        &self,
        vocabulary: &Vocabulary,
        scope: &str,
        system: quantity::UnitSystem,
    ) -> String {
        words::Writer {
            vocabulary,
            scope,
            system,
            values: None,
        }
        .write(&self.root)
    }
}

#[cfg(test)]
mod tests;
