//! What is on the page, not how: a title, the facts of the head, and blocks one after the other.
//!
//! In: figures and sentences that are already worked out and worded. Out: a [`Document`] that every printer takes.
//! Start at [`Document`], then [`Block`]. Knows no color, font, paper or markup; knows no job and no rule.
//! Findings enter as [`trace::Finding`], unchanged, so that no printer can soften one.

mod block;
mod table;
mod text;

pub use block::{
    Blank, BlankLength, Block, Callout, CalloutKind, Definition, Detail, Figure, FillIn, FindingBlock,
    Heading, Level, List, ListMarks,
};
pub use table::{Align, Column, ColumnWidth, Row, RowRole, Table};
pub use text::{Span, Text, Weight};

use crate::words::{Language, Words};
use quantity::UnitSystem;

/// A paper.
#[derive(Debug, Clone, PartialEq)]
pub struct Document {
    /// What the paper is.
    pub title: String,
    /// More about it.
    pub subtitle: Option<String>,
    /// Which job, which state of it, when and by whom.
    pub head: Head,
    /// The reader's units; they decide the sheet: US letter or A4.
    pub units: UnitSystem,
    /// The language of the text.
    pub language: Language,
    /// Printed on every sheet. `None` prints the standing caution of the language; there is always one.
    pub caution: Option<String>,
    /// Set smaller and closer in print, for a paper meant to hang on one sheet.
    pub tight: bool,
    /// What stands on the page.
    pub blocks: Vec<Block>,
}

/// Which job, which state of it, when and by whom.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Head {
    /// The job.
    pub job: String,
    /// The revision of its record.
    pub revision: Option<String>,
    /// The edition of the code the findings were worked out by.
    pub edition: Option<String>,
    /// The date of the paper.
    pub date: jiff::civil::Date,
    /// Who prepared it.
    pub prepared_by: Option<String>,
    /// Further facts, such as the address; printed on the first sheet only.
    pub further: Vec<HeadFact>,
}

/// A further fact of the head.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HeadFact {
    /// What it is.
    pub label: String,
    /// The fact.
    pub value: String,
}

impl Head {
    /// The head of a paper of which only job and date are known.
    pub fn new(job: impl Into<String>, date: jiff::civil::Date) -> Self {
        Self {
            job: job.into(),
            revision: None,
            edition: None,
            date,
            prepared_by: None,
            further: Vec::new(),
        }
    }

    /// The same head with a further fact.
    pub fn fact(mut self, label: impl Into<String>, value: impl Into<String>) -> Self {
        self.further.push(HeadFact {
            label: label.into(),
            value: value.into(),
        });
        self
    }

    /// All facts that are known, labeled, in the order of print.
    pub(crate) fn facts(&self, words: &'static Words) -> Vec<HeadFact> {
        let known = [
            (words.job, Some(self.job.clone())),
            (words.revision, self.revision.clone()),
            (words.edition, self.edition.clone()),
            (words.date, Some(self.date.to_string())),
            (words.prepared_by, self.prepared_by.clone()),
        ];
        known
            .into_iter()
            .filter_map(|(label, value)| {
                Some(HeadFact {
                    label: label.to_owned(),
                    value: value?,
                })
            })
            .chain(self.further.iter().cloned())
            .collect()
    }
}

impl Document {
    /// A paper without blocks, in US units and English.
    pub fn new(title: impl Into<String>, head: Head) -> Self {
        Self {
            title: title.into(),
            subtitle: None,
            head,
            units: UnitSystem::Us,
            language: Language::English,
            caution: None,
            tight: false,
            blocks: Vec::new(),
        }
    }

    /// Adds a block.
    pub fn push(&mut self, block: Block) {
        self.blocks.push(block);
    }

    /// The caution printed on every sheet.
    pub fn caution(&self) -> &str {
        self.caution
            .as_deref()
            .filter(|caution| !crate::legible::is_blank(caution))
            .unwrap_or(self.language.words().standing_caution)
    }

    /// The title, or the job where there is none: a paper without a name cannot be filed.
    pub(crate) fn name(&self) -> &str {
        [self.title.as_str(), self.head.job.as_str()]
            .into_iter()
            .find(|name| !crate::legible::is_blank(name))
            .unwrap_or(self.language.words().untitled)
    }

    /// The blocks with the depth each stands at: for a heading its own, for others that of the heading above.
    ///
    /// Depths start at 1 and never skip one, whatever levels were asked for: readers by ear rely on it. Headings
    /// without words are left out.
    pub(crate) fn outline(&self) -> impl Iterator<Item = (u8, &Block)> {
        let mut depth = 0;
        self.blocks.iter().filter_map(move |block| {
            if let Block::Heading(heading) = block {
                if crate::legible::is_blank(&heading.words) {
                    return None;
                }
                depth = (depth + 1).min(heading.level as u8 + 1);
            }
            Some((depth, block))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn document(levels: &[(Level, &str)]) -> Document {
        let mut document = Document::new("t", Head::new("j", jiff::civil::date(2026, 3, 14)));
        for (level, words) in levels {
            document.push(Block::heading(*level, *words));
        }
        document
    }

    #[test]
    fn outline_never_skips_a_depth() {
        let document = document(&[
            (Level::Topic, "a"),
            (Level::Topic, "b"),
            (Level::Part, " "),
            (Level::Topic, "c"),
            (Level::Part, "d"),
            (Level::Topic, "e"),
        ]);
        let depths: Vec<u8> = document.outline().map(|(depth, _)| depth).collect();
        assert_eq!(depths, [1, 2, 3, 1, 2]);
    }

    #[test]
    fn a_paper_always_has_a_name_and_a_caution() {
        let mut document = document(&[]);
        document.title = " \u{7}\u{feff} ".to_owned();
        document.caution = Some("  ".to_owned());
        assert_eq!(document.caution(), Language::English.words().standing_caution);
        document.head.job = String::new();
        assert!(!document.name().trim().is_empty());
    }
}
