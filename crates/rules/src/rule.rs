//! One rule: what it is about, when it applies, what it requires, where it comes from.
//!
//! Everything a rule says stands in its file; this is that file's content, checked. A rule is applied in `assess`.

use crate::formula::check::Names;
use crate::formula::literal::show_written;
use crate::formula::node::Node;
use crate::formula::words::Writer;
use crate::formula::{Formula, FormulaError};
use crate::kind::{NumberKind, Value};
use crate::template::{ForReaders, Template};
use crate::vocabulary::Vocabulary;
use quantity::UnitSystem;
use std::collections::BTreeMap;
use trace::{Severity, SourceStatus};

/// One rule of the book.
#[derive(Debug, Clone)]
pub struct Rule {
    /// Id, such as `circuit.conductor-ampacity`.
    pub id: String,
    /// Scope of the subjects it is applied to.
    pub scope: String,
    /// What it is about; see [`crate::Area`].
    pub area: String,
    /// What it asks of people when it is not met.
    pub severity: Severity,
    /// Where it comes from, by edition.
    pub basis: Vec<Basis>,
    /// Id of the caution that belongs to it.
    pub caution: Option<String>,
    /// Thresholds by name, as written.
    pub limits: BTreeMap<String, String>,
    /// Local changes, in the order applied.
    pub amendments: Vec<Amendment>,
    /// Set aside by an amendment.
    pub disabled: bool,
    /// Editions in which an amendment says that it no longer stands.
    pub withdrawn: Vec<String>,
    /// File it stands in.
    pub file: String,
    /// When `applies` cannot be answered: true skips the rule, false reports the missing facts.
    pub(crate) skip_when_unknown: bool,
    pub(crate) title: ForReaders,
    pub(crate) why: ForReaders,
    pub(crate) text: RuleText,
    pub(crate) checked: CheckedRule,
    pub(crate) cases: Vec<RuleCase>,
}

/// Where a rule comes from in some editions.
#[derive(Debug, Clone)]
pub struct Basis {
    /// The editions.
    pub editions: Vec<String>,
    /// The document, where the edition itself does not name it.
    pub document: Option<String>,
    /// The document's own edition or year.
    pub document_edition: Option<String>,
    /// Article, section, table or page.
    pub place: Option<String>,
    /// How surely it was read.
    pub status: SourceStatus,
    /// The page in which it was seen.
    pub seen_in: Option<String>,
    /// Limits that these editions have otherwise than the rule in general: name and value as written.
    pub limits: BTreeMap<String, String>,
    /// Severity, where these editions ask for another.
    pub severity: Option<Severity>,
    /// The rule with these limits; none when there are none.
    pub(crate) checked: Option<CheckedRule>,
}

/// A rule as some editions have it; without a basis, as it is in general.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Reading<'r> {
    pub(crate) rule: &'r Rule,
    pub(crate) basis: Option<&'r Basis>,
}

impl<'r> Reading<'r> {
    /// Formulas and texts.
    pub(crate) fn checked(self) -> &'r CheckedRule {
        let own = self.basis.and_then(|basis| basis.checked.as_ref());
        own.unwrap_or(&self.rule.checked)
    }

    /// What it asks of people when it is not met.
    pub(crate) fn severity(self) -> Severity {
        let own = self.basis.and_then(|basis| basis.severity);
        own.unwrap_or(self.rule.severity)
    }

    /// A limit as written.
    fn limit(self, name: &str) -> Option<&'r String> {
        let own = self.basis.and_then(|basis| basis.limits.get(name));
        own.or_else(|| self.rule.limits.get(name))
    }

    /// Title, for a reader of `system`.
    pub(crate) fn title(self, vocabulary: &Vocabulary, system: UnitSystem) -> String {
        let limit = |name: &str| self.show_limit(name, vocabulary, system);
        self.checked().title.fill(vocabulary, None, limit, system)
    }

    /// A limit for a reader of `system`, written as its formula writes it.
    pub(crate) fn show_limit(self, name: &str, vocabulary: &Vocabulary, system: UnitSystem) -> String {
        let written = self.limit(name).cloned().unwrap_or_default();
        let Some(Value::Number(kind, base)) = self.checked().limit(name) else {
            return written;
        };
        let writer = Writer {
            vocabulary,
            scope: &self.rule.scope,
            system,
            values: None,
        };
        let unit = self
            .checked()
            .compared_with_limit(name)
            .and_then(|node| writer.unit_around(node, kind));
        show_written(kind, base, &written, unit.as_deref(), system)
    }

    /// What must hold, in words.
    pub(crate) fn requirement(self, vocabulary: &Vocabulary, system: UnitSystem) -> String {
        self.checked()
            .require
            .in_words(vocabulary, &self.rule.scope, system)
    }

    /// When the rule applies, in words; none when it always does.
    pub(crate) fn applicability(self, vocabulary: &Vocabulary, system: UnitSystem) -> Option<String> {
        let applies = self.checked().applies.as_ref()?;
        Some(applies.in_words(vocabulary, &self.rule.scope, system))
    }
}

