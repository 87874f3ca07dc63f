//! Drawings as plain text for a terminal: the one-line diagram as a tree of lines, a chart as a block of characters.
//!
//! In: the same descriptions that the sheets are drawn from, and a width in columns. Out: lines of text, ASCII and a few
//! box-drawing characters, no color. Start at [`one_line_tree`] or [`line_chart`].

mod block;
mod tree;

pub use block::line_chart;
pub use tree::one_line_tree;
