//! The frame of a drawing: heading, numbered notes, and the title block at the foot.
//!
//! In: a [`TitleBlock`] filled by the caller. Out: shapes. Says in our own words that the sheet is not for construction
//! before a licensed person has reviewed it; never says that anything is compliant.

use crate::lettering::{ASCENT, LINE_PITCH, Weight, clean, wrap};
use crate::shape::{Bounds, Ink, Label, Pen, Shape, point, stack};

/// Free edge of every sheet.
pub(crate) const MARGIN: f64 = 16.0;
/// Size of body text.
pub(crate) const BODY: f64 = 10.5;
/// Size of captions.
pub(crate) const CAPTION: f64 = 8.0;
/// Most lines a value may take before it is cut with an ellipsis.
pub(crate) const LINES_MAX: usize = 12;

/// The statement at the foot of every drawing.
pub const REVIEW_STATEMENT: &str = "Not for construction until reviewed by a person licensed for this work. The \
     authority having jurisdiction, the adopted codes and the manufacturers' instructions decide.";

/// What the title block says. Empty texts leave the field open, to be written in by hand.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct TitleBlock {
    /// Name of the job.
    pub job: String,
    /// Where the job is.
    pub place: String,
    /// Revision of the drawing.
    pub revision: String,
    /// Edition of the code that the design was checked against.
    pub edition: String,
    /// Date of the drawing, as it shall be printed.
    pub date: String,
    /// Who drew it.
    pub drawn_by: String,
}

/// Draws the heading of a sheet from its top; returns the y below it.
pub(crate) fn heading(shapes: &mut Vec<Shape>, width: f64, title: &str, block: &TitleBlock) -> f64 {
    let room = width - 2.0 * MARGIN;
    let mut y = MARGIN + 15.0 * ASCENT;
    shapes.push(Shape::Text(Label::new(title, point(MARGIN, y), 15.0).bold()));
    y += 15.0 * LINE_PITCH;
    let job = wrap(&block.job, BODY, Weight::Regular, room, LINES_MAX);
    stack(shapes, &job, &Label::new("", point(MARGIN, y), BODY)) + 2.0
}

/// Draws numbered notes from `top`; returns the y below them, which is `top` when there are none.
pub(crate) fn numbered_notes(shapes: &mut Vec<Shape>, width: f64, top: f64, notes: &[String]) -> f64 {
    let notes: Vec<&String> = notes.iter().filter(|note| !clean(note).is_empty()).collect();
    if notes.is_empty() {
        return top;
    }
    let mut y = top + BODY * ASCENT;
    shapes.push(Shape::Text(Label::new("Notes", point(MARGIN, y), BODY).bold()));
    y += BODY * LINE_PITCH;
    let indent = 22.0;
    for (at, note) in notes.iter().enumerate() {
        let number = format!("{}.", at + 1);
        shapes.push(Shape::Text(Label::new(&number, point(MARGIN, y), BODY)));
        let lines = wrap(
            note,
            BODY,
            Weight::Regular,
            width - 2.0 * MARGIN - indent,
            LINES_MAX,
        );
        y = stack(shapes, &lines, &Label::new("", point(MARGIN + indent, y), BODY)) + 2.0;
    }
    y
}

/// Draws the title block from `top`; returns the y of its lower edge.
pub(crate) fn title_block(
    shapes: &mut Vec<Shape>,
    width: f64,
    top: f64,
    title: &str,
    block: &TitleBlock,
) -> f64 {
    let rows: [&[(&str, &str, f64)]; 3] = [
        &[
            ("Job", &block.job, 0.5),
            ("Drawing", title, 0.3),
            ("Revision", &block.revision, 0.2),
        ],
        &[
            ("Place", &block.place, 0.5),
            ("Code edition", &block.edition, 0.3),
            ("Date", &block.date, 0.2),
        ],
        &[
            ("Drawn by", &block.drawn_by, 0.3),
            ("Reviewed by (licensed person)", "", 0.3),
            ("License number", "", 0.2),
            ("Date of review", "", 0.2),
        ],
    ];
    let room = width - 2.0 * MARGIN;
    let thin = Pen::solid(0.7);
    let pad = 5.0;
    let mut y = top;
    for row in rows {
        let mut x = MARGIN;
        let mut cells = Vec::new();
        for (caption, value, share) in row {
            let cell = room * share;
            cells.push((
                x,
                *caption,
                wrap(value, BODY, Weight::Regular, cell - 2.0 * pad, LINES_MAX),
            ));
            x += cell;
        }
        let lines = cells
            .iter()
            .map(|(_, _, lines)| lines.len().max(1))
            .max()
            .unwrap_or(1);
        let caption_height = CAPTION * LINE_PITCH;
        let bottom = y + pad + caption_height + lines as f64 * BODY * LINE_PITCH + 1.0;
        for (x, caption, lines) in cells {
            let caption_at = point(x + pad, y + pad + CAPTION * ASCENT);
            shapes.push(Shape::Text(
                Label::new(caption, caption_at, CAPTION).inked(Ink::Gray),
            ));
            let first = Label::new("", point(x + pad, y + pad + caption_height + BODY * ASCENT), BODY);
            stack(shapes, &lines, &first);
            if x > MARGIN {
                shapes.push(Shape::line(point(x, y), point(x, bottom), thin));
            }
        }
        shapes.push(Shape::line(
            point(MARGIN, bottom),
            point(width - MARGIN, bottom),
            thin,
        ));
        y = bottom;
    }
    let statement = wrap(REVIEW_STATEMENT, BODY, Weight::Bold, room - 2.0 * pad, LINES_MAX);
    let first = Label::new("", point(MARGIN + pad, y + pad + BODY * ASCENT), BODY).bold();
    let bottom = stack(shapes, &statement, &first) - BODY * ASCENT + pad - 1.0;
    shapes.push(Shape::Box {
        bounds: Bounds::between(point(MARGIN, top), point(width - MARGIN, bottom)),
        rounding: 0.0,
        pen: Some(Pen::solid(1.4)),
        fill: None,
    });
    bottom
}
