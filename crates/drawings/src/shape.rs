//! Shapes: what a drawing is made of before it becomes a file.
//!
//! A [`Drawing`] is a white sheet with shapes in painting order; x grows to the right, y downward. One drawing unit is
//! 1/96 inch, so a sheet 720 units wide prints at full size on a Letter page held upright. Start at [`Drawing`].
//! Pens have widths and dash patterns; color only repeats what they say. Knows no file format and no layout.

pub use crate::geometry::{Bounds, Point, point};

use crate::lettering::{self, LINE_PITCH, Weight, text_width};

/// Colors, all dark enough to print black, except the two meant as paper tones.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ink {
    /// Near black.
    Black,
    /// Gray for what stands back.
    Gray,
    /// Light gray for grid lines.
    Faint,
    /// Very light gray for areas.
    Wash,
    /// White.
    Paper,
    /// Dark red: hot.
    Hot,
    /// Dark blue: cold.
    Cold,
    /// Dark green.
    Third,
    /// Dark violet.
    Fourth,
}

/// Dash patterns, told apart at a glance in black and white.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Dash {
    /// Unbroken.
    #[default]
    Solid,
    /// Long dashes.
    Long,
    /// Short dashes.
    Short,
    /// Dots.
    Dots,
    /// Dash and dot.
    DashDot,
    /// Dash and two dots.
    DashDotDot,
}

impl Dash {
    /// Lengths of dashes and gaps for a line of this width; empty when unbroken.
    pub fn pattern(self, width: f64) -> Vec<f64> {
        // Dots shorter than their width vanish on paper; thin lines get no shorter dashes than width 1.
        let unit = width.max(1.0);
        let steps: &[f64] = match self {
            Self::Solid => &[],
            Self::Long => &[9.0, 4.0],
            Self::Short => &[4.0, 3.0],
            Self::Dots => &[1.2, 2.6],
            Self::DashDot => &[9.0, 3.0, 1.5, 3.0],
            Self::DashDotDot => &[9.0, 3.0, 1.5, 2.5, 1.5, 3.0],
        };
        steps.iter().map(|step| step * unit).collect()
    }
}

/// How a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pen {
    /// Width of the line.
    pub width: f64,
    /// Its dash pattern.
    pub dash: Dash,
    /// Its color.
    pub ink: Ink,
}

impl Pen {
    /// A solid black pen.
    pub const fn solid(width: f64) -> Self {
        Self {
            width,
            dash: Dash::Solid,
            ink: Ink::Black,
        }
    }

    /// The same pen with another dash pattern.
    pub const fn dashed(self, dash: Dash) -> Self {
        Self { dash, ..self }
    }

    /// The same pen in another color.
    pub const fn inked(self, ink: Ink) -> Self {
        Self { ink, ..self }
    }
}

/// Which end of a text stands at its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Anchor {
    /// Its left end.
    #[default]
    Start,
    /// Its middle.
    Middle,
    /// Its right end.
    End,
}

/// One line of text.
#[derive(Debug, Clone, PartialEq)]
pub struct Label {
    /// The words, already cleaned (see [`lettering::clean`]).
    pub text: String,
    /// Where the anchored end of the baseline stands.
    pub at: Point,
    /// Which end that is.
    pub anchor: Anchor,
    /// Size of the letters.
    pub size: f64,
    /// Their weight.
    pub weight: Weight,
    /// Their color.
    pub ink: Ink,
    /// True when a white plate lies behind the text, so that grid lines do not run through it.
    pub plate: bool,
    /// True when the text runs upward instead of to the right.
    pub upward: bool,
}

impl Label {
    /// A black line of regular text whose left end stands at `at`.
    pub fn new(text: &str, at: Point, size: f64) -> Self {
        Self {
            text: lettering::clean(text),
            at,
            anchor: Anchor::Start,
            size,
            weight: Weight::Regular,
            ink: Ink::Black,
            plate: false,
            upward: false,
        }
    }

    /// The same label, anchored otherwise.
    pub fn anchored(self, anchor: Anchor) -> Self {
        Self { anchor, ..self }
    }

