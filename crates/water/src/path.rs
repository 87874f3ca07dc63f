//! Pressure along a path: pipes with their fittings, devices, height, at one flow.
//!
//! In: the parts in order from supply to outlet, and a flow. Out: the losses by cause, the fastest pipe. Start at
//! [`Path::loss_at`]; [`crate::outlet`] finds the flow an outlet takes. Does not know networks, junctions or fixtures.
//!
//! - A flow is the volume flow of the cold water that enters the path. The mass flow is the same all along; each run
//!   turns it into velocity with the density of its own water, so a hot run may have hot water.
//! - Fittings lose K·ρv²/2 (why not equivalent lengths: see `tables::fitting`). Where two runs of different bore meet,
//!   a sudden contraction, K = 0.5 (1 − β²), or enlargement, K = (1 − β²)², is added by itself, on the velocity in the
//!   narrower bore (Crane TP-410 form, from memory); β is the narrower bore over the wider.
//! - Pressure is the static pressure a gauge reads; the change of velocity head along the path is left out (below
//!   0.2 psi at 5 ft/s).
//!
//! Nothing in the inner loops allocates: every run works out its constants once.

use crate::error::{WaterError, in_range, within};
use crate::friction::{RE_MAX, loss_number};
use crate::loss_curve::LossCurve;
use crate::pipe::Pipe;
use crate::properties::Water;
use quantity::{Length, PipeSize, PressureDifference, Velocity, VolumeFlow};
use tables::fitting::Fitting;

/// Standard acceleration of free fall in m/s², exact by convention.
const GRAVITY_M_PER_S2: f64 = 9.806_65;

/// A run of pipe with the water in it, its fittings and its climb.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Run {
    pipe: Pipe,
    water: Water,
    loss_coefficient: f64,
    rise: Length,
    constants: Constants,
}

/// What the losses of a run come down to.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Constants {
    /// Reynolds number per kg/s.
    reynolds_per_kg_per_s: f64,
    /// Roughness over bore.
    roughness: f64,
    /// Loss per loss number f·Re²: L μ² / (2 ρ D³).
    friction_pa: f64,
    /// Velocity head per (kg/s)²: 1 / (2 ρ A²).
    velocity_head_pa_s2_per_kg2: f64,
    /// Weight of the climb.
    rise_pa: f64,
}

impl Run {
    /// A level run without fittings.
    pub fn new(pipe: Pipe, water: Water) -> Self {
        let density = water.density_kg_per_m3();
        let viscosity = water.viscosity_pa_s();
        let bore_m = pipe.inside_diameter().as_meters();
        let area_m2 = pipe.bore_area().as_square_meters();
        Self {
            pipe,
            water,
            loss_coefficient: 0.0,
            rise: Length::zero(),
            constants: Constants {
                reynolds_per_kg_per_s: 4.0 / (std::f64::consts::PI * bore_m * viscosity),
                roughness: pipe.roughness() / pipe.inside_diameter(),
                friction_pa: pipe.length().as_meters() * viscosity * viscosity
                    / (2.0 * density * bore_m.powi(3)),
                velocity_head_pa_s2_per_kg2: 1.0 / (2.0 * density * area_m2 * area_m2),
                rise_pa: 0.0,
            },
        }
    }

    /// With fittings of a nominal size, added to those it has.
    ///
    /// # Errors
    /// When the tables have no loss coefficient for that size.
    pub fn with_fittings(mut self, size: PipeSize, fittings: &[(Fitting, u16)]) -> Result<Self, WaterError> {
        for (fitting, count) in fittings {
            self.loss_coefficient += tables::fitting::loss_coefficient(*fitting, size)? * f64::from(*count);
        }
        Ok(self)
    }

    /// With a loss coefficient K from elsewhere, added to what it has.
    ///
    /// # Errors
    /// When K is not from 0 to 1e6.
    pub fn with_loss_coefficient(mut self, k: f64) -> Result<Self, WaterError> {
        self.loss_coefficient += in_range("the loss coefficient", k, 0.0, 1e6, "")?;
        Ok(self)
    }

    /// Climbing by a height from its beginning to its end; negative when it goes down.
    ///
    /// # Errors
    /// When the height is not from -1000 to 1000 m.
    pub fn rising(mut self, rise: Length) -> Result<Self, WaterError> {
        self.rise = within("the rise of a run", rise, -1000.0, 1000.0, "m")?;
        self.constants.rise_pa = self.water.density_kg_per_m3() * GRAVITY_M_PER_S2 * rise.as_meters();
        Ok(self)
    }

    /// The pipe.
    pub fn pipe(&self) -> &Pipe {
        &self.pipe
    }

    /// The water in it.
    pub fn water(&self) -> &Water {
        &self.water
    }

