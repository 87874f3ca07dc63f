//! Lettering: how wide a text is in the drawing font, how it wraps, and what must not be drawn.
//!
//! In: text as a person typed it. Out: its width in drawing units, or lines that fit a width. Start at [`text_width`].
//!
//! Widths come from the advance widths of Libertinus Serif (see the table's head), so the drawing needs no font file.
//! Characters outside the table (other scripts, emoji) get a width that is on the large side. Knows no layout.

use std::sync::LazyLock;
use unicode_segmentation::UnicodeSegmentation as _;
use unicode_width::UnicodeWidthChar as _;

/// Families named in every drawing: the font that the widths were taken from, then fonts of nearly the same width.
pub const FONT_FAMILY: &str =
    "'Libertinus Serif', 'Linux Libertine O', 'Times New Roman', 'Liberation Serif', 'Noto Serif', serif";

/// Height of a line of text above its baseline, in parts of the size: ascenders and accents.
pub const ASCENT: f64 = 0.80;
/// Depth of a line of text below its baseline, in parts of the size.
pub const DESCENT: f64 = 0.24;
/// Distance of two baselines, in parts of the size.
pub const LINE_PITCH: f64 = 1.22;

/// Room added to a measured width: kerning and rounding in other programs.
const CAUTION: f64 = 1.02;
/// Widths, in ems, of characters that the table lacks: an emoji, a full-width sign, any other sign.
const EMOJI_EM: f64 = 1.4;
const FULL_WIDTH_EM: f64 = 1.1;
const OTHER_EM: f64 = 0.85;

/// How heavy the letters are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Weight {
    /// Body text.
    #[default]
    Regular,
    /// Names, headings and words that must be seen.
    Bold,
}

#[derive(serde::Deserialize)]
struct AdvanceRow {
    first: String,
    last: String,
    regular: u16,
    bold: u16,
}

struct Advance {
    first: u32,
    last: u32,
    regular: u16,
    bold: u16,
}

static ADVANCES: LazyLock<Vec<Advance>> = LazyLock::new(|| {
    let text = include_str!("../../../data/tables/lettering/libertinus_serif_advances.csv");
    let point = |hexadecimal: &str| u32::from_str_radix(hexadecimal, 16).unwrap_or(0);
    let table = tables::table::embedded::<AdvanceRow>("libertinus_serif_advances", text);
    let mut advances: Vec<Advance> = table
        .rows
        .iter()
        .map(|row| Advance {
            first: point(&row.first),
            last: point(&row.last),
            regular: row.regular,
            bold: row.bold,
        })
        .collect();
    advances.sort_by_key(|advance| advance.first);
    advances
});

/// Width of one line of `text` at `size`, in the unit of `size`.
///
/// ```
/// use drawings::lettering::{Weight, text_width};
/// // Libertinus Serif, thousandths of an em: m 790, W 951 (the font's own advance widths).
/// let m_and_w = text_width("mW", 10.0, Weight::Regular);
/// assert!((m_and_w / (10.0 * 1.741) - 1.0).abs() < 0.03, "within the room added for kerning");
/// ```
pub fn text_width(text: &str, size: f64, weight: Weight) -> f64 {
    text.chars().map(|c| em_width(c, weight)).sum::<f64>() * size * CAUTION
}

/// The exact advance width when every character is in the table and none needs shaping; else `None`.
///
/// Printed as `textLength`, so that a reader without the font gets the same width from another one.
pub fn exact_width(text: &str, size: f64, weight: Weight) -> Option<f64> {
    let widths: Option<Vec<f64>> = text.chars().map(|c| listed(c, weight)).collect();
    Some(widths?.iter().sum::<f64>() * size)
}

