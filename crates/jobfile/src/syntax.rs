//! Text that is not TOML: what is wrong, where, and how the line would be right.
//!
//! In: the errors of the TOML reader, which goes on after each. Out: those worth telling. One slip, such as a bracket
//! that is not closed, makes good lines after it look bad; so after the first error a line is reported only when it is
//! no TOML by itself.

use crate::faults::Faults;
use crate::words::clipped;
use std::ops::Range;
use toml::de::{DeTable, Error};
use trace::RecordPath;

/// Most syntax errors that are worth telling at once.
const TOLD_MAX: usize = 20;

pub(crate) fn tell(text: &str, errors: Vec<Error>, faults: &mut Faults) {
    let mut errors: Vec<(Range<usize>, Error)> = errors
        .into_iter()
        .map(|error| (error.span().unwrap_or(0..0), error))
        .collect();
    errors.sort_by_key(|(span, _)| span.start);
    let mut told: Option<usize> = None;
    let mut count = 0;
    let mut lost = false;
    for (span, error) in errors {
        let (start, line) = line_around(text, span.start);
        if count == TOLD_MAX {
            break;
        }
        if told == Some(start) {
            continue;
        }
        let duplicate = error.message().starts_with("duplicate key");
        let own = if duplicate {
            !lost
        } else {
            told.is_none() || DeTable::parse(line).is_err()
        };
        if own {
            told = Some(start);
            count += 1;
            lost |= !duplicate;
            faults.add(&span, &RecordPath::root(), || {
                words(text, &span, line, error.message())
            });
        }
    }
}

/// The line that holds byte `at`, and where it begins.
fn line_around(text: &str, at: usize) -> (usize, &str) {
    let at = text.floor_char_boundary(at);
    let start = text[..at].rfind('\n').map_or(0, |newline| newline + 1);
    let end = text[at..].find('\n').map_or(text.len(), |newline| at + newline);
    (start, &text[start..end])
}

fn words(text: &str, span: &Range<usize>, line: &str, message: &str) -> (String, String) {
    if message.starts_with("duplicate key") {
        let key = clipped(text.get(span.clone()).unwrap_or_default());
        return (
            format!("`{key}` is given twice"),
            "keep one; a list of alike things is written with double brackets, as in [[fixtures]]".into(),
        );
    }
    if message.contains("recursi") {
        return (
            "values are nested deeper than any record needs".into(),
            "take the inner brackets away".into(),
        );
    }
    let fix = if message.starts_with("invalid date") || message.starts_with("invalid time") {
        "write year, month and day, such as `2026-05-14`".into()
    } else if line.trim_start().starts_with('[') && DeTable::parse(line).is_ok() {
        // The line is good; what stands before it swallows it.
        "a list, table or text above is not closed; look for the missing bracket or quote".into()
    } else if let Some(mended) = mended(line) {
        format!("did you mean `{}`?", clipped(&mended))
    } else {
        "a line says `name = value`; text stands in double quotes, lists in [ ], tables in { }".into()
    };
    (format!("this is not TOML: {message}"), fix)
}

/// The line with one usual slip mended, when that makes it right.
fn mended(line: &str) -> Option<String> {
    let line = line.trim();
    let (name, value) = line
        .split_once('=')
        .map_or((line, None), |(name, value)| (name.trim(), Some(value.trim())));
    let candidates = match value {
        Some(value) if value.starts_with('[') => vec![format!("{line}]")],
        Some(value) if value.starts_with('{') => vec![format!("{line} }}")],
        Some(value)
            if value
                .chars()
                .all(|c| c.is_ascii_digit() || matches!(c, ',' | '-')) =>
        {
            vec![format!("{name} = {}", value.replace(',', "."))]
        }
        Some(value) => vec![format!(
            "{name} = \"{}\"",
            value.trim_matches(['"', '“', '”', '„'])
        )],
        None => vec![format!("{line}]"), format!("{line}]]"), format!("[{line}")],
    };
    candidates
        .into_iter()
        .find(|candidate| DeTable::parse(candidate).is_ok())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn usual_slips_are_mended() {
        assert_eq!(mended("length = 50 ft").as_deref(), Some("length = \"50 ft\""));
        assert_eq!(
            mended("title = \"Larch Lane").as_deref(),
            Some("title = \"Larch Lane\"")
        );
        assert_eq!(
            mended("title = Larch Lane\"").as_deref(),
            Some("title = \"Larch Lane\"")
        );
        assert_eq!(
            mended("title = “Larch Lane”").as_deref(),
            Some("title = \"Larch Lane\"")
        );
        assert_eq!(mended("[site").as_deref(), Some("[site]"));
        assert_eq!(mended("[[fixtures]").as_deref(), Some("[[fixtures]]"));
        assert_eq!(mended("elements = [1, 2").as_deref(), Some("elements = [1, 2]"));
        assert_eq!(mended("latitude = 39,76").as_deref(), Some("latitude = 39.76"));
        assert_eq!(mended("what is this"), None);
    }
}
