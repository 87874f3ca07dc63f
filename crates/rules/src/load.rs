//! Files to rule book: reads, checks, tries the cases, applies amendments. Start at [`load`].
//!
//! In: a book to start from, names and texts of files. Out: the book with them, or every complaint with file and line.
//! Order of work: scopes and facts, editions and cautions, rules, their cases, amendments; so a file may use what any other
//! file defines, and a case tries its rule as published, before local changes.

use crate::book::RuleBook;
use crate::editions::Edition;
use crate::file::{BasisEntry, CaseEntry, FactEntry, RuleEntry, RuleFile, WhenUnknown};
use crate::formula::check::Names;
use crate::formula::literal::literal_readings;
use crate::kind::{NumberKind, ValueKind};
use crate::problem::{RuleFileProblem, RuleProblem, place};
use crate::rule::{Basis, Expect, Rule, RuleCase, RuleText};
use crate::vocabulary::{FactDefinition, Scope, nearest};
use std::collections::BTreeMap;
use toml::Spanned;
use trace::Severity;

/// Adds the files to a book.
///
/// # Errors
/// Everything that is wrong with them.
pub(crate) fn load<'t>(
    book: RuleBook,
    files: impl IntoIterator<Item = (&'t str, &'t str)>,
) -> Result<RuleBook, Vec<RuleFileProblem>> {
    let mut loader = Loader {
        book,
        problems: Vec::new(),
    };
    let mut read = Vec::new();
    for (name, text) in files {
        let source = SourceText { name, text };
        match toml::from_str::<RuleFile>(text) {
            Ok(file) => read.push((source, file)),
            Err(error) => {
                let at = error.span().map_or(0, |span| span.start);
                loader.complain(&source, at, RuleProblem::Form(error.message().to_owned()));
            }
        }
    }
    for (source, file) in &read {
        loader.vocabulary(source, file);
    }
    for (source, file) in &read {
        loader.scopes_exist(source, file);
    }
    for (source, file) in &read {
        for rule in &file.rule {
            loader.rule(source, rule);
        }
    }
    for (source, file) in &read {
        for amendment in &file.amend {
            loader.amend(source, amendment.get_ref(), amendment.span().start);
        }
    }
    if loader.problems.is_empty() {
        Ok(loader.book)
    } else {
        Err(loader.problems)
    }
}

/// A file's name and text, to find lines in.
#[derive(Clone, Copy)]
pub(crate) struct SourceText<'t> {
    name: &'t str,
    text: &'t str,
}

impl SourceText<'_> {
    /// Offset in the file of an offset within a string value; the value's start when it is written with escapes.
    fn within(&self, value: &Spanned<String>, offset: usize) -> usize {
        let span = value.span();
        let raw = self.text.get(span.clone()).unwrap_or_default();
        span.start + raw.find(value.get_ref().as_str()).map_or(0, |at| at + offset)
    }
}

/// The book so far and the complaints so far.
pub(crate) struct Loader {
    pub(crate) book: RuleBook,
    pub(crate) problems: Vec<RuleFileProblem>,
}

impl Loader {
    pub(crate) fn complain(&mut self, source: &SourceText<'_>, at: usize, problem: RuleProblem) {
        let (line, column) = place(source.text, at);
        self.problems.push(RuleFileProblem {
            file: source.name.to_owned(),
            line,
            column,
            problem,
        });
    }

    /// Complains of texts that are empty.
    pub(crate) fn filled(&mut self, source: &SourceText<'_>, field: &'static str, text: &Spanned<String>) {
        if text.get_ref().trim().is_empty() {
            self.complain(source, text.span().start, RuleProblem::Empty { field });
        }
    }

    fn vocabulary(&mut self, source: &SourceText<'_>, file: &RuleFile) {
        for entry in &file.scope {
            let entry = entry.get_ref();
            self.filled(source, "meaning", &entry.meaning);
            let name = entry.name.get_ref().clone();
            let new = self.book.vocabulary.add_scope(Scope {
                name: name.clone(),
                meaning: entry.meaning.get_ref().clone(),
                sees: entry.sees.iter().map(|seen| seen.get_ref().clone()).collect(),
            });
            if !new {
                let at = entry.name.span().start;
                self.complain(source, at, RuleProblem::Duplicate { what: "scope", name });
            }
        }
        for entry in &file.fact {
            self.fact(source, entry.get_ref());
        }
        for entry in &file.edition {
            let entry = entry.get_ref();
            let name = entry.name.get_ref().clone();
            if self.book.editions.iter().any(|edition| edition.name == name) {
                let at = entry.name.span().start;
                self.complain(
                    source,
                    at,
                    RuleProblem::Duplicate {
                        what: "edition",
                        name,
                    },
                );
                continue;
            }
            self.book.editions.push(Edition {
                name,
                family: entry.family.clone(),
                document: entry.document.clone(),
                year: entry.year.clone(),
                always: entry.always,
            });
        }
        for entry in &file.caution {
            let entry = entry.get_ref();
            self.filled(source, "text", &entry.text);
            let id = entry.id.get_ref().clone();
            let text = entry.text.get_ref().trim().to_owned();
            if self.book.cautions.insert(id.clone(), text).is_some() {
                let at = entry.id.span().start;
                self.complain(
                    source,
                    at,
                    RuleProblem::Duplicate {
                        what: "caution",
                        name: id,
                    },
                );
            }
        }
    }

