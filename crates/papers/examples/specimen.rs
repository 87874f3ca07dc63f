//! Writes the specimen paper of the tests as text, HTML and, where built in, PDF: `--example specimen -- FOLDER`.

#[path = "../tests/specimen/document.rs"]
mod specimen;

use papers::terminal::{self, Look};
use std::error::Error;
use std::path::PathBuf;

fn main() -> Result<(), Box<dyn Error>> {
    let folder = PathBuf::from(std::env::args().nth(1).unwrap_or_else(|| ".".to_owned()));
    let document = specimen::document();
    let plain = Look {
        columns: 80,
        styled: false,
    };
    std::fs::write(folder.join("specimen.txt"), terminal::print(&document, plain))?;
    std::fs::write(
        folder.join("specimen.ansi"),
        terminal::print(
            &document,
            Look {
                styled: true,
                ..plain
            },
        ),
    )?;
    std::fs::write(folder.join("specimen.html"), papers::html::print(&document))?;
    #[cfg(feature = "pdf")]
    std::fs::write(folder.join("specimen.pdf"), papers::pdf::print(&document)?)?;
    Ok(())
}
