//! The text taken apart: sections, lines, words, each with its line number.
//!
//! In: text. Out: [`Sections`], or an [`InputTextError`] with the line. Knows the names of sections, not what they mean.

use crate::network::NetworkError;
use std::collections::BTreeMap;

/// Why a text is not read.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum InputTextError {
    /// A line lacks words.
    #[error("line {line}: {section} needs `{missing}`; add it")]
    Missing {
        /// Line, counted from 1.
        line: usize,
        /// Section.
        section: &'static str,
        /// What is missing.
        missing: &'static str,
    },
    /// A word is not a number.
    #[error("line {line}: {what} is `{found}`, not a number")]
    NotANumber {
        /// Line, counted from 1.
        line: usize,
        /// What the word should be.
        what: &'static str,
        /// The word.
        found: String,
    },
    /// A name that nothing has.
    #[error("line {line}: no {what} is called `{name}`; define it or correct the name")]
    UnknownName {
        /// Line, counted from 1.
        line: usize,
        /// Kind of thing.
        what: &'static str,
        /// The name.
        name: String,
    },
    /// A name that two things have.
    #[error("line {line}: a second {what} is called `{name}`; rename one")]
    Twice {
        /// Line, counted from 1.
        line: usize,
        /// Kind of thing.
        what: &'static str,
        /// The name.
        name: String,
    },
    /// Something that this engine has no element for.
    #[error("line {line}: {what} is not supported; remove it or replace it by {instead}")]
    Unsupported {
        /// Line, counted from 1.
        line: usize,
        /// What it is.
        what: String,
        /// What to use instead.
        instead: &'static str,
    },
    /// The network refuses a value.
    #[error("line {line}: {source}")]
    Refused {
        /// Line, counted from 1.
        line: usize,
        /// Why.
        source: NetworkError,
    },
}

/// A part of the text that does not bear on the steady flow at time 0.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeftAside {
    /// Line, counted from 1; of a section its first.
    pub line: usize,
    /// What it is.
    pub what: String,
}

/// One line with its words.
#[derive(Debug, Clone)]
pub(super) struct Line<'a> {
    pub(super) number: usize,
    pub(super) words: Vec<&'a str>,
}

impl<'a> Line<'a> {
    pub(super) fn word(
        &self,
        at: usize,
        section: &'static str,
        what: &'static str,
    ) -> Result<&'a str, InputTextError> {
        self.words.get(at).copied().ok_or(InputTextError::Missing {
            line: self.number,
            section,
            missing: what,
        })
    }

    pub(super) fn number(
        &self,
        at: usize,
        section: &'static str,
        what: &'static str,
    ) -> Result<f64, InputTextError> {
        self.to_number(self.word(at, section, what)?, what)
    }

    /// A number that may be left out.
    pub(super) fn number_or(
        &self,
        at: usize,
        what: &'static str,
        default: f64,
    ) -> Result<f64, InputTextError> {
        self.words
            .get(at)
            .map_or(Ok(default), |word| self.to_number(word, what))
    }

    pub(super) fn to_number(&self, word: &str, what: &'static str) -> Result<f64, InputTextError> {
        word.parse()
            .ok()
            .filter(|number: &f64| number.is_finite())
            .ok_or_else(|| InputTextError::NotANumber {
                line: self.number,
                what,
                found: word.to_owned(),
            })
    }

    pub(super) fn is(&self, at: usize, word: &str) -> bool {
        self.words
            .get(at)
            .is_some_and(|found| found.eq_ignore_ascii_case(word))
    }
}

/// The lines of every section that counts.
#[derive(Debug, Default)]
pub(super) struct Sections<'a> {
    lines: BTreeMap<&'static str, Vec<Line<'a>>>,
    pub(super) left_aside: Vec<LeftAside>,
}

/// Sections that bear on the flow at time 0.
const READ: [&str; 14] = [
    "JUNCTIONS",
    "RESERVOIRS",
    "TANKS",
    "PIPES",
    "PUMPS",
    "VALVES",
    "EMITTERS",
    "DEMANDS",
    "PATTERNS",
    "CURVES",
    "STATUS",
    "CONTROLS",
    "OPTIONS",
    "TIMES",
];
/// Sections that do not.
const ASIDE: [&str; 14] = [
    "TITLE",
    "RULES",
    "ENERGY",
    "QUALITY",
    "SOURCES",
    "REACTIONS",
    "MIXING",
    "REPORT",
    "COORDINATES",
    "VERTICES",
    "LABELS",
    "BACKDROP",
    "TAGS",
    "END",
];
/// Sections of which a line would change the flow in a way this engine does not know.
const UNSUPPORTED: [&str; 2] = ["LEAKAGE", "ROUGHNESS"];

impl<'a> Sections<'a> {
    pub(super) fn of(text: &'a str) -> Result<Self, InputTextError> {
        let mut sections = Self::default();
        let mut current = None;
        for (at, line) in text.lines().enumerate() {
            let number = at + 1;
            let line = line.split(';').next().unwrap_or_default().trim();
            if line.is_empty() {
                continue;
            }
            if let Some(name) = line.strip_prefix('[') {
                current = Some(sections.open(name.trim_end_matches(']'), number)?);
                continue;
            }
            match current {
                Some(Heading::Read(name)) => sections.lines.entry(name).or_default().push(Line {
                    number,
                    words: line.split_whitespace().collect(),
                }),
                Some(Heading::Aside) => {}
                Some(Heading::Unsupported(name)) => {
                    return Err(InputTextError::Unsupported {
                        line: number,
                        what: format!("section {name}"),
                        instead: "emitters",
                    });
                }
                None => {
                    return Err(InputTextError::Missing {
                        line: number,
                        section: "a line",
                        missing: "[SECTION] before it",
                    });
                }
            }
        }
        Ok(sections)
    }

    /// Names may be cut short to their first letters.
    fn open(&mut self, name: &str, line: usize) -> Result<Heading, InputTextError> {
        let name = name.trim().to_ascii_uppercase();
        let find = |list: &[&'static str]| {
            let full = list.iter().find(|known| **known == name);
            let short = || {
                list.iter()
                    .find(|known| name.len() >= 4 && known.starts_with(&name))
            };
            full.or_else(short).copied()
        };
        if let Some(known) = find(&READ) {
            return Ok(Heading::Read(known));
        }
        if let Some(known) = find(&ASIDE) {
            if known != "END" {
                let what = format!("section {known}");
                self.left_aside.push(LeftAside { line, what });
            }
            return Ok(Heading::Aside);
        }
        if let Some(known) = find(&UNSUPPORTED) {
            return Ok(Heading::Unsupported(known));
        }
        Err(InputTextError::UnknownName {
            line,
            what: "section",
            name,
        })
    }

    pub(super) fn lines(&self, name: &str) -> &[Line<'a>] {
        self.lines.get(name).map_or(&[], Vec::as_slice)
    }
}

#[derive(Debug, Clone, Copy)]
enum Heading {
    Read(&'static str),
    Aside,
    Unsupported(&'static str),
}
