//! One state in full: what feeds each fixture, the hazards with their subjects, which pipes move, what stands still.
//!
//! In: a [`Layout`], a [`State`], hydraulics. Out: [`Classified`]. Start at [`classify`]. Works on the whole piping and
//! looks nothing up, so it is a second opinion on what [`Analysis`](crate::Analysis) says of the same state.

use crate::feed::{Feed, feed};
use crate::graph::{Graph, Part};
use crate::hazard::{HazardKind, HazardSet, hazard_list};
use crate::hydraulics::{Draw, Hydraulics, Running};
use crate::standing::{Growth, standing};
use crate::{ChangeoverError, Layout, State, StateSpace};
use quantity::Volume;

/// One state in full.
#[derive(Debug, Clone, PartialEq)]
pub struct Classified {
    /// The state.
    pub state: State,
    /// What feeds each fixture, in the layout's order.
    pub fixtures: Vec<FixtureFeed>,
    /// The hazards, each with what it is about.
    pub hazards: Vec<Hazard>,
    /// Where the growth of each source's water goes.
    pub growth: Vec<Growth>,
    /// How water runs in each pipe when drawn anywhere; none where draws disagree or hydraulics decides.
    pub pipes: Vec<Option<Running>>,
    /// Parts whose water no draw moves.
    pub still: Vec<StillPart>,
}

/// What feeds the two sides of a fixture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FixtureFeed {
    /// Its hot side; none when it has none.
    pub hot: Option<Feed>,
    /// Its cold side.
    pub cold: Option<Feed>,
    /// What comes out of its hot side.
    pub served: Served,
}

/// What comes out of a hot side.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Served {
    /// It has no hot side.
    NoHotSide,
    /// Water over one way through a filled source with power.
    Hot,
    /// Water over one way, with no power on any source it passes.
    Unheated,
    /// Water over several ways: a blend left to resistances.
    Blend,
    /// Nothing.
    Dry,
}

/// What a hazard is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Subject {
    /// A source, by its place in the layout.
    Source(usize),
    /// One side of a fixture.
    Draw(Draw),
}

/// A hazard that the state shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Hazard {
    /// Which.
    pub kind: HazardKind,
    /// What about.
    pub subject: Subject,
}

/// Something whose water stands still.
#[derive(Debug, Clone, PartialEq)]
pub struct StillPart {
    /// Its name.
    pub name: String,
    /// Whether it is a source.
    pub is_source: bool,
    /// Water in it.
    pub volume: Volume,
}

impl Classified {
    /// The kinds of hazard that it shows.
    pub fn kinds(&self) -> HazardSet {
        self.hazards.iter().map(|hazard| hazard.kind).collect()
    }

    /// Whether every hot side gets hot water over one way.
    pub fn serves_all(&self) -> bool {
        let served = self.fixtures.iter().map(|fixture| fixture.served);
        served
            .into_iter()
            .all(|served| matches!(served, Served::Hot | Served::NoHotSide))
    }
}

