//! The smallest addition to the piping that lets every wanted mode rest and every change between them pass no hazard.
//!
//! In: a [`Layout`] and the wanted modes. Out: [`Improvement`]s. Start at [`smallest_additions`]. Candidates are tried one
//! at a time, then two together; each is put into the layout and the whole is analyzed anew, so nothing is claimed that
//! was not worked out. Directions that topology leaves open count as possible. Knows no price and no wall: whether a
//! valve fits where it is proposed is for a person to see.

use crate::hazard::HazardSet;
use crate::hydraulics::TopologyAlone;
use crate::layout::{Check, Handle, Layout};
use crate::modes::{Wanted, realizing};
use crate::moves::{Move, moves};
use crate::order::shortest_order;
use crate::{Analysis, State, loops};

/// Where something is put in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Place {
    /// Into a pipe, at its `to` end.
    Pipe(usize),
    /// Right at the cold connection of a source.
    Inlet(usize),
    /// Right at the hot connection of a source.
    Outlet(usize),
}

/// One addition.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Addition {
    /// A relief device on a source that no valve can shut off from it.
    Relief {
        /// The source.
        source: usize,
    },
    /// A check valve.
    Check {
        /// Where.
        place: Place,
        /// It passes from the supply's side of the place to the other: along the pipe as written, into the source at its
        /// cold connection, out of it at its hot one. Otherwise the opposite way.
        along: bool,
    },
    /// A two-way valve.
    Valve {
        /// Where.
        place: Place,
    },
    /// Valves put on one handle, of which it opens `first` and shuts `second`, or the other way round: a three-way valve
    /// with an L port in place of two valves, two such valves ganged in place of four.
    OneHandle {
        /// Valves open in its first position.
        first: Vec<usize>,
        /// Valves open in its second.
        second: Vec<usize>,
    },
}

/// A layout with additions under which all wanted modes and changes work.
#[derive(Debug, Clone, PartialEq)]
pub struct Improvement {
    /// What is added.
    pub additions: Vec<Addition>,
    /// The layout with it.
    pub layout: Layout,
    /// The state in which each wanted mode rests.
    pub states: Vec<State>,
    /// Moves of all changes between two modes together.
    pub moves: usize,
    /// Single moves out of these states that lead straight into a hazard.
    pub slips: usize,
}

/// The smallest additions: all single ones that work, or else all pairs that do; the least cut into the piping first.
///
/// A layout that works as it is gives one improvement without additions.
pub fn smallest_additions(layout: &Layout, wanted: &[Wanted]) -> Vec<Improvement> {
    if let Some(as_it_is) = tried(layout, &[], wanted) {
        return vec![as_it_is];
    }
    let candidates = candidates(layout);
    let singles = candidates.iter().map(std::slice::from_ref);
    let mut found: Vec<Improvement> = singles.filter_map(|one| tried(layout, one, wanted)).collect();
    if found.is_empty() {
        for (at, first) in candidates.iter().enumerate() {
            for second in &candidates[at + 1..] {
                found.extend(tried(layout, &[first.clone(), second.clone()], wanted));
            }
        }
    }
    found.sort_by(|a, b| {
        let key = |one: &Improvement| (cuts(&one.additions), one.slips, one.moves);
        key(a).cmp(&key(b)).then_with(|| a.additions.cmp(&b.additions))
    });
    found
}

/// Single moves out of `state` that lead straight into a hazard forbidden in passing.
pub fn slips(analysis: &Analysis, state: State) -> Vec<(Move, HazardSet)> {
    let after = moves(analysis, state).into_iter().map(|(done, next)| {
        let hazards = analysis.hazards(next).shared(HazardSet::in_passing());
        (done, hazards)
    });
    after.filter(|(_, hazards)| !hazards.is_empty()).collect()
}

