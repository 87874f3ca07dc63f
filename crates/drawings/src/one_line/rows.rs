//! The rows of the one-line diagram: a bus, and each branch that leaves it.
//!
//! A row has four columns: breaker with its rating, conductors with their words above and below the line, the sign of
//! the load, the load's words. A feeder's row ends in the bus of its subpanel, whose rows follow one step further in.

use super::layout::{LOAD_TEXT_WIDTH, STEP, Sheet, pen_of};
use super::legend::Sign;
use super::supply_line::panel_head;
use super::{Branch, Feeds, Panel, Status, words};
use crate::lettering::{ASCENT, LINE_PITCH, Weight, wrap};
use crate::shape::{Bounds, Dash, Ink, Label, Pen, Point, Shape, point, stack};
use crate::symbol::{self, BREAKER_LENGTH, DISCONNECT_LENGTH, LOAD_WIDTH};
use crate::title_block::{BODY, LINES_MAX, MARGIN};

/// Size of the words below a breaker.
const SMALL: f64 = 9.5;
/// Distance from the bus to its breakers.
const TAP: f64 = 12.0;
/// Distance from the bus to the words of a row.
const WORDS_LEFT: f64 = STEP + 10.0;
/// Distance from a line to the words above and below it.
const CLEAR: f64 = 5.0;
/// Free height between two rows.
const ROW_GAP: f64 = 11.0;
/// Height of a line of body text.
const PITCH: f64 = BODY * LINE_PITCH;
/// Height of a breaker's arc above its line, with air.
const BREAKER_RISE: f64 = 15.0;
/// How far the words of a feeder begin above its line.
const FEEDER_WORDS_RISE: f64 = 8.0;
/// Distance from a heater's case to what is in it.
const CASE_PAD: f64 = 5.0;
/// Half the width of a bus.
pub(super) const BUS_HALF: f64 = 2.6;

/// The words of one row, wrapped, and the room they need above and below the row's line.
struct Row<'a> {
    branch: &'a Branch,
    heading: Vec<String>,
    details: Vec<String>,
    rating: Vec<String>,
    breaker: Vec<String>,
    load_heading: Vec<String>,
    load: Vec<String>,
    /// Half the height of the load's words and sign.
    load_half: f64,
    above: f64,
    below: f64,
}

/// Draws a bus from `bus_top` with all its branches, the first row's words not above `rows_top`; returns the y below all.
pub(super) fn panel_rows(sheet: &mut Sheet, panel: &Panel, bus_x: f64, bus_top: f64, rows_top: f64) -> f64 {
    let mut y = rows_top.max(bus_top + 4.0);
    let mut last_tap = bus_top + 14.0;
    if panel.branches.is_empty() {
        let at = point(bus_x + TAP, bus_top + 14.0);
        sheet
            .shapes
            .push(Shape::Text(Label::new("no circuits recorded", at, BODY)));
        y = y.max(bus_top + 20.0) + ROW_GAP;
    }
    let mut branches = panel.branches.iter().peekable();
    let mut case_top: Option<f64> = None;
    while let Some(branch) = branches.next() {
        let opens = case_top.is_none() && matches!(branch.feeds, Feeds::Element(_));
        let row = measured(sheet, branch, bus_x, opens);
        let line_y = y + row.above;
        if opens {
            let heading = row.load_heading.len() as f64 * PITCH;
            case_top = Some(line_y - row.load_half - heading - CASE_PAD);
        }
        draw_row(sheet, &row, bus_x, line_y);
        last_tap = line_y;
        y = line_y + row.below;
        if let Feeds::Panel(fed) = &branch.feeds {
            let feeder = wire_pen(branch);
            let head_top = point(bus_x + STEP, y);
            sheet
                .shapes
                .push(Shape::line(point(bus_x + STEP, line_y), head_top, feeder));
            let right = sheet.width - MARGIN;
            let fed_bus = panel_head(sheet, fed, head_top, right, feeder, false);
            y = panel_rows(sheet, fed, bus_x + STEP, fed_bus, fed_bus + 4.0);
        }
        let goes_on = branches.peek().is_some_and(|next| same_heater(branch, next));
        if let (Some(top), false) = (case_top, goes_on) {
            let bottom = line_y + row.load_half + CASE_PAD;
            draw_case(sheet, top, bottom);
            y = y.max(bottom);
            case_top = None;
        }
        y += ROW_GAP;
    }
    sheet.pen(panel.status);
    sheet.used.insert(Sign::Bus);
    sheet.shapes.push(bus(
        point(bus_x, bus_top),
        point(bus_x, last_tap + 8.0),
        panel.status,
    ));
    (y - ROW_GAP).max(last_tap + 8.0)
}

fn same_heater(a: &Branch, b: &Branch) -> bool {
    matches!((&a.feeds, &b.feeds), (Feeds::Element(a), Feeds::Element(b)) if a.heater == b.heater)
}

