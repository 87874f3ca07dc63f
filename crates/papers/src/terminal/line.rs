//! A line of a terminal page: pieces of text, each with the face it would have if faces are shown.

use crate::document::Weight;
use anstyle::{AnsiColor, Style};
use trace::Severity;
use unicode_width::UnicodeWidthChar as _;

/// How a piece looks where styles are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Face {
    Plain,
    Emphasis,
    Strong,
    Code,
    Title,
    Quiet,
    Caution,
    Severity(Severity),
}

impl Face {
    fn style(self) -> Style {
        let plain = Style::new();
        match self {
            Self::Plain => plain,
            Self::Emphasis => plain.italic(),
            Self::Strong | Self::Title => plain.bold(),
            Self::Code => plain.fg_color(Some(AnsiColor::Cyan.into())),
            Self::Quiet => plain.dimmed(),
            Self::Caution => plain.bold().fg_color(Some(AnsiColor::Yellow.into())),
            Self::Severity(severity) => match severity {
                Severity::Stop => plain.bold().fg_color(Some(AnsiColor::Red.into())),
                Severity::Change => plain.bold().fg_color(Some(AnsiColor::Yellow.into())),
                Severity::Judge => plain.bold().fg_color(Some(AnsiColor::Magenta.into())),
                Severity::Unknown => plain.bold(),
                Severity::Note => plain.fg_color(Some(AnsiColor::Blue.into())),
                Severity::Met => plain.fg_color(Some(AnsiColor::Green.into())),
            },
        }
    }
}

impl From<Weight> for Face {
    fn from(weight: Weight) -> Self {
        match weight {
            Weight::Plain => Self::Plain,
            Weight::Emphasis => Self::Emphasis,
            Weight::Strong => Self::Strong,
            Weight::Code => Self::Code,
        }
    }
}

/// Text of one face.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Piece {
    pub(super) face: Face,
    pub(super) text: String,
}

impl Piece {
    pub(super) fn new(face: Face, text: impl Into<String>) -> Self {
        Self {
            face,
            text: text.into(),
        }
    }

    pub(super) fn plain(text: impl Into<String>) -> Self {
        Self::new(Face::Plain, text)
    }

    pub(super) fn columns(&self) -> usize {
        columns(&self.text)
    }
}

/// Columns a text takes: the sum of its characters', which is never less than what a terminal joins them to.
pub(super) fn columns(text: &str) -> usize {
    text.chars().map(char_columns).sum()
}

/// Columns one character takes.
pub(super) fn char_columns(character: char) -> usize {
    character.width().unwrap_or(0)
}

/// One line.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Line {
    pieces: Vec<Piece>,
}

impl Line {
    pub(super) fn blank() -> Self {
        Self::default()
    }

    /// A rule across the page.
    pub(super) fn rule(mark: char, columns: usize) -> Self {
        Self::of([Piece::new(Face::Quiet, mark.to_string().repeat(columns))])
    }

    pub(super) fn of(pieces: impl IntoIterator<Item = Piece>) -> Self {
        let mut line = Self::blank();
        for piece in pieces {
            line.push(piece);
        }
        line
    }

    /// Adds a piece; one of the same face as the last is joined to it.
    pub(super) fn push(&mut self, piece: Piece) {
        if piece.text.is_empty() {
            return;
        }
        match self.pieces.last_mut() {
            Some(last) if last.face == piece.face => last.text.push_str(&piece.text),
            _ => self.pieces.push(piece),
        }
    }

    /// Adds blank columns.
    pub(super) fn space(&mut self, n_columns: usize) {
        self.push(Piece::plain(" ".repeat(n_columns)));
    }

    pub(super) fn append(&mut self, line: Self) {
        for piece in line.pieces {
            self.push(piece);
        }
    }

    /// The line moved right.
    pub(super) fn indented(self, n_columns: usize) -> Self {
        let mut line = Self::blank();
        line.space(n_columns);
        line.append(self);
        line
    }

    /// The line with the face of every piece that has none of its own changed.
    pub(super) fn faced(mut self, face: Face) -> Self {
        for piece in &mut self.pieces {
            if piece.face == Face::Plain {
                piece.face = face;
            }
        }
        self
    }

    pub(super) fn columns(&self) -> usize {
        self.pieces.iter().map(Piece::columns).sum()
    }

    /// Writes the line without trailing blanks; with escape sequences if `styled`.
    pub(super) fn print(&self, out: &mut String, styled: bool) {
        let n_seen = self
            .pieces
            .iter()
            .rposition(|piece| !piece.text.trim_end().is_empty())
            .map_or(0, |last| last + 1);
        for (index, piece) in self.pieces[..n_seen].iter().enumerate() {
            let text = if index + 1 == n_seen {
                piece.text.trim_end()
            } else {
                &piece.text
            };
            let style = piece.face.style();
            if styled && style != Style::new() {
                for part in [
                    &style.render().to_string(),
                    text,
                    &style.render_reset().to_string(),
                ] {
                    out.push_str(part);
                }
            } else {
                out.push_str(text);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wide_characters_take_two_columns() {
        assert_eq!(columns("漢字"), 4);
        assert_eq!(columns("e\u{301}"), 1);
        assert_eq!(columns("Ω½°"), 3);
    }

    #[test]
    fn styles_come_only_when_asked_for_and_end_with_the_line() {
        let line = Line::of([
            Piece::plain("a "),
            Piece::new(Face::Strong, "b"),
            Piece::plain("   "),
        ]);
        let mut plain = String::new();
        line.print(&mut plain, false);
        assert_eq!(plain, "a b");
        let mut styled = String::new();
        line.print(&mut styled, true);
        assert_eq!(styled, "a \u{1b}[1mb\u{1b}[0m");
    }
}
