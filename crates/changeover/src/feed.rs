//! What feeds one side of a fixture in one setting of the valves.
//!
//! In: the ways found, and hydraulics for what they leave open. Out: [`Feed`]. Start at [`feed`].

use crate::graph::{Graph, Part};
use crate::hydraulics::{Draw, Hydraulics, Running};
use crate::ways::{Found, Way, ways};
use crate::{ChangeoverError, Layout};
use std::collections::BTreeSet;

/// What feeds one side of a fixture.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Feed {
    /// The orders of heaters on the ways of the water, from the supply; an empty one is water that passes no heater.
    /// No way at all: no water.
    pub ways: BTreeSet<Way>,
    /// Topology left a direction open, and hydraulics did not say either: every possible way is listed.
    pub undecided: bool,
}

impl Feed {
    /// Whether no water comes.
    pub fn is_dry(&self) -> bool {
        self.ways.is_empty()
    }

    /// Whether more than one order of heaters leads here, so that the blend is left to resistances.
    pub fn is_parallel(&self) -> bool {
        self.ways.len() > 1
    }

    /// Whether some way passes a heater from its hot side.
    pub fn runs_backward(&self) -> bool {
        self.ways.iter().flatten().any(|passed| passed.backward)
    }

    /// The heaters passed on any way, each once.
    pub fn sources(&self) -> BTreeSet<usize> {
        self.ways.iter().flatten().map(|passed| passed.source).collect()
    }
}

/// What feeds `draw`, with these edges open; also the edges that move.
pub(crate) fn feed(
    layout: &Layout,
    graph: &Graph,
    open: u128,
    draw: Draw,
    hydraulics: &dyn Hydraulics,
) -> Result<(Feed, Found), ChangeoverError> {
    let fixture = &layout.fixtures[draw.fixture];
    let junction = if draw.hot { fixture.hot } else { fixture.cold };
    let Some(junction) = junction else {
        return Ok((Feed::default(), Found::default()));
    };
    let named = |_| ChangeoverError::Tangled {
        place: fixture.name.clone(),
    };
    let found = ways(graph, open, graph.node_of[junction]).map_err(named)?;
    let mut feed = Feed {
        ways: found.ways.clone(),
        undecided: false,
    };
    let decides = |edge: u32| {
        let part = graph.edges[edge as usize].part;
        matches!(part, Part::Source(_) | Part::Check(_))
    };
    if edges_of(found.undecided).any(decides) {
        let open_valves = open_valves(layout, graph, open);
        match hydraulics.through_sources(&open_valves, draw) {
            Some(running) => feed.ways.retain(|way| runs(way, &running)),
            None => feed.undecided = true,
        }
    }
    Ok((feed, found))
}

/// Whether water takes a way, given how it runs through the sources.
fn runs(way: &Way, running: &[Running]) -> bool {
    way.iter().all(|passed| {
        let wanted = if passed.backward {
            Running::Backward
        } else {
            Running::Forward
        };
        running.get(passed.source) == Some(&wanted)
    })
}

fn open_valves(layout: &Layout, graph: &Graph, open: u128) -> Vec<bool> {
    let mut valves = vec![false; layout.valves.len()];
    for edge in edges_of(open) {
        if let Some(Part::Valve(at)) = graph.edges.get(edge as usize).map(|edge| edge.part) {
            valves[at] = true;
        }
    }
    valves
}

/// The edges of a set, by rising place.
pub(crate) fn edges_of(mut set: u128) -> impl Iterator<Item = u32> {
    std::iter::from_fn(move || {
        let edge = set.trailing_zeros();
        (set != 0).then(|| {
            set &= set - 1;
            edge
        })
    })
}
