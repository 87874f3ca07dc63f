//! The text of a record and positions in it.
//!
//! In: a name and a text. Out: lines and columns counted from 1, in characters, and a copy of the text that is safe to
//! print: control characters, and marks that reorder text, are replaced by others of the same length.

use miette::NamedSource;
use std::ops::Range;

/// A named text with its lines.
#[derive(Debug)]
pub(crate) struct FileText {
    printable: NamedSource<String>,
    line_starts: Vec<usize>,
}

impl FileText {
    pub(crate) fn new(name: &str, text: &str) -> Self {
        let line_starts = std::iter::once(0)
            .chain(text.match_indices('\n').map(|(at, _)| at + 1))
            .collect();
        Self {
            printable: NamedSource::new(printable(name), printable(text)),
            line_starts,
        }
    }

    pub(crate) fn name(&self) -> &str {
        self.printable.name()
    }

    pub(crate) fn source(&self) -> &NamedSource<String> {
        &self.printable
    }

    fn text(&self) -> &str {
        self.printable.inner()
    }

    /// Line and column of a byte offset.
    pub(crate) fn position(&self, offset: usize) -> (usize, usize) {
        let offset = self.text().floor_char_boundary(offset);
        let line = self.line_starts.partition_point(|start| *start <= offset);
        let start = self.line_starts[line - 1];
        (line, self.text()[start..offset].chars().count() + 1)
    }

    /// The part of `span` that lies in its first line.
    pub(crate) fn first_line(&self, span: &Range<usize>) -> Range<usize> {
        let text = self.text();
        let start = text.floor_char_boundary(span.start);
        let end = text.floor_char_boundary(span.end).max(start);
        let line = &text[start..end];
        start..start + line.find(['\n', '\r']).unwrap_or(line.len())
    }

    /// Whether the lines around `offset` are short enough to be shown.
    pub(crate) fn shows(&self, offset: usize) -> bool {
        const WIDE: usize = 400;
        let (line, _) = self.position(offset);
        let start = |line: usize| self.line_starts.get(line).copied().unwrap_or(self.text().len());
        // Renderers show a line before and a line after.
        (line.saturating_sub(2)..=line).all(|line| start(line + 1) - start(line) <= WIDE)
    }
}

/// `text` with everything replaced that would move, hide or reorder what a terminal shows. No byte moves.
pub(crate) fn printable(text: &str) -> String {
    text.chars()
        .map(|c| match c {
            '\n' | '\r' | '\t' => c,
            c if !hides(c) => c,
            c => match c.len_utf8() {
                1 => '?',
                2 => '¿',
                _ => '\u{fffd}',
            },
        })
        .collect()
}

/// Control characters, and those that print nothing but change what is around them.
fn hides(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{2069}' | '\u{feff}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn positions_count_characters_from_one() {
        let file = FileText::new("x", "a = 1\nb = \"°F\" # c\n");
        assert_eq!(file.position(0), (1, 1));
        assert_eq!(file.position(6), (2, 1));
        let after_degree = "a = 1\nb = \"°".len();
        assert_eq!(file.position(after_degree), (2, 7));
        assert_eq!(
            file.position(after_degree - 1),
            (2, 6),
            "inside a character counts as at it"
        );
        assert_eq!(file.position(9999), (3, 1));
    }

    #[test]
    fn what_is_printed_has_the_length_of_the_text() {
        let text = "a\u{1b}[31m\u{9b}\u{202e}b\u{feff}\n";
        assert_eq!(printable(text).len(), text.len());
        assert_eq!(printable(text), "a?[31m¿\u{fffd}b\u{fffd}\n");
    }
}
