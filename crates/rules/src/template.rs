//! Texts of rules with values in them: `the conductor carries {circuit.conductor_ampacity}`.
//!
//! Checked when the file is loaded: every name in braces is a fact the rule sees or one of its limits.

use crate::fact_set::FactSet;
use crate::formula::check::Names;
use crate::formula::{FormulaError, FormulaProblem};
use crate::vocabulary::Vocabulary;
use quantity::UnitSystem;

/// A text with places for values.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Template(Vec<Piece>);

#[derive(Debug, Clone, PartialEq)]
enum Piece {
    Words(String),
    Fact(usize),
    Limit(String),
}

impl Template {
    /// Reads a text.
    ///
    /// # Errors
    /// When a brace is left open or a name in braces is not known.
    pub(crate) fn read(text: &str, names: &Names<'_>) -> Result<Self, FormulaError> {
        let mut pieces = Vec::new();
        let mut at = 0;
        while let Some(open) = text[at..].find(['{', '}']).map(|offset| at + offset) {
            pieces.push(Piece::Words(text[at..open].to_owned()));
            let close = text[open..].find('}').map(|offset| open + offset);
            let (true, Some(close)) = (text[open..].starts_with('{'), close) else {
                return Err(FormulaError {
                    span: open..open + 1,
                    problem: FormulaProblem::Unreadable {
                        wanted: "a name between `{` and `}`".to_owned(),
                    },
                });
            };
            let (name, span) = (&text[open + 1..close], open + 1..close);
            pieces.push(match name.strip_prefix("limit.") {
                Some(limit) if names.limits.contains_key(limit) => Piece::Limit(limit.to_owned()),
                Some(limit) => {
                    return Err(FormulaError {
                        span,
                        problem: FormulaProblem::UnknownLimit {
                            name: limit.to_owned(),
                        },
                    });
                }
                None => Piece::Fact(names.fact(name, &span)?),
            });
            at = close + 1;
        }
        pieces.push(Piece::Words(text[at..].to_owned()));
        Ok(Self(pieces))
    }

    /// The text with the values put in; a fact that is not known reads "unknown".
    pub(crate) fn fill(
        &self,
        vocabulary: &Vocabulary,
        facts: &FactSet<'_>,
        limit: impl Fn(&str) -> String,
        system: UnitSystem,
    ) -> String {
        self.0
            .iter()
            .map(|piece| match piece {
                Piece::Words(words) => words.clone(),
                Piece::Fact(index) => facts.get(*index).map_or_else(
                    || "unknown".to_owned(),
                    |fact| vocabulary.facts()[*index].show(&fact.value, system),
                ),
                Piece::Limit(name) => limit(name),
            })
            .collect()
    }
}
