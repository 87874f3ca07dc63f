//! How far a front of hot water spreads on its way through a pipe, and the volume of the mixed cell that stands for it.
//!
//! In: a pipe, its water, a flow. Out: the standard deviation of the arriving front, as a volume run. Two causes, whose
//! variances add: water in the middle runs ahead of water at the wall (Taylor), and the wall takes its heat at a finite
//! rate. Start at [`front_spread`].
//!
//! Compared with: laboratory ratios of water run to pipe volume as the handbook of the project remembers them, 1.1 to
//! 1.5 in insulated or fast-flowing pipe and up to about 2 in bare pipe at low flow (low confidence). With the plain
//! physics and no factor the ratio to 90 % of the step lies within both ranges (tested).

use super::settings::WallHeat;
use crate::error::{WaterError, within};
use crate::pipe::Pipe;
use crate::properties::Water;
use quantity::{Volume, VolumeFlow};
use std::f64::consts::PI;

/// Standard deviation of an arriving front, as a volume run.
///
/// σ² = (1 + r)² V² / ( L v / (2 D) + 3 ) + 2 r Q² (L/v) / ks
///
/// # Symbols
/// | here    | meaning                                                                             | kind         |
/// |---------|-------------------------------------------------------------------------------------|--------------|
/// | `pipe`  | length L, bore d, volume V, wall heat r = wall ÷ water                              | `Pipe`       |
/// | `water` | at the mean of hot and cold: heat diffusivity α, viscosity ν                        | `Water`      |
/// | `flow`  | Q, velocity v                                                                       | `VolumeFlow` |
/// | –       | D = α + d²v²/(192 α) laminar, 5.05 d v √(f/8) turbulent, blended Re 2000 to 4000     | –            |
/// | –       | ks = K/C, rate of the wall: conductance K per length ÷ wall heat C per length        | –            |
/// | –       | 1/K = 1/(π d h) + a third of the wall's own resistance; h by 3.66 or 0.023 Re^0.8 Pr^0.3 | –        |
/// | result  | σ                                                                                   | `Volume`     |
///
/// # Valid
/// Flow 0 to 100 gpm; none gives no spread.
/// # Outside
/// [`WaterError::OutOfRange`].
/// # Assumes
/// Straight pipe, steady flow. The 3 keeps a short pipe from spreading more than a parabolic profile that has had no time
/// to mix across. No buoyancy.
/// # Source
/// Taylor, Proc. R. Soc. A 219 (1953) and 223 (1954); two-temperature front: Anzelius 1926, Schumann 1929, moments by own
/// algebra; Dittus and Boelter 1930. All from memory; the moments are tested against the exact front.
/// # Example
/// ```
/// use quantity::{Length, Temperature, VolumeFlow};
/// use tables::pipe::PipeMaterial;
/// use water::{Water, motion::spread::front_spread, pipe::Pipe};
/// let pipe = Pipe::of(PipeMaterial::CopperL, "3/4 in".parse()?, Length::from_feet(50.0))?;
/// let water = Water::in_house(Temperature::from_fahrenheit(85.0))?;
/// let at = |gpm| front_spread(&pipe, &water, VolumeFlow::from_gallons_per_minute(gpm));
/// // By hand: the slow stream 0.39 of the pipe by its profile and 0.28 by the wall, together 0.48; the fast one 0.19.
/// let of_pipe = |spread: quantity::Volume| spread.as_gallons() / pipe.volume().as_gallons();
/// assert!((of_pipe(at(0.4)?) - 0.48).abs() < 0.03 && (of_pipe(at(5.0)?) - 0.19).abs() < 0.03);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn front_spread(pipe: &Pipe, water: &Water, flow: VolumeFlow) -> Result<Volume, WaterError> {
    within("the flow", flow, 0.0, 100.0, "gpm")?;
    let spread = Spread::new(pipe, water, 1.0, WallHeat::AtOnce);
    let flow_l_per_s = flow.as_liters_per_second();
    let (stream_l, wall_l) = (spread.cell_l(flow_l_per_s), spread.wall_l(flow_l_per_s));
    Ok(Volume::from_liters(stream_l.hypot(wall_l)))
}

/// The constants of one pipe, ready for any flow.
#[derive(Debug, Clone, Copy)]
pub(super) struct Spread {
    length_m: f64,
    bore_m: f64,
    bore_area_m2: f64,
    volume_l: f64,
    wall_ratio: f64,
    wall_heat_j_per_m_k: f64,
    wall_resistance_m_k_per_w: f64,
    diffusivity_m2_per_s: f64,
    viscosity_m2_per_s: f64,
    conductivity_w_per_m_k: f64,
    prandtl: f64,
    factor: f64,
    wall: WallHeat,
}

