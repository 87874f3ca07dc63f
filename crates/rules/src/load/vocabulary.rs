//! Scopes, facts, editions and cautions of a file, into the book.

use super::{Loader, SourceText};
use crate::editions::Edition;
use crate::file::{FactEntry, RuleFile};
use crate::formula::check::Names;
use crate::kind::{NumberKind, ValueKind};
use crate::problem::RuleProblem;
use crate::template::{ForReaders, Template};
use crate::vocabulary::{Area, FactDefinition, Scope, nearest};
use std::collections::BTreeMap;

impl Loader {
    /// Scopes, facts, editions and cautions of one file.
    pub(super) fn vocabulary(&mut self, source: &SourceText<'_>, file: &RuleFile) {
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
                follows: entry.follows.as_ref().map(|name| name.get_ref().clone()),
                always: entry.always,
            });
        }
        for entry in &file.area {
            let entry = entry.get_ref();
            self.filled(source, "meaning", &entry.meaning);
            let name = entry.name.get_ref().clone();
            if self.book.areas.iter().any(|area| area.name == name) {
                let at = entry.name.span().start;
                self.complain(source, at, RuleProblem::Duplicate { what: "area", name });
                continue;
            }
            self.book.areas.push(Area {
                name,
                meaning: entry.meaning.get_ref().clone(),
                hazard: entry.hazard,
            });
        }
        for entry in &file.caution {
            let entry = entry.get_ref();
            self.filled(source, "text", &entry.text);
            let id = entry.id.get_ref().clone();
            // A caution belongs to no rule: quantities may stand in it, facts and limits not.
            let nothing = BTreeMap::new();
            let names = Names {
                vocabulary: &self.book.vocabulary,
                scope: "",
                limits: &nothing,
            };
            let text = match Template::read_general(entry.text.get_ref().trim(), &names) {
                Ok(template) => ForReaders::new(|system| {
                    template.fill(&self.book.vocabulary, None, |_| String::new(), system)
                }),
                Err(error) => {
                    let at = source.within(&entry.text, error.span.start);
                    let problem = RuleProblem::Formula {
                        field: "text",
                        problem: error.problem,
                    };
                    self.complain(source, at, problem);
                    continue;
                }
            };
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
    pub(super) fn scopes_exist(&mut self, source: &SourceText<'_>, file: &RuleFile) {
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

    /// Complains of editions that follow what is not there, or themselves; any file may define them.
    pub(super) fn editions_follow(&mut self, source: &SourceText<'_>, file: &RuleFile) {
        for entry in &file.edition {
            let entry = entry.get_ref();
            let Some(follows) = &entry.follows else { continue };
            let (name, at) = (follows.get_ref(), follows.span().start);
            if self.book.edition(name).is_none() {
                let problem = self.unknown_edition(name);
                self.complain(source, at, problem);
            } else if self.follows_itself(entry.name.get_ref()) {
                let problem = RuleProblem::FollowsItself(entry.name.get_ref().clone());
                self.complain(source, at, problem);
            }
        }
    }

    fn follows_itself(&self, name: &str) -> bool {
        let line = self.book.lineage(name);
        let last = line.last().and_then(|last| self.book.edition(last));
        last.and_then(|edition| edition.follows.as_deref())
            .is_some_and(|next| line.contains(&next))
    }

    /// Complains when no scope has the name.
    pub(super) fn scope_exists(&mut self, source: &SourceText<'_>, scope: &str, at: usize) {
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
}
