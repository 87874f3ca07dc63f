//! Describes a rule in full, for a reader who asks what stands behind a finding.

use crate::book::RuleBook;
use quantity::UnitSystem;
use serde::Serialize;
use trace::{Severity, SourceStatus};

/// Everything a rule says, as text.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Explanation {
    /// Id.
    pub id: String,
    /// Title.
    pub title: String,
    /// What it is applied to, in words.
    pub about: String,
    /// When it applies; none when it always does.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub applies: Option<String>,
    /// What must hold.
    pub requires: String,
    /// What it asks of people when that does not hold.
    pub severity: Severity,
    /// Thresholds: name and value.
    pub limits: Vec<(String, String)>,
    /// The facts it needs.
    pub facts: Vec<ExplainedFact>,
    /// Where it comes from.
    pub basis: Vec<ExplainedBasis>,
    /// Why it exists.
    pub why: String,
    /// The caution that belongs to it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub caution: Option<String>,
    /// Local changes, in words.
    pub amendments: Vec<String>,
    /// Set aside by a local change.
    pub disabled: bool,
}

/// A fact a rule needs.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ExplainedFact {
    /// Name in the vocabulary.
    pub name: String,
    /// Kind of its value.
    pub kind: String,
    /// What it is.
    pub meaning: String,
    /// How to get it on site.
    pub measure: String,
}

/// Where a rule comes from in some editions.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ExplainedBasis {
    /// The editions.
    pub editions: Vec<String>,
    /// The document.
    pub document: String,
    /// Article, section, table or page.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
    /// How surely it was read.
    pub status: SourceStatus,
    /// The page in which it was seen.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub seen_in: Option<String>,
}

impl RuleBook {
    /// Everything the rule `id` says, for a reader of `system`.
    pub fn explain(&self, id: &str, system: UnitSystem) -> Option<Explanation> {
        let rule = self.rule(id)?;
        let document = |basis: &crate::rule::Basis| {
            basis.document.clone().or_else(|| {
                let edition = self.edition(basis.editions.first()?)?;
                edition.document.clone()
            })
        };
        Some(Explanation {
            id: rule.id.clone(),
            title: rule.title(system).to_owned(),
            about: self
                .vocabulary
                .scope(&rule.scope)
                .map_or_else(|| rule.scope.clone(), |scope| scope.meaning.clone()),
            applies: rule.applicability(&self.vocabulary, system),
            requires: rule.requirement(&self.vocabulary, system),
            severity: rule.severity,
            limits: rule
                .limits
                .keys()
                .map(|name| {
                    (
                        name.replace('_', " "),
                        rule.show_limit(name, &self.vocabulary, system),
                    )
                })
                .collect(),
            facts: rule
                .facts()
                .into_iter()
                .map(|index| {
                    let fact = &self.vocabulary.facts()[index];
                    ExplainedFact {
                        name: fact.name.clone(),
                        kind: fact.kind.name().to_owned(),
                        meaning: fact.meaning.clone(),
                        measure: fact.measure.clone(),
                    }
                })
                .collect(),
            basis: rule
                .basis
                .iter()
                .map(|basis| ExplainedBasis {
                    editions: basis.editions.clone(),
                    document: document(basis).unwrap_or_default(),
                    place: basis.place.clone(),
                    status: basis.status,
                    seen_in: basis.seen_in.clone(),
                })
                .collect(),
            why: rule.why(system).to_owned(),
            caution: rule
                .caution
                .as_ref()
                .and_then(|id| self.cautions.get(id))
                .map(|caution| caution.get(system).to_owned()),
            amendments: rule
                .amendments
                .iter()
                .map(|amendment| {
                    let reason = amendment.reason.as_ref();
                    let reason = reason.map_or_else(String::new, |reason| format!(" ({reason})"));
                    format!("{}: {}{reason}", amendment.ordinance, amendment.changes)
                })
                .collect(),
            disabled: rule.disabled,
        })
    }
}
