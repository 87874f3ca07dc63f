//! The ways of water from the supply to one place where it is drawn, with the heaters each way passes.
//!
//! In: a [`Graph`] and its open edges. Out: [`Found`]. Start at [`ways`].
//!
//! One place draws, one supply feeds it: water then moves in exactly those parts that lie on a way which passes no place
//! twice, whatever the resistances. A part that such ways pass both along and against is a bridge between two of them;
//! which way it runs is for hydraulics. So is a check valve on such a bridge; one that all ways would pass against stays
//! shut and is left out, and the ways are listed anew. With several places drawing at once every flow is a sum of such
//! single flows, so a part that no single draw moves backward is not moved backward by all of them.

use crate::ChangeoverError;
use crate::graph::{Graph, Part};
use std::collections::BTreeSet;

/// Steps of one search; a house takes some hundred.
const STEPS_MAX: u32 = 200_000;

/// A heater passed on a way.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Passed {
    /// The source, by its place in the layout.
    pub source: usize,
    /// From its hot connection to its cold one.
    pub backward: bool,
}

/// The heaters passed on one way, in order from the supply.
pub type Way = Vec<Passed>;

/// What feeds one place.
#[derive(Debug, Clone, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Found {
    /// Different orders of heaters on the ways there.
    pub(crate) ways: BTreeSet<Way>,
    /// Edges passed along and against.
    pub(crate) along: u128,
    pub(crate) against: u128,
    /// Edges whose direction hydraulics decides.
    pub(crate) undecided: u128,
}

/// All ways from the supply to the node `sink`.
pub(crate) fn ways(graph: &Graph, mut open: u128, sink: usize) -> Result<Found, ChangeoverError> {
    loop {
        let found = Search::run(graph, open, sink, false)?;
        let both = found.along & found.against;
        let shut = found.against & !found.along & graph.checks;
        if shut != 0 {
            open &= !shut;
        } else if both & graph.checks != 0 {
            let mut strict = Search::run(graph, open, sink, true)?;
            strict.undecided = both;
            return Ok(strict);
        } else {
            return Ok(Found {
                undecided: both,
                ..found
            });
        }
    }
}

struct Search<'g> {
    graph: &'g Graph,
    open: u128,
    sink: usize,
    /// Check valves are passed along only.
    strict: bool,
    steps: u32,
    sequence: Way,
    found: Found,
}

impl<'g> Search<'g> {
    fn run(graph: &'g Graph, open: u128, sink: usize, strict: bool) -> Result<Found, ChangeoverError> {
        let mut search = Self {
            graph,
            open,
            sink,
            strict,
            steps: 0,
            sequence: Way::new(),
            found: Found::default(),
        };
        if search.walk(graph.supply, 0, 0, 0) {
            Ok(search.found)
        } else {
            Err(ChangeoverError::Tangled { place: String::new() })
        }
    }

    /// Walks on from `node`; false when there are too many ways.
    fn walk(&mut self, node: usize, visited: u128, along: u128, against: u128) -> bool {
        if node == self.sink {
            self.found.along |= along;
            self.found.against |= against;
            if !self.found.ways.contains(&self.sequence) {
                self.found.ways.insert(self.sequence.clone());
            }
            return true;
        }
        self.steps += 1;
        if self.steps > STEPS_MAX {
            return false;
        }
        let visited = visited | 1 << node;
        let graph = self.graph;
        for step in &graph.steps[node] {
            let edge = 1_u128 << step.edge;
            let shut = self.open & edge == 0 || (self.strict && !step.along && graph.checks & edge != 0);
            if shut || visited & (1 << step.to) != 0 {
                continue;
            }
            let (along, against) = if step.along {
                (along | edge, against)
            } else {
                (along, against | edge)
            };
            let source = match graph.edges[step.edge].part {
                Part::Source(source) => Some(source),
                _ => None,
            };
            if let Some(source) = source {
                let backward = !step.along;
                self.sequence.push(Passed { source, backward });
            }
            let went = self.walk(step.to, visited, along, against);
            if source.is_some() {
                self.sequence.pop();
            }
            if !went {
                return false;
            }
        }
        true
    }
}
