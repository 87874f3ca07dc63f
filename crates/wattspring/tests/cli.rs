//! The real binary: exit statuses, formats, papers, starter records, rules.

use assert_cmd::Command;
use std::path::PathBuf;

fn wattspring() -> Command {
    let mut command = Command::cargo_bin("wattspring").expect("the binary is built with its tests");
    command.env("NO_COLOR", "1");
    command
}

fn example(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(format!("../../examples/{name}.job.toml"))
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("output is UTF-8")
}

#[test]
fn examples_assess_within_eighty_columns() {
    for (name, words) in [
        ("far-bath", ["far bath tub", "6 AWG", "220.83"]),
        ("hundred-amp", ["111.2", "8 AWG", "27 kW"]),
        ("apartment", ["208", "guest basin", "5.5 kW"]),
    ] {
        let done = wattspring()
            .args(["assess", "--date", "2026-11-25"])
            .arg(example(name))
            .assert()
            .code(1);
        let page = text(&done.get_output().stdout);
        for word in words {
            assert!(page.contains(word), "{name} does not speak of {word}");
        }
        for line in page.lines() {
            assert!(line.chars().count() <= 80, "{name}: {line}");
        }
        assert!(!page.contains('\u{1b}'), "no escape codes into a pipe");
        assert!(done.get_output().stderr.is_empty());
    }
}

#[test]
fn json_follows_its_published_schema() {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../docs/schema/assessment.schema.json");
    let schema: serde_json::Value =
        serde_json::from_str(&std::fs::read_to_string(path).expect("the schema is published"))
            .expect("a schema");
    let validator = jsonschema::validator_for(&schema).expect("a usable schema");
    for name in ["far-bath", "hundred-amp", "apartment"] {
        let done = wattspring()
            .args(["assess", "--format", "json"])
            .arg(example(name))
            .assert()
            .code(1);
        let value: serde_json::Value = serde_json::from_slice(&done.get_output().stdout).expect("JSON");
        let errors: Vec<String> = validator
            .iter_errors(&value)
            .map(|error| error.to_string())
            .collect();
        assert!(errors.is_empty(), "{name}: {errors:?}");
        assert_eq!(
            value["head"]["program"],
            format!("wattspring {}", env!("CARGO_PKG_VERSION"))
        );
    }
    let broken = serde_json::json!({ "schema": 1, "head": {} });
    assert!(
        !validator.is_valid(&broken),
        "the schema refuses what is no assessment"
    );
}

#[test]
fn the_schema_is_the_one_of_the_types() {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../docs/schema/assessment.schema.json");
    let wanted = serde_json::to_string_pretty(&assess::schema()).expect("a schema") + "\n";
    let found = std::fs::read_to_string(&path).unwrap_or_default();
    if std::env::var_os("WRITE_SCHEMA").is_some() {
        std::fs::write(&path, &wanted).expect("the schema can be written");
    } else {
        assert!(
            found == wanted,
            "docs/schema/assessment.schema.json is old: run this test with WRITE_SCHEMA=1"
        );
    }
}

/// The invented town's rule file.
fn town() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../rules/tests/local/town.toml")
}

#[test]
fn a_local_file_brings_rules_amendments_and_an_edition() {
    let done = wattspring()
        .args(["assess", "--date", "2026-11-25", "--edition", "2026", "--local"])
        .arg(town())
        .arg(example("far-bath"))
        .assert()
        .code(1);
    let page = text(&done.get_output().stdout);
    for words in ["NEC 2026", "as in NEC 2023", "amended by Springfield 12-5"] {
        let flat: String = page.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.contains(words), "{words}");
    }
    wattspring()
        .args(["assess", "--edition", "2026"])
        .arg(example("far-bath"))
        .assert()
        .code(3);
    let folder = tempfile::tempdir().expect("a folder");
    let broken = folder.path().join("broken.toml");
    std::fs::write(&broken, "[[amend]]\nrule = \"water.static-presure\"\n").expect("a file");
    let refused = wattspring()
        .args(["rules", "--local"])
        .arg(&broken)
        .assert()
        .code(3);
    assert!(text(&refused.get_output().stderr).contains("broken.toml"));
}

