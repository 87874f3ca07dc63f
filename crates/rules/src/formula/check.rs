//! Names and kinds of a formula, checked once when its file is loaded.
//!
//! In: the formula as written, the vocabulary, the rule's scope and limits. Out: a [`Node`]. A unit such as `psi` or `°F` belongs to several kinds; the
//! reading is chosen by what the number is compared or added with, and refused when more than one is left.

use super::algebra::{action, combine, same};
use super::literal::{literal, literal_readings, number_readings};
use super::node::Node;
use super::syntax::{Comparison, Expression, Function, Operation, Part};
use super::{FormulaError, FormulaProblem};
use crate::kind::{NumberKind, Value, ValueKind};
use crate::vocabulary::Vocabulary;
use std::collections::BTreeMap;
use std::ops::Range;

/// The names a formula may use.
pub(crate) struct Names<'a> {
    pub(crate) vocabulary: &'a Vocabulary,
    /// Scope of the rule.
    pub(crate) scope: &'a str,
    /// Limits of the rule: name to value as written.
    pub(crate) limits: &'a BTreeMap<String, String>,
}

/// Checks a formula that must answer yes or no.
pub(crate) fn condition(written: &Expression, names: &Names<'_>) -> Result<Node, FormulaError> {
    names.resolve(written, ValueKind::Flag)
}

type Checked<T> = Result<T, FormulaError>;

fn refuse<T>(span: &Range<usize>, problem: FormulaProblem) -> Checked<T> {
    Err(FormulaError {
        span: span.clone(),
        problem,
    })
}

fn kind_list(kinds: &[ValueKind]) -> String {
    let names: Vec<&str> = kinds.iter().map(|kind| kind.name()).collect();
    names.join(" or ")
}

fn mismatch<T>(
    span: &Range<usize>,
    left: &[ValueKind],
    right: &[ValueKind],
    action: &'static str,
) -> Checked<T> {
    refuse(
        span,
        FormulaProblem::Mismatch {
            left: kind_list(left),
            right: kind_list(right),
            action,
        },
    )
}

/// The common kind of two sides, if they have one.
fn common(left: ValueKind, right: ValueKind) -> Option<ValueKind> {
    match (left, right) {
        (ValueKind::Number(left), ValueKind::Number(right)) => same(left, right).map(ValueKind::Number),
        _ => (left == right).then_some(left),
    }
}

fn arithmetic(operation: Operation, left: ValueKind, right: ValueKind) -> Option<ValueKind> {
    match (left, right) {
        (ValueKind::Number(left), ValueKind::Number(right)) => {
            combine(operation, left, right).map(ValueKind::Number)
        }
        _ => None,
    }
}

fn unique(mut kinds: Vec<ValueKind>) -> Vec<ValueKind> {
    kinds.sort_unstable();
    kinds.dedup();
    kinds
}

