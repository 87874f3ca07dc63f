//! The sheet of a line chart: plot, axes, curves, limits, and all words around them.
//!
//! In: a [`LineChart`]. Out: a [`Drawing`] of fixed width whose height grows with its words. From the top: title,
//! caption of the upright axis, names of the upright limits, the plot with the names of curves and level limits in the
//! gutter on its right, ticks, caption of the level axis, and whatever name found no place in the plot.

use super::curve::{curve, mark};
use super::labels::{inside, lanes, near, spread};
use super::scale::{Scale, with_headroom};
use super::{LineChart, SeriesStyle, Ticks};
use crate::clash::Ground;
use crate::lettering::{ASCENT, LINE_PITCH, Weight, text_width, wrap};
use crate::shape::{Anchor, Bounds, Dash, Drawing, Ink, Label, Pen, Point, Shape, point, stack};
use crate::symbol::centered_baseline;
use crate::title_block::{BODY, LINES_MAX, MARGIN};

const WIDTH: f64 = 720.0;
const PLOT_HEIGHT: f64 = 300.0;
const PITCH: f64 = BODY * LINE_PITCH;
/// Widest text in the gutter.
const GUTTER_TEXT: f64 = 150.0;
/// From the plot to the sample of a line, the sample, and the gap to its words.
const LEADER: f64 = 20.0;
const SAMPLE: f64 = 26.0;
const SAMPLE_GAP: f64 = 6.0;
/// Free height between two names in the gutter.
const NAME_GAP: f64 = 4.0;
/// From the level axis to its words; enough to clear the lowest word of the upright axis.
const TICK_GAP: f64 = 8.0;
const LIMIT_PEN: Pen = Pen {
    width: 1.0,
    dash: Dash::Solid,
    ink: Ink::Gray,
};

/// A name in the gutter: where its line leaves the plot, how its line looks, its words.
struct Name {
    from: Point,
    sample: Pen,
    mark: Option<SeriesStyle>,
    lines: Vec<String>,
}

