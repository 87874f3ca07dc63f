//! What stands below the schematic: the legend, and the lists of pipes, valves, heaters and other things by tag.

use super::draw::{cross, dot, pen};
use super::{Piping, SourceSign, ValveSign, Water};
use crate::lettering::{ASCENT, LINE_PITCH, Weight, clean, wrap};
use crate::one_line::Status;
use crate::pipe_symbol;
use crate::shape::{Bounds, Ink, Label, Pen, Shape, point, stack};
use crate::symbol::centered_baseline;
use crate::title_block::{BODY, LINES_MAX, MARGIN};

const SMALL: f64 = 9.5;
const PITCH: f64 = SMALL * LINE_PITCH;
const SAMPLE: f64 = 48.0;
/// Narrowest column of the lists.
const COLUMN_MIN: f64 = 228.0;
/// Narrowest column of the legend.
const LEGEND_COLUMN_MIN: f64 = 205.0;

/// Draws the legend of what this sheet uses; returns the y below it.
pub(super) fn legend(shapes: &mut Vec<Shape>, input: &Piping, width: f64, top: f64) -> f64 {
    let entries = entries(input);
    let n_entries = entries.len();
    let room = width - 2.0 * MARGIN - 20.0;
    let n_columns = columns_in(room, LEGEND_COLUMN_MIN).min(n_entries.max(1));
    let column = room / n_columns as f64;
    let row_height = 31.0;
    let mut y = top + 6.0 + BODY * ASCENT;
    let title = Label::new("Legend", point(MARGIN + 10.0, y), BODY).bold();
    shapes.push(Shape::Text(title));
    y += BODY * LINE_PITCH - BODY * ASCENT + 2.0;
    for (at, (sample, words)) in entries.into_iter().enumerate() {
        let left = MARGIN + 10.0 + (at % n_columns) as f64 * column;
        let center = y + (at / n_columns) as f64 * row_height + row_height / 2.0;
        shapes.extend(sample(left, center));
        let lines = wrap(words, SMALL, Weight::Regular, column - SAMPLE - 18.0, 2);
        let first = centered_baseline(center, SMALL) - (lines.len() as f64 - 1.0) * PITCH / 2.0;
        stack(
            shapes,
            &lines,
            &Label::new("", point(left + SAMPLE + 8.0, first), SMALL),
        );
    }
    let n_rows = n_entries.div_ceil(n_columns);
    let bottom = y + n_rows as f64 * row_height + 2.0;
    shapes.push(Shape::Box {
        bounds: Bounds {
            left: MARGIN,
            top,
            right: width - MARGIN,
            bottom,
        },
        rounding: 0.0,
        pen: Some(Pen::solid(0.7).inked(Ink::Gray)),
        fill: None,
    });
    bottom
}

type Sample = Box<dyn Fn(f64, f64) -> Vec<Shape>>;

