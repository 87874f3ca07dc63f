//! Every Rust file begins with a `//!` line and stays readable in one sitting.
//!
//! In: the Rust files. Out: files without a header or above the hard limit; [`long_files`] lists those above the aim.
//! Files that are tables or generated (a folder `generated/`, or a name ending in `_table.rs`) may be long.

use crate::tree::{File, Problem, Tree};

/// Lines above which a file is listed.
const AIM: usize = 400;
/// Lines above which a file fails.
const LIMIT: usize = 800;

pub(super) fn check(tree: &Tree) -> Vec<Problem> {
    let mut problems = Vec::new();
    for file in tree.with_ending(".rs") {
        if !file.text.starts_with("//! ") {
            problems.push(Problem::new(
                &file.path,
                1,
                "does not begin with a `//!` line: say what lives here",
            ));
        }
        let lines = file.text.lines().count();
        if lines > LIMIT && !may_be_long(file) {
            problems.push(Problem::new(
                &file.path,
                0,
                format!("{lines} lines, the limit is {LIMIT}: split by subject"),
            ));
        }
    }
    problems
}

/// Files above the aim but within the limit: worth a thought.
pub(super) fn long_files(tree: &Tree) -> Vec<Problem> {
    let files = tree.with_ending(".rs").filter(|file| !may_be_long(file));
    let counted = files.map(|file| (file, file.text.lines().count()));
    let long = counted.filter(|(_, lines)| (AIM + 1..=LIMIT).contains(lines));
    long.map(|(file, lines)| Problem::new(&file.path, 0, format!("{lines} lines, the aim is {AIM}")))
        .collect()
}

fn may_be_long(file: &File) -> bool {
    file.path.contains("/generated/") || file.ends_with("_table.rs")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of_length(path: &str, lines: usize) -> Tree {
        Tree::of(&[(path, &format!("//! Head.\n{}", "fn f() {}\n".repeat(lines - 1)))])
    }

    #[test]
    fn a_file_without_header_fails() {
        for text in [
            "fn f() {}\n",
            "// Not a header.\n",
            "\n//! Late.\n",
            "#![allow(x)]\n//! Late.\n",
        ] {
            assert_eq!(
                check(&Tree::of(&[("crates/a/src/lib.rs", text)])).len(),
                1,
                "{text}"
            );
        }
        assert_eq!(
            check(&Tree::of(&[
                ("crates/a/src/lib.rs", "//! Head.\n"),
                ("a.toml", "")
            ])),
            []
        );
    }

    #[test]
    fn a_giant_fails_and_a_long_file_is_listed() {
        assert_eq!(check(&of_length("crates/a/src/b.rs", LIMIT)), []);
        assert_eq!(check(&of_length("crates/a/src/b.rs", LIMIT + 1)).len(), 1);
        assert_eq!(check(&of_length("crates/a/src/generated/b.rs", LIMIT + 1)), []);
        assert_eq!(long_files(&of_length("crates/a/src/b.rs", AIM)), []);
        assert_eq!(long_files(&of_length("crates/a/src/b.rs", AIM + 1)).len(), 1);
    }
}
