//! The corpus of broken records: each tells its problems and their places in its first lines.
//!
//! `# expect: line:column part of the message and fix`, one such line for each problem, in the order of the file. No
//! other problem may appear. The binary records, which no text file can hold, are made here.

use jobfile::{LocatedProblem, SIZE_MAX, Unusable, read};
use std::fs;
use std::path::PathBuf;
use std::time::{Duration, Instant};

fn corpus() -> Vec<PathBuf> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/broken");
    let mut files: Vec<PathBuf> = fs::read_dir(folder)
        .expect("the corpus")
        .map(|file| file.expect("a file").path())
        .collect();
    files.sort();
    files
}

fn refused(bytes: &[u8]) -> Unusable {
    read("broken.job.toml", bytes).expect_err("the record must be refused")
}

#[test]
fn every_broken_record_is_refused_with_its_problems_at_their_places() {
    let files = corpus();
    assert!(files.len() >= 70, "{} records", files.len());
    let mut failures = Vec::new();
    for path in files {
        let name = path.file_name().expect("a name").to_string_lossy().into_owned();
        let text = fs::read_to_string(&path).expect("a text");
        let expected: Vec<&str> = text
            .lines()
            .map_while(|line| line.strip_prefix("# expect: "))
            .collect();
        assert!(!expected.is_empty(), "{name} expects nothing");
        let Err(unusable) = read(&name, text.as_bytes()) else {
            failures.push(format!("{name} is accepted"));
            continue;
        };
        let found: Vec<String> = unusable.problems.iter().map(LocatedProblem::plain).collect();
        let fits = found.len() == expected.len()
            && found.iter().zip(&expected).all(|(found, expected)| {
                let (place, part) = expected
                    .split_once(' ')
                    .expect("a place and a part of the message");
                found.starts_with(&format!("{name}:{place}: ")) && found.contains(part)
            });
        if !fits {
            failures.push(format!(
                "{name}\n  expected:\n    {}\n  found:\n    {}",
                expected.join("\n    "),
                found.join("\n    ")
            ));
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

#[test]
fn every_message_follows_the_house_form() {
    for path in corpus() {
        let unusable = refused(&fs::read(&path).expect("a record"));
        for problem in &unusable.problems {
            let plain = problem.plain();
            for part in [&problem.message, &problem.fix] {
                assert!(!part.is_empty() && !part.ends_with('.'), "{plain}");
                assert!(!part.starts_with(|c: char| c.is_uppercase()), "{plain}");
                assert!(
                    !part.contains("Option<") && !part.contains("struct ") && !part.contains("serde"),
                    "{plain}"
                );
            }
        }
    }
}

#[test]
fn what_is_no_text_is_refused_with_its_place() {
    let says = |bytes: &[u8], place: (usize, usize), part: &str| {
        let unusable = refused(bytes);
        let [problem] = unusable.problems.as_slice() else {
            panic!("{}", unusable.plain())
        };
        assert_eq!((problem.line, problem.column), place, "{}", problem.plain());
        assert!(problem.plain().contains(part), "{}", problem.plain());
    };
    says(b"", (1, 1), "the file is empty");
    says(b"\xef\xbb\xbf \n\t\n", (1, 1), "the file is empty");
    says(
        b"schema = 1\n[site]\nplace = \"caf\xe9\"\n",
        (3, 13),
        "byte `0xE9` at offset 30 is not UTF-8",
    );
    says(b"\xff\xfes\0c\0h\0", (1, 1), "UTF-16");
    says(
        &vec![b'#'; 10_000_000],
        (1, 1),
        "`10000000` bytes, more than the 1048576",
    );
    says(b"schema = 1\n\0\n", (2, 1), "not TOML");
    says(b"schema = 1\n[site]\nplace = \"a\0b\"\n", (3, 11), "not TOML");
    says(b"\x7fELF\x02\x01\x01", (1, 1), "not TOML");
}

#[test]
fn a_byte_order_mark_and_any_line_ending_are_accepted() {
    let job = read(
        "bom",
        b"\xef\xbb\xbfschema = 1\r\n[site]\r\nplace = \"Dayton\"\r\n",
    )
    .expect("a record");
    assert_eq!(job.site.place.as_deref(), Some("Dayton"));
    let unusable = refused(b"\xef\xbb\xbfschema = 1\r\n[site]\r\nplace = 5\r\n");
    assert_eq!(
        (
            unusable.problems[0].line,
            unusable.problems[0].column,
            unusable.problems[0].length
        ),
        (3, 9, 1)
    );
}

/// Records made to cost time or memory: refused, with bounded output, well within a second or two.
#[test]
fn hostile_records_cost_little() {
    let pipe = "{ id = \"\", from = \"x\", to = \"y\", material = \"z\", size = \"1\", length = \"-1\" },\n";
    let junction = "{ id = \"J\" },\n";
    let many = |count: usize, row: &dyn Fn(usize) -> String| (0..count).map(row).collect::<Vec<_>>().concat();
    let numbered = many(900, &|n| format!("{{ id = \"J{n}\" }},\n"));
    let nowhere = many(900, &|n| {
        let ends = format!("from = \"Jx{n}\", to = \"Jy{n}\"");
        format!("{{ id = \"P{n}\", {ends}, material = \"pex\", size = \"1 in\", length = \"1 ft\" }},\n")
    });
    let hostile = [
        (
            "deep lists",
            format!("schema = 1\na = {}{}", "[".repeat(200_000), "]".repeat(200_000)),
        ),
        (
            "deep tables",
            format!("schema = 1\na = {}{}", "{a=".repeat(200_000), "}".repeat(200_000)),
        ),
        (
            "deep dotted key",
            format!("schema = 1\n{}a = 1", "a.".repeat(200_000)),
        ),
        ("deep head", format!("schema = 1\n[{}a]", "a.".repeat(200_000))),
        (
            "open brackets",
            format!("schema = 1\n{}", "a = [\n".repeat(100_000)),
        ),
        (
            "open quotes",
            format!("schema = 1\n{}", "a = \"\n".repeat(100_000)),
        ),
        ("nothing but equals signs", "=\n".repeat(400_000)),
        (
            "one key many times",
            format!("schema = 1\n{}", "a = 1\n".repeat(150_000)),
        ),
        (
            "many unknown keys",
            format!("schema = 1\n{}", many(80_000, &|n| format!("k{n} = 1\n"))),
        ),
        (
            "many wrong items",
            format!("schema = 1\n[piping]\npipes = [\n{}]", pipe.repeat(13_000)),
        ),
        (
            "many numbers",
            format!(
                "schema = 1\n[[together]]\nname = \"x\"\nfixtures = [{}]",
                "1,".repeat(400_000)
            ),
        ),
        (
            "many equal items",
            format!(
                "schema = 1\n[piping]\njunctions = [\n{}]",
                junction.repeat(70_000)
            ),
        ),
        (
            "many texts",
            format!(
                "schema = 1\n[[together]]\nname = \"x\"\nfixtures = [{}]",
                "\"a\",".repeat(100_000)
            ),
        ),
        (
            "pipes to nowhere",
            format!("schema = 1\n[piping]\njunctions = [\n{numbered}]\npipes = [\n{nowhere}]"),
        ),
        (
            "one long text",
            format!("schema = 1\n[about]\ntitle = \"{}\"", "x".repeat(1_000_000)),
        ),
        (
            "one long name",
            format!(
                "schema = 1\n[[fixtures]]\nkind = \"shower\"\nid = \"{}\"",
                "x".repeat(1_000_000)
            ),
        ),
        (
            "one long key",
            format!("schema = 1\n{} = 1", "x".repeat(1_000_000)),
        ),
        (
            "one long number",
            format!(
                "schema = 1\n[loads]\nlaundry_circuits = {}",
                "9".repeat(1_000_000)
            ),
        ),
        (
            "one long quantity",
            format!("schema = 1\n[site]\nelevation = \"{} ft\"", "9".repeat(1_000_000)),
        ),
        (
            "one long line of slips",
            format!("schema = 1\n{}", "a = 01, ".repeat(120_000)),
        ),
    ];
    for (what, text) in hostile {
        assert!(text.len() <= SIZE_MAX, "{what} is refused for its size alone");
        let start = Instant::now();
        let unusable = refused(text.as_bytes());
        let plain = unusable.plain();
        let took = start.elapsed();
        // Debug code on a busy machine; a release build takes a small part of it.
        assert!(took < Duration::from_secs(10), "{what} took {took:?}");
        assert!(
            plain.len() < 40_000,
            "{what} is answered with {} bytes",
            plain.len()
        );
        assert!(unusable.problems.len() <= jobfile::SHOWN_MAX);
        println!(
            "{what}: {took:?}, {unusable}, {}",
            plain.chars().take(300).collect::<String>()
        );
    }
}

#[test]
fn what_is_shown_cannot_move_a_terminal() {
    let unusable =
        refused(b"schema = 1\n\"\\u001b[2J\" = 1\n[about]\nunits = \"\\u001b]0;x\\u0007\\u202e\"\n");
    let shown = unusable.plain() + &rendered(&unusable);
    assert!(
        !shown.contains(|c: char| c.is_control() && c != '\n'),
        "{shown:?}"
    );
    assert!(!shown.contains('\u{202e}'));
    assert_eq!(unusable.problems.len(), 2);
}

fn rendered(unusable: &Unusable) -> String {
    let mut out = String::new();
    let theme = miette::GraphicalTheme::unicode_nocolor();
    miette::GraphicalReportHandler::new_themed(theme)
        .render_report(&mut out, unusable)
        .expect("rendered");
    out
}

#[test]
fn a_problem_is_shown_with_its_line_its_label_and_what_to_do() {
    let text = b"schema = 1\n[site]\nelevation = \"750 psi\"\nhardnes = \"18 gpg\"\n";
    let shown = rendered(&read("larch.job.toml", text).expect_err("refused"));
    for part in [
        "`larch.job.toml` cannot be used: 2 problems",
        "`psi` is not a unit of length",
        "larch.job.toml:3:18",
        "elevation = \"750 psi\"",
        "site.elevation",
        "help: units of length: m, ft",
        "did you mean `hardness`?",
    ] {
        assert!(shown.contains(part), "`{part}` is missing in\n{shown}");
    }
}

#[test]
fn a_line_too_long_to_show_is_told_by_its_place() {
    let text = format!(
        "schema = 1\n[about]\nnotes = \"{}\"\nunits = \"uk\"\n",
        "x".repeat(5_000)
    );
    let shown = rendered(&read("long.job.toml", text.as_bytes()).expect_err("refused"));
    assert!(
        shown.contains("line 4, column 9") && shown.len() < 1_000,
        "{shown}"
    );
}

#[test]
fn problems_that_the_caller_finds_get_their_places_too() {
    let text = b"schema = 1\n[observed]\nwater = { \"water.color\" = \"brown\" }\n";
    let found = |at: &str| {
        let problem = trace::Problem {
            at: at.into(),
            message: "is odd".into(),
            fix: "look again".into(),
        };
        jobfile::read_with("late.job.toml", text, |_| vec![problem])
            .expect_err("a problem")
            .plain()
    };
    assert_eq!(
        found("observed.water.water.color"),
        "late.job.toml:3:27: is odd; look again"
    );
    assert_eq!(found("observed.job"), "late.job.toml:2:1: is odd; look again");
    assert!(jobfile::read_with("late.job.toml", text, |_| Vec::new()).is_ok());
}
