//! `wattspring assess`: reads a record, works it out, prints the report, writes the papers.

use crate::cli::{AssessArgs, Format};
use crate::printing::{self, begin_folder, write};
use crate::{edition_paper, figures, materials_file, rule_book, status};
use assess::{Assessment, Desk, MeteredDesk};
use job::Job;
use miette::{Context, IntoDiagnostic, miette};
use papers::report::{ReportDetail, ReportDrawings, report};
use rules::RuleBook;
use std::io::{Read, Write};
use std::path::Path;
use std::process::ExitCode;

/// Works out the record and prints it.
pub(crate) fn run(args: &AssessArgs, styled: bool, out: &mut impl Write) -> miette::Result<ExitCode> {
    let book = rule_book::with_local(&args.book.local)?;
    let job = read(&args.job, &book)?;
    let desk = rule_book::desk(&book, &args.book, args.date)?;
    let meter = crate::meter_command::of_record(&job, &args.job)?;
    let desk = MeteredDesk { desk, meter };
    if let Some(editions) = &args.compare {
        return compare(&job, &desk, editions, args.format, styled, out);
    }
    let assessment = assess::assess(&job, &desk);
    let drawings = figures::drawings(&job, &assessment);
    let detail = if args.all {
        ReportDetail::MetWithWorking
    } else {
        ReportDetail::MetAsTable
    };
    let document = report(&assessment, &drawings, detail);
    printing::print(args.format, &assessment, &document, styled, out)?;
    if let Some(folder) = &args.out {
        write_papers(folder, &job, &assessment, &document, &drawings)?;
    }
    Ok(status::of(assessment.worst()))
}

/// Works the record out under two editions and prints what changes.
fn compare(
    job: &Job,
    desk: &impl Desk,
    editions: &str,
    format: Format,
    styled: bool,
    out: &mut impl Write,
) -> miette::Result<ExitCode> {
    let Some((first, second)) = editions.split_once(',') else {
        return Err(miette!(
            help = "write them as `--compare 2017,2023`",
            "two editions are wanted, with a comma between, not `{editions}`"
        ));
    };
    let compared = assess::compare_editions(job, desk, first.trim(), second.trim()).into_diagnostic()?;
    let document = edition_paper::document(&compared, desk.today(), job.about.units);
    printing::print(format, &compared, &document, styled, out)?;
    Ok(status::of(compared.worst()))
}

/// Reads and checks a record by the words of a rule book; `-` is standard input.
pub(crate) fn read(path: &Path, book: &RuleBook) -> miette::Result<Job> {
    let name = path.display().to_string();
    let bytes = if name == "-" {
        let mut bytes = Vec::new();
        let most = u64::try_from(jobfile::SIZE_MAX)
            .unwrap_or(u64::MAX)
            .saturating_add(1);
        std::io::stdin()
            .take(most)
            .read_to_end(&mut bytes)
            .into_diagnostic()
            .wrap_err("standard input could not be read")?;
        bytes
    } else {
        let size = std::fs::metadata(path)
            .into_diagnostic()
            .wrap_err_with(|| format!("`{name}` could not be read; check the name"))?;
        if size.is_dir() {
            return Err(miette!(
                help = "name a job record, such as house.job.toml",
                "`{name}` is a folder"
            ));
        }
        std::fs::read(path)
            .into_diagnostic()
            .wrap_err_with(|| format!("`{name}` could not be read"))?
    };
    Ok(jobfile::read_with(&name, &bytes, |job| {
        assess::observed_problems_by(book, job)
    })?)
}

fn write_papers(
    folder: &Path,
    job: &Job,
    assessment: &Assessment,
    document: &papers::Document,
    drawings: &ReportDrawings,
) -> miette::Result<()> {
    begin_folder(folder, "assessment.json", assessment)?;
    let materials = takeoff::materials(job, assessment);
    let list = materials_file::csv(&materials, assessment.head.units).into_diagnostic()?;
    write(folder, "materials.csv", &list)?;
    for (name, svg) in figures::files(drawings) {
        write(folder, name, svg.as_bytes())?;
    }
    printing::papers(folder, "report", document)
}