/// Text that may be drawn: white space as single spaces; control, direction-override and other unseen characters gone.
///
/// A name must not be able to turn the reading order of what stands beside it, nor break the file it is printed into.
pub fn clean(text: &str) -> String {
    let seen: String = text
        .chars()
        .filter_map(|c| match c {
            c if c.is_whitespace() => Some(' '),
            c if c.is_control() => None,
            '\u{200B}'
            | '\u{200E}'
            | '\u{200F}'
            | '\u{202A}'..='\u{202E}'
            | '\u{2066}'..='\u{2069}'
            | '\u{FEFF}'
            | '\u{FFF9}'..='\u{FFFB}'
            | '\u{FFFE}'
            | '\u{FFFF}' => None,
            c => Some(c),
        })
        .collect();
    seen.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// `text` in lines no wider than `width`, at most `lines_max` of them; what does not fit is cut with an ellipsis.
///
/// Breaks at spaces, but not between a number and its unit; a word that is too wide is broken after a hyphen, slash or
/// comma, or anywhere between two characters a reader would count. At least one character stands on each line, however
/// narrow the width.
pub fn wrap(text: &str, size: f64, weight: Weight, width: f64, lines_max: usize) -> Vec<String> {
    let text = clean(text);
    let fits = |line: &str| text_width(line, size, weight) <= width;
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in words_with_units(&text) {
        let joined = if line.is_empty() {
            word.to_owned()
        } else {
            format!("{line} {word}")
        };
        if fits(&joined) {
            line = joined;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        let mut rest = word;
        while !fits(rest) {
            let cut = break_point(rest, fits);
            lines.push(rest[..cut].to_owned());
            rest = &rest[cut..];
        }
        rest.clone_into(&mut line);
        if lines.len() > lines_max {
            break;
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    if lines.len() > lines_max {
        lines.truncate(lines_max);
        if let Some(last) = lines.last_mut() {
            *last = with_ellipsis(last, fits);
        }
    }
    lines
}

/// The words of a cleaned text; a number and the short word after it count as one word ("10 kA").
fn words_with_units(text: &str) -> Vec<&str> {
    const UNIT_MAX: usize = 4;
    let mut words: Vec<&str> = Vec::new();
    let mut start = 0;
    let mut ends_in_digit = false;
    let mut at = 0;
    for word in text.split(' ').filter(|word| !word.is_empty()) {
        let is_unit = word.chars().count() <= UNIT_MAX && !word.starts_with(|c: char| c.is_ascii_digit());
        match words.last_mut() {
            Some(last) if ends_in_digit && is_unit => *last = &text[start..at + word.len()],
            _ => {
                start = at;
                words.push(word);
            }
        }
        ends_in_digit = word.ends_with(|c: char| c.is_ascii_digit());
        // Cleaned text has one space between words.
        at += word.len() + 1;
    }
    words
}

/// Byte offset at which a too-wide word is cut: never 0, never past the end.
fn break_point(word: &str, fits: impl Fn(&str) -> bool) -> usize {
    let mut last = 0;
    let mut after_sign = 0;
    for (at, grapheme) in word.grapheme_indices(true) {
        let end = at + grapheme.len();
        if at > 0 && !fits(&word[..end]) {
            break;
        }
        last = end;
        if matches!(grapheme, "-" | "/" | "," | "_" | "." | ")" | ";") {
            after_sign = end;
        }
    }
    // A break at a sign is worth it only if it does not leave the line mostly empty.
    if after_sign * 2 > last && after_sign < word.len() {
        after_sign
    } else {
        last
    }
}

fn with_ellipsis(line: &str, fits: impl Fn(&str) -> bool) -> String {
    let mut graphemes: Vec<&str> = line.graphemes(true).collect();
    loop {
        let cut = format!("{}…", graphemes.concat().trim_end());
        if graphemes.is_empty() || fits(&cut) {
            return cut;
        }
        graphemes.pop();
    }
}

fn em_width(c: char, weight: Weight) -> f64 {
    listed(c, weight).unwrap_or_else(|| match c.width() {
        Some(0) | None => 0.0,
        Some(1) => OTHER_EM,
        Some(_) if ('\u{1F000}'..='\u{1FAFF}').contains(&c) || ('\u{2600}'..='\u{27BF}').contains(&c) => {
            EMOJI_EM
        }
        Some(_) => FULL_WIDTH_EM,
    })
}

/// Width of a listed character in ems.
fn listed(c: char, weight: Weight) -> Option<f64> {
    let point = u32::from(c);
    let at = ADVANCES.partition_point(|advance| advance.last < point);
    let advance = ADVANCES.get(at).filter(|advance| advance.first <= point)?;
    let thousandths = match weight {
        Weight::Regular => advance.regular,
        Weight::Bold => advance.bold,
    };
    Some(f64::from(thousandths) / 1000.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn the_table_covers_what_the_drawings_say() {
        for c in ('!'..='~').chain("°·×–—…½¾⅛ÀéñÑøßΩ≤≥→".chars()) {
            assert!(listed(c, Weight::Regular).is_some(), "{c} regular");
            assert!(listed(c, Weight::Bold).is_some(), "{c} bold");
        }
    }

    #[test]
    fn lines_are_as_wide_as_a_typesetter_sets_them_or_a_little_wider() {
        for case in checks::load("drawings/line_widths.toml").cases {
            for (name, weight) in [("regular_pt", Weight::Regular), ("bold_pt", Weight::Bold)] {
                let ours = text_width(case.given_text("text"), 100.0, weight);
                case.close(name, ours);
                let set = case.expected(name).unwrap();
                assert!(ours >= set, "{}: {ours} is narrower than {set}", case.id);
            }
        }
    }

    #[test]
    fn unknown_signs_get_room() {
        let one = |text: &str| text_width(text, 1.0, Weight::Regular);
        assert!(one("🔥") > 1.2);
        assert!(one("水") > 1.0);
        assert!(one("ش") > 0.5);
        assert!(exact_width("水", 1.0, Weight::Regular).is_none());
        // A family joined by zero-width joiners counts every member: wide, never narrow.
        assert!(one("👨‍👩‍👧") >= one("👨"));
    }

    #[test]
    fn numbers_keep_their_units() {
        let lines = wrap("spaces 13, 15; 10 kA", 9.5, Weight::Regular, 76.0, 9);
        assert_eq!(lines, ["spaces 13, 15;", "10 kA"]);
        assert_eq!(
            words_with_units("6 AWG and 52 ft (0.79 %)"),
            ["6 AWG", "and", "52 ft", "(0.79 %)"]
        );
    }

    #[test]
    fn overrides_and_controls_are_not_drawn() {
        assert_eq!(clean("panel\u{202E} A\u{0}\n\tgarage\u{7}"), "panel A garage");
        assert_eq!(clean("  "), "");
    }

    #[test]
    fn long_words_break_at_signs_or_anywhere() {
        let lines = wrap("kitchen-island/prep-sink", 10.0, Weight::Regular, 70.0, 9);
        assert_eq!(lines.concat(), "kitchen-island/prep-sink");
        assert!(lines[0].ends_with(['-', '/']), "{lines:?}");
        let lines = wrap(&"x".repeat(200), 10.0, Weight::Bold, 60.0, 99);
        assert_eq!(lines.concat().len(), 200);
        let cut = wrap(&"word ".repeat(90), 10.0, Weight::Regular, 60.0, 3);
        assert_eq!(cut.len(), 3);
        assert!(cut[2].ends_with('…'));
    }

    proptest! {
        #[test]
        fn wrapped_lines_fit_and_lose_nothing(text in "\\PC{0,120}", width in 30.0_f64..300.0) {
            let lines = wrap(&text, 10.0, Weight::Regular, width, usize::MAX);
            let without_spaces = |text: &str| text.replace(' ', "");
            prop_assert_eq!(without_spaces(&lines.concat()), without_spaces(&clean(&text)));
            for line in &lines {
                prop_assert!(
                    text_width(line, 10.0, Weight::Regular) <= width || line.graphemes(true).count() == 1,
                    "{:?}", line
                );
            }
        }
    }
}
