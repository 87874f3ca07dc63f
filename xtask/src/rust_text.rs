//! A Rust file taken apart: code without comments and literals, the string literals, and which lines are test code.
//!
//! In: the text of a file. Out: [`RustText`]. A scanner, not a parser: it knows comments, strings, characters and braces,
//! which is enough to look for words in the right places. Nothing here judges what is found.

/// A Rust file taken apart.
#[derive(Debug)]
pub(crate) struct RustText {
    /// The file with comments and the insides of literals blanked; lines and columns stay.
    pub(crate) code: String,
    /// String literals: line of the opening quote and content as written.
    pub(crate) strings: Vec<(usize, String)>,
    /// Line ranges (from 1, both ends included) under `#[cfg(test)]`.
    tests: Vec<(usize, usize)>,
    /// Modules declared as `#[cfg(test)] mod name;`, whose files are test code.
    pub(crate) test_modules: Vec<String>,
}

impl RustText {
    /// Takes a file apart.
    pub(crate) fn new(text: &str) -> Self {
        let mut scan = Scan::new(text);
        scan.all();
        let code: String = scan.code.iter().collect();
        let (tests, test_modules) = test_parts(&code);
        Self {
            code,
            strings: scan.strings,
            tests,
            test_modules,
        }
    }

    /// Whether this line stands under `#[cfg(test)]`.
    pub(crate) fn is_test(&self, line: usize) -> bool {
        self.tests.iter().any(|(from, to)| (*from..=*to).contains(&line))
    }

    /// Lines of code outside tests, with their numbers.
    pub(crate) fn plain_lines(&self) -> impl Iterator<Item = (usize, &str)> {
        let numbered = self.code.lines().enumerate().map(|(at, line)| (at + 1, line));
        numbered.filter(|(line, _)| !self.is_test(*line))
    }
}

struct Scan {
    source: Vec<char>,
    code: Vec<char>,
    strings: Vec<(usize, String)>,
    at: usize,
    line: usize,
}

impl Scan {
    fn new(text: &str) -> Self {
        let source: Vec<char> = text.chars().collect();
        Self {
            code: Vec::with_capacity(source.len()),
            source,
            strings: Vec::new(),
            at: 0,
            line: 1,
        }
    }

    fn peek(&self, ahead: usize) -> char {
        self.source.get(self.at + ahead).copied().unwrap_or('\0')
    }

    /// Steps over one character and hands it on as code or as a blank.
    fn step(&mut self, as_code: bool) {
        let Some(&c) = self.source.get(self.at) else {
            return;
        };
        if c == '\n' {
            self.line += 1;
        }
        self.code.push(if as_code || c == '\n' { c } else { ' ' });
        self.at += 1;
    }

    fn blank(&mut self, count: usize) {
        for _ in 0..count {
            self.step(false);
        }
    }

    fn all(&mut self) {
        while self.at < self.source.len() {
            match (self.peek(0), self.peek(1)) {
                ('/', '/') => {
                    while self.at < self.source.len() && self.peek(0) != '\n' {
                        self.step(false);
                    }
                }
                ('/', '*') => self.block_comment(),
                ('"', _) => self.string(),
                ('r', '"' | '#') if !self.inside_name() => self.raw_string(),
                ('\'', _) => self.character(),
                _ => self.step(true),
            }
        }
    }

    /// Whether the character before belongs to a name, so that an `r` here is not the start of a raw string. The
    /// prefixes `b` and `c` are part of a literal, unless a name goes on before them.
    fn inside_name(&self) -> bool {
        let before = |back: usize| self.at.checked_sub(back).map(|at| self.source[at]);
        let in_name = |c: Option<char>| c.is_some_and(|c| c.is_alphanumeric() || c == '_');
        match before(1) {
            Some('b' | 'c') => in_name(before(2)),
            c => in_name(c),
        }
    }

    fn block_comment(&mut self) {
        let mut depth = 0_usize;
        while self.at < self.source.len() {
            match (self.peek(0), self.peek(1)) {
                ('/', '*') => {
                    depth += 1;
                    self.blank(2);
                }
                ('*', '/') => {
                    depth = depth.saturating_sub(1);
                    self.blank(2);
                    if depth == 0 {
                        return;
                    }
                }
                _ => self.step(false),
            }
        }
    }

    fn string(&mut self) {
        let (line, mut content) = (self.line, String::new());
        self.step(true);
        while self.at < self.source.len() && self.peek(0) != '"' {
            let width = if self.peek(0) == '\\' { 2 } else { 1 };
            content.extend(self.source.iter().skip(self.at).take(width));
            self.blank(width);
        }
        self.step(true);
        self.strings.push((line, content));
    }