#[test]
fn two_editions_are_compared_on_eighty_columns_and_for_machines() {
    let run = |more: &[&str]| {
        let done = wattspring()
            .args(["assess", "--date", "2026-11-25", "--compare", "2017,2023"])
            .args(more)
            .arg(example("far-bath"))
            .assert()
            .code(1);
        text(&done.get_output().stdout)
    };
    let page = run(&[]);
    assert!(page.contains("NEC 2017") && page.contains("Change severity or figures"));
    assert!(page.lines().all(|line| line.chars().count() <= 80));
    let value: serde_json::Value = serde_json::from_str(&run(&["--format", "json"])).expect("JSON");
    let schema = serde_json::to_value(assess::comparison_schema()).expect("a schema");
    assert!(
        jsonschema::validator_for(&schema)
            .expect("usable")
            .is_valid(&value)
    );
    for wrong in ["2017", "2017,2014", "2017,upc-2021"] {
        wattspring()
            .args(["assess", "--compare", wrong])
            .arg(example("far-bath"))
            .assert()
            .code(3);
    }
}

#[test]
fn rules_are_filtered_and_stand_side_by_side() {
    let run = |args: &[&str]| {
        let done = wattspring().arg("rules").args(args).assert().success();
        text(&done.get_output().stdout)
    };
    let all = run(&["--area", "service"]);
    let older = run(&["--area", "service", "--edition", "2017"]);
    assert!(all.contains("service.surge-protection") && !older.contains("service.surge-protection"));
    let computed = run(&["--status", "computed", "--area", "thermal-expansion"]);
    assert!(computed.contains("water.expansion-size") && !computed.contains("water.expansion-control"));
    let one = run(&["circuit.gfci-receptacle"]);
    assert!(one.contains("NEC 2017: 210.8(A); change; voltage 125 V"));
    assert!(one.contains("Usual remedy") && one.contains("How to get it"));
    wattspring().args(["rules", "--area", "nowhere"]).assert().code(3);
}

#[test]
fn papers_are_written_and_are_the_same_twice() {
    let folder = tempfile::tempdir().expect("a folder");
    let run = |name: &str| {
        let out = folder.path().join(name);
        wattspring()
            .args(["assess", "--date", "2026-11-25", "--out"])
            .arg(&out)
            .arg(example("far-bath"))
            .assert()
            .code(1);
        out
    };
    let (first, second) = (run("a"), run("b"));
    let mut files = vec![
        "assessment.json",
        "report.html",
        "materials.csv",
        "one-line.svg",
        "outlet-temperature.svg",
        "mains-by-month.svg",
    ];
    if cfg!(feature = "pdf") {
        files.push("report.pdf");
    }
    for file in files {
        let bytes = std::fs::read(first.join(file)).unwrap_or_else(|error| panic!("{file}: {error}"));
        assert!(bytes.len() > 500, "{file} holds something");
        assert!(
            bytes == std::fs::read(second.join(file)).unwrap_or_default(),
            "{file} is the same twice"
        );
    }
    let html = std::fs::read_to_string(first.join("report.html")).unwrap_or_default();
    assert!(html.contains("<svg") || html.contains("data:image/svg+xml"));
}

#[test]
fn worst_findings_decide_the_status() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("parallel.job.toml");
    // Both heaters open to the same hot pipes at once: the rule book says stop.
    let far_bath = std::fs::read_to_string(example("far-bath")).expect("the example");
    let parallel = far_bath.replace(r#"closed = ["V2"]"#, "closed = []").replace(
        r#"open = ["V1", "V3", "V4"]"#,
        r#"open = ["V1", "V2", "V3", "V4"]"#,
    );
    std::fs::write(&path, parallel).expect("a file");
    let done = wattspring().arg("assess").arg(&path).assert().code(2);
    assert!(text(&done.get_output().stdout).contains("STOP"));
}

#[test]
fn records_that_cannot_be_used_end_in_three() {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../jobfile/tests/broken");
    let mut files: Vec<PathBuf> = std::fs::read_dir(folder)
        .expect("the corpus")
        .map(|entry| entry.expect("an entry").path())
        .collect();
    files.sort();
    files.retain(|path| path.extension().is_some_and(|extension| extension == "toml"));
    assert!(files.len() >= 60, "{} broken records", files.len());
    for path in files {
        let done = wattspring().arg("assess").arg(&path).assert();
        let output = done.get_output();
        let talk = text(&output.stderr);
        assert_eq!(output.status.code(), Some(3), "{}: {talk}", path.display());
        assert!(
            output.stdout.is_empty(),
            "{}: data goes out only when there is some",
            path.display()
        );
        assert!(!talk.contains("panicked"), "{}: {talk}", path.display());
    }
}

