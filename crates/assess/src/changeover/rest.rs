//! Wanted modes told: positions, what feeds what, which way water runs, what stands still, which slips are one move away.

use super::{
    FeedStates, HandlePosition, ModeStates, PipeFlow, PipeRuns, Rest, Slip, StillWater, Telling, ValveStands,
};
use changeover::{
    ChangeoverError, HazardSet, Move, Running, State, Wanted, classify, open_valves, realizing, slips,
};
use std::collections::BTreeSet;
use trace::Severity;

impl Telling<'_> {
    pub(super) fn modes(&self) -> Result<Vec<ModeStates>, ChangeoverError> {
        let modes = self.plan.wanted.iter().zip(self.rests);
        modes.map(|(mode, rest)| self.mode(mode, *rest)).collect()
    }

    fn mode(&self, mode: &Wanted, rest: Option<State>) -> Result<ModeStates, ChangeoverError> {
        let n_handles = self.plan.layout.handles.len();
        let realizing = realizing(self.analysis, mode);
        let setting = |state: &State| -> Vec<usize> {
            (0..n_handles)
                .map(|handle| self.analysis.space().position(*state, handle))
                .collect()
        };
        let settings: BTreeSet<Vec<usize>> = realizing.iter().map(setting).collect();
        let written = self.written(mode);
        Ok(ModeStates {
            name: mode.name.clone(),
            energized: self.words.sources(|source| mode.energized.contains(&source)),
            settings: settings.len() as u64,
            as_written: written.is_some_and(|state| realizing.contains(&state)),
            rest: rest.map(|state| self.rest(state, &realizing)).transpose()?,
        })
    }

    /// The state written in the record: positions as the mode has them, all heaters filled; none when it names none.
    pub(super) fn written(&self, mode: &Wanted) -> Option<State> {
        if mode.preferred.is_empty() {
            return None;
        }
        let handles = self.plan.layout.handles.iter();
        let positions = handles.map(|handle| {
            let fits = |open: &Vec<usize>| {
                handle.valves().iter().all(|valve| {
                    let preferred = mode.preferred.get(*valve).copied().flatten();
                    preferred.is_none_or(|preferred| preferred == open.contains(valve))
                })
            };
            handle.positions.iter().position(|position| fits(&position.open))
        });
        let positions: Option<Vec<usize>> = positions.collect();
        let all = 0..self.plan.layout.sources.len();
        self.analysis
            .space()
            .state(positions?, mode.energized.iter().copied(), all)
    }

    fn rest(&self, state: State, realizing: &[State]) -> Result<Rest, ChangeoverError> {
        let full = classify(&self.plan.layout, state, self.solved)?;
        let space = self.analysis.space();
        let layout = &self.plan.layout;
        let handles = layout.handles.iter().enumerate().map(|(at, handle)| {
            let now = space.position(state, at);
            let mut others = (0..handle.positions.len()).filter(|position| *position != now);
            HandlePosition {
                tag: handle.tag.clone(),
                position: handle.positions[now].name.clone(),
                free: others.all(|position| realizing.contains(&space.turned(state, at, position))),
            }
        });
        let open = open_valves(self.analysis, state);
        let valves = layout.valves.iter().zip(open);
        let job = self.context.job;
        let energized = (0..layout.sources.len()).filter(|source| space.energized(state, *source));
        let feeds = layout.fixtures.iter().zip(&full.fixtures).map(|(fixture, feed)| {
            let hot = feed
                .hot
                .as_ref()
                .map(|feed| format!("hot: {}", self.words.side(feed)));
            let cold = feed
                .cold
                .as_ref()
                .map(|feed| format!("cold: {}", self.words.side(feed)));
            FeedStates {
                fixture: fixture.name.clone(),
                hot: self.words.ways(feed.hot.as_ref()),
                cold: self.words.ways(feed.cold.as_ref()),
                words: [hot, cold].into_iter().flatten().collect::<Vec<_>>().join("; "),
            }
        });
        let flows = layout
            .pipes
            .iter()
            .zip(&full.pipes)
            .map(|(pipe, running)| PipeFlow {
                pipe: pipe.name.clone(),
                runs: match running {
                    Some(Running::Forward) => PipeRuns::Forward,
                    Some(Running::Backward) => PipeRuns::Backward,
                    Some(Running::Still) => PipeRuns::Still,
                    None => PipeRuns::ByDraw,
                },
            });
        let still = full.still.iter().map(|part| StillWater {
            part: part.name.clone(),
            is_heater: part.is_source,
            volume: part.volume,
        });
        Ok(Rest {
            handles: handles.collect(),
            valves: valves
                .map(|(valve, open)| ValveStands {
                    tag: valve.tag.clone(),
                    open,
                })
                .collect(),
            energized: energized
                .map(|source| job.sources[self.plan.sources[source]].id.clone())
                .collect(),
            feeds: feeds.collect(),
            flows: flows.collect(),
            still: still.collect(),
            slips: self.slips(state),
        })
    }

    /// Wrong moves out of a mode; switching off can never be one.
    fn slips(&self, state: State) -> Vec<Slip> {
        let slips = slips(self.analysis, state).into_iter();
        slips
            .filter(|(done, _)| !matches!(done, Move::SwitchOff { .. }))
            .map(|(done, hazards)| Slip {
                words: self.words.told(done),
                hazards: titles(hazards),
                severity: hazards
                    .iter()
                    .map(|kind| kind.text().severity)
                    .min()
                    .unwrap_or(Severity::Note),
            })
            .collect()
    }
}

pub(super) fn titles(hazards: HazardSet) -> Vec<String> {
    hazards.iter().map(|kind| kind.text().title.clone()).collect()
}
