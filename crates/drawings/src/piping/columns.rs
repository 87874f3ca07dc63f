//! The geometry of the schematic: how wide each column and how high each lane must be.
//!
//! In: the graph, its lanes, and the words of everything on them. Out: [`Plan`]. A column is a strip for things on the
//! level lines (tags, valves, heaters), then a strip for the upright lines of its junctions: so upright lines never meet a
//! tag or a sign. A lane is as high as the tallest thing on it.

use super::graph::{Child, End, Graph, Item};
use super::lanes::Lanes;
use super::{Piping, SourceSign};
use crate::lettering::{LINE_PITCH, Weight, text_width, wrap};
use crate::pipe_symbol::{DEVICE_RADIUS, SOURCE_HALF, SOURCE_LENGTH, VALVE_HALF, VALVE_LENGTH};
use crate::title_block::{LINES_MAX, MARGIN};

/// Size of the words on the drawing.
pub(super) const SMALL: f64 = 9.5;
/// Height of a line of them.
pub(super) const PITCH: f64 = SMALL * LINE_PITCH;
/// Room for the words of a fixture.
pub(super) const FIXTURE_TEXT: f64 = 150.0;
/// Distance from a line or sign to the words above it.
pub(super) const CLEAR: f64 = 4.0;

const WORDS_MAX: f64 = 92.0;
const TRACK: f64 = 13.0;
const SHEET_WIDTH_MIN: f64 = 720.0;

/// Words above a thing on a level line, and the size of its sign.
#[derive(Debug, Clone, Default)]
pub(super) struct Block {
    pub(super) bold: Vec<String>,
    pub(super) plain: Vec<String>,
    pub(super) sign_length: f64,
    pub(super) sign_half: f64,
}

impl Block {
    fn new(tag: &str, name: &str, sign_length: f64, sign_half: f64) -> Self {
        Self {
            bold: wrap(tag, SMALL, Weight::Bold, WORDS_MAX, LINES_MAX),
            plain: wrap(name, SMALL, Weight::Regular, WORDS_MAX, LINES_MAX),
            sign_length,
            sign_half,
        }
    }

    fn width(&self) -> f64 {
        let bold = self.bold.iter().map(|line| text_width(line, SMALL, Weight::Bold));
        let plain = self
            .plain
            .iter()
            .map(|line| text_width(line, SMALL, Weight::Regular));
        bold.chain(plain).fold(self.sign_length.max(14.0), f64::max) + 10.0
    }

    /// Height of the words.
    pub(super) fn words_height(&self) -> f64 {
        (self.bold.len() + self.plain.len()) as f64 * PITCH
    }
}

/// The block of a thing between two junctions.
pub(super) fn item_block(input: &Piping, item: Item) -> Block {
    match item {
        Item::Pipe(at) => {
            let pipe = &input.pipes[at];
            let tag = format!("{} {}", pipe.tag, pipe.water.letter());
            Block {
                plain: wrap(&tag, SMALL, Weight::Regular, WORDS_MAX, LINES_MAX),
                ..Block::default()
            }
        }
        Item::Valve(at) => Block::new(&input.valves[at].tag, "", VALVE_LENGTH, VALVE_HALF),
        Item::Source(at) => source_block(input, at),
    }
}

fn source_block(input: &Piping, at: usize) -> Block {
    let source = &input.sources[at];
    let name = match (source.name.is_empty(), source.sign) {
        (false, _) => source.name.as_str(),
        (true, SourceSign::OnDemand) => "on-demand heater",
        (true, SourceSign::Tank) => "storage tank",
    };
    Block::new(&source.tag, name, SOURCE_LENGTH, SOURCE_HALF)
}

/// The block of a thing at the end of a level line; none for ends without a sign in their column.
pub(super) fn end_block(input: &Piping, graph: &Graph, end: End) -> Option<Block> {
    match end {
        End::Device(at) => {
            let device = &input.devices[at];
            Some(Block::new(
                &device.tag,
                &device.name,
                2.0 * DEVICE_RADIUS,
                DEVICE_RADIUS,
            ))
        }
        End::LoneSource(at) => Some(source_block(input, at)),
        End::Closing(at) => Some(item_block(input, graph.links[at].item)),
        End::Fixture(..) | End::Dead(_) => None,
    }
}

/// Bold and plain lines beside a fixture.
pub(super) fn fixture_words(input: &Piping, at: usize) -> (Vec<String>, Vec<String>) {
    let fixture = &input.fixtures[at];
    (
        wrap(&fixture.tag, SMALL, Weight::Bold, FIXTURE_TEXT, LINES_MAX),
        wrap(&fixture.name, SMALL, Weight::Regular, FIXTURE_TEXT, LINES_MAX),
    )
}

/// Where everything stands.
#[derive(Debug, Clone)]
pub(super) struct Plan {
    /// x of each junction's upright line.
    pub(super) junction_x: Vec<f64>,
    /// Left and right edge of each column's strip for things on level lines.
    pub(super) strips: Vec<(f64, f64)>,
    /// Left edge of the fixtures.
    pub(super) fixtures_x: f64,
    /// Width of the sheet.
    pub(super) width: f64,
    /// y of each lane, counted from the upper edge of the first.
    pub(super) lane_y: Vec<f64>,
    /// Height of all lanes.
    pub(super) height: f64,
}

