//! Names and texts: short names that are one of a kind, references that lead somewhere, texts that can be printed.
//!
//! In: the names of a list, a text of the record. Out: problems. Start at [`Names`], for references, and
//! [`short_names`], for ids. Knows no subject.

use super::Problems;
use std::collections::{BTreeMap, BTreeSet};
use trace::RecordPath;

/// Most characters of a short name: it must fit on a valve tag and in a drawing.
const SHORT_NAME_MAX: usize = 40;
/// Most characters of a title.
pub(super) const TITLE_MAX: usize = 500;
/// Most characters of any other line.
pub(super) const LINE_MAX: usize = 200;
/// Most characters of a remark.
pub(super) const REMARK_MAX: usize = 10_000;

/// The names of one list, for resolving references to them.
#[derive(Debug)]
pub(super) struct Names<'a> {
    /// What one of them is: "junction".
    what: &'static str,
    /// Where they stand, as the record writes it, in backticks.
    list: &'static str,
    all: Vec<&'a str>,
}

impl<'a> Names<'a> {
    pub(super) fn new(
        what: &'static str,
        list: &'static str,
        names: impl IntoIterator<Item = &'a str>,
    ) -> Self {
        let mut all: Vec<&str> = names.into_iter().collect();
        all.sort_unstable();
        all.dedup();
        Self { what, list, all }
    }

    pub(super) fn contain(&self, name: &str) -> bool {
        self.all.binary_search(&name).is_ok()
    }

    /// The name written at `at` must be one of these. Gives whether it is.
    pub(super) fn resolve(
        &self,
        at: &RecordPath,
        subject: &str,
        name: &str,
        problems: &mut Problems,
    ) -> bool {
        if self.contain(name) {
            return true;
        }
        let (what, list) = (self.what, self.list);
        let near = if problems.few() { self.nearest(name) } else { None };
        let fix = match near {
            Some(near) => format!("did you mean `{near}`? otherwise add it under {list}"),
            None => format!("{}, or add it under {list}", self.known()),
        };
        problems.add(
            at.clone(),
            format!(
                "{subject} names {what} `{}`, which the record does not have",
                quoted(name)
            ),
            fix,
        );
        false
    }

    /// The one name that is nearest, when it is near and no other is as near.
    fn nearest(&self, name: &str) -> Option<&'a str> {
        nearest(name, self.all.iter().copied())
    }

    fn known(&self) -> String {
        const LISTED_MAX: usize = 6;
        if self.all.is_empty() {
            return format!("leave it out while the record has no {}", self.what);
        }
        let listed: Vec<String> = self
            .all
            .iter()
            .take(LISTED_MAX)
            .map(|name| format!("`{}`", quoted(name)))
            .collect();
        let more = if self.all.len() > LISTED_MAX { ", …" } else { "" };
        format!("name one of {}{more}", listed.join(", "))
    }
}

/// The one of `names` that is nearest to `name`, when it is near and no other is as near.
fn nearest<'a>(name: &str, names: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let wanted: String = name
        .chars()
        .take(SHORT_NAME_MAX)
        .flat_map(char::to_lowercase)
        .collect();
    // One slip in four letters; of shorter names only another case is near.
    let far = wanted.chars().count() / 4;
    let mut best: Option<(usize, &str)> = None;
    let mut alone = true;
    for candidate in names.filter(|candidate| candidate.len() <= 2 * SHORT_NAME_MAX) {
        let distance = strsim::osa_distance(&wanted, &candidate.to_lowercase());
        match best {
            Some((least, _)) if distance > least => {}
            Some((least, _)) if distance == least => alone = false,
            _ => (best, alone) = (Some((distance, candidate)), true),
        }
    }
    best.filter(|(distance, _)| alone && *distance <= far)
        .map(|(_, name)| name)
}

/// A list of references: each must resolve, and stand there once.
pub(super) fn references(
    list: &RecordPath,
    subject: &str,
    references: &[String],
    names: &Names<'_>,
    problems: &mut Problems,
) {
    let mut seen = BTreeSet::new();
    for (index, name) in references.iter().enumerate() {
        if seen.insert(name.as_str()) {
            names.resolve(&list.item(index), subject, name, problems);
        } else {
            problems.add(
                list.item(index),
                format!("{subject} names {} `{}` twice", names.what, quoted(name)),
                "name it once".into(),
            );
        }
    }
}

