//! The facts known about one subject, each with the way it entered.
//!
//! Start at [`crate::RuleBook::facts`]. A fact that the vocabulary does not have, or of another kind, is refused when
//! it is set, so that a rule never meets one. A fact that is not set is not known; there is no default.

use crate::kind::{FactValue, NumberKind, Value, ValueKind};
use crate::vocabulary::Vocabulary;
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::fmt;
use std::sync::Arc;
use trace::Origin;

/// Why a fact was refused.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum FactError {
    /// The vocabulary has no such fact.
    #[error("`{name}` is not in the fact vocabulary{}", nearest.as_ref().map(|name| format!("; did you mean `{name}`?")).unwrap_or_default())]
    Unknown {
        /// The name given.
        name: String,
        /// The nearest known name.
        nearest: Option<String>,
    },
    /// The value is of another kind than the fact.
    #[error("`{name}` is a {wanted}, not a {given}")]
    Kind {
        /// The fact.
        name: String,
        /// Its kind.
        wanted: &'static str,
        /// The kind of the value given.
        given: &'static str,
    },
    /// NaN or infinite.
    #[error("`{name}` is not a finite number")]
    NotFinite {
        /// The fact.
        name: String,
    },
    /// A text that is not one of the words the fact may have.
    #[error("`{given}` is not one of the words of `{name}`: {}", choices.join(", "))]
    Choice {
        /// The fact.
        name: String,
        /// The text given.
        given: String,
        /// The words it may have.
        choices: Vec<String>,
    },
    /// A text that does not read as a value of the fact's kind.
    #[error("`{name}`: {reason}")]
    Unreadable {
        /// The fact.
        name: String,
        /// Why it cannot be read.
        reason: String,
    },
}

/// One fact as known: its value and how it entered.
#[derive(Debug, Clone, PartialEq)]
pub struct Fact {
    /// The value.
    pub value: Value,
    /// How it entered.
    pub origin: Origin,
}

/// Gives an input, as printed, for a value of the fact that it drives.
type InputAt = dyn Fn(&Value) -> Option<String> + Send + Sync;

/// The input behind a fact that an engine worked out, so that a finding can say at what length or set point it turns.
#[derive(Clone)]
pub struct Driver {
    pub(crate) symbol: String,
    pub(crate) value: String,
    pub(crate) origin: Origin,
    at: Arc<InputAt>,
}

impl Driver {
    /// An input called `symbol`, as printed and as it entered; `at` gives it, as printed, for another value of the fact,
    /// or nothing when no value of the input would make the fact so.
    pub fn new(
        symbol: impl Into<String>,
        value: impl Into<String>,
        origin: Origin,
        at: impl Fn(&Value) -> Option<String> + Send + Sync + 'static,
    ) -> Self {
        Self {
            symbol: symbol.into(),
            value: value.into(),
            origin,
            at: Arc::new(at),
        }
    }

    /// The input, as printed, at which the fact has this value.
    pub(crate) fn at(&self, fact: &Value) -> Option<String> {
        (self.at)(fact)
    }
}

impl fmt::Debug for Driver {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Driver({} = {})", self.symbol, self.value)
    }
}

/// The facts known about one subject.
#[derive(Debug, Clone)]
pub struct FactSet<'book> {
    vocabulary: &'book Vocabulary,
    scope: String,
    subject: String,
    facts: BTreeMap<usize, Fact>,
    drivers: BTreeMap<usize, Driver>,
}

impl<'book> FactSet<'book> {
    pub(crate) fn new(vocabulary: &'book Vocabulary, scope: &str, subject: &str) -> Self {
        Self {
            vocabulary,
            scope: scope.to_owned(),
            subject: subject.to_owned(),
            facts: BTreeMap::new(),
            drivers: BTreeMap::new(),
        }
    }

    /// What sort of subject this is.
    pub fn scope(&self) -> &str {
        &self.scope
    }

    /// The subject as findings name it.
    pub fn subject(&self) -> &str {
        &self.subject
    }

    /// States a fact. Takes any quantity, `bool`, count (`u32`, `usize`), text, or an `Option` of these; `None` leaves
    /// the fact unknown.
    ///
    /// # Errors
    /// When the vocabulary has no such fact, or the value is not of its kind.
    pub fn set(&mut self, name: &str, value: impl FactValue, origin: Origin) -> Result<&mut Self, FactError> {
        let index = self.vocabulary.index(name).ok_or_else(|| FactError::Unknown {
            name: name.to_owned(),
            nearest: self.vocabulary.nearest(name).map(str::to_owned),
        })?;
        if let Some(value) = value.value() {
            self.check(index, &value)?;
            // What drove the value before does not drive this one.
            self.drivers.remove(&index);
            self.facts.insert(index, Fact { value, origin });
        }
        Ok(self)
    }

