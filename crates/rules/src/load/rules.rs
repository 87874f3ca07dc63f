//! Rules of a file, checked, tried by their own cases, and taken into the book.

use super::{Loader, SourceText};
use crate::file::{BasisEntry, CaseEntry, RuleEntry, WhenUnknown};
use crate::formula::FormulaError;
use crate::formula::check::Names;
use crate::formula::literal::{literal_readings, normal};
use crate::problem::RuleProblem;
use crate::rule::{Basis, CheckedRule, Expect, Rule, RuleCase, RuleText};
use crate::template::ForReaders;
use crate::vocabulary::{Vocabulary, nearest};
use std::collections::BTreeMap;
use toml::Spanned;
use trace::Severity;

impl Loader {
    /// One rule, unless something is wrong with it.
    pub(super) fn rule(&mut self, source: &SourceText<'_>, entry: &Spanned<RuleEntry>) {
        let before = self.problems.len();
        let rule = entry.get_ref();
        let fields = [
            ("title", &rule.title),
            ("met", &rule.met),
            ("unmet", &rule.unmet),
            ("why", &rule.why),
            ("remedy", &rule.remedy),
        ];
        for (field, text) in fields {
            self.filled(source, field, text);
        }
        let id = rule.id.get_ref().clone();
        if !id.contains('.')
            || !id
                .chars()
                .all(|c| c.is_ascii_alphanumeric() || matches!(c, '.' | '-'))
        {
            let problem = RuleProblem::Name {
                what: "rule",
                name: id.clone(),
                example: "circuit.conductor-ampacity",
            };
            self.complain(source, rule.id.span().start, problem);
        }
        if self.book.rule(&id).is_some() {
            let problem = RuleProblem::Duplicate {
                what: "rule",
                name: id.clone(),
            };
            self.complain(source, rule.id.span().start, problem);
        }
        let scope = rule.scope.get_ref();
        self.scope_exists(source, scope, rule.scope.span().start);
        self.severity(source, &rule.severity);
        let caution = rule.caution.as_ref();
        self.area(source, &rule.area, caution.is_some());
        if let Some(caution) = caution.filter(|caution| !self.book.cautions.contains_key(caution.get_ref())) {
            let known = self.book.cautions.keys().map(String::as_str);
            let problem = RuleProblem::Unknown {
                what: "caution",
                name: caution.get_ref().clone(),
                nearest: nearest(caution.get_ref(), known).map(str::to_owned),
            };
            self.complain(source, caution.span().start, problem);
        }
        if rule.basis.get_ref().is_empty() {
            self.complain(source, rule.basis.span().start, RuleProblem::NoBasis);
        }
        for value in rule.limits.values() {
            if literal_readings(&normal(value.get_ref())).is_empty() {
                let problem = RuleProblem::LimitUnit(value.get_ref().clone());
                self.complain(source, value.span().start, problem);
            }
        }
        let mut basis = self.basis(source, rule.basis.get_ref());
        let cases = rule
            .case
            .iter()
            .filter_map(|case| self.case(source, case))
            .collect();
        if self.problems.len() > before {
            return;
        }
        let text = RuleText {
            title: rule.title.get_ref().clone(),
            why: rule.why.get_ref().clone(),
            applies: rule.applies.as_ref().map(|text| text.get_ref().clone()),
            require: rule.require.get_ref().clone(),
            met: rule.met.get_ref().clone(),
            unmet: rule.unmet.get_ref().clone(),
            remedy: rule.remedy.get_ref().clone(),
        };
        let limits: BTreeMap<String, String> = rule
            .limits
            .iter()
            .map(|(name, value)| (name.clone(), normal(value.get_ref())))
            .collect();
        let names = Names {
            vocabulary: &self.book.vocabulary,
            scope,
            limits: &limits,
        };
        let checked = match text.check(&names) {
            Ok(checked) => checked,
            Err((field, error)) => {
                let value = match field {
                    "applies" => rule.applies.as_ref().unwrap_or(&rule.require),
                    "require" => &rule.require,
                    "title" => &rule.title,
                    "why" => &rule.why,
                    "met" => &rule.met,
                    "unmet" => &rule.unmet,
                    _ => &rule.remedy,
                };
                let at = source.within(value, error.span.start);
                let problem = RuleProblem::Formula {
                    field,
                    problem: error.problem,
                };
                self.complain(source, at, problem);
                return;
            }
        };
        if !self.own_readings(source, &text, (scope, &limits), &mut basis, rule.basis.get_ref()) {
            return;
        }
        for (name, value) in &rule.limits {
            if checked.limit(name).is_none() {
                let at = value.span().start;
                self.complain(source, at, RuleProblem::UnusedLimit(name.clone()));
            }
        }
        let mut made = Rule {
            id,
            title: ForReaders::default(),
            why: ForReaders::default(),
            scope: scope.clone(),
            area: rule.area.get_ref().clone(),
            severity: *rule.severity.get_ref(),
            basis,
            caution: caution.map(|caution| caution.get_ref().clone()),
            limits,
            amendments: Vec::new(),
            disabled: false,
            withdrawn: Vec::new(),
            file: source.name.to_owned(),
            skip_when_unknown: rule.when_unknown == WhenUnknown::Skip,
            text,
            checked,
            cases,
        };
        made.write_general_texts(&self.book.vocabulary);
        for (case, entry) in made.cases.iter().zip(&rule.case) {
            if let Err(problem) = self.book.try_case(&made, case) {
                self.complain(source, entry.span().start, problem);
            }
        }
        self.book.rules.push(made);
    }

