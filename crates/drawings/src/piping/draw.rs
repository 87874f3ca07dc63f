//! The sheet of the piping schematic.
//!
//! In: a [`Piping`]. Out: a [`Drawing`]: heading, schematic, legend, lists, notes, title block.

use super::columns::{self, Block, CLEAR, PITCH, Plan, SMALL, end_block, fixture_words, item_block};
use super::graph::{Child, End, Graph, Item, Link};
use super::lanes::{self, Lanes};
use super::{Flow, Piping, SourceSign, ValveSign, Water, lists};
use crate::lettering::{ASCENT, Weight, wrap};
use crate::one_line::Status;
use crate::pipe_symbol::{self, DEVICE_RADIUS, FIXTURE_WIDTH, SOURCE_LENGTH};
use crate::shape::{Anchor, Dash, Drawing, Ink, Label, Pen, Point, Shape, point, stack};
use crate::title_block::{BODY, LINES_MAX, MARGIN, heading, numbered_notes, title_block};

const TITLE: &str = "Piping schematic";

/// Draws the schematic.
///
/// ```
/// use drawings::piping::{Fixture, Pipe, Piping, schematic};
/// let piping = Piping {
///     entry: Some("in".into()),
///     pipes: vec![Pipe { tag: "P1".into(), from: "in".into(), to: "a".into(), ..Pipe::default() }],
///     fixtures: vec![Fixture { tag: "F1".into(), name: "sink".into(), cold: Some("a".into()), ..Fixture::default() }],
///     ..Piping::default()
/// };
/// let drawing = schematic(&piping);
/// assert!(drawings::clash::overlaps(&drawing).is_empty());
/// assert!(drawings::svg_print::svg(&drawing).contains("P1 C"));
/// ```
pub fn schematic(input: &Piping) -> Drawing {
    let mut graph = Graph::of(input);
    let lanes = lanes::ordered(&mut graph);
    let plan = Plan::of(input, &graph, &lanes);
    let mut shapes = Vec::new();
    let mut top = heading(&mut shapes, plan.width, TITLE, &input.title_block);
    if !input.mode.is_empty() {
        let room = plan.width - 2.0 * MARGIN;
        let mode = wrap(
            &format!("Mode drawn: {}", input.mode),
            BODY,
            Weight::Bold,
            room,
            LINES_MAX,
        );
        let first = Label::new("", point(MARGIN, top + BODY * ASCENT), BODY).bold();
        top = stack(&mut shapes, &mode, &first) - BODY * ASCENT;
    }
    top += 10.0;
    if lanes.ends.is_empty() {
        let at = point(MARGIN, top + BODY);
        shapes.push(Shape::Text(Label::new("no piping recorded", at, BODY)));
        top += 16.0;
    }
    let mut sheet = Sheet {
        input,
        graph: &graph,
        lanes: &lanes,
        plan: &plan,
        top,
        shapes: Vec::new(),
    };
    sheet.level_lines();
    sheet.junctions();
    sheet.fixtures();
    let mut bottom = sheet.top + plan.height + 12.0;
    shapes.push(Shape::Group {
        name: "schematic",
        symbol: false,
        shapes: sheet.shapes,
    });
    bottom = lists::legend(&mut shapes, input, plan.width, bottom) + 8.0;
    bottom = lists::lists(&mut shapes, input, plan.width, bottom) + 4.0;
    bottom = numbered_notes(&mut shapes, plan.width, bottom, &input.notes);
    let foot = title_block(&mut shapes, plan.width, bottom + 12.0, TITLE, &input.title_block);
    Drawing {
        id: "piping".to_owned(),
        title: TITLE.to_owned(),
        description: lists::in_words(input),
        width: plan.width,
        height: foot + MARGIN,
        shapes,
    }
}

/// The pen of a line: water by dash and color, status by weight.
pub(super) fn pen(water: Water, status: Status) -> Pen {
    let width = match status {
        Status::New => 2.2,
        Status::Existing | Status::Removed => 1.1,
    };
    match water {
        Water::Cold => Pen::solid(width).inked(Ink::Cold),
        Water::Hot => Pen::solid(width).dashed(Dash::Short).inked(Ink::Hot),
    }
}

struct Sheet<'a> {
    input: &'a Piping,
    graph: &'a Graph,
    lanes: &'a Lanes,
    plan: &'a Plan,
    top: f64,
    shapes: Vec<Shape>,
}

