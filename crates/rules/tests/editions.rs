//! Editions: what differs between them, what follows an older one, what a town changes; all of it from files alone.

use quantity::UnitSystem;
use rules::{EditionError, FactSet, RuleBook};
use std::path::Path;
use trace::{Finding, Origin, Severity};

/// The book with the invented town's file on top.
fn with_town() -> RuleBook {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/local/town.toml");
    let text = std::fs::read_to_string(&path).expect("the town's file");
    RuleBook::load([("town.toml", text.as_str())]).unwrap_or_else(|problems| panic!("{problems:#?}"))
}

fn fill<'b>(book: &'b RuleBook, scope: &str, written: &[(&str, &str)]) -> FactSet<'b> {
    let mut facts = book.facts(scope, "subject");
    for (name, value) in written {
        facts
            .set_written(name, value, Origin::Entered)
            .expect("a fact of the book");
    }
    facts
}

fn found(book: &RuleBook, editions: &[&str], facts: &FactSet<'_>, rule: &str) -> Option<Finding> {
    let editions = book
        .choose(editions.iter().copied())
        .expect("editions of the book");
    let findings = book.assess(&editions, facts, UnitSystem::Us);
    findings.into_iter().find(|finding| finding.rule == rule)
}

#[test]
fn a_rule_an_edition_and_an_amendment_need_files_only() {
    let book = with_town();
    let street = fill(
        &book,
        "job",
        &[("job.street_closed", "yes"), ("job.electrical_permit", "no")],
    );
    let local = found(&book, &["NEC 2026", "IPC 2021"], &street, "local.street").unwrap();
    assert_eq!(local.severity, Severity::Judge);
    assert_eq!(local.title, "A closed street is announced 14 d ahead");

    let circuit = [
        ("circuit.conductor_ampacity", "30 A"),
        ("circuit.load_current", "37.5 A"),
    ];
    let circuit = fill(&book, "circuit", &circuit);
    let carried = found(&book, &["NEC 2026"], &circuit, "circuit.conductor-ampacity").unwrap();
    assert_eq!(carried.edition.as_deref(), Some("NEC 2026"));
    let source = carried.source.to_string();
    assert!(
        source.contains("2026") && source.contains("as in NEC 2023, not compared with NEC 2026"),
        "{source}"
    );

    let nm = [
        ("circuit.wiring_method", "NM cable"),
        ("circuit.conductor_ampacity", "50 A"),
        ("circuit.ampacity_at_60_degrees", "40 A"),
    ];
    let nm = fill(&book, "circuit", &nm);
    assert!(found(&book, &["NEC 2023"], &nm, "circuit.nm-60-column").is_some());
    assert!(
        found(&book, &["NEC 2026"], &nm, "circuit.nm-60-column").is_none(),
        "withdrawn there"
    );

    let drop = fill(&book, "circuit", &[("circuit.voltage_drop", "1.5 %")]);
    for edition in ["NEC 2017", "NEC 2026"] {
        let amended = found(&book, &[edition], &drop, "circuit.voltage-drop").unwrap();
        assert_eq!(amended.severity, Severity::Judge, "{edition}");
        assert!(amended.source.to_string().contains("amended by Springfield 12-5"));
    }
    let told = book.explain("circuit.voltage-drop", UnitSystem::Us).unwrap();
    let sides: Vec<&str> = told.editions.iter().map(|side| side.edition.as_str()).collect();
    assert_eq!(sides, ["NEC 2017", "NEC 2020", "NEC 2023", "NEC 2026"]);
    assert!(
        told.editions[3]
            .place
            .as_ref()
            .unwrap()
            .ends_with("as in NEC 2023")
    );
}

#[test]
fn a_limit_and_a_severity_may_differ_by_edition() {
    let book = RuleBook::embedded();
    let plug = [
        ("circuit.cord_and_plug", "yes"),
        ("circuit.voltage", "240 V"),
        ("circuit.outlet_place", "laundry"),
        ("circuit.gfci_protected", "no"),
    ];
    let plug = fill(book, "circuit", &plug);
    assert!(found(book, &["NEC 2017"], &plug, "circuit.gfci-receptacle").is_none());
    let newer = found(book, &["NEC 2020"], &plug, "circuit.gfci-receptacle").unwrap();
    assert_eq!(newer.severity, Severity::Change);

    let pipe = fill(
        book,
        "pipe",
        &[("pipe.edge_distance", "1.125 in"), ("pipe.steel_plates", "no")],
    );
    let one = found(book, &["IPC 2021"], &pipe, "pipe.edge-distance").unwrap();
    let other = found(book, &["UPC 2021"], &pipe, "pipe.edge-distance").unwrap();
    assert_eq!((one.severity, other.severity), (Severity::Change, Severity::Met));
    assert!(
        one.title.contains("1.25 in") && other.title.contains("1 in "),
        "{} {}",
        one.title,
        other.title
    );

    let managed = [
        ("service.energy_management", "yes"),
        ("service.management_set_point", "100 A"),
        ("service.rating", "100 A"),
    ];
    let managed = fill(book, "service", &managed);
    let rule = "service.energy-management";
    assert_eq!(
        found(book, &["NEC 2020"], &managed, rule).unwrap().severity,
        Severity::Judge
    );
    assert_eq!(
        found(book, &["NEC 2023"], &managed, rule).unwrap().severity,
        Severity::Change
    );
}

#[test]
fn an_amended_limit_holds_in_every_edition() {
    let town =
        "[[amend]]\nrule = \"pipe.edge-distance\"\nordinance = \"12-7\"\nlimits = { least = \"2 in\" }\n";
    let book = RuleBook::load([("town.toml", town)]).unwrap();
    let pipe = fill(
        &book,
        "pipe",
        &[("pipe.edge_distance", "1.5 in"), ("pipe.steel_plates", "no")],
    );
    for edition in ["IPC 2021", "UPC 2021"] {
        let amended = found(&book, &[edition], &pipe, "pipe.edge-distance").unwrap();
        assert_eq!(amended.severity, Severity::Change, "{edition}");
    }
}

#[test]
fn an_edition_is_found_by_what_people_write() {
    let book = RuleBook::embedded();
    for written in ["2023", "nec-2023", "NEC 2023", "nec2023"] {
        assert_eq!(book.find_edition(written).unwrap().name, "NEC 2023", "{written}");
    }
    assert!(matches!(
        book.find_edition("2021"),
        Err(EditionError::Several { .. })
    ));
    assert!(matches!(
        book.find_edition("2014"),
        Err(EditionError::Unknown { .. })
    ));
    assert!(
        book.find_edition("practice").is_err(),
        "practice is always in force"
    );
}