/// Draws the chart.
///
/// ```
/// use drawings::chart::{self, Axis, LineChart, Series, SeriesStyle, Ticks};
/// use drawings::{clash, svg_print};
/// let axis = |label: &str, unit: &str| Axis {
///     label: label.into(), unit: unit.into(), ticks: Ticks::Round { from_zero: true },
/// };
/// let chart = LineChart {
///     id: "rise".into(), title: "Rise against flow".into(),
///     x: axis("flow", "gpm"), y: axis("rise", "°F"),
///     series: vec![Series {
///         name: "18 kW".into(), points: vec![(1.0, 122.9), (2.0, 61.4), (3.0, 41.0)],
///         style: SeriesStyle::nth(0),
///     }],
///     x_markers: vec![], y_markers: vec![], region: None, callouts: vec![],
/// };
/// let drawing = chart::sheet(&chart);
/// assert!(clash::overlaps(&drawing).is_empty());
/// assert!(svg_print::svg(&drawing).contains("18 kW"));
/// ```
pub fn sheet(chart: &LineChart) -> Drawing {
    let (xs, ys) = chart.extent();
    let x = match &chart.x.ticks {
        round @ Ticks::Round { .. } => Scale::covering(&xs, round).ending_at(&xs),
        named @ Ticks::Named(_) => Scale::covering(&xs, named),
    };
    let y = Scale::covering(&with_headroom(ys), &chart.y.ticks);
    let mut shapes = Vec::new();

    let title = wrap(&chart.title, 13.0, Weight::Bold, WIDTH - 2.0 * MARGIN, LINES_MAX);
    let first = Label::new("", point(MARGIN, MARGIN + 13.0 * ASCENT), 13.0).bold();
    let mut top = stack(&mut shapes, &title, &first) - 13.0 * ASCENT + 6.0;
    let caption = wrap(
        &chart.y.caption(),
        BODY,
        Weight::Regular,
        WIDTH - 2.0 * MARGIN,
        LINES_MAX,
    );
    let first = Label::new("", point(MARGIN, top + BODY * ASCENT), BODY);
    top = stack(&mut shapes, &caption, &first) - BODY * ASCENT + 6.0;

    let y_tick_width = y
        .ticks
        .iter()
        .map(|(_, text)| text_width(text, BODY, Weight::Regular))
        .fold(0.0, f64::max)
        .min(140.0);
    let names_width = gutter_words(chart).map(|line| text_width(&line, BODY, Weight::Regular));
    let gutter = LEADER + SAMPLE + SAMPLE_GAP + names_width.fold(60.0, f64::max);
    let left = MARGIN + y_tick_width + 8.0;
    let right = WIDTH - MARGIN - gutter;
    let place_x = |value: f64| left + (right - left) * x.share(value);

    let plot_top = upright_limits(&mut shapes, chart, top, &place_x);
    let heights: f64 = chart
        .series
        .iter()
        .map(|series| &series.name)
        .chain(chart.y_markers.iter().map(|marker| &marker.label))
        .map(|name| gutter_lines(name).len().max(1) as f64 * PITCH + NAME_GAP)
        .sum();
    let plot = Bounds {
        left,
        top: plot_top,
        right,
        bottom: plot_top + PLOT_HEIGHT.max(heights),
    };
    let place =
        |(vx, vy): (f64, f64)| point(place_x(vx), plot.bottom - (plot.bottom - plot.top) * y.share(vy));

    let corners: Vec<Point> = chart
        .region
        .iter()
        .flat_map(|region| &region.corners)
        .filter(|(x, y)| x.is_finite() && y.is_finite())
        .map(|p| place(*p))
        .collect();
    if corners.len() > 2 {
        shapes.push(Shape::area(corners.clone(), Ink::Wash));
    }
    level_ticks(&mut shapes, &y, plot);
    let ticks_bottom = upright_ticks(&mut shapes, &x, plot, &place_x);
    let mut names = Vec::new();
    for marker in chart.y_markers.iter().filter(|marker| marker.at.is_finite()) {
        let from = place((x.low, marker.at));
        let end = point(plot.right, from.y);
        shapes.push(Shape::line(from, end, LIMIT_PEN));
        names.push(Name {
            from: end,
            sample: LIMIT_PEN,
            mark: None,
            lines: gutter_lines(&marker.label),
        });
    }
    for marker in chart.x_markers.iter().filter(|marker| marker.at.is_finite()) {
        let at = place_x(marker.at);
        shapes.push(Shape::line(
            point(at, plot.top),
            point(at, plot.bottom),
            LIMIT_PEN,
        ));
    }
    for (index, series) in chart.series.iter().enumerate() {
        names.extend(curve(&mut shapes, series, index, &place).map(|from| Name {
            from,
            sample: series.style.pen(),
            mark: Some(series.style),
            lines: gutter_lines(&series.name),
        }));
    }
    axes(&mut shapes, plot);
    gutter_names(&mut shapes, &names, plot);
    let leftover = names_in_plot(&mut shapes, chart, &corners, plot, &place);

    let mut bottom = ticks_bottom + 4.0;
    let caption = wrap(
        &chart.x.caption(),
        BODY,
        Weight::Regular,
        plot.right - plot.left,
        LINES_MAX,
    );
    let middle = point(f64::midpoint(plot.left, plot.right), bottom + BODY * ASCENT);
    let first = Label::new("", middle, BODY).anchored(Anchor::Middle);
    bottom = stack(&mut shapes, &caption, &first) - BODY * ASCENT + 4.0;
    for words in leftover {
        let lines = wrap(&words, BODY, Weight::Regular, WIDTH - 2.0 * MARGIN, LINES_MAX);
        let first = Label::new("", point(MARGIN, bottom + BODY * ASCENT), BODY);
        bottom = stack(&mut shapes, &lines, &first) - BODY * ASCENT;
    }
    Drawing {
        id: chart.id.clone(),
        title: chart.title.clone(),
        description: chart.in_words(),
        width: WIDTH,
        height: bottom + MARGIN - 4.0,
        shapes,
    }
}

fn gutter_lines(name: &str) -> Vec<String> {
    wrap(name, BODY, Weight::Regular, GUTTER_TEXT, LINES_MAX)
}