fn entries(input: &Piping) -> Vec<(Sample, &'static str)> {
    let line = |pen: Pen| -> Sample {
        Box::new(move |left, y| vec![Shape::line(point(left, y), point(left + SAMPLE, y), pen)])
    };
    let sign = |make: fn(crate::shape::Point) -> Shape| -> Sample {
        Box::new(move |left, y| vec![make(point(left + SAMPLE / 2.0, y))])
    };
    let black = Pen::solid(1.1);
    let statuses = || {
        let pipes = input.pipes.iter().map(|pipe| pipe.status);
        let valves = input.valves.iter().map(|valve| valve.status);
        pipes
            .chain(valves)
            .chain(input.sources.iter().map(|source| source.status))
    };
    let mut entries: Vec<(Sample, &'static str)> = vec![
        (line(pen(Water::Cold, Status::Existing)), "cold (C), existing"),
        (line(pen(Water::Hot, Status::Existing)), "hot (H), existing"),
    ];
    if statuses().any(|status| status == Status::New) {
        entries.push((line(Pen::solid(2.2)), "heavy line: new"));
    }
    if statuses().any(|status| status == Status::Removed) {
        entries.push((
            Box::new(move |left, y| {
                let end = point(left + SAMPLE, y);
                vec![
                    Shape::line(point(left, y), end, black),
                    cross(point(left + SAMPLE / 2.0, y)),
                ]
            }),
            "crossed out: to be removed",
        ));
    }
    entries.push((
        Box::new(move |left, y| {
            let x = left + SAMPLE * 0.3;
            let other = left + SAMPLE * 0.7;
            vec![
                Shape::line(point(left, y), point(left + SAMPLE, y), black),
                Shape::line(point(x, y - 9.0), point(x, y), black),
                dot(point(x, y), Ink::Black),
                Shape::line(point(other, y - 9.0), point(other, y + 9.0), black),
            ]
        }),
        "joined with a dot; crossing without",
    ));
    if input.pipes.iter().any(|pipe| pipe.flow != super::Flow::Still) {
        entries.push((
            Box::new(move |left, y| {
                let middle = left + SAMPLE / 2.0;
                vec![
                    Shape::line(point(left, y), point(left + SAMPLE, y), black),
                    Shape::arrow_head(point(left, y), point(middle + 4.0, y), 8.0, Ink::Black),
                ]
            }),
            "water runs this way in the mode drawn",
        ));
    }
    if input
        .valves
        .iter()
        .any(|valve| valve.sign == ValveSign::ShutOff && !valve.closed)
    {
        entries.push((
            sign(|at| pipe_symbol::valve(at, Pen::solid(1.1), false)),
            "valve, open in the mode drawn",
        ));
    }
    if input
        .valves
        .iter()
        .any(|valve| valve.sign == ValveSign::ShutOff && valve.closed)
    {
        entries.push((
            sign(|at| pipe_symbol::valve(at, Pen::solid(1.1), true)),
            "valve, closed in the mode drawn",
        ));
    }
    if input.valves.iter().any(|valve| valve.sign == ValveSign::Check) {
        entries.push((
            sign(|at| pipe_symbol::check_valve(at, Pen::solid(1.1), false)),
            "check valve; passes toward its bar",
        ));
    }
    if input
        .sources
        .iter()
        .any(|source| source.sign == SourceSign::OnDemand)
    {
        entries.push((
            sign(|at| pipe_symbol::on_demand(at, Pen::solid(1.1), true)),
            "on-demand heater; double frame: energized",
        ));
    }
    if input.sources.iter().any(|source| source.sign == SourceSign::Tank) {
        entries.push((
            sign(|at| pipe_symbol::storage_tank(at, Pen::solid(1.1), true)),
            "storage tank; double frame: energized",
        ));
    }
    if !input.devices.is_empty() {
        entries.push((
            sign(|at| pipe_symbol::device(at, Pen::solid(1.1))),
            "device, named beside it",
        ));
    }
    if !input.fixtures.is_empty() {
        entries.push((
            sign(|at| pipe_symbol::fixture(at.x - 5.0, at.y - 10.0, at.y + 10.0)),
            "fixture",
        ));
    }
    entries
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a handful of columns"
)]
fn columns_in(room: f64, narrowest: f64) -> usize {
    ((room / narrowest).floor() as usize).max(1)
}

