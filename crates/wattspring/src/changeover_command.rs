//! `wattspring changeover`: modes, states, hazards and orders of moves of a job, and the card that hangs beside the valves.

use crate::assess_command::read;
use crate::cli::ChangeoverArgs;
use crate::printing::{self, begin_folder, write};
use crate::status;
use assess::DatedDesk;
use assess::changeover::{ChangeOver, change_over};
use drawings::{piping, piping_of_job, svg_print};
use job::Job;
use miette::IntoDiagnostic;
use papers::change_over as paper;
use papers::document::Figure;
use rules::RuleBook;
use std::io::Write;
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
    let document = if args.card { &card } else { &report };
    printing::print(args.format, &found, document, styled, out)?;
    if let Some(folder) = &args.out {
        begin_folder(folder, "changeover.json", &found)?;
        for (name, figure) in &drawn {
            write(folder, name, figure.svg.as_bytes())?;
        }
        printing::papers(folder, "changeover", &report)?;
        printing::papers(folder, "changeover-card", &card)?;
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
