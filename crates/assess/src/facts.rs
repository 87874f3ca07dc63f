//! The facts that rules ask for, filled from the record and from what was worked out; one file a scope below.
//!
//! In: record, results. Out: findings of every rule on every subject. A fact nobody knows stays unset, so that its rules
//! say what is missing. What a person looked at on site (`observed` in the record) comes last and wins.

mod circuit;
mod heater;
mod house;
mod mode;
mod outlet;
mod panel;
mod pipe;

use crate::circuits::Circuits;
use crate::context::Context;
use crate::supply_path::SupplyPath;
use crate::{
    FixtureResult, HeaterResult, MainsYear, ModeResult, PanelResult, ServiceResult, SituationResult,
    TubResult,
};
use job::Job;
use quantity::GaugePressure;
use rules::{Driver, FactSet, FactValue, RuleBook};
use trace::{Finding, Origin, Problem, RecordPath};

/// Everything worked out that facts are taken from.
pub(crate) struct Results<'r> {
    pub(crate) path: Option<&'r SupplyPath>,
    pub(crate) circuits: &'r Circuits<'r>,
    pub(crate) panels: &'r [PanelResult],
    pub(crate) service: Option<&'r ServiceResult>,
    pub(crate) heaters: &'r [HeaterResult],
    pub(crate) mains: &'r MainsYear,
    pub(crate) fixtures: &'r [FixtureResult],
    pub(crate) situations: &'r [SituationResult],
    pub(crate) tubs: &'r [TubResult],
    pub(crate) modes: &'r [ModeResult],
    /// Pressure at the inlet of a heater while a fixture runs, by index into the record's sources.
    pub(crate) inlet_pressures: &'r [(usize, GaugePressure)],
}

/// Applies every rule of the editions in force to every subject.
pub(crate) fn findings(context: &Context<'_>, results: &Results<'_>) -> Vec<Finding> {
    let book = context.book;
    let names = [&context.electrical_name, &context.plumbing_name]
        .into_iter()
        .chain(&context.other_editions);
    let editions = match book.choose(names.map(String::as_str)) {
        Ok(editions) => editions,
        Err(error) => {
            context.gap("rules", "the rules", error.to_string());
            return Vec::new();
        }
    };
    let mut house = house::facts(context, results, book);
    let sheets = std::iter::empty()
        .chain(panel::facts(context, results, book, &house))
        .chain(circuit::facts(context, results, book, &house))
        .chain(heater::facts(context, results, book, &house))
        .chain(pipe::facts(context, results, book, &house))
        .chain(outlet::facts(context, results, book, &house))
        .chain(outlet::together(context, results, book, &house))
        .chain(mode::facts(context, results, book, &house));
    let mut sheets: Vec<Sheet<'_>> = sheets.collect();
    let mut all = house.sheets();
    all.append(&mut sheets);
    all.iter()
        .flat_map(|sheet| book.assess(&editions, &sheet.facts, context.given.units()))
        .collect()
}

/// What `observed` states that the published rule book does not know or cannot read.
pub fn observed_problems(job: &Job) -> Vec<Problem> {
    observed_problems_by(RuleBook::embedded(), job)
}

/// What `observed` states that the rule book `book` does not know or cannot read.
pub fn observed_problems_by(book: &RuleBook, job: &Job) -> Vec<Problem> {
    let mut problems = Vec::new();
    for (subject, facts) in &job.observed {
        let at = RecordPath::from("observed").field(subject);
        if !subjects(job).any(|known| known == subject.as_str()) {
            problems.push(Problem {
                at: at.clone(),
                message: format!("`{subject}` is nothing in this record"),
                fix: "use the id of a circuit, heater, panel, pipe or fixture, the name of a mode, or job, service or water"
                    .into(),
            });
        }
        for (name, written) in facts {
            let scope = name.split('.').next().unwrap_or_default();
            if let Err(error) = book
                .facts(scope, subject)
                .set_written(name, written, Origin::Entered)
            {
                problems.push(Problem {
                    at: at.field(name),
                    message: error.to_string(),
                    fix: "see `wattspring rules` for the facts a rule asks for".into(),
                });
            }
        }
    }
    problems
}

fn subjects(job: &Job) -> impl Iterator<Item = &str> {
    let panels = job
        .service
        .iter()
        .flat_map(|service| service.panels.iter().map(|panel| panel.id.as_str()));
    ["job", "service", "water"]
        .into_iter()
        .chain(panels)
        .chain(job.circuits.iter().map(|circuit| circuit.id.as_str()))
        .chain(job.sources.iter().map(|source| source.id.as_str()))
        .chain(job.piping.pipes.iter().map(|pipe| pipe.id.as_str()))
        .chain(job.fixtures.iter().map(|fixture| fixture.id.as_str()))
        .chain(job.together.iter().map(|together| together.name.as_str()))
        .chain(job.piping.modes.iter().map(|mode| mode.name.as_str()))
}

/// The facts of one subject, filled with care: a fact the book does not take is written down as a gap.
pub(crate) struct Sheet<'s> {
    context: &'s Context<'s>,
    pub(crate) facts: FactSet<'s>,
}

impl<'s> Sheet<'s> {
    pub(crate) fn new(context: &'s Context<'s>, book: &'s RuleBook, scope: &str, subject: &str) -> Self {
        Self {
            context,
            facts: book.facts(scope, subject),
        }
    }

    /// The same facts, to be assessed apart.
    pub(crate) fn copy(&self) -> Self {
        Self {
            context: self.context,
            facts: self.facts.clone(),
        }
    }

    /// States a fact that was worked out.
    pub(crate) fn computed(&mut self, name: &str, value: impl FactValue) -> &mut Self {
        self.set(name, value, Origin::Computed)
    }

    /// States a fact that the record gives.
    pub(crate) fn entered(&mut self, name: &str, value: impl FactValue) -> &mut Self {
        self.set(name, value, Origin::Entered)
    }

    /// States a fact.
    pub(crate) fn set(&mut self, name: &str, value: impl FactValue, origin: Origin) -> &mut Self {
        if let Err(error) = self.facts.set(name, value, origin) {
            debug_assert!(false, "{error}");
            self.context.gap("rules", "a fact", error.to_string());
        }
        self
    }

    /// Says which input drives a fact that was worked out.
    pub(crate) fn driven(&mut self, name: &str, driver: Driver) -> &mut Self {
        if let Err(error) = self.facts.driven_by(name, driver) {
            debug_assert!(false, "{error}");
            self.context.gap("rules", "what drives a fact", error.to_string());
        }
        self
    }

    /// Adds what was looked at on site under `id`.
    pub(crate) fn observed(&mut self, id: &str) -> &mut Self {
        if let Some(facts) = self.context.job.observed.get(id) {
            for (name, written) in facts {
                if let Err(error) = self.facts.set_written(name, written, Origin::Entered) {
                    self.context
                        .gap(id, "a fact looked at on site", error.to_string());
                }
            }
        }
        self
    }

    /// Adds the facts of wider scopes.
    pub(crate) fn sees(&mut self, others: &[&Sheet<'_>]) -> &mut Self {
        for other in others {
            self.facts.include(&other.facts);
        }
        self
    }
}