/// A bus: filled when new, open when it stands there today, dashed when it goes.
pub(super) fn bus(from: Point, to: Point, status: Status) -> Shape {
    let pen = Pen {
        width: 1.0,
        ..pen_of(status)
    };
    Shape::Box {
        bounds: Bounds::between(from, to).grown(BUS_HALF),
        rounding: 0.0,
        pen: Some(pen),
        fill: Some(if status == Status::New {
            Ink::Black
        } else {
            Ink::Paper
        }),
    }
}

/// The pen of a branch's conductors: theirs, which may differ from the breaker's.
fn wire_pen(branch: &Branch) -> Pen {
    pen_of(
        branch
            .wiring
            .as_ref()
            .map_or(branch.status, |wiring| wiring.status),
    )
}

fn wrapped(lines: &[String], size: f64, weight: Weight, width: f64) -> Vec<String> {
    lines
        .iter()
        .flat_map(|line| wrap(line, size, weight, width, LINES_MAX))
        .collect()
}

fn measured<'a>(sheet: &Sheet, branch: &'a Branch, bus_x: f64, opens_case: bool) -> Row<'a> {
    let units = sheet.input.units;
    let is_feeder = matches!(branch.feeds, Feeds::Panel(_));
    let left = bus_x + WORDS_LEFT;
    let right = match &branch.feeds {
        Feeds::Panel(_) => sheet.width - MARGIN,
        _ if branch.disconnect.is_some() => sheet.load_left - DISCONNECT_LENGTH - 16.0,
        _ => sheet.load_left - 14.0,
    };
    let heading = wrapped(&[words::branch_heading(branch)], BODY, Weight::Bold, right - left);
    let details = wrapped(
        &words::branch_details(branch, units),
        BODY,
        Weight::Regular,
        right - left,
    );
    let breaker_width = STEP - 10.0 - 6.0;
    let rating = wrapped(
        &[words::breaker_rating(&branch.breaker)],
        SMALL,
        Weight::Bold,
        breaker_width,
    );
    let breaker = wrapped(
        &[words::breaker_details(&branch.breaker).join("; ")],
        SMALL,
        Weight::Regular,
        breaker_width,
    );
    let (load_heading, load) = words::load(branch, units);
    let load_heading = match &branch.feeds {
        Feeds::Element(element) if opens_case => words::given(&element.heater),
        _ => load_heading,
    };
    let load_heading: Vec<String> = load_heading.into_iter().collect();
    let load_heading = wrapped(&load_heading, BODY, Weight::Bold, LOAD_TEXT_WIDTH);
    let load = wrapped(&load, BODY, Weight::Regular, LOAD_TEXT_WIDTH);

    let sign_half = match &branch.feeds {
        Feeds::Tank(_) => 20.0,
        Feeds::Element(_) => 13.0,
        _ => 10.0,
    };
    let load_half = (load.len() as f64 * PITCH / 2.0).max(sign_half);
    let load_above = load_half + load_heading.len() as f64 * PITCH + if opens_case { CASE_PAD } else { 0.0 };
    let (words_above, words_below) = if is_feeder {
        (
            FEEDER_WORDS_RISE,
            (heading.len() + details.len()) as f64 * PITCH - FEEDER_WORDS_RISE,
        )
    } else {
        (
            heading.len() as f64 * PITCH + CLEAR,
            details.len() as f64 * PITCH + CLEAR,
        )
    };
    let above = words_above.max(load_above).max(BREAKER_RISE);
    let below = words_below
        .max((rating.len() + breaker.len()) as f64 * SMALL * LINE_PITCH + CLEAR + 2.0)
        .max(load_half);
    Row {
        branch,
        heading,
        details,
        rating,
        breaker,
        load_heading,
        load,
        load_half,
        above,
        below,
    }
}

fn draw_row(sheet: &mut Sheet, row: &Row, bus_x: f64, y: f64) {
    let branch = row.branch;
    let pen = sheet.pen(branch.status);
    sheet.pen(
        branch
            .wiring
            .as_ref()
            .map_or(branch.status, |wiring| wiring.status),
    );
    let breaker_left = bus_x + TAP;
    let tap = point(bus_x + BUS_HALF, y);
    sheet.shapes.push(Shape::line(tap, point(breaker_left, y), pen));
    sheet.draw(Sign::Breaker, symbol::breaker(point(breaker_left, y), pen));
    let first = Label::new("", point(bus_x + 10.0, y + CLEAR + 2.0 + SMALL * ASCENT), SMALL);
    let next = stack(&mut sheet.shapes, &row.rating, &first.clone().bold());
    let at = point(bus_x + 10.0, next);
    stack(&mut sheet.shapes, &row.breaker, &Label { at, ..first });

    let left = bus_x + WORDS_LEFT;
    let is_feeder = matches!(branch.feeds, Feeds::Panel(_));
    let heading_top = if is_feeder {
        y - FEEDER_WORDS_RISE
    } else {
        y - CLEAR - row.heading.len() as f64 * PITCH
    };
    let first = Label::new("", point(left, heading_top + BODY * ASCENT), BODY);
    let next = stack(&mut sheet.shapes, &row.heading, &first.clone().bold());
    let details = if is_feeder {
        next
    } else {
        y + CLEAR + BODY * ASCENT
    };
    let at = point(left, details);
    stack(&mut sheet.shapes, &row.details, &Label { at, ..first });

    let wire_right = if is_feeder { bus_x + STEP } else { sheet.load_left };
    draw_wire(sheet, branch, (breaker_left + BREAKER_LENGTH, wire_right), y);
    draw_load(sheet, row, y);
}

