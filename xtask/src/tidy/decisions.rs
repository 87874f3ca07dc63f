//! Decisions are numbered without gaps, short, and say everything a decision must.
//!
//! In: the files of `docs/decisions/`. Out: those that break the form. Whether a decision is right is for people.

use crate::tree::{Problem, Tree};

const FOLDER: &str = "docs/decisions/";
const LIMIT: usize = 60;
const HEADINGS: [&str; 5] = [
    "## Question",
    "## Options",
    "## Choice",
    "## Consequence",
    "## What would change our mind",
];

pub(super) fn check(tree: &Tree) -> Vec<Problem> {
    let mut problems = Vec::new();
    let files = tree
        .with_ending(".md")
        .filter(|file| file.path.starts_with(FOLDER));
    for (at, file) in files.enumerate() {
        let mut found = |text: String| problems.push(Problem::new(&file.path, 0, text));
        let number = format!("{:04}", at + 1);
        if !file.path[FOLDER.len()..].starts_with(&format!("{number}-")) {
            found(format!(
                "the next number is {number}: numbers have no gap and are not used twice"
            ));
        }
        if !file.text.starts_with(&format!("# {number} ")) {
            found(format!("does not begin with `# {number} title`"));
        }
        for heading in HEADINGS
            .iter()
            .filter(|heading| !file.text.lines().any(|line| line == **heading))
        {
            found(format!("lacks `{heading}`"));
        }
        let lines = file.text.lines().count();
        if lines > LIMIT {
            found(format!("{lines} lines, the limit is {LIMIT}"));
        }
    }
    problems
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn form_number_and_length_are_checked() {
        let text = format!("# 0001 A title\n{}\n", HEADINGS.join("\n"));
        let found = |path: &str, text: &str| check(&Tree::of(&[(path, text)])).len();
        assert_eq!(found("docs/decisions/0001-a.md", &text), 0);
        assert_eq!(found("docs/decisions/0002-a.md", &text), 1);
        assert_eq!(
            found("docs/decisions/0001-a.md", &text.replace("0001", "0002")),
            1
        );
        assert_eq!(
            found(
                "docs/decisions/0001-a.md",
                &text.replace("## Choice", "## Chosen")
            ),
            1
        );
        assert_eq!(
            found(
                "docs/decisions/0001-a.md",
                &(text.clone() + &"more\n".repeat(LIMIT))
            ),
            1
        );
        let two = [
            ("docs/decisions/0001-a.md", text.as_str()),
            ("docs/decisions/0001-b.md", text.as_str()),
        ];
        assert_eq!(check(&Tree::of(&two)).len(), 2);
    }
}
