//! The piping as a graph under one source mode: which valves are open, and which way the water can go.
//!
//! In: the record's piping and a mode. Out: paths between junctions, and the junctions a junction reaches. Start at
//! [`Network::in_mode`]. Knows no flow and no pressure; where pipes form a loop it takes the shortest way and says so.

use job::{Job, Mode, SourceStatus, ValvePosition};
use petgraph::graph::{NodeIndex, UnGraph};
use petgraph::visit::EdgeRef;
use std::collections::{BTreeMap, BTreeSet, BinaryHeap};

/// What joins two junctions.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Link {
    /// Index into the record's pipes.
    Pipe(usize),
    /// Index into the record's valves.
    Valve(usize),
    /// Index into the record's sources.
    Source(usize),
}

/// The piping with the valves of one mode set.
#[derive(Debug)]
pub(crate) struct Network<'job> {
    job: &'job Job,
    graph: UnGraph<&'job str, Link>,
    nodes: BTreeMap<&'job str, NodeIndex>,
}

/// A way through the piping.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Way {
    /// What it passes, in order from its beginning.
    pub(crate) links: Vec<Link>,
    /// Another way of the same ends exists, so flows would divide.
    pub(crate) divides: bool,
}

/// A mode ready to use: the record's own, or the one implied when it has none.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct ModeView {
    pub(crate) name: String,
    pub(crate) energized: Vec<usize>,
    closed: BTreeSet<usize>,
}

impl ModeView {
    /// The modes of `job`; when it names none, one "after the work" mode with every heater that stays or is added.
    pub(crate) fn all(job: &Job) -> Vec<Self> {
        if job.piping.modes.is_empty() {
            return vec![Self::implied(job, "after the work", |status| {
                status != SourceStatus::Removed
            })];
        }
        job.piping.modes.iter().map(|mode| Self::of(job, mode)).collect()
    }

    /// How the house is served today: a mode that energizes standing heaters only, or all standing heaters.
    pub(crate) fn today(job: &Job) -> Option<Self> {
        let standing = |index: &usize| job.sources[*index].status != SourceStatus::Proposed;
        let named = job.piping.modes.iter().map(|mode| Self::of(job, mode));
        named
            .filter(|mode| !mode.energized.is_empty())
            .find(|mode| mode.energized.iter().all(standing))
            .or_else(|| {
                let mode = Self::implied(job, "today", |status| status != SourceStatus::Proposed);
                (!mode.energized.is_empty()).then_some(mode)
            })
    }

    fn implied(job: &Job, name: &str, wanted: impl Fn(SourceStatus) -> bool) -> Self {
        let energized = (0..job.sources.len())
            .filter(|&index| wanted(job.sources[index].status))
            .collect();
        let closed = usual(job).collect();
        Self {
            name: name.to_owned(),
            energized,
            closed,
        }
    }

    fn of(job: &Job, mode: &Mode) -> Self {
        let index_of = |tag: &String| job.piping.valves.iter().position(|valve| &valve.tag == tag);
        let mut closed: BTreeSet<usize> = usual(job).collect();
        closed.extend(mode.closed.iter().filter_map(index_of));
        for open in mode.open.iter().filter_map(index_of) {
            closed.remove(&open);
        }
        let energized = mode
            .energized
            .iter()
            .filter_map(|id| job.sources.iter().position(|source| &source.id == id))
            .collect();
        Self {
            name: mode.name.clone(),
            energized,
            closed,
        }
    }

    /// Whether the valve at `index` is closed in this mode.
    pub(crate) fn closes(&self, index: usize) -> bool {
        self.closed.contains(&index)
    }
}

fn usual(job: &Job) -> impl Iterator<Item = usize> + '_ {
    let valves = job.piping.valves.iter().enumerate();
    valves
        .filter(|(_, valve)| valve.position == ValvePosition::Closed)
        .map(|(index, _)| index)
}

impl<'job> Network<'job> {
    /// The piping of `job` with the valves of `mode` set; heaters of the mode and standing ones are links too.
    pub(crate) fn in_mode(job: &'job Job, mode: &ModeView) -> Self {
        let mut graph = UnGraph::default();
        let mut nodes = BTreeMap::new();
        for junction in &job.piping.junctions {
            nodes.insert(junction.id.as_str(), graph.add_node(junction.id.as_str()));
        }
        let mut join = |from: &str, to: &str, link| {
            if let (Some(&from), Some(&to)) = (nodes.get(from), nodes.get(to)) {
                graph.add_edge(from, to, link);
            }
        };
        for (index, pipe) in job.piping.pipes.iter().enumerate() {
            join(&pipe.from, &pipe.to, Link::Pipe(index));
        }
        for (index, valve) in job.piping.valves.iter().enumerate() {
            if !mode.closes(index) {
                join(&valve.from, &valve.to, Link::Valve(index));
            }
        }
        let taken_out = |index: usize| {
            let source = &job.sources[index];
            !mode.energized.contains(&index) && source.status != SourceStatus::Existing
        };
        for (index, source) in job.sources.iter().enumerate() {
            if let (Some(inlet), Some(outlet), false) = (&source.inlet, &source.outlet, taken_out(index)) {
                join(inlet, outlet, Link::Source(index));
            }
        }
        Self { job, graph, nodes }
    }

