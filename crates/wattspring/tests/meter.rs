//! The real binary: meter files read and printed, laid over by a job's heater, and taken into its assessment.

use assert_cmd::Command;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

fn run(args: &[&str]) -> Command {
    let mut command = Command::cargo_bin("wattspring").expect("the binary is built with its tests");
    command.env("NO_COLOR", "1").args(args);
    command
}

fn root(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../..").join(name)
}

fn printed(command: &mut Command, code: i32) -> String {
    let done = command.assert().code(code);
    String::from_utf8(done.get_output().stdout.clone()).expect("output is UTF-8")
}

fn words(page: &str) -> String {
    page.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn a_green_button_file_is_printed() {
    let page = printed(
        run(&["meter", "--date", "2026-11-25"]).arg(root("checks/meter/espi-15min-5days-2012-03.xml")),
        0,
    );
    for line in page.lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
    let words = words(&page);
    // Largest reading 1659 Wh in 15 minutes, 480 readings, 511,688 Wh: counted by whoever gathered the file.
    for wanted in ["6.64 kW", "480 readings", "512 kWh", "14.4 kW over 15 min"] {
        assert!(words.contains(wanted), "`{wanted}` is not in {page}");
    }
}

#[test]
fn the_heater_is_laid_over_and_written_down() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut command = run(&[
        "meter",
        "--format",
        "json",
        "--years",
        "20",
        "--date",
        "2026-11-25",
    ]);
    command
        .arg(root("checks/meter/coastal-hourly-2011-03.xml"))
        .arg("--job")
        .arg(root("examples/hundred-amp.job.toml"))
        .arg("--out")
        .arg(folder.path());
    let json: serde_json::Value = serde_json::from_str(&printed(&mut command, 0)).expect("JSON");
    assert_eq!(json["meter"]["account"]["kept"], 743);
    assert_eq!(json["overlay"]["years"], 20);
    assert_eq!(
        json["overlay"]["by_minute"]["all"].as_array().map(Vec::len),
        Some(20)
    );
    for name in [
        "meter.json",
        "meter.html",
        "yearly-peaks.svg",
        "highest-day.svg",
        "load-duration.svg",
    ] {
        let bytes = std::fs::read(folder.path().join(name)).unwrap_or_else(|error| panic!("{name}: {error}"));
        assert!(!bytes.is_empty(), "{name}");
    }
}

#[test]
fn csv_says_what_it_needs() {
    let path = root("checks/meter/household-hourly-2017-q1.csv");
    let done = run(&["meter"]).arg(&path).assert().code(3);
    let talk = String::from_utf8_lossy(&done.get_output().stderr).into_owned();
    assert!(talk.contains("`value`") && talk.contains("kWh"), "{talk}");
    let page = printed(
        run(&["meter", "--unit", "kWh", "--zone", "America/Chicago"]).arg(&path),
        0,
    );
    // 21.76 kWh is the largest hour that the notes on the file name.
    assert!(words(&page).contains("between 21.8 kW and 87 kW"), "{page}");
    let done = run(&["meter", "--zone", "Mars/Olympus"])
        .arg(&path)
        .assert()
        .code(3);
    assert!(String::from_utf8_lossy(&done.get_output().stderr).contains("Mars/Olympus"));
}

#[test]
fn damaged_files_say_where() {
    let folder = tempfile::tempdir().expect("a folder");
    let whole = std::fs::read(root("checks/meter/espi-15min-1day-2015-08.xml")).expect("the file");
    let path = folder.path().join("cut.xml");
    std::fs::write(&path, &whole[..whole.len() / 2]).expect("written");
    let done = run(&["meter"]).arg(&path).assert().code(3);
    let talk = words(&String::from_utf8_lossy(&done.get_output().stderr));
    assert!(talk.contains("cut short") && talk.contains("line "), "{talk}");
    run(&["meter", "no-such-file.xml"]).assert().code(3);
    run(&["meter"]).assert().code(3);
}

/// The record of an example with a meter file beside it.
fn with_meter(folder: &Path) -> PathBuf {
    let mut record = std::fs::read_to_string(root("examples/hundred-amp.job.toml")).expect("the example");
    record.push_str("\n[meter]\nfile = \"usage.csv\"\nunit = \"kW\"\nzone = \"America/Chicago\"\n");
    let path = folder.join("house.job.toml");
    std::fs::write(&path, record).expect("written");
    let mut text = "start,value\n".to_owned();
    for quarter in 0..365 * 96 {
        let kilowatts = if quarter == 5000 { 9.6 } else { 0.8 };
        let _ = writeln!(text, "{},{kilowatts}", 1_704_067_200 + quarter * 900);
    }
    std::fs::write(folder.join("usage.csv"), text).expect("written");
    path
}

#[test]
fn an_assessment_takes_the_maximum_of_the_records_file() {
    let folder = tempfile::tempdir().expect("a folder");
    let record = with_meter(folder.path());
    let mut command = run(&["assess", "--format", "json", "--date", "2026-11-25"]);
    let done = command.arg(&record).assert();
    let json: serde_json::Value = serde_json::from_slice(&done.get_output().stdout).expect("JSON");
    let methods = json["service"]["methods"].as_array().expect("methods");
    let measured = methods
        .iter()
        .find(|method| method["id"] == "measured")
        .expect("the measured method");
    // 1.25 · 9.6 kW + 27 kW = 39 kVA.
    assert_eq!(measured["total"], "39 kVA");
    // And `meter` finds the file by the record.
    let page = printed(run(&["meter", "--years", "5", "--job"]).arg(&record), 0);
    assert!(words(&page).contains("9.6 kW"), "{page}");
    std::fs::remove_file(folder.path().join("usage.csv")).expect("removed");
    run(&["assess"]).arg(&record).assert().code(3);
}
