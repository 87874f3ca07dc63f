//! Words that the printers add themselves, by language.
//!
//! In: a [`Language`]. Out: [`Words`], every label a page can need. The text of a document is not translated here: it
//! arrives in the language that the document names.

mod english;
mod spanish;

use trace::{Origin, Severity, Source, SourceStatus};

/// A language that papers can be printed in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Language {
    /// English, American spelling.
    #[default]
    English,
    /// Spanish.
    Spanish,
}

impl Language {
    /// All.
    pub const ALL: [Self; 2] = [Self::English, Self::Spanish];

    /// The language a tag such as `es-US` names, if papers can be printed in it.
    ///
    /// ```
    /// use papers::words::Language;
    /// assert_eq!(Language::from_tag("es-US"), Some(Language::Spanish));
    /// assert_eq!(Language::from_tag("fr"), None);
    /// ```
    pub fn from_tag(tag: &str) -> Option<Self> {
        let primary = tag.split(['-', '_']).next().unwrap_or_default();
        Self::ALL
            .into_iter()
            .find(|language| language.tag().eq_ignore_ascii_case(primary))
    }

    /// Its tag, as HTML and PDF want it.
    pub fn tag(self) -> &'static str {
        match self {
            Self::English => "en",
            Self::Spanish => "es",
        }
    }

    /// Its words.
    pub fn words(self) -> &'static Words {
        match self {
            Self::English => &english::WORDS,
            Self::Spanish => &spanish::WORDS,
        }
    }
}

/// Every label a page can need, in one language.
#[derive(Debug)]
pub struct Words {
    /// Label of the job.
    pub job: &'static str,
    /// Label of the revision.
    pub revision: &'static str,
    /// Label of the edition of the code.
    pub edition: &'static str,
    /// Label of the date.
    pub date: &'static str,
    /// Label of the person who prepared the paper.
    pub prepared_by: &'static str,
    /// The word before a page number.
    pub page: &'static str,
    /// The word between a page number and the number of pages.
    pub of: &'static str,
    /// Heads the list of headings.
    pub contents: &'static str,
    /// Name of a paper without one.
    pub untitled: &'static str,
    /// Word of a caution.
    pub caution: &'static str,
    /// Word of a note.
    pub note: &'static str,
    /// Word of a verdict.
    pub verdict: &'static str,
    /// The word before the number of a figure.
    pub figure: &'static str,
    /// Heads the text version of a figure.
    pub in_words: &'static str,
    /// Label of what is to be done about a finding.
    pub remedy: &'static str,
    /// Label of the reason of a rule.
    pub why: &'static str,
    /// Label of the facts that were missing.
    pub missing: &'static str,
    /// Label of the rule.
    pub rule: &'static str,
    /// Label of the source.
    pub source: &'static str,
    /// Heads the working.
    pub working: &'static str,
    /// Column of symbols.
    pub symbol: &'static str,
    /// Column of meanings.
    pub meaning: &'static str,
    /// Column of values.
    pub value: &'static str,
    /// Column of origins.
    pub origin: &'static str,
    /// Column saying how to find a fact on site.
    pub measure: &'static str,
    /// Label of the formula.
    pub formula: &'static str,
    /// Label of the formula with the numbers put in.
    pub substituted: &'static str,
    /// Label of the result.
    pub result: &'static str,
    /// Label of the values at which the result would be the other one.
    pub turns: &'static str,
    /// Before the value as it is.
    pub now: &'static str,
    /// Label of inputs that were assumed.
    pub assumed: &'static str,
    /// Label of a fact that is not known.
    pub none: &'static str,
    /// Printed on every sheet that has no caution of its own.
    pub standing_caution: &'static str,
    /// Printed where characters could not be printed; `{}` stands for the list.
    pub unprintable: &'static str,
    severities: [(&'static str, &'static str); 6],
    origins: [&'static str; 5],
    statuses: [&'static str; 4],
}

impl Words {
    /// The word of a severity.
    pub fn severity(&self, severity: Severity) -> &'static str {
        self.severities[severity as usize].0
    }

    /// What a severity means.
    pub fn severity_meaning(&self, severity: Severity) -> &'static str {
        self.severities[severity as usize].1
    }

    /// How a value entered.
    pub fn origin(&self, origin: Origin) -> &'static str {
        self.origins[origin as usize]
    }

    /// How surely a source was read.
    pub fn status(&self, status: SourceStatus) -> &'static str {
        self.statuses[status as usize]
    }

    /// A source with its edition, place and status.
    pub fn source(&self, source: &Source) -> String {
        let mut text = source.document.clone();
        if let Some(edition) = &source.edition {
            text = format!("{text} {edition}");
        }
        if let Some(place) = &source.place {
            text = format!("{text}, {place}");
        }
        format!("{text} ({})", self.status(source.status))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn english_words_are_those_of_the_findings_themselves() {
        let words = Language::English.words();
        for severity in Severity::ALL {
            assert_eq!(words.severity(severity), severity.word());
            assert_eq!(words.severity_meaning(severity), severity.meaning());
        }
        for origin in [
            Origin::Measured,
            Origin::Entered,
            Origin::Assumed,
            Origin::Table,
            Origin::Computed,
        ] {
            assert_eq!(words.origin(origin), origin.to_string());
        }
        let source = Source {
            document: "Book".to_owned(),
            edition: Some("2020".to_owned()),
            place: Some("table 3".to_owned()),
            status: SourceStatus::CommonPractice,
        };
        assert_eq!(words.source(&source), source.to_string());
        for status in [
            SourceStatus::Seen,
            SourceStatus::Memory,
            SourceStatus::CommonPractice,
            SourceStatus::Computed,
        ] {
            assert_eq!(words.status(status), status.to_string());
        }
    }

    #[test]
    fn no_two_severities_share_a_word() {
        for language in Language::ALL {
            let mut seen: Vec<&str> = Severity::ALL
                .map(|severity| language.words().severity(severity))
                .to_vec();
            seen.sort_unstable();
            seen.dedup();
            assert_eq!(seen.len(), Severity::ALL.len(), "{language:?}");
        }
    }

    #[test]
    fn the_note_on_unprintable_characters_has_room_for_them() {
        for language in Language::ALL {
            assert_eq!(
                language.words().unprintable.matches("{}").count(),
                1,
                "{language:?}"
            );
        }
    }
}
