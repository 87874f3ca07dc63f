//! Random small networks: tables against one state at a time, ways against a simulation of flows, orders against a plain
//! breadth-first search.

mod houses;

use changeover::{
    Analysis, Draw, HazardSet, Hydraulics, Layout, NoOrder, Running, State, TopologyAlone, classify, moves,
    shortest_order,
};
use proptest::prelude::*;
use std::collections::{BTreeSet, VecDeque};

/// Flows by plain linear resistors: an outside opinion that knows nothing of ways.
///
/// Every part has a resistance of its own; the supply is held at pressure 1, the place drawn from at 0. Nodal equations
/// by Gaussian elimination. Check valves are closed and opened until none is passed backward and none that is shut has a
/// pressure in its direction.
struct Resistors<'l> {
    layout: &'l Layout,
    seed: u64,
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

    fn running(&self, open_valves: &[bool], draw: Draw) -> Option<Vec<Running>> {
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
    for (at, branch) in branches.iter().enumerate().filter(|(at, _)| !shut(*at)) {
        let _ = at;
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

/// The number of moves of a shortest order, by visiting states level by level.
fn levels(analysis: &Analysis, start: State, goal: State, forbidden: HazardSet) -> Option<usize> {
    let free = |state: State| analysis.hazards(state).shared(forbidden).is_empty();
    if !free(start) || !free(goal) {
        return None;
    }
    let mut seen = BTreeSet::from([start]);
    let mut queue = VecDeque::from([(start, 0)]);
    while let Some((state, depth)) = queue.pop_front() {
        if state == goal {
            return Some(depth);
        }
        for (_, next) in moves(analysis, state) {
            if free(next) && seen.insert(next) {
                queue.push_back((next, depth + 1));
            }
        }
    }
    None
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn tables_agree_with_one_state_at_a_time(layout in houses::any_layout(0..3)) {
        let analysis = Analysis::of(&layout, &TopologyAlone).unwrap();
        for state in analysis.space().states() {
            let full = classify(&layout, state, &TopologyAlone).unwrap();
            prop_assert_eq!(full.kinds(), analysis.hazards(state), "{:?}", state);
            prop_assert_eq!(full.serves_all(), analysis.serves_all(state), "{:?}", state);
        }
    }

    #[test]
    fn water_moves_where_the_simulation_moves_it(layout in houses::any_layout(0..1), seed in any::<u64>()) {
        let resistors = Resistors { layout: &layout, seed };
        let analysis = Analysis::of(&layout, &TopologyAlone).unwrap();
        for state in analysis.space().states() {
            let full = classify(&layout, state, &TopologyAlone).unwrap();
            let open = changeover::open_valves(&analysis, state);
            for (index, fixture) in full.fixtures.iter().enumerate() {
                for (hot, feed) in [(true, &fixture.hot), (false, &fixture.cold)] {
                    let feed = feed.as_ref().unwrap();
                    let running = resistors.running(&open, Draw { fixture: index, hot }).unwrap();
                    let moved: BTreeSet<usize> = (0..running.len()).filter(|at| running[*at] != Running::Still).collect();
                    prop_assert_eq!(&feed.sources(), &moved, "{:?} of {:?}", feed, running);
                    // Directions agree wherever topology decides them.
                    if !feed.undecided {
                        for passed in feed.ways.iter().flatten() {
                            let wanted = if passed.backward { Running::Backward } else { Running::Forward };
                            prop_assert_eq!(running[passed.source], wanted);
                        }
                    }
                }
            }
        }
    }

    #[test]
    fn with_check_valves_hydraulics_settles_what_topology_leaves(layout in houses::any_layout(1..4), seed in any::<u64>()) {
        let resistors = Resistors { layout: &layout, seed };
        let analysis = Analysis::of(&layout, &resistors).unwrap();
        for state in analysis.space().states().step_by(3) {
            let full = classify(&layout, state, &resistors).unwrap();
            prop_assert_eq!(full.kinds(), analysis.hazards(state));
            let open = changeover::open_valves(&analysis, state);
            for (index, fixture) in full.fixtures.iter().enumerate() {
                for (hot, feed) in [(true, &fixture.hot), (false, &fixture.cold)] {
                    let feed = feed.as_ref().unwrap();
                    let Some(running) = resistors.running(&open, Draw { fixture: index, hot }) else { continue };
                    let moved: BTreeSet<usize> = (0..running.len()).filter(|at| running[*at] != Running::Still).collect();
                    if feed.undecided {
                        // Nobody said: every possible way counts, so nothing that moves is missed.
                        prop_assert!(moved.is_subset(&feed.sources()));
                    } else {
                        prop_assert_eq!(&feed.sources(), &moved, "{:?} of {:?}", feed, running);
                    }
                }
            }
        }
    }

    #[test]
    fn orders_are_as_short_as_a_plain_search_finds(
        layout in houses::any_layout(0..2), start in any::<prop::sample::Index>(), goal in any::<prop::sample::Index>(),
    ) {
        let analysis = Analysis::of(&layout, &TopologyAlone).unwrap();
        let forbidden = HazardSet::in_passing();
        let free: Vec<State> = analysis.space().states()
            .filter(|state| analysis.hazards(*state).shared(forbidden).is_empty())
            .collect();
        prop_assume!(!free.is_empty());
        let (start, goal) = (*start.get(&free), *goal.get(&free));
        let plain = levels(&analysis, start, goal, forbidden);
        match shortest_order(&analysis, start, goal, forbidden) {
            Ok(order) => {
                prop_assert_eq!(Some(order.steps.len()), plain);
                let mut state = order.start;
                for step in &order.steps {
                    prop_assert!(moves(&analysis, state).contains(&(step.done, step.state)));
                    prop_assert!(classify(&layout, step.state, &TopologyAlone).unwrap().kinds().shared(forbidden).is_empty());
                    state = step.state;
                }
                prop_assert_eq!(state, goal);
            }
            Err(NoOrder::Parted { .. }) => prop_assert_eq!(plain, None),
            Err(other) => prop_assert!(false, "{:?}", other),
        }
    }
}
