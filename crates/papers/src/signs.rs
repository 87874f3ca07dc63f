//! The sign of a severity or a callout: letters for a terminal, a shape for a drawn page, and a class name.
//!
//! Each shape differs from all others in outline, so that black and white print, a poor copy and a color-blind reader
//! lose nothing. The word always stands beside the sign; neither printer shows a sign alone.

use crate::document::CalloutKind;
use trace::Severity;

/// A sign.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Sign {
    /// Of a severity.
    Severity(Severity),
    /// Of a caution.
    Caution,
    /// Of a note.
    Note,
}

impl From<CalloutKind> for Sign {
    fn from(kind: CalloutKind) -> Self {
        match kind {
            CalloutKind::Caution => Self::Caution,
            CalloutKind::Verdict(severity) => Self::Severity(severity),
            CalloutKind::Note => Self::Note,
        }
    }
}

impl Sign {
    /// All signs, each once.
    #[cfg(any(feature = "pdf", test))]
    pub(crate) fn all() -> impl Iterator<Item = Self> {
        Severity::ALL
            .into_iter()
            .map(Self::Severity)
            .chain([Self::Caution, Self::Note])
    }

    /// The sign in letters.
    pub(crate) fn letters(self) -> &'static str {
        match self {
            Self::Severity(severity) => severity.sign(),
            Self::Caution => "/!\\",
            Self::Note => "(i)",
        }
    }

    /// A name for style sheets and files.
    pub(crate) fn name(self) -> &'static str {
        match self {
            Self::Severity(Severity::Stop) => "stop",
            Self::Severity(Severity::Change) => "change",
            Self::Severity(Severity::Judge) => "judge",
            Self::Severity(Severity::Unknown) => "unknown",
            Self::Severity(Severity::Note) => "remark",
            Self::Severity(Severity::Met) => "met",
            Self::Caution => "caution",
            Self::Note => "note",
        }
    }

    /// The shape inside a square of 24 units: SVG elements in the current color, paper-colored parts in `paper`.
    pub(crate) fn shape(self, paper: &str) -> String {
        match self {
            // Filled octagon, crossed.
            Self::Severity(Severity::Stop) => format!(
                r#"<path fill="currentColor" d="M7.4 1h9.2L23 7.4v9.2L16.6 23H7.4L1 16.6V7.4z"/><path fill="none" stroke="{paper}" stroke-width="3" d="M7.6 7.6l8.8 8.8m0-8.8l-8.8 8.8"/>"#
            ),
            // Filled triangle with a bar and a dot.
            Self::Severity(Severity::Change) => format!(
                r#"<path fill="currentColor" d="M12 1.5L23.5 22H.5z"/><path fill="{paper}" d="M10.6 8.2h2.8l-.5 6.8h-1.8zM10.6 16.6h2.8v2.8h-2.8z"/>"#
            ),
            // Standing diamond with a question mark.
            Self::Severity(Severity::Judge) => concat!(
                r#"<path fill="none" stroke="currentColor" stroke-width="2" d="M12 1.5L22.5 12 12 22.5 1.5 12z"/>"#,
                r#"<path fill="none" stroke="currentColor" stroke-width="2" d="M9 9.8c0-3.8 6-3.8 6 0 0 2.3-3 2.3-3 4.6"/>"#,
                r#"<path fill="currentColor" d="M10.8 15.6h2.4V18h-2.4z"/>"#
            )
            .to_owned(),
            // Empty square, broken outline.
            Self::Severity(Severity::Unknown) => concat!(
                r#"<path fill="none" stroke="currentColor" stroke-width="2.2" d="M2.5 7V2.5H7m10 0h4.5V7m0 10v4.5H17m-10 0H2.5V17"/>"#,
                r#"<path fill="none" stroke="currentColor" stroke-width="2.2" d="M10.5 2.5h3M21.5 10.5v3M13.5 21.5h-3M2.5 13.5v-3"/>"#
            )
            .to_owned(),
            // Circle with an i.
            Self::Severity(Severity::Note) | Self::Note => concat!(
                r#"<circle cx="12" cy="12" r="10" fill="none" stroke="currentColor" stroke-width="2"/>"#,
                r#"<path fill="currentColor" d="M10.7 10.4h2.6v7.4h-2.6zM10.7 6.2h2.6v2.6h-2.6z"/>"#
            )
            .to_owned(),
            // Closed square with two even bars.
            Self::Severity(Severity::Met) => concat!(
                r#"<path fill="none" stroke="currentColor" stroke-width="2" d="M2.5 2.5h19v19h-19z"/>"#,
                r#"<path fill="currentColor" d="M6.5 8h11v2.4h-11zM6.5 13.6h11V16h-11z"/>"#
            )
            .to_owned(),
            // Open triangle with a bar and a dot.
            Self::Caution => concat!(
                r#"<path fill="none" stroke="currentColor" stroke-width="2" stroke-linejoin="round" d="M12 2.5L22.5 21.5h-21z"/>"#,
                r#"<path fill="currentColor" d="M10.8 8.8h2.4l-.4 6.4h-1.6zM10.8 16.6h2.4V19h-2.4z"/>"#
            )
            .to_owned(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn signs_differ_without_color() {
        let signs: Vec<Sign> = Sign::all().filter(|sign| *sign != Sign::Note).collect();
        for (index, one) in signs.iter().enumerate() {
            for other in &signs[index + 1..] {
                assert_ne!(one.letters(), other.letters());
                assert_ne!(one.shape("white"), other.shape("white"));
                assert_ne!(one.name(), other.name());
            }
        }
    }
}
