//! Text as the built-in typefaces can print it: what they lack becomes `□` and is remembered, and long words are given
//! places to break.

use super::world::typefaces;
use crate::legible::{self, unseen};
use std::collections::BTreeSet;
use unicode_width::UnicodeWidthChar as _;

/// Which characters are printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Repertoire {
    /// All that a built-in typeface has.
    Typefaces,
    /// Letters, figures and marks that stand alone: Latin, Greek, Cyrillic.
    PlainLetters,
}

/// Longest run of common letters without a place to break in running text.
pub(super) const RUN: usize = 40;
/// The same in a third of a line.
pub(super) const RUN_OF_THIRD: usize = 26;
/// Parts that the width of a common letter is counted in.
const LETTER: usize = 10;
/// Printed for what no typeface has.
const LACKING: char = '□';
/// An invisible place to break a line.
const BREAK: char = '\u{200b}';

/// Typefaces in the order they are tried, by family.
pub(super) const FAMILIES: [&str; 4] = [
    "Libertinus Serif",
    "DejaVu Sans Mono",
    "New Computer Modern",
    "New Computer Modern Math",
];

/// Makes text printable and remembers what was not.
#[derive(Debug)]
pub(super) struct Printer {
    repertoire: Repertoire,
    lacking: BTreeSet<char>,
    /// The families that have the letter being set with all its marks so far: a letter and its marks must come from one.
    able: Families,
}

/// One flag a family, in the order of [`FAMILIES`].
type Families = [bool; FAMILIES.len()];

const NO_FAMILY: Families = [false; FAMILIES.len()];

impl Printer {
    pub(super) fn new(repertoire: Repertoire) -> Self {
        Self {
            repertoire,
            lacking: BTreeSet::new(),
            able: NO_FAMILY,
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
        let mut drawing = String::with_capacity(svg.len());
        for character in svg.chars().filter(|character| !unseen(*character)) {
            drawing.push(self.shown(character));
            if matches!(character, ' ' | '\n' | '>') {
                // Here a word may begin; what joins letters has nothing to join yet.
                self.able = NO_FAMILY;
            }
        }
        drawing
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
        let room = run * LETTER;
        let long = part.chars().map(set_width).sum::<usize>() > room;
        let mut used = 0;
        self.able = NO_FAMILY;
        let mut characters = part.chars().filter(|character| !unseen(*character)).peekable();
        while let Some(character) = characters.next() {
            set.push(self.shown(character));
            used += set_width(character);
            let after_mark = matches!(
                character,
                '.' | '/' | '_' | ':' | ',' | ';' | '=' | '+' | '@' | '-'
            );
            let next = characters.peek().map_or(0, |next| set_width(*next));
            let wanted = used + next > room || (after_mark && used > 2 * LETTER);
            // A mark stays with its letter, and nothing breaks behind the last.
            if long && wanted && next > 0 {
                set.push(BREAK);
                used = 0;
            }
        }
    }

    fn shown(&mut self, character: char) -> char {
        let having = self.families_having(character);
        let able = if character.width() == Some(0) {
            std::array::from_fn(|family| having[family] && self.able[family])
        } else {
            having
        };
        if able != NO_FAMILY {
            self.able = able;
            return character;
        }
        self.lacking.insert(character);
        self.able = self.families_having(LACKING);
        LACKING
    }

    fn families_having(&self, character: char) -> Families {
        match character {
            // Every family has these.
            ' '..='~' | '\n' | '\u{a0}' => return [true; FAMILIES.len()],
            '\u{e000}'..='\u{f8ff}' | '\u{f0000}'..='\u{10ffff}' => return NO_FAMILY,
            _ => {}
        }
        let plain = matches!(character,
            '\u{a1}'..='\u{24f}' | '\u{391}'..='\u{3c9}' | '\u{400}'..='\u{45f}' | '\u{2010}'..='\u{2027}'
            | '\u{2030}'..='\u{203a}' | '\u{20ac}' | '\u{2126}' | '\u{2190}'..='\u{2193}' | '\u{2212}'
            | '\u{2248}' | '\u{2260}' | '\u{2264}' | '\u{2265}' | '\u{25a1}' | '\u{fffd}');
        if plain || self.repertoire == Repertoire::Typefaces {
            families_having(character)
        } else {
            NO_FAMILY
        }
    }
}

/// Width of a character set in type, in parts of which a common letter has [`LETTER`].
fn set_width(character: char) -> usize {
    match character {
        _ if character.width() == Some(0) => 0,
        'W' | 'M' | 'm' | '@' | '%' | '—' | '…' => 2 * LETTER + LETTER / 10,
        _ if character.is_uppercase() || character == 'w' || character.width() == Some(2) => {
            2 * LETTER - LETTER / 5
        }
        _ => LETTER,
    }
}

/// Blanks at which a line breaks by itself.
fn breaks_anyway(character: char) -> bool {
    matches!(character, ' ' | '\n')
}

/// A family has a character if all its weights and slants have it.
fn families_having(character: char) -> Families {
    let book = typefaces();
    FAMILIES.map(|family| {
        let mut members = book.select_family(&family.to_lowercase()).peekable();
        members.peek().is_some()
            && members.all(|index| {
                book.info(index)
                    .is_some_and(|info| info.coverage.contains(u32::from(character)))
            })
    })
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
    fn a_mark_is_printed_only_with_its_letter_in_one_typeface() {
        let mut printer = Printer::new(Repertoire::Typefaces);
        assert_eq!(printer.line("e\u{301} n\u{303}", RUN), "e\u{301} n\u{303}");
        assert_eq!(
            printer.line("\u{5d0}\u{64b}", RUN),
            "\u{5d0}□",
            "no family has both"
        );
        assert_eq!(printer.line("\u{301}a", RUN), "□a", "no letter to stand on");
        assert_eq!(printer.line("abcd\u{301}e", 4), "abcd\u{301}\u{200b}e");
    }

    #[test]
    fn long_runs_can_break_and_short_ones_cannot() {
        let mut printer = Printer::new(Repertoire::Typefaces);
        assert_eq!(printer.line("abc def", 4), "abc def");
        assert_eq!(printer.line("abcdefghi", 4), "abcd\u{200b}efgh\u{200b}i");
        assert_eq!(printer.line("WWWW", 4), "W\u{200b}W\u{200b}W\u{200b}W");
        assert_eq!(printer.line("circuit.loss", 9), "circuit.\u{200b}loss");
        assert_eq!(printer.lines("a\n b", 4), "a\n b");
    }
}
