//! The published book as a caller meets it: choosing editions, facts, findings, searching, explaining.

use quantity::{Current, GaugePressure, Length, Temperature, TemperatureDifference, UnitSystem, Voltage};
use rules::{EditionError, FactError, RuleBook};
use trace::{Finding, Origin, Severity};

fn book() -> &'static RuleBook {
    RuleBook::embedded()
}

fn finding<'f>(findings: &'f [Finding], rule: &str) -> &'f Finding {
    findings
        .iter()
        .find(|finding| finding.rule == rule)
        .unwrap_or_else(|| panic!("no finding of {rule}"))
}

#[test]
fn the_book_holds_what_the_trade_meets() {
    assert!(book().rules().len() >= 200, "{} rules", book().rules().len());
    for area in book().areas() {
        let rules = book().rules().iter().filter(|rule| rule.area == area.name);
        assert!(rules.count() >= 3, "{}: three rules at least", area.name);
    }
    for name in ["NEC 2017", "NEC 2020", "NEC 2023", "IPC 2021", "UPC 2021"] {
        assert!(
            book().rules().iter().any(|rule| rule
                .basis
                .iter()
                .any(|basis| basis.editions.iter().any(|edition| edition == name))),
            "no rule of {name}"
        );
    }
}

#[test]
fn of_each_family_one_edition_is_chosen() {
    assert!(book().choose(["NEC 2020", "UPC 2021"]).is_ok());
    assert!(matches!(
        book().choose(["NEC 2014"]),
        Err(EditionError::Unknown { .. })
    ));
    let two = book().choose(["NEC 2017", "NEC 2020"]).unwrap_err();
    assert_eq!(
        two.to_string(),
        "`NEC 2017` and `NEC 2020` are editions of one family; choose one"
    );
}

#[test]
fn the_same_circuit_under_another_edition() {
    let mut circuit = book().facts("circuit", "WH-1");
    circuit
        .set("circuit.cord_and_plug", false, Origin::Entered)
        .unwrap();
    circuit
        .set("circuit.outlet_place", "outdoors", Origin::Entered)
        .unwrap();
    circuit
        .set(
            "circuit.breaker_rating",
            Current::from_amperes(40.0),
            Origin::Entered,
        )
        .unwrap();
    circuit
        .set(
            "panel.voltage_to_ground",
            Voltage::from_volts(120.0),
            Origin::Measured,
        )
        .unwrap();
    circuit
        .set("circuit.gfci_protected", false, Origin::Entered)
        .unwrap();
    let of = |edition: &str| book().assess(&book().choose([edition]).unwrap(), &circuit, UnitSystem::Us);
    let outdoor = "circuit.gfci-outdoor-outlet";
    assert!(!of("NEC 2017").iter().any(|finding| finding.rule == outdoor));
    let newer = of("NEC 2020");
    assert_eq!(finding(&newer, outdoor).severity, Severity::Change);
    assert_eq!(finding(&newer, outdoor).edition.as_deref(), Some("NEC 2020"));
    let none = book().assess(&book().choose([]).unwrap(), &circuit, UnitSystem::Us);
    assert!(
        none.iter().all(|finding| finding.edition.is_none()),
        "practice only"
    );
}

#[test]
fn a_finding_shows_its_working() {
    let mut circuit = book().facts("circuit", "WH-1");
    circuit
        .set(
            "circuit.conductor_ampacity",
            Current::from_amperes(36.08),
            Origin::Table,
        )
        .unwrap();
    circuit
        .set(
            "circuit.load_current",
            Current::from_amperes(37.5),
            Origin::Computed,
        )
        .unwrap();
    let findings = book().assess(&book().choose(["NEC 2020"]).unwrap(), &circuit, UnitSystem::Us);
    let found = finding(&findings, "circuit.conductor-ampacity");
    assert_eq!(found.subject, "WH-1");
    assert_eq!(found.severity, Severity::Change);
    assert_eq!(found.working.formula, "conductor ampacity ≥ load current");
    assert_eq!(found.working.substituted, "36.1 A ≥ 37.5 A");
    assert_eq!(found.working.result, "36.1 A < 37.5 A, 1.4 A short");
    assert_eq!(found.working.inputs[0].origin, Origin::Table);
    assert_eq!(found.working.inputs[0].value, "36.1 A");
    assert!(found.working.inputs[0].meaning.contains("after ambient"));
    assert_eq!(
        found.source.to_string(),
        "NFPA 70, National Electrical Code 2020, 210.19(A)(1) with Table 310.16 (seen)"
    );
    assert!(found.remedy.is_some() && found.why.is_some() && found.caution.is_some());
    assert!(found.missing.is_empty());
}

