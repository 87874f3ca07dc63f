//! Where a circuit falls short of a published method: two figures side by side, no judgment.
//!
//! Written by [`crate::circuit_check`]; what follows from one is for the rule book.

use quantity::{ConductorSize, Current, Ratio};

/// Where a circuit falls short of what a published method asks.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Shortfall {
    /// The breaker's rating is not a standard one.
    #[error("`{}` is not a standard rating", .breaker.show_in("A"))]
    BreakerNotStandard {
        /// Its rating.
        breaker: Current,
    },
    /// The breaker is below what the load asks.
    #[error("breaker `{}` is below the `{}` that the load asks for", .breaker.show_in("A"), .needed.show_in("A"))]
    BreakerBelowLoad {
        /// Its rating.
        breaker: Current,
        /// Sizing current.
        needed: Current,
    },
    /// The breaker is above the largest allowed for the appliance.
    #[error("breaker `{}` is above the largest one of the appliance, `{}`", .breaker.show_in("A"), .maximum.show_in("A"))]
    BreakerAboveMaximum {
        /// Its rating.
        breaker: Current,
        /// Largest.
        maximum: Current,
    },
    /// The breaker is above what the conductor may be protected at.
    #[error("breaker `{}` is above the `{}` that the conductor may be protected at", .breaker.show_in("A"), .largest.show_in("A"))]
    BreakerAboveConductor {
        /// Its rating.
        breaker: Current,
        /// Largest for the conductor.
        largest: Current,
    },
    /// The conductor's ampacity is below the load.
    #[error("ampacity `{}` is below the load of `{}`", .ampacity.show_in("A"), .load.show_in("A"))]
    AmpacityBelowLoad {
        /// Ampacity.
        ampacity: Current,
        /// Load.
        load: Current,
    },
    /// The conductor's ampacity before correction and adjustment is below the sizing current.
    #[error("ampacity before correction and adjustment, `{}`, is below the `{}` the circuit is sized for", .ampacity.show_in("A"), .needed.show_in("A"))]
    AmpacityBelowDesign {
        /// Ampacity before correction and adjustment.
        ampacity: Current,
        /// Sizing current.
        needed: Current,
    },
    /// A cable of the run is not made in that size.
    #[error("{cable} is not made in `{size}`")]
    SizeNotMade {
        /// The cable type.
        cable: String,
        /// The size.
        size: ConductorSize,
    },
    /// The equipment ground is too small.
    #[error("equipment ground `{found}` is smaller than `{needed}`")]
    GroundTooSmall {
        /// Its size.
        found: ConductorSize,
        /// Needed.
        needed: ConductorSize,
    },
    /// The voltage drop is above the target.
    #[error("voltage drop `{}` is above the target of `{}`", .drop.show_in("%"), .target.show_in("%"))]
    DropAboveTarget {
        /// Drop as a share of the nominal voltage.
        drop: Ratio,
        /// Target.
        target: Ratio,
    },
}
