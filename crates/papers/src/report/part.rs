//! A part of the report: its heading, its blocks, and what had to be left out of it.
//!
//! A part without blocks is not printed; its gaps are, with those of all other parts, in one list.

use super::Sheet;
use super::phrases::Gap;
use crate::document::{Block, Figure, Level, ListMarks, Text};

/// A part of the report.
pub(super) struct Part {
    heading: &'static str,
    blocks: Vec<Block>,
    gaps: Vec<&'static Gap>,
}

impl Part {
    /// A part with nothing in it yet.
    pub(super) fn new(heading: &'static str) -> Self {
        Self {
            heading,
            blocks: Vec::new(),
            gaps: Vec::new(),
        }
    }

    /// Begins a section.
    pub(super) fn section(&mut self, heading: impl Into<String>) {
        self.push(Block::heading(Level::Section, heading));
    }

    /// Adds a block.
    pub(super) fn push(&mut self, block: Block) {
        self.blocks.push(block);
    }

    /// Adds running text.
    pub(super) fn say(&mut self, text: impl Into<Text>) {
        self.push(Block::paragraph(text));
    }

    /// Adds a drawing, if there is one.
    pub(super) fn draw(&mut self, figure: Option<&Figure>) {
        if let Some(figure) = figure {
            self.push(Block::Figure(figure.clone()));
        }
    }

    /// Notes what is left out.
    pub(super) fn leave_out(&mut self, gap: &'static Gap) {
        self.gaps.push(gap);
    }

    /// What is left out.
    pub(super) fn gaps(&self) -> &[&'static Gap] {
        &self.gaps
    }

    /// The blocks behind their heading; none where there are none.
    pub(super) fn into_blocks(self) -> Vec<Block> {
        let mut blocks = Vec::with_capacity(self.blocks.len() + 1);
        if !self.blocks.is_empty() {
            blocks.push(Block::heading(Level::Part, self.heading));
            blocks.extend(self.blocks);
        }
        blocks
    }
}

/// The list of what is left out of the report, with what the record lacks for it.
pub(super) fn left_out(sheet: &Sheet<'_>, gaps: &[&'static Gap]) -> Part {
    let mut part = Part::new(sheet.phrases.left_out);
    if !gaps.is_empty() {
        let lines = gaps.iter().map(|gap| {
            Text::new()
                .strong(gap.what)
                .plain(": ")
                .append(&Text::with_values(gap.lacking))
                .plain(".")
        });
        part.push(Block::list(ListMarks::Bullets, lines));
    }
    part
}
