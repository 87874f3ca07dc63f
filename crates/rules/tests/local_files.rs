//! Local rule files: what they may change, and how each kind of mistake is refused with its line.

use quantity::UnitSystem;
use rules::RuleBook;
use trace::{Origin, Severity};

const RULE: &str = r#"
[[edition]]
name = "Springfield 2024"
family = "local"
document = "Springfield water ordinance"
year = "2024"
always = true

[[rule]]
id = "local.expansion"
title = "Every tank has expansion control here"
scope = "water"
area = "thermal-expansion"
severity = "change"
basis = [{ editions = ["Springfield 2024"], where = "12-3", status = "seen" }]
applies = "water.storage_heated"
require = "water.expansion_device and water.static_pressure <= limit.most"
limits = { most = "75psi" }
met = "ok at {water.static_pressure}"
unmet = "{water.static_pressure}, {limit.most} at most"
why = "Closed mains."
remedy = "expansion tank"
caution = "pressure"
case = [
  { id = "none", expect = "change", facts = { "water.storage_heated" = true, "water.expansion_device" = false } },
]
"#;

fn refused(text: &str, line: usize, words: &str) {
    let problems = RuleBook::load([("local.toml", text)]).expect_err(words);
    let all: Vec<String> = problems.iter().map(ToString::to_string).collect();
    let found = problems
        .iter()
        .any(|problem| problem.line == line && problem.to_string().contains(words));
    assert!(
        found,
        "wanted line {line} and `{words}`, got:\n{}",
        all.join("\n")
    );
    assert!(problems.iter().all(|problem| problem.file == "local.toml"));
}

/// The good rule with one piece replaced; the line is that of the piece.
fn with(old: &str, new: &str, words: &str) {
    let at = RULE.find(old).unwrap_or_else(|| panic!("no `{old}`"));
    let line = RULE[..at].matches('\n').count() + 1;
    refused(&RULE.replacen(old, new, 1), line, words);
}

#[test]
fn a_town_adds_a_rule_and_an_edition_without_rust() {
    let book = RuleBook::load([("local.toml", RULE)]).unwrap();
    let mut water = book.facts("water", "main");
    water.set("water.storage_heated", true, Origin::Entered).unwrap();
    water
        .set("water.expansion_device", true, Origin::Entered)
        .unwrap();
    water
        .set_written("water.static_pressure", "78 psi", Origin::Measured)
        .unwrap();
    let findings = book.assess(&book.choose(["IPC 2021"]).unwrap(), &water, UnitSystem::Us);
    let found = findings
        .iter()
        .find(|finding| finding.rule == "local.expansion")
        .unwrap();
    assert_eq!(found.severity, Severity::Change);
    assert_eq!(found.message, "78 psi, 75 psi at most");
    assert_eq!(
        found.source.to_string(),
        "Springfield water ordinance 2024, 12-3 (seen)"
    );
    assert_eq!(RuleBook::load([]).unwrap().rules().len() + 1, book.rules().len());
}

#[test]
fn a_town_amends_limit_severity_and_edition_and_sets_a_rule_aside() {
    let text = r#"
[[edition]]
name = "NEC 2026"
family = "electrical"
document = "NFPA 70, National Electrical Code"
year = "2026"

[[amend]]
rule = "water.static-pressure"
ordinance = "Springfield 12-4"
reason = "old mains"
limits = { highest = "70 psi" }
severity = "judge"

[[amend]]
rule = "circuit.spare-length"
ordinance = "Springfield 12-5"
disabled = true

[[amend]]
rule = "circuit.conductor-ampacity"
ordinance = "state adoption of the 2026 book"
basis = [{ editions = ["NEC 2026"], where = "not compared yet", status = "memory" }]
"#;
    let book = RuleBook::load([("town.toml", text)]).unwrap();
    let mut water = book.facts("water", "main");
    water
        .set_written("water.static_pressure", "75 psi", Origin::Measured)
        .unwrap();
    let findings = book.assess(&book.choose(["UPC 2021"]).unwrap(), &water, UnitSystem::Us);
    let found = findings
        .iter()
        .find(|finding| finding.rule == "water.static-pressure")
        .unwrap();
    assert_eq!(found.severity, Severity::Judge);
    assert_eq!(found.working.result, "75 psi > 70 psi, 5 psi over");
    assert!(found.message.contains("above 70 psi"));
    let source = found.source.to_string();
    assert!(
        source.contains(
            "608.2, amended by Springfield 12-4: highest 70 psi instead of 80 psi; judge instead of change"
        ),
        "{source}"
    );
    let told = book.explain("water.static-pressure", UnitSystem::Us).unwrap();
    assert_eq!(told.title, "Static pressure is 70 psi at most");
    assert_eq!(told.limits, [("highest".to_owned(), "70 psi".to_owned())]);
    assert!(told.amendments[0].ends_with("(old mains)"));

    let mut circuit = book.facts("circuit", "WH-1");
    circuit.set("job.installed", true, Origin::Entered).unwrap();
    circuit
        .set_written("circuit.spare_length", "1 in", Origin::Measured)
        .unwrap();
    let findings = book.assess(&book.choose(["NEC 2026"]).unwrap(), &circuit, UnitSystem::Us);
    assert!(
        !findings
            .iter()
            .any(|finding| finding.rule == "circuit.spare-length")
    );
    let newest = findings
        .iter()
        .find(|finding| finding.rule == "circuit.conductor-ampacity")
        .unwrap();
    assert_eq!(newest.edition.as_deref(), Some("NEC 2026"));
    // What the new edition was not given does not speak for it.
    assert!(
        !findings
            .iter()
            .any(|finding| finding.rule == "circuit.terminal-temperature")
    );
}