/// Draws the lists in as many columns as fit; returns the y below them.
pub(super) fn lists(shapes: &mut Vec<Shape>, input: &Piping, width: f64, top: f64) -> f64 {
    let room = width - 2.0 * MARGIN;
    let n_columns = columns_in(room, COLUMN_MIN);
    let column = room / n_columns as f64;
    // Every entry with its height; headings keep to the entry after them.
    let mut blocks: Vec<Vec<(String, Weight)>> = Vec::new();
    for (name, items) in sections(input) {
        for (at, item) in items.iter().enumerate() {
            let lines = wrap(item, SMALL, Weight::Regular, column - 12.0, LINES_MAX);
            let mut block: Vec<(String, Weight)> = Vec::new();
            if at == 0 {
                block.push((name.to_owned(), Weight::Bold));
            }
            block.extend(lines.into_iter().map(|line| (line, Weight::Regular)));
            blocks.push(block);
        }
    }
    let n_lines: usize = blocks.iter().map(Vec::len).sum();
    let per_column = n_lines.div_ceil(n_columns);
    let (mut at_column, mut line, mut deepest) = (0, 0, 0);
    for block in blocks {
        if line > 0 && line + block.len() > per_column && at_column + 1 < n_columns {
            at_column += 1;
            line = 0;
        }
        for (words, weight) in block {
            let x = MARGIN + at_column as f64 * column;
            let place = point(x, top + SMALL * ASCENT + line as f64 * PITCH);
            let label = Label::new(&words, place, SMALL);
            shapes.push(Shape::Text(Label { weight, ..label }));
            line += 1;
        }
        deepest = deepest.max(line);
    }
    top + deepest as f64 * PITCH + 4.0
}

/// Every thing on the sheet as one line of text, by section.
fn sections(input: &Piping) -> Vec<(&'static str, Vec<String>)> {
    let join = |parts: Vec<Option<String>>| {
        let parts: Vec<String> = parts.into_iter().flatten().collect();
        parts.join(" · ")
    };
    let given = |text: &str| Some(clean(text)).filter(|text| !text.is_empty());
    let status = |status: Status| (status != Status::Existing).then(|| status.word().to_owned());
    let pipes = input.pipes.iter().map(|pipe| {
        let size = pipe.size.map(|size| size.to_string());
        let what = match (size, given(&pipe.material)) {
            (Some(size), Some(material)) => Some(format!("{size} {material}")),
            (size, material) => size.or(material),
        };
        join(vec![
            given(&pipe.tag),
            Some(pipe.water.word().to_owned()),
            what,
            pipe.length.map(|length| length.show(input.units).to_string()),
            status(pipe.status),
        ])
    });
    let valves = input.valves.iter().map(|valve| {
        let position = |closed: bool| if closed { "closed" } else { "open" };
        let positions = match valve.sign {
            ValveSign::Check => None,
            ValveSign::ShutOff if valve.closed == valve.normally_closed => {
                Some(format!("normally {}", position(valve.closed)))
            }
            ValveSign::ShutOff => Some(format!(
                "normally {}, {} in the mode drawn",
                position(valve.normally_closed),
                position(valve.closed).to_uppercase()
            )),
        };
        join(vec![
            given(&valve.tag),
            given(&valve.name),
            positions,
            status(valve.status),
        ])
    });
    let sources = input.sources.iter().map(|source| {
        let kind = match source.sign {
            SourceSign::OnDemand => "on-demand heater",
            SourceSign::Tank => "storage tank",
        };
        let power = if source.energized {
            "energized"
        } else {
            "without power in the mode drawn"
        };
        join(vec![
            given(&source.tag),
            Some(kind.to_owned()),
            given(&source.name),
            Some(power.to_owned()),
            status(source.status),
        ])
    });
    let devices = input.devices.iter().map(|device| {
        join(vec![
            given(&device.tag),
            given(&device.name),
            status(device.status),
        ])
    });
    vec![
        ("Heaters", sources.collect()),
        ("Valves", valves.collect()),
        ("Devices", devices.collect()),
        ("Pipes", pipes.collect()),
    ]
}

/// The schematic in words, for readers who cannot see it.
pub(super) fn in_words(input: &Piping) -> String {
    let mut words = Vec::new();
    if !input.mode.is_empty() {
        words.push(format!("Mode drawn: {}.", input.mode));
    }
    for (name, items) in sections(input) {
        if !items.is_empty() {
            words.push(format!("{name}: {}.", items.join("; ")));
        }
    }
    let fixtures: Vec<String> = input
        .fixtures
        .iter()
        .map(|fixture| format!("{} {}", fixture.tag, fixture.name))
        .collect();
    if !fixtures.is_empty() {
        words.push(format!("Fixtures: {}.", fixtures.join("; ")));
    }
    words.join(" ")
}
