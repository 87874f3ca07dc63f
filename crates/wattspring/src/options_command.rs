//! `wattspring options`: other units for a job, in two tables: what each gives, and what rejects it.

use crate::assess_command::read;
use crate::cli::OptionsArgs;
use crate::rule_book;
use assess::{Desk, MeteredDesk};
use job::Job;
use miette::{Context, IntoDiagnostic, miette};
use options::{Evaluated, TankFate, evaluate, pareto, range_source};
use papers::Document;
use papers::document::{Block, Column, Head, Level, RowRole, Table, Text};
use papers::terminal::{self, Look};
use quantity::{Current, Kind, Power, Time, UnitSystem, VolumeFlow};
use std::io::Write;

/// Reads the record, tries the units and prints them.
pub(crate) fn run(args: &OptionsArgs, styled: bool, out: &mut impl Write) -> miette::Result<()> {
    let book = rule_book::with_local(&args.book.local)?;
    let job = read(&args.job, &book)?;
    let desk = rule_book::desk(&book, &args.book, args.date)?;
    let meter = crate::meter_command::of_record(&job, &args.job)?;
    let desk = MeteredDesk { desk, meter };
    let evaluated = evaluate(&job, &desk);
    if evaluated.is_empty() {
        return Err(miette!(
            help = "give one of its `sources` the kind `on-demand` and the status `proposed`",
            "the record has no proposed on-demand unit to be changed"
        ));
    }
    let document = paper(&job, &desk, &evaluated);
    let page = terminal::print(&document, Look { columns: 80, styled });
    out.write_all(page.as_bytes())
        .into_diagnostic()
        .wrap_err("the options could not be printed")
}

fn paper(job: &Job, desk: &impl Desk, evaluated: &[Evaluated]) -> Document {
    let written = assess::assess(job, desk).head;
    let mut head = Head::new(written.title, desk.today());
    head.revision = Some(written.revision);
    head.edition = Some(format!("{}, {}", written.electrical_code, written.plumbing_code));
    let units = written.units;
    let mut document = Document::new("Other units for this job", head);
    document.subtitle =
        Some("The proposed on-demand unit with other elements, all else as recorded".to_owned());
    document.units = units;
    document.push(Block::paragraph(lead(evaluated)));
    document.push(Block::Table(figures(units, evaluated)));
    document.push(Block::paragraph(
        "`unbeaten`: no other is as good in service left, shower flow and breaker spaces, and better in one of them. \
         A sign: rejected, by the finding below. Neither mark says that a unit may be installed.",
    ));
    let rejected = rejected(evaluated);
    if !rejected.rows().is_empty() {
        document.push(Block::heading(Level::Part, "What rejects them"));
        document.push(Block::Table(rejected));
    }
    document
}

fn lead(evaluated: &[Evaluated]) -> String {
    let left = evaluated.iter().filter(|one| one.killed_by.is_none()).count();
    let method = evaluated.iter().find_map(|one| one.margin_method.as_deref());
    let method = method.map_or_else(
        || "No service is recorded, so nothing is said about what is left of it.".to_owned(),
        |method| format!("What is left of the service is by the method `{method}`."),
    );
    format!(
        "{} units tried, {left} not rejected. {method} Shower flow is mixed water of {} in the coldest month; `holds` \
         counts the situations of the record that the unit heats in it. Element sizes: {}.",
        evaluated.len(),
        "105 °F (40.6 °C)",
        range_source(),
    )
}

fn column<K: Kind>(words: &str, units: UnitSystem) -> Column {
    Column::figures(format!("{words}, {}", K::unit(units).symbol())).share(2)
}

fn figures(units: UnitSystem, evaluated: &[Evaluated]) -> Table {
    let unbeaten = pareto(evaluated);
    let mut table = Table::new([
        Column::words("unit").share(3),
        column::<Power>("power", units),
        Column::figures("spaces: needs of free").share(2),
        column::<Current>("service left", units),
        column::<VolumeFlow>("shower", units),
        Column::figures("holds").share(2),
        column::<Time>("longest wait", units),
        Column::words("mark").share(4),
    ])
    .with_named_rows();
    let mut tank = None;
    for one in evaluated {
        if one.tank != tank {
            tank = one.tank;
            table = table.row_as(RowRole::Group, [fate(tank)]);
        }
        let is_unbeaten = unbeaten.iter().any(|best| std::ptr::eq(*best, one));
        let free = one.spaces_free.map_or_else(unknown, |free| free.to_string());
        let holds = one.situations.iter().filter(|situation| situation.holds).count();
        let words = [
            one.killed_by.as_ref().map(|rejection| rejection.severity.sign()),
            is_unbeaten.then_some("unbeaten"),
            one.as_written.then_some("as written"),
        ];
        let role = if one.killed_by.is_none() && is_unbeaten {
            RowRole::Strong
        } else {
            RowRole::Plain
        };
        table = table.row_as(
            role,
            [
                one.label.clone(),
                one.installed_power.show(units).number(),
                format!("{} of {free}", one.spaces_needed),
                one.service_margin
                    .map_or_else(unknown, |margin| margin.show(units).decimals(1).number()),
                one.shower_flow
                    .map_or_else(unknown, |flow| flow.show(units).decimals(2).number()),
                format!("{holds} of {}", one.situations.len()),
                one.longest_wait
                    .map_or_else(unknown, |wait| wait.show(units).decimals(0).number()),
                words.into_iter().flatten().collect::<Vec<_>>().join(" "),
            ],
        );
    }
    table
}

fn rejected(evaluated: &[Evaluated]) -> Table {
    let mut table = Table::new([
        Column::words("unit").share(2),
        Column::words("rejected by").share(5),
    ])
    .with_named_rows();
    let mut tank = None;
    for one in evaluated {
        let Some(rejection) = &one.killed_by else { continue };
        if one.tank != tank {
            tank = one.tank;
            table = table.row_as(RowRole::Group, [fate(tank)]);
        }
        let finding = Text::new()
            .plain(format!("{} {}: ", rejection.severity.sign(), rejection.subject))
            .append(&Text::with_values(&rejection.message))
            .plain(" (")
            .code(&*rejection.rule)
            .plain(")");
        table = table.row([Text::from(&*one.label), finding]);
    }
    table
}

/// Names the rows below it.
fn fate(tank: Option<TankFate>) -> &'static str {
    match tank {
        Some(TankFate::Kept) => "The tank is kept",
        Some(TankFate::Removed) => "The tank is removed",
        None => "No tank stands there",
    }
}

fn unknown() -> String {
    "unknown".to_owned()
}