    /// Complains of scopes that are named and not there; any file may define them.
    fn scopes_exist(&mut self, source: &SourceText<'_>, file: &RuleFile) {
        for seen in file.scope.iter().flat_map(|entry| &entry.get_ref().sees) {
            self.scope_exists(source, seen.get_ref(), seen.span().start);
        }
        for entry in &file.fact {
            let name = &entry.get_ref().name;
            if let Some((scope, _)) = name.get_ref().split_once('.') {
                self.scope_exists(source, scope, name.span().start);
            }
        }
    }

    fn scope_exists(&mut self, source: &SourceText<'_>, scope: &str, at: usize) {
        if self.book.vocabulary.scope(scope).is_none() {
            let known = self
                .book
                .vocabulary
                .scopes()
                .iter()
                .map(|scope| scope.name.as_str());
            let problem = RuleProblem::Unknown {
                what: "scope",
                name: scope.to_owned(),
                nearest: nearest(scope, known).map(str::to_owned),
            };
            self.complain(source, at, problem);
        }
    }

    fn fact(&mut self, source: &SourceText<'_>, entry: &FactEntry) {
        self.filled(source, "meaning", &entry.meaning);
        self.filled(source, "measure", &entry.measure);
        let name = entry.name.get_ref().clone();
        let at = entry.name.span().start;
        let well_formed = name.split('.').count() == 2
            && name.split('.').all(|word| {
                word.starts_with(|first: char| first.is_ascii_lowercase())
                    && word
                        .chars()
                        .all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_')
            });
        if !well_formed || name.starts_with("limit.") {
            let example = "circuit.load_current";
            self.complain(
                source,
                at,
                RuleProblem::Name {
                    what: "fact",
                    name,
                    example,
                },
            );
            return;
        }
        let Some(kind) = ValueKind::named(entry.kind.get_ref()) else {
            let known = NumberKind::nameable()
                .map(NumberKind::name)
                .chain(["flag", "text"]);
            let problem = RuleProblem::Unknown {
                what: "kind",
                name: entry.kind.get_ref().clone(),
                nearest: nearest(entry.kind.get_ref(), known).map(str::to_owned),
            };
            self.complain(source, entry.kind.span().start, problem);
            return;
        };
        for unit in entry.shown_in.iter().flat_map(|shown| [&shown.us, &shown.si]) {
            let known = matches!(kind, ValueKind::Number(kind) if kind.has_unit(unit.get_ref()));
            if !known {
                let problem = RuleProblem::Unit {
                    unit: unit.get_ref().clone(),
                    kind: kind.name(),
                };
                self.complain(source, unit.span().start, problem);
            }
        }
        let new = self.book.vocabulary.add_fact(FactDefinition {
            name: name.clone(),
            kind,
            meaning: entry.meaning.get_ref().clone(),
            measure: entry.measure.get_ref().clone(),
            choices: entry.choices.clone(),
            shown_in: entry
                .shown_in
                .as_ref()
                .map(|shown| (shown.us.get_ref().clone(), shown.si.get_ref().clone())),
        });
        if !new {
            self.complain(source, at, RuleProblem::Duplicate { what: "fact", name });
        }
    }

    fn rule(&mut self, source: &SourceText<'_>, entry: &Spanned<RuleEntry>) {
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
        let basis = self.basis(source, rule.basis.get_ref());
        let cases = rule
            .case
            .iter()
            .filter_map(|case| self.case(source, case))
            .collect();
        if self.problems.len() > before {
            return;
        }
        let text = RuleText {
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
        for (name, value) in &rule.limits {
            if checked.limit(name).is_none() {
                let at = value.span().start;
                self.complain(source, at, RuleProblem::UnusedLimit(name.clone()));
            }
        }
        let made = Rule {
            id,
            title: rule.title.get_ref().clone(),
            scope: scope.clone(),
            severity: *rule.severity.get_ref(),
            basis,
            why: rule.why.get_ref().clone(),
            caution: caution.map(|caution| caution.get_ref().clone()),
            limits,
            amendments: Vec::new(),
            disabled: false,
            file: source.name.to_owned(),
            skip_when_unknown: rule.when_unknown == WhenUnknown::Skip,
            text,
            checked,
            cases,
        };
        for (case, entry) in made.cases.iter().zip(&rule.case) {
            if let Err(problem) = self.book.try_case(&made, case) {
                self.complain(source, entry.span().start, problem);
            }
        }
        self.book.rules.push(made);
    }

    pub(crate) fn severity(&mut self, source: &SourceText<'_>, severity: &Spanned<Severity>) {
        if matches!(severity.get_ref(), Severity::Met | Severity::Unknown) {
            let problem = RuleProblem::Severity(severity.get_ref().word());
            self.complain(source, severity.span().start, problem);
        }
    }

    pub(crate) fn basis(&mut self, source: &SourceText<'_>, entries: &[Spanned<BasisEntry>]) -> Vec<Basis> {
        let mut found = Vec::new();
        for entry in entries {
            let (entry, at) = (entry.get_ref(), entry.span().start);
            if entry.editions.is_empty() {
                self.complain(source, at, RuleProblem::NoBasis);
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
            });
        }
        found
    }

    fn unknown_edition(&self, name: &str) -> RuleProblem {
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

/// A limit as formulas write numbers: one space between number and unit.
pub(crate) fn normal(text: &str) -> String {
    let text = text.trim();
    let unit_at = text
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '-')))
        .unwrap_or(text.len());
    match (&text[..unit_at], text[unit_at..].trim()) {
        ("", _) | (_, "") => text.to_owned(),
        (digits, unit) => format!("{digits} {unit}"),
    }
}
