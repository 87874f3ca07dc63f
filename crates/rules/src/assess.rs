//! Applies the book to one subject: facts in, findings out.
//!
//! A rule that is not in force, or does not apply, says nothing. One that cannot be worked out says which facts are
//! missing and how to get them; it never counts as met.

use crate::book::RuleBook;
use crate::editions::Editions;
use crate::fact_set::FactSet;
use crate::formula::Formula;
use crate::formula::decision::deciding;
use crate::formula::evaluate::{Gap, Trouble, truth};
use crate::formula::turning;
use crate::formula::words::Writer;
use crate::in_force::InForce;
use crate::problem::RuleProblem;
use crate::rule::{Expect, Rule, RuleCase};
use quantity::UnitSystem;
use trace::{Finding, Missing, Origin, Severity, Source, Working, WorkingInput};

impl RuleBook {
    /// Applies every rule of the subject's scope that is in force; findings in the order of the book.
    pub fn assess(&self, editions: &Editions, facts: &FactSet<'_>, system: UnitSystem) -> Vec<Finding> {
        // Facts made with another book are carried over by name; two books may number their facts differently.
        let facts = &*facts.for_vocabulary(&self.vocabulary);
        self.rules
            .iter()
            .filter(|rule| rule.scope == facts.scope() && !rule.disabled)
            .filter_map(|rule| {
                let holds = self.in_force(rule, editions)?;
                self.apply(&holds, facts, system)
            })
            .collect()
    }

    fn apply(&self, holds: &InForce<'_>, facts: &FactSet<'_>, system: UnitSystem) -> Option<Finding> {
        let (reading, edition) = (holds.reading(), holds.edition);
        let (rule, checked) = (reading.rule, reading.checked());
        let applies = checked
            .applies
            .as_ref()
            .map_or(Ok(true), |formula| truth(&formula.root, facts));
        let outcome = match applies {
            Ok(false) => return None,
            Err(_) if rule.skip_when_unknown => return None,
            Err(gap) => match truth(&checked.require.root, facts) {
                // What is required holds anyway, so nobody has to go and see whether the rule applies.
                Ok(true) => Ok(true),
                Ok(false) => Err(gap),
                // What the requirement lacks as well is asked for in the same visit.
                Err(more) => Err(gap.and(more)),
            },
            Ok(true) => truth(&checked.require.root, facts),
        };
        let writer = Writer {
            vocabulary: &self.vocabulary,
            scope: &rule.scope,
            system,
            values: None,
        };
        let fill = |template: &crate::template::Template| {
            template.fill(
                &self.vocabulary,
                Some(facts),
                |name| reading.show_limit(name, &self.vocabulary, system),
                system,
            )
        };
        let (severity, message, missing) = match &outcome {
            Ok(true) => (Severity::Met, fill(&checked.met), Vec::new()),
            Ok(false) => (reading.severity(), fill(&checked.unmet), Vec::new()),
            Err(gap) => (
                Severity::Unknown,
                self.unknown(gap, &writer),
                self.missing(gap, &writer),
            ),
        };
        Some(Finding {
            rule: rule.id.clone(),
            subject: facts.subject().to_owned(),
            title: reading.title(&self.vocabulary, system),
            severity,
            message,
            edition: (!edition.always).then(|| edition.name.clone()),
            source: source(holds),
            working: self.working(&checked.require, &outcome, facts, &writer),
            remedy: (outcome == Ok(false)).then(|| fill(&checked.remedy)),
            why: Some(rule.why(system).to_owned()),
            caution: rule
                .caution
                .as_ref()
                .and_then(|id| self.cautions.get(id))
                .map(|caution| caution.get(system).to_owned()),
            missing,
        })
    }

    fn working(
        &self,
        require: &Formula,
        outcome: &Result<bool, Gap>,
        facts: &FactSet<'_>,
        writer: &Writer<'_>,
    ) -> Working {
        let with_values = Writer {
            values: Some(facts),
            ..*writer
        };
        let result = match outcome {
            Ok(outcome) => deciding(&require.root, *outcome, facts, &with_values),
            Err(_) => "not worked out".to_owned(),
        };
        Working {
            inputs: self.inputs(require, facts, writer),
            formula: writer.write(&require.root),
            substituted: with_values.write(&require.root),
            result,
            turns: match outcome {
                Ok(outcome) => turning::turns(&require.root, *outcome, facts, writer),
                Err(_) => Vec::new(),
            },
        }
    }

