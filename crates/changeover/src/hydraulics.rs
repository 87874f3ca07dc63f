//! The door to hydraulics: which way water runs where topology does not decide.
//!
//! In: an implementation by the caller. Out: for one draw, how the water runs through each source. Start at
//! [`Hydraulics`]. Without one ([`TopologyAlone`]) every direction that is possible counts.

/// One side of one fixture, drawing alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Draw {
    /// The fixture, by its place in the layout.
    pub fixture: usize,
    /// Its hot side, or its cold one.
    pub hot: bool,
}

/// How water runs through a source.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Running {
    /// It does not.
    Still,
    /// From the cold connection to the hot one.
    Forward,
    /// From the hot connection to the cold one.
    Backward,
}

/// Decides what topology cannot.
pub trait Hydraulics {
    /// How water runs through every source while one place draws, with these valves open (by their place in the layout);
    /// none when that cannot be worked out.
    fn through_sources(&self, open_valves: &[bool], draw: Draw) -> Option<Vec<Running>>;
}

/// No hydraulics: what topology leaves open stays open, and every possible direction counts.
#[derive(Debug, Clone, Copy, Default)]
pub struct TopologyAlone;

impl Hydraulics for TopologyAlone {
    fn through_sources(&self, _open_valves: &[bool], _draw: Draw) -> Option<Vec<Running>> {
        None
    }
}
