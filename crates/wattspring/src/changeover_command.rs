//! `wattspring changeover`: modes, states, hazards and orders of moves of a job, and the card that hangs beside the valves.

use crate::assess_command::{read, write};
use crate::cli::{ChangeoverArgs, Format};
use crate::status;
use assess::DatedDesk;
use assess::changeover::{ChangeOver, change_over};
use drawings::{piping, piping_of_job, svg_print};
use job::Job;
use miette::{Context, IntoDiagnostic};
use papers::document::Figure;
use papers::terminal::{self, Look};
use papers::{Document, change_over as paper};
use rules::RuleBook;
use std::io::Write;
use std::path::Path;
use std::process::ExitCode;

/// Works out the change-over and prints it.
pub(crate) fn run(args: &ChangeoverArgs, styled: bool, out: &mut impl Write) -> miette::Result<ExitCode> {
    let job = read(&args.job, RuleBook::embedded())?;
    let desk = DatedDesk {
        today: args.date.unwrap_or_else(|| jiff::ZonedDateTime::now().date()),
        electrical: None,
    };
    let found = change_over(&job, &desk).into_diagnostic()?;
    let drawn = figures(&job, &found);
    let report = paper::report(
        &found,
        &drawn.iter().map(|(_, figure)| figure.clone()).collect::<Vec<_>>(),
    );
    let card = paper::card(&found);
    match args.format {
        Format::Json => {
            serde_json::to_writer_pretty(&mut *out, &found)
                .into_diagnostic()
                .wrap_err("the JSON could not be written")?;
            writeln!(out).into_diagnostic()?;
        }
        Format::Text => {
            let document = if args.card { &card } else { &report };
            let page = terminal::print(document, Look { columns: 80, styled });
            out.write_all(page.as_bytes())
                .into_diagnostic()
                .wrap_err("the report could not be printed")?;
        }
    }
    if let Some(folder) = &args.out {
        std::fs::create_dir_all(folder)
            .into_diagnostic()
            .wrap_err_with(|| format!("the folder `{}` could not be made", folder.display()))?;
        let json = serde_json::to_vec_pretty(&found).into_diagnostic()?;
        write(folder, "changeover.json", &json)?;
        for (name, figure) in &drawn {
            write(folder, name, figure.svg.as_bytes())?;
        }
        papers(folder, "changeover", &report)?;
        papers(folder, "changeover-card", &card)?;
    }
    Ok(status::of(found.worst))
}

/// The schematic of each mode, with the name of its file.
fn figures(job: &Job, found: &ChangeOver) -> Vec<(String, Figure)> {
    let modes = (1..).zip(piping_of_job::piping_in_modes(job, found));
    let figures = modes.map(|(number, (mode, input))| {
        let file = format!("piping-mode-{number}.svg");
        let lines = vec![format!(
            "{file} with `--out DIR`; positions are in the table of modes."
        )];
        let figure = Figure {
            svg: svg_print::svg(&piping::schematic(&input)),
            caption: Some(format!("Piping: {mode}")),
            alt: format!("Piping with valve tags and positions in mode {mode}"),
            lines,
        };
        (file, figure)
    });
    figures.collect()
}

fn papers(folder: &Path, name: &str, document: &Document) -> miette::Result<()> {
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