    fn inputs(&self, formula: &Formula, facts: &FactSet<'_>, writer: &Writer<'_>) -> Vec<WorkingInput> {
        formula
            .facts()
            .into_iter()
            .filter_map(|index| {
                let (definition, fact) = (&self.vocabulary.facts()[index], facts.get(index)?);
                Some(WorkingInput {
                    symbol: definition.words(writer.scope),
                    meaning: definition.meaning.clone(),
                    value: definition.show(&fact.value, writer.system),
                    origin: fact.origin,
                })
            })
            .collect()
    }

    fn missing(&self, gap: &Gap, writer: &Writer<'_>) -> Vec<Missing> {
        gap.missing
            .iter()
            .map(|index| {
                let definition = &self.vocabulary.facts()[*index];
                Missing {
                    symbol: definition.words(writer.scope),
                    meaning: definition.meaning.clone(),
                    measure: definition.measure.clone(),
                }
            })
            .collect()
    }

    fn unknown(&self, gap: &Gap, writer: &Writer<'_>) -> String {
        let mut reasons: Vec<String> = gap
            .troubles
            .iter()
            .map(|trouble| trouble_words(trouble, writer))
            .collect();
        let names: Vec<String> = gap
            .missing
            .iter()
            .map(|index| self.vocabulary.facts()[*index].words(writer.scope))
            .collect();
        match names.as_slice() {
            [] => {}
            [one] => reasons.push(format!("{one} is not known")),
            [most @ .., last] => reasons.push(format!("{} and {last} are not known", most.join(", "))),
        }
        format!("cannot be worked out: {}", reasons.join("; "))
    }

    /// Tries one of a rule's own cases: in the edition it names, else in every edition the rule names.
    ///
    /// # Errors
    /// When its facts cannot be stated or it comes out otherwise.
    pub(crate) fn try_case(&self, rule: &Rule, case: &RuleCase) -> Result<(), RuleProblem> {
        let mut facts = self.facts(&rule.scope, &case.id);
        for (name, written) in &case.facts {
            facts
                .set_written(name, written, Origin::Entered)
                .map_err(|error| RuleProblem::CaseFact {
                    case: case.id.clone(),
                    error,
                })?;
        }
        match &case.edition {
            Some(edition) => self.try_in(rule, case, &facts, edition),
            None => self
                .editions_of(rule)
                .into_iter()
                .try_for_each(|edition| self.try_in(rule, case, &facts, &edition.name)),
        }
    }

    fn try_in(
        &self,
        rule: &Rule,
        case: &RuleCase,
        facts: &FactSet<'_>,
        edition: &str,
    ) -> Result<(), RuleProblem> {
        let editions = Editions {
            chosen: vec![edition.to_owned()],
        };
        let finding = self
            .in_force(rule, &editions)
            .and_then(|holds| self.apply(&holds, facts, UnitSystem::Us));
        let found = finding
            .as_ref()
            .map_or(Expect::NotApplicable, |finding| Expect::Finding(finding.severity));
        if found == case.expect {
            return Ok(());
        }
        Err(RuleProblem::Case {
            case: case.id.clone(),
            edition: edition.to_owned(),
            expected: case.expect.word().to_owned(),
            found: found.word().to_owned(),
            detail: finding.map_or_else(
                || "nothing was said".to_owned(),
                |finding| format!("{}; {}", finding.message, finding.working.result),
            ),
        })
    }
}

fn trouble_words(trouble: &Trouble, writer: &Writer<'_>) -> String {
    match trouble {
        Trouble::DivisionByZero(node) => format!("`{}` divides by zero", writer.write(node)),
        Trouble::NotFinite(node) => format!("`{}` is beyond any number", writer.write(node)),
        Trouble::StepNotPositive(node) => format!("`{}` has a step that is not positive", writer.write(node)),
    }
}

fn source(holds: &InForce<'_>) -> Source {
    let (rule, basis, edition) = (holds.rule, holds.basis, holds.edition);
    let mut places: Vec<String> = basis.place.iter().cloned().collect();
    if let Some(older) = holds.carried_from {
        places.push(format!(
            "as in {}, not compared with {}",
            older.name, edition.name
        ));
    }
    for amendment in &rule.amendments {
        places.push(format!(
            "amended by {}: {}",
            amendment.ordinance, amendment.changes
        ));
    }
    Source {
        document: basis
            .document
            .clone()
            .or_else(|| edition.document.clone())
            .unwrap_or_else(|| edition.name.clone()),
        edition: match basis.document {
            Some(_) => basis.document_edition.clone(),
            None => edition.year.clone(),
        },
        place: (!places.is_empty()).then(|| places.join(", ")),
        status: basis.status,
    }
}