    fn raw_string(&mut self) {
        let mut hashes = 0;
        while self.peek(1 + hashes) == '#' {
            hashes += 1;
        }
        if self.peek(1 + hashes) != '"' {
            // A raw name such as `r#type`.
            self.step(true);
            return;
        }
        let (line, mut content) = (self.line, String::new());
        self.blank(hashes + 1);
        self.step(true);
        let closes = |scan: &Self| scan.peek(0) == '"' && (1..=hashes).all(|ahead| scan.peek(ahead) == '#');
        while self.at < self.source.len() && !closes(self) {
            content.push(self.peek(0));
            self.step(false);
        }
        self.step(true);
        self.blank(hashes);
        self.strings.push((line, content));
    }

    /// A character literal, or the tick of a lifetime.
    fn character(&mut self) {
        if self.peek(1) == '\\' {
            self.blank(3);
            while self.at < self.source.len() && self.peek(0) != '\'' {
                self.step(false);
            }
            self.blank(1);
        } else if self.peek(2) == '\'' {
            self.blank(3);
        } else {
            self.step(true);
        }
    }
}

/// Line ranges under `#[cfg(test)]`, and the names of test modules that stand in files of their own.
fn test_parts(code: &str) -> (Vec<(usize, usize)>, Vec<String>) {
    const MARK: &str = "#[cfg(test)]";
    let (mut ranges, mut modules) = (Vec::new(), Vec::new());
    let mut from = 0;
    while let Some(found) = code[from..].find(MARK) {
        let start = from + found;
        let body = start + MARK.len();
        let end = body + item_end(&code[body..]);
        let line_at = |byte: usize| code[..byte].matches('\n').count() + 1;
        ranges.push((line_at(start), line_at(end)));
        let item = code[body..end].trim();
        if let Some(name) = item.strip_prefix("mod ").and_then(|rest| rest.strip_suffix(';')) {
            modules.push(name.trim().to_owned());
        }
        from = end.max(body);
    }
    (ranges, modules)
}

/// Where the item at the start of `code` ends: after its `;`, or after the brace that closes its body.
fn item_end(code: &str) -> usize {
    let (mut braces, mut others) = (0_i32, 0_i32);
    for (at, c) in code.char_indices() {
        match c {
            '{' => braces += 1,
            '}' => braces -= 1,
            '(' | '[' => others += 1,
            ')' | ']' => others -= 1,
            _ => {}
        }
        let closed = (c == '}' && braces <= 0) || (c == ';' && braces == 0);
        if closed && others == 0 {
            return at + 1;
        }
    }
    code.len()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn comments_and_literals_are_blanked_and_lines_stay() {
        let text =
            "let a = \"x // y\"; // std::fs\n/* a /* b */ c */ let b = 'q';\nlet c = r#\"say \"hi\"\"#;\n";
        let parts = RustText::new(text);
        assert_eq!(parts.code.lines().count(), 3);
        assert!(!parts.code.contains("std::fs") && !parts.code.contains('q') && !parts.code.contains("hi"));
        assert!(parts.code.contains("let b =") && parts.code.contains("let c ="));
        let strings = [(1, "x // y".to_owned()), (3, "say \"hi\"".to_owned())];
        assert_eq!(parts.strings, strings);
    }

    #[test]
    fn quotes_in_characters_and_lifetimes_start_no_string() {
        let parts = RustText::new(
            "fn f<'a>(x: &'a str) -> char { '\"' }\nfn g() -> char { '\\'' }\nlet s = \"end\";\n",
        );
        assert_eq!(parts.strings, [(3, "end".to_owned())]);
    }

    #[test]
    fn raw_names_and_names_ending_in_r_are_code() {
        let parts = RustText::new("let r#type = for_r\"\"; br#\"bytes\"#;\n");
        assert!(parts.code.contains("r#type"));
        assert_eq!(parts.strings, [(1, String::new()), (1, "bytes".to_owned())]);
    }

    #[test]
    fn test_modules_are_known_inline_and_in_files() {
        let text = "fn a() {}\n#[cfg(test)]\nmod tests {\n    fn b(x: [u8; 3]) { let y = \"}\"; }\n}\nfn c() {}\n#[cfg(test)]\nmod more_tests;\nfn d() {}\n";
        let parts = RustText::new(text);
        let tests: Vec<usize> = (1..=9).filter(|line| parts.is_test(*line)).collect();
        assert_eq!(tests, [2, 3, 4, 5, 7, 8]);
        assert_eq!(parts.test_modules, ["more_tests"]);
    }

    #[test]
    fn an_unclosed_file_does_not_hang() {
        for text in [
            "\"never closed",
            "/* never closed",
            "r#\"never",
            "'\\",
            "#[cfg(test)]",
            "#[cfg(test)] mod x {",
        ] {
            RustText::new(text);
        }
    }
}
