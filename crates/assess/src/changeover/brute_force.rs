//! Every state of the examples, against simulations of flows that know nothing of ways.

use super::hydraulics::Solved;
use super::plan::Plan;
use crate::DatedDesk;
use crate::context::Context;
use ::changeover::{Analysis, Draw, Hydraulics, Running, TopologyAlone, classify, open_valves};
use job::Job;
use std::collections::BTreeSet;

#[path = "../../../changeover/tests/resistors/mod.rs"]
mod resistors;

fn record(path: &str) -> Job {
    let path = format!("{}/../../{path}.job.toml", env!("CARGO_MANIFEST_DIR"));
    toml::from_str(&std::fs::read_to_string(&path).expect("a record")).expect("a record")
}

const RECORDS: [&str; 4] = [
    "examples/far-bath",
    "examples/booster",
    "examples/one-bath",
    "checks/changeover/sink-tie-in",
];

/// Asks `running` about every draw in every setting of the handles, and compares who feeds whom.
fn agrees<'r, Ask>(path: &str, simulation: impl Fn(&Context<'_>, &Plan) -> Ask)
where
    Ask: Fn(&Plan, &[bool], Draw) -> Vec<Running> + 'r,
{
    let job = record(path);
    let desk = DatedDesk {
        today: jiff::civil::date(2026, 11, 25),
        electrical: None,
    };
    let context = Context::new(&job, &desk);
    let plan = Plan::new(&context).expect("a plan");
    let analysis = Analysis::of(&plan.layout, &TopologyAlone).expect("an analysis");
    let running = simulation(&context, &plan);
    let mut compared = 0;
    for state in analysis.space().states() {
        let full = classify(&plan.layout, state, &TopologyAlone).expect("a state");
        assert_eq!(full.kinds(), analysis.hazards(state), "{path}: {state:?}");
        let open = open_valves(&analysis, state);
        for (fixture, feeds) in full.fixtures.iter().enumerate() {
            for (hot, feed) in [(true, &feeds.hot), (false, &feeds.cold)] {
                let Some(feed) = feed else { continue };
                let found = running(&plan, &open, Draw { fixture, hot });
                let moved: BTreeSet<usize> = (0..found.len())
                    .filter(|source| found[*source] != Running::Still)
                    .collect();
                assert_eq!(
                    feed.sources(),
                    moved,
                    "{path}: {open:?}, fixture {fixture}, hot {hot}: {feed:?}"
                );
                for passed in feed.ways.iter().flatten().filter(|_| !feed.undecided) {
                    let wanted = if passed.backward {
                        Running::Backward
                    } else {
                        Running::Forward
                    };
                    assert_eq!(found[passed.source], wanted, "{path}: {open:?}");
                }
                compared += 1;
            }
        }
    }
    // Every state, and both sides of every fixture.
    assert_eq!(
        compared,
        analysis.space().states().count() * 2 * plan.layout.fixtures.len(),
        "{path}"
    );
}

#[test]
fn linear_resistors_agree_on_all_states() {
    for path in RECORDS {
        for seed in [7, 1_234_567] {
            agrees(path, |_, _| {
                move |plan: &Plan, open: &[bool], draw| {
                    let resistors = resistors::Resistors {
                        layout: &plan.layout,
                        seed,
                    };
                    resistors.running(open, draw).expect("check valves settle")
                }
            });
        }
    }
}

#[test]
fn the_network_solver_agrees_on_all_states() {
    for path in RECORDS {
        agrees(path, |context, plan| {
            let solved = Solved::new(context, plan);
            move |_: &Plan, open: &[bool], draw| {
                solved.through_sources(open, draw).expect("the network is solved")
            }
        });
    }
}
