//! Rules against sources outside the project: each case states facts and what the source makes of them.

use quantity::UnitSystem;
use rules::RuleBook;
use trace::Origin;

const FILES: [&str; 12] = [
    "dwelling-service",
    "energy-management",
    "worked-circuits",
    "annex-d",
    "existing-dwelling-loads",
    "element-groups",
    "stored-volume",
    "temperatures",
    "copper-velocity",
    "water-supply",
    "voltage-and-flicker",
    "activation",
];

#[test]
fn rules_turn_where_their_sources_turn() {
    let book = RuleBook::embedded();
    for name in FILES {
        for case in checks::load(&format!("rules/{name}.toml")).cases {
            let rule = book
                .rule(case.given_text("rule"))
                .unwrap_or_else(|| panic!("{name}, {}: no such rule", case.id));
            let mut facts = book.facts(&rule.scope, &case.id);
            for (fact, value) in &case.given {
                if fact == "rule" || fact == "edition" {
                    continue;
                }
                match value {
                    toml::Value::Boolean(flag) => facts.set(fact, *flag, Origin::Entered),
                    toml::Value::String(text) => facts.set_written(fact, text, Origin::Entered),
                    other => panic!("{name}, {}: {other}", case.id),
                }
                .unwrap_or_else(|error| panic!("{name}, {}: {error}", case.id));
            }
            let edition = case.given.get("edition").and_then(toml::Value::as_str);
            let editions = book.choose([edition.unwrap_or("NEC 2020")]).unwrap();
            let findings = book.assess(&editions, &facts, UnitSystem::Us);
            let found = findings
                .iter()
                .find(|finding| finding.rule == rule.id)
                .map_or("not applicable", |finding| finding.severity.word());
            assert_eq!(Some(found), case.expected_text("severity"), "{name}, {}", case.id);
        }
    }
}

#[test]
fn every_check_file_is_read() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../checks/rules");
    for entry in std::fs::read_dir(folder).unwrap() {
        let name = entry.unwrap().file_name().to_string_lossy().replace(".toml", "");
        assert!(FILES.contains(&name.as_str()), "{name}");
    }
}
