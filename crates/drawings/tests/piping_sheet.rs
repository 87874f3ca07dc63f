//! The piping schematic stays readable and true: nothing overlaps, and the lines drawn join what the pipes join.

#[path = "../samples/piping_houses.rs"]
#[allow(dead_code, reason = "shared with the gallery and the benchmark")]
mod piping_houses;

use drawings::one_line::Status;
use drawings::piping::{
    Device, Fixture, Flow, Pipe, Piping, Source, SourceSign, Valve, ValveSign, Water, schematic,
};
use drawings::shape::{Drawing, Ink, Point, Shape};
use drawings::{clash, svg_print};
use proptest::prelude::*;
use std::collections::{BTreeMap, BTreeSet};

type Segment = (Point, Point);

/// Lines of the schematic that carry water.
fn water_lines(drawing: &Drawing) -> Vec<Segment> {
    let schematic = drawing.shapes.iter().find_map(|shape| match shape {
        Shape::Group {
            name: "schematic",
            shapes,
            ..
        } => Some(shapes),
        _ => None,
    });
    schematic
        .into_iter()
        .flatten()
        .filter_map(|shape| match shape {
            Shape::Path {
                points,
                pen: Some(pen),
                ..
            } if matches!(pen.ink, Ink::Hot | Ink::Cold) => Some((points[0], points[1])),
            _ => None,
        })
        .collect()
}

fn is_level(line: &Segment) -> bool {
    (line.0.y - line.1.y).abs() < 1e-9
}

/// Two lines that lie on one another, which a reader could not tell apart.
fn overlapping(lines: &[Segment]) -> Option<(Segment, Segment)> {
    let share = |a: (f64, f64), b: (f64, f64)| {
        let (a, b) = ((a.0.min(a.1), a.0.max(a.1)), (b.0.min(b.1), b.0.max(b.1)));
        a.1.min(b.1) - a.0.max(b.0) > 0.5
    };
    for (at, one) in lines.iter().enumerate() {
        for other in &lines[at + 1..] {
            let both_level = is_level(one) && is_level(other) && (one.0.y - other.0.y).abs() < 1.0;
            let both_upright = !is_level(one) && !is_level(other) && (one.0.x - other.0.x).abs() < 1.0;
            if (both_level && share((one.0.x, one.1.x), (other.0.x, other.1.x)))
                || (both_upright && share((one.0.y, one.1.y), (other.0.y, other.1.y)))
            {
                return Some((*one, *other));
            }
        }
    }
    None
}

struct Sets(Vec<usize>);

impl Sets {
    fn find(&self, at: usize) -> usize {
        if self.0[at] == at {
            at
        } else {
            self.find(self.0[at])
        }
    }

    fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.find(a), self.find(b));
        self.0[a] = b;
    }

    fn count(&self) -> usize {
        (0..self.0.len())
            .map(|at| self.find(at))
            .collect::<BTreeSet<_>>()
            .len()
    }
}

/// How many separate pieces of line the drawing shows: lines are joined where one ends on another.
fn pieces_drawn(lines: &[Segment]) -> usize {
    let mut sets = Sets((0..lines.len()).collect());
    let on = |p: Point, line: &Segment| {
        let within = |value: f64, a: f64, b: f64| value >= a.min(b) - 0.1 && value <= a.max(b) + 0.1;
        within(p.x, line.0.x, line.1.x) && within(p.y, line.0.y, line.1.y)
    };
    for (at, one) in lines.iter().enumerate() {
        for (other_at, other) in lines.iter().enumerate().skip(at + 1) {
            let touch = on(one.0, other) || on(one.1, other) || on(other.0, one) || on(other.1, one);
            if touch {
                sets.join(at, other_at);
            }
        }
    }
    sets.count()
}

/// How many pieces the pipes themselves make of the junctions; a valve or heater parts what it lies between.
fn pieces_given(piping: &Piping) -> usize {
    let mut index = BTreeMap::new();
    let mut of = |name: &str| {
        let next = index.len();
        *index.entry(name.to_owned()).or_insert(next)
    };
    let mut drawn = BTreeSet::new();
    let mut joints = Vec::new();
    for pipe in piping.pipes.iter().filter(|pipe| pipe.from != pipe.to) {
        joints.push((of(&pipe.from), of(&pipe.to)));
    }
    for valve in piping.valves.iter().filter(|valve| valve.from != valve.to) {
        drawn.extend([of(&valve.from), of(&valve.to)]);
    }
    for source in &piping.sources {
        match (&source.inlet, &source.outlet) {
            (Some(inlet), Some(outlet)) if inlet == outlet => {}
            (Some(inlet), Some(outlet)) => drawn.extend([of(inlet), of(outlet)]),
            (one, other) => drawn.extend(one.iter().chain(other).map(|name| of(name))),
        }
    }
    for fixture in &piping.fixtures {
        drawn.extend(fixture.hot.iter().chain(&fixture.cold).map(|name| of(name)));
    }
    drawn.extend(piping.devices.iter().map(|device| of(&device.at)));
    drawn.extend(piping.entry.iter().map(|name| of(name)));
    drawn.extend(joints.iter().flat_map(|(a, b)| [*a, *b]));
    let mut sets = Sets((0..index.len()).collect());
    for (a, b) in joints {
        sets.join(a, b);
    }
    drawn
        .iter()
        .map(|at| sets.find(*at))
        .collect::<BTreeSet<_>>()
        .len()
}