    /// The same label in bold.
    pub fn bold(self) -> Self {
        Self {
            weight: Weight::Bold,
            ..self
        }
    }

    /// The same label in another color.
    pub fn inked(self, ink: Ink) -> Self {
        Self { ink, ..self }
    }

    /// The box its letters need.
    pub fn bounds(&self) -> Bounds {
        let width = text_width(&self.text, self.size, self.weight);
        let start = match self.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => -width / 2.0,
            Anchor::End => -width,
        };
        let (up, down) = (lettering::ASCENT * self.size, lettering::DESCENT * self.size);
        if self.upward {
            Bounds {
                left: self.at.x - up,
                right: self.at.x + down,
                top: self.at.y - start - width,
                bottom: self.at.y - start,
            }
        } else {
            Bounds {
                left: self.at.x + start,
                right: self.at.x + start + width,
                top: self.at.y - up,
                bottom: self.at.y + down,
            }
        }
    }
}

/// One thing on the sheet.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// A straight or bent line; closed shapes may be filled.
    Path {
        /// Its corners.
        points: Vec<Point>,
        /// True when the last corner joins the first.
        closed: bool,
        /// The line; `None` for an area without outline.
        pen: Option<Pen>,
        /// The filling.
        fill: Option<Ink>,
    },
    /// A circle.
    Circle {
        /// Its center.
        center: Point,
        /// Its radius.
        radius: f64,
        /// Its outline.
        pen: Pen,
        /// The filling.
        fill: Option<Ink>,
    },
    /// Part of a circle.
    Arc {
        /// Center of the circle.
        center: Point,
        /// Its radius.
        radius: f64,
        /// Where it begins, in degrees from the right, turning downward.
        from_degrees: f64,
        /// How far it goes on, in degrees; less than 360.
        sweep_degrees: f64,
        /// The line.
        pen: Pen,
    },
    /// An upright rectangle.
    Box {
        /// Its extent.
        bounds: Bounds,
        /// Radius of its corners.
        rounding: f64,
        /// Its outline.
        pen: Option<Pen>,
        /// The filling.
        fill: Option<Ink>,
    },
    /// A line of text.
    Text(Label),
    /// Shapes that belong together; `symbol` when they form one sign that nothing else may touch.
    Group {
        /// What it is, as a class name: lower case, hyphens.
        name: &'static str,
        /// True when it is one sign of the trade.
        symbol: bool,
        /// Its parts.
        shapes: Vec<Shape>,
    },
}

impl Shape {
    /// A straight line.
    pub fn line(from: Point, to: Point, pen: Pen) -> Self {
        Self::bent(vec![from, to], pen)
    }

    /// An open line through `points`.
    pub fn bent(points: Vec<Point>, pen: Pen) -> Self {
        Self::Path {
            points,
            closed: false,
            pen: Some(pen),
            fill: None,
        }
    }

    /// A filled area without outline.
    pub fn area(points: Vec<Point>, fill: Ink) -> Self {
        Self::Path {
            points,
            closed: true,
            pen: None,
            fill: Some(fill),
        }
    }

    /// A filled arrow head whose tip is at `tip`, pointing away from `from`.
    pub fn arrow_head(from: Point, tip: Point, length: f64, ink: Ink) -> Self {
        let (dx, dy) = (tip.x - from.x, tip.y - from.y);
        let distance = dx.hypot(dy);
        let (ux, uy) = if distance > 0.0 {
            (dx / distance, dy / distance)
        } else {
            (1.0, 0.0)
        };
        let base = point(tip.x - ux * length, tip.y - uy * length);
        let half = length * 0.38;
        Self::area(
            vec![
                tip,
                point(base.x - uy * half, base.y + ux * half),
                point(base.x + uy * half, base.y - ux * half),
            ],
            ink,
        )
    }

