//! Our texts never claim that a thing is without danger or lawful.
//!
//! In: data files, string literals outside tests in `crates/`, Markdown, examples. Out: sentences with such a claim.
//! Line breaks do not hide one. A caution that needs the words stands in `xtask/claims_allowed.toml` with a reason, and
//! [`check_allowed`] finds entries of that list that no longer match. Wording only: nothing here checks a figure.

use crate::rust_text::RustText;
use crate::tree::{File, Problem, Tree};
use serde::Deserialize;

const ALLOWED: &str = "xtask/claims_allowed.toml";

/// What a text of ours may not say, English and Spanish.
const CLAIMS: [&str; 20] = [
    concat!("is ", "safe"),
    concat!("are ", "safe"),
    concat!("safe ", "to use"),
    concat!("is ", "legal"),
    concat!("are ", "legal"),
    concat!("is ", "compliant"),
    concat!("are ", "compliant"),
    concat!("code ", "compliant"),
    concat!("code", "-compliant"),
    concat!("complies ", "with"),
    concat!("comply ", "with the code"),
    concat!("meets ", "code"),
    concat!("meets ", "the code"),
    concat!("up to ", "code"),
    concat!("satisfies ", "the code"),
    concat!("approved ", "for use"),
    concat!("es ", "seguro"),
    concat!("es ", "segura"),
    concat!("es ", "legal"),
    concat!("cumple ", "con"),
];

/// The list of exceptions.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct AllowList {
    #[serde(default)]
    allow: Vec<Allowed>,
}

/// One text that may hold such words.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Allowed {
    /// The file.
    path: String,
    /// The words around the claim, line breaks as blanks.
    text: String,
    /// Why they are no claim.
    reason: String,
}

/// Claims that no exception covers.
pub(super) fn check(tree: &Tree) -> Vec<Problem> {
    let list = match allow_list(tree) {
        Ok(list) => list,
        Err(problem) => return vec![problem],
    };
    let mut problems = Vec::new();
    for file in &tree.files {
        for (first_line, text) in texts(file, tree) {
            let flat = Flat::new(first_line, &text);
            for (at, claim) in flat.claims() {
                let covered =
                    |one: &Allowed| one.path == file.path && flat.covers(&one.text, at, claim.len());
                if !list.allow.iter().any(covered) {
                    let text = format!("says “{claim}”: state what was found and who decides instead");
                    problems.push(Problem::new(&file.path, flat.line(at), text));
                }
            }
        }
    }
    problems.sort();
    problems.dedup();
    problems
}

/// Exceptions without a reason, or that match nothing any more.
pub(super) fn check_allowed(tree: &Tree) -> Vec<Problem> {
    let Ok(list) = allow_list(tree) else {
        return Vec::new();
    };
    let mut problems = Vec::new();
    for one in &list.allow {
        let file = tree.files.iter().find(|file| file.path == one.path);
        let parts = file.map(|file| texts(file, tree)).unwrap_or_default();
        let holds = |(line, text): &(usize, String)| {
            let flat = Flat::new(*line, text);
            flat.claims()
                .any(|(at, claim)| flat.covers(&one.text, at, claim.len()))
        };
        if !parts.iter().any(holds) {
            problems.push(Problem::new(
                ALLOWED,
                0,
                format!("“{}” matches nothing in `{}`: remove it", one.text, one.path),
            ));
        }
        if one.reason.trim().is_empty() {
            problems.push(Problem::new(ALLOWED, 0, format!("“{}” has no reason", one.text)));
        }
    }
    problems
}

fn allow_list(tree: &Tree) -> Result<AllowList, Problem> {
    let Some(text) = tree.text(ALLOWED) else {
        return Ok(AllowList::default());
    };
    toml::from_str(text).map_err(|error| Problem::new(ALLOWED, 0, error.to_string()))
}

/// The parts of a file that a user may come to read, with the line each begins on.
fn texts(file: &File, tree: &Tree) -> Vec<(usize, String)> {
    let in_crate = file.path.starts_with("crates/");
    if file.ends_with(".rs") {
        if !in_crate || super::purity::is_test_file(&file.path, tree) {
            return Vec::new();
        }
        let parts = RustText::new(&file.text);
        let plain = parts.strings.iter().filter(|(line, _)| !parts.is_test(*line));
        return plain
            .map(|(line, text)| (*line, text.replace("\\n", "  ")))
            .collect();
    }
    let shown = ["data/", "examples/", "docs/"]
        .iter()
        .any(|folder| file.path.starts_with(folder));
    let template = in_crate && file.path.contains("/src/");
    if shown || template || file.ends_with(".md") {
        return vec![(1, file.text.clone())];
    }
    Vec::new()
}

