//! Local amendments: a town changes a limit or a severity, adopts a rule for its edition, or sets one aside.
//!
//! An amendment names the rule and the ordinance, and is printed wherever the rule is. It cannot change what a rule
//! means: another requirement is another rule.

use super::{Loader, SourceText};
use crate::file::AmendEntry;
use crate::formula::check::Names;
use crate::formula::literal::{literal_readings, normal};
use crate::kind::{NumberKind, ValueKind};
use crate::problem::RuleProblem;
use crate::rule::Amendment;
use crate::vocabulary::nearest;
use std::ops::Range;

impl Loader {
    /// Applies one amendment; `at` is where it begins.
    pub(super) fn amend(&mut self, source: &SourceText<'_>, entry: &AmendEntry, at: usize) {
        self.filled(source, "ordinance", &entry.ordinance);
        let Some(index) = self
            .book
            .rules
            .iter()
            .position(|rule| rule.id == *entry.rule.get_ref())
        else {
            // A rule that was refused itself is no complaint against the amendment.
            if self.problems.is_empty() {
                let known = self.book.rules.iter().map(|rule| rule.id.as_str());
                let problem = RuleProblem::Unknown {
                    what: "rule",
                    name: entry.rule.get_ref().clone(),
                    nearest: nearest(entry.rule.get_ref(), known).map(str::to_owned),
                };
                self.complain(source, entry.rule.span().start, problem);
            }
            return;
        };
        if let Some(severity) = &entry.severity {
            self.severity(source, severity);
        }
        let basis = self.basis(source, &entry.basis);
        let rule = &self.book.rules[index];
        let mut limits = rule.limits.clone();
        let mut changes = Vec::new();
        let mut wrong: Vec<(Range<usize>, RuleProblem)> = Vec::new();
        for (name, value) in &entry.limits {
            let new = normal(value.get_ref());
            let kind = rule.checked.limit_kind(name);
            match (limits.get(name), kind) {
                (None, _) => wrong.push((
                    value.span(),
                    RuleProblem::Unknown {
                        what: "limit",
                        name: name.clone(),
                        nearest: nearest(name, rule.limits.keys().map(String::as_str)).map(str::to_owned),
                    },
                )),
                (Some(_), Some(kind)) if !reads_as(&new, kind) => wrong.push((
                    value.span(),
                    RuleProblem::LimitKind {
                        limit: name.clone(),
                        wanted: kind.name(),
                        given: new,
                    },
                )),
                (Some(old), _) => {
                    changes.push(format!("{} {new} instead of {old}", name.replace('_', " ")));
                    limits.insert(name.clone(), new);
                }
            }
        }
        if let Some(severity) = &entry.severity {
            changes.push(format!("{} instead of {}", severity.get_ref(), rule.severity));
        }
        if !basis.is_empty() {
            let added: Vec<&str> = basis
                .iter()
                .flat_map(|basis| basis.editions.iter().map(String::as_str))
                .collect();
            changes.push(format!("also in {}", added.join(", ")));
        }
        if entry.disabled {
            changes.push("set aside".to_owned());
        }
        if changes.is_empty() && wrong.is_empty() {
            wrong.push((at..at, RuleProblem::AmendsNothing));
        }
        let names = Names {
            vocabulary: &self.book.vocabulary,
            scope: &rule.scope,
            limits: &limits,
        };
        let checked = rule.text.check(&names);
        if !wrong.is_empty() {
            for (span, problem) in wrong {
                self.complain(source, span.start, problem);
            }
            return;
        }
        match checked {
            Ok(checked) => {
                let rule = &mut self.book.rules[index];
                rule.checked = checked;
                rule.limits = limits;
                rule.basis.extend(basis);
                rule.severity = entry
                    .severity
                    .as_ref()
                    .map_or(rule.severity, |new| *new.get_ref());
                rule.disabled |= entry.disabled;
                rule.write_general_texts(&self.book.vocabulary);
                rule.amendments.push(Amendment {
                    ordinance: entry.ordinance.get_ref().clone(),
                    changes: changes.join("; "),
                    reason: entry.reason.clone(),
                });
            }
            Err((field, error)) => {
                let problem = RuleProblem::Formula {
                    field,
                    problem: error.problem,
                };
                self.complain(source, at, problem);
            }
        }
    }
}

/// True when the text is a number of the kind.
fn reads_as(text: &str, kind: NumberKind) -> bool {
    let plain = kind.is_dimensionless() && literal_readings(text) == [ValueKind::Number(NumberKind::Plain)];
    plain || (literal_readings(text).contains(&ValueKind::Number(kind)) && kind.parse(text).is_ok())
}