/// Valves put on one handle that work and leave fewer slips than the layout as it is.
pub fn by_shape(layout: &Layout, wanted: &[Wanted]) -> Vec<Improvement> {
    let now = tried(layout, &[], wanted).map_or(usize::MAX, |now| now.slips);
    let mut found: Vec<Improvement> = candidates(layout)
        .into_iter()
        .filter(|addition| matches!(addition, Addition::OneHandle { .. }))
        .filter_map(|addition| tried(layout, &[addition], wanted))
        .filter(|improvement| improvement.slips < now)
        .collect();
    found.sort_by(|a, b| (a.slips, a.moves, &a.additions).cmp(&(b.slips, b.moves, &b.additions)));
    found
}

/// Analyzes a layout with additions; none when a wanted mode or a change between two still does not work.
fn tried(layout: &Layout, additions: &[Addition], wanted: &[Wanted]) -> Option<Improvement> {
    let mut changed = layout.clone();
    for addition in additions {
        if !addition.put_into(&mut changed) {
            return None;
        }
    }
    let analysis = Analysis::of(&changed, &TopologyAlone).ok()?;
    let states: Vec<State> = wanted
        .iter()
        .map(|mode| realizing(&analysis, mode).first().copied())
        .collect::<Option<_>>()?;
    let mut n_moves = 0;
    for (start, goal) in pairs(&states) {
        n_moves += shortest_order(&analysis, start, goal, HazardSet::in_passing())
            .ok()?
            .steps
            .len();
    }
    Some(Improvement {
        additions: additions.to_vec(),
        layout: changed,
        slips: states.iter().map(|state| slips(&analysis, *state).len()).sum(),
        states,
        moves: n_moves,
    })
}

/// Every state with every other, in both directions.
fn pairs(states: &[State]) -> impl Iterator<Item = (State, State)> + '_ {
    let starts = states.iter().enumerate();
    starts.flat_map(move |(at, start)| {
        let goals = states.iter().enumerate().filter(move |(other, _)| *other != at);
        goals.map(move |(_, goal)| (*start, *goal))
    })
}

/// How much an addition cuts into the piping: a relief device least, then a check valve, a valve, a valve replaced.
fn cuts(additions: &[Addition]) -> usize {
    let cut = additions.iter().map(|addition| match addition {
        Addition::Relief { .. } => 1,
        Addition::Check { .. } => 2,
        Addition::Valve { .. } => 3,
        Addition::OneHandle { first, second } => 2 * (first.len() + second.len()),
    });
    cut.sum()
}

fn candidates(layout: &Layout) -> Vec<Addition> {
    let sources = 0..layout.sources.len();
    let mut all: Vec<Addition> = sources
        .clone()
        .filter(|source| !layout.sources[*source].relief_on_vessel)
        .map(|source| Addition::Relief { source })
        .collect();
    let ends = sources.flat_map(|source| [Place::Inlet(source), Place::Outlet(source)]);
    let places: Vec<Place> = ends.chain(loop_pipes(layout).map(Place::Pipe)).collect();
    for along in [true, false] {
        all.extend(places.iter().map(|&place| Addition::Check { place, along }));
    }
    all.extend(places.iter().map(|&place| Addition::Valve { place }));
    all.extend(one_handles(layout));
    all
}

/// Pipes that are part of some loop: on any other, a valve only shuts off what lies behind it.
fn loop_pipes(layout: &Layout) -> impl Iterator<Item = usize> {
    let graph = crate::graph::Graph::whole(layout).ok();
    let on_loop = graph.map_or(0, |graph| !loops::bridges(&graph.edges, graph.steps.len()));
    // Pipes come first among the edges of the whole graph.
    (0..layout.pipes.len()).filter(move |pipe| on_loop & (1 << pipe) != 0)
}

