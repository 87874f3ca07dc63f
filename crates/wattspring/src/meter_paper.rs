//! The paper of a meter file: what it holds, how much of it counts, its maximum, and the heater laid over it.

use assess::MeterReport;
use assess::demand::{DemandOverlay, Peaks};
use drawings::{chart, demand, plain, svg_print};
use jiff::civil::Date;
use papers::Document;
use papers::document::{
    Block, Callout, CalloutKind, Column, Definition, Figure, Head, Level, ListMarks, Table,
};
use quantity::{Power, Time, UnitSystem};

/// Columns and rows of a chart in a terminal.
const CHART: (usize, usize) = (76, 14);

/// Less recorded time than this, in days, is told to be no year.
const YEAR_WHOLE_D: f64 = 360.0;

/// Every chart with the name of its file.
pub(crate) fn charts(report: &MeterReport, overlay: Option<&DemandOverlay>) -> Vec<(&'static str, Figure)> {
    let mut all = vec![
        ("demand-by-month", demand::by_month(report)),
        ("demand-by-hour", demand::by_hour(report)),
        ("load-duration", demand::duration(report)),
    ];
    if let Some(overlay) = overlay {
        all.push(("yearly-peaks", demand::peaks(overlay)));
        all.extend(demand::highest_day(overlay).map(|day| ("highest-day", day)));
    }
    all.into_iter()
        .map(|(name, chart)| (name, figure(&chart)))
        .collect()
}

fn figure(line_chart: &chart::LineChart) -> Figure {
    Figure {
        svg: svg_print::svg(&chart::sheet(line_chart)),
        caption: Some(line_chart.title.clone()),
        alt: line_chart.title.clone(),
        lines: plain::line_chart(line_chart, CHART.0, CHART.1),
    }
}

