//! Words that may not stand in the project: unfinished code, and places that exist on one machine only.
//!
//! In: all text files, and the folder of this checkout. Out: where such a word stands. Patterns are put together from
//! parts so that this file does not hold them. Cargo's lock file is left out: cargo writes it.

use crate::tree::{Problem, Tree};
use std::path::Path;

/// Marks of unfinished code; looked for in Rust files, comments included.
const UNFINISHED: [&str; 5] = [
    concat!("to", "do!("),
    concat!("unimple", "mented!("),
    concat!("db", "g!("),
    concat!("#[ig", "nore"),
    concat!("FIX", "ME"),
];

/// Hosts of package registries, and words about where a text came from.
const ELSEWHERE: [&str; 7] = [
    concat!("crates", ".io"),
    concat!("deb", ".debian"),
    concat!("py", "pi.org"),
    concat!("registry", ".npmjs"),
    concat!("static", ".rust-lang"),
    concat!("tran", "script"),
    concat!("se", "ed document"),
];

/// Beginnings of absolute paths of somebody's machine.
const PLACES: [&str; 6] = [
    concat!("/ho", "me/"),
    concat!("/ro", "ot/"),
    concat!("/Us", "ers/"),
    concat!("/wo", "rk/"),
    concat!("/fa", "rm/"),
    concat!("/t", "mp/"),
];

pub(super) fn check(tree: &Tree, root: &Path) -> Vec<Problem> {
    let root = root.to_string_lossy();
    let mut problems = Vec::new();
    for file in tree.files.iter().filter(|file| file.path != "Cargo.lock") {
        for (at, line) in file.text.lines().enumerate() {
            let mut found = |text: String| problems.push(Problem::new(&file.path, at + 1, text));
            if file.ends_with(".rs") {
                for word in UNFINISHED.iter().filter(|word| line.contains(**word)) {
                    found(format!("`{word}` may not stay in the code"));
                }
            }
            let small = line.to_lowercase();
            for word in ELSEWHERE.iter().filter(|word| stands_in(&small, word)) {
                found(format!("`{word}` may not stand in the project"));
            }
            let place = PLACES.iter().copied().chain([root.as_ref()]);
            for place in place.filter(|place| place.len() > 1 && begins_path(line, place)) {
                found(format!(
                    "`{place}` is a path of one machine: name it from the project's folder"
                ));
            }
        }
    }
    problems
}

/// Whether the word stands there as a whole: no letter follows, so that a longer word is not meant.
fn stands_in(line: &str, word: &str) -> bool {
    let ends_whole =
        |at: usize| !line[at + word.len()..].starts_with(|c: char| c.is_alphabetic() && c != 's');
    line.match_indices(word).any(|(at, _)| ends_whole(at))
}

/// Whether an absolute path begins like this: nothing stands before it that would make it part of a longer path.
fn begins_path(line: &str, place: &str) -> bool {
    let part_of_path = |c: char| c.is_alphanumeric() || "/._-~}*".contains(c);
    line.match_indices(place)
        .any(|(at, _)| !line[..at].ends_with(part_of_path))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(path: &str, text: &str) -> usize {
        check(&Tree::of(&[(path, text)]), Path::new("/srv/checkout")).len()
    }

    #[test]
    fn unfinished_code_fails_in_rust_files() {
        for word in UNFINISHED {
            assert_eq!(
                found("crates/a/src/lib.rs", &format!("//! Head.\n    {word}")),
                1,
                "{word}"
            );
            assert_eq!(
                found("CONTRIBUTING.md", &format!("we have no {word}")),
                0,
                "{word}"
            );
        }
    }

    #[test]
    fn words_from_elsewhere_fail_in_every_file() {
        for word in ELSEWHERE {
            assert_eq!(
                found("docs/a.md", &format!("see {}.", word.to_uppercase())),
                1,
                "{word}"
            );
        }
        assert_eq!(
            found(
                "docs/a.md",
                &format!("{}ion error, {}s", ELSEWHERE[5], ELSEWHERE[5])
            ),
            1
        );
        assert_eq!(found("docs/a.md", &format!("a {}ion error", ELSEWHERE[5])), 0);
        assert_eq!(found("Cargo.lock", ELSEWHERE[0]), 0);
    }

    #[test]
    fn absolute_paths_fail_and_relative_ones_pass() {
        for place in PLACES {
            assert_eq!(found(".ci/run", &format!("cd {place}x")), 1, "{place}");
            assert_eq!(
                found("docs/a.md", &format!("crates/assess/src{place}plan.rs")),
                0,
                "{place}"
            );
        }
        assert_eq!(found("docs/a.md", "in \"/srv/checkout/target\""), 1);
    }
}