/// Pairs of two-way valves that meet in one stretch of pipe, and pairs of such pairs.
fn one_handles(layout: &Layout) -> Vec<Addition> {
    let two_way: Vec<usize> = layout
        .handles
        .iter()
        .filter(|handle| handle.valves().len() == 1 && handle.positions.len() == 2)
        .flat_map(Handle::valves)
        .collect();
    let stretch = stretches(layout);
    let meet = |a: usize, b: usize| {
        let ends = |valve: usize| [layout.valves[valve].from, layout.valves[valve].to];
        let stretches_of_b = ends(b).map(|junction| stretch[junction]);
        ends(a)
            .iter()
            .any(|junction| stretches_of_b.contains(&stretch[*junction]))
    };
    let mut pairs = Vec::new();
    for (at, &a) in two_way.iter().enumerate() {
        pairs.extend(two_way[at + 1..].iter().filter(|b| meet(a, **b)).map(|&b| (a, b)));
    }
    let mut all: Vec<Addition> = Vec::new();
    let handle = |first: &[usize], second: &[usize]| Addition::OneHandle {
        first: first.to_vec(),
        second: second.to_vec(),
    };
    for (at, &(a, b)) in pairs.iter().enumerate() {
        all.push(handle(&[a], &[b]));
        for &(c, d) in &pairs[at + 1..] {
            if ![c, d].contains(&a) && ![c, d].contains(&b) {
                all.push(handle(&[a, c], &[b, d]));
                all.push(handle(&[a, d], &[b, c]));
            }
        }
    }
    all
}

/// A number for each junction, alike for those that pipes join.
fn stretches(layout: &Layout) -> Vec<usize> {
    let mut stretch: Vec<usize> = (0..layout.junctions.len()).collect();
    for _ in 0..layout.junctions.len() {
        for pipe in &layout.pipes {
            let lower = stretch[pipe.from].min(stretch[pipe.to]);
            stretch[pipe.from] = lower;
            stretch[pipe.to] = lower;
        }
    }
    stretch
}

impl Addition {
    /// Puts it into a layout; false when it does not fit any more.
    fn put_into(&self, layout: &mut Layout) -> bool {
        match self {
            Self::Relief { source } => layout.sources[*source].relief_on_vessel = true,
            Self::Check { place, along } => {
                let (before, after) = cut(layout, *place);
                let (from, to) = if *along { (before, after) } else { (after, before) };
                let tag = format!("added check {}", layout.checks.len() + 1);
                layout.checks.push(Check { tag, from, to });
            }
            Self::Valve { place } => {
                let (before, after) = cut(layout, *place);
                let tag = format!("added valve {}", layout.valves.len() + 1);
                layout.two_way_valve(&tag, before, after);
            }
            Self::OneHandle { first, second } => {
                let ganged: Vec<usize> = first.iter().chain(second).copied().collect();
                let alone = |valve: &usize| layout.handles.iter().any(|handle| handle.valves() == [*valve]);
                if !ganged.iter().all(alone) {
                    return false;
                }
                layout.handles.retain(|handle| {
                    let valves = handle.valves();
                    !valves.iter().any(|valve| ganged.contains(valve))
                });
                let names = |valves: &[usize]| {
                    let tags: Vec<&str> = valves
                        .iter()
                        .map(|valve| layout.valves[*valve].tag.as_str())
                        .collect();
                    format!("{} open", tags.join(" and "))
                };
                let (open_first, open_second) = (names(first), names(second));
                let tags: Vec<&str> = ganged
                    .iter()
                    .map(|valve| layout.valves[*valve].tag.as_str())
                    .collect();
                let handle = Handle::changes_over(
                    tags.join("+"),
                    first.clone(),
                    second.clone(),
                    (&open_first, &open_second),
                );
                layout.handles.push(handle);
            }
        }
        true
    }
}

/// Cuts the layout open at a place; gives the junctions on the supply's side and on the other side of the cut.
fn cut(layout: &mut Layout, place: Place) -> (usize, usize) {
    let new = layout.junction(format!("cut {}", layout.junctions.len() + 1));
    match place {
        Place::Pipe(pipe) => {
            let far = std::mem::replace(&mut layout.pipes[pipe].to, new);
            (new, far)
        }
        Place::Inlet(source) => {
            let before = std::mem::replace(&mut layout.sources[source].inlet, new);
            (before, new)
        }
        Place::Outlet(source) => {
            let after = std::mem::replace(&mut layout.sources[source].outlet, new);
            (new, after)
        }
    }
}
