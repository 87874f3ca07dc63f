//! The piping as a directed graph without circles: which way each thing is drawn, and in which column.
//!
//! In: a [`Piping`]. Out: junctions with their columns, and links that all lead from a lower column to a higher one.
//! Pipes are taken as written (from the supply outward) where that reaches everything; a link is turned round when its
//! far end could not be reached otherwise, or when it would close a circle.

use super::Piping;
use std::collections::BTreeMap;

/// What lies between two junctions; the number is its place in its list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Item {
    Pipe(usize),
    Valve(usize),
    Source(usize),
}

/// A thing between two junctions, as drawn from left to right.
#[derive(Debug, Clone)]
pub(super) struct Link {
    pub(super) from: usize,
    pub(super) to: usize,
    pub(super) item: Item,
    /// True when drawn against the way it was written.
    pub(super) turned: bool,
}

/// What a level line ends in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum End {
    /// The cold (`false`) or hot (`true`) side of a fixture.
    Fixture(usize, bool),
    Device(usize),
    /// A heater of which only one connection is known.
    LoneSource(usize),
    /// A link to a junction that already has another on its left.
    Closing(usize),
    /// Nothing more follows the junction.
    Dead(usize),
}

/// What follows a junction on its right.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Child {
    /// Another junction, over a link.
    Junction(usize),
    End(End),
}

#[derive(Debug, Clone)]
pub(super) struct Graph {
    pub(super) links: Vec<Link>,
    /// Column of each junction.
    pub(super) layer: Vec<usize>,
    /// The link on the left of each junction.
    pub(super) parent: Vec<Option<usize>>,
    /// What follows each junction.
    pub(super) children: Vec<Vec<Child>>,
    /// Junctions with nothing on their left, in drawing order.
    pub(super) roots: Vec<usize>,
    /// The junction where the water enters.
    pub(super) entry: Option<usize>,
}

impl Graph {
    pub(super) fn of(input: &Piping) -> Self {
        let mut names = Names::default();
        let entry = input.entry.as_deref().map(|name| names.index(name));
        let mut links = Vec::new();
        let mut ends: Vec<(usize, End)> = Vec::new();
        let link = |from: usize, to: usize, item: Item| Link {
            from,
            to,
            item,
            turned: false,
        };
        for (at, pipe) in input.pipes.iter().enumerate() {
            links.push(link(
                names.index(&pipe.from),
                names.index(&pipe.to),
                Item::Pipe(at),
            ));
        }
        for (at, valve) in input.valves.iter().enumerate() {
            links.push(link(
                names.index(&valve.from),
                names.index(&valve.to),
                Item::Valve(at),
            ));
        }
        for (at, source) in input.sources.iter().enumerate() {
            match (&source.inlet, &source.outlet) {
                (Some(inlet), Some(outlet)) => {
                    links.push(link(names.index(inlet), names.index(outlet), Item::Source(at)));
                }
                (Some(only), None) | (None, Some(only)) => {
                    ends.push((names.index(only), End::LoneSource(at)));
                }
                (None, None) => {}
            }
        }
        for (at, device) in input.devices.iter().enumerate() {
            ends.push((names.index(&device.at), End::Device(at)));
        }
        for (at, fixture) in input.fixtures.iter().enumerate() {
            for (junction, is_hot) in [(&fixture.cold, false), (&fixture.hot, true)] {
                if let Some(name) = junction {
                    ends.push((names.index(name), End::Fixture(at, is_hot)));
                }
            }
        }
        // A thing that ends where it begins has no place in a schematic; the list below the drawing still names it.
        links.retain(|link| link.from != link.to);
        let n_junctions = names.count();
        orient(&mut links, n_junctions, entry);
        let layer = layers(&links, n_junctions);
        let parent = parents(&links, &layer, input);
        let mut graph = Self {
            children: vec![Vec::new(); n_junctions],
            roots: Vec::new(),
            links,
            layer,
            parent,
            entry,
        };
        graph.fill_children(ends);
        graph
    }

    fn fill_children(&mut self, ends: Vec<(usize, End)>) {
        for (at, link) in self.links.iter().enumerate() {
            self.children[link.from].push(if self.parent[link.to] == Some(at) {
                Child::Junction(link.to)
            } else {
                Child::End(End::Closing(at))
            });
        }
        for (junction, end) in ends {
            self.children[junction].push(Child::End(end));
        }
        for (junction, children) in self.children.iter_mut().enumerate() {
            if children.is_empty() {
                children.push(Child::End(End::Dead(junction)));
            }
        }
        self.roots = (0..self.layer.len())
            .filter(|at| self.parent[*at].is_none())
            .collect();
        self.roots.sort_by_key(|root| Some(*root) != self.entry);
    }

    /// The last column that holds a junction.
    pub(super) fn last_layer(&self) -> usize {
        self.layer.iter().copied().max().unwrap_or(0)
    }
}

/// Junction names in order of appearance.
#[derive(Default)]
struct Names {
    index: BTreeMap<String, usize>,
}

impl Names {
    fn index(&mut self, name: &str) -> usize {
        let next = self.index.len();
        *self.index.entry(name.to_owned()).or_insert(next)
    }

    fn count(&self) -> usize {
        self.index.len()
    }
}

