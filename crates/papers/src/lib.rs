//! Documents: one report tree, printed to a terminal, to HTML and to PDF.
//!
//! In: a [`Document`], which says what stands on the page and not how. Out: text, one HTML file, or the bytes of a PDF.
//! Start reading at [`document`]; the three printers are [`terminal`], [`html`] and (feature `pdf`) [`pdf`].
//!
//! The printers compute nothing and judge nothing: every figure arrives as text with its unit, every verdict as a
//! severity somebody else decided. They read no file, no clock and no environment; the date is part of the document.
//! Text is data everywhere: nothing a person typed can become markup, a control sequence or typesetting code.
//! Words that the printers add themselves stand in [`words`], in English and Spanish.
//!
//! ```
//! use papers::document::{Block, Document, Head, Level};
//! use papers::terminal::{self, Look};
//!
//! let head = Head::new("Back hall", jiff::civil::date(2026, 3, 14));
//! let mut document = Document::new("Survey", head);
//! document.push(Block::heading(Level::Part, "Service"));
//! document.push(Block::paragraph("The panel stands in the laundry."));
//!
//! let page = terminal::print(&document, Look { columns: 60, styled: false });
//! assert!(page.contains("The panel stands in the laundry."));
//! ```

pub mod change_over;
pub mod document;
pub mod html;
#[cfg(feature = "pdf")]
pub mod pdf;
pub mod report;
pub mod terminal;
pub mod words;

mod legible;
mod signs;
mod working;

pub use document::Document;
