//! How surely a reading is known, by the code the meter system gave it.

/// Quality of a reading. A later one is worse.
///
/// Source: NAESB ESPI schema, type `QualityOfReading`: seen in bindings generated from the schema, codes 0 and 7 to 18;
/// 19 from memory.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Quality {
    /// Checked by the utility: 0, 17, 18, 19.
    Validated,
    /// As the meter gave it, unchecked: 14; also where nothing is said.
    Raw,
    /// Worked out, adjusted or entered by hand: 7, 11, 13, 15, 16.
    Edited,
    /// A stand-in for a reading that is missing: 8, 9, 12.
    Estimated,
    /// Failed a check: 10; also unknown codes.
    Questionable,
}

impl Quality {
    /// All, best first.
    pub const ALL: [Self; 5] = [
        Self::Validated,
        Self::Raw,
        Self::Edited,
        Self::Estimated,
        Self::Questionable,
    ];

    /// The quality that a code of the schema stands for, if the schema has it.
    pub fn of_code(code: i64) -> Option<Self> {
        Some(match code {
            0 | 17..=19 => Self::Validated,
            14 => Self::Raw,
            7 | 11 | 13 | 15 | 16 => Self::Edited,
            8 | 9 | 12 => Self::Estimated,
            10 => Self::Questionable,
            _ => return None,
        })
    }

    /// The quality that a word of a CSV file stands for: "actual", "estimated" and their like.
    pub(crate) fn of_word(word: &str) -> Option<Self> {
        let word = word.trim().to_ascii_lowercase();
        Some(match word.as_str() {
            "a" | "actual" | "act" | "measured" | "valid" | "validated" | "v" | "ok" | "good" => {
                Self::Validated
            }
            "raw" => Self::Raw,
            "edited" | "adjusted" | "manual" | "substituted" => Self::Edited,
            "e" | "est" | "estimate" | "estimated" => Self::Estimated,
            "questionable" | "suspect" | "bad" | "invalid" | "missing" => Self::Questionable,
            _ => return None,
        })
    }

    /// The word shown.
    pub fn word(self) -> &'static str {
        match self {
            Self::Validated => "validated",
            Self::Raw => "raw",
            Self::Edited => "edited",
            Self::Estimated => "estimated",
            Self::Questionable => "questionable",
        }
    }
}