    /// The shortest way by pipe length from `from` to `to`, passing no heater for which `pass` is false.
    pub(crate) fn way(&self, from: &str, to: &str, pass: impl Fn(usize) -> bool) -> Option<Way> {
        let (start, goal) = (*self.nodes.get(from)?, *self.nodes.get(to)?);
        let mut best: BTreeMap<NodeIndex, (f64, Option<(NodeIndex, Link)>)> = BTreeMap::new();
        let mut open = BinaryHeap::new();
        best.insert(start, (0.0, None));
        open.push(Reached {
            distance_m: 0.0,
            node: start,
        });
        while let Some(Reached { distance_m, node }) = open.pop() {
            if best.get(&node).is_some_and(|(known, _)| *known < distance_m) {
                continue;
            }
            let mut edges: Vec<_> = self.graph.edges(node).collect();
            edges.sort_by_key(|edge| *edge.weight());
            for edge in edges {
                if !self.passable(*edge.weight(), node, &pass) {
                    continue;
                }
                let next = distance_m + self.length_m(*edge.weight());
                let other = if edge.source() == node {
                    edge.target()
                } else {
                    edge.source()
                };
                if best.get(&other).is_none_or(|(known, _)| next < *known) {
                    best.insert(other, (next, Some((node, *edge.weight()))));
                    open.push(Reached {
                        distance_m: next,
                        node: other,
                    });
                }
            }
        }
        let mut links = Vec::new();
        let mut at = goal;
        best.get(&goal)?;
        while let Some((_, Some((previous, link)))) = best.get(&at) {
            links.push(*link);
            at = *previous;
        }
        links.reverse();
        let divides = links
            .iter()
            .any(|link| self.reaches_without(start, goal, *link, &pass));
        Some(Way { links, divides })
    }

    /// Heaters whose outlet the junction `hot` reaches without passing a heater.
    pub(crate) fn feeding(&self, hot: &str) -> Vec<usize> {
        let reached = self.reached(hot, &|_| false);
        let outlets = self.job.sources.iter().enumerate();
        outlets
            .filter(|(index, source)| {
                self.has_source(*index)
                    && source
                        .outlet
                        .as_deref()
                        .is_some_and(|outlet| reached.contains(outlet))
            })
            .map(|(index, _)| index)
            .collect()
    }

    /// Whether the heater at `index` is there in this mode.
    pub(crate) fn has_source(&self, index: usize) -> bool {
        self.graph.edge_weights().any(|link| *link == Link::Source(index))
    }

    /// All junctions that `from` reaches, passing only heaters for which `pass` is true.
    pub(crate) fn reached(&self, from: &str, pass: &impl Fn(usize) -> bool) -> BTreeSet<&'job str> {
        let Some(&start) = self.nodes.get(from) else {
            return BTreeSet::new();
        };
        self.spread(start, None, pass)
            .into_iter()
            .map(|node| self.graph[node])
            .collect()
    }

    /// Whether the closed valves leave the heater at `index` with no way to the supply `entry`, on either side.
    pub(crate) fn cut_off(&self, index: usize, entry: &str) -> bool {
        let source = &self.job.sources[index];
        let side = |junction: &Option<String>| {
            junction
                .as_deref()
                .is_some_and(|junction| self.reached(junction, &|_| false).contains(entry))
        };
        !side(&source.inlet) && !side(&source.outlet)
    }

    /// Whether the heater at `index` is open on its outlet side and shut off from the supply on its inlet side.
    pub(crate) fn hangs_on_hot(&self, index: usize, entry: &str) -> bool {
        let source = &self.job.sources[index];
        let (Some(inlet), Some(outlet)) = (&source.inlet, &source.outlet) else {
            return false;
        };
        let inlet_open = self.reached(inlet, &|_| false).contains(entry);
        let hot = self.reached(outlet, &|_| false);
        let feeds = self.job.fixtures.iter().any(|fixture| {
            fixture
                .hot
                .as_deref()
                .is_some_and(|hot_side| hot.contains(hot_side))
        });
        !inlet_open && feeds
    }

    fn spread(
        &self,
        start: NodeIndex,
        without: Option<Link>,
        pass: &impl Fn(usize) -> bool,
    ) -> BTreeSet<NodeIndex> {
        let mut seen = BTreeSet::from([start]);
        let mut queue = vec![start];
        while let Some(node) = queue.pop() {
            for edge in self.graph.edges(node) {
                let other = if edge.source() == node {
                    edge.target()
                } else {
                    edge.source()
                };
                let open = Some(*edge.weight()) != without && self.passable(*edge.weight(), node, pass);
                if open && seen.insert(other) {
                    queue.push(other);
                }
            }
        }
        seen
    }

    fn reaches_without(
        &self,
        start: NodeIndex,
        goal: NodeIndex,
        link: Link,
        pass: &impl Fn(usize) -> bool,
    ) -> bool {
        self.spread(start, Some(link), pass).contains(&goal)
    }

    fn passable(&self, link: Link, from: NodeIndex, pass: &impl Fn(usize) -> bool) -> bool {
        match link {
            Link::Pipe(_) => true,
            Link::Valve(index) => {
                let valve = &self.job.piping.valves[index];
                valve.kind != job::ValveKind::Check || self.graph[from] == valve.from
            }
            Link::Source(index) => pass(index),
        }
    }

    fn length_m(&self, link: Link) -> f64 {
        match link {
            Link::Pipe(index) => self.job.piping.pipes[index].length.as_meters().max(0.0),
            Link::Valve(_) | Link::Source(_) => 0.0,
        }
    }
}

/// A junction reached at a distance; the nearest comes out of the heap first.
#[derive(Debug, PartialEq)]
struct Reached {
    distance_m: f64,
    node: NodeIndex,
}

impl Eq for Reached {}

impl Ord for Reached {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        other
            .distance_m
            .total_cmp(&self.distance_m)
            .then_with(|| other.node.cmp(&self.node))
    }
}

impl PartialOrd for Reached {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}
