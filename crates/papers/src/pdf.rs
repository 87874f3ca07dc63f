//! Printer for paper: a PDF for the archive (PDF/A-2a) that can also be read by ear (PDF/UA-1).
//!
//! In: a [`Document`]. Out: the bytes of the file, the same for the same document, today and in ten years: the date is
//! the document's own and nothing else of the outside enters. Start at [`print()`].
//!
//! The typesetter is `typst`, used as a library. Its template (`pdf/sheet.typ`) and typefaces are part of this program;
//! the document reaches it as a JSON file in memory and drawings as SVG files in memory, so that no text is ever read as
//! markup. It is offered no other file, no package and no network. Nothing outside this module knows `typst`.

mod error;
mod page_data;
mod printable;
mod world;

pub use error::PdfError;

use crate::document::Document;
use page_data::PageData;
use printable::Repertoire;
use typst::diag::SourceDiagnostic;
use typst::foundations::Smart;
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards};
use world::Desk;

/// Prints a document: US letter for US units, A4 for SI.
///
/// Characters that no built-in typeface has are shown as `□` and listed at the end of the paper.
///
/// # Errors
/// [`PdfError::Figure`] when a drawing is not an SVG; the other kinds when the typesetter refuses the paper.
pub fn print(document: &Document) -> Result<Vec<u8>, PdfError> {
    // Some sequences of printable characters still have no glyph together. Rather than leave a hole or break the
    // standard, the whole paper is then set in plain letters only.
    match print_in(document, Repertoire::Typefaces) {
        Err(PdfError::Export { .. }) => print_in(document, Repertoire::PlainLetters),
        done => done,
    }
}

fn print_in(document: &Document, repertoire: Repertoire) -> Result<Vec<u8>, PdfError> {
    let desk = Desk::new(PageData::of(document, repertoire), document.head.date);
    let typeset = typst::compile::<PagedDocument>(&desk);
    let written = match &typeset.output {
        Ok(pages) => typst_pdf::pdf(pages, &options()?).map_err(|found| PdfError::Export {
            reasons: reasons(&found),
        }),
        Err(found) => Err(refused(found, &desk)),
    };
    // The typesetter remembers every page it ever made unless told not to.
    typst::comemo::evict(2);
    written
}

fn options() -> Result<PdfOptions, PdfError> {
    let standards =
        PdfStandards::new(&[PdfStandard::A_2a, PdfStandard::Ua_1]).map_err(|found| PdfError::Export {
            reasons: vec![found.message().to_string()],
        })?;
    Ok(PdfOptions {
        standards,
        creator: Smart::Custom(None),
        ..PdfOptions::default()
    })
}

fn refused(found: &[SourceDiagnostic], desk: &Desk) -> PdfError {
    let reasons = reasons(found);
    match found
        .iter()
        .find_map(|diagnostic| desk.figure_at(diagnostic.span))
    {
        Some(number) => PdfError::Figure { number, reasons },
        None => PdfError::Typesetting { reasons },
    }
}

/// The typesetter's own words, hints included.
fn reasons(found: &[SourceDiagnostic]) -> Vec<String> {
    found
        .iter()
        .map(|diagnostic| {
            let mut reason = diagnostic.message.to_string();
            for hint in &diagnostic.hints {
                reason.push_str("; ");
                reason.push_str(&hint.v);
            }
            reason
        })
        .collect()
}
