//! The fact vocabulary: every fact a rule may ask for, with kind, meaning and how to get it on site.
//!
//! In: `data/rules/facts.toml` (and files beside it that add facts). Out: facts by name and scopes with what they see.
//! A fact is named `scope.words_of_the_trade`; the part before the dot says which subject it belongs to. Holds no
//! value and no rule.

use crate::kind::{Value, ValueKind};
use quantity::UnitSystem;
use std::collections::BTreeMap;

/// A sort of subject that rules are applied to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Scope {
    /// Name, such as `circuit`.
    pub name: String,
    /// What one subject of it is.
    pub meaning: String,
    /// Other scopes whose facts a rule of this scope may use as well.
    pub sees: Vec<String>,
}

/// What rules are about, to list and search by.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Area {
    /// Name, such as `grounding`.
    pub name: String,
    /// What belongs to it.
    pub meaning: String,
    /// Live parts, pressure or scalding water are near: each of its rules carries a caution.
    pub hazard: bool,
}

/// One fact that rules may ask for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FactDefinition {
    /// Name, such as `circuit.load_current`.
    pub name: String,
    /// What its value is.
    pub kind: ValueKind,
    /// What it is, in plain words.
    pub meaning: String,
    /// How to get it on site.
    pub measure: String,
    /// For a text: the words it may have; empty when any will do.
    pub choices: Vec<String>,
    /// Units to print it in (US, SI) where the kind's usual ones read badly.
    pub shown_in: Option<(String, String)>,
}

impl FactDefinition {
    /// The part of the name before the dot.
    pub fn scope(&self) -> &str {
        self.name.split('.').next().unwrap_or_default()
    }

    /// The name as words, with the scope in front unless the reader of a rule of `scope` knows it anyway.
    pub(crate) fn words(&self, scope: &str) -> String {
        match self.name.split_once('.') {
            Some((own, rest)) if own == scope => rest.replace('_', " "),
            _ => self.name.replace(['.', '_'], " "),
        }
    }

    /// A value of this fact, for a reader of `system`.
    pub(crate) fn show(&self, value: &Value, system: UnitSystem) -> String {
        match (value, self.unit(system)) {
            (Value::Number(kind, base), Some(unit)) => kind.show_in(*base, unit),
            _ => value.show(system),
        }
    }

    /// The unit this fact asks to be printed in.
    pub(crate) fn unit(&self, system: UnitSystem) -> Option<&str> {
        let (us, si) = self.shown_in.as_ref()?;
        Some(match system {
            UnitSystem::Us => us,
            UnitSystem::Si => si,
        })
    }
}

/// All facts and scopes, in the order of their files.
#[derive(Debug, Clone, Default)]
pub struct Vocabulary {
    scopes: Vec<Scope>,
    facts: Vec<FactDefinition>,
    by_name: BTreeMap<String, usize>,
}

impl Vocabulary {
    /// The scopes.
    pub fn scopes(&self) -> &[Scope] {
        &self.scopes
    }

    /// The scope called `name`.
    pub fn scope(&self, name: &str) -> Option<&Scope> {
        self.scopes.iter().find(|scope| scope.name == name)
    }

    /// The facts.
    pub fn facts(&self) -> &[FactDefinition] {
        &self.facts
    }

    /// The fact called `name`.
    pub fn fact(&self, name: &str) -> Option<&FactDefinition> {
        self.by_name.get(name).map(|&at| &self.facts[at])
    }

    /// The known name nearest to `name`, if one is near.
    pub fn nearest(&self, name: &str) -> Option<&str> {
        nearest(name, self.facts.iter().map(|fact| fact.name.as_str()))
    }

    pub(crate) fn index(&self, name: &str) -> Option<usize> {
        self.by_name.get(name).copied()
    }

    /// Adds a scope; false when one of that name is there.
    pub(crate) fn add_scope(&mut self, scope: Scope) -> bool {
        let new = self.scope(&scope.name).is_none();
        if new {
            self.scopes.push(scope);
        }
        new
    }

    /// Adds a fact; false when one of that name is there.
    pub(crate) fn add_fact(&mut self, fact: FactDefinition) -> bool {
        let new = !self.by_name.contains_key(&fact.name);
        if new {
            self.by_name.insert(fact.name.clone(), self.facts.len());
            self.facts.push(fact);
        }
        new
    }
}

/// The candidate nearest to what was written, if it is near enough to be a slip of the pen.
pub(crate) fn nearest<'a>(written: &str, candidates: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let allowed = 1 + written.chars().count() / 6;
    candidates
        .map(|candidate| (strsim::damerau_levenshtein(written, candidate), candidate))
        .filter(|(distance, _)| *distance <= allowed)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, candidate)| candidate)
}