#[test]
fn mistakes_of_form_are_refused_with_their_line() {
    refused("[[rule]\n", 1, "");
    refused("\n\nnonsense = 3\n", 3, "unknown field `nonsense`");
    with("title = ", "titel = ", "unknown field `titel`");
    with("title = ", "id = \"x.y\"\ntitle = ", "duplicate key");
    with(
        "severity = \"change\"",
        "severity = \"forbid\"",
        "unknown variant `forbid`",
    );
    with("severity = \"change\"", "severity = \"met\"", "not `met`");
    with("status = \"seen\"", "status = \"sure\"", "unknown variant `sure`");
    with(
        "\"Every tank has expansion control here\"",
        "\" \"",
        "`title` is empty",
    );
    with(
        "id = \"local.expansion\"",
        "id = \"local expansion\"",
        "is not a rule name",
    );
    with(
        "id = \"local.expansion\"",
        "id = \"water.static-pressure\"",
        "is there already",
    );
    with(
        "scope = \"water\"",
        "scope = \"watre\"",
        "no scope is called `watre`; did you mean `water`?",
    );
    let missing = RULE.replace("why = \"Closed mains.\"\n", "");
    refused(&missing, 9, "missing field `why`");
}

#[test]
fn mistakes_of_basis_are_refused_with_their_line() {
    with(
        "basis = [{ editions = [\"Springfield 2024\"], where = \"12-3\", status = \"seen\" }]",
        "basis = []",
        "names no basis",
    );
    with(
        "[\"Springfield 2024\"]",
        "[\"Springfeld 2024\"]",
        "did you mean `Springfield 2024`?",
    );
    with(
        "[\"Springfield 2024\"]",
        "[\"guidance\"]",
        "give the basis a `document`",
    );
    with(
        "caution = \"pressure\"",
        "caution = \"shock\"",
        "no caution is called `shock`",
    );
}

#[test]
fn mistakes_in_formulas_are_refused_with_their_line() {
    with(
        "water.storage_heated\"",
        "water.storage_heatd\"",
        "did you mean `water.storage_heated`?",
    );
    with(
        "water.storage_heated\"",
        "circuit.load_current > 3 A\"",
        "does not see `circuit.load_current`",
    );
    with(
        "water.storage_heated\"",
        "water.storage_heated and\"",
        "cannot be read here",
    );
    with("<= limit.most", "<= limit.least", "no limit `least`");
    with(
        "<= limit.most",
        "<= 10 ft",
        "gauge pressure and length cannot be compared",
    );
    with("<= limit.most", "+ 5 A > 3 psi", "cannot be added");
    with(
        "require = \"water.expansion_device and",
        "require = \"water.static_pressure and",
        "a flag is wanted here",
    );
    with("\"75psi\"", "\"75 furlong\"", "no unit the rule book knows");
    with(
        "{ most = \"75psi\" }",
        "{ most = \"75psi\", spare = \"3 A\" }",
        "limit `spare` is used by no formula",
    );
    with(
        "met = \"ok at {water.static_pressure}\"",
        "met = \"ok at {water.static_pressure\"",
        "a name between",
    );
    with(
        "met = \"ok at {water.static_pressure}\"",
        "met = \"ok at {limit.none}\"",
        "no limit `none`",
    );
}