    /// Friction in Pa and its slope per kg/s.
    fn friction(&self, mass_kg_per_s: f64) -> (f64, f64) {
        let re = mass_kg_per_s * self.constants.reynolds_per_kg_per_s;
        let (number, slope) = loss_number(re, self.constants.roughness);
        (
            number * self.constants.friction_pa,
            slope * self.constants.friction_pa * self.constants.reynolds_per_kg_per_s,
        )
    }

    /// Velocity head in Pa and its slope per kg/s.
    fn velocity_head(&self, mass_kg_per_s: f64) -> (f64, f64) {
        let head = self.constants.velocity_head_pa_s2_per_kg2 * mass_kg_per_s;
        (head * mass_kg_per_s, 2.0 * head)
    }

    fn velocity(&self, mass_kg_per_s: f64) -> Velocity {
        self.pipe.velocity(VolumeFlow::from_cubic_meters_per_second(
            mass_kg_per_s / self.water.density_kg_per_m3(),
        ))
    }
}

/// One part of a path.
#[derive(Debug, Clone, PartialEq)]
pub enum Part {
    /// A run of pipe.
    Run(Run),
    /// A device with a published loss: heater, meter, filter, the street main.
    Device(LossCurve),
}

/// A path from supply to outlet.
#[derive(Debug, Clone, Copy)]
pub struct Path<'a> {
    inlet: Water,
    parts: &'a [Part],
}

/// Where the pressure of a path goes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PathLoss {
    /// Friction in the pipes.
    pub friction: PressureDifference,
    /// Fittings, valves and changes of bore.
    pub fittings: PressureDifference,
    /// Devices.
    pub devices: PressureDifference,
    /// Height climbed; negative when the path goes down.
    pub elevation: PressureDifference,
    /// Number of the part with the highest velocity and that velocity; none without pipes.
    pub fastest: Option<(usize, Velocity)>,
    /// First device whose published points end below this flow: its loss is an estimate on the cautious side.
    pub beyond_curve: Option<usize>,
}

impl PathLoss {
    /// Everything together.
    pub fn total(&self) -> PressureDifference {
        self.friction + self.fittings + self.devices + self.elevation
    }
}

/// What happens in one run of a path.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RunLoss {
    /// Velocity.
    pub velocity: Velocity,
    /// Reynolds number.
    pub reynolds: f64,
    /// Friction along the pipe.
    pub friction: PressureDifference,
    /// Its fittings and the change of bore before it.
    pub fittings: PressureDifference,
    /// Its climb.
    pub elevation: PressureDifference,
}

impl<'a> Path<'a> {
    /// A path through parts in order. `inlet` is the cold water that enters: its density turns a flow into mass.
    pub fn new(inlet: Water, parts: &'a [Part]) -> Self {
        Self { inlet, parts }
    }