fn gutter_words(chart: &LineChart) -> impl Iterator<Item = String> {
    chart
        .series
        .iter()
        .map(|series| &series.name)
        .chain(chart.y_markers.iter().map(|marker| &marker.label))
        .flat_map(|name| gutter_lines(name))
}

/// Names of the upright limits with their leaders, above the plot; returns the y where the plot begins.
fn upright_limits(shapes: &mut Vec<Shape>, chart: &LineChart, top: f64, place_x: &dyn Fn(f64) -> f64) -> f64 {
    let gap = 4.0;
    let limits: Vec<(f64, Vec<String>)> = chart
        .x_markers
        .iter()
        .filter(|marker| marker.at.is_finite())
        .map(|marker| {
            let at = place_x(marker.at);
            let room = (WIDTH - MARGIN - at - gap).min(GUTTER_TEXT);
            (at, wrap(&marker.label, BODY, Weight::Regular, room, LINES_MAX))
        })
        .collect();
    let spans: Vec<(f64, f64, f64)> = limits
        .iter()
        .map(|(at, lines)| {
            let width = lines.iter().map(|line| text_width(line, BODY, Weight::Regular));
            let end = at + gap + width.fold(0.0, f64::max) + 6.0;
            (*at, end, lines.len().max(1) as f64 * PITCH + 2.0)
        })
        .collect();
    let bases = lanes(&spans);
    let height = bases
        .iter()
        .zip(&spans)
        .map(|(base, span)| base + span.2)
        .fold(0.0, f64::max);
    let plot_top = top + height + 4.0;
    for (((at, lines), base), span) in limits.iter().zip(&bases).zip(&spans) {
        let label_top = plot_top - base - span.2;
        let first = Label::new("", point(at + gap, label_top + BODY * ASCENT), BODY);
        stack(shapes, lines, &first);
        shapes.push(Shape::line(
            point(*at, label_top + 2.0),
            point(*at, plot_top),
            LIMIT_PEN,
        ));
    }
    plot_top
}

fn level_ticks(shapes: &mut Vec<Shape>, y: &Scale, plot: Bounds) {
    let mut last = f64::INFINITY;
    for (value, text) in &y.ticks {
        let at = plot.bottom - (plot.bottom - plot.top) * y.share(*value);
        shapes.push(Shape::line(
            point(plot.left, at),
            point(plot.right, at),
            Pen::solid(0.6).inked(Ink::Faint),
        ));
        // Named ticks may stand closer than letters are high.
        if last - at >= PITCH {
            let lines = wrap(text, BODY, Weight::Regular, 140.0, 1);
            let first = Label::new("", point(plot.left - 6.0, centered_baseline(at, BODY)), BODY);
            stack(shapes, &lines, &first.anchored(Anchor::End));
            last = at;
        }
    }
}

/// Ticks of the level axis; returns the y below their words.
fn upright_ticks(shapes: &mut Vec<Shape>, x: &Scale, plot: Bounds, place_x: &dyn Fn(f64) -> f64) -> f64 {
    let first_at = plot.bottom + TICK_GAP + BODY * ASCENT;
    let mut free_from = f64::NEG_INFINITY;
    for (value, text) in &x.ticks {
        let at = place_x(*value);
        shapes.push(Shape::line(
            point(at, plot.top),
            point(at, plot.bottom),
            Pen::solid(0.6).inked(Ink::Faint),
        ));
        let lines = wrap(text, BODY, Weight::Regular, 80.0, 1);
        for line in &lines {
            let label = Label::new(line, point(at, first_at), BODY).anchored(Anchor::Middle);
            let bounds = label.bounds();
            if bounds.left >= free_from && bounds.left >= 2.0 {
                free_from = bounds.right + 4.0;
                shapes.push(Shape::Text(label));
            }
        }
    }
    plot.bottom + TICK_GAP + PITCH
}

fn axes(shapes: &mut Vec<Shape>, plot: Bounds) {
    let pen = Pen::solid(1.0);
    shapes.push(Shape::bent(
        vec![
            point(plot.left, plot.top),
            point(plot.left, plot.bottom),
            point(plot.right, plot.bottom),
        ],
        pen,
    ));
}

