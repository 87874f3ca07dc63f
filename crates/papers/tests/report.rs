//! The report: its words at 80 columns, and that nothing an assessment says is lost, softened or printed in other units.

#[path = "report/assessments.rs"]
mod assessments;
#[path = "report/left_out.rs"]
mod left_out;

use assess::Assessment;
use assessments::{HOSTILE, bare, named, two_circuit_house};
use papers::document::{Block, CalloutKind, Detail, Document, Figure, Level};
use papers::report::{ReportDetail, ReportDrawings, report};
use papers::terminal::{self, Look};
use proptest::prelude::*;
use quantity::UnitSystem;
use trace::Severity;
use unicode_width::UnicodeWidthStr as _;

const DETAILS: [ReportDetail; 2] = [ReportDetail::MetAsTable, ReportDetail::MetWithWorking];

fn document(assessment: &Assessment) -> Document {
    report(assessment, &ReportDrawings::default(), ReportDetail::MetAsTable)
}

fn page(assessment: &Assessment) -> String {
    terminal::print(&document(assessment), Look::default())
}

/// A page as one line, so that wrapped sentences can be found.
fn joined(page: &str) -> String {
    page.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The part of a page below a heading of the first depth, up to the next one.
fn part<'a>(page: &'a str, heading: &str) -> &'a str {
    let underlined = format!("\n{heading}\n=");
    let start = page
        .find(&underlined)
        .unwrap_or_else(|| panic!("no part `{heading}`"))
        + underlined.len();
    let body = page[start..].trim_start_matches('=');
    let next = body.find("\n===").and_then(|rule| body[..rule].rfind("\n\n"));
    &body[..next.unwrap_or(body.len())]
}

#[test]
fn two_circuit_house_on_eighty_columns() {
    insta::assert_snapshot!(page(&two_circuit_house(UnitSystem::Us)));
}

#[test]
fn two_circuit_house_in_si() {
    insta::assert_snapshot!(page(&two_circuit_house(UnitSystem::Si)));
}

#[test]
fn bare_record_on_eighty_columns() {
    insta::assert_snapshot!(page(&bare()));
}

#[test]
fn hostile_text_on_eighty_columns() {
    insta::assert_snapshot!(part(&page(&named(HOSTILE)), "Circuits"));
}

#[test]
fn met_findings_with_working_on_request() {
    let house = two_circuit_house(UnitSystem::Us);
    let document = report(&house, &ReportDrawings::default(), ReportDetail::MetWithWorking);
    insta::assert_snapshot!(part(&terminal::print(&document, Look::default()), "Findings"));
}

#[test]
fn every_finding_circuit_assumption_and_caution_is_printed() {
    let house = two_circuit_house(UnitSystem::Us);
    for detail in DETAILS {
        let document = report(&house, &ReportDrawings::default(), detail);
        let page = joined(&terminal::print(
            &document,
            Look {
                columns: 400,
                styled: false,
            },
        ));
        for finding in &house.findings {
            assert!(page.contains(&finding.title), "{}", finding.title);
            if detail == ReportDetail::MetAsTable && finding.severity == Severity::Unknown {
                for fact in &finding.missing {
                    assert!(
                        page.contains(&fact.meaning) && page.contains(&fact.measure),
                        "{}",
                        fact.symbol
                    );
                }
                continue;
            }
            let in_row = detail == ReportDetail::MetAsTable && finding.severity == Severity::Met;
            let said = if in_row && !finding.working.result.is_empty() {
                &finding.working.result
            } else {
                &finding.message
            };
            assert!(page.contains(said.as_str()), "{said}");
        }
        for circuit in &house.circuits {
            assert!(page.matches(&circuit.id).count() >= 4, "{}", circuit.id);
            assert!(page.contains(&circuit.ampacity_working));
        }
        for assumption in &house.assumptions {
            for said in [
                &assumption.subject,
                &assumption.value,
                &assumption.reason,
                &assumption.measure,
            ] {
                assert!(page.contains(said.as_str()), "{said}");
            }
            assert!(page.contains(&assumption.field.to_string()));
        }
        for said in house
            .cautions
            .iter()
            .chain(&house.verdict.lines)
            .chain(&house.verdict.measure_first)
        {
            assert!(page.contains(said.as_str()), "{said}");
        }
        for line in house
            .service
            .iter()
            .flat_map(|service| &service.methods)
            .flat_map(|method| &method.lines)
        {
            assert!(page.contains(&line.label), "{}", line.label);
        }
    }
}

