//! What overlaps in a finished drawing: text with text, text with lines, signs with one another, anything off the sheet.
//!
//! In: a [`Drawing`]. Out: a list of [`Clash`], empty for a sheet that can be read. Start at [`overlaps`]. Used by the
//! tests of every layout, and by layouts that try several places for a label. Judges by boxes and line segments, not by
//! letter shapes, and so errs toward reporting too much.

use crate::shape::{Bounds, Drawing, Ink, Label, Point, Shape};
use std::fmt;

/// Overlap smaller than this is touching, which the eye does not see.
const TOUCH: f64 = 0.4;
/// How deep a line may reach into a sign's box: leads end on its edge.
const LEAD: f64 = 1.5;

/// Two things that stand in one another's way.
#[derive(Debug, Clone, PartialEq)]
pub enum Clash {
    /// Two texts share space.
    Texts(String, String),
    /// A line or a dark area runs through a text.
    TextOnLine(String, Bounds),
    /// A text stands on a sign that it is not part of.
    TextOnSymbol(String, &'static str),
    /// Two signs share space.
    Symbols(&'static str, &'static str),
    /// A line runs through a sign instead of ending at it.
    LineThroughSymbol(Bounds, &'static str),
    /// Something reaches past the edge of the sheet.
    OffSheet(String),
}

impl fmt::Display for Clash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Texts(a, b) => write!(f, "text `{a}` overlaps text `{b}`"),
            Self::TextOnLine(text, line) => write!(f, "text `{text}` is crossed by a line within {line:?}"),
            Self::TextOnSymbol(text, symbol) => write!(f, "text `{text}` stands on the sign `{symbol}`"),
            Self::Symbols(a, b) => write!(f, "sign `{a}` overlaps sign `{b}`"),
            Self::LineThroughSymbol(line, symbol) => {
                write!(f, "a line within {line:?} runs through the sign `{symbol}`")
            }
            Self::OffSheet(what) => write!(f, "`{what}` reaches past the sheet"),
        }
    }
}

/// Everything in `drawing` that overlaps.
///
/// ```
/// use drawings::shape::{Drawing, Label, Shape, point};
/// let label = |x| Shape::Text(Label::new("kitchen", point(x, 20.0), 10.0));
/// let mut sheet = Drawing {
///     id: "d".into(), title: String::new(), description: String::new(),
///     width: 200.0, height: 40.0, shapes: vec![label(10.0), label(20.0)],
/// };
/// assert_eq!(drawings::clash::overlaps(&sheet).len(), 1);
/// sheet.shapes[1] = label(100.0);
/// assert!(drawings::clash::overlaps(&sheet).is_empty());
/// ```
pub fn overlaps(drawing: &Drawing) -> Vec<Clash> {
    let ground = Ground::of(&drawing.shapes);
    let mut found = Vec::new();
    for (at, (label, _)) in ground.labels.iter().enumerate() {
        for (other, _) in &ground.labels[at + 1..] {
            if label.bounds().grown(-TOUCH).meets(other.bounds().grown(-TOUCH)) {
                found.push(Clash::Texts(label.text.clone(), other.text.clone()));
            }
        }
    }
    for (label, owner) in &ground.labels {
        found.extend(ground.text_clash(label, *owner));
    }
    for (at, (name, bounds)) in ground.symbols.iter().enumerate() {
        for (other_name, other) in &ground.symbols[at + 1..] {
            if bounds.grown(-TOUCH).meets(other.grown(-TOUCH)) {
                found.push(Clash::Symbols(name, other_name));
            }
        }
        for line in ground.lines.iter().filter(|line| line.owner.is_none()) {
            if line.crosses(bounds.grown(-LEAD)) {
                found.push(Clash::LineThroughSymbol(line.bounds, name));
            }
        }
    }
    let sheet = Bounds {
        left: 0.0,
        top: 0.0,
        right: drawing.width,
        bottom: drawing.height,
    };
    let off = |bounds: Bounds| !sheet.grown(TOUCH).holds(bounds);
    found.extend(
        ground
            .labels
            .iter()
            .filter(|(label, _)| off(label.bounds()))
            .map(|(label, _)| Clash::OffSheet(label.text.clone())),
    );
    found.extend(
        ground
            .lines
            .iter()
            .filter(|line| off(line.bounds))
            .map(|line| Clash::OffSheet(format!("{:?}", line.bounds))),
    );
    found
}

