//! `wattspring meter`: reads a meter file, prints what it says and, with a job, how high the house peaks with the heater.

use crate::assess_command::read;
use crate::cli::MeterArgs;
use crate::meter_paper;
use crate::printing::{self, begin_folder, write};
use assess::demand::{DemandOverlay, OverlaySettings, overlay};
use assess::{DatedDesk, MeterReport, MeterSummary, MeteredDesk, meter_report};
use job::Job;
use meter::{CsvOptions, Import};
use miette::{Context, IntoDiagnostic, miette};
use rules::RuleBook;
use serde_json::json;
use std::fs::File;
use std::io::Write;
use std::path::{Path, PathBuf};

/// A file with the place where it was found and what is said about it.
struct Wanted {
    path: PathBuf,
    point: Option<String>,
    options: CsvOptions,
}

/// Reads the file and prints it.
pub(crate) fn run(args: &MeterArgs, styled: bool, out: &mut impl Write) -> miette::Result<()> {
    let job = args
        .job
        .as_deref()
        .map(|path| read(path, RuleBook::embedded()))
        .transpose()?;
    let wanted = wanted(args, job.as_ref())?;
    let import = import(&wanted)?;
    let series = import
        .demand(wanted.point.as_deref())
        .map_err(unusable(&wanted.path))?;
    let report = meter_report(&import, series)
        .ok_or_else(|| miette!("`{}` holds no usable reading", wanted.path.display()))?;
    let overlay = match &job {
        Some(job) => Some(laid_over(args, job, &import, series, &report)?),
        None => None,
    };
    let date = args.date.unwrap_or_else(|| jiff::ZonedDateTime::now().date());
    let units = job.as_ref().map_or_else(Default::default, |job| job.about.units);
    let name = wanted.path.file_name().map_or_else(
        || wanted.path.display().to_string(),
        |name| name.to_string_lossy().into_owned(),
    );
    let charts = meter_paper::charts(&report, overlay.as_ref());
    let document = meter_paper::paper(&name, date, units, &report, overlay.as_ref(), &charts);
    let machine = json!({ "meter": report, "overlay": overlay });
    printing::print(args.format, &machine, &document, styled, out)?;
    if let Some(folder) = &args.out {
        begin_folder(folder, "meter.json", &machine)?;
        write(folder, "meter.html", papers::html::print(&document).as_bytes())?;
        for (name, figure) in &charts {
            write(folder, &format!("{name}.svg"), figure.svg.as_bytes())?;
        }
    }
    Ok(())
}

/// What the meter file of a record says, for its assessment; none where the record names no file.
pub(crate) fn of_record(job: &Job, record: &Path) -> miette::Result<Option<MeterSummary>> {
    let Some(meter) = &job.meter else { return Ok(None) };
    let wanted = of_job(meter, record)?;
    let import = import(&wanted)?;
    let series = import
        .demand(wanted.point.as_deref())
        .map_err(unusable(&wanted.path))?;
    Ok(meter_report(&import, series).map(|report| report.summary()))
}

fn laid_over(
    args: &MeterArgs,
    job: &Job,
    import: &Import,
    series: &meter::Series,
    report: &MeterReport,
) -> miette::Result<DemandOverlay> {
    let desk = MeteredDesk {
        desk: DatedDesk {
            today: args.date.unwrap_or_else(|| jiff::ZonedDateTime::now().date()),
            electrical: None,
        },
        meter: Some(report.summary()),
    };
    let assessment = assess::assess(job, &desk);
    let settings = OverlaySettings {
        years: args.years,
        seed: args.seed,
        people: args.people,
    };
    overlay(job, &assessment, series, &import.local, &settings)
        .map_err(|error| miette!("{error}"))
        .wrap_err("the heater could not be laid over the measured demand")
}

/// The file named, or the record's.
fn wanted(args: &MeterArgs, job: Option<&Job>) -> miette::Result<Wanted> {
    let mut wanted = match (&args.file, job.and_then(|job| job.meter.as_ref()), &args.job) {
        (Some(file), _, _) => Wanted {
            path: file.clone(),
            point: None,
            options: CsvOptions::default(),
        },
        (None, Some(meter), Some(record)) => of_job(meter, record)?,
        (None, ..) => {
            return Err(miette!(
                help = "name the file, or enter it in the record as `meter.file`",
                "the record names no meter file"
            ));
        }
    };
    let options = &mut wanted.options;
    let set = |own: &mut Option<String>, given: &Option<String>| {
        if given.is_some() {
            own.clone_from(given);
        }
    };
    set(&mut wanted.point, &args.point);
    set(&mut options.unit, &args.unit);
    set(&mut options.start, &args.start);
    set(&mut options.time, &args.time);
    set(&mut options.end, &args.end);
    set(&mut options.value, &args.value);
    options.day_first |= args.day_first;
    if let Some(name) = &args.zone {
        options.zone = Some(zone(name)?);
    }
    Ok(wanted)
}

/// The file lies beside the record.
fn of_job(meter: &job::Meter, record: &Path) -> miette::Result<Wanted> {
    if record.as_os_str() == "-" {
        return Err(miette!(
            help = "name the record by its file, or take `meter` out of it",
            "a record from standard input cannot name a meter file: there is no folder to look in"
        ));
    }
    let folder = record.parent().unwrap_or_else(|| Path::new(""));
    Ok(Wanted {
        path: folder.join(&meter.file),
        point: meter.usage_point.clone(),
        options: CsvOptions {
            unit: meter.unit.clone(),
            zone: meter.zone.as_deref().map(zone).transpose()?,
            ..CsvOptions::default()
        },
    })
}

fn zone(name: &str) -> miette::Result<jiff::tz::TimeZone> {
    jiff::tz::TimeZone::get(name).map_err(|_| {
        miette!(
            help = "write it as the zone database does, such as America/Chicago",
            "no zone is called `{name}`"
        )
    })
}

fn import(wanted: &Wanted) -> miette::Result<Import> {
    let name = wanted.path.display();
    if wanted.path.as_os_str() == "-" {
        return meter::import(std::io::stdin().lock(), &wanted.options).map_err(unusable(&wanted.path));
    }
    if wanted.path.is_dir() {
        return Err(miette!(
            help = "name a meter file, such as usage.xml or usage.csv",
            "`{name}` is a folder"
        ));
    }
    let file = File::open(&wanted.path)
        .into_diagnostic()
        .wrap_err_with(|| format!("the meter file `{name}` could not be opened; check the name"))?;
    meter::import(file, &wanted.options).map_err(unusable(&wanted.path))
}

fn unusable(path: &Path) -> impl Fn(meter::MeterError) -> miette::Report {
    let name = path.display().to_string();
    move |error| miette!("{error}").wrap_err(format!("the meter file `{name}` cannot be used"))
}
