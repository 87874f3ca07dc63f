//! Units of the text: a flow unit decides all others.
//!
//! In: the word after UNITS, specific gravity, relative viscosity. Out: factors to SI. The peer's own constants stand
//! here (its manual, from memory; checked against its results): 0.4333 psi to the foot, 1.1e-5 ft²/s, 32.2 ft/s².

use crate::network::{Fluid, FrictionLaw};
use quantity::{Density, GaugePressure, Length, Viscosity, VolumeFlow};

const FOOT_M: f64 = 0.3048;
/// Kinematic viscosity of relative viscosity 1, in m²/s.
const VISCOSITY_M2_PER_S: f64 = 1.1e-5 * FOOT_M * FOOT_M;
/// Gallons per minute to the cubic foot per second, as the peer has it, and so the other units of flow.
const GPM_PER_CFS: f64 = 448.831;
/// Pressure of a foot of water in psi, as the peer has it.
const PSI_PER_FOOT: f64 = 0.4333;

/// What one unit of the text is in SI.
#[derive(Debug, Clone, Copy)]
pub(super) struct Units {
    pub(super) flow_m3_per_s: f64,
    pub(super) length_m: f64,
    pub(super) diameter_m: f64,
    /// Roughness of Darcy-Weisbach.
    pub(super) roughness_m: f64,
    /// Head that a unit of pressure stands for.
    pub(super) pressure_head_m: f64,
    /// Unit of pump power in W.
    pub(super) power_w: f64,
    pub(super) density_kg_per_m3: f64,
    pub(super) kinematic_viscosity_m2_per_s: f64,
}

impl Units {
    /// The units that go with a flow unit; none for an unknown word.
    pub(super) fn of(flow: &str, specific_gravity: f64, viscosity: f64) -> Option<Self> {
        let cubic_foot = FOOT_M.powi(3);
        let (per_cubic_foot, us) = match flow.to_ascii_uppercase().as_str() {
            "CFS" => (1.0, true),
            "GPM" => (GPM_PER_CFS, true),
            "MGD" => (0.64632, true),
            "IMGD" => (0.5382, true),
            "AFD" => (1.9837, true),
            "LPS" => (28.317, false),
            "LPM" => (1699.0, false),
            "MLD" => (2.4466, false),
            "CMH" => (101.94, false),
            "CMD" => (2446.6, false),
            _ => return None,
        };
        Some(Self::with(
            cubic_foot / per_cubic_foot,
            us,
            specific_gravity,
            viscosity,
        ))
    }

    /// Gallons per minute and water of 20 °C: what holds where a text says nothing.
    pub(super) fn gallons() -> Self {
        Self::with(FOOT_M.powi(3) / GPM_PER_CFS, true, 1.0, 1.0)
    }

    fn with(flow_m3_per_s: f64, us: bool, specific_gravity: f64, viscosity: f64) -> Self {
        let density_kg_per_m3 = 1000.0 * specific_gravity;
        // Above 1e-3 the number multiplies the usual viscosity, else it is the viscosity itself.
        let kinematic_viscosity_m2_per_s = if viscosity > 1e-3 {
            viscosity * VISCOSITY_M2_PER_S
        } else if us {
            viscosity * FOOT_M * FOOT_M
        } else {
            viscosity
        };
        let weight = density_kg_per_m3 * FrictionLaw::Epanet.gravity_m_per_s2();
        Self {
            flow_m3_per_s,
            length_m: if us { FOOT_M } else { 1.0 },
            diameter_m: if us { 0.0254 } else { 1e-3 },
            roughness_m: if us { 1e-3 * FOOT_M } else { 1e-3 },
            pressure_head_m: if us {
                FOOT_M / PSI_PER_FOOT / specific_gravity
            } else {
                1.0 / specific_gravity
            },
            // 8.814 ft⁴/s of head times flow to the horsepower; a kilowatt is 1/0.7457 of one.
            power_w: 8.814 * FOOT_M.powi(4) * weight / if us { 1.0 } else { 0.7457 },
            density_kg_per_m3,
            kinematic_viscosity_m2_per_s,
        }
    }

    pub(super) fn fluid(&self) -> Result<Fluid, crate::WaterError> {
        let viscosity = self.kinematic_viscosity_m2_per_s * self.density_kg_per_m3;
        Fluid::new(
            Density::from_kilograms_per_cubic_meter(self.density_kg_per_m3),
            Viscosity::from_pascal_seconds(viscosity),
        )
    }

    pub(super) fn length(&self, number: f64) -> Length {
        Length::from_meters(number * self.length_m)
    }

    pub(super) fn diameter(&self, number: f64) -> Length {
        Length::from_meters(number * self.diameter_m)
    }

    pub(super) fn flow(&self, number: f64) -> VolumeFlow {
        VolumeFlow::from_cubic_meters_per_second(number * self.flow_m3_per_s)
    }

    /// Pressure of a height of the liquid, in the text's unit of length.
    pub(super) fn of_head(&self, number: f64) -> GaugePressure {
        self.of_height_m(number * self.length_m)
    }

    /// Pressure in the text's unit of pressure.
    pub(super) fn pressure(&self, number: f64) -> GaugePressure {
        self.of_height_m(number * self.pressure_head_m)
    }

    fn of_height_m(&self, height_m: f64) -> GaugePressure {
        GaugePressure::from_pascals(
            height_m * self.density_kg_per_m3 * FrictionLaw::Epanet.gravity_m_per_s2(),
        )
    }
}
