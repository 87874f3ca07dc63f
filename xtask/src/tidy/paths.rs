//! A path that a document names in backticks exists.
//!
//! In: the Markdown files. Out: paths below a folder of the project that lead nowhere. A path with a placeholder in it
//! (capitals, `*`, `<…>`) is not looked at, and neither is one inside a block of code, which may name output.

use crate::tree::{Problem, Tree};

/// Folders whose paths are checked.
const FOLDERS: [&str; 8] = [
    "crates/",
    "xtask/",
    "data/",
    "checks/",
    "docs/",
    "examples/",
    ".ci/",
    ".cargo/",
];

pub(super) fn check(tree: &Tree) -> Vec<Problem> {
    let mut problems = Vec::new();
    for file in tree.with_ending(".md") {
        let mut in_block = false;
        for (at, line) in file.text.lines().enumerate() {
            if line.trim_start().starts_with("```") {
                in_block = !in_block;
            }
            if in_block {
                continue;
            }
            for path in line.split('`').skip(1).step_by(2).filter(|text| is_path(text)) {
                if !tree.holds(path) {
                    problems.push(Problem::new(
                        &file.path,
                        at + 1,
                        format!("`{path}` does not exist"),
                    ));
                }
            }
        }
    }
    problems
}

fn is_path(text: &str) -> bool {
    let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || "/._-".contains(c);
    FOLDERS.iter().any(|folder| text.starts_with(folder)) && text.chars().all(plain)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_that_leads_nowhere_fails() {
        let text = "See `crates/water/src/friction.rs`, `data/`, `docs/NNNN.md`.\n\n```\n`checks/none.toml`\n```\n\
                    And `data/tables/none.csv`.\n";
        let tree = Tree::of(&[
            ("README.md", text),
            ("crates/water/src/friction.rs", ""),
            ("data/a.csv", ""),
        ]);
        let problems = check(&tree);
        assert_eq!(problems.len(), 1);
        assert_eq!(
            (problems[0].line, problems[0].text.as_str()),
            (6, "`data/tables/none.csv` does not exist")
        );
    }
}
