//! Which edges lie on a loop with which: biconnected components of a small graph.
//!
//! In: edges with both directions open. Out: the edges between two nodes on ways that pass no node twice, and the
//! bridges. Start at [`edges_between`]. An edge lies on such a way from s to t exactly when it shares a biconnected
//! component with an edge added between s and t (Hopcroft & Tarjan 1973, Algorithm 447, from memory).

use crate::graph::Edge;

/// Edges on ways from `from` to `to` that pass no node twice.
pub(crate) fn edges_between(edges: &[Edge], n_nodes: usize, from: usize, to: usize) -> u128 {
    if from == to {
        return 0;
    }
    let added = edges.len();
    let ends = edges.iter().map(|edge| (edge.from, edge.to));
    let ends: Vec<(usize, usize)> = ends.chain([(from, to)]).collect();
    let with_added = |component: &&Vec<usize>| component.contains(&added);
    let found = components(&ends, n_nodes);
    let found = found.iter().find(with_added).into_iter().flatten();
    found
        .filter(|edge| **edge != added)
        .fold(0, |mask, edge| mask | 1 << edge)
}

/// Edges that are the only connection between what lies on their two sides.
pub(crate) fn bridges(edges: &[Edge], n_nodes: usize) -> u128 {
    let ends: Vec<(usize, usize)> = edges.iter().map(|edge| (edge.from, edge.to)).collect();
    let alone = components(&ends, n_nodes)
        .into_iter()
        .filter(|component| component.len() == 1);
    alone.flatten().fold(0, |mask, edge| mask | 1 << edge)
}

/// The biconnected components as lists of edges; edges from a node to itself belong to none.
fn components(ends: &[(usize, usize)], n_nodes: usize) -> Vec<Vec<usize>> {
    let mut steps: Vec<Vec<(usize, usize)>> = vec![Vec::new(); n_nodes];
    for (edge, &(a, b)) in ends.iter().enumerate().filter(|(_, (a, b))| a != b) {
        steps[a].push((edge, b));
        steps[b].push((edge, a));
    }
    let mut search = Search {
        steps: &steps,
        order: vec![0; n_nodes],
        low: vec![0; n_nodes],
        next: 1,
        stack: Vec::new(),
        components: Vec::new(),
    };
    for node in 0..n_nodes {
        if search.order[node] == 0 {
            search.visit(node, None);
        }
    }
    search.components
}

struct Search<'s> {
    steps: &'s [Vec<(usize, usize)>],
    /// When each node was first seen; 0 before.
    order: Vec<usize>,
    /// The earliest node that each reaches.
    low: Vec<usize>,
    next: usize,
    stack: Vec<usize>,
    components: Vec<Vec<usize>>,
}

impl Search<'_> {
    // As deep as there are nodes: at most 128.
    fn visit(&mut self, node: usize, arrived_by: Option<usize>) {
        self.order[node] = self.next;
        self.low[node] = self.next;
        self.next += 1;
        let steps = self.steps;
        for &(edge, other) in &steps[node] {
            if Some(edge) == arrived_by {
                continue;
            }
            if self.order[other] == 0 {
                let below = self.stack.len();
                self.stack.push(edge);
                self.visit(other, Some(edge));
                self.low[node] = self.low[node].min(self.low[other]);
                if self.low[other] >= self.order[node] {
                    self.components.push(self.stack.split_off(below));
                }
            } else if self.order[other] < self.order[node] {
                self.stack.push(edge);
                self.low[node] = self.low[node].min(self.order[other]);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::graph::Part;

    fn edges(ends: &[(usize, usize)]) -> Vec<Edge> {
        let part = Part::Pipe(0);
        ends.iter().map(|&(from, to)| Edge { from, to, part }).collect()
    }

    #[test]
    fn a_loop_with_a_tail() {
        // 0 – 1, then the loop 1 – 2 – 3 – 1, then the tail 3 – 4, and a branch 2 – 5.
        let edges = edges(&[(0, 1), (1, 2), (2, 3), (3, 1), (3, 4), (2, 5)]);
        assert_eq!(bridges(&edges, 6), 0b11_0001);
        assert_eq!(edges_between(&edges, 6, 0, 4), 0b1_1111);
        assert_eq!(edges_between(&edges, 6, 0, 1), 0b1);
        assert_eq!(edges_between(&edges, 6, 4, 5), 0b11_1110);
        assert_eq!(edges_between(&edges, 6, 2, 2), 0);
    }

    #[test]
    fn parallel_edges_are_no_bridges() {
        let edges = edges(&[(0, 1), (0, 1), (1, 2), (2, 2)]);
        assert_eq!(bridges(&edges, 3), 0b100);
        assert_eq!(edges_between(&edges, 3, 0, 2), 0b111);
    }
}
