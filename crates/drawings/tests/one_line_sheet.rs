//! The one-line sheet stays readable whatever it is given: nothing overlaps, nothing leaves the sheet, nothing is lost.

#[path = "../samples/one_line_jobs.rs"]
#[allow(dead_code, reason = "shared with the gallery and the benchmark")]
mod one_line_jobs;

use drawings::one_line::{Branch, Feeds, OneLine, Status, diagram};
use drawings::shape::{Drawing, Shape};
use drawings::{clash, plain, svg_print};
use one_line_jobs::{element_circuit, feeder, other, service, subpanel, tank};
use proptest::prelude::*;
use unicode_width::UnicodeWidthStr as _;

fn words_of(drawing: &Drawing) -> String {
    fn collect(shapes: &[Shape], into: &mut Vec<String>) {
        for shape in shapes {
            match shape {
                Shape::Text(label) => into.push(label.text.clone()),
                Shape::Group { shapes, .. } => collect(shapes, into),
                _ => {}
            }
        }
    }
    let mut words = Vec::new();
    collect(&drawing.shapes, &mut words);
    words.join(" ")
}

fn assert_readable(job: &OneLine) {
    let drawing = diagram(job);
    let clashes = clash::overlaps(&drawing);
    let report: Vec<String> = clashes.iter().map(ToString::to_string).collect();
    assert!(report.is_empty(), "{}", report.join("\n"));
    assert_eq!(
        svg_print::svg(&drawing),
        svg_print::svg(&diagram(job)),
        "same input, same bytes"
    );
}

#[test]
fn sample_jobs_are_readable() {
    for job in [
        one_line_jobs::typical(),
        one_line_jobs::three_panels(),
        one_line_jobs::ugly(),
        service(Vec::new()),
    ] {
        assert_readable(&job);
    }
}

#[test]
fn the_typical_job_says_what_an_inspector_looks_for() {
    let words = words_of(&diagram(&one_line_jobs::typical()));
    for wanted in [
        "25 kVA",
        "120/240 V, single phase, 3-wire",
        "bus 200 A; main breaker 2P 200 A, 22 kA",
        "2P 50 A",
        "WH-1 · NEW",
        "2 × 6 AWG copper, ground 10 AWG, NM-B cable",
        "52 ft, voltage drop 1.9 V (0.79 %)",
        "rated 9 kW at 240 V",
        "delivers 8.62 kW at 234.9 V",
        "EXISTING · storage tank",
        "disconnect: 30 A, within sight of the tank",
        "NFPA 70 (NEC) 2023",
        "R. Okafor, journeyman electrician",
        "Not for construction until reviewed by a person licensed",
    ] {
        assert!(words.contains(wanted), "`{wanted}` is not on the sheet:\n{words}");
    }
    let lower = words.to_lowercase();
    for claim in ["safe", "legal", "compliant"] {
        assert!(!lower.contains(claim), "the sheet claims `{claim}`");
    }
}

#[test]
fn what_is_not_known_is_said_not_invented() {
    let mut job = one_line_jobs::typical();
    job.supply.transformer = None;
    job.supply.service_drop = None;
    job.main.bus = None;
    job.main.branches[0].wiring = None;
    job.main.branches[0].breaker.rating = None;
    let words = words_of(&diagram(&job));
    for wanted in [
        "rating not recorded",
        "bus rating not recorded",
        "2P, rating not read",
        "conductors not recorded",
    ] {
        assert!(words.contains(wanted), "`{wanted}` is not on the sheet:\n{words}");
    }
}

#[test]
fn the_tree_says_what_the_sheet_says_and_fits_the_terminal() {
    for job in [
        one_line_jobs::typical(),
        one_line_jobs::three_panels(),
        one_line_jobs::ugly(),
    ] {
        for columns in [30, 50, 76, 120] {
            for line in plain::one_line_tree(&job, columns) {
                assert!(line.width() <= columns, "{} > {columns}: {line}", line.width());
            }
        }
    }
    let tree = plain::one_line_tree(&one_line_jobs::typical(), usize::MAX).join("\n");
    for wanted in [
        "[2P 50 A, spaces 5, 7, 10 kA] WH-1 · NEW",
        "=> Heater H1, laundry, element 1 of 3",
    ] {
        assert!(tree.contains(wanted), "`{wanted}` is not in\n{tree}");
    }
}

