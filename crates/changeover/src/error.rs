//! What makes a layout unusable for this engine.

use thiserror::Error;

/// Why a layout cannot be analyzed.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum ChangeoverError {
    /// A part names a junction that does not exist, or joins one to itself.
    #[error("`{part}` does not join two junctions of the layout; name an existing one at each end")]
    Ends {
        /// The part.
        part: String,
    },
    /// A handle opens a valve that does not exist.
    #[error("handle `{handle}` opens a valve that is not in the layout; name an existing one")]
    UnknownValve {
        /// The handle.
        handle: String,
    },
    /// A handle has fewer than two or more than four positions.
    #[error("handle `{handle}` has {count} positions; a handle has two to four")]
    Positions {
        /// The handle.
        handle: String,
        /// How many it has.
        count: usize,
    },
    /// Two handles turn one valve, or none does.
    #[error("valve `{valve}` is turned by {count} handles; each valve has exactly one")]
    Handles {
        /// The valve.
        valve: String,
        /// How many turn it.
        count: usize,
    },
    /// No water enters.
    #[error("the layout has no supply; name the junction where the water enters")]
    NoSupply,
    /// More junctions, parts or sources than are kept in one machine word.
    #[error(
        "the layout has {count} {what}; at most {most} can be analyzed: leave out branches without valves"
    )]
    TooLarge {
        /// What there are too many of.
        what: &'static str,
        /// How many.
        count: usize,
        /// The most there may be.
        most: usize,
    },
    /// More states than are kept at once.
    #[error(
        "handles, breakers and sources have {bits} independent settings; at most {most} can be analyzed: leave out valves that no mode turns"
    )]
    TooManyStates {
        /// Settings as binary digits.
        bits: u32,
        /// The most there may be.
        most: u32,
    },
    /// The pipes form so many loops that the ways to one place cannot be listed.
    #[error(
        "the ways of the water to `{place}` are too many to list; leave out parallel pipes that no valve separates"
    )]
    Tangled {
        /// Where the water goes.
        place: String,
    },
}
