//! A drawing printed as SVG.
//!
//! In: a [`Drawing`]. Out: one `<svg>` element as text, fit to stand alone in a file, inside HTML, or inside a document
//! typesetter. Start at [`svg()`]. Fixed dark inks on a white sheet, so that it prints; style as attributes, because some
//! readers ignore style sheets; numbers with at most two decimals; attributes in a fixed order: same drawing, same bytes.

use crate::lettering::{self, Weight};
use crate::shape::{Anchor, Drawing, Ink, Label, Pen, Point, Shape};
use svg::Node as _;
use svg::node::element::{Circle, Description, Element, Path, Rectangle, Text, Title};

/// The drawing as one `<svg>` element.
///
/// ```
/// use drawings::shape::{Drawing, Label, Shape, point};
/// let sheet = Drawing {
///     id: "sketch".into(), title: "A <b> & c".into(), description: String::new(),
///     width: 100.0, height: 40.0,
///     shapes: vec![Shape::Text(Label::new("5 < 6", point(10.0, 20.0), 10.0))],
/// };
/// let text = drawings::svg_print::svg(&sheet);
/// assert!(text.starts_with("<svg ") && text.contains("role=\"img\""));
/// assert!(text.contains("A &lt;b&gt; &amp; c") && text.contains("5 &lt; 6"));
/// ```
pub fn svg(drawing: &Drawing) -> String {
    let id = |part: &str| format!("{}-{part}", drawing.id);
    let mut root = Element::new("svg");
    root.assign("xmlns", "http://www.w3.org/2000/svg");
    root.assign(
        "viewBox",
        format!("0 0 {} {}", rounded(drawing.width), rounded(drawing.height)),
    );
    root.assign("width", rounded(drawing.width));
    root.assign("height", rounded(drawing.height));
    root.assign("role", "img");
    root.assign("aria-labelledby", id("title"));
    root.assign("aria-describedby", id("desc"));
    root.assign("font-family", lettering::FONT_FAMILY);
    root.append(Title::new(unbroken(&drawing.title)).set("id", id("title")));
    root.append(
        Description::new()
            .set("id", id("desc"))
            .add(svg::node::Text::new(unbroken(&drawing.description))),
    );
    root.append(
        Rectangle::new()
            .set("width", rounded(drawing.width))
            .set("height", rounded(drawing.height))
            .set("fill", color(Ink::Paper)),
    );
    for shape in &drawing.shapes {
        append(&mut root, shape);
    }
    root.to_string()
}

/// Text for places where line breaks mean nothing, without characters that XML forbids.
fn unbroken(text: &str) -> String {
    lettering::clean(text)
}

fn append(parent: &mut Element, shape: &Shape) {
    match shape {
        Shape::Path {
            points,
            closed,
            pen,
            fill,
        } => {
            let steps: Vec<String> = points
                .iter()
                .map(|p| format!("{} {}", rounded(p.x), rounded(p.y)))
                .collect();
            let mut data = format!("M{}", steps.join("L"));
            if *closed {
                data.push('Z');
            }
            parent.append(painted(Path::new().set("d", data), *pen, *fill));
        }
        Shape::Circle {
            center,
            radius,
            pen,
            fill,
        } => {
            let circle = Circle::new()
                .set("cx", rounded(center.x))
                .set("cy", rounded(center.y))
                .set("r", rounded(*radius));
            parent.append(painted(circle, Some(*pen), *fill));
        }
        Shape::Arc {
            center,
            radius,
            from_degrees,
            sweep_degrees,
            pen,
        } => {
            let on = |degrees: f64| Point {
                x: center.x + radius * degrees.to_radians().cos(),
                y: center.y + radius * degrees.to_radians().sin(),
            };
            let (from, to) = (on(*from_degrees), on(from_degrees + sweep_degrees));
            let data = format!(
                "M{} {}A{r} {r} 0 {} {} {} {}",
                rounded(from.x),
                rounded(from.y),
                u8::from(sweep_degrees.abs() > 180.0),
                u8::from(*sweep_degrees > 0.0),
                rounded(to.x),
                rounded(to.y),
                r = rounded(*radius),
            );
            parent.append(painted(Path::new().set("d", data), Some(*pen), None));
        }
        Shape::Box {
            bounds,
            rounding,
            pen,
            fill,
        } => {
            let mut rectangle = Rectangle::new()
                .set("x", rounded(bounds.left))
                .set("y", rounded(bounds.top))
                .set("width", rounded(bounds.right - bounds.left))
                .set("height", rounded(bounds.bottom - bounds.top));
            if *rounding > 0.0 {
                rectangle = rectangle.set("rx", rounded(*rounding));
            }
            parent.append(painted(rectangle, *pen, *fill));
        }
        Shape::Text(label) => append_text(parent, label),
        Shape::Group { name, shapes, .. } => {
            let mut group = Element::new("g");
            group.assign("class", *name);
            for part in shapes {
                append(&mut group, part);
            }
            parent.append(group);
        }
    }
}