/// The parts of a drawing, sorted by what can clash with what.
pub(crate) struct Ground {
    labels: Vec<(Label, Option<usize>)>,
    lines: Vec<Line>,
    symbols: Vec<(&'static str, Bounds)>,
}

struct Line {
    chain: Vec<Point>,
    bounds: Bounds,
    /// True for the light lines that a label's plate may cover.
    faint: bool,
    /// True when the whole area is dark.
    dark: bool,
    owner: Option<usize>,
}

impl Ground {
    /// The parts of `shapes`.
    pub(crate) fn of(shapes: &[Shape]) -> Self {
        let mut ground = Self {
            labels: Vec::new(),
            lines: Vec::new(),
            symbols: Vec::new(),
        };
        ground.add(shapes, None);
        ground
    }

    /// Adds one more shape.
    pub(crate) fn push(&mut self, shape: &Shape) {
        self.add(std::slice::from_ref(shape), None);
    }

    /// True when `label` can stand where it is without touching anything.
    pub(crate) fn is_free_for(&self, label: &Label) -> bool {
        let bounds = label.bounds().grown(1.0);
        self.labels.iter().all(|(other, _)| !bounds.meets(other.bounds()))
            && self.text_clash(label, None).is_none()
    }

    fn text_clash(&self, label: &Label, owner: Option<usize>) -> Option<Clash> {
        let bounds = label.bounds().grown(-TOUCH);
        let line = self.lines.iter().find(|line| {
            !(label.plate && line.faint) && (line.crosses(bounds) || (line.dark && line.bounds.meets(bounds)))
        });
        if let Some(line) = line {
            return Some(Clash::TextOnLine(label.text.clone(), line.bounds));
        }
        self.symbols
            .iter()
            .enumerate()
            .find(|(at, (_, symbol))| owner != Some(*at) && symbol.meets(bounds))
            .map(|(_, (name, _))| Clash::TextOnSymbol(label.text.clone(), name))
    }

    fn add(&mut self, shapes: &[Shape], owner: Option<usize>) {
        for shape in shapes {
            match shape {
                Shape::Group {
                    name,
                    symbol,
                    shapes: parts,
                } => {
                    // A sign inside a sign is part of it.
                    let owner = match (*symbol && owner.is_none(), shape.bounds()) {
                        (true, Some(bounds)) => {
                            self.symbols.push((name, bounds));
                            Some(self.symbols.len() - 1)
                        }
                        _ => owner,
                    };
                    self.add(parts, owner);
                }
                Shape::Text(label) => self.labels.push((label.clone(), owner)),
                Shape::Path { pen, fill, .. } | Shape::Box { pen, fill, .. } => {
                    self.add_line(shape, pen.map(|pen| pen.ink), *fill, owner);
                }
                Shape::Circle { pen, fill, .. } => self.add_line(shape, Some(pen.ink), *fill, owner),
                Shape::Arc { pen, .. } => self.add_line(shape, Some(pen.ink), None, owner),
            }
        }
    }

