//! The real binary: other units for a job.

use assert_cmd::Command;
use std::path::PathBuf;

fn options(args: &[&str]) -> Command {
    let mut command = Command::cargo_bin("wattspring").expect("the binary is built with its tests");
    command
        .env("NO_COLOR", "1")
        .args(["options", "--date", "2026-11-25"])
        .args(args);
    command
}

fn example(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(format!("../../examples/{name}.job.toml"))
}

#[test]
fn prints_what_each_unit_gives_and_what_rejects_it() {
    let done = options(&[]).arg(example("hundred-amp")).assert().code(0);
    let page = String::from_utf8(done.get_output().stdout.clone()).expect("output is UTF-8");
    for line in page.lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
    let words = page.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("unbeaten") && words.contains("rejected"), "{page}");
    assert!(
        words.contains("NEC 2023"),
        "the edition applied stands in the head"
    );
    // Handbook electrical.md section 13, LC4 (computed): 26 680 VA, 111.2 A by the existing-dwelling method.
    assert!(
        words.contains("111.2 A") && words.contains("service.load-fits"),
        "{page}"
    );
    assert!(done.get_output().stderr.is_empty());
}

#[test]
fn a_record_without_a_proposed_unit_cannot_be_used() {
    let done = options(&["-"]).write_stdin("schema = 1\n").assert().code(3);
    let talk = String::from_utf8_lossy(&done.get_output().stderr).into_owned();
    assert!(talk.contains("no proposed on-demand unit"), "{talk}");
    assert!(done.get_output().stdout.is_empty());
    options(&["no-such.job.toml"]).assert().code(3);
}
