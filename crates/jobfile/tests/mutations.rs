//! Sound records with random edits: never a panic, and either a record or at least one problem inside the file.

use jobfile::{SIZE_MAX, read};
use proptest::prelude::*;

const HOUSE: &str = include_str!("samples/version_1.job.toml");

/// Texts to put in: what people type, and what nobody should.
const PIECES: [&str; 40] = [
    "",
    " ",
    "\n",
    "=",
    "\"",
    "'",
    "\"\"\"",
    "[",
    "]",
    "[[",
    "]]",
    "{",
    "}",
    ",",
    ".",
    "#",
    "\\",
    "\u{0}",
    "\u{1b}[2J",
    "°F",
    "\u{202e}",
    "\u{feff}",
    "5",
    "-1",
    "1e999",
    "nan",
    "true",
    "2026-05-14",
    "\"5 ft\"",
    "\"5 psi\"",
    "\"nowhere\"",
    "[]",
    "{}",
    "[[fixtures]]",
    "[site]",
    "schema = 1",
    "id = \"x\"",
    "about",
    "= =",
    "\r\n",
];

/// Words, numbers, quotes, signs and blanks, as they follow one another.
fn tokens(text: &str) -> Vec<&str> {
    let mut tokens = Vec::new();
    let mut rest = text;
    while let Some(first) = rest.chars().next() {
        let kind = |c: char| (c.is_alphanumeric() || c == '_' || c == '-', c.is_whitespace());
        let same = kind(first);
        let end = if same == (false, false) {
            first.len_utf8()
        } else {
            rest.find(|c| kind(c) != same).unwrap_or(rest.len())
        };
        let (token, after) = rest.split_at(end);
        tokens.push(token);
        rest = after;
    }
    tokens
}

/// One random edit of a list of tokens.
fn edit(tokens: &mut Vec<String>, how: u8, here: usize, there: usize, piece: &str) {
    if tokens.is_empty() {
        return;
    }
    let (here, there) = (here % tokens.len(), there % tokens.len());
    match how % 6 {
        0 => drop(tokens.remove(here)),
        1 => tokens.insert(there, tokens[here].clone()),
        2 => piece.clone_into(&mut tokens[here]),
        3 => tokens.swap(here, there),
        4 => tokens[here] = tokens[there].clone(),
        _ => tokens.truncate(here),
    }
}

fn answered(text: &str) -> Result<(), TestCaseError> {
    match read("mutant.job.toml", text.as_bytes()) {
        Ok(job) => {
            // What is accepted is written and read back.
            let written = jobfile::write(&job);
            prop_assert_eq!(
                read("written", written.as_bytes()).map_err(|error| TestCaseError::fail(error.plain()))?,
                job
            );
        }
        Err(unusable) => {
            prop_assert!(!unusable.problems.is_empty());
            let text = text.strip_prefix('\u{feff}').unwrap_or(text);
            let lines: Vec<&str> = text.split('\n').collect();
            let mut last = 0;
            for problem in &unusable.problems {
                prop_assert!(
                    problem.offset + problem.length <= text.len(),
                    "{}",
                    problem.plain()
                );
                prop_assert!((1..=lines.len()).contains(&problem.line), "{}", problem.plain());
                let width = lines[problem.line - 1].chars().count();
                prop_assert!((1..=width + 1).contains(&problem.column), "{}", problem.plain());
                prop_assert!(problem.offset >= last, "problems are in the order of the file");
                prop_assert!(
                    !problem.message.contains("does not fit its form"),
                    "{}",
                    problem.plain()
                );
                last = problem.offset;
            }
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn an_edited_record_is_read_or_its_problems_lie_in_the_file(
        edits in prop::collection::vec((any::<u8>(), any::<usize>(), any::<usize>(), 0..PIECES.len()), 1..5),
    ) {
        let mut tokens: Vec<String> = tokens(HOUSE).into_iter().map(str::to_owned).collect();
        for (how, here, there, piece) in edits {
            edit(&mut tokens, how, here, there, PIECES[piece]);
        }
        let text = tokens.concat();
        prop_assume!(text.len() <= SIZE_MAX);
        answered(&text)?;
    }

    #[test]
    fn a_record_with_one_token_exchanged_is_read_or_its_problems_lie_in_the_file(
        here in any::<usize>(), piece in 0..PIECES.len(),
    ) {
        let mut tokens: Vec<String> = tokens(HOUSE).into_iter().map(str::to_owned).collect();
        edit(&mut tokens, 2, here, 0, PIECES[piece]);
        answered(&tokens.concat())?;
    }

    #[test]
    fn any_text_is_answered(text in "(?s).{0,200}") {
        answered(&text)?;
        answered(&format!("schema = 1\n{text}"))?;
    }

    #[test]
    fn any_bytes_are_answered(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        if let Err(unusable) = read("bytes", &bytes) {
            prop_assert!(!unusable.problems.is_empty());
        }
    }
}