#[test]
fn findings_that_ask_for_a_change_or_a_judgment_keep_their_working() {
    let house = two_circuit_house(UnitSystem::Us);
    for detail in DETAILS {
        let in_full: Vec<Severity> = report(&house, &ReportDrawings::default(), detail)
            .blocks
            .into_iter()
            .filter_map(|block| match block {
                Block::Finding(block) if block.detail == Detail::Full => Some(block),
                _ => None,
            })
            .inspect(|block| assert!(house.findings.contains(&block.finding), "{}", block.finding.rule))
            .map(|block| block.finding.severity)
            .collect();
        for finding in &house.findings {
            let asks = finding.severity < Severity::Unknown;
            let wanted =
                asks || (detail == ReportDetail::MetWithWorking && finding.severity != Severity::Note);
            assert_eq!(in_full.contains(&finding.severity), wanted, "{}", finding.rule);
        }
    }
}

#[test]
fn a_rule_that_waits_names_the_fact_and_how_to_find_it() {
    let wide = Look {
        columns: 400,
        styled: false,
    };
    let page = terminal::print(&document(&two_circuit_house(UnitSystem::Us)), wide);
    let findings = joined(part(&page, "Findings"));
    assert!(findings.contains("None of them counts as met"));
    for said in [
        "Inlet water stays below",
        "largest inlet temperature",
        "read it on the data sheet of the heater",
    ] {
        assert!(findings.contains(said), "{said}: {findings}");
    }
}

#[test]
fn the_verdict_comes_first_and_the_worst_before_the_rest() {
    let house = two_circuit_house(UnitSystem::Us);
    let blocks = document(&house).blocks;
    assert!(
        matches!(&blocks[0], Block::Callout(callout) if callout.kind == CalloutKind::Verdict(Severity::Stop)),
        "{:?}",
        blocks[0]
    );
    let severities: Vec<Severity> = blocks
        .iter()
        .filter_map(|block| {
            if let Block::Finding(block) = block {
                Some(block.finding.severity)
            } else {
                None
            }
        })
        .collect();
    assert!(severities.is_sorted(), "{severities:?}");
}

#[test]
fn findings_in_any_order_are_printed_worst_first() {
    let mut house = two_circuit_house(UnitSystem::Us);
    house.findings.reverse();
    let page = page(&house);
    let places: Vec<usize> = [
        "\nStop (1)",
        "\nChange (1)",
        "\nJudge (1)",
        "\nUnknown (1)",
        "\nNote (2)",
        "\nMet (8)",
    ]
    .into_iter()
    .map(|heading| page.find(heading).unwrap_or_else(|| panic!("{heading}")))
    .collect();
    assert!(places.is_sorted());
}

#[test]
fn figures_stand_in_the_units_of_the_reader() {
    // 1 gpm is 3.785 L/min and 1 gal 3.785 L, 105 °F are 40.6 °C, 84 ft are 25.6 m, 64 psi are 441 kPa: NIST SP 811,
    // appendix B (from memory), and the constants at the head of the handbook's field practice.
    let si = page(&two_circuit_house(UnitSystem::Si));
    for us in [" gpm", " gal", "°F", " ft", " psi", "ft/s"] {
        // Findings, workings and the lines typed by hand are words already; only the report's own figures count.
        for heading in [
            "Waits for hot water",
            "Pressure, flow and velocity",
            "Panel spaces",
        ] {
            assert!(!part(&si, heading).contains(us), "{us} in {heading}");
        }
    }
    for metric in ["40.6", "shower at 40.6 °C", "7.6", "159 L", "25.6", "47.8"] {
        assert!(si.contains(metric), "{metric}");
    }
    let us = page(&two_circuit_house(UnitSystem::Us));
    for foreign in ["L/min", "°C", "kPa", " m/s"] {
        let report_only = us
            .replace("90 °C for the conductor", "")
            .replace("the 60 °C column", "");
        assert!(!report_only.contains(foreign), "{foreign}");
    }
}

