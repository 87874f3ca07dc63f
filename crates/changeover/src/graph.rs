//! The layout as a graph that water walks: whole, or shrunk to what decides who feeds whom.
//!
//! In: a [`Layout`]. Out: a [`Graph`]. All supplies are one node. Shrinking merges the ends of a pipe where that cannot
//! change any way that passes no place twice: the pipe is the only connection of what lies on its two sides, or one of
//! its ends joins nothing but two parts and is no place that water is drawn from or comes from. Everything else stays, so
//! answers of the shrunk graph are those of the whole one.

use crate::layout::{Layout, VentKind};
use crate::loops;
use crate::{ChangeoverError, StateSpace};

/// What joins two nodes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Part {
    /// A pipe, by its place in the layout.
    Pipe(usize),
    /// A valve.
    Valve(usize),
    /// A check valve.
    Check(usize),
    /// A heater.
    Source(usize),
}

/// A part between two nodes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Edge {
    pub(crate) from: usize,
    pub(crate) to: usize,
    pub(crate) part: Part,
}

/// A step from a node to its neighbor.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Step {
    pub(crate) edge: usize,
    pub(crate) to: usize,
    /// Along the edge, or against it.
    pub(crate) along: bool,
}

/// The graph.
#[derive(Debug, Clone)]
pub(crate) struct Graph {
    pub(crate) edges: Vec<Edge>,
    pub(crate) steps: Vec<Vec<Step>>,
    pub(crate) supply: usize,
    /// Water can be pushed back out at the supply.
    pub(crate) takes_back: bool,
    /// Node of each junction of the layout.
    pub(crate) node_of: Vec<usize>,
    /// Edge of each source.
    pub(crate) source_edges: Vec<usize>,
    /// Nodes where growth is taken up, and where it is let out.
    pub(crate) expansion: u128,
    pub(crate) relief: u128,
    pub(crate) checks: u128,
    /// Edges open whatever the handles do.
    pub(crate) always_open: u128,
    /// Edges that each handle opens in each position.
    pub(crate) opened: Vec<Vec<u128>>,
}

impl Graph {
    /// The whole layout.
    pub(crate) fn whole(layout: &Layout) -> Result<Self, ChangeoverError> {
        layout.check()?;
        let nodes = Nodes::of(layout);
        Ok(Self::build(layout, &nodes, all_edges(layout, &nodes)))
    }

    /// The layout shrunk to what decides who feeds whom.
    pub(crate) fn shrunk(layout: &Layout) -> Result<Self, ChangeoverError> {
        layout.check()?;
        let mut nodes = Nodes::of(layout);
        let fixed = |nodes: &Nodes| {
            let ends = layout
                .fixtures
                .iter()
                .flat_map(|fixture| [fixture.hot, fixture.cold]);
            let supplies = layout.supplies.iter().map(|supply| Some(supply.junction));
            ends.chain(supplies)
                .flatten()
                .fold(0_u128, |mask, junction| mask | 1 << nodes.root(junction))
        };
        loop {
            let mut edges = all_edges(layout, &nodes);
            drop_idle_pipes(&mut edges);
            let fixed = fixed(&nodes);
            match next_merge(&edges, fixed, layout.junctions.len()) {
                Some((a, b)) => nodes.merge(a, b),
                None => return Ok(Self::build(layout, &nodes, edges)),
            }
        }
    }

    fn build(layout: &Layout, nodes: &Nodes, edges: Vec<Edge>) -> Self {
        let node_of: Vec<usize> = (0..layout.junctions.len()).map(|at| nodes.root(at)).collect();
        let mut steps = vec![Vec::new(); node_of.len()];
        for (edge, &Edge { from, to, .. }) in edges.iter().enumerate() {
            if from != to {
                steps[from].push(Step {
                    edge,
                    to,
                    along: true,
                });
                steps[to].push(Step {
                    edge,
                    to: from,
                    along: false,
                });
            }
        }
        let mask = |wanted: &dyn Fn(Part) -> bool| {
            let wanted = edges.iter().enumerate().filter(|(_, edge)| wanted(edge.part));
            wanted.fold(0_u128, |mask, (at, _)| mask | 1 << at)
        };
        let opened = layout.handles.iter().map(|handle| {
            let positions = handle.positions.iter();
            positions
                .map(|position| mask(&|part| matches!(part, Part::Valve(at) if position.open.contains(&at))))
                .collect()
        });
        let vents = |kind: VentKind| {
            let vents = layout.vents.iter().filter(|vent| vent.kind == kind);
            vents.fold(0_u128, |mask, vent| mask | 1 << node_of[vent.junction])
        };
        let source_edge = |wanted: usize| edges.iter().position(|edge| edge.part == Part::Source(wanted));
        Self {
            supply: node_of[layout.supplies[0].junction],
            takes_back: layout.supplies.iter().any(|supply| supply.takes_back),
            source_edges: (0..layout.sources.len()).filter_map(source_edge).collect(),
            expansion: vents(VentKind::Expansion),
            relief: vents(VentKind::Relief),
            checks: mask(&|part| matches!(part, Part::Check(_))),
            always_open: mask(&|part| !matches!(part, Part::Valve(_))),
            opened: opened.collect(),
            steps,
            node_of,
            edges,
        }
    }