    fn add_line(&mut self, shape: &Shape, pen: Option<Ink>, fill: Option<Ink>, owner: Option<usize>) {
        let light = |ink: Ink| matches!(ink, Ink::Wash | Ink::Paper);
        let dark = fill.is_some_and(|ink| !light(ink));
        let drawn = pen.is_some_and(|ink| !light(ink));
        if let (true, Some(bounds)) = (dark || drawn, shape.bounds()) {
            self.lines.push(Line {
                chain: shape.outline(),
                bounds,
                faint: pen == Some(Ink::Faint) && !dark,
                dark,
                owner,
            });
        }
    }
}

impl Line {
    fn crosses(&self, bounds: Bounds) -> bool {
        bounds.left < bounds.right
            && bounds.top < bounds.bottom
            && self
                .chain
                .windows(2)
                .any(|ends| segment_meets(ends[0], ends[1], bounds))
    }
}

/// True when the segment passes through the inside of the rectangle (Liang–Barsky clipping).
fn segment_meets(a: Point, b: Point, bounds: Bounds) -> bool {
    let (dx, dy) = (b.x - a.x, b.y - a.y);
    let mut enter = 0.0_f64;
    let mut leave = 1.0_f64;
    for (step, room) in [
        (-dx, a.x - bounds.left),
        (dx, bounds.right - a.x),
        (-dy, a.y - bounds.top),
        (dy, bounds.bottom - a.y),
    ] {
        if step == 0.0 {
            if room <= 0.0 {
                return false;
            }
        } else if step < 0.0 {
            enter = enter.max(room / step);
        } else {
            leave = leave.min(room / step);
        }
    }
    enter < leave
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shape::{Pen, point};

    fn sheet(shapes: Vec<Shape>) -> Drawing {
        Drawing {
            id: "test".into(),
            title: "test".into(),
            description: String::new(),
            width: 100.0,
            height: 100.0,
            shapes,
        }
    }

    fn text(x: f64, y: f64) -> Shape {
        Shape::Text(Label::new("word", point(x, y), 10.0))
    }

    #[test]
    fn each_kind_is_reported() {
        let across = Shape::line(point(0.0, 47.0), point(99.0, 47.0), Pen::solid(1.0));
        assert!(matches!(
            overlaps(&sheet(vec![text(20.0, 50.0), across.clone()]))[..],
            [Clash::TextOnLine(..)]
        ));
        assert!(overlaps(&sheet(vec![text(20.0, 70.0), across.clone()])).is_empty());
        assert!(matches!(
            overlaps(&sheet(vec![text(90.0, 50.0)]))[..],
            [Clash::OffSheet(_)]
        ));
        let sign = |x: f64| Shape::Group {
            name: "meter",
            symbol: true,
            shapes: vec![Shape::Circle {
                center: point(x, 47.0),
                radius: 10.0,
                pen: Pen::solid(1.0),
                fill: None,
            }],
        };
        assert!(matches!(
            overlaps(&sheet(vec![sign(30.0), sign(45.0)]))[..],
            [Clash::Symbols(..)]
        ));
        assert!(matches!(
            overlaps(&sheet(vec![sign(30.0), across]))[..],
            [Clash::LineThroughSymbol(..)]
        ));
        let lead = Shape::line(point(0.0, 47.0), point(20.0, 47.0), Pen::solid(1.0));
        assert!(overlaps(&sheet(vec![sign(30.0), lead])).is_empty());
    }

    #[test]
    fn a_plate_covers_grid_lines_only() {
        let label = Label {
            plate: true,
            ..Label::new("word", point(20.0, 50.0), 10.0)
        };
        let grid = |ink| Shape::line(point(0.0, 47.0), point(99.0, 47.0), Pen::solid(0.5).inked(ink));
        assert!(overlaps(&sheet(vec![grid(Ink::Faint), Shape::Text(label.clone())])).is_empty());
        assert_eq!(
            overlaps(&sheet(vec![grid(Ink::Black), Shape::Text(label)])).len(),
            1
        );
    }

    #[test]
    fn segments_are_clipped_exactly() {
        let bounds = Bounds::between(point(0.0, 0.0), point(10.0, 10.0));
        assert!(segment_meets(point(-5.0, -5.0), point(15.0, 15.0), bounds));
        assert!(segment_meets(point(5.0, 5.0), point(6.0, 5.0), bounds));
        assert!(
            !segment_meets(point(-5.0, 0.0), point(15.0, 0.0), bounds),
            "along the edge"
        );
        assert!(!segment_meets(point(-5.0, 8.0), point(3.0, 16.0), bounds));
    }
}