impl Sheet<'_> {
    fn y(&self, lane: usize) -> f64 {
        self.top + self.plan.lane_y[lane]
    }

    /// What a link carries on its left and on its right, and its status.
    fn link_pens(&self, link: &Link) -> (Pen, Pen) {
        match link.item {
            Item::Pipe(at) => {
                let pipe = &self.input.pipes[at];
                let both = pen(pipe.water, pipe.status);
                (both, both)
            }
            Item::Valve(at) => {
                let valve = &self.input.valves[at];
                let both = pen(valve.water, valve.status);
                (both, both)
            }
            Item::Source(at) => {
                let status = self.input.sources[at].status;
                let (cold, hot) = (pen(Water::Cold, status), pen(Water::Hot, status));
                if link.turned { (hot, cold) } else { (cold, hot) }
            }
        }
    }

    /// The pen of a junction's upright line: that of what arrives on its left, else of what leaves on its right.
    fn junction_pen(&self, junction: usize) -> Pen {
        if let Some(at) = self.graph.parent[junction] {
            return self.link_pens(&self.graph.links[at]).1;
        }
        let leaving = self.graph.links.iter().find(|link| link.from == junction);
        leaving.map_or(pen(Water::Cold, Status::Existing), |link| self.link_pens(link).0)
    }

    fn level_lines(&mut self) {
        for (at, link) in self.graph.links.iter().enumerate() {
            let straight = self.graph.parent[link.to] == Some(at);
            let (lane, column) = if straight {
                (self.lanes.of_junction[link.to], self.graph.layer[link.to])
            } else {
                (
                    self.lanes.of_end(End::Closing(at)),
                    self.graph.layer[link.from] + 1,
                )
            };
            let ends = (self.plan.junction_x[link.from], self.plan.junction_x[link.to]);
            self.link(link, self.y(lane), ends, self.plan.strips[column]);
        }
        for (junction, children) in self.graph.children.iter().enumerate() {
            for child in children {
                if let Child::End(end) = child {
                    self.end(*end, junction);
                }
            }
        }
        if let Some(entry) = self.graph.entry {
            let y = self.y(self.lanes.of_junction[entry]);
            let (left, right) = self.plan.strips[0];
            let tip = point(f64::midpoint(left, right) + 11.0, y);
            self.shapes.push(pipe_symbol::entry(tip));
            let x = self.plan.junction_x[entry];
            self.shapes
                .push(Shape::line(tip, point(x, y), self.junction_pen(entry)));
            self.words(&columns::entry_block(), f64::midpoint(left, right), y);
        }
    }

    /// A thing between two junctions on its level line.
    fn link(&mut self, link: &Link, y: f64, (from, to): (f64, f64), (left, right): (f64, f64)) {
        let (left_pen, right_pen) = self.link_pens(link);
        let block = item_block(self.input, link.item);
        let middle = point(f64::midpoint(left, right), y);
        let half = block.sign_length / 2.0;
        if half == 0.0 {
            self.shapes
                .push(Shape::line(point(from, y), point(to, y), left_pen));
        } else {
            self.shapes
                .push(Shape::line(point(from, y), point(middle.x - half, y), left_pen));
            self.shapes
                .push(Shape::line(point(middle.x + half, y), point(to, y), right_pen));
        }
        match link.item {
            Item::Pipe(at) => {
                let flow = self.input.pipes[at].flow;
                let to_right = (flow == Flow::Forward) != link.turned;
                if flow != Flow::Still {
                    let reach = if to_right { 4.0 } else { -4.0 };
                    let tail = point(middle.x - reach, y);
                    let tip = point(middle.x + reach, y);
                    self.shapes.push(Shape::arrow_head(tail, tip, 8.0, left_pen.ink));
                }
                if self.input.pipes[at].status == Status::Removed {
                    self.shapes.push(cross(point(middle.x + 10.0, y)));
                }
            }
            Item::Valve(at) => {
                let valve = &self.input.valves[at];
                self.shapes.push(match valve.sign {
                    ValveSign::ShutOff => pipe_symbol::valve(middle, left_pen, valve.closed),
                    ValveSign::Check => pipe_symbol::check_valve(middle, left_pen, link.turned),
                });
            }
            Item::Source(at) => self.source(at, middle),
        }
        self.words(&block, middle.x, y);
    }

    fn source(&mut self, at: usize, middle: Point) {
        let source = &self.input.sources[at];
        let frame = pen(Water::Cold, source.status);
        let sign = match source.sign {
            SourceSign::OnDemand => pipe_symbol::on_demand(middle, frame, source.energized),
            SourceSign::Tank => pipe_symbol::storage_tank(middle, frame, source.energized),
        };
        self.shapes.push(sign);
    }

    /// What a level line ends in, other than a junction.
    fn end(&mut self, end: End, junction: usize) {
        let y = self.y(self.lanes.of_end(end));
        let x = self.plan.junction_x[junction];
        let (left, right) = self.plan.strips[self.graph.layer[junction] + 1];
        let middle = point(f64::midpoint(left, right), y);
        match end {
            End::Fixture(_, is_hot) => {
                let water = if is_hot { Water::Hot } else { Water::Cold };
                let to = point(self.plan.fixtures_x, y);
                self.shapes
                    .push(Shape::line(point(x, y), to, pen(water, Status::Existing)));
            }
            End::Device(at) => {
                let device = &self.input.devices[at];
                let line = pen(device.water, device.status);
                let to = point(middle.x - DEVICE_RADIUS, y);
                self.shapes.push(Shape::line(point(x, y), to, line));
                self.shapes.push(pipe_symbol::device(middle, line));
            }
            End::LoneSource(at) => {
                let to = point(middle.x - SOURCE_LENGTH / 2.0, y);
                let line = pen(Water::Cold, self.input.sources[at].status);
                self.shapes.push(Shape::line(point(x, y), to, line));
                self.source(at, middle);
            }
            End::Dead(_) => {
                let (low, high) = self.lanes.span(self.graph, junction);
                if low == high {
                    let cap = Shape::line(point(x, y - 5.0), point(x, y + 5.0), Pen::solid(1.6));
                    self.shapes.push(cap);
                }
            }
            // Drawn as a link.
            End::Closing(_) => return,
        }
        if let Some(block) = end_block(self.input, self.graph, end) {
            self.words(&block, middle.x, y);
        }
    }

    /// The words above a sign or line whose middle is at `x`.
    fn words(&mut self, block: &Block, x: f64, y: f64) {
        let top = y - block.sign_half - CLEAR - block.words_height();
        let first = Label::new("", point(x, top + SMALL * ASCENT), SMALL).anchored(Anchor::Middle);
        let next = stack(&mut self.shapes, &block.bold, &first.clone().bold());
        let at = point(x, next);
        stack(&mut self.shapes, &block.plain, &Label { at, ..first });
    }

    /// Upright lines, and dots where three or more lines meet.
    fn junctions(&mut self) {
        for junction in 0..self.graph.layer.len() {
            let (low, high) = self.lanes.span(self.graph, junction);
            if low == high {
                continue;
            }
            let x = self.plan.junction_x[junction];
            let upright = self.junction_pen(junction);
            self.shapes.push(Shape::line(
                point(x, self.y(low)),
                point(x, self.y(high)),
                upright,
            ));
            let mut joined = self.lanes.joined(self.graph, junction);
            joined.sort_unstable();
            joined.dedup();
            for lane in joined {
                if self.n_meeting(junction, lane, (low, high)) > 2 {
                    self.shapes.push(dot(point(x, self.y(lane)), upright.ink));
                }
            }
        }
    }

    /// How many lines meet at a junction on one of its lanes.
    fn n_meeting(&self, junction: usize, lane: usize, (low, high): (usize, usize)) -> usize {
        let graph = self.graph;
        let upright = usize::from(lane > low) + usize::from(lane < high);
        let own = usize::from(
            lane == self.lanes.of_junction[junction]
                && (graph.parent[junction].is_some() || graph.entry == Some(junction)),
        );
        let leaving = graph.children[junction].iter().filter(|child| match child {
            Child::Junction(next) => self.lanes.of_junction[*next] == lane,
            Child::End(End::Dead(_)) => false,
            Child::End(end) => self.lanes.of_end(*end) == lane,
        });
        let arriving = graph.links.iter().enumerate().filter(|(at, link)| {
            link.to == junction
                && graph.parent[junction] != Some(*at)
                && self.lanes.of_end(End::Closing(*at)) == lane
        });
        upright + own + leaving.count() + arriving.count()
    }

    fn fixtures(&mut self) {
        for (at, _) in self.input.fixtures.iter().enumerate() {
            let lanes: Vec<usize> = [false, true]
                .into_iter()
                .filter_map(|is_hot| {
                    self.lanes
                        .ends
                        .iter()
                        .position(|end| *end == End::Fixture(at, is_hot))
                })
                .collect();
            let (Some(first), Some(last)) = (lanes.first(), lanes.last()) else {
                continue;
            };
            let (top, bottom) = (self.y(*first), self.y(*last));
            let left = self.plan.fixtures_x;
            self.shapes
                .push(pipe_symbol::fixture(left, top - 6.0, bottom + 6.0));
            let (bold, plain) = fixture_words(self.input, at);
            let height = (bold.len() + plain.len()) as f64 * PITCH;
            let words_top = f64::midpoint(top, bottom) - height / 2.0;
            let place = point(left + FIXTURE_WIDTH + 6.0, words_top + SMALL * ASCENT);
            let first = Label::new("", place, SMALL);
            let next = stack(&mut self.shapes, &bold, &first.clone().bold());
            stack(
                &mut self.shapes,
                &plain,
                &Label {
                    at: point(place.x, next),
                    ..first
                },
            );
        }
    }
}

/// Where lines are joined.
pub(super) fn dot(center: Point, ink: Ink) -> Shape {
    Shape::Circle {
        center,
        radius: 2.3,
        pen: Pen::solid(0.8).inked(ink),
        fill: Some(ink),
    }
}

/// The cross on what goes.
pub(super) fn cross(center: Point) -> Shape {
    let stroke = |dx: f64| {
        let from = point(center.x - dx, center.y - 3.0);
        Shape::line(from, point(center.x + dx, center.y + 3.0), Pen::solid(1.2))
    };
    Shape::Group {
        name: "removed",
        symbol: false,
        shapes: vec![stroke(3.0), stroke(-3.0)],
    }
}
