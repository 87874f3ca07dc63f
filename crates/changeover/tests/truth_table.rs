//! The hazards of two heaters side by side, against a truth table made by hand after the trade's table of positions.

mod houses;

use changeover::{Analysis, HazardSet, Served, TopologyAlone, classify};

/// Places of the handles in the layout.
const VALVES: [&str; 5] = ["TC", "TH", "X", "HC", "HH"];
const SOURCES: [&str; 2] = ["tank", "unit"];

#[test]
fn every_row_shows_its_hazards_and_no_other() {
    let layout = houses::side_by_side();
    let analysis = Analysis::of(&layout, &TopologyAlone).unwrap();
    for case in &checks::load("changeover/two_heaters.toml").cases {
        let positions = VALVES.map(|tag| usize::from(case.given_text(tag) == "C"));
        let named = |key: &str, there: bool| -> Vec<usize> {
            let words = case.given_text(key);
            (0..2)
                .filter(|at| words.contains(SOURCES[*at]) == there)
                .collect()
        };
        let state = analysis
            .space()
            .state(positions, named("on", true), named("empty", false))
            .unwrap();
        let expected: HazardSet = case
            .expected_text("hazards")
            .unwrap()
            .split_whitespace()
            .filter(|word| *word != "none")
            .map(houses::hazard)
            .collect();
        let found = analysis.hazards(state);
        let words = |set: HazardSet| set.iter().collect::<Vec<_>>();
        assert_eq!(words(found), words(expected), "{}", case.id);
        let full = classify(&layout, state, &TopologyAlone).unwrap();
        assert_eq!(full.kinds(), found, "{}", case.id);
        let served = match case.expected_text("served").unwrap() {
            "hot" => Served::Hot,
            "unheated" => Served::Unheated,
            "blend" => Served::Blend,
            "dry" => Served::Dry,
            other => panic!("{}: {other}", case.id),
        };
        assert!(
            full.fixtures.iter().all(|fixture| fixture.served == served),
            "{}: {full:?}",
            case.id
        );
    }
}
