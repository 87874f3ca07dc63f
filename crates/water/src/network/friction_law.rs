//! Which friction law a network follows, and the constants that belong to it.
//!
//! In: nothing. Out: [`FrictionLaw`]. Our own law is the first; the others exist to compare with a general hydraulic
//! engine on its own terms, constants included. The laws themselves are in `pipe_law`.

/// How pipes lose pressure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum FrictionLaw {
    /// Darcy-Weisbach with [`crate::friction::darcy_friction`]: Colebrook-White, smooth through the transition.
    #[default]
    Smooth,
    /// Darcy-Weisbach as EPANET 2.2 has it: Swamee-Jain from Re 4000, a cubic of its own from 2000, g of 32.2 ft/s².
    Epanet,
    /// Hazen-Williams as EPANET 2.2 has it; a pipe's roughness is then its coefficient C.
    HazenWilliams,
}

impl FrictionLaw {
    /// Acceleration of free fall that goes with the law: standard for ours, 32.2 ft/s² for the peer's.
    pub(super) fn gravity_m_per_s2(self) -> f64 {
        match self {
            Self::Smooth => 9.806_65,
            Self::Epanet | Self::HazenWilliams => 32.2 * 0.3048,
        }
    }

    /// What the law makes of one velocity head: the peer's constant 0.02517 for K Q²/d⁴ is rounded from 8/(g π²).
    pub(super) fn velocity_head_factor(self) -> f64 {
        match self {
            Self::Smooth => 1.0,
            Self::Epanet | Self::HazenWilliams => {
                0.02517 * 32.2 * std::f64::consts::PI * std::f64::consts::PI / 8.0
            }
        }
    }
}