/// The conductors from the breaker to the load, the disconnect on them, and crosses when they go.
fn draw_wire(sheet: &mut Sheet, branch: &Branch, (left, right): (f64, f64), y: f64) {
    let wire = wire_pen(branch);
    let wire_end = if branch.disconnect.is_some() && !matches!(branch.feeds, Feeds::Panel(_)) {
        let switch_left = right - DISCONNECT_LENGTH - 6.0;
        sheet.draw(Sign::Disconnect, symbol::disconnect(point(switch_left, y), wire));
        let after = point(switch_left + DISCONNECT_LENGTH, y);
        sheet.shapes.push(Shape::line(after, point(right, y), wire));
        switch_left
    } else {
        right
    };
    sheet
        .shapes
        .push(Shape::line(point(left, y), point(wire_end, y), wire));
    if wire.dash == Dash::Short {
        let middle = f64::midpoint(left, wire_end);
        for x in [middle - 30.0, middle, middle + 30.0] {
            if x > left + 6.0 && x < wire_end - 6.0 {
                sheet.shapes.push(cross(point(x, y), 3.5));
            }
        }
    }
}

/// The cross drawn on what goes.
pub(super) fn cross(center: Point, half: f64) -> Shape {
    let stroke = |dx: f64| {
        let from = point(center.x - dx, center.y - half);
        Shape::line(from, point(center.x + dx, center.y + half), Pen::solid(1.2))
    };
    Shape::Group {
        name: "removed",
        symbol: false,
        shapes: vec![stroke(half), stroke(-half)],
    }
}

fn draw_load(sheet: &mut Sheet, row: &Row, y: f64) {
    let status = row.branch.status;
    let pen = pen_of(status);
    let at = point(sheet.load_left, y);
    let (sign, shape) = match &row.branch.feeds {
        Feeds::Panel(_) => return,
        Feeds::Element(_) => (Sign::Element, symbol::element(at, pen)),
        Feeds::Tank(_) => (Sign::Tank, symbol::tank(at, pen)),
        Feeds::Other(_) => (Sign::Load, symbol::load(at, pen)),
    };
    let shape = match shape.bounds() {
        Some(bounds) if status == Status::Removed => {
            let center = point(
                f64::midpoint(bounds.left, bounds.right),
                f64::midpoint(bounds.top, bounds.bottom),
            );
            let crossed = cross(center, (bounds.bottom - bounds.top) * 0.4);
            Shape::Group {
                name: "removed-load",
                symbol: true,
                shapes: vec![shape, crossed],
            }
        }
        _ => shape,
    };
    sheet.draw(sign, shape);
    let left = sheet.load_left + LOAD_WIDTH + 8.0;
    // An element's words stand centered on its sign; its heater's name stands above, where the case begins. Other loads
    // have heading and words as one block.
    let (heading_top, load_top) = if matches!(row.branch.feeds, Feeds::Element(_)) {
        let heading = row.load_heading.len() as f64 * PITCH;
        (
            y - row.load_half - heading,
            y - row.load.len() as f64 * PITCH / 2.0,
        )
    } else {
        let block = (row.load_heading.len() + row.load.len()) as f64 * PITCH;
        let top = y - block / 2.0;
        (top, top + row.load_heading.len() as f64 * PITCH)
    };
    let first = Label::new("", point(left, load_top + BODY * ASCENT), BODY);
    stack(&mut sheet.shapes, &row.load, &first);
    let at = point(left, heading_top + BODY * ASCENT);
    stack(
        &mut sheet.shapes,
        &row.load_heading,
        &Label { at, ..first }.bold(),
    );
}

/// The case of a heater around its elements.
fn draw_case(sheet: &mut Sheet, top: f64, bottom: f64) {
    sheet.used.insert(Sign::Case);
    let bounds = Bounds {
        left: sheet.load_left - 6.0,
        top,
        right: sheet.width - MARGIN,
        bottom,
    };
    sheet.shapes.push(Shape::Box {
        bounds,
        rounding: 4.0,
        pen: Some(Pen::solid(1.0).dashed(Dash::DashDot).inked(Ink::Gray)),
        fill: None,
    });
}
