//! The two properties of water that pressure in a network depends on.
//!
//! In: water of the engine, or a density and a viscosity from elsewhere. Out: [`Fluid`]. Knows no temperature: hot and
//! cold links carry fluids of their own.

use crate::error::{WaterError, within};
use crate::properties::Water;
use quantity::{Density, Viscosity};

/// Density and viscosity of what a link carries.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fluid {
    pub(super) density_kg_per_m3: f64,
    pub(super) viscosity_pa_s: f64,
}

impl Fluid {
    /// A liquid of known properties.
    ///
    /// # Errors
    /// When the density is not from 500 to 2000 kg/m³ or the viscosity not from 0.05 to 1000 mPa·s.
    pub fn new(density: Density, viscosity: Viscosity) -> Result<Self, WaterError> {
        within("the density", density, 500.0, 2000.0, "kg/m³")?;
        within("the viscosity", viscosity, 0.05, 1000.0, "mPa·s")?;
        Ok(Self {
            density_kg_per_m3: density.as_kilograms_per_cubic_meter(),
            viscosity_pa_s: viscosity.as_pascal_seconds(),
        })
    }

    /// Density.
    pub fn density(&self) -> Density {
        Density::from_kilograms_per_cubic_meter(self.density_kg_per_m3)
    }

    /// Dynamic viscosity.
    pub fn viscosity(&self) -> Viscosity {
        Viscosity::from_pascal_seconds(self.viscosity_pa_s)
    }
}

impl From<Water> for Fluid {
    fn from(water: Water) -> Self {
        Self {
            density_kg_per_m3: water.density_kg_per_m3(),
            viscosity_pa_s: water.viscosity_pa_s(),
        }
    }
}
