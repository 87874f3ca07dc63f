//! The legend of the one-line diagram: the signs and line styles this sheet uses, and no others.

use super::layout::{Sheet, pen_of};
use super::rows::{bus, cross};
use super::{Feeds, Panel, Status};
use crate::lettering::{ASCENT, LINE_PITCH, Weight, wrap};
use crate::shape::{Bounds, Dash, Ink, Label, Pen, Shape, point, stack};
use crate::symbol::{self, centered_baseline};
use crate::title_block::{BODY, MARGIN};
use std::collections::BTreeSet;

/// Distance of the legend's left edge from the right edge of the sheet.
pub(super) const LEGEND_LEFT: f64 = 262.0;

const SAMPLE_WIDTH: f64 = 50.0;

/// A sign or line style, in the order of the legend.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Sign {
    New,
    Existing,
    Removed,
    Transformer,
    Meter,
    Breaker,
    Disconnect,
    Bus,
    Ground,
    Element,
    Case,
    Tank,
    Load,
}

impl Sign {
    fn meaning(self) -> &'static str {
        match self {
            Self::New => "NEW: heavy line",
            Self::Existing => "EXISTING, stays: light line",
            Self::Removed => "REMOVE: dashed, crossed out",
            Self::Transformer => "transformer",
            Self::Meter => "utility meter",
            Self::Breaker => "breaker; 2P = 2 poles, rating in A",
            Self::Disconnect => "disconnect (drawn open)",
            Self::Bus => "bus of a panel; open: existing",
            Self::Ground => "grounding electrode",
            Self::Element => "resistance element",
            Self::Case => "elements in one heater",
            Self::Tank => "storage tank heater",
            Self::Load => "other load",
        }
    }

    fn height(self) -> f64 {
        match self {
            Self::Transformer | Self::Meter => 31.0,
            Self::Tank => 36.0,
            Self::Element => 24.0,
            Self::Case => 20.0,
            Self::Breaker | Self::Disconnect | Self::Ground => 19.0,
            _ => 15.0,
        }
    }
}

/// The y below the legend once every row of `main` is drawn.
pub(super) fn bottom(sheet: &Sheet, main: &Panel, top: f64) -> f64 {
    let mut used = sheet.used.clone();
    foresee(main, &mut used);
    let rows: f64 = used.iter().map(|sign| row_height(*sign)).sum();
    top + 12.0 + BODY * LINE_PITCH + rows
}

/// Draws the legend from `top` at the right edge of the sheet.
pub(super) fn draw(sheet: &mut Sheet, top: f64) {
    let left = sheet.width - LEGEND_LEFT;
    let mut y = top + 6.0;
    let title_at = point(left + 10.0, y + BODY * ASCENT);
    sheet
        .shapes
        .push(Shape::Text(Label::new("Legend", title_at, BODY).bold()));
    y += BODY * LINE_PITCH;
    for sign in sheet.used.clone() {
        let height = row_height(sign);
        let center = y + height / 2.0;
        sheet.shapes.extend(sample(sign, left + 10.0, center));
        let lines = meaning_lines(sign);
        let first_baseline =
            centered_baseline(center, BODY) - (lines.len() as f64 - 1.0) * BODY * LINE_PITCH / 2.0;
        let at = point(left + 10.0 + SAMPLE_WIDTH + 10.0, first_baseline);
        stack(&mut sheet.shapes, &lines, &Label::new("", at, BODY));
        y += height;
    }
    sheet.shapes.push(Shape::Box {
        bounds: Bounds {
            left,
            top,
            right: sheet.width - MARGIN,
            bottom: y + 6.0,
        },
        rounding: 0.0,
        pen: Some(Pen::solid(0.7).inked(Ink::Gray)),
        fill: None,
    });
}

fn meaning_lines(sign: Sign) -> Vec<String> {
    let room = LEGEND_LEFT - MARGIN - 20.0 - SAMPLE_WIDTH - 10.0;
    wrap(sign.meaning(), BODY, Weight::Regular, room, 3)
}

fn row_height(sign: Sign) -> f64 {
    let words = meaning_lines(sign).len() as f64 * BODY * LINE_PITCH + 3.0;
    sign.height().max(words)
}

