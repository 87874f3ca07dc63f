//! Assessments made by hand, for the tests of the report and the example that prints it. House, people and rules are
//! invented; the figures follow the plain arithmetic named beside them, so that a reader can see whether a print is right.

mod electrical;
mod findings;
mod water;

use assess::{ASSESSMENT_VERSION, Assessment, Head, MainsYear, SeverityCount, Verdict};
use quantity::UnitSystem;
use trace::{Finding, Origin, Severity};

/// A two-circuit unit beside a tank that stays.
pub(crate) fn two_circuit_house(units: UnitSystem) -> Assessment {
    let findings = findings::findings();
    Assessment {
        schema: ASSESSMENT_VERSION,
        head: Head {
            title: "Second source, 9 Alder Row".to_owned(),
            revision: "B".to_owned(),
            customer: Some("T. and J. Brightwater".to_owned()),
            address: Some("9 Alder Row".to_owned()),
            prepared_by: Some("Two Rivers Electric & Water".to_owned()),
            place: Some("a river valley, 900 ft".to_owned()),
            date: jiff::civil::date(2026, 10, 20),
            units,
            electrical_code: "NEC 2020".to_owned(),
            plumbing_code: "IPC 2021".to_owned(),
            program: "wattspring 0.1.0".to_owned(),
        },
        verdict: verdict(&findings),
        mains: water::mains(),
        heaters: water::heaters(),
        metric_circuits: Vec::new(),
        circuits: vec![
            electrical::circuit("W1", "element 1"),
            electrical::circuit("W2", "element 2"),
        ],
        panels: electrical::panels(),
        service: Some(electrical::service()),
        modes: water::modes(),
        fixtures: water::fixtures(),
        situations: vec![
            water::situation("one shower", &["far bath shower"], &[(2.0, 105.0)]),
            water::situation(
                "shower while the kitchen sink runs",
                &["far bath shower", "kitchen sink"],
                &[(2.0, 105.0), (1.8, 110.0)],
            ),
            water::situation(
                "both showers",
                &["far bath shower", "hall bath shower"],
                &[(2.0, 105.0), (2.0, 105.0)],
            ),
        ],
        tubs: vec![water::tub()],
        pressures: Vec::new(),
        wait_trace: None,
        placements: water::placements(),
        dead_legs: water::dead_legs(),
        findings,
        assumptions: findings::assumptions(),
        cautions: [
            "The line side of the main breaker stays live when the main is off.",
            "Lock the branch open, prove the tester, test, prove the tester again.",
            "Fill the heater and run every hot tap until no air comes before its breakers are closed.",
            "Water above 120 °F scalds; check every shower by hand before anybody uses it.",
        ]
        .map(str::to_owned)
        .to_vec(),
    }
}

fn verdict(findings: &[Finding]) -> Verdict {
    let counts: Vec<SeverityCount> = Severity::ALL
        .into_iter()
        .map(|severity| SeverityCount {
            severity,
            count: findings
                .iter()
                .filter(|finding| finding.severity == severity)
                .count(),
        })
        .filter(|counted| counted.count > 0)
        .collect();
    Verdict {
        worst: counts.first().map_or(Severity::Met, |counted| counted.severity),
        counts,
        lines: vec![
            "The heater can be shut in and energized at the same time in mode `tank serves the house`."
                .to_owned(),
            "One shower holds in every month; both showers together hold in no month.".to_owned(),
            "The service carries the heater by three of four methods; by the strictest it is 8.2 A over."
                .to_owned(),
        ],
        measure_first: vec![
            "flow of both showers, with bucket and stopwatch".to_owned(),
            "voltage at the main panel with range and dryer on".to_owned(),
            "cold water at the kitchen tap after three minutes, with the date".to_owned(),
        ],
    }
}

