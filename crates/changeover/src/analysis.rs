//! Every state of a layout and its hazards, by tables.
//!
//! In: a [`Layout`] and hydraulics for what topology leaves open. Out: [`Analysis`]: the hazards of any state by a few
//! look-ups. Start at [`Analysis::of`].
//!
//! Each answer depends on few settings: what feeds a place, only on handles whose valves lie on ways to it; how a source
//! stands to supply and vents, only on handles between them; power and filling come in by bits. So every answer is
//! worked out once for each setting of its own handles, on the shrunk graph, and states are only looked up. Parts of the
//! house that a closed loop does not join never multiply each other's settings.

use crate::feed::feed;
use crate::graph::Graph;
use crate::hazard::{HazardKind, HazardSet, hazard_list};
use crate::hydraulics::{Draw, Hydraulics};
use crate::{ChangeoverError, Layout, State, StateSpace, standing};

/// The states of a layout and their hazards.
#[derive(Debug, Clone)]
pub struct Analysis {
    layout: Layout,
    space: StateSpace,
    hot: Vec<Table<FeedBits>>,
    cold: Vec<Table<FeedBits>>,
    sources: Vec<Table<standing::Standing>>,
    /// Sources large enough to count when their water stands still.
    counts_still: u32,
}

/// What a table keeps of a feed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
struct FeedBits {
    dry: bool,
    parallel: bool,
    backward: bool,
    /// Sources passed.
    passed: u8,
}

/// One answer for every setting of the handles it depends on.
#[derive(Debug, Clone)]
struct Table<T> {
    /// Places of the binary digits it depends on, lowest first.
    digits: Vec<u32>,
    answers: Vec<T>,
}

impl<T: Copy + Default> Table<T> {
    fn filled(
        space: &StateSpace,
        digits: u32,
        mut answer: impl FnMut(State) -> Result<T, ChangeoverError>,
    ) -> Result<Self, ChangeoverError> {
        let digits: Vec<u32> = (0..u32::BITS)
            .filter(|digit| digits & (1 << digit) != 0)
            .collect();
        let mut answers = Vec::with_capacity(1 << digits.len());
        for setting in 0..1_u32 << digits.len() {
            let spread = digits.iter().enumerate();
            let packed = spread.fold(0, |packed, (at, digit)| packed | ((setting >> at) & 1) << digit);
            // Codes that are no position of a handle belong to no state and are never asked for.
            let known = space.handles_exist(packed);
            answers.push(if known {
                answer(State(packed))?
            } else {
                T::default()
            });
        }
        Ok(Self { digits, answers })
    }

    fn get(&self, state: State) -> T {
        let digits = self.digits.iter().enumerate();
        let at = digits.fold(0, |at, (place, digit)| at | ((state.0 >> digit) & 1) << place);
        self.answers[at as usize]
    }
}

impl Analysis {
    /// Works out all answers.
    ///
    /// # Errors
    /// When the layout does not fit together or is too large; the error names the part.
    pub fn of(layout: &Layout, hydraulics: &dyn Hydraulics) -> Result<Self, ChangeoverError> {
        let graph = Graph::shrunk(layout)?;
        let space = StateSpace::of(layout)?;
        let list = hazard_list();
        let counts_still = (layout.sources.iter().enumerate())
            .filter(|(_, source)| source.volume >= list.still_volume_min)
            .fold(0, |mask, (at, _)| mask | 1 << at);
        Ok(Self {
            hot: draws(layout, &graph, &space, hydraulics, true)?,
            cold: draws(layout, &graph, &space, hydraulics, false)?,
            sources: sources(layout, &graph, &space)?,
            layout: layout.clone(),
            space,
            counts_still,
        })
    }

    /// The layout analyzed.
    pub fn layout(&self) -> &Layout {
        &self.layout
    }

    /// Its states.
    pub fn space(&self) -> &StateSpace {
        &self.space
    }