    /// The smallest rectangle around it; `None` for an empty group.
    pub fn bounds(&self) -> Option<Bounds> {
        match self {
            Self::Path { points, .. } => Bounds::around(points.iter().copied()),
            Self::Circle { center, radius, .. } => Some(Bounds::between(*center, *center).grown(*radius)),
            Self::Arc { .. } => Bounds::around(self.outline()),
            Self::Box { bounds, .. } => Some(*bounds),
            Self::Text(label) => Some(label.bounds()),
            Self::Group { shapes, .. } => shapes.iter().filter_map(Self::bounds).reduce(Bounds::joined),
        }
    }

    /// The drawn line as a chain of points, curves in short chords; empty for text and groups.
    pub fn outline(&self) -> Vec<Point> {
        let chords = |center: Point, radius: f64, from: f64, sweep: f64| {
            const STEPS: u32 = 24;
            (0..=STEPS)
                .map(|step| {
                    let angle = (from + sweep * f64::from(step) / f64::from(STEPS)).to_radians();
                    point(center.x + radius * angle.cos(), center.y + radius * angle.sin())
                })
                .collect()
        };
        match self {
            Self::Path { points, closed, .. } => {
                let mut chain = points.clone();
                if *closed {
                    chain.extend(points.first());
                }
                chain
            }
            Self::Circle { center, radius, .. } => chords(*center, *radius, 0.0, 360.0),
            Self::Arc {
                center,
                radius,
                from_degrees,
                sweep_degrees,
                ..
            } => chords(*center, *radius, *from_degrees, *sweep_degrees),
            Self::Box { bounds: b, .. } => vec![
                point(b.left, b.top),
                point(b.right, b.top),
                point(b.right, b.bottom),
                point(b.left, b.bottom),
                point(b.left, b.top),
            ],
            Self::Text(_) | Self::Group { .. } => Vec::new(),
        }
    }
}

/// A finished sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// Short name, used for ids inside the file: lower case, digits, hyphens; unique on a page that holds several.
    pub id: String,
    /// What it shows, in a few words: read out first by a screen reader.
    pub title: String,
    /// The same content in words, for readers who cannot see it.
    pub description: String,
    /// Width of the sheet.
    pub width: f64,
    /// Height of the sheet.
    pub height: f64,
    /// What is on it, in painting order.
    pub shapes: Vec<Shape>,
}

/// Lines of text below one another, the first baseline at `at`; returns the baseline after the last.
pub(crate) fn stack(shapes: &mut Vec<Shape>, lines: &[String], first: &Label) -> f64 {
    let mut at = first.at;
    for line in lines {
        shapes.push(Shape::Text(Label {
            text: lettering::clean(line),
            at,
            ..first.clone()
        }));
        at.y += first.size * LINE_PITCH;
    }
    at.y
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn label_boxes_follow_the_anchor() {
        let label = Label::new("60 A", point(100.0, 50.0), 10.0);
        let width = label.bounds().right - label.bounds().left;
        assert!((label.bounds().left - 100.0).abs() < 1e-9);
        assert!((label.clone().anchored(Anchor::End).bounds().right - 100.0).abs() < 1e-9);
        let middle = label.clone().anchored(Anchor::Middle).bounds();
        assert!((middle.left + middle.right - 200.0).abs() < 1e-9);
        let upward = Label {
            upward: true,
            ..label
        }
        .bounds();
        assert!((upward.bottom - upward.top - width).abs() < 1e-9);
        assert!(
            (upward.bottom - 50.0).abs() < 1e-9,
            "the left end of the text is its lowest point"
        );
    }

    #[test]
    fn arrow_heads_point_away_and_survive_no_length() {
        let Shape::Path { points, .. } =
            Shape::arrow_head(point(0.0, 0.0), point(10.0, 0.0), 6.0, Ink::Black)
        else {
            panic!("an arrow head is a path");
        };
        assert_eq!(points[0], point(10.0, 0.0));
        assert!(points[1..].iter().all(|p| p.x < 10.0));
        let still = Shape::arrow_head(point(1.0, 1.0), point(1.0, 1.0), 6.0, Ink::Black);
        assert!(still.bounds().is_some_and(|b| b.left.is_finite()));
    }
}
