//! Change-over of one job: the record's piping given to the change-over engine, and its answers told in names.
//!
//! In: a record and a desk. Out: a [`ChangeOver`]. Start at [`change_over`]. Which states show which hazard is the
//! engine's; here parts get their names, hazards their working, and moves their words. Never says that a state may be
//! used: at best that no hazard of the list was found in any state passed.

#[cfg(test)]
mod brute_force;
mod findings;
mod hydraulics;
mod orders;
mod plan;
mod rest;
mod result;
mod words;

pub use result::*;

use crate::Desk;
use crate::assess::head;
use crate::context::Context;
use ::changeover::{
    Analysis, HazardKind, HazardSet, Improvement, State, by_shape, realizing, smallest_additions,
};
use hydraulics::Solved;
use job::Job;
use plan::Plan;
use words::Words;

/// Why the change-over of a record cannot be worked out.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ChangeOverError {
    /// Nothing says where the water enters.
    #[error("the record does not say where the water enters; write `entry` under `[water]`")]
    NoEntry,
    /// No heater has both connections.
    #[error("no heater of the record has `inlet` and `outlet`; name the junctions of at least one")]
    NoHeater,
    /// No fixture has a connection.
    #[error("no fixture of the record has `hot` or `cold`; name the junctions of at least one")]
    NoFixture,
    /// A junction is named that does not exist.
    #[error("junction `{id}` is named but does not exist; add it under `[[piping.junctions]]`")]
    UnknownJunction {
        /// Its name.
        id: String,
    },
    /// The piping is too much for the engine.
    #[error(transparent)]
    Engine(#[from] ::changeover::ChangeoverError),
}

/// JSON Schema (draft 2020-12) of a [`ChangeOver`] as written for machines.
pub fn schema() -> schemars::Schema {
    let mut schema = schemars::schema_for!(ChangeOver);
    schema.insert(
        "$id".to_owned(),
        format!("urn:wattspring:change-over:{CHANGE_OVER_VERSION}").into(),
    );
    schema
}

/// Works out the change-over of a job.
///
/// # Errors
/// When the record has no entry, heater or fixture in its piping, or more valves than can be analyzed.
pub fn change_over(job: &Job, desk: &impl Desk) -> Result<ChangeOver, ChangeOverError> {
    let context = Context::new(job, desk);
    let plan = Plan::new(&context)?;
    if plan.layout.sources.is_empty() {
        return Err(ChangeOverError::NoHeater);
    }
    if plan.layout.fixtures.is_empty() {
        return Err(ChangeOverError::NoFixture);
    }
    let solved = Solved::new(&context, &plan);
    let analysis = Analysis::of(&plan.layout, &solved)?;
    let words = Words::new(job, &plan);
    let rests: Vec<Option<State>> = plan
        .wanted
        .iter()
        .map(|mode| realizing(&analysis, mode).first().copied())
        .collect();
    let telling = Telling {
        context: &context,
        plan: &plan,
        analysis: &analysis,
        solved: &solved,
        words: &words,
        rests: &rests,
    };
    let modes = telling.modes()?;
    let orders = telling.orders()?;
    let complete = rests.iter().all(Option::is_some) && orders.iter().all(|order| order.exists);
    let additions = telling.additions(complete);
    let mut findings = telling.findings()?;
    findings.extend(findings::of_orders(&orders));
    findings.sort_by_key(|finding| finding.severity);
    let lines = telling.lines(&modes, &orders, &additions);
    let states = telling.count();
    let hazards = telling.hazards();
    let worst = findings
        .first()
        .map_or(trace::Severity::Met, |finding| finding.severity);
    let handles = words.handles();
    let head = head(&context, desk);
    let cautions = words::cautions();
    let (assumptions, gaps) = context.into_parts();
    findings.extend(gaps);
    Ok(ChangeOver {
        schema: CHANGE_OVER_VERSION,
        head,
        worst,
        lines,
        handles,
        states,
        hazards,
        modes,
        orders,
        additions,
        findings,
        assumptions,
        cautions,
    })
}