fn check(piping: &Piping) -> Result<(), String> {
    let drawing = schematic(piping);
    if let Some(clash) = clash::overlaps(&drawing).first() {
        return Err(clash.to_string());
    }
    let lines = water_lines(&drawing);
    if let Some((one, other)) = overlapping(&lines) {
        return Err(format!("{one:?} lies on {other:?}"));
    }
    let (drawn, given) = (pieces_drawn(&lines), pieces_given(piping));
    if drawn != given {
        return Err(format!("{drawn} pieces drawn, {given} given"));
    }
    if svg_print::svg(&drawing) != svg_print::svg(&schematic(piping)) {
        return Err("two prints differ".to_owned());
    }
    Ok(())
}

#[test]
fn sample_houses_are_readable_and_true() {
    for (name, house) in [
        ("two sources", piping_houses::two_sources()),
        ("large", piping_houses::large(6)),
        ("one bath", piping_houses::large(1)),
        ("empty", Piping::default()),
    ] {
        check(&house).unwrap_or_else(|problem| panic!("{name}: {problem}"));
    }
}

#[test]
fn the_mode_shows_in_signs_and_words() {
    let mut house = piping_houses::two_sources();
    let text = svg_print::svg(&schematic(&house));
    for wanted in [
        "Mode drawn: on-demand heater serves the house, tank isolated",
        "P10 C",
        "P11 H",
        "TC · ball valve, tank cold side · normally open, CLOSED in the",
        "P1 · cold · 1 in copper type L · 40 ft",
        "from the street",
    ] {
        assert!(text.contains(wanted), "`{wanted}` is not on the sheet");
    }
    // Three closed valves, two filled triangles each; every open one has white triangles.
    let filled = |text: &str| {
        let valves = text.split("class=\"valve\"").skip(1);
        valves
            .filter(|rest| rest[..rest.find("</g>").unwrap_or(0)].contains("fill=\"#111111\""))
            .count()
    };
    let legend = 1;
    assert_eq!(filled(&text), 3 + legend);
    for valve in &mut house.valves {
        valve.closed = false;
    }
    assert_eq!(filled(&svg_print::svg(&schematic(&house))), 0);
}

fn text() -> impl Strategy<Value = String> {
    prop_oneof![
        5 => "[A-Z][0-9]{1,2}",
        2 => "\\PC{0,30}",
        1 => "[ -~]{60,200}",
        1 => "[😀水ש ]{0,20}",
    ]
}

fn water() -> impl Strategy<Value = Water> {
    prop_oneof![Just(Water::Cold), Just(Water::Hot)]
}

fn status() -> impl Strategy<Value = Status> {
    prop_oneof![Just(Status::Existing), Just(Status::New), Just(Status::Removed)]
}

fn flow() -> impl Strategy<Value = Flow> {
    prop_oneof![Just(Flow::Forward), Just(Flow::Backward), Just(Flow::Still)]
}

/// Any graph: trees, loops, parallel pipes, pipes to themselves, loose pieces.
fn piping(pipes: std::ops::Range<usize>, junctions: usize) -> impl Strategy<Value = Piping> {
    let junction = move || (0..junctions).prop_map(|at| format!("j{at}"));
    let pipe = (text(), junction(), junction(), water(), status(), flow()).prop_map(
        |(tag, from, to, water, status, flow)| Pipe {
            tag,
            from,
            to,
            water,
            status,
            flow,
            ..Pipe::default()
        },
    );
    let valve = (text(), text(), junction(), junction(), any::<[bool; 3]>()).prop_map(
        |(tag, name, from, to, [check, closed, normally_closed])| Valve {
            tag,
            name,
            from,
            to,
            sign: if check {
                ValveSign::Check
            } else {
                ValveSign::ShutOff
            },
            closed,
            normally_closed,
            ..Valve::default()
        },
    );
    let end = move || proptest::option::weighted(0.8, junction());
    let source =
        (text(), text(), end(), end(), any::<bool>()).prop_map(|(tag, name, inlet, outlet, tank)| Source {
            tag,
            name,
            inlet,
            outlet,
            sign: if tank {
                SourceSign::Tank
            } else {
                SourceSign::OnDemand
            },
            ..Source::default()
        });
    let fixture =
        (text(), text(), end(), end()).prop_map(|(tag, name, hot, cold)| Fixture { tag, name, hot, cold });
    let device = (text(), text(), junction(), water()).prop_map(|(tag, name, at, water)| Device {
        tag,
        name,
        at,
        water,
        status: Status::Existing,
    });
    (
        (proptest::option::weighted(0.9, junction()), text(), text()),
        proptest::collection::vec(pipe, pipes),
        proptest::collection::vec(valve, 0..8),
        proptest::collection::vec(source, 0..3),
        proptest::collection::vec(fixture, 0..12),
        proptest::collection::vec(device, 0..4),
    )
        .prop_map(
            |((entry, mode, note), pipes, valves, sources, fixtures, devices)| Piping {
                mode,
                entry,
                pipes,
                valves,
                sources,
                fixtures,
                devices,
                notes: vec![note],
                ..Piping::default()
            },
        )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 500, max_shrink_iters: 300, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn any_small_piping_is_readable_and_true(piping in piping(0..14, 9)) {
        let result = check(&piping);
        prop_assert!(result.is_ok(), "{result:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, max_shrink_iters: 60, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn any_piping_of_a_house_is_readable_and_true(piping in piping(40..61, 40)) {
        let result = check(&piping);
        prop_assert!(result.is_ok(), "{result:?}");
    }
}
