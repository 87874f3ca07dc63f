//! Findings of the change-over: each hazard of a mode as written, with its working, and what was shown of the orders.

use super::{ChangeOrder, Telling};
use crate::context::source_at;
use changeover::{
    ChangeoverError, Classified, Draw, Hazard, HazardKind, State, Subject, Wanted, classify, hazard_list,
    open_valves,
};
use job::SourceKind;
use quantity::{TemperatureDifference, Time, VolumeFlow};
use trace::{Finding, Origin, Severity, Source, SourceStatus, Working, WorkingInput};
use water::Water;
use water::expansion::trapped_pressure_rise;

impl Telling<'_> {
    /// Of each mode: the hazards of its positions as written, or of where it rests when the record writes none.
    pub(super) fn findings(&self) -> Result<Vec<Finding>, ChangeoverError> {
        let mut findings = Vec::new();
        for (mode, rest) in self.plan.wanted.iter().zip(self.rests) {
            let state = self.written(mode).or(*rest);
            if let Some(state) = state {
                let full = classify(&self.plan.layout, state, self.solved)?;
                findings.extend(
                    full.hazards
                        .iter()
                        .map(|hazard| self.hazard(mode, state, &full, *hazard)),
                );
            }
            if rest.is_none() {
                findings.push(Self::unrealized(mode));
            }
        }
        Ok(findings)
    }

    fn hazard(&self, mode: &Wanted, state: State, full: &Classified, hazard: Hazard) -> Finding {
        let text = hazard.kind.text();
        let about = self.about(hazard.subject);
        let mut inputs = vec![input(
            "state",
            "where every handle stands",
            self.words.position_line(self.analysis, state),
        )];
        let space = self.analysis.space();
        let powered = self.words.sources(|source| space.energized(state, source));
        let powered = if powered.is_empty() {
            "none".to_owned()
        } else {
            powered.join(", ")
        };
        inputs.push(input("power", "heaters with power", powered));
        let (formula, mut result) = self.shown(full, hazard, &mut inputs);
        if let Some(split) = self.split(state, hazard) {
            result = format!("{result}; {split}");
        }
        Finding {
            rule: format!("changeover.{}", hazard.kind.id()),
            subject: format!("{}: {about}", mode.name),
            title: text.title.clone(),
            severity: text.severity,
            message: format!("{about}: {result}"),
            edition: None,
            source: text.source.clone(),
            working: Working {
                inputs,
                formula: formula.to_owned(),
                turns: Vec::new(),
                substituted: about.clone(),
                result,
            },
            remedy: Some(text.remedy.clone()),
            why: Some(text.why.clone()),
            caution: None,
            missing: Vec::new(),
        }
    }

    fn about(&self, subject: Subject) -> String {
        match subject {
            Subject::Source(source) => self.words.source(source),
            Subject::Draw(Draw { fixture, hot }) => {
                let side = if hot { "hot" } else { "cold" };
                format!("{} side of {}", side, self.plan.layout.fixtures[fixture].name)
            }
        }
    }

    /// What the hazard asks of the state, and what was found; further inputs are added.
    fn shown(
        &self,
        full: &Classified,
        hazard: Hazard,
        inputs: &mut Vec<WorkingInput>,
    ) -> (&'static str, String) {
        let feed = match hazard.subject {
            Subject::Draw(Draw { fixture, hot }) => {
                let sides = &full.fixtures[fixture];
                if hot {
                    sides.hot.as_ref()
                } else {
                    sides.cold.as_ref()
                }
            }
            Subject::Source(_) => None,
        };
        if let Some(feed) = feed {
            let ways = self.words.ways(Some(feed)).len();
            inputs.push(input("ways", "different ways of the water", ways.to_string()));
            if feed.undecided {
                inputs.push(input(
                    "open",
                    "a direction that resistances decide",
                    "counted both ways".to_owned(),
                ));
            }
        }
        let comes = || feed.map_or_else(String::new, |feed| self.words.side(feed));
        match hazard.kind {
            HazardKind::EnergizedIsolated => (
                "power on, and a way from the supply to it",
                "it has power, and no way leads from the supply to either of its sides".to_owned(),
            ),
            HazardKind::EnergizedDry => ("power on, and filled", "it has power while empty".to_owned()),
            HazardKind::Trapped => {
                let rise = self.rise_per_degree(hazard.subject);
                if let Some(rise) = &rise {
                    inputs.push(input(
                        "Δp",
                        "pressure rise of trapped water for one degree, as an upper bound",
                        rise.clone(),
                    ));
                }
                (
                    "power on, and a way from it to a relief or expansion device or an open street",
                    match rise {
                        Some(rise) => {
                            format!("its growth reaches no device; up to {rise} in a rigid full pipe")
                        }
                        None => "its growth reaches no device".to_owned(),
                    },
                )
            }
            HazardKind::ParallelFeed => ("one way", format!("fed by {}", comes())),
            HazardKind::HotIntoCold => ("no way through a heater", format!("fed by {}", comes())),
            HazardKind::Backward => (
                "no way from a heater's hot side to its cold side",
                format!("fed by {}", comes()),
            ),
            HazardKind::Dry => ("at least one way", "no water comes".to_owned()),
            HazardKind::HangsOnHot => (
                "its cold side open to the supply, or its hot side shut",
                "its hot side is open to the supply's pressure, its cold side is not".to_owned(),
            ),
            HazardKind::StillWater => {
                let volume = match hazard.subject {
                    Subject::Source(source) => self.plan.layout.sources[source].volume,
                    Subject::Draw(_) => quantity::Volume::zero(),
                };
                let units = self.context.given.units();
                let volume = volume.show(units).to_string();
                let most = days(hazard_list().still_time_max);
                inputs.push(input("V", "water in it", volume.clone()));
                inputs.push(input("t", "time after which standing water is old", most.clone()));
                (
                    "some draw moves its water",
                    format!("no draw moves its {volume}; as old as the mode lasts, old after {most}"),
                )
            }
        }
    }

    /// How a draw that several ways feed divides between the heaters, by the network solved.
    fn split(&self, state: State, hazard: Hazard) -> Option<String> {
        let Subject::Draw(draw) = hazard.subject else {
            return None;
        };
        if hazard.kind != HazardKind::ParallelFeed {
            return None;
        }
        let open = open_valves(self.analysis, state);
        let (flows, drawn) = self.solved.source_flows(&open, draw)?;
        let units = self.context.given.units();
        let shown = |flow: VolumeFlow| flow.show(units).decimals(2).to_string();
        let through = flows
            .iter()
            .enumerate()
            .map(|(source, flow)| format!("{} through {}", shown(*flow), self.words.source(source)));
        let through: Vec<String> = through.collect();
        Some(format!("of {} drawn, {}", shown(drawn), through.join(" and ")))
    }

    fn rise_per_degree(&self, subject: Subject) -> Option<String> {
        let Subject::Source(source) = subject else {
            return None;
        };
        let index = self.plan.sources[source];
        let heater = &self.context.job.sources[index];
        let key = match heater.kind {
            SourceKind::OnDemand => "sources.set_point.on-demand",
            SourceKind::Tank => "sources.set_point.tank",
        };
        let given = &self.context.given;
        let set_point = given
            .take(heater.set_point, source_at(index).field("set_point"), key)
            .value;
        let water = Water::in_house(set_point).ok()?;
        let rise = trapped_pressure_rise(&water, TemperatureDifference::from_fahrenheit(1.0)).ok()?;
        let units = self.context.given.units();
        Some(format!(
            "{} per °F at {}",
            rise.show(units).decimals(0),
            set_point.show(units)
        ))
    }

    fn unrealized(mode: &Wanted) -> Finding {
        plain(
            "changeover.mode-realized",
            &mode.name,
            "a wanted mode can rest somewhere",
            Severity::Change,
            "no setting of the valves serves every fixture over one way, with this power, without a hazard of the list"
                .to_owned(),
            Some("see what is proposed to be added".to_owned()),
        )
    }
}

