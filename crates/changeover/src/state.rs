//! A state packed into one number: the position of every handle, the breaker of every source, whether it is filled.
//!
//! In: a [`Layout`](crate::Layout). Out: [`StateSpace`], which packs, unpacks and lists states. Interlocked sources are
//! never both with power: such states do not exist. Knows no piping.

use crate::{ChangeoverError, Layout};

/// Most binary digits of a state.
pub(crate) const BITS_MAX: u32 = 22;

/// One state of handles, breakers and sources.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct State(pub(crate) u32);

/// How the states of a layout are packed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StateSpace {
    handles: Vec<Digit>,
    n_sources: u32,
    energized_at: usize,
    filled_at: usize,
    bits: u32,
    /// For each source the sources it excludes.
    excludes: Vec<u32>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Digit {
    shift: u32,
    width: u32,
    count: u32,
}

impl StateSpace {
    /// The states of a layout.
    ///
    /// # Errors
    /// When there are more than this engine keeps at once.
    pub fn of(layout: &Layout) -> Result<Self, ChangeoverError> {
        let mut shift = 0;
        let mut handles = Vec::with_capacity(layout.handles.len());
        for handle in &layout.handles {
            let count = u32::try_from(handle.positions.len()).unwrap_or(u32::MAX);
            let width = u32::BITS - (count - 1).leading_zeros();
            handles.push(Digit { shift, width, count });
            shift += width;
        }
        let n_sources = u32::try_from(layout.sources.len()).unwrap_or(u32::MAX);
        let bits = shift.saturating_add(n_sources.saturating_mul(2));
        if bits > BITS_MAX {
            return Err(ChangeoverError::TooManyStates { bits, most: BITS_MAX });
        }
        let mut excludes = vec![0_u32; layout.sources.len()];
        for (index, source) in layout.sources.iter().enumerate() {
            if let Some(other) = source.interlocked_with.filter(|other| *other != index) {
                excludes[index] |= 1 << other;
                excludes[other] |= 1 << index;
            }
        }
        Ok(Self {
            handles,
            n_sources,
            energized_at: shift as usize,
            filled_at: (shift + n_sources) as usize,
            bits,
            excludes,
        })
    }

    /// Binary digits of a state; an upper bound of the number of states is 2 to this power.
    pub fn bits(&self) -> u32 {
        self.bits
    }

    /// All states there are, in order.
    pub fn states(&self) -> impl Iterator<Item = State> + '_ {
        (0..1_u32 << self.bits)
            .map(State)
            .filter(|state| self.exists(*state))
    }

    /// The state with these positions of the handles, sources with power and sources filled.
    pub fn state(
        &self,
        positions: impl IntoIterator<Item = usize>,
        energized: impl IntoIterator<Item = usize>,
        filled: impl IntoIterator<Item = usize>,
    ) -> Option<State> {
        let mut packed = 0;
        let mut given = 0;
        for (digit, position) in self.handles.iter().zip(positions) {
            let position = u32::try_from(position).ok()?;
            packed |= position.checked_shl(digit.shift)?;
            if position >= digit.count {
                return None;
            }
            given += 1;
        }
        for (sources, at) in [
            (energized.into_iter().collect::<Vec<_>>(), self.energized_at),
            (filled.into_iter().collect(), self.filled_at),
        ] {
            for source in sources {
                if source >= self.excludes.len() {
                    return None;
                }
                packed |= 1 << (at + source);
            }
        }
        let state = State(packed);
        (given == self.handles.len() && self.exists(state)).then_some(state)
    }

    /// The position of a handle.
    pub fn position(&self, state: State, handle: usize) -> usize {
        let digit = self.handles[handle];
        ((state.0 >> digit.shift) & ((1 << digit.width) - 1)) as usize
    }

    /// The same state with a handle in another position.
    pub fn turned(&self, state: State, handle: usize, position: usize) -> State {
        let digit = self.handles[handle];
        let mask = ((1_u32 << digit.width) - 1) << digit.shift;
        // Positions are fewer than five; one that is none leaves no state behind, see `exists`.
        let position = u32::try_from(position).map_or(mask, |position| position << digit.shift);
        State((state.0 & !mask) | (position & mask))
    }

    /// Whether a source has power.
    pub fn energized(&self, state: State, source: usize) -> bool {
        self.energized_mask(state) & (1 << source) != 0
    }

    /// Whether a source is filled and free of air.
    pub fn filled(&self, state: State, source: usize) -> bool {
        self.filled_mask(state) & (1 << source) != 0
    }

    /// The same state with the breakers of a source the other way.
    pub fn switched(&self, state: State, source: usize) -> State {
        State(state.0 ^ (1 << (self.energized_at + source)))
    }

    /// The same state with a source filled.
    pub fn purged(&self, state: State, source: usize) -> State {
        State(state.0 | (1 << (self.filled_at + source)))
    }

    /// The same state with a source empty.
    pub fn emptied(&self, state: State, source: usize) -> State {
        State(state.0 & !(1 << (self.filled_at + source)))
    }

    /// Settings in which two states differ: at least as many moves lie between them.
    pub fn differences(&self, a: State, b: State) -> u32 {
        let handles = (0..self.handles.len()).filter(|at| self.position(a, *at) != self.position(b, *at));
        let rest = (a.0 ^ b.0) >> self.energized_at;
        u32::try_from(handles.count()).unwrap_or(u32::MAX) + rest.count_ones()
    }

    /// No code outside a handle's positions, and no two interlocked sources with power.
    pub(crate) fn exists(&self, state: State) -> bool {
        self.handles_exist(state.0) && {
            let energized = self.energized_mask(state);
            let excluded = (self.excludes.iter().enumerate())
                .filter(|(source, _)| energized & (1 << source) != 0)
                .fold(0, |mask, (_, excludes)| mask | excludes);
            energized & excluded == 0
        }
    }

    pub(crate) fn handles_exist(&self, packed: u32) -> bool {
        self.handles
            .iter()
            .all(|digit| (packed >> digit.shift) & ((1 << digit.width) - 1) < digit.count)
    }

    pub(crate) fn energized_mask(&self, state: State) -> u32 {
        (state.0 >> self.energized_at) & ((1 << self.n_sources) - 1)
    }

    pub(crate) fn filled_mask(&self, state: State) -> u32 {
        (state.0 >> self.filled_at) & ((1 << self.n_sources) - 1)
    }

    /// The binary digits that a handle occupies.
    pub(crate) fn handle_mask(&self, handle: usize) -> u32 {
        let digit = self.handles[handle];
        ((1 << digit.width) - 1) << digit.shift
    }
}