fn append_text(parent: &mut Element, label: &Label) {
    if label.text.is_empty() {
        return;
    }
    if label.plate {
        let plate = Shape::Box {
            bounds: label.bounds().grown(1.0),
            rounding: 0.0,
            pen: None,
            fill: Some(Ink::Paper),
        };
        append(parent, &plate);
    }
    let mut text = Text::new(label.text.as_str())
        .set("x", rounded(label.at.x))
        .set("y", rounded(label.at.y))
        .set("font-size", rounded(label.size))
        .set("fill", color(label.ink));
    match label.anchor {
        Anchor::Start => {}
        Anchor::Middle => text = text.set("text-anchor", "middle"),
        Anchor::End => text = text.set("text-anchor", "end"),
    }
    if label.weight == Weight::Bold {
        text = text.set("font-weight", "bold");
    }
    // A reader without the font takes another; the measured width then still holds, so nothing overlaps.
    if let Some(width) = lettering::exact_width(&label.text, label.size, label.weight) {
        text = text
            .set("textLength", rounded(width))
            .set("lengthAdjust", "spacingAndGlyphs");
    }
    if label.upward {
        text = text.set(
            "transform",
            format!("rotate(-90 {} {})", rounded(label.at.x), rounded(label.at.y)),
        );
    }
    parent.append(text);
}

/// Elements that take pen and fill alike.
trait Paint: Sized {
    fn attribute(self, name: &str, value: String) -> Self;
}

macro_rules! paint {
    ($($element:ty),+) => { $(
        impl Paint for $element {
            fn attribute(self, name: &str, value: String) -> Self {
                self.set(name, value)
            }
        }
    )+ };
}
paint!(Path, Circle, Rectangle);

fn painted<E: Paint>(element: E, pen: Option<Pen>, fill: Option<Ink>) -> E {
    let mut element = element.attribute("fill", fill.map_or("none", color).to_owned());
    if let Some(pen) = pen {
        element = element
            .attribute("stroke", color(pen.ink).to_owned())
            .attribute("stroke-width", rounded(pen.width));
        let pattern = pen.dash.pattern(pen.width);
        if !pattern.is_empty() {
            let steps: Vec<String> = pattern.iter().map(|step| rounded(*step)).collect();
            element = element.attribute("stroke-dasharray", steps.join(" "));
        }
    }
    element
}

fn color(ink: Ink) -> &'static str {
    match ink {
        Ink::Black => "#111111",
        Ink::Gray => "#5a5a5a",
        Ink::Faint => "#cfcfcf",
        Ink::Wash => "#e9e9e9",
        Ink::Paper => "#ffffff",
        Ink::Hot => "#9b1c1c",
        Ink::Cold => "#174a8c",
        Ink::Third => "#1d5c34",
        Ink::Fourth => "#5b2a86",
    }
}

/// A number with at most two decimals; what is not a number becomes 0, so that the file stays readable.
fn rounded(value: f64) -> String {
    if !value.is_finite() {
        return "0".to_owned();
    }
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" {
        "0".to_owned()
    } else {
        text.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shape::{Bounds, Dash, point};

    fn sheet(shapes: Vec<Shape>) -> Drawing {
        Drawing {
            id: "t".into(),
            title: "Title".into(),
            description: "Words\nin \u{1} lines".into(),
            width: 120.0,
            height: 60.0,
            shapes,
        }
    }

    #[test]
    fn numbers_are_short() {
        assert_eq!(rounded(1.0), "1");
        assert_eq!(rounded(-0.001), "0");
        assert_eq!(rounded(10.0), "10");
        assert_eq!(rounded(2.346), "2.35");
        assert_eq!(rounded(f64::NAN), "0");
    }

    #[test]
    fn every_shape_prints_and_prints_the_same_twice() {
        let pen = Pen::solid(1.0).dashed(Dash::DashDot);
        let drawing = sheet(vec![
            Shape::line(point(0.0, 0.0), point(9.999, 1.0 / 3.0), pen),
            Shape::Circle {
                center: point(30.0, 30.0),
                radius: 8.0,
                pen,
                fill: Some(Ink::Paper),
            },
            Shape::Arc {
                center: point(50.0, 30.0),
                radius: 8.0,
                from_degrees: 180.0,
                sweep_degrees: 180.0,
                pen,
            },
            Shape::Group {
                name: "enclosure",
                symbol: false,
                shapes: vec![Shape::Box {
                    bounds: Bounds::between(point(60.0, 10.0), point(100.0, 50.0)),
                    rounding: 3.0,
                    pen: Some(pen),
                    fill: None,
                }],
            },
            Shape::Text(Label {
                plate: true,
                upward: true,
                ..Label::new("\"quoted\" <tag> & \u{202E}turned", point(110.0, 58.0), 5.0).bold()
            }),
        ]);
        let text = svg(&drawing);
        assert_eq!(text, svg(&drawing.clone()));
        for wanted in [
            "<title id=\"t-title\">Title</title>",
            "Words in lines",
            "M0 0L10 0.33",
            "stroke-dasharray=\"9 3 1.5 3\"",
            "A8 8 0 0 1 58 30",
            "class=\"enclosure\"",
            "rotate(-90 110 58)",
            "&lt;tag&gt; &amp; turned",
            "font-weight=\"bold\"",
        ] {
            assert!(text.contains(wanted), "{wanted} not in {text}");
        }
        assert!(!text.contains("NaN") && !text.contains('\u{202E}') && !text.contains('\u{1}'));
    }
}
