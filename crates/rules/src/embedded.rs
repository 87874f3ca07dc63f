//! The rule files compiled into the program.
//!
//! A test compares this list with `data/rules`, so that a file added there cannot be forgotten here.

macro_rules! files {
    ($($name:literal),+ $(,)?) => {
        &[$(($name, include_str!(concat!("../../../data/rules/", $name)))),+]
    };
}

/// Name below `data/rules` and text of every file.
pub(crate) const FILES: &[(&str, &str)] = files![
    "areas.toml",
    "cautions.toml",
    "change-over.toml",
    "circuit-heater.toml",
    "circuit-load.toml",
    "circuit-proof.toml",
    "circuit-route.toml",
    "circuit-wiring.toml",
    "delivery.toml",
    "disconnect.toml",
    "editions.toml",
    "facts.toml",
    "heater-piping.toml",
    "job.toml",
    "panel-care.toml",
    "panel.toml",
    "pipe-materials.toml",
    "pipe-support.toml",
    "pipe.toml",
    "proof.toml",
    "scald.toml",
    "service-equipment.toml",
    "service.toml",
    "source.toml",
    "storage-use.toml",
    "water.toml",
];

#[cfg(test)]
mod tests {
    use super::FILES;
    use crate::book::RuleBook;
    use crate::rule::Expect;
    use std::path::Path;
    use trace::Severity;

    #[test]
    fn every_file_in_the_folder_is_listed() {
        fn below(folder: &Path, prefix: &str, found: &mut Vec<String>) {
            for entry in std::fs::read_dir(folder).unwrap() {
                let entry = entry.unwrap();
                let name = format!("{prefix}{}", entry.file_name().to_string_lossy());
                if entry.path().is_dir() {
                    below(&entry.path(), &format!("{name}/"), found);
                } else {
                    found.push(name);
                }
            }
        }
        let mut found = Vec::new();
        below(
            &Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/rules"),
            "",
            &mut found,
        );
        found.sort();
        let mut listed: Vec<&str> = FILES.iter().map(|(name, _)| *name).collect();
        listed.sort_unstable();
        assert_eq!(found, listed);
    }

    #[test]
    fn every_rule_has_a_case_that_fires_and_one_that_keeps_it_quiet_in_each_of_its_editions() {
        // The cases themselves are tried when the book is loaded: one without edition in every edition of its rule.
        let book = RuleBook::embedded();
        for rule in book.rules() {
            for edition in book.editions_of(rule) {
                let basis = rule
                    .basis
                    .iter()
                    .find(|basis| basis.editions.contains(&edition.name));
                let severity = basis.and_then(|basis| basis.severity).unwrap_or(rule.severity);
                let tried: Vec<Expect> = rule
                    .cases
                    .iter()
                    .filter(|case| case.edition.as_ref().is_none_or(|name| name == &edition.name))
                    .map(|case| case.expect)
                    .collect();
                let fires = tried.contains(&Expect::Finding(severity));
                let quiet = |expect: &Expect| {
                    matches!(expect, Expect::NotApplicable | Expect::Finding(Severity::Met))
                };
                assert!(fires, "{}: no case fires by {}", rule.id, edition.name);
                assert!(
                    tried.iter().any(quiet),
                    "{}: no case is quiet by {}",
                    rule.id,
                    edition.name
                );
            }
        }
    }

    #[test]
    fn rules_near_live_parts_pressure_or_scalding_water_carry_a_caution() {
        let book = RuleBook::embedded();
        let hazardous = [
            "grounding",
            "disconnect",
            "relief",
            "thermal-expansion",
            "scald",
            "commissioning",
        ];
        for name in hazardous {
            assert!(
                book.areas().iter().any(|area| area.name == name && area.hazard),
                "{name}"
            );
        }
        for rule in book.rules() {
            let area = book.areas().iter().find(|area| area.name == rule.area).unwrap();
            assert!(!area.hazard || rule.caution.is_some(), "{}", rule.id);
            assert!(
                rule.severity != Severity::Stop || rule.caution.is_some(),
                "{}",
                rule.id
            );
        }
    }

    #[test]
    fn no_text_promises_what_only_a_licensed_person_can_judge() {
        const NEVER: [&str; 12] = [
            "safe",
            "safely",
            "unsafe",
            "safety",
            "legal",
            "legally",
            "illegal",
            "lawful",
            "compliant",
            "compliance",
            "complies",
            "approved",
        ];
        for (name, text) in FILES {
            for (number, line) in text.lines().enumerate() {
                let lower = line.to_lowercase();
                for word in lower.split(|c: char| !c.is_alphabetic()) {
                    assert!(!NEVER.contains(&word), "{name}:{}: `{word}`", number + 1);
                }
            }
        }
    }

    #[test]
    fn texts_leave_units_that_differ_between_readers_to_the_program() {
        const US_ONLY: [&str; 8] = ["°F", "psi", "ft/s", "gpm", "gal", "in", "ft", "gallons"];
        for rule in RuleBook::embedded().rules() {
            let text = &rule.text;
            for text in [&text.title, &text.why, &text.met, &text.unmet, &text.remedy] {
                let outside: String = text
                    .split('{')
                    .map(|piece| piece.rsplit('}').next().unwrap_or_default())
                    .collect();
                let words: Vec<&str> = outside.split_whitespace().collect();
                for pair in words.windows(2) {
                    let unit = pair[1].trim_matches(|c: char| ",.;:)".contains(c));
                    let number = pair[0].parse::<f64>().is_ok();
                    assert!(
                        !(number && US_ONLY.contains(&unit)),
                        "{}: {} {unit}",
                        rule.id,
                        pair[0]
                    );
                }
            }
        }
    }

    #[test]
    fn every_fact_serves_a_rule() {
        let book = RuleBook::embedded();
        for fact in book.vocabulary().facts() {
            let braces = format!("{{{}}}", fact.name);
            let used = book.rules().iter().any(|rule| {
                let index = book.vocabulary().index(&fact.name);
                rule.facts().iter().any(|used| Some(*used) == index)
                    || [&rule.text.met, &rule.text.unmet, &rule.text.remedy]
                        .iter()
                        .any(|text| text.contains(&braces))
            });
            assert!(used, "{} is asked for by no rule", fact.name);
            assert!(
                book.vocabulary().scope(fact.scope()).is_some(),
                "{}: no such scope",
                fact.name
            );
            let few = fact.kind != crate::ValueKind::Text || fact.choices.len() != 1;
            assert!(few, "{}: one choice is no choice", fact.name);
        }
    }

    #[test]
    fn every_scope_sees_scopes_that_exist_and_has_rules() {
        let book = RuleBook::embedded();
        for scope in book.vocabulary().scopes() {
            for seen in &scope.sees {
                assert!(
                    book.vocabulary().scope(seen).is_some(),
                    "{} sees {seen}",
                    scope.name
                );
            }
            assert!(
                book.rules().iter().any(|rule| rule.scope == scope.name),
                "{}",
                scope.name
            );
        }
    }

    #[test]
    fn a_rule_seen_somewhere_says_where() {
        for rule in RuleBook::embedded().rules() {
            for basis in &rule.basis {
                let seen = basis.status == trace::SourceStatus::Seen;
                assert!(!seen || basis.seen_in.is_some(), "{}: seen where?", rule.id);
            }
        }
    }
}
