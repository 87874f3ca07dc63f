//! Every manifest takes the house lints and the shared version, edition and licence.
//!
//! In: the manifests. Out: those that leave out one of them. The house lints forbid `unwrap` outside tests, unsafe code
//! and printing; clippy enforces them only where the crate opts in.

use super::layers::Member;
use crate::tree::{Problem, Tree};

/// Lines every manifest has.
const NEEDED: [&str; 5] = [
    "[lints]\nworkspace = true",
    "version.workspace = true",
    "edition.workspace = true",
    "license.workspace = true",
    "publish.workspace = true",
];

pub(super) fn check(tree: &Tree, members: &[Member]) -> Vec<Problem> {
    let mut problems = Vec::new();
    for member in members {
        let path = format!("{}/Cargo.toml", member.folder);
        let text = tree.text(&path).unwrap_or_default();
        for needed in NEEDED.iter().filter(|needed| !text.contains(**needed)) {
            problems.push(Problem::new(
                &path,
                0,
                format!("lacks `{}`", needed.replace('\n', " ")),
            ));
        }
    }
    problems
}

#[cfg(test)]
mod tests {
    use super::super::layers::tests::member;
    use super::*;

    #[test]
    fn a_manifest_without_the_shared_lines_fails() {
        let full = NEEDED.join("\n");
        let members = [member("water", &[])];
        assert_eq!(
            check(&Tree::of(&[("crates/water/Cargo.toml", &full)]), &members),
            []
        );
        for needed in NEEDED {
            let tree = Tree::of(&[("crates/water/Cargo.toml", &full.replace(needed, ""))]);
            assert_eq!(check(&tree, &members).len(), 1, "{needed}");
        }
    }
}
