//! Each candidate assessed, in the few figures by which people choose.
//!
//! In: a job and a desk. Out: [`Evaluated`], in the order of [`candidates`]. Every figure is read off the assessment.

use crate::{Candidate, TankFate, candidates};
use assess::{Assessment, Desk, assess};
use job::Job;
use quantity::{Current, Power, Time, VolumeFlow};
use trace::{Finding, Severity};

/// A candidate with what the assessment says of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Evaluated {
    /// Elements of the unit, in words, such as "2 × 9 kW".
    pub label: String,
    /// Rated power of all elements of the unit.
    pub installed_power: Power,
    /// What becomes of the existing tank; none where the record has none.
    pub tank: Option<TankFate>,
    /// Nothing was changed.
    pub as_written: bool,
    /// Breaker spaces its new circuits need.
    pub spaces_needed: u16,
    /// Spaces free in the panels they come from, those that become free included; none where a panel does not tell.
    pub spaces_free: Option<u16>,
    /// What is left below the service rating by the method for existing dwellings, else by the first method worked out;
    /// negative when the rating is passed.
    pub service_margin: Option<Current>,
    /// That method, in words.
    pub margin_method: Option<String>,
    /// Largest mixed flow at 105 °F (40.6 °C) in the coldest month.
    pub shower_flow: Option<VolumeFlow>,
    /// The job's situations, and which the unit holds in the coldest month.
    pub situations: Vec<SituationHeld>,
    /// Longest wait for hot water at any fixture.
    pub longest_wait: Option<Time>,
    /// The worst severity among all findings, those of the house that the unit does not touch included.
    pub worst: Severity,
    /// The finding that rejects it.
    ///
    /// The first finding of severity `stop`, on whatever subject; else the first of severity `change` whose rule is about
    /// the service, a panel, a circuit or a combination of fixtures, in this order. Other changes, such as an expansion
    /// tank, do not decide between units. None does not say that a candidate may be built.
    pub killed_by: Option<Rejection>,
}

/// Whether a situation holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SituationHeld {
    /// Its name.
    pub name: String,
    /// The heater holds its use temperature in the coldest month.
    pub holds: bool,
}

/// The finding that rejects a candidate.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rejection {
    /// Severity.
    pub severity: Severity,
    /// Id of the rule.
    pub rule: String,
    /// Title of the rule.
    pub title: String,
    /// What it was applied to.
    pub subject: String,
    /// What was found.
    pub message: String,
}

/// Assesses every candidate of a job, in the order of [`candidates`].
pub fn evaluate(job: &Job, desk: &impl Desk) -> Vec<Evaluated> {
    let one = |candidate: Candidate| {
        let assessment = assess(&candidate.job, desk);
        evaluated(candidate, &assessment)
    };
    candidates(job).into_iter().map(one).collect()
}

fn evaluated(candidate: Candidate, assessment: &Assessment) -> Evaluated {
    let touched = || assessment.panels.iter().filter(|panel| panel.needed_spaces > 0);
    let mut spaces_free = touched().map(|panel| Some(panel.free_spaces?.saturating_add(panel.freed_spaces)));
    let method = assessment.service.as_ref().and_then(|service| {
        let methods = &service.methods;
        let existing = methods.iter().find(|method| method.id == "existing");
        existing.or(methods.first())
    });
    let heater = assessment
        .heaters
        .iter()
        .find(|heater| heater.id == candidate.unit);
    // The colder the water, the less of it a given power heats: the coldest month is the one of the least flow.
    let shower_flow = heater.and_then(|heater| {
        let months = heater.shower_flow_by_month.iter().copied();
        months.reduce(VolumeFlow::min)
    });
    let waits = assessment
        .fixtures
        .iter()
        .filter_map(|fixture| Some(fixture.after.as_ref()?.wait));
    Evaluated {
        label: candidate.label,
        installed_power: candidate.installed_power,
        tank: candidate.tank,
        as_written: candidate.as_written,
        spaces_needed: touched()
            .map(|panel| panel.needed_spaces)
            .fold(0, u16::saturating_add),
        spaces_free: spaces_free.try_fold(0_u16, |sum, free| Some(sum.saturating_add(free?))),
        service_margin: method.map(|method| method.margin),
        margin_method: method.map(|method| method.method.clone()),
        shower_flow,
        situations: assessment
            .situations
            .iter()
            .map(|situation| SituationHeld {
                name: situation.name.clone(),
                holds: situation.coldest.holds,
            })
            .collect(),
        longest_wait: waits.reduce(Time::max),
        worst: assessment.worst(),
        killed_by: rejection(&assessment.findings),
    }
}

/// Subjects of rules that decide between units, the one that costs most to change first.
const DECIDING: [&str; 4] = ["service.", "panel.", "circuit.", "combination."];

fn rejection(findings: &[Finding]) -> Option<Rejection> {
    let stop = findings.iter().find(|finding| finding.severity == Severity::Stop);
    let change = || {
        let mut deciding = DECIDING.iter();
        deciding.find_map(|subject| {
            findings
                .iter()
                .find(|finding| finding.severity == Severity::Change && finding.rule.starts_with(subject))
        })
    };
    let finding = stop.or_else(change)?;
    Some(Rejection {
        severity: finding.severity,
        rule: finding.rule.clone(),
        title: finding.title.clone(),
        subject: finding.subject.clone(),
        message: finding.message.clone(),
    })
}
