//! The drawings of a job, as figures for the report and as files.

use assess::Assessment;
use drawings::{
    capability, chart, mains, one_line, piping, piping_of_job, plain, sheets, svg_print, wait_over_time,
};
use job::Job;
use papers::document::Figure;
use papers::report::ReportDrawings;

/// Columns and rows of a chart in a terminal.
const CHART: (usize, usize) = (76, 16);

/// All drawings a report takes, and each with the name of its file.
pub(crate) fn drawings(job: &Job, assessment: &Assessment) -> ReportDrawings {
    let one_line = sheets::one_line(job, assessment).map(|input| Figure {
        svg: svg_print::svg(&one_line::diagram(&input)),
        caption: Some("One-line diagram".to_owned()),
        alt: "Electrical one-line diagram from the service to the heater's elements".to_owned(),
        lines: plain::one_line_tree(&input, CHART.0),
    });
    let charted = |line_chart: chart::LineChart, caption: &str| Figure {
        svg: svg_print::svg(&chart::sheet(&line_chart)),
        caption: Some(caption.to_owned()),
        alt: line_chart.title.clone(),
        lines: plain::line_chart(&line_chart, CHART.0, CHART.1),
    };
    let outlet = sheets::capability(assessment).map(|input| {
        charted(
            capability::chart(&input),
            "Temperature at the unit's outlet over its flow",
        )
    });
    let months =
        sheets::mains(assessment).map(|input| charted(mains::chart(&input), "Incoming water by month"));
    let wait = sheets::wait(assessment).map(|input| {
        charted(
            wait_over_time::chart(&input),
            "Temperature at the tap that waits longest",
        )
    });
    let piping = piping_of_job::piping(job, assessment).map(|input| Figure {
        svg: svg_print::svg(&piping::schematic(&input)),
        caption: Some("Piping schematic".to_owned()),
        alt: "Piping from the water entry through the heaters to the fixtures, with valve positions"
            .to_owned(),
        lines: vec![
            "The schematic stands in the papers (`--out DIR`); valve positions are in the tables.".to_owned(),
        ],
    });
    ReportDrawings {
        one_line,
        outlet_temperature: outlet,
        mains_by_month: months,
        wait_over_time: wait,
        piping,
    }
}

/// Name of the file and SVG of each drawing there is.
pub(crate) fn files(drawings: &ReportDrawings) -> Vec<(&'static str, &str)> {
    [
        ("one-line.svg", &drawings.one_line),
        ("outlet-temperature.svg", &drawings.outlet_temperature),
        ("mains-by-month.svg", &drawings.mains_by_month),
        ("wait-over-time.svg", &drawings.wait_over_time),
        ("piping.svg", &drawings.piping),
    ]
    .into_iter()
    .filter_map(|(name, figure)| figure.as_ref().map(|figure| (name, figure.svg.as_str())))
    .collect()
}