/// A text on one line in small letters, with the line each byte came from.
struct Flat {
    text: String,
    lines: Vec<usize>,
}

impl Flat {
    fn new(first_line: usize, text: &str) -> Self {
        let (mut flat, mut lines) = (String::new(), Vec::new());
        for (at, line) in text.lines().enumerate() {
            // A string literal may go on after a backslash, a quotation or a comment after its mark.
            let line = line.trim().trim_end_matches('\\').trim_start_matches(['#', '>']);
            for word in line.split_whitespace() {
                flat.extend(word.chars().flat_map(char::to_lowercase));
                flat.push(' ');
                lines.resize(flat.len(), first_line + at);
            }
        }
        Self { text: flat, lines }
    }

    fn line(&self, at: usize) -> usize {
        self.lines.get(at).copied().unwrap_or(0)
    }

    fn claims(&self) -> impl Iterator<Item = (usize, &'static str)> {
        let whole = |at: usize, claim: &str| {
            let letter = |c: char| c.is_alphanumeric();
            !self.text[..at].ends_with(letter) && !self.text[at + claim.len()..].starts_with(letter)
        };
        let found = |claim: &'static str| {
            self.text
                .match_indices(claim)
                .map(|(at, _)| at)
                .collect::<Vec<_>>()
        };
        let all = CLAIMS
            .into_iter()
            .flat_map(move |claim| found(claim).into_iter().map(move |at| (at, claim)));
        all.filter(move |(at, claim)| whole(*at, claim))
    }

    /// Whether an occurrence of `wider` holds the claim at this place.
    fn covers(&self, wider: &str, at: usize, length: usize) -> bool {
        let wider = Flat::new(1, wider).text;
        let wider = wider.trim_end();
        self.text
            .match_indices(wider)
            .any(|(from, _)| from <= at && at + length <= from + wider.len())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lines(files: &[(&str, &str)]) -> Vec<usize> {
        check(&Tree::of(files))
            .into_iter()
            .map(|problem| problem.line)
            .collect()
    }

    #[test]
    fn each_claim_fails_wherever_a_user_reads_it() {
        for claim in CLAIMS {
            assert_eq!(
                lines(&[("data/rules/a.toml", &format!("\ntext = \"It {claim} here\""))]),
                [2],
                "{claim}"
            );
            assert_eq!(
                lines(&[(
                    "crates/a/src/lib.rs",
                    &format!("const A: &str = \"it {claim}.\";")
                )])
                .len(),
                1
            );
            assert_eq!(lines(&[("docs/a.md", &claim.to_uppercase())]).len(), 1);
        }
    }

    #[test]
    fn line_breaks_do_not_hide_a_claim() {
        let (first, second) = CLAIMS[0].split_once(' ').unwrap();
        assert_eq!(
            lines(&[("docs/a.md", &format!("This\ncircuit {first}\n  {second}."))]),
            [2]
        );
        let literal = format!("const A: &str = \"this {first} \\\n    {second}\";");
        assert_eq!(lines(&[("crates/a/src/lib.rs", &literal)]), [1]);
    }

    #[test]
    fn comments_tests_and_longer_words_are_no_claim() {
        let claim = CLAIMS[0];
        let code = format!("//! It {claim}.\n#[cfg(test)]\nmod tests {{ const A: &str = \"{claim}\"; }}\n");
        assert_eq!(lines(&[("crates/a/src/lib.rs", &code)]), [0_usize; 0]);
        assert_eq!(
            lines(&[("crates/a/tests/b.rs", &format!("const A: &str = \"{claim}\";"))]),
            [0_usize; 0]
        );
        assert_eq!(
            lines(&[("docs/a.md", &format!("there {claim}ty in numbers; th{claim}"))]),
            [0_usize; 0]
        );
    }

    #[test]
    fn an_exception_covers_only_its_own_words_and_must_match() {
        let claim = CLAIMS[0];
        let text = format!("Nobody says that it {claim}.\n\nIt {claim}.");
        let allow = format!(
            "[[allow]]\npath = 'docs/a.md'\ntext = 'nobody says that it {claim}'\nreason = 'denies it'\n"
        );
        let files = [("docs/a.md", text.as_str()), (ALLOWED, allow.as_str())];
        assert_eq!(lines(&files), [3]);
        assert_eq!(check_allowed(&Tree::of(&files)), []);
        assert_eq!(check_allowed(&Tree::of(&files[1..])).len(), 1);
        let no_reason = allow.replace("denies it", " ");
        assert_eq!(
            check_allowed(&Tree::of(&[files[0], (ALLOWED, &no_reason)])).len(),
            1
        );
    }
}
