//! Places and upright rectangles on a sheet.
//!
//! x grows to the right, y downward. Knows nothing of what is drawn.

/// A place on the sheet.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Point {
    /// To the right.
    pub x: f64,
    /// Downward.
    pub y: f64,
}

/// The place `x`, `y`.
pub const fn point(x: f64, y: f64) -> Point {
    Point { x, y }
}

/// An upright rectangle on the sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    /// Smallest x.
    pub left: f64,
    /// Smallest y.
    pub top: f64,
    /// Largest x.
    pub right: f64,
    /// Largest y.
    pub bottom: f64,
}

impl Bounds {
    /// The rectangle between two corners, in any order.
    pub fn between(a: Point, b: Point) -> Self {
        Self {
            left: a.x.min(b.x),
            top: a.y.min(b.y),
            right: a.x.max(b.x),
            bottom: a.y.max(b.y),
        }
    }

    /// The smallest rectangle around the points; `None` when there are none.
    pub fn around(points: impl IntoIterator<Item = Point>) -> Option<Self> {
        points
            .into_iter()
            .map(|p| Self::between(p, p))
            .reduce(Self::joined)
    }

    /// The smallest rectangle around both.
    pub fn joined(self, other: Self) -> Self {
        Self {
            left: self.left.min(other.left),
            top: self.top.min(other.top),
            right: self.right.max(other.right),
            bottom: self.bottom.max(other.bottom),
        }
    }

    /// Larger by `margin` on every side (smaller when negative).
    pub fn grown(self, margin: f64) -> Self {
        Self {
            left: self.left - margin,
            top: self.top - margin,
            right: self.right + margin,
            bottom: self.bottom + margin,
        }
    }

    /// True when the two share more than an edge.
    pub fn meets(self, other: Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    /// True when `other` lies wholly inside.
    pub fn holds(self, other: Self) -> bool {
        self.left <= other.left
            && self.top <= other.top
            && self.right >= other.right
            && self.bottom >= other.bottom
    }
}
