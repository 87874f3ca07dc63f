//! A simulation of flows that knows nothing of ways: an outside opinion on who feeds whom.

use changeover::{Draw, Hydraulics, Layout, Running};

/// Flows by plain linear resistors: an outside opinion that knows nothing of ways.
///
/// Every part has a resistance of its own; the supply is held at pressure 1, the place drawn from at 0. Nodal equations
/// by Gaussian elimination. Check valves are closed and opened until none is passed backward and none that is shut has a
/// pressure in its direction.
pub(crate) struct Resistors<'l> {
    pub(crate) layout: &'l Layout,
    pub(crate) seed: u64,
}

#[derive(Clone, Copy)]
struct Branch {
    from: usize,
    to: usize,
    conductance: f64,
    source: Option<usize>,
    check: bool,
}

impl Resistors<'_> {
    fn branches(&self, open_valves: &[bool]) -> Vec<Branch> {
        let layout = self.layout;
        let pipes = layout
            .pipes
            .iter()
            .map(|pipe| (pipe.from, pipe.to, None, false, true));
        let valves = layout.valves.iter().zip(open_valves);
        let valves = valves.map(|(valve, open)| (valve.from, valve.to, None, false, *open));
        let sources = layout.sources.iter().enumerate();
        let sources = sources.map(|(at, source)| (source.inlet, source.outlet, Some(at), false, true));
        let checks = layout
            .checks
            .iter()
            .map(|check| (check.from, check.to, None, true, true));
        let parts = pipes.chain(valves).chain(sources).chain(checks).enumerate();
        parts
            .filter(|(_, part)| part.4)
            .map(|(at, (from, to, source, check, _))| Branch {
                from,
                to,
                // Between 0.5 and 1.5, of no simple ratio to one another.
                conductance: 0.5 + ((at as u64 + 1).wrapping_mul(self.seed | 1) % 9973) as f64 / 9973.0,
                source,
                check,
            })
            .collect()
    }

    /// Flow through each branch; none when check valves do not settle.
    fn flows(&self, branches: &[Branch], sink: usize) -> Option<Vec<f64>> {
        let supply = self.layout.supplies[0].junction;
        let mut shut = vec![false; branches.len()];
        for _ in 0..64 {
            let at_rest = |at: usize| shut[at];
            let pressures = pressures(branches, &at_rest, self.layout.junctions.len(), supply, sink)?;
            let drop = |branch: &Branch| pressures[branch.from] - pressures[branch.to];
            let mut changed = false;
            for (at, branch) in branches.iter().enumerate().filter(|(_, branch)| branch.check) {
                let wanted = drop(branch) < -1e-9;
                let wants_open = drop(branch) > 1e-9;
                if !shut[at] && wanted || shut[at] && wants_open {
                    shut[at] = !shut[at];
                    changed = true;
                    break;
                }
            }
            if !changed {
                let flow = |(at, branch): (usize, &Branch)| {
                    if shut[at] {
                        0.0
                    } else {
                        branch.conductance * drop(branch)
                    }
                };
                return Some(branches.iter().enumerate().map(flow).collect());
            }
        }
        None
    }

    /// How water runs through each source; none when check valves do not settle.
    pub(crate) fn running(&self, open_valves: &[bool], draw: Draw) -> Option<Vec<Running>> {
        let fixture = &self.layout.fixtures[draw.fixture];
        let sink = if draw.hot { fixture.hot } else { fixture.cold }?;
        let mut running = vec![Running::Still; self.layout.sources.len()];
        if sink == self.layout.supplies[0].junction {
            return Some(running);
        }
        let branches = self.branches(open_valves);
        for (branch, flow) in branches.iter().zip(self.flows(&branches, sink)?) {
            if let Some(source) = branch.source {
                running[source] = match flow {
                    flow if flow > 1e-7 => Running::Forward,
                    flow if flow < -1e-7 => Running::Backward,
                    _ => Running::Still,
                };
            }
        }
        Some(running)
    }
}

impl Hydraulics for Resistors<'_> {
    fn through_sources(&self, open_valves: &[bool], draw: Draw) -> Option<Vec<Running>> {
        self.running(open_valves, draw)
    }
}

/// Pressures by Gaussian elimination; junctions that nothing joins to supply or sink float at 0.
fn pressures(
    branches: &[Branch],
    shut: &dyn Fn(usize) -> bool,
    n: usize,
    supply: usize,
    sink: usize,
) -> Option<Vec<f64>> {
    let mut rows = vec![vec![0.0; n + 1]; n];
    for (_, branch) in branches.iter().enumerate().filter(|(at, _)| !shut(*at)) {
        let (a, b, g) = (branch.from, branch.to, branch.conductance);
        rows[a][a] += g;
        rows[b][b] += g;
        rows[a][b] -= g;
        rows[b][a] -= g;
    }
    for (node, pressure) in [(supply, 1.0), (sink, 0.0)] {
        rows[node] = vec![0.0; n + 1];
        rows[node][node] = 1.0;
        rows[node][n] = pressure;
    }
    // A hair of leakage keeps pieces that hang on nothing solvable; it moves flows by parts in 1e12.
    for (node, row) in rows.iter_mut().enumerate() {
        row[node] += 1e-12;
    }
    for column in 0..n {
        let pivot = (column..n).max_by(|a, b| rows[*a][column].abs().total_cmp(&rows[*b][column].abs()))?;
        rows.swap(column, pivot);
        let lead = rows[column].clone();
        for row in rows.iter_mut().skip(column + 1) {
            let factor = row[column] / lead[column];
            if factor != 0.0 {
                row.iter_mut()
                    .zip(&lead)
                    .for_each(|(cell, lead)| *cell -= factor * lead);
            }
        }
    }
    let mut pressures = vec![0.0; n];
    for column in (0..n).rev() {
        let known: f64 = (column + 1..n).map(|at| rows[column][at] * pressures[at]).sum();
        pressures[column] = (rows[column][n] - known) / rows[column][column];
    }
    Some(pressures)
}
