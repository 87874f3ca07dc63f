//! How a command's answer leaves the program: one page or JSON to the terminal, papers into a folder.
//!
//! In: a document and the same for machines. Out: bytes written, or why they could not be. Knows no command.

use crate::cli::Format;
use miette::{Context, IntoDiagnostic};
use papers::Document;
use papers::terminal::{self, Look};
use std::io::Write;
use std::path::Path;

/// Prints the document, or what machines read instead.
pub(crate) fn print(
    format: Format,
    machine: &impl serde::Serialize,
    document: &Document,
    styled: bool,
    out: &mut impl Write,
) -> miette::Result<()> {
    match format {
        Format::Json => {
            serde_json::to_writer_pretty(&mut *out, machine)
                .into_diagnostic()
                .wrap_err("the JSON could not be written")?;
            writeln!(out).into_diagnostic()
        }
        Format::Text => {
            let page = terminal::print(document, Look { columns: 80, styled });
            out.write_all(page.as_bytes())
                .into_diagnostic()
                .wrap_err("the report could not be printed")
        }
    }
}

/// Makes the folder for papers and writes what machines read into it.
pub(crate) fn begin_folder(folder: &Path, name: &str, machine: &impl serde::Serialize) -> miette::Result<()> {
    std::fs::create_dir_all(folder)
        .into_diagnostic()
        .wrap_err_with(|| format!("the folder `{}` could not be made", folder.display()))?;
    let json = serde_json::to_vec_pretty(machine).into_diagnostic()?;
    write(folder, name, &json)
}

/// The document as a page and, where the typesetter is built in, as a PDF.
pub(crate) fn papers(folder: &Path, name: &str, document: &Document) -> miette::Result<()> {
    write(
        folder,
        &format!("{name}.html"),
        papers::html::print(document).as_bytes(),
    )?;
    #[cfg(feature = "pdf")]
    write(
        folder,
        &format!("{name}.pdf"),
        &papers::pdf::print(document)
            .into_diagnostic()
            .wrap_err("the PDF could not be made")?,
    )?;
    Ok(())
}

/// One file.
pub(crate) fn write(folder: &Path, name: &str, bytes: &[u8]) -> miette::Result<()> {
    let path = folder.join(name);
    std::fs::write(&path, bytes)
        .into_diagnostic()
        .wrap_err_with(|| format!("`{}` could not be written", path.display()))
}
