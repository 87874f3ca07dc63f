//! Malformed rule files, each refused with its file, its line and the reason; and files bent at random.
//!
//! `tests/broken/*.toml`: the first line says at which line the complaint must stand and which words it must hold.

use proptest::prelude::*;
use rules::RuleBook;
use std::path::{Path, PathBuf};

fn toml_files(folder: &str) -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let entries = std::fs::read_dir(&folder).unwrap_or_else(|error| panic!("{}: {error}", folder.display()));
    let mut paths: Vec<PathBuf> = entries.map(|entry| entry.expect("an entry").path()).collect();
    paths.sort();
    paths
}

#[test]
fn every_broken_file_is_refused_with_file_line_and_reason() {
    let paths = toml_files("tests/broken");
    assert!(paths.len() >= 30, "{} files", paths.len());
    let mut otherwise = Vec::new();
    for path in paths {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let text = std::fs::read_to_string(&path).unwrap();
        let head = text.lines().next().unwrap().trim_start_matches("# ");
        let (line, words) = head
            .split_once(':')
            .unwrap_or_else(|| panic!("{name}: `# line: words`"));
        let (line, words): (usize, &str) = (line.parse().unwrap(), words.trim());
        let problems = RuleBook::load([(name.as_str(), text.as_str())]).expect_err(&name);
        let said: Vec<String> = problems.iter().map(ToString::to_string).collect();
        let found = problems.iter().any(|problem| {
            problem.file == name && problem.line == line && problem.problem.to_string().contains(words)
        });
        if !found {
            otherwise.push(format!("wanted {line}: {words}\ngot {}", said.join("\n")));
        }
        assert!(said.iter().all(|line| line.starts_with(&format!("{name}:"))));
    }
    assert!(otherwise.is_empty(), "{}", otherwise.join("\n\n"));
}

fn published() -> Vec<String> {
    let paths = toml_files("../../data/rules");
    paths
        .iter()
        .map(|path| std::fs::read_to_string(path).expect("a rule file"))
        .collect()
}

/// The text with a piece taken out, doubled, or something foreign put in.
fn bent(text: &str, (from, length, way): (usize, usize, u8), foreign: &str) -> String {
    let at = |wanted: usize| {
        (0..=wanted.min(text.len()))
            .rev()
            .find(|at| text.is_char_boundary(*at))
            .unwrap_or(0)
    };
    let from = at(from % (text.len() + 1));
    let to = at(from + length);
    match way % 3 {
        0 => format!("{}{}", &text[..from], &text[to..]),
        1 => format!("{}{}{}", &text[..to], &text[from..to], &text[to..]),
        _ => format!("{}{foreign}{}", &text[..from], &text[to..]),
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]
    /// A published file bent at random loads or is refused; a refusal names a place in it. It never panics.
    #[test]
    fn a_bent_file_is_loaded_or_refused_at_a_line(
        which in any::<prop::sample::Index>(),
        cut in (0_usize..200_000, 0_usize..60, any::<u8>()),
        foreign in "[\\[\\]{}\"'a-z0-9 =.,\n°%<>()*/+-]{0,16}",
    ) {
        let files = published();
        let text = bent(&files[which.index(files.len())], cut, &foreign);
        if let Err(problems) = RuleBook::load([("bent.toml", text.as_str())]) {
            prop_assert!(!problems.is_empty());
            let lines = text.lines().count() + 1;
            for problem in problems {
                prop_assert!((1..=lines).contains(&problem.line), "{problem}");
                prop_assert_eq!(&problem.file, "bent.toml");
            }
        }
    }
}
