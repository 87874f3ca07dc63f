//! The symmetric system of one step: chains and branches eliminated exactly, the rest left to the sparse core.
//!
//! In: the graph of unknown nodes once, conductances at every step. Out: the factored system, ready to solve for any
//! right side. Start at [`Elimination::plan`]. Houses are trees with few loops: a node with one or two neighbors is
//! eliminated with one division and at most one new edge, and often nothing is left over. The core's factor is
//! `faer`'s (`core_factor`). Knows numbers only: no pressure, no flow.
//!
//! The matrix is diagonal − edges, each edge a conductance of at least zero. Node `n` and slot `m` stand for "none":
//! their conductance stays zero, so that no step asks.

use super::core_factor::{CoreFactor, NotPositive};
use std::collections::{BTreeMap, VecDeque};

/// One eliminated node with its neighbors at that time.
#[derive(Debug, Clone, Copy)]
struct Step {
    node: u32,
    first: u32,
    second: u32,
    first_slot: u32,
    second_slot: u32,
    /// Edge between the two neighbors.
    bridge_slot: u32,
}

/// What a step leaves for the solves.
#[derive(Debug, Clone, Copy, Default)]
struct Pivot {
    inverse: f64,
    first: f64,
    second: f64,
}

/// The plan, and the numbers of the last factorization.
#[derive(Debug)]
pub(super) struct Elimination {
    steps: Vec<Step>,
    pivots: Vec<Pivot>,
    core: CoreFactor,
    slot_count: usize,
}

impl Elimination {
    /// Plans for `node_count` unknown nodes and links between them (`None` where an end is known). Gives each link the
    /// slot of its edge.
    pub(super) fn plan(node_count: usize, links: &[Option<(u32, u32)>]) -> (Self, Vec<u32>) {
        let mut graph = Graph::new(node_count);
        let slots: Vec<Option<u32>> = links
            .iter()
            .map(|ends| ends.map(|(a, b)| graph.edge(a, b)))
            .collect();
        let none = index(node_count);
        let mut queue: VecDeque<u32> = (0..none)
            .filter(|&node| graph.degree[node as usize] <= 2)
            .collect();
        let mut raw = Vec::new();
        while let Some(node) = queue.pop_front() {
            if graph.gone[node as usize] {
                continue;
            }
            let neighbors = graph.take(node);
            let (first, second) = (neighbors.first().copied(), neighbors.get(1).copied());
            let bridge = match (first, second) {
                (Some((a, _)), Some((b, _))) => Some(graph.edge(a, b)),
                _ => None,
            };
            raw.push((node, first, second, bridge));
            for (neighbor, _) in [first, second].into_iter().flatten() {
                if graph.degree[neighbor as usize] <= 2 {
                    queue.push_back(neighbor);
                }
            }
        }
        let no_slot = index(graph.edge_count());
        let steps: Vec<Step> = raw
            .into_iter()
            .map(|(node, first, second, bridge)| Step {
                node,
                first: first.map_or(none, |(at, _)| at),
                second: second.map_or(none, |(at, _)| at),
                first_slot: first.map_or(no_slot, |(_, slot)| slot),
                second_slot: second.map_or(no_slot, |(_, slot)| slot),
                bridge_slot: bridge.unwrap_or(no_slot),
            })
            .collect();
        let core = CoreFactor::plan(&graph.left_over(), &graph.edges_left());
        let plan = Self {
            pivots: vec![Pivot::default(); steps.len()],
            steps,
            core,
            slot_count: graph.edge_count() + 1,
        };
        let slots = slots.into_iter().map(|slot| slot.unwrap_or(no_slot)).collect();
        (plan, slots)
    }

    /// Length of the array of edge conductances, the one for "none" included.
    pub(super) fn slot_count(&self) -> usize {
        self.slot_count
    }

    /// Nodes left to the sparse core.
    pub(super) fn core_size(&self) -> usize {
        self.core.size()
    }

    /// Factors the system; `diagonal` has one place more than nodes. Both arrays are used up.
    pub(super) fn factor(&mut self, diagonal: &mut [f64], edges: &mut [f64]) -> Result<(), NotPositive> {
        let no_slot = self.slot_count - 1;
        for (step, pivot) in self.steps.iter().zip(&mut self.pivots) {
            let value = diagonal[step.node as usize];
            if !(value > 0.0 && value.is_finite()) {
                return Err(NotPositive { node: step.node });
            }
            edges[no_slot] = 0.0;
            let (first, second) = (edges[step.first_slot as usize], edges[step.second_slot as usize]);
            let inverse = 1.0 / value;
            let (by_first, by_second) = (first * inverse, second * inverse);
            diagonal[step.first as usize] -= first * by_first;
            diagonal[step.second as usize] -= second * by_second;
            edges[step.bridge_slot as usize] += first * by_second;
            *pivot = Pivot {
                inverse,
                first: by_first,
                second: by_second,
            };
        }
        self.core.factor(diagonal, edges)
    }

    /// Solves in place for one right side with one place more than nodes.
    pub(super) fn solve(&mut self, values: &mut [f64]) {
        for (step, pivot) in self.steps.iter().zip(&self.pivots) {
            let value = values[step.node as usize];
            values[step.first as usize] += pivot.first * value;
            values[step.second as usize] += pivot.second * value;
        }
        self.core.solve(values);
        let none = values.len() - 1;
        values[none] = 0.0;
        for (step, pivot) in self.steps.iter().zip(&self.pivots).rev() {
            values[step.node as usize] = values[step.node as usize] * pivot.inverse
                + pivot.first * values[step.first as usize]
                + pivot.second * values[step.second as usize];
        }
    }
}