/// Everything that the parts of the answer are told from.
struct Telling<'t> {
    context: &'t Context<'t>,
    plan: &'t Plan,
    analysis: &'t Analysis,
    /// Decides where topology does not.
    solved: &'t Solved,
    words: &'t Words<'t>,
    /// Where each wanted mode rests.
    rests: &'t [Option<State>],
}

impl Telling<'_> {
    fn count(&self) -> StateCount {
        let (mut all, mut in_passing, mut at_rest) = (0, 0, 0);
        for state in self.analysis.space().states() {
            let hazards = self.analysis.hazards(state);
            all += 1;
            in_passing += u64::from(!hazards.shared(HazardSet::in_passing()).is_empty());
            at_rest += u64::from(!hazards.shared(HazardSet::at_rest()).is_empty());
        }
        StateCount {
            all,
            forbidden_in_passing: in_passing,
            forbidden_at_rest: at_rest,
        }
    }

    fn hazards(&self) -> Vec<HazardResult> {
        let counted = HazardKind::ALL.into_iter().map(|kind| {
            let states = self.analysis.space().states();
            let showing = states.filter(|state| self.analysis.hazards(*state).contains(kind));
            (kind, showing.count() as u64)
        });
        counted
            .map(|(kind, states)| {
                let text = kind.text();
                HazardResult {
                    title: text.title.clone(),
                    severity: text.severity,
                    states,
                    in_passing: text.in_passing,
                    at_rest: text.at_rest,
                    why: text.why.clone(),
                    remedy: text.remedy.clone(),
                    source: text.source.clone(),
                }
            })
            .collect()
    }

    /// What makes the missing possible; or, where nothing is missing, what makes slips impossible.
    fn additions(&self, complete: bool) -> Vec<AdditionResult> {
        const LISTED_MAX: usize = 4;
        let wanted = &self.plan.wanted;
        let layout = &self.plan.layout;
        let slips_now: usize = self
            .rests
            .iter()
            .flatten()
            .map(|rest| ::changeover::slips(self.analysis, *rest).len())
            .sum();
        let found = if complete {
            by_shape(layout, wanted)
        } else {
            smallest_additions(layout, wanted)
        };
        let gain = |one: &Improvement| {
            if complete {
                format!(
                    "{} single wrong moves out of the modes lead into a hazard instead of {slips_now}",
                    one.slips
                )
            } else {
                format!(
                    "every mode can rest and every change between modes passes no hazard of the list: worked out anew \
                     with it, {} moves for all changes together",
                    one.moves
                )
            }
        };
        found
            .iter()
            .take(LISTED_MAX)
            .map(|one| AdditionResult {
                words: one
                    .additions
                    .iter()
                    .map(|addition| self.words.addition(addition))
                    .collect(),
                gain: gain(one),
            })
            .collect()
    }

    fn lines(
        &self,
        modes: &[ModeStates],
        orders: &[ChangeOrder],
        additions: &[AdditionResult],
    ) -> Vec<String> {
        let mut lines = Vec::new();
        let count = self.count();
        for mode in modes.iter().filter(|mode| mode.rest.is_none()) {
            lines.push(format!(
                "Mode `{}`: no setting of the valves serves every fixture without a hazard of the list.",
                mode.name
            ));
        }
        for mode in modes
            .iter()
            .filter(|mode| mode.rest.is_some() && !mode.as_written)
        {
            lines.push(format!(
                "Mode `{}`: the positions written in the record show a hazard of the list; other positions do not.",
                mode.name
            ));
        }
        let missing = orders.iter().filter(|order| !order.exists).count();
        if missing > 0 {
            lines.push(format!(
                "{missing} of {} changes have no order of moves that passes no hazard.",
                orders.len()
            ));
            if let Some(first) = additions.first() {
                lines.push(format!(
                    "The smallest addition found: {}.",
                    first.words.join("; and ")
                ));
            }
        } else if !orders.is_empty() {
            lines.push(format!(
                "{} changes, each in its shortest order of moves: no hazard of the list was found in any state passed.",
                orders.len()
            ));
        }
        lines.push(format!(
            "{} states of valves, breakers and filling were worked out; {} of them show a hazard that no order may pass.",
            count.all, count.forbidden_in_passing
        ));
        lines
    }
}
