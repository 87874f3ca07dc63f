//! The same job under two editions: what appears, vanishes, changes its severity, its figures or its article.
//!
//! In: a job, a desk, two editions of the desk's rule book. Out: an [`EditionComparison`]. Start at
//! [`compare_editions`]. Both sides are whole assessments; findings are matched by rule and subject. Judges nothing
//! beyond them, and prints nothing.

use crate::{Assessment, Desk, MeterSummary, assess};
use job::{ElectricalEdition, Job, PlumbingEdition};
use rules::{Edition, EditionError, RuleBook};
use schemars::JsonSchema;
use serde::Serialize;
use trace::{Finding, Severity};

/// Version of the comparison as written for machines.
pub const COMPARISON_VERSION: u32 = 1;

/// What changes in a job between two editions.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct EditionComparison {
    /// Version of this form.
    pub schema: u32,
    /// Title of the job.
    pub title: String,
    /// The first edition, and the worst severity under it.
    pub first: EditionSide,
    /// The second edition, and the worst severity under it.
    pub second: EditionSide,
    /// Findings under the second edition only, worst first.
    pub appears: Vec<Finding>,
    /// Findings under the first edition only, worst first.
    pub vanishes: Vec<Finding>,
    /// Findings under both that differ in more than the edition's name.
    pub changes: Vec<FindingChange>,
    /// Findings that stay as they are.
    pub unchanged: usize,
}

/// One side of the comparison.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct EditionSide {
    /// Name of the edition.
    pub edition: String,
    /// The worst severity under it.
    pub worst: Severity,
}

/// A finding that differs between the editions.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct FindingChange {
    /// Id of the rule.
    pub rule: String,
    /// What it was applied to.
    pub subject: String,
    /// Title of the rule under the second edition.
    pub title: String,
    /// Severity under each.
    pub severity: Pair,
    /// What came out under each, with its figures.
    pub result: Pair,
    /// Where the rule stands in each.
    pub place: Pair,
}

/// A text under the first and under the second edition.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Pair {
    /// Under the first.
    pub first: String,
    /// Under the second.
    pub second: String,
}

impl Pair {
    fn new(first: impl Into<String>, second: impl Into<String>) -> Self {
        Self {
            first: first.into(),
            second: second.into(),
        }
    }

    /// Whether both are the same.
    pub fn is_same(&self) -> bool {
        self.first == self.second
    }
}

impl EditionComparison {
    /// The worst severity under either edition.
    pub fn worst(&self) -> Severity {
        self.first.worst.min(self.second.worst)
    }
}

/// Works the job out under two editions and says what changes.
///
/// # Errors
/// When the rule book lacks one of the editions, or they are of two families.
pub fn compare_editions(
    job: &Job,
    desk: &impl Desk,
    first: &str,
    second: &str,
) -> Result<EditionComparison, EditionError> {
    let book = desk.rule_book();
    let (first, second) = (book.find_edition(first)?, book.find_edition(second)?);
    if first.family != second.family {
        return Err(EditionError::Families {
            first: first.name.clone(),
            second: second.name.clone(),
        });
    }
    let under = |edition: &Edition| {
        let others = desk.editions().iter().filter(|name| {
            let other = book.editions().iter().find(|other| &other.name == *name);
            other.is_none_or(|other| other.family != edition.family)
        });
        let side = EditionDesk {
            desk,
            editions: others.cloned().chain([edition.name.clone()]).collect(),
        };
        assess(job, &side)
    };
    let (before, after) = (under(first), under(second));
    Ok(differences(&first.name, &before, &second.name, &after))
}

/// The same desk with other editions on it.
struct EditionDesk<'d, D> {
    desk: &'d D,
    editions: Vec<String>,
}

impl<D: Desk> Desk for EditionDesk<'_, D> {
    fn today(&self) -> jiff::civil::Date {
        self.desk.today()
    }

    fn electrical_edition(&self) -> Option<ElectricalEdition> {
        self.desk.electrical_edition()
    }

    fn plumbing_edition(&self) -> Option<PlumbingEdition> {
        self.desk.plumbing_edition()
    }

    fn rule_book(&self) -> &RuleBook {
        self.desk.rule_book()
    }

    fn editions(&self) -> &[String] {
        &self.editions
    }

    fn meter(&self) -> Option<MeterSummary> {
        self.desk.meter()
    }
}

fn differences(first: &str, before: &Assessment, second: &str, after: &Assessment) -> EditionComparison {
    let only = |one: &Assessment, other: &Assessment| -> Vec<Finding> {
        let lacking = |finding: &&Finding| same(&other.findings, finding).is_none();
        one.findings.iter().filter(lacking).cloned().collect()
    };
    let pairs: Vec<(&Finding, &Finding)> = after
        .findings
        .iter()
        .filter_map(|finding| Some((same(&before.findings, finding)?, finding)))
        .collect();
    let changes: Vec<FindingChange> = pairs.iter().filter_map(|(old, new)| change(old, new)).collect();
    EditionComparison {
        schema: COMPARISON_VERSION,
        title: after.head.title.clone(),
        first: EditionSide {
            edition: first.to_owned(),
            worst: before.worst(),
        },
        second: EditionSide {
            edition: second.to_owned(),
            worst: after.worst(),
        },
        appears: only(after, before),
        vanishes: only(before, after),
        unchanged: pairs.len() - changes.len(),
        changes,
    }
}

/// The finding of the same rule on the same subject.
fn same<'f>(findings: &'f [Finding], wanted: &Finding) -> Option<&'f Finding> {
    // Gaps share one rule id; what they are about stands in the title.
    let fits = |finding: &&Finding| {
        finding.rule == wanted.rule
            && finding.subject == wanted.subject
            && (finding.title == wanted.title || finding.rule != "assessment.not-worked-out")
    };
    findings.iter().find(fits)
}

/// What differs between two findings of one rule, beyond the name of the edition.
fn change(old: &Finding, new: &Finding) -> Option<FindingChange> {
    let shown = |finding: &Finding| {
        let result = &finding.working.result;
        if result.trim().is_empty() {
            finding.message.clone()
        } else {
            result.clone()
        }
    };
    let place = |finding: &Finding| finding.source.place.clone().unwrap_or_default();
    let found = FindingChange {
        rule: new.rule.clone(),
        subject: new.subject.clone(),
        title: new.title.clone(),
        severity: Pair::new(old.severity.word(), new.severity.word()),
        result: Pair::new(shown(old), shown(new)),
        place: Pair::new(place(old), place(new)),
    };
    let same = found.severity.is_same() && found.result.is_same() && found.place.is_same();
    (!same || old.title != new.title).then_some(found)
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::UnitSystem;
    use trace::Origin;

    fn finding(limit: &str) -> Finding {
        let book = RuleBook::embedded();
        let mut water = book.facts("water", "main");
        water
            .set_written("water.static_pressure", limit, Origin::Measured)
            .unwrap();
        let editions = book.choose(["IPC 2021"]).unwrap();
        let findings = book.assess(&editions, &water, UnitSystem::Us);
        let found = findings
            .into_iter()
            .find(|finding| finding.rule == "water.static-pressure");
        found.unwrap()
    }

    #[test]
    fn a_finding_with_the_same_figures_is_no_change() {
        assert_eq!(change(&finding("60 psi"), &finding("60 psi")), None);
        let figures = change(&finding("60 psi"), &finding("62 psi")).unwrap();
        assert!(figures.severity.is_same() && !figures.result.is_same());
        let severity = change(&finding("60 psi"), &finding("95 psi")).unwrap();
        assert_eq!(severity.severity, Pair::new("met", "change"));
    }
}