/// Short names of a list must be well formed and one of a kind. `field` is where each item holds its name.
pub(super) fn short_names<'a>(
    list: &RecordPath,
    field: &str,
    what: &str,
    names: impl IntoIterator<Item = &'a str>,
    problems: &mut Problems,
) {
    let mut first_at: BTreeMap<&str, usize> = BTreeMap::new();
    for (index, name) in names.into_iter().enumerate() {
        let at = list.item(index).field(field);
        if name.is_empty() {
            problems.add(
                at,
                format!("the `{field}` of a {what} is empty"),
                "give it a short name, such as `kitchen-2`".into(),
            );
        } else if let Some(fault) = fault_of_short_name(name) {
            problems.add(
                at,
                format!("`{}` cannot be the `{field}` of a {what}: {fault}", quoted(name)),
                format!("use up to {SHORT_NAME_MAX} letters, digits, `-`, `_` or `.`, such as `kitchen-2`"),
            );
        } else if let Some(first) = first_at.insert(name, index) {
            problems.add(
                at,
                format!(
                    "`{name}` is already the `{field}` of {what} {} in `{list}`",
                    first + 1
                ),
                "give each its own, and check which of them is meant elsewhere".into(),
            );
        }
    }
}

fn fault_of_short_name(name: &str) -> Option<&'static str> {
    let allowed = |c: char| c.is_alphanumeric() || matches!(c, '-' | '_' | '.');
    if name.chars().count() > SHORT_NAME_MAX {
        Some("it is too long for a tag")
    } else if !name.starts_with(char::is_alphanumeric) {
        Some("it does not begin with a letter or digit")
    } else if !name.chars().all(allowed) {
        Some("it holds spaces or signs")
    } else {
        None
    }
}

/// A text of one line that must not be empty.
pub(super) fn line(at: &RecordPath, what: &str, text: &str, problems: &mut Problems) {
    if text.trim().is_empty() {
        problems.add(
            at.clone(),
            format!("{what} is empty"),
            "say in words what it is".into(),
        );
    } else {
        text_of(at, what, text, LINE_MAX, false, problems);
    }
}

/// A text of one line that may be left out.
pub(super) fn optional_line(at: &RecordPath, what: &str, text: Option<&String>, problems: &mut Problems) {
    if let Some(text) = text {
        line(at, what, text, problems);
    }
}

/// A remark of any number of lines.
pub(super) fn remark(at: &RecordPath, what: &str, text: Option<&String>, problems: &mut Problems) {
    if let Some(text) = text {
        text_of(at, what, text, REMARK_MAX, true, problems);
    }
}

/// A text must fit its place and hold only what prints.
pub(super) fn text_of(
    at: &RecordPath,
    what: &str,
    text: &str,
    longest: usize,
    lines: bool,
    problems: &mut Problems,
) {
    let count = text.chars().count();
    if count > longest {
        problems.add(
            at.clone(),
            format!(
                "{what} has {count} characters (`{}`), more than the {longest} that fit",
                quoted(text)
            ),
            "shorten it, and move the rest to `notes`".into(),
        );
    }
    let unprintable = |c: &char| unprintable(*c) && !(lines && matches!(c, '\n' | '\r' | '\t'));
    if let Some(c) = text.chars().find(unprintable) {
        problems.add(
            at.clone(),
            format!(
                "{what} holds the character `U+{:04X}`, which does not print",
                u32::from(c)
            ),
            "type the text again without it".into(),
        );
    }
}

/// Control characters, and the marks that reorder text so that a paper shows other words than the record holds.
fn unprintable(c: char) -> bool {
    c.is_control() || matches!(c, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// The beginning of a text, as quoted in messages.
pub(super) fn quoted(text: &str) -> String {
    const QUOTED_MAX: usize = 40;
    if text.chars().count() <= QUOTED_MAX {
        text.to_owned()
    } else {
        text.chars().take(QUOTED_MAX).chain(['…']).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_near_name_is_offered_only_when_it_is_alone() {
        assert_eq!(
            nearest("kichen", ["kitchen", "bath"].into_iter()),
            Some("kitchen")
        );
        assert_eq!(nearest("Bath", ["kitchen", "bath"].into_iter()), Some("bath"));
        assert_eq!(nearest("V9", ["V1", "V2"].into_iter()), None);
        assert_eq!(nearest("garage", ["kitchen", "bath"].into_iter()), None);
    }

    #[test]
    fn short_names_keep_their_form() {
        for good in ["K1", "far-bath.hot", "2", "baño_1"] {
            assert_eq!(fault_of_short_name(good), None, "{good}");
        }
        for bad in [" ", "-a", "a b", "a\tb", "a/b", "a`b", &"x".repeat(41)] {
            assert!(fault_of_short_name(bad).is_some(), "{bad:?}");
        }
    }
}
