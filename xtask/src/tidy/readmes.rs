//! Every crate has a short README: what it is for, a line to run, what it may depend on.
//!
//! In: the folders of the crates. Out: a README that is missing, does not begin with the crate's name, or is long.

use super::layers::Member;
use crate::tree::{Problem, Tree};

/// Lines above which a README is no longer short.
const LIMIT: usize = 30;

pub(super) fn check(tree: &Tree, members: &[Member]) -> Vec<Problem> {
    let mut problems = Vec::new();
    for member in members {
        let path = format!("{}/README.md", member.folder);
        let Some(text) = tree.text(&path) else {
            problems.push(Problem::new(
                path,
                0,
                "is missing: purpose, a line to run, what the crate may depend on",
            ));
            continue;
        };
        if text.lines().next() != Some(&format!("# {}", member.name)) {
            problems.push(Problem::new(
                &path,
                1,
                format!("does not begin with `# {}`", member.name),
            ));
        }
        let lines = text.lines().count();
        if lines > LIMIT {
            problems.push(Problem::new(
                &path,
                0,
                format!("{lines} lines, the limit is {LIMIT}: the rest belongs in the code"),
            ));
        }
    }
    problems
}

#[cfg(test)]
mod tests {
    use super::super::layers::tests::member;
    use super::*;

    fn found(files: &[(&str, &str)]) -> usize {
        check(&Tree::of(files), &[member("water", &[])]).len()
    }

    #[test]
    fn a_missing_misnamed_or_long_readme_fails() {
        const PATH: &str = "crates/water/README.md";
        assert_eq!(found(&[]), 1);
        assert_eq!(found(&[(PATH, "# Water engine\n")]), 1);
        assert_eq!(
            found(&[(PATH, &format!("# water\n{}", "line\n".repeat(LIMIT)))]),
            1
        );
        assert_eq!(found(&[(PATH, "# water\n\nText.\n")]), 0);
    }
}