#[test]
fn a_missing_fact_is_named_with_the_way_to_get_it() {
    let water = book().facts("water", "main");
    let findings = book().assess(&book().choose(["IPC 2021"]).unwrap(), &water, UnitSystem::Us);
    let found = finding(&findings, "water.static-pressure");
    assert_eq!(found.severity, Severity::Unknown);
    assert_eq!(
        found.message,
        "cannot be worked out: static pressure is not known"
    );
    assert_eq!(found.missing[0].symbol, "static pressure");
    assert_eq!(
        found.missing[0].measure,
        "gauge with lazy hand on a hose tap overnight"
    );
    assert!(found.remedy.is_none());
}

#[test]
fn without_facts_nothing_is_met() {
    for scope in book().vocabulary().scopes() {
        let nothing = book().facts(&scope.name, "nothing known");
        for editions in [["NEC 2017", "IPC 2021"], ["NEC 2023", "UPC 2021"]] {
            let editions = book().choose(editions).unwrap();
            for finding in book().assess(&editions, &nothing, UnitSystem::Us) {
                assert_eq!(finding.severity, Severity::Unknown, "{}", finding.rule);
                assert!(!finding.missing.is_empty(), "{}", finding.rule);
            }
        }
    }
}

#[test]
fn readers_of_either_unit_system_get_the_same_answer() {
    let mut source = book().facts("source", "tank");
    source
        .set("source.kind", "tank", Origin::Entered)
        .and_then(|facts| {
            facts.set(
                "source.plastic_pipe_distance",
                Length::from_inches(4.0),
                Origin::Measured,
            )
        })
        .and_then(|facts| {
            facts.set(
                "source.storage_temperature",
                Temperature::from_fahrenheit(140.0),
                Origin::Measured,
            )
        })
        .and_then(|facts| facts.set("source.mixing_valve_at_outlet", false, Origin::Entered))
        .and_then(|facts| facts.set("source.standing", false, Origin::Entered))
        .unwrap();
    let editions = book().choose(["NEC 2020", "IPC 2021"]).unwrap();
    let us = book().assess(&editions, &source, UnitSystem::Us);
    let si = book().assess(&editions, &source, UnitSystem::Si);
    assert_eq!(us.len(), si.len());
    for (us, si) in us.iter().zip(&si) {
        assert_eq!((&us.rule, us.severity), (&si.rule, si.severity));
    }
    let pipe = "source.plastic-pipe-distance";
    assert_eq!(finding(&us, pipe).working.result, "4 in < 18 in, 14 in short");
    assert_eq!(
        finding(&si, pipe).working.result,
        "10.16 cm < 45.72 cm, 35.56 cm short"
    );
    let mixed = finding(&si, "source.storage-mixed");
    assert_eq!(
        mixed.message,
        "stores at 60 °C without a mixing valve at the outlet"
    );
}

#[test]
fn every_text_speaks_in_the_readers_units() {
    let rule = book().rule("water.expansion-control").unwrap();
    assert!(
        rule.why(UnitSystem::Us)
            .starts_with("50 gal heated by 70 °F grow")
    );
    assert!(
        rule.why(UnitSystem::Si)
            .starts_with("189 L heated by 38.9 °C grow")
    );
    let rule = book().rule("pipe.velocity-copper-hot").unwrap();
    assert_eq!(
        rule.title(UnitSystem::Us),
        "Hot water in copper runs at 5 ft/s at most, up to 140 °F"
    );
    assert_eq!(
        rule.title(UnitSystem::Si),
        "Hot water in copper runs at 1.52 m/s at most, up to 60 °C"
    );
    let told = book().explain("fixture.shower-valve", UnitSystem::Si).unwrap();
    assert!(told.caution.unwrap().starts_with("Water at 60 °C burns"));
}

#[test]
fn facts_made_with_another_book_keep_their_names() {
    let local =
        "[[fact]]\nname = \"water.color\"\nkind = \"text\"\nmeaning = \"color\"\nmeasure = \"look\"\n";
    let other = "[[fact]]\nname = \"water.depth\"\nkind = \"length\"\nmeaning = \"depth\"\nmeasure = \"tape\"\n\
        [[rule]]\nid = \"local.depth\"\ntitle = \"t\"\nscope = \"water\"\narea = \"piping\"\nseverity = \"note\"\n\
        basis = [{ editions = [\"practice\"], status = \"common practice\" }]\nrequire = \"water.depth > 3 ft\"\n\
        met = \"m\"\nunmet = \"u\"\nwhy = \"w\"\nremedy = \"r\"\n";
    let colored = RuleBook::load([("color.toml", local)]).unwrap();
    let deep = RuleBook::load([("depth.toml", other)]).unwrap();
    let mut water = colored.facts("water", "main");
    water.set("water.color", "brown", Origin::Entered).unwrap();
    water
        .set(
            "water.static_pressure",
            GaugePressure::from_psi(60.0),
            Origin::Measured,
        )
        .unwrap();
    let findings = deep.assess(&deep.choose(["IPC 2021"]).unwrap(), &water, UnitSystem::Us);
    assert_eq!(finding(&findings, "local.depth").severity, Severity::Unknown);
    assert_eq!(
        finding(&findings, "water.static-pressure").severity,
        Severity::Met
    );
}

