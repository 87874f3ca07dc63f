//! Line charts: curves over two axes, with limits marked, told apart without color.
//!
//! In: a [`LineChart`] filled by the caller, numbers in the units its axes name. Out: a
//! [`Drawing`](crate::shape::Drawing) by [`sheet()`], or a block of characters for a terminal
//! ([`crate::plain::line_chart`]). Start at [`LineChart`]. Values that are not finite break the line; a chart without
//! values says so.
//!
//! Drawn on our own shapes rather than with a plotting library, because a page that prints in black and white needs what
//! those do not give: lettering measured in the font of the document, dash patterns and marks together, a name at the
//! end of each line instead of a color key, and a proof ([`crate::clash`]) that no two labels overlap. Axes count in
//! steps of 1, 2 or 5 times a power of ten.

mod curve;
mod labels;
pub(crate) mod scale;
mod sheet;

pub use sheet::sheet;

use crate::shape::{Dash, Ink, Pen};

/// A chart.
#[derive(Debug, Clone, PartialEq)]
pub struct LineChart {
    /// Short name for ids: lower case, digits, hyphens.
    pub id: String,
    /// What the chart shows.
    pub title: String,
    /// The level axis.
    pub x: Axis,
    /// The upright axis.
    pub y: Axis,
    /// The curves.
    pub series: Vec<Series>,
    /// Upright lines across the plot.
    pub x_markers: Vec<Marker>,
    /// Level lines across the plot.
    pub y_markers: Vec<Marker>,
    /// A shaded area, if any.
    pub region: Option<Region>,
    /// Points named in the plot.
    pub callouts: Vec<Callout>,
}

/// An axis.
#[derive(Debug, Clone, PartialEq)]
pub struct Axis {
    /// What it counts.
    pub label: String,
    /// The unit of every number along it; may be empty.
    pub unit: String,
    /// Where it has ticks.
    pub ticks: Ticks,
}

impl Axis {
    /// Label and unit as printed.
    pub(crate) fn caption(&self) -> String {
        if self.unit.is_empty() {
            self.label.clone()
        } else {
            format!("{}, {}", self.label, self.unit)
        }
    }
}

/// Ticks of an axis.
#[derive(Debug, Clone, PartialEq)]
pub enum Ticks {
    /// Round numbers around the values.
    Round {
        /// True when the axis begins at zero.
        from_zero: bool,
    },
    /// Named places, such as months; the axis reaches from the first to the last.
    Named(Vec<(f64, String)>),
}

/// A curve.
#[derive(Debug, Clone, PartialEq)]
pub struct Series {
    /// Its name, written at its end.
    pub name: String,
    /// Its points, in drawing order.
    pub points: Vec<(f64, f64)>,
    /// How it looks.
    pub style: SeriesStyle,
}

/// How a curve looks: dash pattern and mark tell it apart; color only repeats that.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SeriesStyle {
    /// Its dash pattern.
    pub dash: Dash,
    /// The sign at its points.
    pub mark: Mark,
    /// Its color.
    pub ink: Ink,
}

impl SeriesStyle {
    /// The style of the `index`-th curve of a chart; twelve differ in dash or mark.
    pub fn nth(index: usize) -> Self {
        const DASHES: [Dash; 6] = [
            Dash::Solid,
            Dash::Long,
            Dash::Short,
            Dash::DashDot,
            Dash::Dots,
            Dash::DashDotDot,
        ];
        const MARKS: [Mark; 4] = [Mark::Disc, Mark::Square, Mark::Triangle, Mark::Diamond];
        const INKS: [Ink; 4] = [Ink::Black, Ink::Cold, Ink::Hot, Ink::Third];
        Self {
            dash: DASHES[index % DASHES.len()],
            mark: MARKS[index % MARKS.len()],
            ink: INKS[index % INKS.len()],
        }
    }

    /// The pen of the curve.
    pub(crate) fn pen(self) -> Pen {
        Pen::solid(1.6).dashed(self.dash).inked(self.ink)
    }
}

/// A sign at the points of a curve.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    /// A filled circle.
    Disc,
    /// An open square.
    Square,
    /// A filled triangle.
    Triangle,
    /// An open diamond.
    Diamond,
}

/// A limit or setting, drawn as a line across the plot.
#[derive(Debug, Clone, PartialEq)]
pub struct Marker {
    /// Where, in the unit of its axis.
    pub at: f64,
    /// What it is.
    pub label: String,
}

/// A shaded area.
#[derive(Debug, Clone, PartialEq)]
pub struct Region {
    /// What holds inside.
    pub label: String,
    /// Its corners.
    pub corners: Vec<(f64, f64)>,
}

/// A named point.
#[derive(Debug, Clone, PartialEq)]
pub struct Callout {
    /// Where.
    pub at: (f64, f64),
    /// What it is.
    pub label: String,
}

impl LineChart {
    /// All finite points that the axes must cover: x values, y values.
    pub(crate) fn extent(&self) -> (Vec<f64>, Vec<f64>) {
        let finite = |(x, y): &(f64, f64)| x.is_finite() && y.is_finite();
        let points = self
            .series
            .iter()
            .flat_map(|series| &series.points)
            .chain(self.region.iter().flat_map(|region| &region.corners))
            .chain(self.callouts.iter().map(|callout| &callout.at))
            .filter(|point| finite(point));
        let (mut xs, mut ys): (Vec<f64>, Vec<f64>) = points.copied().unzip();
        xs.extend(
            self.x_markers
                .iter()
                .map(|marker| marker.at)
                .filter(|at| at.is_finite()),
        );
        ys.extend(
            self.y_markers
                .iter()
                .map(|marker| marker.at)
                .filter(|at| at.is_finite()),
        );
        (xs, ys)
    }

    /// The chart in words, for readers who cannot see it.
    pub(crate) fn in_words(&self) -> String {
        let mut words = vec![format!("{} over {}.", self.y.caption(), self.x.caption())];
        let value = |value: f64| quantity::number(value, 4, 2);
        for series in &self.series {
            let finite: Vec<&(f64, f64)> = series
                .points
                .iter()
                .filter(|(x, y)| x.is_finite() && y.is_finite())
                .collect();
            words.push(match (finite.first(), finite.last()) {
                (Some(first), Some(last)) => format!(
                    "{}: from {} at {} to {} at {}.",
                    series.name,
                    value(first.1),
                    value(first.0),
                    value(last.1),
                    value(last.0)
                ),
                _ => format!("{}: no values.", series.name),
            });
        }
        let marked = self.x_markers.iter().chain(&self.y_markers);
        words.extend(marked.map(|marker| format!("Marked: {} ({}).", marker.label, value(marker.at))));
        words.extend(
            self.region
                .iter()
                .map(|region| format!("Shaded: {}.", region.label)),
        );
        words.extend(
            self.callouts
                .iter()
                .map(|callout| format!("Point: {}.", callout.label)),
        );
        words.join(" ")
    }
}