#[test]
fn odd_input_is_refused_with_a_word() {
    let folder = tempfile::tempdir().expect("a folder");
    let big = folder.path().join("big.job.toml");
    std::fs::write(&big, vec![b'#'; 10 << 20]).expect("a file");
    let binary = folder.path().join("binary.job.toml");
    std::fs::write(&binary, [b's', b'=', 0xff, 0xfe]).expect("a file");
    let empty = folder.path().join("empty.job.toml");
    std::fs::write(&empty, "").expect("a file");
    for path in [
        big,
        binary,
        empty,
        folder.path().join("missing.job.toml"),
        folder.path().to_owned(),
    ] {
        let done = wattspring().arg("assess").arg(&path).assert().code(3);
        assert!(!done.get_output().stderr.is_empty(), "{}", path.display());
    }
    wattspring()
        .args(["assess", "--edition", "nec-1999"])
        .arg(example("far-bath"))
        .assert()
        .code(3);
    wattspring().arg("guess").assert().code(3);
}

#[test]
fn an_observation_that_no_rule_knows_is_placed() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("observed.job.toml");
    std::fs::write(
        &path,
        "schema = 1\n[observed.job]\n\"job.electrical_permitt\" = \"yes\"\n",
    )
    .expect("a file");
    let done = wattspring().arg("assess").arg(&path).assert().code(3);
    let talk = text(&done.get_output().stderr);
    assert!(talk.contains("job.electrical_permit"), "{talk}");
}

#[test]
fn an_observation_answers_a_rule() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("observed.job.toml");
    let mut record = std::fs::read_to_string(example("far-bath")).expect("the example");
    record.push_str("\n[observed.W1]\n\"circuit.breaker_listed_for_panel\" = \"no\"\n");
    std::fs::write(&path, record).expect("a file");
    let done = wattspring()
        .args(["assess", "--format", "json"])
        .arg(&path)
        .assert();
    let value: serde_json::Value = serde_json::from_slice(&done.get_output().stdout).expect("JSON");
    let found = value["findings"]
        .as_array()
        .expect("findings")
        .iter()
        .find(|finding| {
            finding["rule"] == "circuit.breaker-listed-for-panel" && finding["subject"] == "circuit W1"
        });
    assert!(
        found.is_some_and(|finding| finding["severity"] != "met" && finding["severity"] != "unknown"),
        "{found:?}"
    );
}

#[test]
fn a_starter_record_is_written_and_assesses() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("new.job.toml");
    let facts = [
        "--no-questions",
        "--title",
        "Back bath",
        "--postal-code",
        "37919",
        "--service",
        "150 A",
        "--free-spaces",
        "6",
        "--unit",
        "18 kW",
        "--distance",
        "80 ft",
        "--together",
        "shower, kitchen-sink",
        "--today",
        "tank-stays",
    ];
    wattspring().arg("new").arg(&path).args(facts).assert().code(0);
    let written = std::fs::read_to_string(&path).expect("a record");
    assert!(written.contains('#'), "a starter is commented");
    wattspring().arg("assess").arg(&path).assert().code(1);
    // An existing record is never overwritten.
    wattspring()
        .arg("new")
        .arg(&path)
        .arg("--no-questions")
        .assert()
        .code(3);
    assert_eq!(std::fs::read_to_string(&path).expect("still there"), written);
}

#[test]
fn a_starter_record_is_written_by_asking() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("asked.job.toml");
    let answers = "Hall bath\n56301\nmany\n100 A\n2\n27 kW\n24 ft\nshower, kitchen-sink\ntank-goes\n";
    let done = wattspring()
        .arg("new")
        .arg(&path)
        .write_stdin(answers)
        .assert()
        .code(0);
    assert!(
        text(&done.get_output().stderr).contains("`many` is not a number"),
        "a bad answer is asked again"
    );
    let page = text(
        &wattspring()
            .arg("assess")
            .arg(&path)
            .assert()
            .code(1)
            .get_output()
            .stdout,
    );
    assert!(page.contains("27 kW"));
}

#[test]
fn rules_are_listed_searched_and_explained() {
    let all = text(&wattspring().arg("rules").assert().code(0).get_output().stdout);
    assert!(all.lines().all(|line| line.chars().count() <= 80));
    let some = text(
        &wattspring()
            .args(["rules", "voltage", "drop"])
            .assert()
            .code(0)
            .get_output()
            .stdout,
    );
    assert!(some.len() < all.len() && some.contains("circuit.voltage-drop"));
    let one = text(
        &wattspring()
            .args(["rules", "circuit.voltage-drop"])
            .assert()
            .code(0)
            .get_output()
            .stdout,
    );
    for part in ["Requires", "Why", "Sources", "Facts it asks for"] {
        assert!(one.contains(part), "{one}");
    }
    wattspring().args(["rules", "zebra"]).assert().code(3);
}