#[test]
fn no_hole_of_a_sentence_stays_open() {
    for units in [UnitSystem::Us, UnitSystem::Si] {
        let page = page(&two_circuit_house(units));
        assert!(!page.contains(['{', '}']), "{page}");
    }
    assert!(!page(&bare()).contains(['{', '}']));
}

#[test]
fn no_word_of_ours_promises_anything() {
    for assessment in [two_circuit_house(UnitSystem::Us), bare()] {
        let page = page(&assessment).to_lowercase();
        let words: Vec<&str> = page.split(|c: char| !c.is_alphanumeric()).collect();
        for promise in [
            "safe",
            "safely",
            "safety",
            "legal",
            "legally",
            "compliant",
            "complies",
            "approved",
            "guaranteed",
        ] {
            assert!(!words.contains(&promise), "{promise}");
        }
    }
}

#[test]
fn drawings_stand_with_their_parts() {
    let drawing = |caption: &str| {
        Some(Figure {
            svg: "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 4 4\" width=\"4\" height=\"4\"/>"
                .to_owned(),
            caption: Some(caption.to_owned()),
            alt: caption.to_owned(),
            lines: Vec::new(),
        })
    };
    let drawings = ReportDrawings {
        one_line: drawing("one-line"),
        outlet_temperature: drawing("outlet over flow"),
        mains_by_month: drawing("mains by month"),
        wait_over_time: drawing("wait over time"),
        piping: drawing("piping schematic"),
    };
    let house = two_circuit_house(UnitSystem::Us);
    let page = terminal::print(
        &report(&house, &drawings, ReportDetail::default()),
        Look::default(),
    );
    for (heading, caption) in [
        ("Circuits", "one-line"),
        ("What the heater can do", "outlet over flow"),
        ("What the heater can do", "mains by month"),
        ("Waits for hot water", "wait over time"),
        ("Pressure, flow and velocity", "piping schematic"),
    ] {
        assert!(part(&page, heading).contains(caption), "{caption}");
    }
    assert!(!self::page(&house).to_lowercase().contains("figure 1"));
}

#[test]
fn parts_and_sections_come_in_the_order_of_the_reader() {
    let headings: Vec<String> = document(&two_circuit_house(UnitSystem::Us))
        .blocks
        .into_iter()
        .filter_map(|block| match block {
            Block::Heading(heading) if heading.level == Level::Part => Some(heading.words),
            _ => None,
        })
        .collect();
    assert_eq!(
        headings,
        [
            "Findings",
            "What the heater can do",
            "Waits for hot water",
            "Pressure, flow and velocity",
            "Circuits",
            "Panel spaces",
            "Service load",
            "Source modes",
            "What was assumed",
            "Cautions and limits",
        ]
    );
}

#[test]
fn html_takes_every_report() {
    for assessment in [
        two_circuit_house(UnitSystem::Us),
        bare(),
        named(HOSTILE),
        named(""),
    ] {
        for detail in DETAILS {
            let html = papers::html::print(&report(&assessment, &ReportDrawings::default(), detail));
            assert!(html.trim_end().ends_with("</html>"));
            assert!(!html.contains("<script"));
        }
    }
}

#[cfg(feature = "pdf")]
#[test]
fn pdf_takes_every_report() {
    for assessment in [
        two_circuit_house(UnitSystem::Si),
        bare(),
        named(HOSTILE),
        named(""),
    ] {
        let bytes = papers::pdf::print(&document(&assessment)).unwrap_or_else(|error| panic!("{error}"));
        assert!(bytes.starts_with(b"%PDF"));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn whatever_was_typed_no_line_is_too_wide_and_nothing_steers(text in any::<String>(), columns in 40_usize..120) {
        let document = document(&named(&text));
        let page = terminal::print(&document, Look { columns, styled: false });
        for line in page.lines() {
            prop_assert!(line.width() <= columns, "{line:?}");
        }
        prop_assert!(page.chars().all(|c| !c.is_control() || c == '\n'));
    }
}