    /// Complains of an area that is not there, or that asks for a caution the rule does not have.
    fn area(&mut self, source: &SourceText<'_>, area: &Spanned<String>, has_caution: bool) {
        let (name, at) = (area.get_ref(), area.span().start);
        let known = self.book.areas.iter().find(|known| &known.name == name);
        let problem = match known {
            Some(known) if known.hazard && !has_caution => RuleProblem::NoCaution(name.clone()),
            Some(_) => return,
            None => RuleProblem::Unknown {
                what: "area",
                name: name.clone(),
                nearest: nearest(name, self.book.areas.iter().map(|area| area.name.as_str()))
                    .map(str::to_owned),
            },
        };
        self.complain(source, at, problem);
    }

    /// Checks the rule again for each basis with limits of its own; false when one cannot be.
    pub(super) fn own_readings(
        &mut self,
        source: &SourceText<'_>,
        text: &RuleText,
        (scope, limits): (&str, &BTreeMap<String, String>),
        basis: &mut [Basis],
        entries: &[Spanned<BasisEntry>],
    ) -> bool {
        let before = self.problems.len();
        for (basis, entry) in basis.iter_mut().zip(entries) {
            for (name, value) in &entry.get_ref().limits {
                let at = value.span().start;
                if !limits.contains_key(name) {
                    let problem = RuleProblem::Unknown {
                        what: "limit",
                        name: name.clone(),
                        nearest: nearest(name, limits.keys().map(String::as_str)).map(str::to_owned),
                    };
                    self.complain(source, at, problem);
                } else if literal_readings(&normal(value.get_ref())).is_empty() {
                    let problem = RuleProblem::LimitUnit(value.get_ref().clone());
                    self.complain(source, at, problem);
                }
            }
            match reading(&self.book.vocabulary, text, (scope, limits), basis) {
                Ok(checked) => basis.checked = checked,
                Err((field, error)) => {
                    let problem = RuleProblem::Formula {
                        field,
                        problem: error.problem,
                    };
                    self.complain(source, entry.span().start, problem);
                }
            }
        }
        self.problems.len() == before
    }

