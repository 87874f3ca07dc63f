//! Signs of piping: valves, heaters, fixtures, what hangs on a line, where water enters.
//!
//! In: a place and a pen. Out: one [`Shape::Group`] marked as a symbol, its leads ending on the edge of its box. Forms
//! follow the common valve signs of ISO 14617 (two triangles, filled when closed; a triangle against a bar for a check
//! valve), from memory; every sheet carries a legend.

use crate::shape::{Bounds, Ink, Pen, Point, Shape, point};

/// Length of a valve between its leads.
pub(crate) const VALVE_LENGTH: f64 = 24.0;
/// Half the height of a valve.
pub(crate) const VALVE_HALF: f64 = 7.0;
/// Length of a heater between its leads.
pub(crate) const SOURCE_LENGTH: f64 = 46.0;
/// Half the height of a heater.
pub(crate) const SOURCE_HALF: f64 = 14.0;
/// Radius of a device.
pub(crate) const DEVICE_RADIUS: f64 = 7.0;
/// Width of a fixture.
pub(crate) const FIXTURE_WIDTH: f64 = 11.0;

fn symbol(name: &'static str, shapes: Vec<Shape>) -> Shape {
    Shape::Group {
        name,
        symbol: true,
        shapes,
    }
}

fn triangle(points: [Point; 3], fill: Ink, pen: Pen) -> Shape {
    Shape::Path {
        points: points.to_vec(),
        closed: true,
        pen: Some(pen),
        fill: Some(fill),
    }
}

fn thin(pen: Pen) -> Pen {
    Pen::solid(pen.width.min(1.4))
}

/// A shut-off valve along a level line, its middle at `center`.
pub(crate) fn valve(center: Point, pen: Pen, closed: bool) -> Shape {
    let fill = if closed { Ink::Black } else { Ink::Paper };
    let side = |half: f64| {
        let x = center.x + half;
        triangle(
            [
                point(x, center.y - VALVE_HALF),
                point(x, center.y + VALVE_HALF),
                center,
            ],
            fill,
            thin(pen),
        )
    };
    symbol("valve", vec![side(-VALVE_LENGTH / 2.0), side(VALVE_LENGTH / 2.0)])
}

/// A check valve along a level line; water passes to the right, or to the left when `to_left`.
pub(crate) fn check_valve(center: Point, pen: Pen, to_left: bool) -> Shape {
    let half = if to_left {
        -VALVE_LENGTH / 2.0
    } else {
        VALVE_LENGTH / 2.0
    };
    let (tail, tip) = (center.x - half, center.x + half);
    symbol(
        "check-valve",
        vec![
            triangle(
                [
                    point(tail, center.y - VALVE_HALF),
                    point(tail, center.y + VALVE_HALF),
                    point(tip, center.y),
                ],
                Ink::Paper,
                thin(pen),
            ),
            Shape::line(
                point(tip, center.y - VALVE_HALF),
                point(tip, center.y + VALVE_HALF),
                Pen::solid(1.8),
            ),
        ],
    )
}

/// An on-demand heater: a box with the wave of its element; energized ones have a double frame.
pub(crate) fn on_demand(center: Point, pen: Pen, energized: bool) -> Shape {
    let frame = Bounds {
        left: center.x - SOURCE_LENGTH / 2.0,
        right: center.x + SOURCE_LENGTH / 2.0,
        top: center.y - SOURCE_HALF,
        bottom: center.y + SOURCE_HALF,
    };
    symbol("on-demand-heater", heater(frame, 0.0, pen, energized))
}

/// A storage tank: the same with round ends.
pub(crate) fn storage_tank(center: Point, pen: Pen, energized: bool) -> Shape {
    let frame = Bounds {
        left: center.x - SOURCE_LENGTH / 2.0,
        right: center.x + SOURCE_LENGTH / 2.0,
        top: center.y - SOURCE_HALF,
        bottom: center.y + SOURCE_HALF,
    };
    symbol("storage-tank", heater(frame, SOURCE_HALF, pen, energized))
}

fn heater(frame: Bounds, rounding: f64, pen: Pen, energized: bool) -> Vec<Shape> {
    let y = f64::midpoint(frame.top, frame.bottom);
    let (left, right) = (frame.left + 12.0, frame.right - 12.0);
    let step = (right - left) / 4.0;
    let wave = (0..=8_u32)
        .map(|at| {
            let up = match at % 4 {
                1 => -4.0,
                3 => 4.0,
                _ => 0.0,
            };
            point(left + f64::from(at) * step / 2.0, y + up)
        })
        .collect();
    let case = |bounds: Bounds, rounding: f64, fill: Option<Ink>| Shape::Box {
        bounds,
        rounding,
        pen: Some(thin(pen)),
        fill,
    };
    let mut shapes = vec![
        case(frame, rounding, Some(Ink::Paper)),
        Shape::bent(wave, thin(pen)),
    ];
    if energized {
        shapes.push(case(frame.grown(-2.8), (rounding - 2.8).max(0.0), None));
    }
    shapes
}

/// Something that hangs on a line: a circle; its lead arrives from the left.
pub(crate) fn device(center: Point, pen: Pen) -> Shape {
    symbol(
        "device",
        vec![Shape::Circle {
            center,
            radius: DEVICE_RADIUS,
            pen: thin(pen),
            fill: Some(Ink::Paper),
        }],
    )
}

/// A fixture: an upright bar that its lines run into.
pub(crate) fn fixture(left: f64, top: f64, bottom: f64) -> Shape {
    symbol(
        "fixture",
        vec![Shape::Box {
            bounds: Bounds {
                left,
                top,
                right: left + FIXTURE_WIDTH,
                bottom,
            },
            rounding: 2.5,
            pen: Some(Pen::solid(1.2)),
            fill: Some(Ink::Paper),
        }],
    )
}

/// Where water enters: an arrow into the line that begins at `tip`.
pub(crate) fn entry(tip: Point) -> Shape {
    let tail = point(tip.x - 20.0, tip.y);
    symbol(
        "entry",
        vec![
            Shape::line(tail, point(tip.x - 8.0, tip.y), Pen::solid(2.2)),
            Shape::arrow_head(tail, tip, 11.0, Ink::Black),
        ],
    )
}
