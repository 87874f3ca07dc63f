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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::document::{
        Blank, Block, Callout, CalloutKind, Column, Definition, FillIn, Head, Level, ListMarks, Table, Text,
    };
    use typst::layout::{Frame, FrameItem};

    /// Right edge of the words that reach farthest, in points.
    fn reach(frame: &Frame) -> f64 {
        frame
            .items()
            .map(|(at, item)| {
                let width = match item {
                    FrameItem::Text(text) => text.width().to_pt(),
                    FrameItem::Group(group) => group.transform.tx.to_pt() + reach(&group.frame),
                    _ => 0.0,
                };
                at.x.to_pt() + width
            })
            .fold(0.0, f64::max)
    }

    #[test]
    fn words_without_a_place_to_break_stay_on_the_sheet() {
        let long = "W".repeat(300);
        let long = long.as_str();
        let mut document = Document::new(
            long,
            Head::new(long, jiff::civil::date(2026, 3, 14)).fact(long, long),
        );
        document.head.revision = Some(long.to_owned());
        document.head.edition = Some(long.to_owned());
        document.caution = Some(long.to_owned());
        for n_columns in [1, 3, 9] {
            let columns = (0..n_columns).map(|_| Column::words(long));
            document.push(Block::Table(
                Table::new(columns).row((0..n_columns).map(|_| long)),
            ));
        }
        for block in [
            Block::heading(Level::Part, long),
            Block::paragraph(Text::new().code(long)),
            Block::Definitions(vec![Definition::new(long, long).unit(long)]),
            Block::Callout(Callout::new(CalloutKind::Note, long).titled(long)),
            Block::list(ListMarks::CheckBoxes, [long]),
            Block::FillIn(FillIn {
                blanks: vec![Blank::long(long).unit(long), Blank::short("short")],
            }),
        ] {
            document.push(block);
        }
        let desk = Desk::new(PageData::of(&document, Repertoire::Typefaces), document.head.date);
        let typeset = typst::compile::<PagedDocument>(&desk);
        assert!(typeset.warnings.is_empty(), "{:?}", reasons(&typeset.warnings));
        for page in typeset.output.unwrap().pages() {
            let (reach, sheet) = (reach(&page.frame), page.frame.width().to_pt());
            assert!(reach > 0.0 && reach < sheet, "{reach} of {sheet}");
        }
    }
}