    /// Complains of a severity no rule may ask for.
    pub(super) fn severity(&mut self, source: &SourceText<'_>, severity: &Spanned<Severity>) {
        if matches!(severity.get_ref(), Severity::Met | Severity::Unknown) {
            let problem = RuleProblem::Severity(severity.get_ref().word());
            self.complain(source, severity.span().start, problem);
        }
    }

    /// Where a rule comes from, with complaints of editions that are not there.
    pub(super) fn basis(&mut self, source: &SourceText<'_>, entries: &[Spanned<BasisEntry>]) -> Vec<Basis> {
        let mut found = Vec::new();
        for entry in entries {
            let (entry, at) = (entry.get_ref(), entry.span().start);
            if entry.editions.is_empty() {
                self.complain(source, at, RuleProblem::NoBasis);
            }
            if let Some(severity) = &entry.severity {
                self.severity(source, severity);
            }
            for edition in &entry.editions {
                let known = self.book.edition(edition.get_ref());
                if known.is_some_and(|known| known.document.is_none()) && entry.document.is_none() {
                    let edition = edition.get_ref().clone();
                    self.complain(source, at, RuleProblem::NoDocument { edition });
                } else if known.is_none() {
                    let problem = self.unknown_edition(edition.get_ref());
                    self.complain(source, edition.span().start, problem);
                }
            }
            found.push(Basis {
                editions: entry.editions.iter().map(|name| name.get_ref().clone()).collect(),
                document: entry.document.clone(),
                document_edition: entry.document_edition.clone(),
                place: entry.place.clone(),
                status: entry.status.into(),
                seen_in: entry.seen_in.clone(),
                limits: entry
                    .limits
                    .iter()
                    .map(|(name, value)| (name.clone(), normal(value.get_ref())))
                    .collect(),
                severity: entry.severity.as_ref().map(|severity| *severity.get_ref()),
                checked: None,
            });
        }
        found
    }

    pub(super) fn unknown_edition(&self, name: &str) -> RuleProblem {
        let known = self.book.editions.iter().map(|edition| edition.name.as_str());
        RuleProblem::Unknown {
            what: "edition",
            name: name.to_owned(),
            nearest: nearest(name, known).map(str::to_owned),
        }
    }

    fn case(&mut self, source: &SourceText<'_>, entry: &Spanned<CaseEntry>) -> Option<RuleCase> {
        let case = entry.get_ref();
        let expect = match case.expect.get_ref().as_str() {
            "not applicable" => Some(Expect::NotApplicable),
            word => Severity::ALL
                .into_iter()
                .find(|severity| severity.word() == word)
                .map(Expect::Finding),
        };
        if expect.is_none() {
            let problem = RuleProblem::Unknown {
                what: "outcome",
                name: case.expect.get_ref().clone(),
                nearest: Some("not applicable".to_owned()),
            };
            self.complain(source, case.expect.span().start, problem);
        }
        if let Some(edition) = &case.edition
            && self.book.edition(edition.get_ref()).is_none()
        {
            let problem = self.unknown_edition(edition.get_ref());
            self.complain(source, edition.span().start, problem);
        }
        Some(RuleCase {
            id: case.id.clone(),
            edition: case.edition.as_ref().map(|edition| edition.get_ref().clone()),
            facts: case
                .facts
                .iter()
                .map(|(name, value)| (name.clone(), value.get_ref().written()))
                .collect(),
            expect: expect?,
        })
    }
}

/// The rule with the limits that one basis has otherwise; none when it has none.
pub(super) fn reading(
    vocabulary: &Vocabulary,
    text: &RuleText,
    (scope, limits): (&str, &BTreeMap<String, String>),
    basis: &Basis,
) -> Result<Option<CheckedRule>, (&'static str, FormulaError)> {
    if basis.limits.is_empty() {
        return Ok(None);
    }
    let mut own = limits.clone();
    own.extend(basis.limits.clone());
    let names = Names {
        vocabulary,
        scope,
        limits: &own,
    };
    text.check(&names).map(Some)
}