impl Names<'_> {
    /// The kinds a part may have, never none.
    fn readings(&self, written: &Expression) -> Checked<Vec<ValueKind>> {
        Ok(match &written.part {
            Part::Number(text) => number_readings(text),
            Part::Text(_) => vec![ValueKind::Text],
            Part::Flag(_)
            | Part::Known { .. }
            | Part::OneOf { .. }
            | Part::Not(_)
            | Part::Compare(..)
            | Part::All(_)
            | Part::Any(_) => vec![ValueKind::Flag],
            Part::Name(name) => match self.limit(name, &written.span)? {
                Some(text) => literal_readings(text),
                None => vec![self.vocabulary.facts()[self.fact(name, &written.span)?].kind],
            },
            Part::Negative(inner) => self.readings(inner)?,
            Part::Arithmetic(operation, left, right) => {
                let (lefts, rights) = (self.readings(left)?, self.readings(right)?);
                let found = pairs(&lefts, &rights)
                    .filter_map(|(left, right)| arithmetic(*operation, left, right))
                    .collect();
                let found = unique(found);
                if found.is_empty() {
                    return mismatch(&written.span, &lefts, &rights, action(*operation));
                }
                found
            }
            Part::Call(function, values) => self.shared_readings(*function, values, &written.span)?,
            Part::If { then, otherwise, .. } => {
                let (thens, others) = (self.readings(then)?, self.readings(otherwise)?);
                let found = unique(
                    pairs(&thens, &others)
                        .filter_map(|(left, right)| common(left, right))
                        .collect(),
                );
                if found.is_empty() {
                    return mismatch(&written.span, &thens, &others, "alternatives");
                }
                found
            }
        })
    }

    /// The kinds that all values of a function can share.
    fn shared_readings(
        &self,
        function: Function,
        values: &[Expression],
        span: &Range<usize>,
    ) -> Checked<Vec<ValueKind>> {
        let (least, most) = function.takes();
        if !(least..=most).contains(&values.len()) {
            let wanted = match (least, most) {
                (1, 1) => "one value".to_owned(),
                (least, most) if least == most => format!("{least} values"),
                (least, _) => format!("{least} values or more"),
            };
            let problem = FormulaProblem::Count {
                function: function.name(),
                wanted,
                given: values.len(),
            };
            return refuse(span, problem);
        }
        let mut shared: Option<Vec<ValueKind>> = None;
        for value in values {
            let own = self.readings(value)?;
            if let Some(other) = own.iter().find(|kind| !matches!(kind, ValueKind::Number(_))) {
                let problem = FormulaProblem::Unwanted {
                    wanted: "number",
                    given: other.name().to_owned(),
                };
                return refuse(&value.span, problem);
            }
            shared = Some(match shared {
                None => own,
                Some(before) => {
                    let both = unique(
                        pairs(&before, &own)
                            .filter_map(|(left, right)| common(left, right))
                            .collect(),
                    );
                    if both.is_empty() {
                        return mismatch(&value.span, &before, &own, "compared");
                    }
                    both
                }
            });
        }
        let mut shared = shared.unwrap_or_default();
        if matches!(function, Function::Abs | Function::RoundUp) {
            // Neither means anything for a temperature, whose zero is a convention.
            shared.retain(|kind| *kind != ValueKind::Number(NumberKind::Temperature));
            if shared.is_empty() {
                let problem = FormulaProblem::Unwanted {
                    wanted: "number with a true zero",
                    given: NumberKind::Temperature.name().to_owned(),
                };
                return refuse(span, problem);
            }
        }
        Ok(shared)
    }

    /// The checked part, read as kind `wanted`.
    fn resolve(&self, written: &Expression, wanted: ValueKind) -> Checked<Node> {
        let span = &written.span;
        let readings = self.readings(written)?;
        let Some(kind) = readings
            .iter()
            .copied()
            .find(|kind| common(*kind, wanted) == Some(wanted))
        else {
            let problem = FormulaProblem::Unwanted {
                wanted: wanted.name(),
                given: kind_list(&readings),
            };
            return refuse(span, problem);
        };
        match &written.part {
            Part::Number(text) | Part::Text(text) => literal(text, wanted, None, span),
            Part::Flag(flag) => Ok(Node::Literal {
                value: Value::Flag(*flag),
                written: Value::Flag(*flag).show(quantity::UnitSystem::Us),
                limit: None,
            }),
            Part::Name(name) => match self.limit(name, span)? {
                Some(text) => literal(text, wanted, Some(name.as_str()), span),
                None => self.fact(name, span).map(Node::Fact),
            },
            Part::Known { name, wanted } => {
                if self.limit(name, span)?.is_some() {
                    let problem = FormulaProblem::Unwanted {
                        wanted: "fact",
                        given: "limit".to_owned(),
                    };
                    return refuse(span, problem);
                }
                let fact = self.fact(name, span)?;
                Ok(Node::Known {
                    fact,
                    wanted: *wanted,
                })
            }
            Part::OneOf { value, choices } => {
                let node = self.resolve(value, ValueKind::Text)?;
                let mut words = Vec::new();
                for choice in choices {
                    if let Part::Text(text) = &choice.part {
                        self.check_choice(&node, text, &choice.span)?;
                        words.push(text.clone());
                    }
                }
                Ok(Node::OneOf {
                    value: Box::new(node),
                    choices: words,
                })
            }
            Part::Not(inner) => Ok(Node::Not(Box::new(self.resolve(inner, ValueKind::Flag)?))),
            Part::Negative(inner) => {
                if !matches!(kind, ValueKind::Number(number) if number != NumberKind::Temperature) {
                    let problem = FormulaProblem::Unwanted {
                        wanted: "number with a true zero",
                        given: kind.name().to_owned(),
                    };
                    return refuse(span, problem);
                }
                Ok(Node::Negative(Box::new(self.resolve(inner, wanted)?)))
            }
            Part::Arithmetic(operation, left, right) => {
                let (left_kind, right_kind) = self.one_pair(left, right, span, |left, right| {
                    arithmetic(*operation, left, right) == Some(kind)
                })?;
                let ValueKind::Number(number) = wanted else {
                    return mismatch(span, &[left_kind], &[right_kind], action(*operation));
                };
                Ok(Node::Arithmetic {
                    operation: *operation,
                    left: Box::new(self.resolve(left, left_kind)?),
                    right: Box::new(self.resolve(right, right_kind)?),
                    kind: number,
                })
            }
            Part::Compare(comparison, left, right) => self.comparison(*comparison, left, right, span),
            Part::All(items) => self.conditions(items).map(Node::All),
            Part::Any(items) => self.conditions(items).map(Node::Any),
            Part::Call(function, values) => {
                let ValueKind::Number(number) = wanted else {
                    let problem = FormulaProblem::Unwanted {
                        wanted: wanted.name(),
                        given: kind.name().to_owned(),
                    };
                    return refuse(span, problem);
                };
                let values = values
                    .iter()
                    .map(|value| self.resolve(value, wanted))
                    .collect::<Checked<Vec<_>>>()?;
                Ok(Node::Call {
                    function: *function,
                    values,
                    kind: number,
                })
            }
            Part::If {
                condition,
                then,
                otherwise,
            } => Ok(Node::If {
                condition: Box::new(self.resolve(condition, ValueKind::Flag)?),
                then: Box::new(self.resolve(then, wanted)?),
                otherwise: Box::new(self.resolve(otherwise, wanted)?),
            }),
        }
    }

    fn conditions(&self, items: &[Expression]) -> Checked<Vec<Node>> {
        items
            .iter()
            .map(|item| self.resolve(item, ValueKind::Flag))
            .collect()
    }

    fn comparison(
        &self,
        comparison: Comparison,
        left: &Expression,
        right: &Expression,
        span: &Range<usize>,
    ) -> Checked<Node> {
        let fits = |left: ValueKind, right: ValueKind| {
            common(left, right)
                .is_some_and(|kind| !comparison.orders() || matches!(kind, ValueKind::Number(_)))
        };
        let (left_kind, right_kind) = self.one_pair(left, right, span, fits)?;
        let Some(kind) = common(left_kind, right_kind) else {
            return mismatch(span, &[left_kind], &[right_kind], "compared");
        };
        let (left_node, right_node) = (self.resolve(left, kind)?, self.resolve(right, kind)?);
        if let Part::Text(text) = &right.part {
            self.check_choice(&left_node, text, &right.span)?;
        }
        if let Part::Text(text) = &left.part {
            self.check_choice(&right_node, text, &left.span)?;
        }
        Ok(Node::Compare {
            comparison,
            left: Box::new(left_node),
            right: Box::new(right_node),
            kind,
        })
    }

    /// The one pair of readings that fits; refused when none or several do.
    fn one_pair(
        &self,
        left: &Expression,
        right: &Expression,
        span: &Range<usize>,
        fits: impl Fn(ValueKind, ValueKind) -> bool,
    ) -> Checked<(ValueKind, ValueKind)> {
        let (lefts, rights) = (self.readings(left)?, self.readings(right)?);
        let fitting: Vec<_> = pairs(&lefts, &rights)
            .filter(|(left, right)| fits(*left, *right))
            .collect();
        match fitting.as_slice() {
            [pair] => Ok(*pair),
            [] => mismatch(span, &lefts, &rights, "compared"),
            [(first, _), ..] => {
                let mut readings: Vec<&str> = fitting.iter().map(|(left, _)| left.name()).collect();
                readings.dedup();
                if readings.len() < 2 {
                    readings = std::iter::once(first.name())
                        .chain(fitting.iter().map(|(_, right)| right.name()))
                        .collect();
                }
                refuse(
                    span,
                    FormulaProblem::Ambiguous {
                        readings: readings.join(" or "),
                    },
                )
            }
        }
    }

    fn check_choice(&self, node: &Node, text: &str, span: &Range<usize>) -> Checked<()> {
        if let Node::Fact(index) = node {
            let fact = &self.vocabulary.facts()[*index];
            if !fact.choices.is_empty() && !fact.choices.iter().any(|choice| choice == text) {
                let problem = FormulaProblem::Choice {
                    text: text.to_owned(),
                    fact: fact.name.clone(),
                    choices: fact.choices.join(", "),
                };
                return refuse(span, problem);
            }
        }
        Ok(())
    }

    /// The limit's value as written, when `name` names a limit.
    fn limit(&self, name: &str, span: &Range<usize>) -> Checked<Option<&str>> {
        match name.strip_prefix("limit.") {
            None => Ok(None),
            Some(limit) => match self.limits.get(limit) {
                Some(text) => Ok(Some(text)),
                None => refuse(
                    span,
                    FormulaProblem::UnknownLimit {
                        name: limit.to_owned(),
                    },
                ),
            },
        }
    }

    /// The fact called `name`, if the vocabulary has it and the rule's scope sees it.
    pub(crate) fn fact(&self, name: &str, span: &Range<usize>) -> Checked<usize> {
        let Some(index) = self.vocabulary.index(name) else {
            let problem = FormulaProblem::UnknownFact {
                name: name.to_owned(),
                nearest: self.vocabulary.nearest(name).map(str::to_owned),
            };
            return refuse(span, problem);
        };
        let owner = self.vocabulary.facts()[index].scope();
        let sees: &[String] = self.vocabulary.scope(self.scope).map_or(&[], |scope| &scope.sees);
        if owner == self.scope || sees.iter().any(|seen| seen == owner) {
            return Ok(index);
        }
        let problem = FormulaProblem::UnseenFact {
            name: name.to_owned(),
            scope: self.scope.to_owned(),
            sees: std::iter::once(self.scope)
                .chain(sees.iter().map(String::as_str))
                .collect::<Vec<_>>()
                .join(", "),
        };
        refuse(span, problem)
    }
}

fn pairs<'a>(
    lefts: &'a [ValueKind],
    rights: &'a [ValueKind],
) -> impl Iterator<Item = (ValueKind, ValueKind)> + 'a {
    lefts
        .iter()
        .flat_map(move |left| rights.iter().map(move |right| (*left, *right)))
}
