//! Wanted modes, and the states that realize them.
//!
//! In: an [`Analysis`] and what is wanted: which sources have power, and where valves usually stand. Out: every state in
//! which exactly those sources have power, every hot outlet is fed over one way through one of them, and no hazard
//! forbidden at rest shows. Start at [`realizing`]. A mode with no power at all asks for no hot water. A source that
//! rests empty is shut off on both sides: otherwise it would fill.

use crate::hazard::HazardSet;
use crate::{Analysis, State};

/// A wanted mode.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wanted {
    /// Its name.
    pub name: String,
    /// Sources with power.
    pub energized: Vec<usize>,
    /// Where each valve of the layout should stand if it can: open, closed, or as may be.
    pub preferred: Vec<Option<bool>>,
}

/// The states that realize a mode, the one nearest to the preferred positions first.
pub fn realizing(analysis: &Analysis, wanted: &Wanted) -> Vec<State> {
    let space = analysis.space();
    let energized = wanted.energized.iter().fold(0, |mask, source| mask | 1 << source);
    let n_sources = analysis.layout().sources.len();
    let stays_empty =
        |state: State, source: usize| space.filled(state, source) || !analysis.reaches(state, source);
    let realizes = |state: &State| {
        space.energized_mask(*state) == energized
            && (0..n_sources).all(|source| stays_empty(*state, source))
            && analysis.hazards(*state).shared(HazardSet::at_rest()).is_empty()
            && (energized == 0 || analysis.serves_all(*state))
    };
    let mut found: Vec<State> = space.states().filter(realizes).collect();
    found.sort_by_cached_key(|state| {
        let empty = (0..n_sources)
            .filter(|source| !space.filled(*state, *source))
            .count();
        let shown = analysis.hazards(*state).iter().count();
        (moved_valves(analysis, *state, wanted), empty, shown, *state)
    });
    found
}

/// Valves that stand otherwise than preferred.
pub fn moved_valves(analysis: &Analysis, state: State, wanted: &Wanted) -> usize {
    let open = open_valves(analysis, state);
    let preferred = wanted.preferred.iter().zip(&open);
    preferred
        .filter(|(preferred, open)| preferred.is_some_and(|preferred| preferred != **open))
        .count()
}

/// Which valves are open in a state.
pub fn open_valves(analysis: &Analysis, state: State) -> Vec<bool> {
    let layout = analysis.layout();
    let mut open = vec![false; layout.valves.len()];
    for (handle, what) in layout.handles.iter().enumerate() {
        for valve in &what.positions[analysis.space().position(state, handle)].open {
            open[*valve] = true;
        }
    }
    open
}