    /// Edges open in a state; only its handles matter.
    pub(crate) fn open(&self, space: &StateSpace, state: crate::State) -> u128 {
        let positions = self.opened.iter().enumerate();
        positions.fold(self.always_open, |open, (handle, positions)| {
            open | positions[space.position(state, handle)]
        })
    }

    /// Nodes that water at the nodes `start` can be pushed to through open edges.
    pub(crate) fn reached(&self, start: u128, open: u128) -> u128 {
        let mut reached = start;
        let mut next = start;
        while next != 0 {
            let node = next.trailing_zeros() as usize;
            next &= next - 1;
            for step in &self.steps[node] {
                let edge = 1_u128 << step.edge;
                let passes = open & edge != 0 && (step.along || self.checks & edge == 0);
                let to = 1_u128 << step.to;
                if passes && reached & to == 0 {
                    reached |= to;
                    next |= to;
                }
            }
        }
        reached
    }

    /// Edges that lie on some way from `from` to `to` that passes no place twice, with everything open.
    pub(crate) fn between(&self, from: usize, to: usize) -> u128 {
        loops::edges_between(&self.edges, self.steps.len(), from, to)
    }
}

/// Junctions merged into nodes; a node goes by its lowest junction.
#[derive(Debug)]
struct Nodes {
    parent: Vec<usize>,
}

impl Nodes {
    fn of(layout: &Layout) -> Self {
        let mut nodes = Self {
            parent: (0..layout.junctions.len()).collect(),
        };
        for pair in layout.supplies.windows(2) {
            nodes.merge(pair[0].junction, pair[1].junction);
        }
        nodes
    }

    fn root(&self, mut junction: usize) -> usize {
        while self.parent[junction] != junction {
            junction = self.parent[junction];
        }
        junction
    }

    fn merge(&mut self, a: usize, b: usize) {
        let (a, b) = (self.root(a), self.root(b));
        self.parent[a.max(b)] = a.min(b);
    }
}

fn all_edges(layout: &Layout, nodes: &Nodes) -> Vec<Edge> {
    let pipes = layout.pipes.iter().map(|pipe| (pipe.from, pipe.to));
    let valves = layout.valves.iter().map(|valve| (valve.from, valve.to));
    let checks = layout.checks.iter().map(|check| (check.from, check.to));
    let sources = layout.sources.iter().map(|source| (source.inlet, source.outlet));
    let pipes = pipes.enumerate().map(|(at, ends)| (ends, Part::Pipe(at)));
    let valves = valves.enumerate().map(|(at, ends)| (ends, Part::Valve(at)));
    let checks = checks.enumerate().map(|(at, ends)| (ends, Part::Check(at)));
    let sources = sources.enumerate().map(|(at, ends)| (ends, Part::Source(at)));
    pipes
        .chain(valves)
        .chain(checks)
        .chain(sources)
        .map(|((from, to), part)| Edge {
            from: nodes.root(from),
            to: nodes.root(to),
            part,
        })
        .collect()
}

/// Drops pipes from a node to itself, and all but one of parallel pipes: none of them can decide anything.
fn drop_idle_pipes(edges: &mut Vec<Edge>) {
    let mut seen = Vec::new();
    edges.retain(|edge| {
        let ends = (edge.from.min(edge.to), edge.from.max(edge.to));
        match edge.part {
            Part::Pipe(_) if edge.from == edge.to || seen.contains(&ends) => false,
            Part::Pipe(_) => {
                seen.push(ends);
                true
            }
            _ => true,
        }
    });
}

/// The ends of a pipe that may be merged.
fn next_merge(edges: &[Edge], fixed: u128, n_nodes: usize) -> Option<(usize, usize)> {
    let degree = |node: usize| {
        let ends = edges.iter().flat_map(|edge| [edge.from, edge.to]);
        ends.filter(|end| *end == node).count()
    };
    let bridges = loops::bridges(edges, n_nodes);
    let may_merge = |(at, edge): &(usize, &Edge)| {
        let passes_through = |node: usize| fixed & (1 << node) == 0 && degree(node) <= 2;
        matches!(edge.part, Part::Pipe(_))
            && (bridges & (1 << at) != 0 || passes_through(edge.from) || passes_through(edge.to))
    };
    let found = edges.iter().enumerate().find(may_merge);
    found.map(|(_, edge)| (edge.from, edge.to))
}