impl Plan {
    pub(super) fn of(input: &Piping, graph: &Graph, lanes: &Lanes) -> Self {
        let n_columns = graph.last_layer() + 2;
        let mut strip_widths = vec![8.0_f64; n_columns];
        let mut heights = vec![(9.0_f64, 8.0_f64); lanes.ends.len()];
        let mut note = |column: usize, lane: usize, block: &Block| {
            strip_widths[column] = strip_widths[column].max(block.width());
            let (above, below) = &mut heights[lane];
            *above = above.max(block.sign_half + CLEAR + block.words_height());
            *below = below.max(block.sign_half + CLEAR);
        };
        for (at, link) in graph.links.iter().enumerate() {
            let block = item_block(input, link.item);
            if graph.parent[link.to] == Some(at) {
                note(graph.layer[link.to], lanes.of_junction[link.to], &block);
            }
        }
        for (junction, children) in graph.children.iter().enumerate() {
            for child in children {
                if let Child::End(end) = child
                    && let Some(block) = end_block(input, graph, *end)
                {
                    note(graph.layer[junction] + 1, lanes.of_end(*end), &block);
                }
            }
        }
        if let Some(entry) = graph.entry {
            let block = entry_block();
            note(0, lanes.of_junction[entry], &block);
        }
        make_room_for_fixtures(input, lanes, &mut heights);

        let tracks = tracks(graph, lanes);
        let track_widths: Vec<f64> = (0..n_columns)
            .map(|column| {
                let of_column = (0..graph.layer.len()).filter(|junction| graph.layer[*junction] == column);
                let n_tracks = of_column
                    .filter_map(|junction| tracks[junction])
                    .max()
                    .map_or(0, |last| last + 1);
                if n_tracks == 0 {
                    3.0
                } else {
                    n_tracks as f64 * TRACK + 4.0
                }
            })
            .collect();
        let natural: f64 = strip_widths.iter().chain(&track_widths).sum();
        let beside = 2.0 * MARGIN + crate::pipe_symbol::FIXTURE_WIDTH + 6.0 + FIXTURE_TEXT + 6.0;
        let width = (natural + beside).max(SHEET_WIDTH_MIN);
        let spare = (width - natural - beside) / n_columns as f64;
        let mut x = MARGIN;
        let mut strips = Vec::with_capacity(n_columns);
        let mut track_left = Vec::with_capacity(n_columns);
        for (strip, track) in strip_widths.iter().zip(&track_widths) {
            strips.push((x, x + strip + spare));
            x += strip + spare;
            track_left.push(x);
            x += track;
        }
        let junction_x = (0..graph.layer.len())
            .map(|junction| {
                let left = track_left[graph.layer[junction]];
                left + tracks[junction].map_or(1.5, |track| 2.0 + (track as f64 + 0.5) * TRACK)
            })
            .collect();

        let mut lane_y = Vec::with_capacity(heights.len());
        let mut y = 0.0;
        for (above, below) in &heights {
            lane_y.push(y + above);
            y += above + below;
        }
        Self {
            junction_x,
            strips,
            fixtures_x: x + 6.0,
            width,
            lane_y,
            height: y,
        }
    }
}

/// The words where water enters.
pub(super) fn entry_block() -> Block {
    Block::new("", "from the street", 22.0, 6.0)
}

fn make_room_for_fixtures(input: &Piping, lanes: &Lanes, heights: &mut [(f64, f64)]) {
    for (lane, end) in lanes.ends.iter().enumerate() {
        let End::Fixture(at, is_hot) = *end else { continue };
        let (bold, plain) = fixture_words(input, at);
        let half = (bold.len() + plain.len()) as f64 * PITCH / 2.0 + 2.0;
        let half = half.max(9.0);
        let has_both = lanes.ends.contains(&End::Fixture(at, !is_hot));
        // Of two lanes, the words stand between; the outer halves give what the inner ones lack.
        if !has_both || !is_hot {
            heights[lane].0 = heights[lane].0.max(half);
        }
        if !has_both || is_hot {
            heights[lane].1 = heights[lane].1.max(half);
        }
    }
}

/// A track for each junction with an upright line, so that no two share a stretch of one.
fn tracks(graph: &Graph, lanes: &Lanes) -> Vec<Option<usize>> {
    let mut track = vec![None; graph.layer.len()];
    for column in 0..=graph.last_layer() {
        let mut spans: Vec<((usize, usize), usize)> = (0..graph.layer.len())
            .filter(|junction| graph.layer[*junction] == column)
            .map(|junction| (lanes.span(graph, junction), junction))
            .filter(|((low, high), _)| low < high)
            .collect();
        spans.sort_unstable();
        let mut last_of_track: Vec<usize> = Vec::new();
        for ((low, high), junction) in spans {
            let free = last_of_track.iter().position(|last| *last < low);
            let at = free.unwrap_or(last_of_track.len());
            if at == last_of_track.len() {
                last_of_track.push(high);
            } else {
                last_of_track[at] = high;
            }
            track[junction] = Some(at);
        }
    }
    track
}
