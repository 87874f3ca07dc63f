//! How a source stands in one setting of the valves: reached by the supply or not, vented or not, a dead end or not.
//!
//! In: the graph, its open edges, a source. Out: [`Standing`], and by its power and filling the hazards it shows. A
//! vessel passes growth both ways; a check valve only along; the street takes growth back only where nothing at the
//! entry stops it.

use crate::Layout;
use crate::graph::Graph;
use crate::hazard::{HazardKind, HazardSet};

/// How a source stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct Standing {
    /// The supply reaches it, on whatever side.
    pub(crate) pressurized: bool,
    /// Where its growth goes.
    pub(crate) growth: Growth,
    /// The supply reaches its hot side without passing it, and its cold side not.
    pub(crate) hangs: bool,
}

/// Where the growth of heated water goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, PartialOrd, Ord, Hash)]
pub enum Growth {
    /// Nowhere.
    #[default]
    Shut,
    /// Out of a relief device, and only there.
    Relief,
    /// Into an expansion device or back into the street.
    Expansion,
}

impl Standing {
    /// The hazards by power and filling; `still`: it counts when standing, and nothing drawn moves it.
    pub(crate) fn hazards(self, energized: bool, filled: bool, still: bool) -> HazardSet {
        HazardSet::NONE
            .with_if(energized && !self.pressurized, HazardKind::EnergizedIsolated)
            .with_if(energized && !filled, HazardKind::EnergizedDry)
            .with_if(
                energized && filled && self.growth == Growth::Shut,
                HazardKind::Trapped,
            )
            .with_if(self.hangs, HazardKind::HangsOnHot)
            .with_if(filled && still, HazardKind::StillWater)
    }
}

/// How a source stands with these edges open.
pub(crate) fn standing(layout: &Layout, graph: &Graph, open: u128, source: usize) -> Standing {
    let here = &layout.sources[source];
    let (inlet, outlet) = (
        1_u128 << graph.node_of[here.inlet],
        1_u128 << graph.node_of[here.outlet],
    );
    let supply = 1_u128 << graph.supply;
    let without = graph.reached(supply, open & !(1 << graph.source_edges[source]));
    // The vessel stands between its connections: what reaches one of them reaches it.
    let grown = graph.reached(inlet | outlet, open);
    let other_vessel = layout.sources.iter().any(|other| {
        let ends = 1_u128 << graph.node_of[other.inlet] | 1_u128 << graph.node_of[other.outlet];
        other.relief_on_vessel && grown & ends != 0
    });
    let growth = if grown & graph.expansion != 0 || (graph.takes_back && grown & supply != 0) {
        Growth::Expansion
    } else if grown & graph.relief != 0 || other_vessel {
        Growth::Relief
    } else {
        Growth::Shut
    };
    Standing {
        pressurized: without & (inlet | outlet) != 0,
        growth,
        hangs: without & outlet != 0 && without & inlet == 0,
    }
}

/// The edges that decide how a source stands.
pub(crate) fn edges(layout: &Layout, graph: &Graph, source: usize) -> u128 {
    let here = &layout.sources[source];
    let vents = layout.vents.iter().map(|vent| graph.node_of[vent.junction]);
    let vessels = layout.sources.iter().filter(|other| other.relief_on_vessel);
    let vessels = vessels.flat_map(|other| [graph.node_of[other.inlet], graph.node_of[other.outlet]]);
    let goals: Vec<usize> = vents.chain(vessels).chain([graph.supply]).collect();
    let ends = [graph.node_of[here.inlet], graph.node_of[here.outlet]];
    let pairs = ends
        .iter()
        .flat_map(|end| goals.iter().map(move |goal| (*end, *goal)));
    pairs.fold(1 << graph.source_edges[source], |edges, (end, goal)| {
        edges | graph.between(end, goal)
    })
}