/// The paper.
pub(crate) fn paper(
    file: &str,
    date: Date,
    units: UnitSystem,
    report: &MeterReport,
    overlay: Option<&DemandOverlay>,
    charts: &[(&'static str, Figure)],
) -> Document {
    let head = Head::new(file.to_owned(), date);
    let mut document = Document::new("Measured demand", head);
    document.units = units;
    document.subtitle = Some(format!(
        "{}, usage point {}",
        report.format,
        report.title.as_deref().unwrap_or(&report.point)
    ));
    document.push(Block::paragraph(lead(report)));
    document.push(Block::Definitions(maxima(report)));
    let chart = |name: &str| {
        charts
            .iter()
            .find(|(one, _)| *one == name)
            .map(|(_, figure)| figure.clone())
    };
    if let Some(overlay) = overlay {
        document.push(Block::heading(Level::Part, "With the heater"));
        heater(&mut document, report, overlay);
        for name in ["yearly-peaks", "highest-day"] {
            document.blocks.extend(chart(name).map(Block::Figure));
        }
    } else {
        document.push(Block::paragraph(hides(report)));
    }
    document.push(Block::heading(Level::Part, "The house through the year"));
    for name in ["demand-by-month", "demand-by-hour", "load-duration"] {
        document.blocks.extend(chart(name).map(Block::Figure));
    }
    document.push(Block::Table(months(report)));
    document.push(Block::heading(Level::Part, "How good the data are"));
    document.push(Block::Definitions(quality(report)));
    document.push(Block::Table(account(report)));
    if !report.gaps.is_empty() {
        let gaps = report
            .gaps
            .iter()
            .map(|gap| format!("{} from {}", length(gap.length), gap.start));
        document.push(Block::heading(Level::Section, "Longest gaps"));
        document.push(Block::list(ListMarks::Bullets, gaps));
    }
    if !report.notes.is_empty() {
        document.push(Block::heading(Level::Section, "What was odd"));
        document.push(Block::Table(notes(report)));
    }
    document
}

fn kilowatts(power: Power) -> String {
    power.show_in("kW").to_string()
}

/// A length of time in the unit that suits it.
fn length(time: Time) -> String {
    if time >= Time::from_days(2.0) {
        time.show_in("d").to_string()
    } else if time >= Time::from_hours(2.0) {
        time.show_in("h").to_string()
    } else {
        time.show_in("min").to_string()
    }
}

fn lead(report: &MeterReport) -> String {
    let year = report.year_covered.show_in("%");
    let generation = if report.generation {
        " Energy also goes out: what the house makes and uses itself hides part of its load."
    } else {
        ""
    };
    format!(
        "{} readings from {} to {} ({}), {}; {year} of the last 365 days are covered.{generation}",
        report.account.kept, report.first, report.last, report.local_time, report.flow
    )
}

fn maxima(report: &MeterReport) -> Vec<Definition> {
    let unit = if report.apparent {
        " (the meter counts VA)"
    } else {
        ""
    };
    let interval = length(report.maximum.interval);
    let mut all = vec![
        Definition::new(
            format!("largest mean over an interval of {interval}"),
            format!(
                "{}{unit}, {}",
                kilowatts(report.maximum.power),
                report.maximum.start
            ),
        ),
        Definition::new(
            "largest mean over 15 minutes",
            if report.maximum_15_min_bound > report.maximum_15_min {
                format!(
                    "between {} and {}: the intervals are longer",
                    kilowatts(report.maximum_15_min),
                    kilowatts(report.maximum_15_min_bound)
                )
            } else {
                kilowatts(report.maximum_15_min)
            },
        ),
        Definition::new("energy of that time", report.energy.show_in("kWh").to_string()),
        Definition::new("mean", kilowatts(report.mean)),
    ];
    if report.maximum_ever.power > report.maximum.power {
        all.push(Definition::new(
            "largest of the whole file",
            format!(
                "{}, {}",
                kilowatts(report.maximum_ever.power),
                report.maximum_ever.start
            ),
        ));
    }
    all
}

/// What a mean over the interval makes of a heater.
fn hides(report: &MeterReport) -> String {
    let interval = report.interval();
    let shown = meter::interval_mean(Power::from_kilowatts(27.0), Time::from_minutes(8.0), interval);
    format!(
        "A meter tells means: 27 kW for 8 minutes reads as {} over {}. These data speak for the house as it is; a new \
         heater enters at its real power (`--job` lays it over).",
        kilowatts(shown),
        length(interval)
    )
}

fn heater(document: &mut Document, report: &MeterReport, overlay: &DemandOverlay) {
    let seldom = |peaks: &Peaks| {
        format!(
            "{} of {} years ({})",
            peaks.years_above,
            overlay.years,
            peaks.probability_above.show_in("%")
        )
    };
    document.push(Block::paragraph(format!(
        "{} of on-demand heating, used by {} people through {} simulated years, laid over {} of measured demand. The \
         service's {} are {} with the legs balanced. Within an interval of the meter the house is taken as constant, so \
         its own short peaks come on top.",
        kilowatts(overlay.unit_power),
        overlay.people,
        overlay.years,
        length(overlay.recorded),
        overlay.rating.show_in("A"),
        kilowatts(overlay.rating_power)
    )));
    if overlay.recorded < Time::from_days(YEAR_WHOLE_D) {
        document.push(Block::Callout(Callout::new(
            CalloutKind::Note,
            format!(
                "Only {} are recorded, so a simulated year is no longer than that: a whole year peaks higher and passes the \
                 rating more often.",
                length(overlay.recorded)
            ),
        )));
    }
    let interval = length(overlay.interval);
    let mut table = Table::new([
        Column::words("highest demand of a year").share(4),
        Column::figures(format!("over {interval}, kW")).share(2),
        Column::figures("over 1 min, kW").share(2),
    ])
    .with_named_rows();
    let number = |power: Power| power.show_in("kW").decimals(1).number();
    table = table.row([
        "measured, without the heater".to_owned(),
        number(overlay.measured_maximum),
        "unknown".to_owned(),
    ]);
    let all = |peaks: &Peaks| {
        [
            peaks.lowest,
            peaks.tenth,
            peaks.median,
            peaks.ninetieth,
            peaks.highest,
        ]
    };
    let names = [
        "lowest",
        "one year in ten below",
        "half of the years below",
        "nine years in ten below",
        "highest",
    ];
    let both = all(&overlay.by_interval).into_iter().zip(all(&overlay.by_minute));
    for (name, (interval, minute)) in names.into_iter().zip(both) {
        table = table.row([name.to_owned(), number(interval), number(minute)]);
    }
    table = table.row([
        "passes the service rating in".to_owned(),
        seldom(&overlay.by_interval),
        seldom(&overlay.by_minute),
    ]);
    document.push(Block::Table(table));
    let mut runs = Table::new([
        Column::words("above the rating without a break for").share(4),
        Column::figures("years").share(2),
        Column::figures("probability in a year").share(2),
    ])
    .with_named_rows();
    for run in &overlay.runs {
        runs = runs.row([
            format!("{} or more", length(run.at_least)),
            format!("{} of {}", run.years, overlay.years),
            run.probability.show_in("%").to_string(),
        ]);
    }
    document.push(Block::Table(runs));
    let shown = meter::interval_mean(overlay.unit_power, Time::from_minutes(8.0), report.interval());
    document.push(Block::paragraph(format!(
        "In an average year the rating is passed for {} in all. A breaker carries more than its rating for a while, by its \
         own curve; passing is not tripping. What a removed heater used is still in the measured demand. {} for 8 minutes \
         would read as {} over {interval}: no meter file will show this heater as it is. Hot water takes {} a day here.",
        length(overlay.above_per_year),
        kilowatts(overlay.unit_power),
        kilowatts(shown),
        overlay.hot_water_per_day.show_in("kWh"),
    )));
    document.push(Block::heading(Level::Section, "Assumed"));
    document.push(Block::list(
        ListMarks::Bullets,
        overlay
            .assumptions
            .iter()
            .map(|one| format!("{}: {} ({}) [{}]", one.subject, one.value, one.reason, one.source)),
    ));
}

fn months(report: &MeterReport) -> Table {
    let mut table = Table::new([
        Column::words("month").share(2),
        Column::figures("energy, kWh").share(2),
        Column::figures("largest, kW").share(2),
        Column::figures("covered, d").share(2),
    ])
    .with_named_rows();
    for month in &report.months {
        table = table.row([
            format!("{}-{:02}", month.year, month.month),
            month.energy.show_in("kWh").decimals(0).number(),
            month.maximum.show_in("kW").decimals(2).number(),
            month.covered.show_in("d").decimals(1).number(),
        ]);
    }
    table
}

fn quality(report: &MeterReport) -> Vec<Definition> {
    let mut all = vec![
        Definition::new("from first to last", length(report.span)),
        Definition::new("covered by readings", length(report.covered)),
        Definition::new("gaps", report.gap_count.to_string()),
    ];
    for one in &report.resolutions {
        all.push(Definition::new(
            format!("intervals of {}", length(one.interval)),
            one.readings.to_string(),
        ));
    }
    for one in &report.by_quality {
        all.push(Definition::new(
            format!("{} readings", one.quality),
            length(one.time),
        ));
    }
    all
}

fn account(report: &MeterReport) -> Table {
    let of = report.account;
    let mut table = Table::new([
        Column::words("where every reading went").share(4),
        Column::figures("readings").share(2),
    ])
    .with_named_rows();
    for (what, count) in [
        ("found in the file", of.read),
        ("kept", of.kept),
        ("given again with the same value, counted once", of.duplicate),
        ("given again with another value, the larger kept", of.conflicting),
        ("overlapping others, set aside", of.overlapping),
        ("unusable, set aside", of.unusable),
        ("counting something else, set aside", of.other),
    ] {
        if count > 0 || what == "kept" {
            table = table.row([what.to_owned(), count.to_string()]);
        }
    }
    table
}

fn notes(report: &MeterReport) -> Table {
    let mut table = Table::new([
        Column::words("what").share(5),
        Column::figures("count").share(1),
        Column::words("first").share(4),
    ])
    .with_named_rows();
    for note in &report.notes {
        let first = [note.place.clone().unwrap_or_default(), note.example.clone()];
        let first: Vec<String> = first.into_iter().filter(|part| !part.is_empty()).collect();
        table = table.row([note.what.clone(), note.count.to_string(), first.join(": ")]);
    }
    table
}