/// A local change to a rule.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Amendment {
    /// The ordinance.
    pub ordinance: String,
    /// What it changes, in words.
    pub changes: String,
    /// Why, if the file says so.
    pub reason: Option<String>,
}

/// One example that comes with a rule and is tried whenever its file is loaded.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct RuleCase {
    pub(crate) id: String,
    pub(crate) edition: Option<String>,
    pub(crate) facts: Vec<(String, String)>,
    pub(crate) expect: Expect,
}

/// What a case expects.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Expect {
    /// A finding of this severity.
    Finding(Severity),
    /// No finding.
    NotApplicable,
}

impl Expect {
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Finding(severity) => severity.word(),
            Self::NotApplicable => "not applicable",
        }
    }
}

/// Formulas and texts as written.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct RuleText {
    pub(crate) title: String,
    pub(crate) why: String,
    pub(crate) applies: Option<String>,
    pub(crate) require: String,
    pub(crate) met: String,
    pub(crate) unmet: String,
    pub(crate) remedy: String,
}

/// Formulas and texts, checked against the vocabulary.
#[derive(Debug, Clone)]
pub(crate) struct CheckedRule {
    pub(crate) title: Template,
    pub(crate) why: Template,
    pub(crate) applies: Option<Formula>,
    pub(crate) require: Formula,
    pub(crate) met: Template,
    pub(crate) unmet: Template,
    pub(crate) remedy: Template,
}

impl RuleText {
    /// Checks formulas and texts.
    ///
    /// # Errors
    /// The first complaint, with the field it is in.
    pub(crate) fn check(&self, names: &Names<'_>) -> Result<CheckedRule, (&'static str, FormulaError)> {
        let formula = |field, text: &str| Formula::read(text, names).map_err(|error| (field, error));
        let template = |field, text: &str| Template::read(text, names).map_err(|error| (field, error));
        let general = |field, text: &str| Template::read_general(text, names).map_err(|error| (field, error));
        Ok(CheckedRule {
            title: general("title", &self.title)?,
            why: general("why", &self.why)?,
            applies: self
                .applies
                .as_deref()
                .map(|text| formula("applies", text))
                .transpose()?,
            require: formula("require", &self.require)?,
            met: template("met", &self.met)?,
            unmet: template("unmet", &self.unmet)?,
            remedy: template("remedy", &self.remedy)?,
        })
    }
}

impl CheckedRule {
    /// The value of a limit as the formulas read it; none when no formula uses it.
    pub(crate) fn limit(&self, name: &str) -> Option<Value> {
        let mut found = None;
        for formula in self.applies.iter().chain([&self.require]) {
            formula.root.each(&mut |node| {
                if let Node::Literal {
                    value,
                    limit: Some(limit),
                    ..
                } = node
                    && limit == name
                {
                    found.get_or_insert_with(|| value.clone());
                }
            });
        }
        found
    }

    /// The innermost comparison that uses a limit.
    fn compared_with_limit(&self, name: &str) -> Option<&Node> {
        let mut found = None;
        for formula in self.applies.iter().chain([&self.require]) {
            formula.root.each(&mut |node| {
                let Node::Compare { .. } = node else { return };
                node.each(&mut |inner| {
                    if matches!(inner, Node::Literal { limit: Some(limit), .. } if limit == name) {
                        found = Some(node);
                    }
                });
            });
        }
        found
    }

    /// The kind of a limit, when it is a number.
    pub(crate) fn limit_kind(&self, name: &str) -> Option<NumberKind> {
        match self.limit(name) {
            Some(Value::Number(kind, _)) => Some(kind),
            _ => None,
        }
    }
}

impl Rule {
    /// Title in our own words, for a reader of `system`.
    pub fn title(&self, system: UnitSystem) -> &str {
        self.title.get(system)
    }

    /// Why it exists, for a reader of `system`.
    pub fn why(&self, system: UnitSystem) -> &str {
        self.why.get(system)
    }

    /// Writes title and reason anew from the limits as they are.
    pub(crate) fn write_general_texts(&mut self, vocabulary: &Vocabulary) {
        let written = |template: &Template| {
            ForReaders::new(|system| {
                let limit = |name: &str| self.in_general().show_limit(name, vocabulary, system);
                template.fill(vocabulary, None, limit, system)
            })
        };
        (self.title, self.why) = (written(&self.checked.title), written(&self.checked.why));
    }

    /// The facts its formulas use, each once.
    pub(crate) fn facts(&self) -> Vec<usize> {
        let mut facts = self.checked.require.facts();
        for fact in self.checked.applies.iter().flat_map(Formula::facts) {
            if !facts.contains(&fact) {
                facts.push(fact);
            }
        }
        facts
    }

    /// The rule as it is in general.
    pub(crate) fn in_general(&self) -> Reading<'_> {
        Reading {
            rule: self,
            basis: None,
        }
    }
}