/// Names of curves and level limits on the right, moved apart, each joined to its line.
fn gutter_names(shapes: &mut Vec<Shape>, names: &[Name], plot: Bounds) {
    let wanted: Vec<(f64, f64)> = names
        .iter()
        .map(|name| (name.from.y, name.lines.len().max(1) as f64 * PITCH + NAME_GAP))
        .collect();
    let centers = spread(&wanted, plot.top - PITCH / 2.0, plot.bottom + PITCH / 2.0);
    for (name, center) in names.iter().zip(centers) {
        let sample_left = plot.right + LEADER;
        let sample_right = sample_left + SAMPLE;
        let thin = Pen::solid(0.6).inked(Ink::Gray);
        // A curve that ends inside the plot is led out level, then to its name.
        let mut leader = vec![point(plot.right, name.from.y), point(sample_left - 2.0, center)];
        if name.from.x < plot.right - 4.0 {
            leader.insert(0, point(name.from.x + 5.0, name.from.y));
        }
        shapes.push(Shape::bent(leader, thin));
        shapes.push(Shape::line(
            point(sample_left, center),
            point(sample_right, center),
            name.sample,
        ));
        if let Some(style) = name.mark {
            shapes.push(mark(
                style,
                point(f64::midpoint(sample_left, sample_right), center),
            ));
        }
        let first_at = centered_baseline(center, BODY) - (name.lines.len() as f64 - 1.0) * PITCH / 2.0;
        let first = Label::new("", point(sample_right + SAMPLE_GAP, first_at), BODY);
        stack(shapes, &name.lines, &first);
    }
}

/// Names of the shaded area and of points, inside the plot; returns those that found no place.
fn names_in_plot(
    shapes: &mut Vec<Shape>,
    chart: &LineChart,
    corners: &[Point],
    plot: Bounds,
    place: &dyn Fn((f64, f64)) -> Point,
) -> Vec<String> {
    let mut leftover = Vec::new();
    let width = (plot.right - plot.left) * 0.4;
    let dots: Vec<(Point, &str)> = chart
        .callouts
        .iter()
        .filter(|callout| callout.at.0.is_finite() && callout.at.1.is_finite())
        .map(|callout| (place(callout.at), callout.label.as_str()))
        .collect();
    for (at, _) in &dots {
        shapes.push(Shape::Circle {
            center: *at,
            radius: 5.5,
            pen: Pen::solid(1.4),
            fill: None,
        });
    }
    let mut ground = Ground::of(shapes);
    if let Some(region) = chart.region.as_ref().filter(|_| corners.len() > 2) {
        let place = [width, width * 0.6, width * 0.4].into_iter().find_map(|width| {
            let lines = wrap(&region.label, BODY, Weight::Regular, width, LINES_MAX);
            inside(&ground, &lines, corners, BODY)
        });
        match place {
            Some(labels) => put(shapes, &mut ground, labels),
            None => leftover.push(format!("Shaded: {}", region.label)),
        }
    }
    for (at, label) in dots {
        let lines = wrap(label, BODY, Weight::Regular, width, LINES_MAX);
        match near(&ground, &lines, at, BODY, plot.grown(-1.0)) {
            Some(labels) => put(shapes, &mut ground, labels),
            None => leftover.push(format!("Circled: {label}")),
        }
    }
    if chart.series.iter().all(|series| series.points.is_empty()) {
        let middle = point(
            f64::midpoint(plot.left, plot.right),
            f64::midpoint(plot.top, plot.bottom) - 8.0,
        );
        let label = Label {
            plate: true,
            ..Label::new("no values to draw", middle, BODY).anchored(Anchor::Middle)
        };
        if ground.is_free_for(&label) {
            shapes.push(Shape::Text(label));
        } else {
            leftover.push("No values to draw.".to_owned());
        }
    }
    leftover
}

fn put(shapes: &mut Vec<Shape>, ground: &mut Ground, labels: Vec<Label>) {
    for label in labels {
        let shape = Shape::Text(label);
        ground.push(&shape);
        shapes.push(shape);
    }
}
