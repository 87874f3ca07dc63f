//! Writes a checked formula for people: in words, or with the numbers put in.
//!
//! `circuit.load_current <= circuit.conductor_ampacity` reads "load current ≤ conductor ampacity" and, with values,
//! "37.5 A ≤ 40 A". A number of the rule is shown in the unit its fact asks for, else as the rule writes it, unless that is
//! the other system's unit.

use super::literal::show_written;
use super::node::Node;
use super::syntax::{Function, Operation};
use crate::fact_set::FactSet;
use crate::kind::{NumberKind, Value};
use crate::vocabulary::Vocabulary;
use quantity::UnitSystem;

/// Writes formulas for one reader.
pub(crate) struct Writer<'a> {
    pub(crate) vocabulary: &'a Vocabulary,
    /// Scope of the rule; its own facts are named without it.
    pub(crate) scope: &'a str,
    pub(crate) system: UnitSystem,
    /// With these, facts are written as values.
    pub(crate) values: Option<&'a FactSet<'a>>,
}

/// How tightly a part binds; a part inside a tighter one needs parentheses.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Binding {
    Choice,
    Or,
    And,
    Not,
    Comparison,
    Sum,
    Product,
    Value,
}

impl Writer<'_> {
    /// The formula.
    pub(crate) fn write(&self, node: &Node) -> String {
        self.part(node, None)
    }

    /// A number of `kind` in the unit of the facts and literals around it.
    pub(crate) fn number(&self, kind: NumberKind, base: f64, unit: Option<&str>) -> String {
        match unit {
            Some(unit) => kind.show_in(base, unit),
            None => kind.show(base, self.system),
        }
    }

    /// The unit in which the numbers of `node` are shown: the one its first fact asks for, if any asks.
    pub(crate) fn unit_around(&self, node: &Node, kind: NumberKind) -> Option<String> {
        let mut unit = None;
        node.each(&mut |part| {
            if let Node::Fact(index) = part
                && unit.is_none()
            {
                unit = self.vocabulary.facts()[*index]
                    .unit(self.system)
                    .map(str::to_owned);
            }
        });
        unit.filter(|unit| kind.has_unit(unit))
    }

    fn part(&self, node: &Node, unit: Option<&str>) -> String {
        match node {
            Node::Literal { value, written, .. } => self.literal(value, written, unit),
            Node::Fact(index) => self.fact(*index),
            Node::Known { fact, wanted } => format!(
                "{} is {}known",
                self.vocabulary.facts()[*fact].words(self.scope),
                if *wanted { "" } else { "not " }
            ),
            Node::OneOf { value, choices } => {
                let choices: Vec<String> = choices.iter().map(|choice| format!("\"{choice}\"")).collect();
                format!(
                    "{} is one of {}",
                    self.inside(value, Binding::Sum, None),
                    choices.join(", ")
                )
            }
            Node::Not(inner) => format!("not {}", self.inside(inner, Binding::Comparison, None)),
            Node::Negative(inner) => format!("−{}", self.inside(inner, Binding::Value, unit)),
            Node::Arithmetic {
                operation,
                left,
                right,
                kind,
            } => {
                let own = if operation.binds_tightly() {
                    Binding::Product
                } else {
                    Binding::Sum
                };
                let unit = self.unit_around(node, *kind).or_else(|| unit.map(str::to_owned));
                // a − (b + c) keeps its parentheses.
                let right_binding = match (operation, own) {
                    (Operation::Subtract, _) => Binding::Product,
                    (Operation::Divide, _) => Binding::Value,
                    (_, own) => own,
                };
                format!(
                    "{} {} {}",
                    self.inside(left, own, unit.as_deref()),
                    operation.sign(),
                    self.inside(right, right_binding, unit.as_deref())
                )
            }
            Node::Compare {
                comparison,
                left,
                right,
                kind,
            } => {
                let unit = match kind {
                    crate::ValueKind::Number(kind) => self.unit_around(node, *kind),
                    _ => None,
                };
                format!(
                    "{} {} {}",
                    self.inside(left, Binding::Sum, unit.as_deref()),
                    comparison.sign(),
                    self.inside(right, Binding::Sum, unit.as_deref())
                )
            }
            Node::All(items) => self.list(items, " and ", Binding::Not),
            Node::Any(items) => self.list(items, " or ", Binding::And),
            Node::Call {
                function,
                values,
                kind,
            } => {
                let unit = self.unit_around(node, *kind).or_else(|| unit.map(str::to_owned));
                let values: Vec<String> = values
                    .iter()
                    .map(|value| self.part(value, unit.as_deref()))
                    .collect();
                match function {
                    Function::Min => format!("the smallest of ({})", values.join(", ")),
                    Function::Max => format!("the largest of ({})", values.join(", ")),
                    Function::Abs => format!("|{}|", values.join(", ")),
                    Function::RoundUp => format!("({}) rounded up", values.join(" in steps of ")),
                }
            }
            Node::If {
                condition,
                then,
                otherwise,
            } => format!(
                "if {} then {} else {}",
                self.inside(condition, Binding::Or, None),
                self.inside(then, Binding::Or, unit),
                self.inside(otherwise, Binding::Or, unit)
            ),
        }
    }

    fn list(&self, items: &[Node], between: &str, least: Binding) -> String {
        let items: Vec<String> = items.iter().map(|item| self.inside(item, least, None)).collect();
        items.join(between)
    }

    /// The part, in parentheses when it binds less tightly than `least`.
    fn inside(&self, node: &Node, least: Binding, unit: Option<&str>) -> String {
        let text = self.part(node, unit);
        if binding(node) < least {
            format!("({text})")
        } else {
            text
        }
    }

    fn fact(&self, index: usize) -> String {
        let definition = &self.vocabulary.facts()[index];
        let name = definition.words(self.scope);
        let Some(facts) = self.values else { return name };
        match facts.get(index).map(|fact| &fact.value) {
            Some(Value::Flag(flag)) => format!("{name} ({})", Value::Flag(*flag).show(self.system)),
            Some(Value::Text(text)) => format!("\"{text}\""),
            Some(number) => definition.show(number, self.system),
            None => format!("{name} (not known)"),
        }
    }

    fn literal(&self, value: &Value, written: &str, unit: Option<&str>) -> String {
        match value {
            Value::Number(kind, base) => show_written(*kind, *base, written, unit, self.system),
            Value::Text(text) => format!("\"{text}\""),
            Value::Flag(_) => written.to_owned(),
        }
    }
}

fn binding(node: &Node) -> Binding {
    match node {
        Node::If { .. } => Binding::Choice,
        Node::Any(_) => Binding::Or,
        Node::All(_) => Binding::And,
        Node::Not(_) => Binding::Not,
        Node::Compare { .. } | Node::Known { .. } | Node::OneOf { .. } => Binding::Comparison,
        Node::Arithmetic { operation, .. } if operation.binds_tightly() => Binding::Product,
        Node::Arithmetic { .. } | Node::Negative(_) => Binding::Sum,
        Node::Literal { .. } | Node::Fact(_) | Node::Call { .. } => Binding::Value,
    }
}
