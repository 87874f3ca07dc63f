//! What can stand on the page: one type a kind of block.

use super::{Table, Text};
use trace::{Finding, Origin, Severity};

/// One thing on the page.
#[derive(Debug, Clone, PartialEq)]
#[allow(
    clippy::large_enum_variant,
    reason = "a paper holds some hundred blocks once; a box would cost every reader more"
)]
pub enum Block {
    /// A heading.
    Heading(Heading),
    /// Running text.
    Paragraph(Text),
    /// Text that must be seen apart from the rest.
    Callout(Callout),
    /// A table.
    Table(Table),
    /// Terms with their values.
    Definitions(Vec<Definition>),
    /// The result of one check.
    Finding(FindingBlock),
    /// A drawing.
    Figure(Figure),
    /// Blanks to be filled in by hand.
    FillIn(FillIn),
    /// Points one after the other.
    List(List),
    /// What follows begins a new sheet.
    PageBreak,
}

impl Block {
    /// A heading.
    pub fn heading(level: Level, words: impl Into<String>) -> Self {
        Self::Heading(Heading {
            level,
            words: words.into(),
        })
    }

    /// Running text.
    pub fn paragraph(text: impl Into<Text>) -> Self {
        Self::Paragraph(text.into())
    }

    /// A caution.
    pub fn caution(text: impl Into<Text>) -> Self {
        Self::Callout(Callout::new(CalloutKind::Caution, text))
    }

    /// A finding with all its working.
    pub fn finding(finding: Finding) -> Self {
        Self::Finding(FindingBlock {
            finding,
            detail: Detail::Full,
        })
    }

    /// A list.
    pub fn list<T: Into<Text>>(marks: ListMarks, items: impl IntoIterator<Item = T>) -> Self {
        Self::List(List {
            marks,
            items: items.into_iter().map(Into::into).collect(),
        })
    }
}

/// Depth of a heading below the title.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Level {
    /// A part of the paper.
    Part,
    /// A section of a part.
    Section,
    /// A topic of a section.
    Topic,
}

/// A heading. One without words is not printed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Heading {
    /// Its depth.
    pub level: Level,
    /// Its words.
    pub words: String,
}

/// Why a text stands apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum CalloutKind {
    /// Something that can hurt people or property.
    Caution,
    /// The outcome of the paper or of a part, with the worst severity in it.
    Verdict(Severity),
    /// Worth knowing.
    Note,
}

/// Text that must be seen apart from the rest.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Callout {
    /// Why it stands apart.
    pub kind: CalloutKind,
    /// One line saying it all.
    pub title: Option<String>,
    /// The text, by paragraph.
    pub paragraphs: Vec<Text>,
}

impl Callout {
    /// A callout of one paragraph.
    pub fn new(kind: CalloutKind, text: impl Into<Text>) -> Self {
        Self {
            kind,
            title: None,
            paragraphs: vec![text.into()],
        }
    }

    /// The same callout with a title.
    pub fn titled(mut self, title: impl Into<String>) -> Self {
        self.title = Some(title.into());
        self
    }
}

/// A term with its value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Definition {
    /// What it is.
    pub term: String,
    /// The value, as printed; its unit may stand in it or beside it.
    pub value: Text,
    /// The unit, where it is not part of the value.
    pub unit: Option<String>,
    /// How the value entered.
    pub origin: Option<Origin>,
}

impl Definition {
    /// A term with a value.
    pub fn new(term: impl Into<String>, value: impl Into<Text>) -> Self {
        Self {
            term: term.into(),
            value: value.into(),
            unit: None,
            origin: None,
        }
    }

    /// The same definition with its unit beside the value.
    pub fn unit(mut self, unit: impl Into<String>) -> Self {
        self.unit = Some(unit.into());
        self
    }

    /// The same definition, saying how the value entered.
    pub fn origin(mut self, origin: Origin) -> Self {
        self.origin = Some(origin);
        self
    }
}

/// How much of a finding is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Detail {
    /// Everything, with the working.
    Full,
    /// Without working and reason.
    Brief,
}

/// The result of one check.
#[derive(Debug, Clone, PartialEq)]
pub struct FindingBlock {
    /// The result.
    pub finding: Finding,
    /// How much of it is printed.
    pub detail: Detail,
}

/// A drawing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Figure {
    /// The drawing as an SVG document. It is shown as an image and never as part of a page's own markup.
    pub svg: String,
    /// What it shows.
    pub caption: Option<String>,
    /// The same in words, for those who cannot see it.
    pub alt: String,
    /// The same as lines of text, for a terminal.
    pub lines: Vec<String>,
}

/// How long a blank is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum BlankLength {
    /// A figure, a date, initials.
    Short,
    /// A name, a signature, a sentence.
    Long,
}

/// A blank to be filled in by hand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Blank {
    /// What is to be written.
    pub label: String,
    /// How long it is.
    pub length: BlankLength,
    /// The unit, printed behind the blank.
    pub unit: Option<String>,
}

impl Blank {
    /// A blank for a figure, a date, initials.
    pub fn short(label: impl Into<String>) -> Self {
        Self {
            label: label.into(),
            length: BlankLength::Short,
            unit: None,
        }
    }

    /// A blank for a name, a signature, a sentence.
    pub fn long(label: impl Into<String>) -> Self {
        Self {
            length: BlankLength::Long,
            ..Self::short(label)
        }
    }

    /// The same blank with its unit behind it.
    pub fn unit(mut self, unit: impl Into<String>) -> Self {
        self.unit = Some(unit.into());
        self
    }
}

/// Blanks beside each other, as far as they fit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FillIn {
    /// The blanks.
    pub blanks: Vec<Blank>,
}

/// What stands before each point of a list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ListMarks {
    /// The order does not matter.
    Bullets,
    /// The order matters.
    Numbers,
    /// To be ticked by hand.
    CheckBoxes,
}

/// Points one after the other.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct List {
    /// What stands before each.
    pub marks: ListMarks,
    /// The points.
    pub items: Vec<Text>,
}
