//! Why a network is refused or was not solved.
//!
//! In: names of nodes and links, residuals. Out: [`NetworkError`]. Wording lives here; judging a house does not.

use crate::error::WaterError;

/// Why a network is refused or was not solved.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NetworkError {
    /// A value of an element is outside its range.
    #[error("`{element}`: {source}")]
    Value {
        /// Name of the node or link.
        element: String,
        /// What is wrong with the value.
        source: WaterError,
    },
    /// A link begins and ends at the same node.
    #[error("`{element}` begins and ends at `{node}`; give it two different ends")]
    Loop {
        /// Name of the link.
        element: String,
        /// Name of the node.
        node: String,
    },
    /// An id that this network did not give out, or of the wrong kind.
    #[error("{what} is not part of this network; use the id that the network gave when it was added")]
    Unknown {
        /// What was meant: "a node of `P1`", "the valve".
        what: String,
    },
    /// Newton's steps did not settle.
    #[error(
        "the network was not solved: after {iterations} steps `{element}` is off by `{residual_pa:.3e}` Pa ({state_changes} changes of its state); check its size, setting and curve, or allow more steps"
    )]
    NotConverged {
        /// Name of the worst element: the device that changes its state most, else the link furthest off.
        element: String,
        /// Its energy residual.
        residual_pa: f64,
        /// How often its state changed in this solve.
        state_changes: u32,
        /// Steps taken.
        iterations: u32,
    },
    /// The system of one step had no solution, although every node in it is fed.
    #[error("the network has no solution near `{element}`; check lengths and sizes around it")]
    Singular {
        /// Name of a node where the factorization ended.
        element: String,
    },
}

impl NetworkError {
    /// Puts the name of an element to a refused value.
    pub(super) fn of(element: &str) -> impl FnOnce(WaterError) -> Self + '_ {
        move |source| Self::Value {
            element: element.to_owned(),
            source,
        }
    }
}
