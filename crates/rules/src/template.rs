//! Texts of rules with values in them: `the conductor carries {circuit.conductor_ampacity}`.
//!
//! In braces stands a fact the rule sees, one of its limits, or a quantity: `{130 °F}`, `{difference 70 °F}`, so that
//! readers of either unit system get their own units. Checked when the file is loaded.

use crate::fact_set::FactSet;
use crate::formula::check::Names;
use crate::formula::literal::{literal_readings, normal, show_written};
use crate::formula::{FormulaError, FormulaProblem};
use crate::kind::{NumberKind, ValueKind};
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
    /// A quantity with its number in base units and as written.
    Quantity(NumberKind, f64, String),
}

/// A text as readers of each unit system see it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct ForReaders {
    us: String,
    si: String,
}

impl ForReaders {
    pub(crate) fn new(text: impl Fn(UnitSystem) -> String) -> Self {
        Self {
            us: text(UnitSystem::Us),
            si: text(UnitSystem::Si),
        }
    }

    pub(crate) fn get(&self, system: UnitSystem) -> &str {
        match system {
            UnitSystem::Us => &self.us,
            UnitSystem::Si => &self.si,
        }
    }
}

impl Template {
    /// Reads a text that speaks of the rule, not of a subject: no facts.
    ///
    /// # Errors
    /// As [`Template::read`], and when it names a fact.
    pub(crate) fn read_general(text: &str, names: &Names<'_>) -> Result<Self, FormulaError> {
        let template = Self::read(text, names)?;
        if template.0.iter().any(|piece| matches!(piece, Piece::Fact(_))) {
            let at = text.find('{').unwrap_or(0);
            return Err(FormulaError {
                span: at..text.len(),
                problem: FormulaProblem::Unwanted {
                    wanted: "limit or quantity",
                    given: "fact".to_owned(),
                },
            });
        }
        Ok(template)
    }

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
                None if quantity_text(name).is_some() => quantity(name).ok_or_else(|| FormulaError {
                    span: span.clone(),
                    problem: FormulaProblem::Number {
                        text: name.to_owned(),
                        reason: "it has no unit the rule book knows".to_owned(),
                    },
                })?,
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
        facts: Option<&FactSet<'_>>,
        limit: impl Fn(&str) -> String,
        system: UnitSystem,
    ) -> String {
        self.0
            .iter()
            .map(|piece| match piece {
                Piece::Words(words) => words.clone(),
                Piece::Fact(index) => facts.and_then(|facts| facts.get(*index)).map_or_else(
                    || "unknown".to_owned(),
                    |fact| vocabulary.facts()[*index].show(&fact.value, system),
                ),
                Piece::Quantity(kind, base, written) => show_written(*kind, *base, written, None, system),
                Piece::Limit(name) => limit(name),
            })
            .collect()
    }
}

impl Template {
    /// The text for a reader who asks about the rule itself: facts are named, not valued.
    pub(crate) fn fill_named(
        &self,
        fact: impl Fn(usize) -> String,
        limit: impl Fn(&str) -> String,
        system: UnitSystem,
    ) -> String {
        let pieces = self.0.iter();
        pieces
            .map(|piece| match piece {
                Piece::Words(words) => words.clone(),
                Piece::Fact(index) => fact(*index),
                Piece::Quantity(kind, base, written) => show_written(*kind, *base, written, None, system),
                Piece::Limit(name) => limit(name),
            })
            .collect()
    }
}

/// The number and unit in braces, and whether it is a difference; none when it is a name.
fn quantity_text(inside: &str) -> Option<(&str, bool)> {
    let (text, difference) = match inside.strip_prefix("difference ") {
        Some(text) => (text, true),
        None => (inside, false),
    };
    text.starts_with(|first: char| first.is_ascii_digit())
        .then_some((text, difference))
}

fn quantity(inside: &str) -> Option<Piece> {
    let (text, difference) = quantity_text(inside)?;
    let written = normal(text);
    // `°F` and `psi` stand for the thing itself first and for a difference only when the text says so.
    let kind = literal_readings(&written)
        .into_iter()
        .find_map(|reading| match reading {
            ValueKind::Number(kind) if kind != NumberKind::Plain => Some(kind),
            _ => None,
        })?;
    let kind = if difference { kind.difference() } else { kind };
    let base = kind.parse(&written).ok()?;
    Some(Piece::Quantity(kind, base, written))
}
