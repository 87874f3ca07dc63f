//! Text as it may stand on any page: what cannot be seen or would steer the printer is taken out or made visible.
//!
//! In: anything a person typed or a file held. Out: text without control characters. Control characters and the
//! marks that turn the reading direction of what follows become `�`, so that a reader sees that something stood there;
//! marks that only join, tag or order bytes are dropped. Nothing else is changed.

/// What becomes of a character.
enum Fate {
    Keep,
    Break,
    Space,
    Show,
    Drop,
}

fn fate(character: char) -> Fate {
    match character {
        '\n' | '\u{85}' | '\u{2028}' | '\u{2029}' => Fate::Break,
        '\t' | '\u{b}' | '\u{c}' => Fate::Space,
        // Direction overrides could make "do not open" read as something else.
        '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => Fate::Show,
        '\u{fe00}'..='\u{fe0f}'
        | '\u{feff}'
        | '\u{ad}'
        | '\u{200b}'
        | '\u{2060}'..='\u{2065}'
        | '\u{206a}'..='\u{206f}'
        | '\u{fff9}'..='\u{fffb}'
        | '\u{e0000}'..='\u{e0fff}' => Fate::Drop,
        _ if character.is_control() => Fate::Show,
        // Code points set aside for no character at all.
        '\u{fdd0}'..='\u{fdef}' => Fate::Show,
        _ if u32::from(character) & 0xfffe == 0xfffe => Fate::Show,
        _ => Fate::Keep,
    }
}

/// Text of any number of lines, broken by line feeds alone.
pub(crate) fn lines(text: &str) -> String {
    let mut legible = String::with_capacity(text.len());
    let mut after_return = false;
    for character in text.chars() {
        let return_before = std::mem::replace(&mut after_return, character == '\r');
        if character == '\r' || (character == '\n' && !return_before) {
            legible.push('\n');
            continue;
        }
        if character == '\n' {
            continue;
        }
        match fate(character) {
            Fate::Keep => legible.push(character),
            Fate::Break => legible.push('\n'),
            Fate::Space => legible.push(' '),
            Fate::Show => legible.push(char::REPLACEMENT_CHARACTER),
            Fate::Drop => {}
        }
    }
    legible
}

/// Text of one line: line breaks become spaces.
pub(crate) fn line(text: &str) -> String {
    lines(text).replace('\n', " ")
}

/// Marks that only steer how their neighbors join or are ordered, and fillers without ink.
pub(crate) fn unseen(character: char) -> bool {
    matches!(character,
        '\u{34f}' | '\u{61c}' | '\u{115f}' | '\u{1160}' | '\u{17b4}' | '\u{17b5}' | '\u{180b}'..='\u{180f}'
        | '\u{200b}'..='\u{200f}' | '\u{3164}' | '\u{ffa0}')
}

/// Whether nothing of the text would be seen on a page.
pub(crate) fn is_blank(text: &str) -> bool {
    lines(text)
        .chars()
        .all(|character| character.is_whitespace() || unseen(character))
}

/// At most `n_max` characters of one line, with a mark where the rest is missing.
pub(crate) fn shortened(text: &str, n_max: usize) -> String {
    let text = line(text);
    if text.chars().count() <= n_max {
        return text;
    }
    let mut short: String = text.chars().take(n_max.saturating_sub(1)).collect();
    short.truncate(short.trim_end().len());
    short.push('…');
    short
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn control_sequences_lose_their_power_and_stay_visible() {
        assert_eq!(line("a\u{1b}[2Jb"), "a�[2Jb");
        assert_eq!(line("pay \u{202e}evas"), "pay �evas");
        assert_eq!(line("a\0b\u{9b}c\u{7f}"), "a�b�c�");
    }

    #[test]
    fn line_ends_of_every_system_break_once() {
        assert_eq!(lines("a\r\nb\rc\nd\u{2028}e"), "a\nb\nc\nd\ne");
        assert_eq!(lines("a\r\n\r\nb"), "a\n\nb");
        assert_eq!(line("a\r\nb\tc"), "a b c");
    }

    #[test]
    fn writing_systems_are_kept() {
        let kept = "Ñandú Œuvre ½ in Ω שלום مرحبا 漢字 क्षि 👩\u{200d}🔧";
        assert_eq!(line(kept), kept);
    }

    #[test]
    fn text_without_ink_is_blank() {
        assert!(is_blank(" \n\u{200d}\u{feff}\u{3164}\u{3000}"));
        assert!(!is_blank("\u{7}"), "a control character is made visible");
    }

    #[test]
    fn shortening_counts_characters() {
        assert_eq!(shortened("abc", 3), "abc");
        assert_eq!(shortened("ab cd", 4), "ab…");
        assert_eq!(shortened("漢字漢字", 3), "漢字…");
    }
}
