//! The answer in short: the worst severity, counts, a few sentences that a person can act on, and what to measure first.

use crate::{FixtureResult, HeaterResult, ServiceResult, SeverityCount, SituationResult, TubResult, Verdict};
use job::{SourceKind, SourceStatus};
use quantity::{Current, UnitSystem};
use trace::{Assumption, Finding, Influence, Severity};

/// What the verdict is drawn from.
pub(crate) struct Grounds<'r> {
    pub(crate) units: UnitSystem,
    pub(crate) heaters: &'r [HeaterResult],
    pub(crate) situations: &'r [SituationResult],
    pub(crate) fixtures: &'r [FixtureResult],
    pub(crate) tubs: &'r [TubResult],
    pub(crate) service: Option<&'r ServiceResult>,
    pub(crate) findings: &'r [Finding],
    pub(crate) assumptions: &'r [Assumption],
}

/// The answer in short.
pub(crate) fn verdict(grounds: &Grounds<'_>) -> Verdict {
    let worst = grounds
        .findings
        .iter()
        .map(|finding| finding.severity)
        .min()
        .unwrap_or(Severity::Note);
    let counts = Severity::ALL
        .into_iter()
        .map(|severity| SeverityCount {
            severity,
            count: grounds
                .findings
                .iter()
                .filter(|finding| finding.severity == severity)
                .count(),
        })
        .filter(|count| count.count > 0)
        .collect();
    let mut lines = Vec::new();
    lines.extend(power_lines(grounds));
    lines.extend(situation_lines(grounds));
    lines.extend(service_lines(grounds));
    lines.extend(wait_lines(grounds));
    lines.extend(tub_lines(grounds));
    let high = grounds
        .assumptions
        .iter()
        .filter(|assumption| assumption.influence == Influence::High);
    let mut measure_first: Vec<String> = Vec::new();
    for assumption in high {
        let line = format!("{}: {}", assumption.subject, assumption.measure);
        if measure_first.len() < 3 && !measure_first.contains(&line) {
            measure_first.push(line);
        }
    }
    Verdict {
        worst,
        counts,
        lines,
        measure_first,
    }
}

fn power_lines(grounds: &Grounds<'_>) -> Vec<String> {
    let units = grounds.units;
    let proposed = grounds
        .heaters
        .iter()
        .filter(|heater| heater.status == SourceStatus::Proposed);
    proposed
        .filter(|heater| heater.kind == SourceKind::OnDemand)
        .map(|heater| {
            let lift = heater.flow_at_set_point_coldest.map_or(String::new(), |flow| {
                format!(
                    "; it lifts {} to {} in the coldest month",
                    flow.show(units),
                    heater.set_point.show(units)
                )
            });
            format!(
                "The {} gets {} of its {} at the voltage that reaches it{lift}.",
                heater.name,
                heater.delivered_power.show(units),
                heater.rated_power.show(units),
            )
        })
        .collect()
}

fn situation_lines(grounds: &Grounds<'_>) -> Vec<String> {
    let units = grounds.units;
    grounds
        .situations
        .iter()
        .map(|situation| {
            let cold = &situation.coldest;
            if cold.holds {
                format!("{}: hot enough in the coldest month.", capital(&situation.name))
            } else {
                let share = cold.flow_share.as_percent().floor();
                let months = match situation.holds_in_months.len() {
                    0 => "in no month".to_owned(),
                    12 => "all year by monthly means".to_owned(),
                    count => format!("in {count} months of the year"),
                };
                format!(
                    "{}: only {} at the tap in the coldest month, or {share:.0} % of the flow; it holds {months}.",
                    capital(&situation.name),
                    cold.temperature.show(units),
                )
            }
        })
        .collect()
}

fn service_lines(grounds: &Grounds<'_>) -> Vec<String> {
    let Some(service) = grounds.service else {
        return vec!["No service is recorded, so nothing is said about its capacity.".to_owned()];
    };
    let units = grounds.units;
    let mut lines = Vec::new();
    let over: Vec<&str> = service
        .methods
        .iter()
        .filter(|method| method.margin < Current::zero())
        .map(|method| method.method.as_str())
        .collect();
    let range = |pick: fn(f64, f64) -> f64, start: f64| {
        let amperes = service.methods.iter().map(|method| method.current.as_amperes());
        Current::from_amperes(amperes.fold(start, pick)).show(units)
    };
    if !service.methods.is_empty() {
        let (low, high) = (range(f64::min, f64::INFINITY), range(f64::max, 0.0));
        let rating = service.rating.show(units);
        lines.push(if over.is_empty() {
            format!("The load is {low} to {high} by the methods worked out, under the {rating} service.")
        } else {
            format!(
                "The load is {low} to {high} against a {rating} service; it is passed by the {}.",
                over.join(" and the ")
            )
        });
    }
    if service.coincident.margin < Current::zero() {
        lines.push(format!(
            "Nameplates that can run at once add up to {}: even a passing calculation can trip the main.",
            service.coincident.current.show(units)
        ));
    }
    lines
}

fn wait_lines(grounds: &Grounds<'_>) -> Option<String> {
    let units = grounds.units;
    let waits = grounds
        .fixtures
        .iter()
        .filter_map(|fixture| Some((fixture, fixture.after.as_ref()?)));
    let (fixture, after) = waits.max_by(|a, b| a.1.wait.as_seconds().total_cmp(&b.1.wait.as_seconds()))?;
    let today = fixture.today.as_ref().map_or(String::new(), |today| {
        format!(" ({} today)", today.wait.show(units))
    });
    Some(format!(
        "The longest wait for hot water is at the {}: {}{today}.",
        fixture.name,
        after.wait.show(units)
    ))
}

fn tub_lines(grounds: &Grounds<'_>) -> Vec<String> {
    let units = grounds.units;
    let tubs = grounds.tubs.iter().filter(|tub| tub.must_throttle);
    tubs.map(|tub| {
        format!(
            "Throttle the {} to {}: it then fills in {}; wide open it gets {} in the coldest month.",
            tub.name,
            tub.throttled_flow.show(units),
            tub.throttled_time.show_in("min").decimals(0),
            tub.open_temperature.show(units),
        )
    })
    .collect()
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |first| {
        first.to_uppercase().chain(letters).collect()
    })
}
