//! Describes a rule in full, for a reader who asks what stands behind a finding.

use crate::book::RuleBook;
use crate::editions::{Edition, Editions};
use crate::rule::{Reading, Rule};
use crate::vocabulary::Vocabulary;
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
    /// Area it belongs to, and what that is.
    pub area: (String, String),
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
    /// The rule in each edition of the families it belongs to, side by side.
    pub editions: Vec<ExplainedEdition>,
    /// Why it exists.
    pub why: String,
    /// The usual remedy when it is not met; where a value of the job stands, its name.
    pub remedy: String,
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

/// A rule as one edition has it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ExplainedEdition {
    /// The edition.
    pub edition: String,
    /// Whether it holds there.
    pub holds: bool,
    /// Article, section, table or page; the older edition it is carried over from, if so.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
    /// How surely it was read.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub status: Option<SourceStatus>,
    /// What it asks of people when it is not met.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub severity: Option<Severity>,
    /// Thresholds: name and value.
    pub limits: Vec<(String, String)>,
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
        let general = rule.in_general();
        let vocabulary = &self.vocabulary;
        let named = |fact: usize| format!("({})", vocabulary.facts()[fact].words(&rule.scope));
        Some(Explanation {
            id: rule.id.clone(),
            title: rule.title(system).to_owned(),
            area: (
                rule.area.clone(),
                self.areas
                    .iter()
                    .find(|area| area.name == rule.area)
                    .map_or_else(String::new, |area| area.meaning.clone()),
            ),
            about: vocabulary
                .scope(&rule.scope)
                .map_or_else(|| rule.scope.clone(), |scope| scope.meaning.clone()),
            applies: general.applicability(vocabulary, system),
            requires: general.requirement(vocabulary, system),
            severity: rule.severity,
            limits: limits(general, vocabulary, system),
            facts: rule
                .facts()
                .into_iter()
                .map(|index| {
                    let fact = &vocabulary.facts()[index];
                    ExplainedFact {
                        name: fact.name.clone(),
                        kind: fact.kind.name().to_owned(),
                        meaning: fact.meaning.clone(),
                        measure: fact.measure.clone(),
                    }
                })
                .collect(),
            editions: self.side_by_side(rule, system),
            remedy: rule.checked.remedy.fill_named(
                named,
                |name| general.show_limit(name, vocabulary, system),
                system,
            ),
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

impl RuleBook {
    /// The rule in each edition of the families it belongs to.
    fn side_by_side(&self, rule: &Rule, system: UnitSystem) -> Vec<ExplainedEdition> {
        let families: Vec<&str> = self
            .editions_of(rule)
            .iter()
            .map(|edition| edition.family.as_str())
            .collect();
        let of_family = |edition: &&Edition| {
            let named = rule
                .basis
                .iter()
                .any(|basis| basis.editions.contains(&edition.name));
            families.contains(&edition.family.as_str()) && (named || !edition.always)
        };
        self.editions
            .iter()
            .filter(of_family)
            .map(|edition| self.in_edition(rule, edition, system))
            .collect()
    }

    fn in_edition(&self, rule: &Rule, edition: &Edition, system: UnitSystem) -> ExplainedEdition {
        let chosen = Editions {
            chosen: vec![edition.name.clone()],
        };
        // A rule that also holds by practice is not one of this edition.
        let holds = self
            .in_force(rule, &chosen)
            .filter(|holds| holds.edition.name == edition.name);
        let carried = holds.as_ref().and_then(|holds| holds.carried_from);
        let place = holds.as_ref().and_then(|holds| holds.basis.place.clone());
        ExplainedEdition {
            edition: edition.name.clone(),
            holds: holds.is_some(),
            place: match (place, carried) {
                (place, None) => place,
                (None, Some(older)) => Some(format!("as in {}", older.name)),
                (Some(place), Some(older)) => Some(format!("{place}, as in {}", older.name)),
            },
            status: holds.as_ref().map(|holds| holds.basis.status),
            severity: holds.as_ref().map(|holds| holds.reading().severity()),
            limits: holds.as_ref().map_or_else(Vec::new, |holds| {
                limits(holds.reading(), &self.vocabulary, system)
            }),
        }
    }
}

/// Names and values of the limits.
fn limits(reading: Reading<'_>, vocabulary: &Vocabulary, system: UnitSystem) -> Vec<(String, String)> {
    let names = reading.rule.limits.keys();
    names
        .map(|name| {
            (
                name.replace('_', " "),
                reading.show_limit(name, vocabulary, system),
            )
        })
        .collect()
}
