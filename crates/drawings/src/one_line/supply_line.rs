//! The supply of the one-line diagram: transformer, service drop, meter, entrance, main breaker, down to the bus.
//!
//! Signs stand one below the other on the main bus's x, words to the right of them.

use super::layout::{MAIN_BUS_X, Sheet};
use super::legend::{LEGEND_LEFT, Sign};
use super::{Panel, Status, words};
use crate::lettering::{ASCENT, LINE_PITCH, Weight, wrap};
use crate::shape::{Label, Pen, Point, Shape, point, stack};
use crate::symbol;
use crate::title_block::{BODY, LINES_MAX};

/// Distance from the bus to the words beside it.
const WORDS_OFFSET: f64 = 30.0;

/// Draws the supply from `top` to the upper end of the main bus; returns that y.
pub(super) fn supply_line(sheet: &mut Sheet, top: f64) -> f64 {
    let supply = &sheet.input.supply;
    let units = sheet.input.units;
    let x = MAIN_BUS_X;
    let right = sheet.width - LEGEND_LEFT - 12.0;
    let pen = sheet.pen(supply.transformer_status);
    let mut y = top + 6.0;
    sheet.shapes.push(symbol::terminal(point(x, y), pen));
    let label_at = point(x + WORDS_OFFSET, symbol::centered_baseline(y, BODY));
    sheet
        .shapes
        .push(Shape::Text(Label::new("from the utility", label_at, BODY)));
    y += 3.5;

    y = stage(
        sheet,
        y,
        &words::transformer(supply),
        right,
        symbol::TRANSFORMER_HEIGHT,
        pen,
        |sheet, top| {
            sheet.draw(Sign::Transformer, symbol::transformer(top, pen));
        },
    );
    let drop_pen = run_pen(sheet, supply.service_drop.as_ref());
    let drop_words = words::supply_wiring("Service drop", supply.service_drop.as_ref(), units);
    y = stage(sheet, y, &drop_words, right, 0.0, drop_pen, |_, _| {});
    let meter_pen = sheet.pen(supply.meter_status);
    let meter_height = 2.0 * symbol::METER_RADIUS;
    y = stage(
        sheet,
        y,
        &words::meter(supply),
        right,
        meter_height,
        drop_pen,
        |sheet, top| {
            let center = point(top.x, top.y + symbol::METER_RADIUS);
            sheet.draw(Sign::Meter, symbol::meter(center, meter_pen));
        },
    );
    let entrance_pen = run_pen(sheet, supply.service_entrance.as_ref());
    let entrance_words = words::supply_wiring("Service entrance", supply.service_entrance.as_ref(), units);
    y = stage(sheet, y, &entrance_words, right, 0.0, entrance_pen, |_, _| {});
    panel_head(sheet, &sheet.input.main, point(x, y), right, entrance_pen, true)
}

/// Draws a panel's main breaker (or lugs) and its words, from the incoming line at `top`; returns the y of the bus.
pub(super) fn panel_head(
    sheet: &mut Sheet,
    panel: &Panel,
    top: Point,
    right: f64,
    incoming: Pen,
    is_main: bool,
) -> f64 {
    let head = words::panel(panel);
    let pen = sheet.pen(panel.status);
    let sign_height = if panel.main_breaker.is_some() {
        symbol::BREAKER_LENGTH
    } else {
        0.0
    };
    let bottom = block_height(&head, right - top.x - WORDS_OFFSET);
    let y = top.y + 8.0;
    sheet.shapes.push(Shape::line(top, point(top.x, y), incoming));
    if panel.main_breaker.is_some() {
        sheet.draw(Sign::Breaker, symbol::breaker_upright(point(top.x, y), pen));
    }
    let end = y + sign_height.max(bottom) + 6.0;
    sheet
        .shapes
        .push(Shape::line(point(top.x, y + sign_height), point(top.x, end), pen));
    draw_block(sheet, &head, point(top.x + WORDS_OFFSET, y), right);
    if is_main && !panel.grounding.is_empty() {
        let lead_y = end - 3.0;
        let ground_x = top.x - 17.0;
        sheet.shapes.push(Shape::line(
            point(top.x, lead_y),
            point(ground_x, lead_y),
            Pen::solid(1.0),
        ));
        sheet.draw(
            Sign::Ground,
            symbol::ground(point(ground_x, lead_y), Pen::solid(1.0)),
        );
    }
    end
}

/// One stage of the supply: a sign on the line (or none) and words beside it; returns the y where the next begins.
fn stage(
    sheet: &mut Sheet,
    top: f64,
    text: &(String, Vec<String>),
    right: f64,
    sign_height: f64,
    line: Pen,
    sign: impl FnOnce(&mut Sheet, Point),
) -> f64 {
    let x = MAIN_BUS_X;
    let lead = 6.0;
    let height = block_height(text, right - x - WORDS_OFFSET);
    let total = height.max(sign_height) + 2.0 * lead;
    // A sign with few words beside it has them at its middle, a sign with many has its own place at the top.
    let words_top = top + (total - height) / 2.0;
    let sign_top = top + (total - sign_height) / 2.0;
    if sign_height > 0.0 {
        sheet
            .shapes
            .push(Shape::line(point(x, top), point(x, sign_top), line));
        sign(sheet, point(x, sign_top));
        let below = point(x, sign_top + sign_height);
        sheet.shapes.push(Shape::line(below, point(x, top + total), line));
    } else {
        sheet
            .shapes
            .push(Shape::line(point(x, top), point(x, top + total), line));
    }
    draw_block(sheet, text, point(x + WORDS_OFFSET, words_top), right);
    top + total
}

fn run_pen(sheet: &mut Sheet, conductors: Option<&super::Wiring>) -> Pen {
    sheet.pen(conductors.map_or(Status::Existing, |conductors| conductors.status))
}

fn block_lines((heading, facts): &(String, Vec<String>), width: f64) -> (Vec<String>, Vec<String>) {
    let bold = wrap(heading, BODY, Weight::Bold, width, LINES_MAX);
    let plain = facts
        .iter()
        .flat_map(|fact| wrap(fact, BODY, Weight::Regular, width, LINES_MAX))
        .collect();
    (bold, plain)
}

fn block_height(text: &(String, Vec<String>), width: f64) -> f64 {
    let (bold, plain) = block_lines(text, width);
    (bold.len() + plain.len()) as f64 * BODY * LINE_PITCH
}

fn draw_block(sheet: &mut Sheet, text: &(String, Vec<String>), top: Point, right: f64) {
    let (bold, plain) = block_lines(text, right - top.x);
    let first = Label::new("", point(top.x, top.y + BODY * ASCENT), BODY);
    let next = stack(&mut sheet.shapes, &bold, &first.clone().bold());
    stack(
        &mut sheet.shapes,
        &plain,
        &Label {
            at: point(top.x, next),
            ..first
        },
    );
}