/// Turns links round until all lead away from the entry and none closes a circle.
fn orient(links: &mut [Link], n_junctions: usize, entry: Option<usize>) {
    let mut reached = vec![false; n_junctions];
    let mut in_tree = vec![false; links.len()];
    let mut roots = entry.into_iter().collect::<Vec<_>>();
    let has_incoming = |links: &[Link], at: usize| links.iter().any(|link| link.to == at);
    loop {
        for root in roots.drain(..) {
            reached[root] = true;
        }
        while let Some(at) = next_link(links, &reached) {
            if reached[links[at].to] {
                turn(&mut links[at]);
            }
            reached[links[at].to] = true;
            in_tree[at] = true;
        }
        let left: Vec<usize> = (0..n_junctions).filter(|at| !reached[*at]).collect();
        let Some(first) = left.first() else { break };
        // The next piece of pipe that nothing joins to the entry begins where nothing leads to it.
        roots.push(*left.iter().find(|at| !has_incoming(links, **at)).unwrap_or(first));
    }
    // The tree has no circle; every other link joins it one way or the other.
    let mut placed: Vec<usize> = (0..links.len()).filter(|at| in_tree[*at]).collect();
    for at in 0..links.len() {
        if !in_tree[at] {
            if leads(links, &placed, links[at].to, links[at].from, n_junctions) {
                turn(&mut links[at]);
            }
            placed.push(at);
        }
    }
}

/// A link from a reached junction to one that is not: as written before turned round.
fn next_link(links: &[Link], reached: &[bool]) -> Option<usize> {
    let outward = links
        .iter()
        .position(|link| reached[link.from] && !reached[link.to]);
    outward.or_else(|| {
        links
            .iter()
            .position(|link| reached[link.to] && !reached[link.from])
    })
}

fn turn(link: &mut Link) {
    std::mem::swap(&mut link.from, &mut link.to);
    link.turned = !link.turned;
}

/// True when the `placed` links lead from one junction to another.
fn leads(links: &[Link], placed: &[usize], from: usize, to: usize, n_junctions: usize) -> bool {
    let mut seen = vec![false; n_junctions];
    let mut open = vec![from];
    while let Some(at) = open.pop() {
        if at == to {
            return true;
        }
        if std::mem::replace(&mut seen[at], true) {
            continue;
        }
        open.extend(
            placed
                .iter()
                .map(|link| &links[*link])
                .filter(|link| link.from == at)
                .map(|link| link.to),
        );
    }
    false
}

/// Column of each junction: one more than the highest on its left.
fn layers(links: &[Link], n_junctions: usize) -> Vec<usize> {
    let mut layer = vec![0; n_junctions];
    // Each pass settles one more column; without circles that ends after as many passes as there are junctions.
    for _ in 0..n_junctions {
        let mut moved = false;
        for link in links {
            if layer[link.to] <= layer[link.from] {
                layer[link.to] = layer[link.from] + 1;
                moved = true;
            }
        }
        if !moved {
            break;
        }
    }
    layer
}

/// The link drawn straight into each junction: the open one from the highest column.
fn parents(links: &[Link], layer: &[usize], input: &Piping) -> Vec<Option<usize>> {
    let is_open = |link: &Link| match link.item {
        Item::Valve(at) => !input.valves[at].closed,
        Item::Pipe(_) | Item::Source(_) => true,
    };
    let mut parent: Vec<Option<usize>> = vec![None; layer.len()];
    for (at, link) in links.iter().enumerate() {
        let rank = |link: &Link| (is_open(link), layer[link.from]);
        let better = match parent[link.to] {
            Some(other) => rank(link) > rank(&links[other]),
            None => true,
        };
        if better {
            parent[link.to] = Some(at);
        }
    }
    parent
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::piping::Pipe;

    fn pipes(ends: &[(&str, &str)]) -> Piping {
        Piping {
            entry: Some("in".into()),
            pipes: ends
                .iter()
                .map(|(from, to)| Pipe {
                    from: (*from).into(),
                    to: (*to).into(),
                    ..Pipe::default()
                })
                .collect(),
            ..Piping::default()
        }
    }

    #[test]
    fn pipes_written_backward_are_turned() {
        let graph = Graph::of(&pipes(&[("in", "a"), ("b", "a"), ("c", "b")]));
        assert_eq!(graph.layer, [0, 1, 2, 3]);
        assert!(graph.links[1].turned && graph.links[2].turned);
    }

    #[test]
    fn circles_are_opened() {
        let graph = Graph::of(&pipes(&[
            ("in", "a"),
            ("a", "b"),
            ("b", "c"),
            ("c", "a"),
            ("a", "a"),
        ]));
        assert_eq!(graph.links.len(), 4, "a pipe to itself is not drawn");
        for link in &graph.links {
            assert!(graph.layer[link.from] < graph.layer[link.to]);
        }
        assert_eq!(graph.roots.len(), 1);
    }

    #[test]
    fn pieces_that_hang_on_nothing_are_drawn_too() {
        let graph = Graph::of(&pipes(&[("in", "a"), ("x", "y")]));
        assert_eq!(graph.roots.len(), 2);
        assert_eq!(graph.roots[0], 0, "the entry comes first");
    }
}
