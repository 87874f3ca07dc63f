//! Lanes: the order of level lines from top to bottom, and the lane of each junction.
//!
//! In: a [`Graph`]. Out: [`Lanes`]. Each end of a line has a lane of its own; a junction takes over the lane of the
//! middle one of what follows it, so that no two things ever share a stretch of a lane. Neighbors are swapped as long as
//! that leaves fewer crossings.

use super::graph::{Child, End, Graph};

/// More ends than this are drawn in the order given.
const ENDS_SORTED_MAX: usize = 90;
const PASSES_MAX: usize = 8;

#[derive(Debug, Clone)]
pub(super) struct Lanes {
    /// What each lane ends in, from the top.
    pub(super) ends: Vec<End>,
    /// Lane of each junction.
    pub(super) of_junction: Vec<usize>,
}

impl Lanes {
    /// The lane that ends in `end`.
    pub(super) fn of_end(&self, end: End) -> usize {
        self.ends.iter().position(|other| *other == end).unwrap_or(0)
    }

    /// First and last lane of a junction's upright line.
    pub(super) fn span(&self, graph: &Graph, junction: usize) -> (usize, usize) {
        self.joined(graph, junction)
            .into_iter()
            .fold((usize::MAX, 0), |(low, high), lane| {
                (low.min(lane), high.max(lane))
            })
    }

    /// All lanes that meet at a junction.
    pub(super) fn joined(&self, graph: &Graph, junction: usize) -> Vec<usize> {
        let mut lanes = vec![self.of_junction[junction]];
        for child in &graph.children[junction] {
            lanes.push(match child {
                Child::Junction(next) => self.of_junction[*next],
                Child::End(end) => self.of_end(*end),
            });
        }
        let closing = graph
            .links
            .iter()
            .enumerate()
            .filter(|(at, link)| link.to == junction && graph.parent[junction] != Some(*at));
        lanes.extend(closing.map(|(at, _)| self.of_end(End::Closing(at))));
        lanes
    }
}

/// Orders the children of `graph` and gives the lanes.
pub(super) fn ordered(graph: &mut Graph) -> Lanes {
    let mut best = lanes(graph);
    if best.ends.len() > ENDS_SORTED_MAX {
        return best;
    }
    let mut cost = cost_of(graph, &best);
    for _ in 0..PASSES_MAX {
        let before = cost;
        for junction in 0..graph.children.len() {
            for at in 1..graph.children[junction].len() {
                graph.children[junction].swap(at - 1, at);
                let tried = lanes(graph);
                let tried_cost = cost_of(graph, &tried);
                if tried_cost < cost {
                    (best, cost) = (tried, tried_cost);
                } else {
                    graph.children[junction].swap(at - 1, at);
                }
            }
        }
        if cost == before {
            break;
        }
    }
    best
}

fn lanes(graph: &Graph) -> Lanes {
    let mut found = Vec::new();
    let mut open: Vec<Child> = graph
        .roots
        .iter()
        .rev()
        .map(|root| Child::Junction(*root))
        .collect();
    while let Some(child) = open.pop() {
        match child {
            Child::Junction(junction) => open.extend(graph.children[junction].iter().rev()),
            Child::End(end) => found.push(end),
        }
    }
    // The two sides of a fixture stand together, where its hot side was found.
    let has_hot = |fixture: usize| found.contains(&End::Fixture(fixture, true));
    let mut ends = Vec::with_capacity(found.len());
    for end in &found {
        match *end {
            End::Fixture(fixture, false) if has_hot(fixture) => {}
            End::Fixture(fixture, true) => {
                let cold = End::Fixture(fixture, false);
                if found.contains(&cold) {
                    ends.push(cold);
                }
                ends.push(*end);
            }
            other => ends.push(other),
        }
    }
    let mut lanes = Lanes {
        ends,
        of_junction: vec![0; graph.layer.len()],
    };
    // Junctions from the last column back: what follows always has its lane already.
    let mut order: Vec<usize> = (0..graph.layer.len()).collect();
    order.sort_by_key(|junction| std::cmp::Reverse(graph.layer[*junction]));
    for junction in order {
        let mut following: Vec<usize> = graph.children[junction]
            .iter()
            .map(|child| match child {
                Child::Junction(next) => lanes.of_junction[*next],
                Child::End(end) => lanes.of_end(*end),
            })
            .collect();
        following.sort_unstable();
        lanes.of_junction[junction] = following[(following.len() - 1) / 2];
    }
    lanes
}

/// Crossings first, then total height of upright lines.
fn cost_of(graph: &Graph, lanes: &Lanes) -> (usize, usize) {
    // Columns doubled: level lines begin and end between them.
    let mut level: Vec<(usize, usize, usize)> = Vec::new();
    for (at, link) in graph.links.iter().enumerate() {
        let lane = if graph.parent[link.to] == Some(at) {
            lanes.of_junction[link.to]
        } else {
            lanes.of_end(End::Closing(at))
        };
        level.push((lane, graph.layer[link.from], graph.layer[link.to]));
    }
    let last = graph.last_layer() + 1;
    for (junction, children) in graph.children.iter().enumerate() {
        for child in children {
            if let Child::End(end @ (End::Fixture(..) | End::Device(_) | End::LoneSource(_))) = child {
                let to = if matches!(end, End::Fixture(..)) {
                    last
                } else {
                    graph.layer[junction] + 1
                };
                level.push((lanes.of_end(*end), graph.layer[junction], to));
            }
        }
    }
    let mut crossings = 0;
    let mut height = 0;
    for junction in 0..graph.layer.len() {
        let (low, high) = lanes.span(graph, junction);
        height += high - low;
        let column = graph.layer[junction];
        crossings += level
            .iter()
            .filter(|(lane, from, to)| low < *lane && *lane < high && *from < column && column < *to)
            .count();
    }
    (crossings, height)
}
