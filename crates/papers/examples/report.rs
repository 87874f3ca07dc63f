//! Writes the report of an invented assessment as text, HTML and, where built in, PDF: `--example report -- FOLDER`.

#[path = "../tests/report/assessments.rs"]
mod assessments;

use papers::report::{ReportDetail, ReportDrawings, report};
use papers::terminal::{self, Look};
use quantity::UnitSystem;
use std::error::Error;
use std::path::PathBuf;

fn main() -> Result<(), Box<dyn Error>> {
    let folder = PathBuf::from(std::env::args().nth(1).unwrap_or_else(|| ".".to_owned()));
    for (name, assessment) in [
        ("house", assessments::two_circuit_house(UnitSystem::Us)),
        ("house-si", assessments::two_circuit_house(UnitSystem::Si)),
        ("bare", assessments::bare()),
        ("hostile", assessments::named(assessments::HOSTILE)),
    ] {
        let document = report(&assessment, &ReportDrawings::default(), ReportDetail::MetAsTable);
        let at = |ending: &str| folder.join(format!("{name}.{ending}"));
        std::fs::write(at("txt"), terminal::print(&document, Look::default()))?;
        std::fs::write(at("html"), papers::html::print(&document))?;
        #[cfg(feature = "pdf")]
        std::fs::write(at("pdf"), papers::pdf::print(&document)?)?;
    }
    Ok(())
}
