//! The part of a step's system that chains and branches leave over, factored by `faer`.
//!
//! In: nodes and edges of the core once, their numbers at every step. Out: a factor after Cholesky, ready to solve. The
//! symbolic factor, the order of elimination (approximate minimum degree) and all buffers are made once and reused.
//! Single-threaded: it has to run in a browser.

use faer::dyn_stack::{MemBuffer, MemStack};
use faer::linalg::cholesky::llt::factor::LltRegularization;
use faer::sparse::linalg::SupernodalThreshold;
use faer::sparse::linalg::cholesky::{
    CholeskySymbolicParams, LltRef, SymbolicCholesky, SymmetricOrdering, factorize_symbolic_cholesky,
};
use faer::sparse::{SparseColMatRef, SymbolicSparseColMatRef};
use faer::{Conj, MatMut, Par, Side};

/// The system is not positive definite.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct NotPositive {
    /// A node of the place where the factorization ended.
    pub(super) node: u32,
}

/// Plan and numbers of the core.
#[derive(Debug)]
pub(super) struct CoreFactor {
    nodes: Vec<u32>,
    planned: Option<Planned>,
}

struct Planned {
    column_starts: Vec<usize>,
    rows: Vec<usize>,
    values: Vec<f64>,
    /// Place in `values` of each node's diagonal.
    diagonal_at: Vec<usize>,
    /// Place in `values` and slot of each edge.
    edges_at: Vec<(usize, u32)>,
    symbolic: SymbolicCholesky<usize>,
    factor: Vec<f64>,
    right: Vec<f64>,
    memory: MemBuffer,
}

impl std::fmt::Debug for Planned {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter
            .debug_struct("Planned")
            .field("edges", &self.edges_at.len())
            .finish_non_exhaustive()
    }
}

impl CoreFactor {
    /// Plans for nodes (ascending) and edges between them with their slots.
    pub(super) fn plan(nodes: &[u32], edges: &[(u32, u32, u32)]) -> Self {
        Self {
            nodes: nodes.to_vec(),
            planned: if nodes.is_empty() {
                None
            } else {
                Planned::new(nodes, edges)
            },
        }
    }

    pub(super) fn size(&self) -> usize {
        self.nodes.len()
    }

    /// Takes the numbers of the core's nodes and edges and factors them.
    pub(super) fn factor(&mut self, diagonal: &[f64], edges: &[f64]) -> Result<(), NotPositive> {
        let Some(planned) = &mut self.planned else {
            return self
                .nodes
                .first()
                .map_or(Ok(()), |&node| Err(NotPositive { node }));
        };
        for (node, at) in self.nodes.iter().zip(&planned.diagonal_at) {
            planned.values[*at] = diagonal[*node as usize];
        }
        for (at, slot) in &planned.edges_at {
            planned.values[*at] = -edges[*slot as usize];
        }
        let size = self.nodes.len();
        let pattern =
            SymbolicSparseColMatRef::new_checked(size, size, &planned.column_starts, None, &planned.rows);
        let matrix = SparseColMatRef::new(pattern, &planned.values[..]);
        let done = planned.symbolic.factorize_numeric_llt(
            &mut planned.factor,
            matrix,
            Side::Upper,
            LltRegularization::default(),
            Par::Seq,
            MemStack::new(&mut planned.memory),
            faer::Spec::default(),
        );
        match done {
            Ok(_) => Ok(()),
            Err(_) => Err(NotPositive { node: self.nodes[0] }),
        }
    }

    /// Solves for the core's places in `values`.
    pub(super) fn solve(&mut self, values: &mut [f64]) {
        let Some(planned) = &mut self.planned else {
            return;
        };
        for (place, node) in planned.right.iter_mut().zip(&self.nodes) {
            *place = values[*node as usize];
        }
        let size = self.nodes.len();
        LltRef::new(&planned.symbolic, &planned.factor).solve_in_place_with_conj(
            Conj::No,
            MatMut::from_column_major_slice_mut(&mut planned.right, size, 1),
            Par::Seq,
            MemStack::new(&mut planned.memory),
        );
        for (place, node) in planned.right.iter().zip(&self.nodes) {
            values[*node as usize] = *place;
        }
    }
}

impl Planned {
    /// None when the symbolic factor does not fit into memory.
    fn new(nodes: &[u32], edges: &[(u32, u32, u32)]) -> Option<Self> {
        let local = |node: u32| nodes.binary_search(&node).ok();
        // The upper triangle by columns: every edge in the column of its later end, then the diagonal.
        let mut entries: Vec<(usize, usize, Option<u32>)> =
            (0..nodes.len()).map(|at| (at, at, None)).collect();
        for (a, b, slot) in edges {
            let (a, b) = (local(*a)?, local(*b)?);
            entries.push((a.max(b), a.min(b), Some(*slot)));
        }
        entries.sort_unstable();
        let mut column_starts = vec![0; nodes.len() + 1];
        let mut rows = Vec::with_capacity(entries.len());
        let mut diagonal_at = vec![0; nodes.len()];
        let mut edges_at = Vec::with_capacity(edges.len());
        for (at, (column, row, slot)) in entries.iter().enumerate() {
            column_starts[column + 1] = at + 1;
            rows.push(*row);
            match slot {
                Some(slot) => edges_at.push((at, *slot)),
                None => diagonal_at[*column] = at,
            }
        }
        let pattern =
            SymbolicSparseColMatRef::new_checked(nodes.len(), nodes.len(), &column_starts, None, &rows);
        let params = CholeskySymbolicParams {
            supernodal_flop_ratio_threshold: SupernodalThreshold::AUTO,
            ..CholeskySymbolicParams::default()
        };
        let symbolic =
            factorize_symbolic_cholesky(pattern, Side::Upper, SymmetricOrdering::Amd, params).ok()?;
        Some(Self {
            values: vec![0.0; rows.len()],
            factor: vec![0.0; symbolic.len_val()],
            right: vec![0.0; nodes.len()],
            memory: scratch(&symbolic),
            column_starts,
            rows,
            diagonal_at,
            edges_at,
            symbolic,
        })
    }
}

fn scratch(symbolic: &SymbolicCholesky<usize>) -> MemBuffer {
    let factor = symbolic.factorize_numeric_llt_scratch::<f64>(Par::Seq, faer::Spec::default());
    MemBuffer::new(factor.or(symbolic.solve_in_place_scratch::<f64>(1, Par::Seq)))
}
