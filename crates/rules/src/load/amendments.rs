//! Local amendments: a town changes a limit or a severity, adopts a rule for its edition, or sets one aside.
//!
//! An amendment names the rule and the ordinance, and is printed wherever the rule is. It cannot change what a rule
//! means: another requirement is another rule.

use super::rules::reading;
use super::{Loader, SourceText};
use crate::file::AmendEntry;
use crate::formula::FormulaError;
use crate::formula::check::Names;
use crate::formula::literal::{literal_readings, normal};
use crate::kind::{NumberKind, ValueKind};
use crate::problem::RuleProblem;
use crate::rule::{Amendment, Rule};
use crate::vocabulary::{Vocabulary, nearest};
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
        let mut added = self.basis(source, &entry.basis);
        for edition in &entry.withdrawn_in {
            if self.book.edition(edition.get_ref()).is_none() {
                let problem = self.unknown_edition(edition.get_ref());
                self.complain(source, edition.span().start, problem);
            }
        }
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
        if !added.is_empty() {
            let names: Vec<&str> = added
                .iter()
                .flat_map(|basis| basis.editions.iter().map(String::as_str))
                .collect();
            changes.push(format!("also in {}", names.join(", ")));
        }
        let withdrawn: Vec<String> = entry
            .withdrawn_in
            .iter()
            .map(|name| name.get_ref().clone())
            .collect();
        if !withdrawn.is_empty() {
            changes.push(format!("withdrawn in {}", withdrawn.join(", ")));
        }
        if entry.disabled {
            changes.push("set aside".to_owned());
        }
        if changes.is_empty() && wrong.is_empty() {
            wrong.push((at..at, RuleProblem::AmendsNothing));
        }
        if !wrong.is_empty() {
            for (span, problem) in wrong {
                self.complain(source, span.start, problem);
            }
            return;
        }
        let (text, scope) = (rule.text.clone(), rule.scope.clone());
        if !self.own_readings(source, &text, (&scope, &limits), &mut added, &entry.basis) {
            return;
        }
        let mut changed = self.book.rules[index].clone();
        for basis in &mut changed.basis {
            // What the town writes holds in every edition.
            basis.limits.retain(|name, _| !entry.limits.contains_key(name));
            if entry.severity.is_some() {
                basis.severity = None;
            }
        }
        changed.limits = limits;
        changed.basis.extend(added);
        if let Err((field, error)) = check_again(&mut changed, &self.book.vocabulary) {
            let problem = RuleProblem::Formula {
                field,
                problem: error.problem,
            };
            self.complain(source, at, problem);
            return;
        }
        if let Some(severity) = &entry.severity {
            changed.severity = *severity.get_ref();
        }
        changed.disabled |= entry.disabled;
        changed.withdrawn.extend(withdrawn);
        changed.write_general_texts(&self.book.vocabulary);
        changed.amendments.push(Amendment {
            ordinance: entry.ordinance.get_ref().clone(),
            changes: changes.join("; "),
            reason: entry.reason.clone(),
        });
        self.book.rules[index] = changed;
    }
}

/// Reads the rule's texts anew with its limits as they now are.
fn check_again(rule: &mut Rule, vocabulary: &Vocabulary) -> Result<(), (&'static str, FormulaError)> {
    let names = Names {
        vocabulary,
        scope: &rule.scope,
        limits: &rule.limits,
    };
    rule.checked = rule.text.check(&names)?;
    for basis in &mut rule.basis {
        basis.checked = reading(vocabulary, &rule.text, (&rule.scope, &rule.limits), basis)?;
    }
    Ok(())
}

/// True when the text is a number of the kind.
fn reads_as(text: &str, kind: NumberKind) -> bool {
    let plain = kind.is_dimensionless() && literal_readings(text) == [ValueKind::Number(NumberKind::Plain)];
    plain || (literal_readings(text).contains(&ValueKind::Number(kind)) && kind.parse(text).is_ok())
}
