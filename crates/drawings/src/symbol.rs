//! Signs of the trade: transformer, meter, breaker, disconnect, resistance element, tank, load, ground; valves of pipes.
//!
//! In: a place and a pen. Out: one [`Shape::Group`] marked as a symbol, with its leads ending on the edge of its box.
//! Forms follow the one-line signs of IEEE Std 315 (breaker as an arc between two contacts, windings as rows of half
//! loops, resistance as a zigzag, ground as three bars, meter as a circle with a letter) and the valve signs of ISO 14617
//! (two triangles, filled when closed); both from memory, and every sheet carries a legend.

use crate::lettering::ASCENT;
use crate::shape::{Anchor, Bounds, Ink, Label, Pen, Point, Shape, point};

/// Length of a breaker between its leads.
pub(crate) const BREAKER_LENGTH: f64 = 34.0;
/// Length of a disconnect between its leads.
pub(crate) const DISCONNECT_LENGTH: f64 = 32.0;
/// Width of a load sign.
pub(crate) const LOAD_WIDTH: f64 = 44.0;
/// Height of the windings of a transformer, leads included.
pub(crate) const TRANSFORMER_HEIGHT: f64 = 38.0;
/// Radius of the meter's circle.
pub(crate) const METER_RADIUS: f64 = 14.0;

fn symbol(name: &'static str, shapes: Vec<Shape>) -> Shape {
    Shape::Group {
        name,
        symbol: true,
        shapes,
    }
}

fn dot(center: Point, pen: Pen) -> Shape {
    Shape::Circle {
        center,
        radius: 2.2,
        pen: Pen::solid(pen.width.min(1.4)),
        fill: Some(Ink::Paper),
    }
}

/// A circuit breaker along a level line that starts at `left`.
pub(crate) fn breaker(left: Point, pen: Pen) -> Shape {
    let y = left.y;
    let (a, b) = (left.x + 7.0, left.x + BREAKER_LENGTH - 7.0);
    // The arc stands on the two contacts and rises a third of its span.
    let radius = 11.5;
    let drop = (radius * radius - ((b - a) / 2.0) * ((b - a) / 2.0))
        .max(0.0)
        .sqrt();
    let half = ((b - a) / 2.0 / radius).asin().to_degrees();
    let solid = Pen::solid(pen.width);
    symbol(
        "breaker",
        vec![
            Shape::line(left, point(a - 2.2, y), solid),
            Shape::line(point(b + 2.2, y), point(left.x + BREAKER_LENGTH, y), solid),
            Shape::Arc {
                center: point(f64::midpoint(a, b), y - 4.0 + drop),
                radius,
                from_degrees: 270.0 - half,
                sweep_degrees: 2.0 * half,
                pen: solid,
            },
            dot(point(a, y), pen),
            dot(point(b, y), pen),
        ],
    )
}

/// A circuit breaker along an upright line that starts at `top`.
pub(crate) fn breaker_upright(top: Point, pen: Pen) -> Shape {
    let turned = |p: Point| point(top.x - (p.y - top.y), top.y + (p.x - top.x));
    turn(breaker(top, pen), &turned, 90.0)
}

fn turn(shape: Shape, turned: &dyn Fn(Point) -> Point, degrees: f64) -> Shape {
    match shape {
        Shape::Path {
            points,
            closed,
            pen,
            fill,
        } => Shape::Path {
            points: points.into_iter().map(turned).collect(),
            closed,
            pen,
            fill,
        },
        Shape::Circle {
            center,
            radius,
            pen,
            fill,
        } => Shape::Circle {
            center: turned(center),
            radius,
            pen,
            fill,
        },
        Shape::Arc {
            center,
            radius,
            from_degrees,
            sweep_degrees,
            pen,
        } => Shape::Arc {
            center: turned(center),
            radius,
            from_degrees: from_degrees + degrees,
            sweep_degrees,
            pen,
        },
        Shape::Group { name, symbol, shapes } => Shape::Group {
            name,
            symbol,
            shapes: shapes
                .into_iter()
                .map(|part| turn(part, turned, degrees))
                .collect(),
        },
        other @ (Shape::Box { .. } | Shape::Text(_)) => other,
    }
}

/// A disconnect switch along a level line that starts at `left`, drawn open as the convention is.
pub(crate) fn disconnect(left: Point, pen: Pen) -> Shape {
    let y = left.y;
    let (a, b) = (left.x + 6.0, left.x + DISCONNECT_LENGTH - 6.0);
    let solid = Pen::solid(pen.width);
    symbol(
        "disconnect",
        vec![
            Shape::line(left, point(a - 2.2, y), solid),
            Shape::line(point(b + 2.2, y), point(left.x + DISCONNECT_LENGTH, y), solid),
            Shape::line(point(a + 1.5, y - 1.5), point(b - 1.0, y - 11.0), solid),
            dot(point(a, y), pen),
            dot(point(b, y), pen),
        ],
    )
}

