//! Names and sentences: handles, positions, moves, ways, additions.
//!
//! In: the record and the plan. Out: text. Judges nothing.

use super::HandleResult;
use super::plan::Plan;
use changeover::{Addition, Analysis, Feed, Move, Place, State};
use job::Job;

/// Tells moves and parts by the names of the record.
#[derive(Debug)]
pub(crate) struct Words<'w> {
    job: &'w Job,
    plan: &'w Plan,
}

impl<'w> Words<'w> {
    pub(crate) fn new(job: &'w Job, plan: &'w Plan) -> Self {
        Self { job, plan }
    }

    pub(crate) fn handles(&self) -> Vec<HandleResult> {
        let handles = self.plan.layout.handles.iter();
        handles
            .map(|handle| {
                let valves = handle.valves();
                let purposes = valves
                    .iter()
                    .filter_map(|valve| self.job.piping.valves[self.plan.valves[*valve]].purpose.clone());
                HandleResult {
                    tag: handle.tag.clone(),
                    purpose: purposes.collect::<Vec<_>>().join("; "),
                    valves: valves
                        .iter()
                        .map(|valve| self.plan.layout.valves[*valve].tag.clone())
                        .collect(),
                    positions: handle
                        .positions
                        .iter()
                        .map(|position| position.name.clone())
                        .collect(),
                }
            })
            .collect()
    }

    /// The position of every handle in a state.
    pub(crate) fn positions(&self, analysis: &Analysis, state: State) -> Vec<String> {
        let handles = self.plan.layout.handles.iter().enumerate();
        handles
            .map(|(at, handle)| {
                handle.positions[analysis.space().position(state, at)]
                    .name
                    .clone()
            })
            .collect()
    }

    /// The same in one line: "V1 open, V2 closed".
    pub(crate) fn position_line(&self, analysis: &Analysis, state: State) -> String {
        let positions = self.positions(analysis, state);
        let handles = self.plan.layout.handles.iter().zip(positions);
        let told = handles.map(|(handle, position)| format!("{} {position}", handle.tag));
        told.collect::<Vec<_>>().join(", ")
    }

    pub(crate) fn source(&self, source: usize) -> String {
        self.plan.layout.sources[source].name.clone()
    }

    /// Sources by a test, as names.
    pub(crate) fn sources(&self, wanted: impl Fn(usize) -> bool) -> Vec<String> {
        let sources = 0..self.plan.layout.sources.len();
        sources
            .filter(|source| wanted(*source))
            .map(|source| self.source(source))
            .collect()
    }

    /// A move in words.
    pub(crate) fn told(&self, done: Move) -> String {
        match done {
            Move::SwitchOff { source } => {
                format!(
                    "Switch off and lock {} of `{}`",
                    self.breakers(source),
                    self.source(source)
                )
            }
            Move::SwitchOn { source } => {
                format!("Switch on {} of `{}`", self.breakers(source), self.source(source))
            }
            Move::Purge { source } => format!(
                "Fill and purge `{}` with its power off: run hot taps fed through it until none spits air",
                self.source(source)
            ),
            Move::Turn { handle, position } => self.turn(handle, position),
        }
    }

    fn turn(&self, handle: usize, position: usize) -> String {
        let what = &self.plan.layout.handles[handle];
        let to = &what.positions[position].name;
        let valves = what.valves();
        let purpose = valves.iter().filter_map(|valve| {
            let valve = &self.job.piping.valves[self.plan.valves[*valve]];
            valve.purpose.as_deref()
        });
        let purpose = purpose.collect::<Vec<_>>().join("; ");
        let purpose = if purpose.is_empty() {
            purpose
        } else {
            format!(" ({purpose})")
        };
        match (valves.len(), to.as_str()) {
            (1, "open") => format!("Open `{}`{purpose}", what.tag),
            (1, "closed") => format!("Close `{}`{purpose}", what.tag),
            _ => format!("Turn `{}` so that {to}{purpose}", what.tag),
        }
    }

    fn breakers(&self, source: usize) -> String {
        let id = &self.job.sources[self.plan.sources[source]].id;
        let circuits = self.job.circuits.iter().filter(|circuit| &circuit.source == id);
        let circuits: Vec<String> = circuits.map(|circuit| format!("`{}`", circuit.id)).collect();
        match circuits.len() {
            0 => "the breaker".to_owned(),
            1 => format!("breaker {}", circuits[0]),
            _ => format!("breakers {}", circuits.join(", ")),
        }
    }