#[test]
fn a_formula_over_several_lines_is_refused_at_its_own_line() {
    let text = RULE.replace(
        "require = \"water.expansion_device and water.static_pressure <= limit.most\"",
        "require = '''\nwater.expansion_device\nand water.static_presure <= limit.most\n'''",
    );
    let line = text.lines().position(|line| line.contains("presure")).unwrap() + 1;
    refused(&text, line, "did you mean `water.static_pressure`?");
}

#[test]
fn cases_that_come_out_otherwise_are_refused() {
    with(
        "expect = \"change\"",
        "expect = \"met\"",
        "expected met, came out change",
    );
    with(
        "expect = \"change\"",
        "expect = \"not applicable\"",
        "expected not applicable, came out change",
    );
    with(
        "expect = \"change\"",
        "expect = \"maybe\"",
        "no outcome is called `maybe`",
    );
    with(
        "\"water.expansion_device\" = false",
        "\"water.expansion_device\" = \"3 psi\"",
        "neither yes nor no",
    );
    with(
        "\"water.expansion_device\" = false",
        "\"water.expansion\" = false",
        "not in the fact vocabulary",
    );
}

#[test]
fn mistakes_in_facts_are_refused_with_their_line() {
    let fact = "[[fact]]\nname = \"water.color\"\nkind = \"text\"\nmeaning = \"color\"\nmeasure = \"look\"\n";
    assert!(RuleBook::load([("local.toml", fact)]).is_ok());
    refused(
        &fact.replace("\"text\"", "\"lenght\""),
        3,
        "no kind is called `lenght`; did you mean `length`?",
    );
    refused(
        &fact.replace("water.color", "Water color"),
        2,
        "is not a fact name",
    );
    refused(
        &fact.replace("water.color", "limit.color"),
        2,
        "is not a fact name",
    );
    refused(
        &fact.replace("water.color", "water.hardness"),
        2,
        "is there already",
    );
    refused(
        &fact.replace("water.color", "wtaer.color"),
        2,
        "no scope is called `wtaer`; did you mean `water`?",
    );
    refused(&fact.replace("\"look\"", "\"\""), 5, "`measure` is empty");
    let shown = fact.replace("\"text\"", "\"length\"") + "shown_in = { us = \"psi\", si = \"mm\" }\n";
    refused(&shown, 6, "`psi` is not a unit of length");
}

#[test]
fn mistakes_in_amendments_are_refused_with_their_line() {
    let amend = "[[amend]]\nrule = \"water.static-pressure\"\nordinance = \"12-4\"\n";
    refused(amend, 1, "changes nothing");
    refused(
        &(amend.replace("static-pressure", "static-presure") + "disabled = true\n"),
        2,
        "did you mean `water.static-pressure`?",
    );
    refused(
        &(amend.to_owned() + "limits = { highest = \"70 ft\" }\n"),
        4,
        "limit `highest` is a gauge pressure; `70 ft` is not",
    );
    refused(
        &(amend.to_owned() + "limits = { hihgest = \"70 psi\" }\n"),
        4,
        "did you mean `highest`?",
    );
    refused(
        &(amend.to_owned() + "severity = \"unknown\"\n"),
        4,
        "not `unknown`",
    );
    refused(
        &(amend.replace("\"12-4\"", "\"\"") + "disabled = true\n"),
        3,
        "`ordinance` is empty",
    );
}

#[test]
fn every_complaint_is_made_at_once() {
    let text = RULE
        .replace("scope = \"water\"", "scope = \"nowhere\"")
        .replace("severity = \"change\"", "severity = \"met\"")
        + "\n[[amend]]\nrule = \"water.hardness\"\nordinance = \"\"\ndisabled = true\n";
    let problems = RuleBook::load([("local.toml", text.as_str())]).unwrap_err();
    assert!(problems.len() >= 3, "{problems:?}");
}

proptest::proptest! {
    #[test]
    fn no_text_makes_the_loader_panic(text in "\\PC{0,80}") {
        let _ = RuleBook::load([("x.toml", text.as_str())]);
    }

    #[test]
    fn no_piece_of_a_rule_makes_the_loader_panic(cut in 0_usize..900, text in "[\\[\\]{}\"a-z0-9 =.\n°]{0,12}") {
        let at = (0..=cut.min(RULE.len())).rev().find(|at| RULE.is_char_boundary(*at)).unwrap_or(0);
        let spoiled = format!("{}{text}{}", &RULE[..at], &RULE[at..]);
        let _ = RuleBook::load([("x.toml", spoiled.as_str())]);
    }
}