    /// The losses at a flow.
    ///
    /// Δp = Σ ( f L/D + K ) ρv²/2 + Σ Δpd(Q) + Σ ρ g Δz
    ///
    /// # Symbols
    /// | here   | meaning                                     | kind         |
    /// |--------|---------------------------------------------|--------------|
    /// | `flow` | Q, volume flow of the water that enters     | `VolumeFlow` |
    /// | Δpd    | loss of each device by its own curve        |              |
    /// | result | losses by cause                             | `PathLoss`   |
    ///
    /// # Valid
    /// 0 to 200 gpm, Reynolds number to 1e8.
    /// # Outside
    /// [`WaterError::OutOfRange`].
    /// # Assumes
    /// Steady flow, full pipes, each run at one temperature; see the head of this file for flow, fittings and bores.
    /// # Source
    /// Darcy-Weisbach with [`crate::friction`]; K values of `tables::fitting` (from memory).
    /// # Example
    /// ```
    /// use quantity::{Length, Temperature, VolumeFlow};
    /// use tables::pipe::PipeMaterial;
    /// use water::{Water, path::{Part, Path, Run}, pipe::Pipe};
    /// let cold = Water::in_house(Temperature::from_fahrenheit(60.0))?;
    /// let pipe = Pipe::of(PipeMaterial::CopperL, "3/4 in".parse()?, Length::from_feet(100.0))?;
    /// let parts = [Part::Run(Run::new(pipe, cold))];
    /// let loss = Path::new(cold, &parts).loss_at(VolumeFlow::from_gallons_per_minute(5.0))?;
    /// // Darcy-Weisbach worked out independently: 3.023 psi for 100 ft of 3/4 in type L at 5 gpm and 60 °F.
    /// assert!((loss.total().as_psi() - 3.023).abs() < 0.01);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn loss_at(&self, flow: VolumeFlow) -> Result<PathLoss, WaterError> {
        let mass_kg_per_s = self.mass_flow(flow)?;
        let flow_m3_per_s = flow.as_cubic_meters_per_second();
        let mut loss = PathLoss {
            friction: PressureDifference::zero(),
            fittings: PressureDifference::zero(),
            devices: PressureDifference::zero(),
            elevation: PressureDifference::zero(),
            fastest: None,
            beyond_curve: None,
        };
        for (index, part) in self.parts.iter().enumerate() {
            match part {
                Part::Run(run) => {
                    let found = self.run_loss(index, run, mass_kg_per_s)?;
                    loss.friction += found.friction;
                    loss.fittings += found.fittings;
                    loss.elevation += found.elevation;
                    if loss.fastest.is_none_or(|(_, most)| found.velocity > most) {
                        loss.fastest = Some((index, found.velocity));
                    }
                }
                Part::Device(curve) => {
                    loss.devices += PressureDifference::from_pascals(curve.loss_and_slope(flow_m3_per_s).0);
                    if loss.beyond_curve.is_none() && !curve.covers(flow) {
                        loss.beyond_curve = Some(index);
                    }
                }
            }
        }
        Ok(loss)
    }

    /// What happens in one run at a flow; none when that part is a device or does not exist.
    ///
    /// # Errors
    /// As [`Path::loss_at`].
    pub fn run_loss_at(&self, index: usize, flow: VolumeFlow) -> Result<Option<RunLoss>, WaterError> {
        let mass_kg_per_s = self.mass_flow(flow)?;
        match self.parts.get(index) {
            Some(Part::Run(run)) => self.run_loss(index, run, mass_kg_per_s).map(Some),
            _ => Ok(None),
        }
    }

    /// The water that enters.
    pub fn inlet(&self) -> &Water {
        &self.inlet
    }

    fn mass_flow(&self, flow: VolumeFlow) -> Result<f64, WaterError> {
        let flow = within("the flow in the path", flow, 0.0, 200.0, "gpm")?;
        Ok(flow.as_cubic_meters_per_second() * self.inlet.density_kg_per_m3())
    }

    fn run_loss(&self, index: usize, run: &Run, mass_kg_per_s: f64) -> Result<RunLoss, WaterError> {
        let reynolds = mass_kg_per_s * run.constants.reynolds_per_kg_per_s;
        in_range("the Reynolds number", reynolds, 0.0, RE_MAX, "")?;
        let head = run.velocity_head(mass_kg_per_s).0;
        let joint = self.joint_before(index, run, mass_kg_per_s).0;
        Ok(RunLoss {
            velocity: run.velocity(mass_kg_per_s),
            reynolds,
            friction: PressureDifference::from_pascals(run.friction(mass_kg_per_s).0),
            fittings: PressureDifference::from_pascals(run.loss_coefficient * head + joint),
            elevation: PressureDifference::from_pascals(run.constants.rise_pa),
        })
    }

    /// Loss in Pa, with its slope per kg/s, where the previous run's bore becomes this run's.
    fn joint_before(&self, index: usize, run: &Run, mass_kg_per_s: f64) -> (f64, f64) {
        let Some(Part::Run(before)) = index.checked_sub(1).and_then(|before| self.parts.get(before)) else {
            return (0.0, 0.0);
        };
        let ratio = run.pipe.inside_diameter() / before.pipe.inside_diameter();
        let (k, narrow) = if ratio < 1.0 {
            (0.5 * (1.0 - ratio * ratio), run)
        } else {
            ((1.0 - 1.0 / (ratio * ratio)).powi(2), before)
        };
        let (head, slope) = narrow.velocity_head(mass_kg_per_s);
        (k * head, k * slope)
    }

    /// All losses together in Pa and their slope per kg/s, for a search.
    pub(crate) fn total_and_slope(&self, mass_kg_per_s: f64) -> (f64, f64) {
        let per_kg = 1.0 / self.inlet.density_kg_per_m3();
        let mut total = (0.0, 0.0);
        for (index, part) in self.parts.iter().enumerate() {
            let mut add = |(loss, slope): (f64, f64), times: f64| {
                total.0 += times * loss;
                total.1 += times * slope;
            };
            match part {
                Part::Run(run) => {
                    add(run.friction(mass_kg_per_s), 1.0);
                    add(run.velocity_head(mass_kg_per_s), run.loss_coefficient);
                    add(self.joint_before(index, run, mass_kg_per_s), 1.0);
                    add((run.constants.rise_pa, 0.0), 1.0);
                }
                Part::Device(curve) => {
                    let (loss, slope) = curve.loss_and_slope(mass_kg_per_s * per_kg);
                    add((loss, slope * per_kg), 1.0);
                }
            }
        }
        total
    }
}

#[cfg(test)]
mod tests;