    /// The heaters of each way, by name.
    pub(crate) fn ways(&self, feed: Option<&Feed>) -> Vec<Vec<String>> {
        let ways = feed.into_iter().flat_map(|feed| &feed.ways);
        ways.map(|way| {
            let passed = way.iter().map(|passed| {
                let name = self.source(passed.source);
                if passed.backward {
                    format!("{name}, backward")
                } else {
                    name
                }
            });
            passed.collect()
        })
        .collect()
    }

    /// What comes to one side, in words.
    pub(crate) fn side(&self, feed: &Feed) -> String {
        let ways = self.ways(Some(feed)).into_iter().map(|way| {
            if way.is_empty() {
                "cold water past all heaters".to_owned()
            } else {
                way.join(", then ")
            }
        });
        let ways: Vec<String> = ways.collect();
        match ways.len() {
            0 => "no water".to_owned(),
            1 => ways[0].clone(),
            _ => ways.join(" and at once "),
        }
    }

    /// An addition in words.
    pub(crate) fn addition(&self, addition: &Addition) -> String {
        match addition {
            Addition::Relief { source } => format!(
                "a relief valve on `{}`, on its own side of every valve",
                self.source(*source)
            ),
            Addition::Check { place, along } => {
                format!(
                    "a check valve {}, {}",
                    self.place(*place),
                    self.passing(*place, *along)
                )
            }
            Addition::Valve { place } => format!("one more valve {}", self.place(*place)),
            Addition::OneHandle { first, second } => self.one_handle(first, second),
        }
    }

    fn one_handle(&self, first: &[usize], second: &[usize]) -> String {
        let tags = |valves: &[usize]| {
            let tags = valves
                .iter()
                .map(|valve| format!("`{}`", self.plan.layout.valves[*valve].tag));
            tags.collect::<Vec<_>>().join(" and ")
        };
        let what = if first.len() + second.len() > 2 {
            "two ganged three-way valves with L ports"
        } else {
            "a three-way valve with an L port"
        };
        format!(
            "{what} in place of {} and {}: open toward {} or toward {}, never both; their pipes must be brought together \
             where it stands",
            tags(first),
            tags(second),
            tags(first),
            tags(second)
        )
    }

    fn place(&self, place: Place) -> String {
        match place {
            Place::Pipe(pipe) => {
                let pipe = &self.plan.layout.pipes[pipe];
                let end = &self.plan.layout.junctions[pipe.to];
                format!("in pipe `{}` at `{end}`", pipe.name)
            }
            Place::Inlet(source) => format!("at the cold connection of `{}`", self.source(source)),
            Place::Outlet(source) => format!("at the hot connection of `{}`", self.source(source)),
        }
    }

    fn passing(&self, place: Place, along: bool) -> String {
        match (place, along) {
            (Place::Pipe(pipe), along) => {
                let pipe = &self.plan.layout.pipes[pipe];
                let to = if along { pipe.to } else { pipe.from };
                format!("passing toward `{}`", self.plan.layout.junctions[to])
            }
            (Place::Inlet(_), true) | (Place::Outlet(_), false) => "passing into it".to_owned(),
            (Place::Inlet(_), false) | (Place::Outlet(_), true) => "passing out of it".to_owned(),
        }
    }
}

/// The cautions that stand on every paper about change-over.
pub(super) fn cautions() -> Vec<String> {
    let cautions = [
        "Lock and tag the breakers of a heater before any of its valves is turned, and prove it dead with a tester tried \
         on a known source before and after. The line side of the main stays live.",
        "Hot water and parts under pressure: let a heater cool and relieve its pressure before it is opened. Never shut \
         off, plug or pipe together relief devices.",
        "After any drain-down: fill, purge with the power off until no tap spits air, and only then switch on.",
        "This analysis looks at the valves as recorded, fully open or shut tight, and at the hazards of its list only. \
         Local code, the makers' instructions and a licensed electrician and plumber decide.",
    ];
    cautions.map(str::to_owned).to_vec()
}