/// The graph while it is taken apart.
struct Graph {
    slots: BTreeMap<(u32, u32), u32>,
    neighbors: Vec<Vec<(u32, u32)>>,
    degree: Vec<usize>,
    gone: Vec<bool>,
    ends: Vec<(u32, u32)>,
}

impl Graph {
    fn new(node_count: usize) -> Self {
        Self {
            slots: BTreeMap::new(),
            neighbors: vec![Vec::new(); node_count],
            degree: vec![0; node_count],
            gone: vec![false; node_count],
            ends: Vec::new(),
        }
    }

    fn edge_count(&self) -> usize {
        self.ends.len()
    }

    /// The edge between two nodes, made if there is none.
    fn edge(&mut self, a: u32, b: u32) -> u32 {
        let ends = (a.min(b), a.max(b));
        if let Some(slot) = self.slots.get(&ends) {
            return *slot;
        }
        let slot = index(self.ends.len());
        self.slots.insert(ends, slot);
        self.ends.push(ends);
        for (node, other) in [(a, b), (b, a)] {
            self.neighbors[node as usize].push((other, slot));
            self.degree[node as usize] += 1;
        }
        slot
    }

    /// Removes a node and gives its neighbors that are still there.
    fn take(&mut self, node: u32) -> Vec<(u32, u32)> {
        self.gone[node as usize] = true;
        let mut left = std::mem::take(&mut self.neighbors[node as usize]);
        left.retain(|(other, _)| !self.gone[*other as usize]);
        for (other, _) in &left {
            self.degree[*other as usize] -= 1;
        }
        left
    }

    fn left_over(&self) -> Vec<u32> {
        (0..index(self.gone.len()))
            .filter(|&node| !self.gone[node as usize])
            .collect()
    }

    /// Ends and slot of the edges between nodes that are left.
    fn edges_left(&self) -> Vec<(u32, u32, u32)> {
        let there = |node: u32| !self.gone[node as usize];
        self.ends
            .iter()
            .enumerate()
            .filter(|(_, (a, b))| there(*a) && there(*b))
            .map(|(slot, (a, b))| (*a, *b, index(slot)))
            .collect()
    }
}

fn index(value: usize) -> u32 {
    u32::try_from(value).unwrap_or(u32::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(128))]
        #[test]
        fn the_solution_fulfills_the_system(
            node_count in 1_usize..40,
            links in proptest::collection::vec((0_usize..40, 0_usize..40, 0.01_f64..100.0), 0..120),
            grounds in proptest::collection::vec(0.01_f64..10.0, 40),
            right in proptest::collection::vec(-10.0_f64..10.0, 40),
        ) {
            let ends: Vec<Option<(u32, u32)>> = links
                .iter()
                .map(|(a, b, _)| {
                    let (a, b) = (index(a % node_count), index(b % node_count));
                    (a != b).then_some((a, b))
                })
                .collect();
            let (mut elimination, slots) = Elimination::plan(node_count, &ends);
            let mut diagonal = vec![0.0; node_count + 1];
            diagonal[..node_count].copy_from_slice(&grounds[..node_count]);
            let mut edges = vec![0.0; elimination.slot_count()];
            for ((ends, slot), (_, _, conductance)) in ends.iter().zip(&slots).zip(&links) {
                if let Some((a, b)) = ends {
                    diagonal[*a as usize] += conductance;
                    diagonal[*b as usize] += conductance;
                    edges[*slot as usize] += conductance;
                }
            }
            elimination.factor(&mut diagonal, &mut edges).unwrap();
            let mut values = right[..=node_count.min(39)].to_vec();
            values.resize(node_count + 1, 0.0);
            elimination.solve(&mut values);
            let mut back: Vec<f64> = (0..node_count).map(|node| grounds[node] * values[node]).collect();
            for (ends, (_, _, conductance)) in ends.iter().zip(&links) {
                if let Some((a, b)) = ends {
                    let flow = conductance * (values[*a as usize] - values[*b as usize]);
                    back[*a as usize] += flow;
                    back[*b as usize] -= flow;
                }
            }
            for node in 0..node_count {
                prop_assert!((back[node] - right[node]).abs() < 1e-8, "{node}: {} {}", back[node], right[node]);
            }
        }
    }

    #[test]
    fn a_tree_leaves_no_core_and_a_grid_does() {
        let tree: Vec<_> = (1..50_u32).map(|node| Some((node, (node - 1) / 2))).collect();
        assert_eq!(Elimination::plan(50, &tree).0.core_size(), 0);
        let grid: Vec<_> = (0..6_u32)
            .flat_map(|row| {
                (0..6_u32).flat_map(move |column| {
                    let at = row * 6 + column;
                    [
                        (column < 5).then_some((at, at + 1)),
                        (row < 5).then_some((at, at + 6)),
                    ]
                })
            })
            .collect();
        assert!(Elimination::plan(36, &grid).0.core_size() > 10);
    }

    #[test]
    fn a_node_without_ground_is_named() {
        let (mut elimination, _) = Elimination::plan(2, &[]);
        let error = elimination.factor(&mut [1.0, 0.0, 0.0], &mut [0.0]).unwrap_err();
        assert_eq!(error.node, 1);
    }
}
