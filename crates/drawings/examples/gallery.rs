//! Writes every sample drawing as an SVG file into the folder named on the command line, to be looked at.

#[path = "../samples/charts.rs"]
mod charts;
#[path = "../samples/one_line_jobs.rs"]
mod one_line_jobs;
#[path = "../samples/piping_houses.rs"]
mod piping_houses;

use drawings::shape::Drawing;
use drawings::{capability, chart, clash, mains, one_line, piping, plain, svg_print};
use quantity::UnitSystem;
use std::io::Write as _;
use std::path::Path;

fn main() -> std::io::Result<()> {
    let folder = std::env::args().nth(1).unwrap_or_else(|| ".".to_owned());
    let jobs = [
        ("one-line-typical", one_line_jobs::typical()),
        ("one-line-three-panels", one_line_jobs::three_panels()),
        ("one-line-empty", one_line_jobs::service(Vec::new())),
        ("one-line-ugly", one_line_jobs::ugly()),
    ];
    for (name, job) in &jobs {
        write(&folder, name, &one_line::diagram(job))?;
        print_lines(&plain::one_line_tree(job, 76))?;
    }
    let sheets = [
        (
            "chart-capability",
            capability::chart(&charts::capability(UnitSystem::Us)),
        ),
        (
            "chart-capability-si",
            capability::chart(&charts::capability(UnitSystem::Si)),
        ),
        ("chart-mains", mains::chart(&charts::mains(UnitSystem::Us))),
        ("chart-ugly", charts::ugly()),
        ("chart-empty", charts::empty()),
    ];
    for (name, lines) in &sheets {
        write(&folder, name, &chart::sheet(lines))?;
        print_lines(&plain::line_chart(lines, 76, 16))?;
    }
    let houses = [
        ("piping-two-sources", piping_houses::two_sources()),
        ("piping-large", piping_houses::large(6)),
        ("piping-empty", piping::Piping::default()),
    ];
    for (name, house) in &houses {
        write(&folder, name, &piping::schematic(house))?;
    }
    Ok(())
}

fn print_lines(lines: &[String]) -> std::io::Result<()> {
    let mut out = std::io::stdout().lock();
    for line in lines {
        writeln!(out, "{line}")?;
    }
    writeln!(out)
}

fn write(folder: &str, name: &str, drawing: &Drawing) -> std::io::Result<()> {
    let mut out = std::io::stdout().lock();
    for clash in clash::overlaps(drawing) {
        writeln!(out, "{name}: {clash}")?;
    }
    std::fs::write(
        Path::new(folder).join(format!("{name}.svg")),
        svg_print::svg(drawing),
    )
}
