//! Change-over of the examples: what was found, against what the trade's table of positions and order of work say.
//!
//! Positions and order: handbook of the project, field practice, section 3.2 (common practice).

use assess::DatedDesk;
use assess::changeover::{ChangeOver, ChangeOverError, ModeStates, change_over};
use job::Job;
use trace::Severity;

fn record(path: &str) -> Job {
    let path = format!("{}/../../{path}.job.toml", env!("CARGO_MANIFEST_DIR"));
    toml::from_str(&std::fs::read_to_string(&path).expect("a record")).expect("a record")
}

fn worked_out(path: &str) -> ChangeOver {
    let desk = DatedDesk {
        today: jiff::civil::date(2026, 11, 25),
        electrical: None,
    };
    let job = record(path);
    assert_eq!(job::validate(&job), []);
    change_over(&job, &desk).expect("a change-over")
}

/// The moves of the order between two modes, each by its first word and what it is about.
fn moves(found: &ChangeOver, from: &str, to: &str) -> Vec<String> {
    let order = found
        .orders
        .iter()
        .find(|order| order.from == from && order.to == to)
        .expect("an order");
    assert!(order.exists, "{}", order.outcome);
    order.steps.iter().map(|step| step.words.clone()).collect()
}

fn mode<'f>(found: &'f ChangeOver, name: &str) -> &'f ModeStates {
    found.modes.iter().find(|mode| mode.name == name).expect("a mode")
}

#[test]
fn the_far_bath_changes_over_as_the_trade_does() {
    let found = worked_out("examples/far-bath");
    assert_eq!(found.states.all, 256);
    // Lock off the outgoing unit, shut its hot side, open the incoming one, switch that on.
    let moved = moves(&found, "unit serves the house", "tank serves the house");
    let begins = [
        "Switch off and lock breakers `W1`, `W2`",
        "Close `V4`",
        "Open `V2`",
        "Switch on the breaker",
    ];
    assert_eq!(moved.len(), begins.len());
    for (moved, begin) in moved.iter().zip(begins) {
        assert!(moved.starts_with(begin), "{moved}");
    }
    // The first start has one more: fill and purge, before the power comes on.
    let first = found
        .orders
        .iter()
        .find(|order| order.from.ends_with("new heaters empty"))
        .expect("a first start");
    let words: Vec<&str> = first.steps.iter().map(|step| step.words.as_str()).collect();
    assert_eq!(words.len(), 5);
    assert!(
        words[3].starts_with("Fill and purge") && words[4].starts_with("Switch on"),
        "{words:?}"
    );
    for order in &found.orders {
        assert!(
            order.exists
                && order
                    .outcome
                    .contains("no hazard of the list was found in any state passed")
        );
    }
    // Both modes stand as written; V1 may stand either way while the tank rests, V3 while the unit does.
    let unit = mode(&found, "unit serves the house");
    assert!(unit.as_written);
    let rest = unit.rest.as_ref().expect("a rest");
    let free: Vec<&str> = rest
        .handles
        .iter()
        .filter(|handle| handle.free)
        .map(|handle| handle.tag.as_str())
        .collect();
    assert_eq!(free, ["V1"]);
    // The resting tank stands still: 50 gal.
    let tank = rest.still.iter().find(|still| still.is_heater).expect("the tank");
    assert!((tank.volume.as_gallons() - 50.0).abs() < 1e-9);
    assert_eq!(found.worst, Severity::Judge);
    // V2 by mistake is the forbidden parallel feed.
    let slip = rest
        .slips
        .iter()
        .find(|slip| slip.words.starts_with("Open `V2`"))
        .expect("a slip");
    assert!(slip.hazards.iter().any(|hazard| hazard.contains("two ways")));
    // A three-way valve in place of V2 and V4 makes that slip impossible.
    assert!(
        found.additions[0].words[0].contains("`V2` and `V4`"),
        "{:?}",
        found.additions
    );
}

