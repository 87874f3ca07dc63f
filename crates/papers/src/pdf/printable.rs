//! Text as the built-in typefaces can print it: what they lack becomes `□` and is remembered, and long words are given
//! places to break.

use super::world::typefaces;
use crate::legible::{self, unseen};
use std::collections::BTreeSet;

/// Which characters are printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Repertoire {
    /// All that a built-in typeface has.
    Typefaces,
    /// Letters, figures and marks that stand alone: Latin, Greek, Cyrillic.
    PlainLetters,
}

/// Longest run of characters without a place to break in running text.
pub(super) const RUN: usize = 40;
/// Printed for what no typeface has.
const LACKING: char = '□';
/// An invisible place to break a line.
const BREAK: char = '\u{200b}';

/// Makes text printable and remembers what was not.
#[derive(Debug)]
pub(super) struct Printer {
    repertoire: Repertoire,
    lacking: BTreeSet<char>,
}

impl Printer {
    pub(super) fn new(repertoire: Repertoire) -> Self {
        Self {
            repertoire,
            lacking: BTreeSet::new(),
        }
    }

    /// Words of one line; longer runs than `run` get places to break.
    pub(super) fn line(&mut self, words: &str, run: usize) -> String {
        self.set(&legible::line(words), run)
    }

    /// Words broken by line feeds; longer runs than `run` get places to break.
    pub(super) fn lines(&mut self, words: &str, run: usize) -> String {
        self.set(&legible::lines(words), run)
    }

    /// A drawing: characters only, no places to break.
    pub(super) fn drawing(&mut self, svg: &str) -> String {
        svg.chars()
            .filter(|character| !unseen(*character))
            .map(|character| self.shown(character))
            .collect()
    }

    /// What was not printed, by code point; none if all was.
    pub(super) fn lacking(&self) -> Option<String> {
        const LISTED_MAX: usize = 40;
        let mut list: Vec<String> = self
            .lacking
            .iter()
            .take(LISTED_MAX)
            .map(|character| format!("U+{:04X}", u32::from(*character)))
            .collect();
        if self.lacking.len() > LISTED_MAX {
            list.push("…".to_owned());
        }
        (!list.is_empty()).then(|| list.join(", "))
    }

    fn set(&mut self, text: &str, run: usize) -> String {
        let mut set = String::with_capacity(text.len());
        for part in text.split_inclusive(breaks_anyway) {
            let word = part.trim_end_matches(breaks_anyway);
            self.set_run(word, run, &mut set);
            set.push_str(&part[word.len()..]);
        }
        set
    }

    /// A run without blanks; if it is long it may break after marks, and everywhere where there is none for long.
    fn set_run(&mut self, part: &str, run: usize, set: &mut String) {
        let long = part.chars().nth(run).is_some();
        let mut since_break = 0;
        let mut characters = part.chars().filter(|character| !unseen(*character)).peekable();
        while let Some(character) = characters.next() {
            set.push(self.shown(character));
            since_break += 1;
            let after_mark = matches!(
                character,
                '.' | '/' | '_' | ':' | ',' | ';' | '=' | '+' | '@' | '-'
            );
            if long && (since_break >= run || (after_mark && since_break > 2)) && characters.peek().is_some()
            {
                set.push(BREAK);
                since_break = 0;
            }
        }
    }

    fn shown(&mut self, character: char) -> char {
        if self.prints(character) {
            return character;
        }
        self.lacking.insert(character);
        LACKING
    }

    fn prints(&self, character: char) -> bool {
        match character {
            ' '..='~' | '\n' | '\u{a0}' => true,
            '\u{e000}'..='\u{f8ff}' | '\u{f0000}'..='\u{10ffff}' => false,
            _ => {
                let plain = matches!(character,
                    '\u{a1}'..='\u{24f}' | '\u{391}'..='\u{3c9}' | '\u{400}'..='\u{45f}' | '\u{2010}'..='\u{2027}'
                    | '\u{2030}'..='\u{203a}' | '\u{20ac}' | '\u{2126}' | '\u{2190}'..='\u{2193}' | '\u{2212}'
                    | '\u{2248}' | '\u{2260}' | '\u{2264}' | '\u{2265}' | '\u{25a1}' | '\u{fffd}');
                (plain || self.repertoire == Repertoire::Typefaces) && has_glyph(character)
            }
        }
    }
}

/// Blanks at which a line breaks by itself.
fn breaks_anyway(character: char) -> bool {
    matches!(character, ' ' | '\n')
}

fn has_glyph(character: char) -> bool {
    let book = typefaces();
    (0..)
        .map_while(|index| book.info(index))
        .any(|info| info.coverage.contains(u32::from(character)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_no_typeface_has_is_shown_and_listed() {
        let mut printer = Printer::new(Repertoire::Typefaces);
        assert_eq!(printer.line("½ in Ω ≥ 漢 \u{1f600}", RUN), "½ in Ω ≥ □ □");
        assert_eq!(printer.lacking().as_deref(), Some("U+6F22, U+1F600"));
        assert_eq!(Printer::new(Repertoire::Typefaces).lacking(), None);
    }

    #[test]
    fn signs_of_the_trade_are_printed() {
        let mut printer = Printer::new(Repertoire::Typefaces);
        let trade =
            "°F °C Ω µ ² ³ ¼ ½ ¾ × ÷ − ± ≤ ≥ ≠ ≈ Δ η ρ ″ ′ → ∠ √ ∑ · ‰ □ … “ ” ’ – — ñ á é í ó ú ü ¿ ¡ ₁ ₂";
        assert_eq!(printer.line(trade, RUN), trade);
        let mut plain = Printer::new(Repertoire::PlainLetters);
        let least = "°F Ω ½ × ÷ ± ≤ ≥ Δ → ñ ¿ … – □";
        assert_eq!(plain.line(least, RUN), least);
    }

    #[test]
    fn long_runs_can_break_and_short_ones_cannot() {
        let mut printer = Printer::new(Repertoire::Typefaces);
        assert_eq!(printer.line("abc def", 4), "abc def");
        assert_eq!(printer.line("abcdefghi", 4), "abcd\u{200b}efgh\u{200b}i");
        assert_eq!(printer.line("circuit.loss", 9), "circuit.\u{200b}loss");
        assert_eq!(printer.lines("a\n b", 4), "a\n b");
    }
}