fn text() -> impl Strategy<Value = String> {
    prop_oneof![
        4 => "[A-Za-z0-9 /-]{0,24}",
        2 => "\\PC{0,40}",
        1 => "[ -~]{150,200}",
        1 => "[א-ת ]{0,60}",
        1 => "[😀🔥🚿水道 ]{0,30}",
        1 => "[W]{100,200}",
    ]
}

fn status() -> impl Strategy<Value = Status> {
    prop_oneof![Just(Status::Existing), Just(Status::New), Just(Status::Removed)]
}

fn leaf() -> impl Strategy<Value = Branch> {
    let base = prop_oneof![
        3 => (text(), 1_usize..4).prop_map(|(heater, n)| element_circuit("WH", &heater, n, 3)),
        1 => status().prop_map(tank),
        1 => text().prop_map(|name| other(&name, 20.0, "1")),
        1 => Just(element_circuit("WH-1", "Heater H1", 1, 3)),
    ];
    (
        base,
        text(),
        text(),
        status(),
        proptest::option::of(text()),
        text(),
        any::<bool>(),
    )
        .prop_map(|(mut branch, tag, name, status, disconnect, kind, has_wiring)| {
            branch.tag = tag;
            branch.name = name;
            branch.status = status;
            branch.disconnect = disconnect;
            branch.breaker.kind = kind;
            if !has_wiring {
                branch.wiring = None;
            }
            branch
        })
}

fn branches() -> impl Strategy<Value = Vec<Branch>> {
    let fed = |inner: BoxedStrategy<Branch>| {
        (
            text(),
            text(),
            proptest::collection::vec(inner, 0..4),
            any::<bool>(),
        )
            .prop_map(|(tag, name, branches, has_main)| {
                let mut panel = subpanel(&name, branches);
                if has_main {
                    panel.main_breaker = Some(one_line_jobs::breaker(2, 100.0, ""));
                }
                feeder(&tag, panel)
            })
    };
    let branch = leaf().prop_recursive(4, 24, 4, move |inner| prop_oneof![2 => leaf(), 1 => fed(inner)]);
    proptest::collection::vec(branch, 0..7)
}

fn job() -> impl Strategy<Value = OneLine> {
    (
        branches(),
        [text(), text(), text(), text(), text(), text()],
        any::<[bool; 4]>(),
    )
        .prop_map(|(branches, texts, has)| {
            let mut job = service(branches);
            let [name, place, grounding, meter, system, title] = texts;
            job.main.name = name;
            job.main.place = place;
            job.main.grounding = grounding;
            job.supply.meter.clone_from(&meter);
            job.supply.system.clone_from(&system);
            job.title_block.job = title;
            job.title_block.edition = system;
            job.notes.push(meter);
            if has[0] {
                job.supply.service_drop = None;
            }
            if has[1] {
                job.main.main_breaker = None;
            }
            if has[2] {
                job.notes.clear();
            }
            if has[3] {
                job.supply.transformer = None;
            }
            job
        })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 600, max_shrink_iters: 200, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn nothing_overlaps_and_nothing_leaves_the_sheet(job in job()) {
        let drawing = diagram(&job);
        let clashes = clash::overlaps(&drawing);
        prop_assert!(clashes.is_empty(), "{}", clashes[0]);
        for line in plain::one_line_tree(&job, 60) {
            prop_assert!(line.width() <= 60, "{line}");
        }
    }

}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, max_shrink_iters: 200, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn feeds_are_all_on_the_sheet(job in job()) {
        // Every circuit has one breaker sign; the legend and the main breaker add theirs.
        fn circuits(branches: &[Branch]) -> usize {
            branches
                .iter()
                .map(|branch| match &branch.feeds {
                    Feeds::Panel(panel) => {
                        1 + usize::from(panel.main_breaker.is_some()) + circuits(&panel.branches)
                    }
                    _ => 1,
                })
                .sum()
        }
        let wanted = circuits(&job.main.branches) + usize::from(job.main.main_breaker.is_some());
        let drawn = svg_print::svg(&diagram(&job)).matches("class=\"breaker\"").count();
        prop_assert_eq!(drawn, wanted + usize::from(wanted > 0));
    }
}