/// A record that holds a title and nothing else.
pub(crate) fn bare() -> Assessment {
    let house = two_circuit_house(UnitSystem::Us);
    Assessment {
        head: Head {
            title: "Phone call".to_owned(),
            revision: String::new(),
            customer: None,
            address: None,
            prepared_by: None,
            place: None,
            ..house.head
        },
        verdict: Verdict {
            worst: Severity::Met,
            counts: Vec::new(),
            lines: Vec::new(),
            measure_first: Vec::new(),
        },
        mains: MainsYear {
            origin: Origin::Assumed,
            basis: "no place is given".to_owned(),
            months: Vec::new(),
            coldest: water::fahrenheit(45.0),
            coldest_month: None,
            warmest: water::fahrenheit(75.0),
            warmest_month: None,
        },
        heaters: Vec::new(),
        metric_circuits: Vec::new(),
        circuits: Vec::new(),
        panels: Vec::new(),
        service: None,
        modes: Vec::new(),
        fixtures: Vec::new(),
        situations: Vec::new(),
        tubs: Vec::new(),
        pressures: Vec::new(),
        placements: Vec::new(),
        dead_legs: Vec::new(),
        findings: Vec::new(),
        assumptions: Vec::new(),
        cautions: Vec::new(),
        ..house
    }
}

/// The two-circuit house with `text` wherever a person could have typed something.
pub(crate) fn named(text: &str) -> Assessment {
    let mut house = two_circuit_house(UnitSystem::Us);
    let name = || text.to_owned();
    let head = &mut house.head;
    (head.title, head.revision, head.electrical_code) = (name(), name(), name());
    (head.customer, head.address, head.prepared_by, head.place) =
        (Some(name()), Some(name()), Some(name()), Some(name()));
    house.verdict.lines = vec![name(); 2];
    house.verdict.measure_first = vec![name(); 2];
    house.mains.basis = name();
    for heater in &mut house.heaters {
        (heater.id, heater.name) = (name(), name());
    }
    for circuit in &mut house.circuits {
        (circuit.id, circuit.heater, circuit.panel) = (name(), name(), name());
        (circuit.elements, circuit.cable, circuit.ampacity_working) = (name(), name(), name());
    }
    for panel in &mut house.panels {
        (panel.id, panel.fed_from) = (name(), Some(name()));
    }
    for load in house.service.iter_mut().flat_map(|service| &mut service.methods) {
        (load.method, load.article) = (name(), name());
        for line in &mut load.lines {
            (line.label, line.factor) = (name(), name());
        }
    }
    for mode in &mut house.modes {
        (mode.name, mode.energized) = (name(), vec![name(); 2]);
        for valve in &mut mode.valves {
            (valve.tag, valve.purpose) = (name(), name());
        }
        for feed in &mut mode.feeds {
            (feed.fixture, feed.heaters) = (name(), vec![name(); 2]);
        }
    }
    for fixture in &mut house.fixtures {
        (fixture.id, fixture.name, fixture.fastest_pipe) = (name(), name(), Some(name()));
        for path in fixture.after.iter_mut().chain(&mut fixture.today) {
            (path.heater, path.pipes) = (name(), vec![name(); 3]);
        }
    }
    for situation in &mut house.situations {
        (situation.name, situation.heater, situation.fixtures) = (name(), name(), vec![name(); 2]);
    }
    for tub in &mut house.tubs {
        (tub.id, tub.name) = (name(), name());
    }
    for finding in &mut house.findings {
        (finding.subject, finding.message, finding.remedy) = (name(), name(), Some(name()));
        finding.working.result = name();
        for input in &mut finding.working.inputs {
            input.value = name();
        }
    }
    for assumption in &mut house.assumptions {
        (assumption.value, assumption.measure) = (name(), name());
        assumption.field = text.into();
    }
    house
}

/// Text that tries to steer a terminal, a page and a typesetter, and has a word that fits no column.
pub(crate) const HOSTILE: &str = "\u{1b}[2J\u{202e}<script>alert(1)</script> `#raw($x$)` {flow} \\\"&amp; \
                           Donaudampfschifffahrtselektrizitätenhauptbetriebswerkbauunterbeamtengesellschaft";
