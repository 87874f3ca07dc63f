//! Inline text: spans of words, each with the weight it carries.
//!
//! No markup is ever read out of a string. A line feed inside a span is a line break on the page.

/// The weight of a span of words.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Weight {
    /// Running text.
    #[default]
    Plain,
    /// Slightly set off: a term, a title of another paper.
    Emphasis,
    /// Must not be overlooked.
    Strong,
    /// Something typed or printed elsewhere letter by letter: a tag, a rule id, a field name.
    Code,
}

/// Words of one weight.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Span {
    /// Their weight.
    pub weight: Weight,
    /// The words.
    pub words: String,
}

/// Running text made of spans.
///
/// ```
/// use papers::document::Text;
/// let text = Text::from("Breaker ").strong("off").plain(", lock on ").code("WH-2").plain(".");
/// assert_eq!(text.to_string(), "Breaker off, lock on WH-2.");
/// ```
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Text {
    spans: Vec<Span>,
}

impl Text {
    /// No words yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// A message in the house form, where values stand between backticks: those become [`Weight::Code`].
    ///
    /// A backtick without a partner is kept as it is.
    ///
    /// ```
    /// use papers::document::{Text, Weight};
    /// let text = Text::with_values("pipe `K3` has no length");
    /// assert_eq!(text.spans()[1].words, "K3");
    /// assert_eq!(text.spans()[1].weight, Weight::Code);
    /// assert_eq!(Text::with_values("a ` b").to_string(), "a ` b");
    /// ```
    pub fn with_values(message: &str) -> Self {
        let mut text = Self::new();
        let mut rest = message;
        while let Some((before, value, after)) = rest.split_once('`').and_then(|(before, tail)| {
            let (value, after) = tail.split_once('`')?;
            Some((before, value, after))
        }) {
            text = text.plain(before).code(value);
            rest = after;
        }
        text.plain(rest)
    }

    /// Adds running words.
    pub fn plain(self, words: impl Into<String>) -> Self {
        self.and(Weight::Plain, words)
    }

    /// Adds words slightly set off.
    pub fn emphasis(self, words: impl Into<String>) -> Self {
        self.and(Weight::Emphasis, words)
    }

    /// Adds words that must not be overlooked.
    pub fn strong(self, words: impl Into<String>) -> Self {
        self.and(Weight::Strong, words)
    }

    /// Adds something typed letter by letter.
    pub fn code(self, words: impl Into<String>) -> Self {
        self.and(Weight::Code, words)
    }

    /// Adds all spans of `more`.
    pub fn append(mut self, more: &Self) -> Self {
        self.spans.extend_from_slice(&more.spans);
        self
    }

    fn and(mut self, weight: Weight, words: impl Into<String>) -> Self {
        let words = words.into();
        if !words.is_empty() {
            self.spans.push(Span { weight, words });
        }
        self
    }

    /// The spans in order.
    pub fn spans(&self) -> &[Span] {
        &self.spans
    }

    /// Whether nothing would be seen.
    pub fn is_blank(&self) -> bool {
        self.spans
            .iter()
            .all(|span| crate::legible::is_blank(&span.words))
    }
}

impl std::fmt::Display for Text {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.spans.iter().try_for_each(|span| f.write_str(&span.words))
    }
}

impl From<&str> for Text {
    fn from(words: &str) -> Self {
        Self::new().plain(words)
    }
}

impl From<String> for Text {
    fn from(words: String) -> Self {
        Self::new().plain(words)
    }
}