    /// States a fact from text a person wrote: "37.5 A", "yes", "3", "outdoor".
    ///
    /// # Errors
    /// As [`FactSet::set`], and when the text does not read as the fact's kind.
    pub fn set_written(&mut self, name: &str, written: &str, origin: Origin) -> Result<&mut Self, FactError> {
        let kind = self.vocabulary.fact(name).map(|fact| fact.kind);
        let unreadable = |reason: String| FactError::Unreadable {
            name: name.to_owned(),
            reason,
        };
        let value = match kind {
            None | Some(ValueKind::Text) => Value::Text(written.to_owned()),
            Some(ValueKind::Flag) => Value::Flag(match written.trim() {
                "yes" | "true" => true,
                "no" | "false" => false,
                other => return Err(unreadable(format!("`{other}` is neither yes nor no"))),
            }),
            Some(ValueKind::Number(kind)) => Value::Number(kind, kind.parse(written).map_err(unreadable)?),
        };
        self.set(name, value, origin)
    }

    /// Says which input drives the fact `name`.
    ///
    /// # Errors
    /// When the vocabulary has no such fact.
    pub fn driven_by(&mut self, name: &str, driver: Driver) -> Result<&mut Self, FactError> {
        let index = self.vocabulary.index(name).ok_or_else(|| FactError::Unknown {
            name: name.to_owned(),
            nearest: self.vocabulary.nearest(name).map(str::to_owned),
        })?;
        self.drivers.insert(index, driver);
        Ok(self)
    }

    pub(crate) fn driver(&self, index: usize) -> Option<&Driver> {
        self.drivers.get(&index)
    }

    /// Takes over the facts of another subject that this one's rules may see, such as the service behind a circuit.
    /// What is known here already stays.
    pub fn include(&mut self, other: &FactSet<'_>) -> &mut Self {
        for (index, fact) in &other.facts {
            let name = &other.vocabulary.facts()[*index].name;
            if let Some(own) = self.vocabulary.index(name)
                && self.check(own, &fact.value).is_ok()
            {
                self.facts.entry(own).or_insert_with(|| fact.clone());
                if let Some(driver) = other.driver(*index) {
                    self.drivers.entry(own).or_insert_with(|| driver.clone());
                }
            }
        }
        self
    }

    /// The same facts, numbered as `vocabulary` numbers them.
    pub(crate) fn for_vocabulary<'s>(&'s self, vocabulary: &'s Vocabulary) -> Cow<'s, FactSet<'s>> {
        if std::ptr::eq(self.vocabulary, vocabulary) {
            return Cow::Borrowed(self);
        }
        let mut same = FactSet::new(vocabulary, &self.scope, &self.subject);
        same.include(self);
        Cow::Owned(same)
    }

    /// The fact called `name`, if known.
    pub fn fact(&self, name: &str) -> Option<&Fact> {
        self.vocabulary.index(name).and_then(|index| self.get(index))
    }

    pub(crate) fn get(&self, index: usize) -> Option<&Fact> {
        self.facts.get(&index)
    }

    /// Gives a known fact another value of its kind.
    pub(crate) fn put(&mut self, index: usize, value: Value) {
        if let Some(fact) = self.facts.get_mut(&index) {
            fact.value = value;
        }
    }

    fn check(&self, index: usize, value: &Value) -> Result<(), FactError> {
        let definition = &self.vocabulary.facts()[index];
        let name = || definition.name.clone();
        if definition.kind != value.kind() {
            return Err(FactError::Kind {
                name: name(),
                wanted: definition.kind.name(),
                given: value.kind().name(),
            });
        }
        match value {
            Value::Number(_, base) if !base.is_finite() => Err(FactError::NotFinite { name: name() }),
            Value::Number(NumberKind::Count, base) if *base < 0.0 || base.fract() != 0.0 => {
                Err(FactError::Unreadable {
                    name: name(),
                    reason: format!("`{base}` is not a count"),
                })
            }
            Value::Text(text) if !definition.choices.is_empty() && !definition.choices.contains(text) => {
                Err(FactError::Choice {
                    name: name(),
                    given: text.clone(),
                    choices: definition.choices.clone(),
                })
            }
            _ => Ok(()),
        }
    }
}