/// A transformer along an upright line that starts at `top`.
pub(crate) fn transformer(top: Point, pen: Pen) -> Shape {
    let radius = 5.0;
    let lead = 10.0;
    let upper = top.y + lead;
    let lower = top.y + TRANSFORMER_HEIGHT - lead;
    let solid = Pen::solid(pen.width);
    let mut shapes = vec![
        Shape::line(top, point(top.x, upper), solid),
        Shape::line(
            point(top.x, lower),
            point(top.x, top.y + TRANSFORMER_HEIGHT),
            solid,
        ),
    ];
    for loop_at in [-3.0, -1.0, 1.0, 3.0] {
        let x = top.x + loop_at * radius;
        for (y, from_degrees) in [(upper, 0.0), (lower, 180.0)] {
            shapes.push(Shape::Arc {
                center: point(x, y),
                radius,
                from_degrees,
                sweep_degrees: 180.0,
                pen: solid,
            });
        }
    }
    symbol("transformer", shapes)
}

/// A meter: a circle with the letter M.
pub(crate) fn meter(center: Point, pen: Pen) -> Shape {
    let size = 14.0;
    let letter = Label::new("M", point(center.x, center.y + size * 0.33), size).anchored(Anchor::Middle);
    symbol(
        "meter",
        vec![
            Shape::Circle {
                center,
                radius: METER_RADIUS,
                pen: Pen::solid(pen.width),
                fill: Some(Ink::Paper),
            },
            Shape::Text(letter.bold()),
        ],
    )
}

fn zigzag(left: Point, length: f64, height: f64, pen: Pen) -> Shape {
    let teeth = 6_u32;
    let step = length / f64::from(teeth);
    let mut points = vec![left];
    for tooth in 0..teeth {
        let up = if tooth % 2 == 0 { -1.0 } else { 1.0 };
        points.push(point(
            left.x + (f64::from(tooth) + 0.5) * step,
            left.y + up * height / 2.0,
        ));
    }
    points.push(point(left.x + length, left.y));
    Shape::bent(points, pen)
}

/// A resistance element of a heater; its lead arrives at `left`.
pub(crate) fn element(left: Point, pen: Pen) -> Shape {
    let solid = Pen::solid(pen.width);
    let case = Bounds::between(
        point(left.x, left.y - 10.0),
        point(left.x + LOAD_WIDTH, left.y + 10.0),
    );
    symbol(
        "element",
        vec![
            Shape::Box {
                bounds: case,
                rounding: 0.0,
                pen: Some(solid),
                fill: Some(Ink::Paper),
            },
            zigzag(point(left.x + 6.0, left.y), LOAD_WIDTH - 12.0, 11.0, solid),
        ],
    )
}

/// A storage tank with its element; its lead arrives at `left`.
pub(crate) fn tank(left: Point, pen: Pen) -> Shape {
    let solid = Pen::solid(pen.width);
    let shell = Bounds::between(
        point(left.x, left.y - 17.0),
        point(left.x + LOAD_WIDTH * 0.75, left.y + 17.0),
    );
    symbol(
        "tank",
        vec![
            Shape::Box {
                bounds: shell,
                rounding: 9.0,
                pen: Some(solid),
                fill: Some(Ink::Paper),
            },
            zigzag(point(left.x + 5.0, left.y), LOAD_WIDTH * 0.75 - 10.0, 9.0, solid),
        ],
    )
}

/// Any other load: the line ends in an arrow head.
pub(crate) fn load(left: Point, pen: Pen) -> Shape {
    let tip = point(left.x + 16.0, left.y);
    symbol(
        "load",
        vec![
            Shape::line(left, point(tip.x - 6.0, tip.y), pen),
            Shape::arrow_head(left, tip, 10.0, Ink::Black),
        ],
    )
}

/// A connection to ground; its lead comes from above at `top`.
pub(crate) fn ground(top: Point, pen: Pen) -> Shape {
    let bar = |half: f64, y: f64| {
        Shape::line(
            point(top.x - half, top.y + y),
            point(top.x + half, top.y + y),
            Pen::solid(pen.width.max(1.2)),
        )
    };
    symbol(
        "ground",
        vec![
            Shape::line(top, point(top.x, top.y + 8.0), pen),
            bar(9.0, 8.0),
            bar(6.0, 11.5),
            bar(3.0, 15.0),
        ],
    )
}

/// Where the supply enters the sheet.
pub(crate) fn terminal(center: Point, pen: Pen) -> Shape {
    symbol(
        "terminal",
        vec![Shape::Circle {
            center,
            radius: 3.5,
            pen: Pen::solid(pen.width),
            fill: Some(Ink::Paper),
        }],
    )
}

/// Baseline that centers a line of text of `size` on `y`.
pub(crate) fn centered_baseline(y: f64, size: f64) -> f64 {
    // Lower-case letters and figures look centered when half of the ascent lies above.
    y + size * (ASCENT / 2.0 - 0.07)
}