/// Classifies one state.
///
/// # Errors
/// When the layout does not fit together, is too large or too tangled.
pub fn classify(
    layout: &Layout,
    state: State,
    hydraulics: &dyn Hydraulics,
) -> Result<Classified, ChangeoverError> {
    let graph = Graph::whole(layout)?;
    let space = StateSpace::of(layout)?;
    let open = graph.open(&space, state);
    let mut hazards = Vec::new();
    let (mut along, mut against, mut undecided) = (0, 0, 0);
    let mut passed = 0_u32;
    let mut fixtures = Vec::with_capacity(layout.fixtures.len());
    for (index, fixture) in layout.fixtures.iter().enumerate() {
        let mut side = |hot: bool, junction: Option<usize>| -> Result<Option<Feed>, ChangeoverError> {
            if junction.is_none() {
                return Ok(None);
            }
            let draw = Draw { fixture: index, hot };
            let (feed, found) = feed(layout, &graph, open, draw, hydraulics)?;
            along |= found.along;
            against |= found.against;
            undecided |= found.undecided;
            passed |= feed
                .sources()
                .into_iter()
                .fold(0, |mask, source| mask | 1 << source);
            let subject = Subject::Draw(draw);
            let shows = [
                (feed.is_dry(), HazardKind::Dry),
                (hot && feed.is_parallel(), HazardKind::ParallelFeed),
                (!hot && !feed.sources().is_empty(), HazardKind::HotIntoCold),
                (feed.runs_backward(), HazardKind::Backward),
            ];
            hazards.extend(
                shows
                    .into_iter()
                    .filter(|(shows, _)| *shows)
                    .map(|(_, kind)| Hazard { kind, subject }),
            );
            Ok(Some(feed))
        };
        let hot = side(true, fixture.hot)?;
        let cold = side(false, fixture.cold)?;
        let served = served(hot.as_ref(), |source| {
            space.energized(state, source) && space.filled(state, source)
        });
        fixtures.push(FixtureFeed { hot, cold, served });
    }
    let mut growth = Vec::with_capacity(layout.sources.len());
    for (index, source) in layout.sources.iter().enumerate() {
        let moves = passed & (1 << index) != 0;
        let counts = !moves && source.volume >= hazard_list().still_volume_min;
        let standing = standing(layout, &graph, open, index);
        growth.push(standing.growth);
        let shown = standing.hazards(space.energized(state, index), space.filled(state, index), counts);
        let subject = Subject::Source(index);
        hazards.extend(shown.iter().map(|kind| Hazard { kind, subject }));
    }
    hazards.sort_unstable();
    Ok(Classified {
        state,
        fixtures,
        hazards,
        growth,
        pipes: pipes(layout, &graph, along, against, undecided),
        still: still(layout, &graph, &space, state, along | against, passed),
    })
}

fn served(hot: Option<&Feed>, heats: impl Fn(usize) -> bool) -> Served {
    match hot {
        None => Served::NoHotSide,
        Some(feed) if feed.is_dry() => Served::Dry,
        Some(feed) if feed.is_parallel() => Served::Blend,
        Some(feed) if feed.sources().into_iter().any(heats) => Served::Hot,
        Some(_) => Served::Unheated,
    }
}

fn pipes(
    layout: &Layout,
    graph: &Graph,
    along: u128,
    against: u128,
    undecided: u128,
) -> Vec<Option<Running>> {
    let mut running = vec![Some(Running::Still); layout.pipes.len()];
    for (at, edge) in graph.edges.iter().enumerate() {
        if let Part::Pipe(pipe) = edge.part {
            let bit = 1_u128 << at;
            running[pipe] = match (along & bit != 0, against & bit != 0, undecided & bit != 0) {
                (true, false, false) => Some(Running::Forward),
                (false, true, false) => Some(Running::Backward),
                (false, false, false) => Some(Running::Still),
                _ => None,
            };
        }
    }
    running
}

/// Pipes that the supply reaches and no draw moves, and filled sources that no draw moves.
fn still(
    layout: &Layout,
    graph: &Graph,
    space: &StateSpace,
    state: State,
    moving: u128,
    passed: u32,
) -> Vec<StillPart> {
    let sources = layout.sources.iter().enumerate();
    let sources = sources
        .filter(|(at, _)| passed & (1 << at) == 0 && space.filled(state, *at))
        .map(|(_, source)| StillPart {
            name: source.name.clone(),
            is_source: true,
            volume: source.volume,
        });
    let pipes = graph.edges.iter().enumerate();
    let pipes = pipes
        .filter(|(at, _)| moving & (1 << at) == 0)
        .filter_map(|(_, edge)| match edge.part {
            Part::Pipe(pipe) => Some(&layout.pipes[pipe]),
            _ => None,
        })
        .map(|pipe| StillPart {
            name: pipe.name.clone(),
            is_source: false,
            volume: pipe.volume,
        });
    sources.chain(pipes).collect()
}
