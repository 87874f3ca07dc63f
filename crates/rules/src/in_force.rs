//! Which rules hold under the editions chosen, and by which of their bases.
//!
//! A chosen edition brings the rules that name it. It also brings those of the edition it follows, as long as they do
//! not name the newer one themselves and no amendment says that they were withdrawn; a finding then says so.

use crate::book::RuleBook;
use crate::editions::{Edition, Editions};
use crate::rule::{Basis, Reading, Rule};

/// A rule in force.
#[derive(Debug, Clone, Copy)]
pub(crate) struct InForce<'b> {
    pub(crate) rule: &'b Rule,
    pub(crate) basis: &'b Basis,
    /// The edition by which it holds.
    pub(crate) edition: &'b Edition,
    /// The older edition it was written for, when the chosen one only follows that.
    pub(crate) carried_from: Option<&'b Edition>,
}

impl<'b> InForce<'b> {
    /// The rule as these editions have it.
    pub(crate) fn reading(&self) -> Reading<'b> {
        Reading {
            rule: self.rule,
            basis: Some(self.basis),
        }
    }
}

impl RuleBook {
    /// How a rule holds under the editions, if it does.
    pub(crate) fn in_force<'b>(&'b self, rule: &'b Rule, editions: &Editions) -> Option<InForce<'b>> {
        let chosen: Vec<(&Edition, &Edition)> = editions
            .chosen
            .iter()
            .filter_map(|name| Some((self.edition(name)?, self.written_for(rule, name)?)))
            .collect();
        rule.basis.iter().find_map(|basis| {
            let always = || {
                let names = basis.editions.iter().filter_map(|name| self.edition(name));
                let edition = names.into_iter().find(|edition| edition.always)?;
                Some((edition, edition))
            };
            let by_choice = chosen
                .iter()
                .copied()
                .find(|(_, written)| basis.editions.contains(&written.name));
            let (edition, written) = by_choice.or_else(always)?;
            Some(InForce {
                rule,
                basis,
                edition,
                carried_from: (written.name != edition.name).then_some(written),
            })
        })
    }

    /// Whether a rule holds in an edition; guidance and practice hold in every one.
    pub fn holds_in(&self, rule: &Rule, edition: &str) -> bool {
        let chosen = Editions {
            chosen: vec![edition.to_owned()],
        };
        !rule.disabled && self.in_force(rule, &chosen).is_some()
    }

    /// The edition, of those that `chosen` follows, for which the rule was last written.
    fn written_for<'b>(&'b self, rule: &Rule, chosen: &str) -> Option<&'b Edition> {
        for name in self.lineage(chosen) {
            if rule.withdrawn.iter().any(|withdrawn| withdrawn == name) {
                return None;
            }
            if rule
                .basis
                .iter()
                .any(|basis| basis.editions.iter().any(|edition| edition == name))
            {
                return self.edition(name);
            }
        }
        None
    }

    /// The editions a rule names, each once, in the order of the book.
    pub(crate) fn editions_of<'b>(&'b self, rule: &Rule) -> Vec<&'b Edition> {
        let named = |edition: &&Edition| {
            rule.basis
                .iter()
                .any(|basis| basis.editions.contains(&edition.name))
        };
        self.editions.iter().filter(named).collect()
    }
}