/// Adds what the rows below a panel will use.
fn foresee(panel: &Panel, used: &mut BTreeSet<Sign>) {
    let status = |status: Status| match status {
        Status::Existing => Sign::Existing,
        Status::New => Sign::New,
        Status::Removed => Sign::Removed,
    };
    used.extend([Sign::Bus, status(panel.status)]);
    if panel.main_breaker.is_some() {
        used.insert(Sign::Breaker);
    }
    for branch in &panel.branches {
        used.extend([Sign::Breaker, status(branch.status)]);
        used.extend(branch.wiring.as_ref().map(|wiring| status(wiring.status)));
        match &branch.feeds {
            Feeds::Panel(fed) => foresee(fed, used),
            Feeds::Element(_) => used.extend([Sign::Element, Sign::Case]),
            Feeds::Tank(_) => used.extend([Sign::Tank]),
            Feeds::Other(_) => used.extend([Sign::Load]),
        }
        if branch.disconnect.is_some() && !matches!(branch.feeds, Feeds::Panel(_)) {
            used.insert(Sign::Disconnect);
        }
    }
}

/// A sample of the sign, `SAMPLE_WIDTH` wide, its middle at `y`.
fn sample(sign: Sign, left: f64, y: f64) -> Vec<Shape> {
    let pen = Pen::solid(1.2);
    let right = left + SAMPLE_WIDTH;
    let middle = f64::midpoint(left, right);
    let level = |pen: Pen| Shape::line(point(left, y), point(right, y), pen);
    match sign {
        Sign::New => vec![level(pen_of(Status::New))],
        Sign::Existing => vec![level(pen_of(Status::Existing))],
        Sign::Removed => vec![
            level(pen_of(Status::Removed)),
            cross(point(middle - 12.0, y), 3.5),
            cross(point(middle + 12.0, y), 3.5),
        ],
        Sign::Transformer => {
            // The sign stands upright on the sheet; a flat sample keeps the legend short.
            let half = symbol::TRANSFORMER_HEIGHT / 2.0;
            vec![shortened(
                symbol::transformer(point(middle, y - half), pen),
                14.0,
                y,
            )]
        }
        Sign::Meter => vec![symbol::meter(point(middle, y), pen)],
        Sign::Breaker => vec![symbol::breaker(
            point(middle - symbol::BREAKER_LENGTH / 2.0, y + 4.0),
            pen,
        )],
        Sign::Disconnect => vec![symbol::disconnect(
            point(middle - symbol::DISCONNECT_LENGTH / 2.0, y + 4.0),
            pen,
        )],
        Sign::Bus => vec![
            bus(point(left + 3.0, y), point(middle - 5.0, y), Status::New),
            bus(point(middle + 5.0, y), point(right - 3.0, y), Status::Existing),
        ],
        Sign::Ground => vec![symbol::ground(point(middle, y - 8.0), pen)],
        Sign::Element => vec![symbol::element(point(middle - symbol::LOAD_WIDTH / 2.0, y), pen)],
        Sign::Case => vec![Shape::Box {
            bounds: Bounds::between(point(left + 3.0, y - 8.0), point(right - 3.0, y + 8.0)),
            rounding: 4.0,
            pen: Some(Pen::solid(1.0).dashed(Dash::DashDot).inked(Ink::Gray)),
            fill: None,
        }],
        Sign::Tank => vec![symbol::tank(point(middle - symbol::LOAD_WIDTH * 0.375, y), pen)],
        Sign::Load => vec![symbol::load(point(middle - 8.0, y), pen)],
    }
}

/// The symbol with its upright leads cut to `half` above and below `y`.
fn shortened(shape: Shape, half: f64, y: f64) -> Shape {
    match shape {
        Shape::Group { name, symbol, shapes } => Shape::Group {
            name,
            symbol,
            shapes: shapes.into_iter().map(|part| shortened(part, half, y)).collect(),
        },
        Shape::Path {
            mut points,
            closed,
            pen,
            fill,
        } => {
            for p in &mut points {
                p.y = p.y.clamp(y - half, y + half);
            }
            Shape::Path {
                points,
                closed,
                pen,
                fill,
            }
        }
        other => other,
    }
}
