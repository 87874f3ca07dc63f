//! Wrapping of faced pieces into lines of at most so many columns.
//!
//! Words are kept whole while they fit; a longer one is broken, after a mark such as `.` or `/` where there is one.

use super::line::{Line, Piece, char_columns, columns};
use textwrap::core::Fragment;
use textwrap::wrap_algorithms::wrap_first_fit;

/// A word, or a part of one that is too long; its pieces may have several faces.
#[derive(Debug, Clone, Default)]
struct Word {
    pieces: Vec<Piece>,
    n_columns: usize,
    spaced: bool,
}

impl Fragment for Word {
    fn width(&self) -> f64 {
        self.n_columns as f64
    }

    fn whitespace_width(&self) -> f64 {
        if self.spaced { 1.0 } else { 0.0 }
    }

    fn penalty_width(&self) -> f64 {
        0.0
    }
}

/// Breaks pieces into lines of at most `width` columns; a line feed always breaks.
///
/// A text without words gives one blank line.
pub(super) fn wrap(pieces: &[Piece], width: usize) -> Vec<Line> {
    let width = width.max(2);
    paragraphs(pieces)
        .into_iter()
        .flat_map(|paragraph| {
            let words: Vec<Word> = words(&paragraph)
                .into_iter()
                .flat_map(|word| broken(word, width))
                .collect();
            wrap_first_fit(&words, &[width as f64])
                .into_iter()
                .map(assembled)
                .collect::<Vec<Line>>()
        })
        .collect()
}

/// Columns of the widest line and of the longest word if nothing were wrapped.
pub(super) fn wishes(pieces: &[Piece]) -> (usize, usize) {
    let mut line_max = 0;
    let mut word_max = 0;
    for paragraph in paragraphs(pieces) {
        let words = words(&paragraph);
        word_max = word_max.max(words.iter().map(|word| word.n_columns).max().unwrap_or(0));
        line_max = line_max.max(words.iter().map(|word| word.n_columns + 1).sum::<usize>());
    }
    (line_max.saturating_sub(1), word_max)
}

fn paragraphs(pieces: &[Piece]) -> Vec<Vec<Piece>> {
    let mut paragraphs = vec![Vec::new()];
    for piece in pieces {
        for (index, part) in piece.text.split('\n').enumerate() {
            if index > 0 {
                paragraphs.push(Vec::new());
            }
            if let Some(last) = paragraphs.last_mut() {
                last.push(Piece::new(piece.face, part));
            }
        }
    }
    paragraphs
}

fn parts_words(character: char) -> bool {
    // Spaces made to hold words together do not part them.
    character.is_whitespace() && !matches!(character, '\u{a0}' | '\u{2007}' | '\u{202f}')
}

fn words(pieces: &[Piece]) -> Vec<Word> {
    let mut words = Vec::new();
    let mut word = Word::default();
    for piece in pieces {
        for (index, part) in piece.text.split(parts_words).enumerate() {
            if index > 0 && !word.pieces.is_empty() {
                word.spaced = true;
                words.push(std::mem::take(&mut word));
            }
            if !part.is_empty() {
                word.n_columns += columns(part);
                word.pieces.push(Piece::new(piece.face, part));
            }
        }
    }
    if !word.pieces.is_empty() {
        words.push(word);
    }
    words
}

/// A word in parts no wider than `width`.
fn broken(word: Word, width: usize) -> Vec<Word> {
    if word.n_columns <= width {
        return vec![word];
    }
    let spaced = word.spaced;
    let mut parts = Vec::new();
    let mut part = Word::default();
    for piece in word.pieces {
        let mut rest = piece.text.as_str();
        while !rest.is_empty() {
            let (taken, left) = rest.split_at(fitting(rest, width - part.n_columns, width));
            if !taken.is_empty() {
                part.n_columns += columns(taken);
                part.pieces.push(Piece::new(piece.face, taken));
            }
            rest = left;
            if !rest.is_empty() {
                parts.push(std::mem::take(&mut part));
            }
        }
    }
    part.spaced = spaced;
    parts.push(part);
    parts
}

/// Length in bytes of what of `text` fits into `room` columns, ending after a mark if one stands in the latter half.
fn fitting(text: &str, room: usize, width: usize) -> usize {
    let mut used = 0;
    let mut after_mark = None;
    for (at, character) in text.char_indices() {
        used += char_columns(character);
        if used > room {
            return after_mark.unwrap_or(at);
        }
        if matches!(character, '.' | '/' | '-' | '_' | ':' | ',' | ';' | '=' | '+') && used * 2 > width {
            after_mark = Some(at + character.len_utf8());
        }
    }
    text.len()
}

fn assembled(words: &[Word]) -> Line {
    let mut line = Line::blank();
    let mut space_before = false;
    let mut face_before = None;
    for word in words {
        if space_before {
            let first = word.pieces.first().map(|piece| piece.face);
            // A space between two words of one face belongs to that face.
            match first.filter(|face| Some(*face) == face_before) {
                Some(face) => line.push(Piece::new(face, " ")),
                None => line.space(1),
            }
        }
        for piece in &word.pieces {
            line.push(piece.clone());
        }
        space_before = word.spaced;
        face_before = word.pieces.last().map(|piece| piece.face);
    }
    line
}

#[cfg(test)]
mod tests {
    use super::super::line::Face;
    use super::*;

    fn plain(text: &str, width: usize) -> Vec<String> {
        wrap(&[Piece::plain(text)], width)
            .iter()
            .map(|line| {
                let mut out = String::new();
                line.print(&mut out, false);
                out
            })
            .collect()
    }

    #[test]
    fn words_stay_whole_while_they_fit() {
        assert_eq!(plain("close the main valve", 10), ["close the", "main valve"]);
        assert_eq!(plain("a\n\nb", 10), ["a", "", "b"]);
        assert_eq!(plain("", 10), [""]);
        assert_eq!(plain("10\u{a0}AWG wire", 8), ["10\u{a0}AWG", "wire"]);
    }

    #[test]
    fn long_words_break_after_a_mark_or_anywhere() {
        assert_eq!(
            plain("circuit.conductor-ampacity", 12),
            ["circuit.", "conductor-", "ampacity"]
        );
        assert_eq!(plain("aaaaaaaaaa", 4), ["aaaa", "aaaa", "aa"]);
        assert_eq!(plain("漢字漢字", 5), ["漢字", "漢字"]);
    }

    #[test]
    fn faces_survive_the_wrap() {
        let lines = wrap(
            &[
                Piece::plain("turn "),
                Piece::new(Face::Strong, "off and lock"),
                Piece::plain("."),
            ],
            9,
        );
        let mut out = String::new();
        for line in &lines {
            line.print(&mut out, true);
            out.push('|');
        }
        assert_eq!(out, "turn \u{1b}[1moff\u{1b}[0m|\u{1b}[1mand lock\u{1b}[0m.|");
    }
}
