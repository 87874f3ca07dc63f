//! Why a paper could not be made.

use thiserror::Error;

/// Why a paper could not be made.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum PdfError {
    /// A drawing could not be read.
    #[error("figure {number} is not a drawing that can be printed: {}; make the drawing again", .reasons.join(" / "))]
    Figure {
        /// Its number on the paper, counted from 1.
        number: usize,
        /// The typesetter's words.
        reasons: Vec<String>,
    },
    /// The pages could not be set.
    #[error("the paper could not be typeset: {}; print it as HTML and report the paper", .reasons.join(" / "))]
    Typesetting {
        /// The typesetter's words.
        reasons: Vec<String>,
    },
    /// The pages could not be written as an archive PDF.
    #[error("the paper could not be written as PDF: {}; print it as HTML and report the paper", .reasons.join(" / "))]
    Export {
        /// The typesetter's words.
        reasons: Vec<String>,
    },
}
