//! The pure crates touch nothing outside themselves: no files, network, clock, threads, environment, randomness.
//!
//! In: the Rust files of rows 0 to 4 and of those named in `xtask/layers.toml`. Out: code outside tests that names a forbidden
//! part of the standard library, or asks a clock. Reading code, not running it: `cargo xtask wasm` is the second look.

use super::layers::{Layers, pure_crates};
use crate::rust_text::RustText;
use crate::tree::{Problem, Tree};

/// Modules of the standard library that reach outside.
const OUTSIDE: [&str; 6] = ["fs", "net", "thread", "env", "process", "os"];
/// Names that ask a clock or throw dice.
const NAMES: [&str; 6] = ["SystemTime", "Instant", "stdin", "rand", "getrandom", "fastrand"];

pub(super) fn check(tree: &Tree, layers: &Layers) -> Vec<Problem> {
    let mut problems = Vec::new();
    for name in pure_crates(layers) {
        let source = format!("crates/{name}/src/");
        for file in tree
            .with_ending(".rs")
            .filter(|file| file.path.starts_with(&source))
        {
            if is_test_file(&file.path, tree) {
                continue;
            }
            let parts = RustText::new(&file.text);
            for (line, code) in parts.plain_lines() {
                for found in reached(code) {
                    let text = format!("`{found}`: `{name}` may not reach outside; take it as an argument");
                    problems.push(Problem::new(&file.path, line, text));
                }
            }
            problems.extend(grouped(&file.path, &parts, name));
        }
    }
    problems
}

/// Whether a file holds only tests: by its folder, or because a `mod` under `#[cfg(test)]` declares it.
pub(super) fn is_test_file(path: &str, tree: &Tree) -> bool {
    if path.contains("/tests/") || path.contains("/benches/") {
        return true;
    }
    let Some((folder, file)) = path.rsplit_once('/') else {
        return false;
    };
    let name = file.trim_end_matches(".rs");
    let parent = |path: String| tree.text(&path).is_some_and(|text| declares_test(text, name));
    let above = folder.rsplit_once('/').map(|(up, own)| format!("{up}/{own}.rs"));
    let beside = ["lib.rs", "main.rs", "mod.rs"].map(|root| format!("{folder}/{root}"));
    beside.into_iter().chain(above).any(parent)
}

fn declares_test(text: &str, name: &str) -> bool {
    text.contains("#[cfg(test)]") && RustText::new(text).test_modules.iter().any(|one| one == name)
}

/// What a line of code reaches outside, such as `std::fs`.
fn reached(code: &str) -> Vec<String> {
    let mut found = Vec::new();
    for (at, _) in code.match_indices("std::") {
        let module = word_at(&code[at + "std::".len()..]);
        if OUTSIDE.contains(&module) {
            found.push(format!("std::{module}"));
        }
    }
    let mut from = 0;
    while let Some(offset) = code[from..].find(|c: char| c.is_alphabetic() || c == '_') {
        let at = from + offset;
        let word = word_at(&code[at..]);
        let called = code[at + word.len()..].starts_with("()");
        // `now` with a path before it is a clock whatever the type; a variable of that name is not.
        let clock = word == "now" && called && code[..at].ends_with("::");
        if NAMES.contains(&word) || clock {
            found.push(word.to_owned());
        }
        from = at + word.len();
    }
    found
}

/// Modules brought in by a group, `use std::{fs, io}`.
fn grouped(path: &str, parts: &RustText, name: &str) -> Vec<Problem> {
    const GROUP: &str = "std::{";
    let mut problems = Vec::new();
    for (at, _) in parts.code.match_indices(GROUP) {
        let line = parts.code[..at].matches('\n').count() + 1;
        let inside = parts.code[at + GROUP.len()..]
            .split(';')
            .next()
            .unwrap_or_default();
        let mut words = inside.split([',', '{', '}']).map(|item| word_at(item.trim()));
        if let Some(module) = words
            .find(|word| OUTSIDE.contains(word))
            .filter(|_| !parts.is_test(line))
        {
            let text = format!("`std::{module}`: `{name}` may not reach outside; take it as an argument");
            problems.push(Problem::new(path, line, text));
        }
    }
    problems
}

fn word_at(code: &str) -> &str {
    let end = code
        .find(|c: char| !c.is_alphanumeric() && c != '_')
        .unwrap_or(code.len());
    &code[..end]
}

#[cfg(test)]
mod tests {
    use super::super::layers::tests::made_up;
    use super::*;

    fn found(path: &str, text: &str) -> usize {
        check(&Tree::of(&[(path, text)]), &made_up()).len()
    }

    #[test]
    fn reaching_outside_fails_in_a_pure_crate_only() {
        let lines = [
            "let a = std::fs::read(p);",
            "use std::net::TcpStream;",
            "use std::{collections::BTreeMap,\n    thread};",
            "let t = Instant::now;",
            "let t = jiff::Zoned::now();",
            "let x: u8 = rand::random();",
            "let e = std::env::var(n);",
        ];
        for line in lines {
            assert_eq!(found("crates/water/src/a.rs", line), 1, "{line}");
            assert_eq!(found("crates/jobfile/src/a.rs", line), 1, "{line}");
            assert_eq!(
                found("crates/assess/src/a.rs", line),
                0,
                "{line}: above the pure rows in this made-up house"
            );
        }
    }

    #[test]
    fn tests_comments_and_similar_names_pass() {
        let lines = [
            "// std::fs",
            "let s = \"std::thread\";",
            "#[cfg(test)]\nmod tests { use std::fs; }",
            "let operand = 1; let now = instantaneous();",
            "let text = env!(\"CARGO_PKG_VERSION\"); let t = include_str!(\"a.csv\");",
        ];
        for line in lines {
            assert_eq!(found("crates/water/src/a.rs", line), 0, "{line}");
        }
        assert_eq!(found("crates/water/tests/a.rs", "use std::fs;"), 0);
    }

    #[test]
    fn a_test_module_in_its_own_file_is_a_test() {
        let files = [
            ("crates/water/src/lib.rs", "#[cfg(test)]\nmod grid;\nmod path;\n"),
            ("crates/water/src/grid.rs", "use std::fs;"),
            ("crates/water/src/path.rs", "#[cfg(test)]\nmod cases;\n"),
            ("crates/water/src/path/cases.rs", "use std::fs;"),
            ("crates/water/src/path/other.rs", "use std::fs;"),
        ];
        let problems = check(&Tree::of(&files), &made_up());
        assert_eq!(problems.len(), 1);
        assert_eq!(problems[0].path, "crates/water/src/path/other.rs");
    }
}
