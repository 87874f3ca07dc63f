//! The real binary: change-over of a job.

use assert_cmd::Command;
use std::path::PathBuf;

fn changeover(args: &[&str]) -> Command {
    let mut command = Command::cargo_bin("wattspring").expect("the binary is built with its tests");
    command
        .env("NO_COLOR", "1")
        .args(["changeover", "--date", "2026-11-25"])
        .args(args);
    command
}

fn record(path: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(format!("../../{path}.job.toml"))
}

fn page(args: &[&str], path: &str, status: i32) -> String {
    let done = changeover(args).arg(record(path)).assert().code(status);
    let page = String::from_utf8(done.get_output().stdout.clone()).expect("output is UTF-8");
    assert!(done.get_output().stderr.is_empty());
    page
}

fn words(page: &str) -> String {
    page.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn report_and_card_fit_a_terminal() {
    for (path, status) in [
        ("examples/far-bath", 1),
        ("examples/booster", 1),
        ("examples/one-bath", 1),
        ("checks/changeover/sink-tie-in", 2),
    ] {
        for args in [&[][..], &["--card"]] {
            let page = page(args, path, status);
            for line in page.lines() {
                assert!(line.chars().count() <= 80, "{path}: {line}");
            }
            assert!(!page.to_lowercase().contains("safe"), "{path}");
        }
    }
}

#[test]
fn the_report_tells_modes_moves_and_slips() {
    let page = words(&page(&[], "examples/far-bath", 1));
    for wanted in [
        "256 states",
        "no hazard of the list was found in any state passed",
        "Open `V2` (tank hot, utility room)",
        "Until the next move no hot water at",
        "One wrong move away",
    ] {
        assert!(page.contains(wanted), "{wanted}\n{page}");
    }
}

#[test]
fn a_dangerous_layout_stops_and_names_what_is_missing() {
    let page = words(&page(&[], "checks/changeover/sink-tie-in", 2));
    assert!(
        page.contains("heated water has no way to a relief or expansion device"),
        "{page}"
    );
    assert!(page.contains("a relief valve on `storage tank`"), "{page}");
}

#[test]
fn json_follows_its_schema_and_papers_are_written() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().to_str().expect("a name");
    let json = page(&["--format", "json", "--out", out], "examples/far-bath", 1);
    let found: serde_json::Value = serde_json::from_str(&json).expect("JSON");
    let schema = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../docs/schema/change-over.schema.json");
    let schema: serde_json::Value =
        serde_json::from_str(&std::fs::read_to_string(schema).expect("the schema")).expect("JSON");
    let validator = jsonschema::validator_for(&schema).expect("a schema");
    let errors: Vec<String> = validator
        .iter_errors(&found)
        .map(|error| error.to_string())
        .collect();
    assert!(errors.is_empty(), "{errors:?}");
    for name in [
        "changeover.json",
        "changeover.html",
        "changeover-card.html",
        "piping-mode-1.svg",
        "piping-mode-2.svg",
    ] {
        let text = std::fs::read_to_string(folder.path().join(name)).expect(name);
        assert!(!text.is_empty(), "{name}");
    }
    let first = std::fs::read_to_string(folder.path().join("piping-mode-1.svg")).expect("a drawing");
    assert!(first.contains("Mode drawn: unit serves the house") && first.contains("V4"));
}

#[test]
fn a_record_without_piping_cannot_be_used() {
    let done = changeover(&["-"]).write_stdin("schema = 1\n").assert().code(3);
    let talk = String::from_utf8_lossy(&done.get_output().stderr).into_owned();
    assert!(talk.contains("where the water enters"), "{talk}");
    assert!(done.get_output().stdout.is_empty());
}
