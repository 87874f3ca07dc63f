//! Random small networks: tables against one state at a time, ways against a simulation of flows, orders against a plain
//! breadth-first search.

mod houses;
mod resistors;

use changeover::{
    Analysis, Draw, HazardSet, NoOrder, Running, State, TopologyAlone, classify, moves, shortest_order,
};
use proptest::prelude::*;
use resistors::Resistors;
use std::collections::{BTreeSet, VecDeque};

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
