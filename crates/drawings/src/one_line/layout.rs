//! The sheet of the one-line diagram: its columns, and the order in which its parts are drawn.
//!
//! In: a [`OneLine`]. Out: a [`Drawing`]. Every part is measured before it is placed, and the sheet grows downward with
//! what it holds; it grows wider only when subpanels hang on subpanels.

use super::legend::{self, Sign};
use super::rows::panel_rows;
use super::supply_line::supply_line;
use super::{Feeds, OneLine, Panel, Status};
use crate::plain;
use crate::shape::{Dash, Drawing, Pen, Shape};
use crate::title_block::{MARGIN, heading, numbered_notes, title_block};
use std::collections::BTreeSet;

/// Width of a sheet whose subpanels hang on the main panel: fits a Letter or A4 page held upright, at full size.
pub(crate) const SHEET_WIDTH: f64 = 720.0;
/// x of the main bus.
pub(super) const MAIN_BUS_X: f64 = 44.0;
/// How far the bus of a subpanel stands right of the bus that feeds it.
pub(super) const STEP: f64 = 98.0;
/// Width of the column for the load's words.
pub(super) const LOAD_TEXT_WIDTH: f64 = 168.0;

const TITLE: &str = "One-line electrical diagram";

/// The sheet being drawn.
pub(super) struct Sheet<'a> {
    pub(super) input: &'a OneLine,
    pub(super) shapes: Vec<Shape>,
    pub(super) width: f64,
    /// x where the signs of loads begin.
    pub(super) load_left: f64,
    /// Signs and line styles drawn so far, for the legend.
    pub(super) used: BTreeSet<Sign>,
}

impl Sheet<'_> {
    pub(super) fn draw(&mut self, sign: Sign, shape: Shape) {
        self.used.insert(sign);
        self.shapes.push(shape);
    }

    /// Notes that a line of this status was drawn, and gives its pen.
    pub(super) fn pen(&mut self, status: Status) -> Pen {
        self.used.insert(match status {
            Status::Existing => Sign::Existing,
            Status::New => Sign::New,
            Status::Removed => Sign::Removed,
        });
        pen_of(status)
    }
}

/// The pen that tells existing, new and removed apart.
pub(super) fn pen_of(status: Status) -> Pen {
    match status {
        Status::Existing => Pen::solid(1.0),
        Status::New => Pen::solid(2.2),
        Status::Removed => Pen::solid(1.0).dashed(Dash::Short),
    }
}

/// Draws the diagram.
///
/// ```
/// use drawings::{clash, one_line::*, svg_print, title_block::TitleBlock};
/// use quantity::{ApparentPower, Current, UnitSystem};
/// let diagram = OneLine {
///     title_block: TitleBlock { job: "Alder house".into(), ..TitleBlock::default() },
///     units: UnitSystem::Us,
///     supply: Supply {
///         system: "120/240 V, single phase, 3-wire".into(),
///         transformer: Some(ApparentPower::from_kilovolt_amperes(25.0)),
///         ..Supply::default()
///     },
///     main: Panel { name: "Main panel".into(), bus: Some(Current::from_amperes(200.0)), ..Panel::default() },
///     notes: Vec::new(),
/// };
/// let drawing = one_line::diagram(&diagram);
/// # use drawings::one_line;
/// assert!(clash::overlaps(&drawing).is_empty());
/// assert!(svg_print::svg(&drawing).contains("bus 200 A; main lugs only"));
/// ```
pub fn diagram(input: &OneLine) -> Drawing {
    let deeper = depth(&input.main).saturating_sub(1) as f64;
    let width = SHEET_WIDTH + deeper * STEP;
    let mut sheet = Sheet {
        input,
        shapes: Vec::new(),
        width,
        load_left: width - MARGIN - 10.0 - LOAD_TEXT_WIDTH - 8.0 - crate::symbol::LOAD_WIDTH,
        used: BTreeSet::new(),
    };
    let top = heading(&mut sheet.shapes, width, TITLE, &input.title_block) + 6.0;
    let bus_top = supply_line(&mut sheet, top);
    // The legend stands beside the supply; it is drawn once all rows have said what they use, but its height must be
    // known before the first row: every sign that any row could use is measured.
    let legend_bottom = legend::bottom(&sheet, &input.main, top);
    let bottom = panel_rows(&mut sheet, &input.main, MAIN_BUS_X, bus_top, legend_bottom + 6.0);
    legend::draw(&mut sheet, top);
    let notes_bottom = numbered_notes(&mut sheet.shapes, width, bottom + 16.0, &input.notes);
    let foot = title_block(
        &mut sheet.shapes,
        width,
        notes_bottom + 12.0,
        TITLE,
        &input.title_block,
    );
    Drawing {
        id: "one-line".to_owned(),
        title: TITLE.to_owned(),
        description: plain::one_line_tree(input, usize::MAX).join("\n"),
        width,
        height: foot + MARGIN,
        shapes: sheet.shapes,
    }
}

/// How many subpanels hang below one another.
fn depth(panel: &Panel) -> usize {
    panel
        .branches
        .iter()
        .map(|branch| match &branch.feeds {
            Feeds::Panel(fed) => 1 + depth(fed),
            _ => 0,
        })
        .max()
        .unwrap_or(0)
}