/// What was shown of each order.
pub(super) fn of_orders(orders: &[ChangeOrder]) -> Vec<Finding> {
    let told = orders.iter().map(|order| {
        let severity = if order.exists {
            Severity::Met
        } else {
            Severity::Change
        };
        let remedy = (!order.exists).then(|| "see what is proposed to be added".to_owned());
        plain(
            "changeover.order",
            &format!("{} → {}", order.from, order.to),
            "an order of moves that passes no hazard of the list",
            severity,
            order.outcome.clone(),
            remedy,
        )
    });
    told.collect()
}

fn plain(
    rule: &str,
    subject: &str,
    title: &str,
    severity: Severity,
    message: String,
    remedy: Option<String>,
) -> Finding {
    Finding {
        rule: rule.to_owned(),
        subject: subject.to_owned(),
        title: title.to_owned(),
        severity,
        working: Working {
            result: message.clone(),
            ..Working::default()
        },
        message,
        edition: None,
        source: Source {
            document: "this program".into(),
            edition: None,
            place: Some("search over all states".into()),
            status: SourceStatus::Computed,
        },
        remedy,
        why: None,
        caution: None,
        missing: Vec::new(),
    }
}

fn input(symbol: &str, meaning: &str, value: String) -> WorkingInput {
    WorkingInput {
        symbol: symbol.to_owned(),
        meaning: meaning.to_owned(),
        value,
        origin: Origin::Computed,
    }
}

fn days(time: Time) -> String {
    const SECONDS_A_DAY: f64 = 86_400.0;
    format!("{:.0} days", time.as_seconds() / SECONDS_A_DAY)
}