#[test]
fn the_booster_is_served_in_series_and_by_each_alone() {
    let found = worked_out("examples/booster");
    assert_eq!(found.states.all, 1024);
    assert!(
        found.modes.iter().all(|mode| mode.as_written),
        "{:?}",
        found.modes
    );
    let series = mode(&found, "tank, then unit").rest.as_ref().expect("a rest");
    for feed in &series.feeds {
        assert_eq!(feed.hot, [["storage tank", "booster unit"]]);
        assert_eq!(feed.cold, [[] as [&str; 0]]);
    }
    let alone = mode(&found, "unit alone").rest.as_ref().expect("a rest");
    assert!(alone.feeds.iter().all(|feed| feed.hot == [["booster unit"]]));
    assert!(found.orders.iter().all(|order| order.exists));
    // Series feed is no parallel feed: nothing worse than water standing still.
    assert_eq!(found.worst, Severity::Judge);
}

#[test]
fn an_l_port_leaves_no_moment_without_hot_water() {
    let found = worked_out("examples/one-bath");
    let [both, tank] = [
        "unit for the guest bath, tank for the rest",
        "tank for everything",
    ];
    let rest = mode(&found, both).rest.as_ref().expect("a rest");
    let by = |fixture: &str| {
        &rest
            .feeds
            .iter()
            .find(|feed| feed.fixture == fixture)
            .expect("a fixture")
            .hot
    };
    assert_eq!(by("guest shower"), &[["guest bath unit"]]);
    assert_eq!(by("kitchen sink"), &[["storage tank"]]);
    for order in found
        .orders
        .iter()
        .filter(|order| order.from == both || order.from == tank)
    {
        assert_eq!(order.steps.len(), 2, "{:?}", order.steps);
        assert!(order.steps.iter().all(|step| step.without_water.is_empty()));
    }
    // An open street takes growth back, so nothing is trapped while a cold valve is open.
    assert!(
        found
            .handles
            .iter()
            .any(|handle| handle.tag == "L1" && handle.valves.len() == 2)
    );
}

#[test]
fn the_dangerous_tie_in_is_caught_and_two_additions_mend_it() {
    let found = worked_out("checks/changeover/sink-tie-in");
    assert_eq!(found.worst, Severity::Stop);
    assert!(
        found
            .modes
            .iter()
            .all(|mode| mode.rest.is_none() && !mode.as_written)
    );
    assert!(found.orders.iter().all(|order| !order.exists));
    let shows = |rule: &str, subject: &str| {
        let mut findings = found.findings.iter();
        findings.any(|finding| finding.rule == rule && finding.subject.contains(subject))
    };
    // The check valve parts the heating tank from the expansion tank, and its relief valve can be shut off.
    assert!(
        shows("changeover.trapped", "tank serves the house"),
        "{:#?}",
        found.findings
    );
    // Without a valve on its hot side the tank hangs on the hot pipe while the unit serves.
    assert!(shows("changeover.hangs-on-hot", "unit serves the house"));
    let smallest = &found.additions[0];
    assert_eq!(smallest.words.len(), 2, "{:?}", found.additions);
    assert!(
        smallest
            .words
            .iter()
            .any(|words| words.contains("a relief valve on `storage tank`"))
    );
    assert!(
        smallest.words.iter().any(|words| words.contains("valve")
            && words.contains("hot connection of `storage tank`")
            || words.contains("in pipe `H1`")),
        "{smallest:?}"
    );
}

#[test]
fn a_record_without_piping_cannot_be_analyzed() {
    let desk = DatedDesk {
        today: jiff::civil::date(2026, 11, 25),
        electrical: None,
    };
    assert_eq!(change_over(&Job::default(), &desk), Err(ChangeOverError::NoEntry));
    let mut job = record("examples/far-bath");
    job.sources.clear();
    assert_eq!(change_over(&job, &desk), Err(ChangeOverError::NoHeater));
    let mut job = record("examples/far-bath");
    job.fixtures.clear();
    assert_eq!(change_over(&job, &desk), Err(ChangeOverError::NoFixture));
    let mut job = record("examples/far-bath");
    job.piping.modes.clear();
    // Without modes each heater alone is wanted.
    let found = change_over(&job, &desk).expect("a change-over");
    assert_eq!(found.modes.len(), 2);
    assert!(found.modes.iter().all(|mode| mode.rest.is_some()));
}

#[test]
fn what_is_told_never_says_more_than_was_shown() {
    for path in [
        "examples/far-bath",
        "examples/booster",
        "examples/one-bath",
        "checks/changeover/sink-tie-in",
    ] {
        let text = serde_json::to_string(&worked_out(path))
            .expect("JSON")
            .to_lowercase();
        for word in ["safe", "legal", "compliant"] {
            assert!(!text.contains(word), "{path}: {word}");
        }
    }
}
