//! What current passes on its way: a pair of conductors, a transformer, as one loop impedance.
//!
//! Public through [`crate::voltage_drop`].

use crate::PowerError;
use crate::complex::Complex;
use crate::error::in_range;
use quantity::{Length, Reactance, ReactancePerLength, Resistance, ResistancePerLength};

/// Resistance and reactance in series.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Impedance {
    /// Resistance.
    pub resistance: Resistance,
    /// Reactance; zero when it is left out.
    pub reactance: Reactance,
}

impl Impedance {
    /// Both parts.
    pub fn new(resistance: Resistance, reactance: Reactance) -> Self {
        Self {
            resistance,
            reactance,
        }
    }

    /// None at all.
    pub fn zero() -> Self {
        Self {
            resistance: Resistance::zero(),
            reactance: Reactance::zero(),
        }
    }

    /// Share of it, or a multiple.
    #[must_use]
    pub fn times(self, factor: f64) -> Self {
        Self {
            resistance: self.resistance * factor,
            reactance: self.reactance * factor,
        }
    }

    /// As a solver takes it.
    pub(crate) fn ohms(self) -> Result<Complex, PowerError> {
        let resistance = in_range(
            "resistance",
            self.resistance,
            Resistance::zero(),
            Resistance::from_ohms(100.0),
        )?;
        let reactance = in_range(
            "reactance",
            self.reactance,
            Reactance::zero(),
            Reactance::from_ohms(100.0),
        )?;
        Ok(Complex::new(resistance.as_ohms(), reactance.as_ohms()))
    }
}

/// What current passes on its way: a pair of conductors, or a transformer.
#[derive(Debug, Clone, PartialEq)]
pub struct Path {
    /// What it is, in words: "service drop".
    pub label: String,
    /// Impedance of out and back together.
    pub loop_impedance: Impedance,
}

impl Path {
    /// A run of two conductors, out and back: twice the one-way length.
    pub fn two_conductors(
        label: impl Into<String>,
        one_way: Length,
        resistance: ResistancePerLength,
        reactance: Option<ReactancePerLength>,
    ) -> Self {
        let round = one_way * 2.0;
        Self {
            label: label.into(),
            loop_impedance: Impedance {
                resistance: resistance * round,
                reactance: reactance.map_or(Reactance::zero(), |reactance| reactance * round),
            },
        }
    }

    /// As the solver takes it.
    pub(crate) fn ohms(&self) -> Result<Complex, PowerError> {
        self.loop_impedance.ohms()
    }
}
