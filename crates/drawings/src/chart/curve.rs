//! Curves of a chart: lines broken where a value is missing, with marks that tell them apart.

use super::{Mark, Series, SeriesStyle};
use crate::shape::{Bounds, Ink, Pen, Point, Shape, point};

/// A curve with its marks; gives the place where it ends.
pub(super) fn curve(
    shapes: &mut Vec<Shape>,
    series: &Series,
    index: usize,
    place: &dyn Fn((f64, f64)) -> Point,
) -> Option<Point> {
    let finite = |p: &(f64, f64)| p.0.is_finite() && p.1.is_finite();
    let pen = series.style.pen();
    for run in series.points.split(|p| !finite(p)) {
        if run.len() > 1 {
            shapes.push(Shape::bent(run.iter().map(|p| place(*p)).collect(), pen));
        }
    }
    let all: Vec<Point> = series
        .points
        .iter()
        .filter(|p| finite(p))
        .map(|p| place(*p))
        .collect();
    // A dozen marks on a curve, begun at another point on each, so that marks of curves that run together differ.
    let stride = all.len().div_ceil(13).max(1);
    let marked = if stride == 1 {
        0
    } else {
        (index * 2 + 1) % stride.max(2)
    };
    for center in all.iter().skip(marked).step_by(stride) {
        shapes.push(mark(series.style, *center));
    }
    all.last().copied()
}

/// The sign of a curve at one of its points.
pub(super) fn mark(style: SeriesStyle, center: Point) -> Shape {
    let ink = style.ink;
    let outline = Some(Pen::solid(1.2).inked(ink));
    let r = 3.2;
    let polygon = |points: Vec<Point>, fill: Ink| Shape::Path {
        points,
        closed: true,
        pen: outline,
        fill: Some(fill),
    };
    match style.mark {
        Mark::Disc => Shape::Circle {
            center,
            radius: r * 0.9,
            pen: Pen::solid(1.0).inked(ink),
            fill: Some(ink),
        },
        Mark::Square => Shape::Box {
            bounds: Bounds::between(center, center).grown(r * 0.9),
            rounding: 0.0,
            pen: outline,
            fill: Some(Ink::Paper),
        },
        Mark::Triangle => polygon(
            vec![
                point(center.x, center.y - r * 1.2),
                point(center.x + r * 1.1, center.y + r * 0.8),
                point(center.x - r * 1.1, center.y + r * 0.8),
            ],
            ink,
        ),
        Mark::Diamond => polygon(
            vec![
                point(center.x, center.y - r * 1.3),
                point(center.x + r * 1.3, center.y),
                point(center.x, center.y + r * 1.3),
                point(center.x - r * 1.3, center.y),
            ],
            Ink::Paper,
        ),
    }
}