#[test]
fn facts_are_refused_when_they_are_not_what_the_vocabulary_says() {
    let mut circuit = book().facts("circuit", "WH-1");
    let mut set =
        |name: &str, value: rules::Value| circuit.set(name, value, Origin::Entered).map(|_| ()).unwrap_err();
    let flag = rules::Value::Flag(true);
    let unknown = set("circuit.load_curent", flag.clone());
    assert_eq!(
        unknown.to_string(),
        "`circuit.load_curent` is not in the fact vocabulary; did you mean `circuit.load_current`?"
    );
    assert_eq!(
        set("circuit.load_current", flag).to_string(),
        "`circuit.load_current` is a current, not a flag"
    );
    let text = rules::Value::Text("gas".into());
    assert!(matches!(set("circuit.feeds", text), FactError::Choice { .. }));
    let infinite = rules::Value::Number(rules::NumberKind::Current, f64::INFINITY);
    assert!(matches!(
        set("circuit.load_current", infinite),
        FactError::NotFinite { .. }
    ));
    let half = rules::Value::Number(rules::NumberKind::Count, 0.5);
    assert!(matches!(
        set("circuit.splices", half),
        FactError::Unreadable { .. }
    ));
    // Kinds of one dimension are different kinds.
    let mut source = book().facts("source", "unit");
    let rise = TemperatureDifference::from_fahrenheit(70.0);
    assert!(matches!(
        source.set("source.set_point", rise, Origin::Entered).unwrap_err(),
        FactError::Kind {
            wanted: "temperature",
            given: "temperature difference",
            ..
        }
    ));
    assert!(
        source
            .set_written("source.set_point", "120 psi", Origin::Entered)
            .is_err()
    );
    assert!(
        source
            .set_written("source.listed", "maybe", Origin::Entered)
            .is_err()
    );
    // Nothing was stated; `None` states nothing either.
    source
        .set("source.set_point", None::<Temperature>, Origin::Entered)
        .unwrap();
    assert!(source.fact("source.set_point").is_none());
}

#[test]
fn a_subject_takes_over_what_its_rules_may_see() {
    let mut water = book().facts("water", "main");
    water
        .set(
            "water.static_pressure",
            GaugePressure::from_psi(115.0),
            Origin::Measured,
        )
        .unwrap();
    let mut pipe = book().facts("pipe", "hot trunk");
    pipe.set(
        "pipe.pressure_rating",
        GaugePressure::from_psi(100.0),
        Origin::Table,
    )
    .unwrap();
    pipe.include(&water);
    let findings = book().assess(&book().choose([]).unwrap(), &pipe, UnitSystem::Us);
    let found = finding(&findings, "pipe.pressure-rating");
    assert_eq!(found.severity, Severity::Change);
    assert_eq!(found.working.formula, "pressure rating ≥ water static pressure");
}

#[test]
fn searching_finds_by_words_by_article_and_in_spite_of_a_slip() {
    let first = |words: &str| book().search(words).first().map(|rule| rule.id.clone());
    assert_eq!(first("working depth").as_deref(), Some("panel.working-depth"));
    assert_eq!(first("220.87 peak").as_deref(), Some("service.load-measured"));
    assert!(book().search("velocty copper").len() >= 3);
    assert!(
        book()
            .search("ASSE shower")
            .iter()
            .any(|rule| rule.id == "fixture.shower-valve")
    );
    assert_eq!(book().search("").len(), book().rules().len());
    assert!(book().search("zeppelin").is_empty());
}

#[test]
fn explaining_says_what_stands_behind_a_finding() {
    let told = book().explain("panel.working-depth", UnitSystem::Us).unwrap();
    assert_eq!(
        told.requires,
        "working depth ≥ (if voltage to ground ≤ 150 V then 3 ft else 4 ft)"
    );
    assert_eq!(told.limits[0], ("depth".to_owned(), "3 ft".to_owned()));
    assert_eq!(told.facts.len(), 2);
    assert_eq!(told.basis[0].place.as_deref(), Some("110.26(A)(1)"));
    assert!(book().explain("panel.nothing", UnitSystem::Us).is_none());
}