    /// The hazards that a state shows.
    pub fn hazards(&self, state: State) -> HazardSet {
        let energized = self.space.energized_mask(state);
        let filled = self.space.filled_mask(state);
        let mut hazards = HazardSet::NONE;
        let mut passed = 0;
        for table in &self.hot {
            let feed = table.get(state);
            passed |= u32::from(feed.passed);
            hazards = hazards
                .with_if(feed.dry, HazardKind::Dry)
                .with_if(feed.parallel, HazardKind::ParallelFeed)
                .with_if(feed.backward, HazardKind::Backward);
        }
        for table in &self.cold {
            let feed = table.get(state);
            passed |= u32::from(feed.passed);
            hazards = hazards
                .with_if(feed.dry, HazardKind::Dry)
                .with_if(feed.passed != 0, HazardKind::HotIntoCold)
                .with_if(feed.backward, HazardKind::Backward);
        }
        for (source, table) in self.sources.iter().enumerate() {
            let bit = 1 << source;
            let moves = passed & bit != 0;
            let counts = !moves && self.counts_still & bit != 0;
            let of_source = table
                .get(state)
                .hazards(energized & bit != 0, filled & bit != 0, counts);
            hazards = hazards.and(of_source);
        }
        hazards
    }

    /// Whether every hot outlet is fed over one way, and that way passes a filled source with power.
    pub fn serves_all(&self, state: State) -> bool {
        let heating = self.space.energized_mask(state) & self.space.filled_mask(state);
        self.hot.iter().all(|table| {
            let feed = table.get(state);
            !feed.dry && !feed.parallel && u32::from(feed.passed) & heating != 0
        })
    }

    /// Whether the supply's pressure reaches a source, on whatever side.
    pub fn reaches(&self, state: State, source: usize) -> bool {
        self.sources[source].get(state).pressurized
    }

    /// Whether water drawn at some hot outlet runs through a source.
    pub fn can_purge(&self, state: State, source: usize) -> bool {
        let bit = 1_u8 << source;
        self.hot.iter().any(|table| table.get(state).passed & bit != 0)
    }
}

/// One table for each junction that fixtures draw from on one of their sides.
fn draws(
    layout: &Layout,
    graph: &Graph,
    space: &StateSpace,
    hydraulics: &dyn Hydraulics,
    hot: bool,
) -> Result<Vec<Table<FeedBits>>, ChangeoverError> {
    let mut seen = Vec::new();
    let mut tables = Vec::new();
    for (fixture, at) in layout.fixtures.iter().enumerate() {
        let junction = if hot { at.hot } else { at.cold };
        let Some(node) = junction.map(|junction| graph.node_of[junction]) else {
            continue;
        };
        if seen.contains(&node) {
            continue;
        }
        seen.push(node);
        let digits = digits_of(graph, space, graph.between(graph.supply, node));
        tables.push(Table::filled(space, digits, |state| {
            let (feed, _) = feed(
                layout,
                graph,
                graph.open(space, state),
                Draw { fixture, hot },
                hydraulics,
            )?;
            // At most eight sources: their mask fits.
            let passed = feed
                .sources()
                .into_iter()
                .fold(0, |mask, source| mask | 1 << source);
            Ok(FeedBits {
                dry: feed.is_dry(),
                parallel: feed.is_parallel(),
                backward: feed.runs_backward(),
                passed,
            })
        })?);
    }
    Ok(tables)
}

fn sources(
    layout: &Layout,
    graph: &Graph,
    space: &StateSpace,
) -> Result<Vec<Table<standing::Standing>>, ChangeoverError> {
    (0..layout.sources.len())
        .map(|source| {
            let digits = digits_of(graph, space, standing::edges(layout, graph, source));
            Table::filled(space, digits, |state| {
                Ok(standing::standing(
                    layout,
                    graph,
                    graph.open(space, state),
                    source,
                ))
            })
        })
        .collect()
}

/// The binary digits of the handles that open or close one of these edges.
fn digits_of(graph: &Graph, space: &StateSpace, edges: u128) -> u32 {
    let handles = graph.opened.iter().enumerate();
    let touching = handles.filter(|(_, positions)| positions.iter().any(|opened| opened & edges != 0));
    touching.fold(0, |digits, (handle, _)| digits | space.handle_mask(handle))
}