impl Spread {
    pub(super) fn new(pipe: &Pipe, water: &Water, factor: f64, wall: WallHeat) -> Self {
        let density = water.density().as_kilograms_per_cubic_meter();
        let specific_heat = water.specific_heat().as_joules_per_kilogram_kelvin();
        let conductivity = water.conductivity().as_watts_per_meter_kelvin();
        let (diffusivity, viscosity) = (
            conductivity / (density * specific_heat),
            water.viscosity().as_pascal_seconds() / density,
        );
        let wall_ratio = pipe.wall_heat_ratio(water).as_fraction();
        let (bore_m, outside_m) = (
            pipe.inside_diameter().as_meters(),
            pipe.outside_diameter().as_meters(),
        );
        let bore_area_m2 = pipe.bore_area().as_square_meters();
        Self {
            length_m: pipe.length().as_meters(),
            bore_m,
            bore_area_m2,
            volume_l: pipe.volume().as_liters(),
            wall_ratio,
            wall_heat_j_per_m_k: wall_ratio * bore_area_m2 * density * specific_heat,
            wall_resistance_m_k_per_w: (outside_m / bore_m).ln()
                / (2.0 * PI * pipe.wall().conductivity.as_watts_per_meter_kelvin())
                / 3.0,
            diffusivity_m2_per_s: diffusivity,
            viscosity_m2_per_s: viscosity,
            conductivity_w_per_m_k: conductivity,
            prandtl: viscosity / diffusivity,
            factor,
            wall,
        }
    }

    /// How fast the wall follows its water.
    fn wall_rate_per_s(&self, flow_l_per_s: f64) -> f64 {
        let re = self.velocity(flow_l_per_s) * self.bore_m / self.viscosity_m2_per_s;
        let laminar = 3.66;
        let turbulent = 0.023 * re.powf(0.8) * self.prandtl.powf(0.3);
        let nusselt = blend(re, laminar, turbulent);
        // π d h with h = Nu λ/d.
        let film = 1.0 / (PI * nusselt * self.conductivity_w_per_m_k);
        1.0 / ((film + self.wall_resistance_m_k_per_w) * self.wall_heat_j_per_m_k)
    }

    fn velocity(&self, flow_l_per_s: f64) -> f64 {
        flow_l_per_s * 1e-3 / self.bore_area_m2
    }

    fn dispersion_m2_per_s(&self, velocity: f64) -> f64 {
        let re = velocity * self.bore_m / self.viscosity_m2_per_s;
        let laminar = self.diffusivity_m2_per_s
            + (self.bore_m * velocity).powi(2) / (192.0 * self.diffusivity_m2_per_s);
        // Smooth pipe: f by Blasius is close enough for a square root.
        let friction = 0.316 / re.max(1.0).powf(0.25);
        let turbulent = 5.05 * self.bore_m * velocity * (friction / 8.0).sqrt();
        blend(re, laminar, turbulent)
    }

    /// Conductance from water to wall of the whole pipe over the heat flow of the stream.
    pub(super) fn wall_units(&self, flow_l_per_s: f64) -> f64 {
        if flow_l_per_s <= 0.0 {
            return f64::INFINITY;
        }
        self.wall_ratio * self.wall_rate_per_s(flow_l_per_s) * self.volume_l / flow_l_per_s
    }

    /// Volume of the mixed cell: the spread by the stream, stretched by a wall that follows at once.
    pub(super) fn cell_l(&self, flow_l_per_s: f64) -> f64 {
        if flow_l_per_s <= 0.0 || self.length_m <= 0.0 {
            return 0.0;
        }
        let velocity = self.velocity(flow_l_per_s);
        let reach = self.length_m * velocity / (2.0 * self.dispersion_m2_per_s(velocity));
        let stretched = match self.wall {
            WallHeat::AtOnce => 1.0 + self.wall_ratio,
            WallHeat::AtItsRate => 1.0,
        };
        stretched * self.volume_l * (self.factor / (reach + 3.0)).sqrt()
    }

    /// Spread by the finite rate of the wall.
    fn wall_l(&self, flow_l_per_s: f64) -> f64 {
        if flow_l_per_s <= 0.0 {
            return 0.0;
        }
        (2.0 * self.wall_ratio * self.volume_l * flow_l_per_s / self.wall_rate_per_s(flow_l_per_s)).sqrt()
    }
}

/// From the laminar to the turbulent value, by the logarithm between Re 2000 and 4000.
fn blend(re: f64, laminar: f64, turbulent: f64) -> f64 {
    let share = ((re - 2000.0) / 2000.0).clamp(0.0, 1.0);
    let smooth = share * share * (3.0 - 2.0 * share);
    (laminar.ln() * (1.0 - smooth) + turbulent.max(f64::MIN_POSITIVE).ln() * smooth).exp()
}
