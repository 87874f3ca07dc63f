//! Single moves between states: turn one handle, switch one source, fill and purge one source.
//!
//! In: an [`Analysis`] and a state. Out: the moves there are, with the state each leads to. Start at [`moves`]. A source
//! is purged without power and while water drawn at a hot outlet runs through it. Draining is no move between modes: a
//! source that was drained comes back by being purged.

use crate::{Analysis, State};

/// One move of a person.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Move {
    /// Switch off, and lock, the breakers of a source.
    SwitchOff {
        /// The source.
        source: usize,
    },
    /// Turn a handle to a position.
    Turn {
        /// The handle.
        handle: usize,
        /// The position it gets.
        position: usize,
    },
    /// Fill a source and run water through it until no air comes.
    Purge {
        /// The source.
        source: usize,
    },
    /// Switch on the breakers of a source.
    SwitchOn {
        /// The source.
        source: usize,
    },
}

/// All moves from a state, with where each leads, in a fixed order.
pub fn moves(analysis: &Analysis, state: State) -> Vec<(Move, State)> {
    let space = analysis.space();
    let layout = analysis.layout();
    let mut all = Vec::new();
    for source in 0..layout.sources.len() {
        let switched = space.switched(state, source);
        if space.energized(state, source) {
            all.push((Move::SwitchOff { source }, switched));
        } else if space.exists(switched) {
            all.push((Move::SwitchOn { source }, switched));
        }
        let may_purge = !space.filled(state, source) && !space.energized(state, source);
        if may_purge && analysis.can_purge(state, source) {
            all.push((Move::Purge { source }, space.purged(state, source)));
        }
    }
    for (handle, what) in layout.handles.iter().enumerate() {
        let now = space.position(state, handle);
        for position in (0..what.positions.len()).filter(|position| *position != now) {
            all.push((
                Move::Turn { handle, position },
                space.turned(state, handle, position),
            ));
        }
    }
    all.sort_unstable();
    all
}
