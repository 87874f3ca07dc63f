//! Loss of a pipe and its slope at a mass flow, worked out fast: the innermost loop of the network.
//!
//! In: constants of one pipe, a mass flow, a starting point kept from the last step. Out: loss in Pa and slope in Pa
//! per kg/s. The smooth law gives what [`crate::friction`] gives, to the last digits (a test compares them); it gets
//! there with one logarithm where the friction factor has hardly changed since the last step.
//!
//! The peer's laws are those of EPANET 2.2 (its manual; constants from memory, checked against its results).

use super::friction_law::FrictionLaw;
use crate::friction::{LAMINAR_RE, TURBULENT_RE, loss_number};

/// 2 log₁₀ x = this · ln x.
const TWO_LOG10: f64 = 2.0 / std::f64::consts::LN_10;
/// 1/√f of a usual house pipe, where a search without a better start begins.
const USUAL_INVERSE_ROOT: f64 = 6.0;
/// From a step this small Halley's next error is below 1e-13 of x.
const LAST_STEP: f64 = 2e-3;

/// One pipe of Darcy-Weisbach.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct DarcyPipe {
    /// Reynolds number per kg/s.
    reynolds_per_kg_per_s: f64,
    /// Loss per loss number f·Re²: L μ² / (2 ρ D³).
    friction_pa: f64,
    /// Roughness over bore over 3.7.
    rough: f64,
    /// Fittings: K / (2 ρ A²).
    minor_pa_s2_per_kg2: f64,
    /// ln of the turbulent loss number where turbulence begins, and the power of Re there (smooth law); or the peer's
    /// friction factor there and its second constant.
    joint: (f64, f64),
}

/// One pipe of Hazen-Williams.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct HazenWilliamsPipe {
    /// Pa per (kg/s)^1.852.
    resistance: f64,
    minor_pa_s2_per_kg2: f64,
    usual_kg_per_s: f64,
}

/// What a pipe is before its constants are worked out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct PipeShape {
    pub(super) length_m: f64,
    pub(super) bore_m: f64,
    /// Roughness in m, or C of Hazen-Williams.
    pub(super) roughness: f64,
    pub(super) loss_coefficient: f64,
    pub(super) density_kg_per_m3: f64,
    pub(super) viscosity_pa_s: f64,
}

impl PipeShape {
    fn minor(&self, law: FrictionLaw) -> f64 {
        self.loss_coefficient * velocity_head_pa_s2_per_kg2(law, self.bore_m, self.density_kg_per_m3)
    }

    pub(super) fn darcy(&self, law: FrictionLaw) -> DarcyPipe {
        let relative = self.roughness / self.bore_m;
        let joint = if law == FrictionLaw::Epanet {
            peer_joint(relative / 3.7)
        } else {
            let (number, slope) = loss_number(TURBULENT_RE, relative);
            (number.ln(), slope * TURBULENT_RE / number)
        };
        DarcyPipe {
            reynolds_per_kg_per_s: 4.0 / (std::f64::consts::PI * self.bore_m * self.viscosity_pa_s),
            friction_pa: self.length_m * self.viscosity_pa_s * self.viscosity_pa_s
                / (2.0 * self.density_kg_per_m3 * self.bore_m.powi(3)),
            rough: relative / 3.7,
            minor_pa_s2_per_kg2: self.minor(law),
            joint,
        }
    }

    pub(super) fn hazen_williams(&self) -> HazenWilliamsPipe {
        // h[ft] = 4.727 C^-1.852 d[ft]^-4.871 L[ft] Q[ft³/s]^1.852
        const FOOT_M: f64 = 0.3048;
        let feet = 4.727
            * self.roughness.powf(-HAZEN_WILLIAMS_POWER)
            * (self.bore_m / FOOT_M).powf(-4.871)
            * (self.length_m / FOOT_M);
        let per_cubic_foot = (1.0 / (self.density_kg_per_m3 * FOOT_M.powi(3))).powf(HAZEN_WILLIAMS_POWER);
        let weight = self.density_kg_per_m3 * FrictionLaw::HazenWilliams.gravity_m_per_s2() * FOOT_M;
        HazenWilliamsPipe {
            resistance: feet * per_cubic_foot * weight,
            minor_pa_s2_per_kg2: self.minor(FrictionLaw::HazenWilliams),
            usual_kg_per_s: 0.5
                * std::f64::consts::FRAC_PI_4
                * self.bore_m
                * self.bore_m
                * self.density_kg_per_m3,
        }
    }
}

/// Below a trickle Hazen-Williams is nearly flat; there it goes straight, as the peer's does in its own units.
const TRICKLE_KG_PER_S: f64 = 1e-6;

/// Power of the flow in Hazen-Williams.
const HAZEN_WILLIAMS_POWER: f64 = 1.852;

/// Velocity head per (kg/s)²: 1 / (2 ρ A²).
pub(super) fn velocity_head_pa_s2_per_kg2(law: FrictionLaw, bore_m: f64, density_kg_per_m3: f64) -> f64 {
    let area_m2 = std::f64::consts::FRAC_PI_4 * bore_m * bore_m;
    law.velocity_head_factor() / (2.0 * density_kg_per_m3 * area_m2 * area_m2)
}

/// A turbulent pipe between the passes of [`super::evaluation`].
#[derive(Debug, Clone, Copy)]
pub(super) struct Turbulent {
    pub(super) link: u32,
    flow_kg_per_s: f64,
    re: f64,
    /// Of what the next logarithm is taken, then the logarithm.
    inside: f64,
    logarithm: f64,
    rough: f64,
    /// 1/√f to begin with; of the peer's law the share of the thin layer.
    kept: f64,
}

impl Turbulent {
    #[inline]
    pub(super) fn take_logarithm(&mut self) {
        self.logarithm = self.inside.ln();
    }

    /// From ln Re to what the peer's second logarithm is taken of.
    #[inline]
    pub(super) fn thin_layer(&mut self) {
        self.kept = 5.74 * (-0.9 * self.logarithm).exp();
        self.inside = self.rough + self.kept;
    }
}

impl DarcyPipe {
    #[inline]
    pub(super) fn is_turbulent(&self, mass_kg_per_s: f64) -> bool {
        mass_kg_per_s.abs() * self.reynolds_per_kg_per_s >= TURBULENT_RE
    }

    #[inline]
    pub(super) fn begin_smooth(&self, link: u32, flow_kg_per_s: f64, start: f64) -> Turbulent {
        let re = flow_kg_per_s.abs() * self.reynolds_per_kg_per_s;
        let kept = if start > 1.0 { start } else { USUAL_INVERSE_ROOT };
        Turbulent {
            link,
            flow_kg_per_s,
            re,
            inside: self.rough + 2.51 / re * kept,
            logarithm: 0.0,
            rough: self.rough,
            kept,
        }
    }

    /// Loss and slope from the first logarithm; the rest of the search, if it is not over, as for a single pipe.
    #[inline]
    pub(super) fn finish_smooth(&self, of: &Turbulent, start: &mut f64) -> (f64, f64) {
        let thin = 2.51 / of.re;
        let (x, step) = halley(thin, of.inside, of.logarithm, of.kept);
        *start = x;
        if step.abs() >= LAST_STEP {
            return self.smooth(of.flow_kg_per_s, start);
        }
        self.whole(of.flow_kg_per_s, turbulent_number(of.re, thin, self.rough, x))
    }

    #[inline]
    pub(super) fn begin_peer(&self, link: u32, flow_kg_per_s: f64) -> Turbulent {
        let re = flow_kg_per_s.abs() * self.reynolds_per_kg_per_s;
        Turbulent {
            link,
            flow_kg_per_s,
            re,
            inside: re,
            logarithm: 0.0,
            rough: self.rough,
            kept: 0.0,
        }
    }

    #[inline]
    pub(super) fn finish_peer(&self, of: &Turbulent) -> (f64, f64) {
        self.whole(
            of.flow_kg_per_s,
            swamee_jain(of.re, of.kept, of.inside, of.logarithm),
        )
    }

    /// Loss and slope of friction and fittings from the loss number and its slope.
    #[inline]
    fn whole(&self, mass_kg_per_s: f64, (number, slope): (f64, f64)) -> (f64, f64) {
        let speed = mass_kg_per_s.abs();
        let minor = self.minor_pa_s2_per_kg2 * speed;
        let loss = number * self.friction_pa + minor * speed;
        (
            loss.copysign(mass_kg_per_s),
            slope * self.friction_pa * self.reynolds_per_kg_per_s + 2.0 * minor,
        )
    }

    /// The flow at a Reynolds number, in kg/s.
    pub(super) fn flow_at_reynolds(&self, reynolds: f64) -> f64 {
        reynolds / self.reynolds_per_kg_per_s
    }

    /// Loss and slope by our own law. `start` holds 1/√f of the last step.
    #[inline]
    pub(super) fn smooth(&self, mass_kg_per_s: f64, start: &mut f64) -> (f64, f64) {
        let re = mass_kg_per_s.abs() * self.reynolds_per_kg_per_s;
        let of_re = if re <= LAMINAR_RE {
            (64.0 * re, 64.0)
        } else if re >= TURBULENT_RE {
            self.colebrook(re, start)
        } else {
            self.bridge(re)
        };
        self.whole(mass_kg_per_s, of_re)
    }

    #[inline]
    fn colebrook(&self, re: f64, start: &mut f64) -> (f64, f64) {
        let thin = 2.51 / re;
        let mut x = if *start > 1.0 { *start } else { USUAL_INVERSE_ROOT };
        for _ in 0..6 {
            let inside = self.rough + thin * x;
            let (next, step) = halley(thin, inside, inside.ln(), x);
            x = next;
            if step.abs() < LAST_STEP {
                break;
            }
        }
        *start = x;
        turbulent_number(re, thin, self.rough, x)
    }

    fn bridge(&self, re: f64) -> (f64, f64) {
        const WIDTH: f64 = std::f64::consts::LN_2;
        let start = (64.0 * LAMINAR_RE).ln();
        let (end, end_power) = self.joint;
        let t = (re / LAMINAR_RE).ln() / WIDTH;
        let (t2, t3) = (t * t, t * t * t);
        let rise = 3.0 * t2 - 2.0 * t3;
        let log = start + (end - start) * rise + WIDTH * ((t3 - 2.0 * t2 + t) + end_power * (t3 - t2));
        let power = (end - start) * 6.0 * (t - t2) / WIDTH
            + (3.0 * t2 - 4.0 * t + 1.0)
            + end_power * (3.0 * t2 - 2.0 * t);
        let number = log.exp();
        (number, number * power / re)
    }

    /// Loss and slope by the peer's law.
    #[inline]
    pub(super) fn peer(&self, mass_kg_per_s: f64) -> (f64, f64) {
        let re = mass_kg_per_s.abs() * self.reynolds_per_kg_per_s;
        let of_re = if re <= LAMINAR_RE {
            (64.0 * re, 64.0)
        } else if re >= TURBULENT_RE {
            let thin = 5.74 * (-0.9 * re.ln()).exp();
            let inside = self.rough + thin;
            swamee_jain(re, thin, inside, inside.ln())
        } else {
            self.peer_bridge(re)
        };
        self.whole(mass_kg_per_s, of_re)
    }

    /// Dunlop's cubic in r = Re/2000, which meets both laws in value and slope.
    fn peer_bridge(&self, re: f64) -> (f64, f64) {
        let (fa, fb) = self.joint;
        let r = re / LAMINAR_RE;
        let x = [
            7.0 * fa - fb,
            0.128 - 17.0 * fa + 2.5 * fb,
            -0.128 + 13.0 * fa - 2.0 * fb,
            0.032 - 3.0 * fa + 0.5 * fb,
        ];
        let f = x[0] + r * (x[1] + r * (x[2] + r * x[3]));
        let df_dr = x[1] + r * (2.0 * x[2] + r * 3.0 * x[3]);
        (f * re * re, 2.0 * f * re + re * re * df_dr / LAMINAR_RE)
    }
}

/// One of Halley's steps for x + 2 log₁₀(rough + thin·x) = 0, x = 1/√f: the error is cubed. Gives x and the step.
#[inline]
fn halley(thin: f64, inside: f64, logarithm: f64, x: f64) -> (f64, f64) {
    let off = x + TWO_LOG10 * logarithm;
    let ratio = thin / inside;
    let slope = 1.0 + TWO_LOG10 * ratio;
    let curve = -TWO_LOG10 * ratio * ratio;
    let step = 2.0 * off * slope / (2.0 * slope * slope - off * curve);
    (x - step, step)
}

/// Loss number f·Re² and its slope from x = 1/√f.
#[inline]
fn turbulent_number(re: f64, thin: f64, rough: f64, x: f64) -> (f64, f64) {
    let bend = TWO_LOG10 * thin;
    let ratio = re / x;
    let number = ratio * ratio;
    let power = 2.0 - 2.0 * bend / (rough + thin * x + bend);
    (number, number * power / re)
}

/// Loss number and slope of Swamee and Jain from the thin layer's share and the logarithm of both shares.
#[inline]
fn swamee_jain(re: f64, thin: f64, inside: f64, logarithm: f64) -> (f64, f64) {
    let log = TWO_LOG10 * logarithm;
    let ratio = re / log;
    // d ln f / d ln Re = 2 · 0.9 · thin · 0.8686 / (inside · log)
    let power = 2.0 + 1.8 * TWO_LOG10 * thin / (inside * log);
    (ratio * ratio, ratio * power / log)
}

/// Friction factor where turbulence begins, and the second constant of Dunlop's cubic.
fn peer_joint(rough: f64) -> (f64, f64) {
    let thin = 5.74 / TURBULENT_RE.powf(0.9);
    let inside = rough + thin;
    let log = -TWO_LOG10 * inside.ln();
    let fa = 1.0 / (log * log);
    (fa, fa * (2.0 - 1.8 * TWO_LOG10 * thin / (inside * log)))
}

impl HazenWilliamsPipe {
    /// A flow that such a pipe often carries, in kg/s: at a velocity of 0.5 m/s.
    pub(super) fn usual_flow_kg_per_s(&self) -> f64 {
        self.usual_kg_per_s
    }

    /// Loss and slope.
    #[inline]
    pub(super) fn loss(&self, mass_kg_per_s: f64) -> (f64, f64) {
        let speed = mass_kg_per_s.abs();
        let minor = self.minor_pa_s2_per_kg2 * speed;
        let (per_flow, power) = if speed > TRICKLE_KG_PER_S {
            (
                self.resistance * ((HAZEN_WILLIAMS_POWER - 1.0) * speed.ln()).exp(),
                HAZEN_WILLIAMS_POWER,
            )
        } else {
            (
                self.resistance * TRICKLE_KG_PER_S.powf(HAZEN_WILLIAMS_POWER - 1.0),
                1.0,
            )
        };
        ((per_flow + minor) * mass_kg_per_s, power * per_flow + 2.0 * minor)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn shape(bore_m: f64, relative: f64, k: f64) -> PipeShape {
        PipeShape {
            length_m: 7.0,
            bore_m,
            roughness: relative * bore_m,
            loss_coefficient: k,
            density_kg_per_m3: 998.0,
            viscosity_pa_s: 1e-3,
        }
    }

    proptest! {
        #[test]
        fn the_fast_law_is_the_published_one(
            log_re in 0.0_f64..7.5, relative in 0.0_f64..0.05, start in 0.0_f64..15.0, bore_m in 0.005_f64..0.1,
        ) {
            let pipe = shape(bore_m, relative, 0.0).darcy(FrictionLaw::Smooth);
            let re = 10_f64.powf(log_re);
            let mass = re / pipe.reynolds_per_kg_per_s;
            let (number, slope) = loss_number(re, relative);
            let mut start = start;
            for _ in 0..2 {
                let (loss, per_mass) = pipe.smooth(mass, &mut start);
                prop_assert!((loss / (number * pipe.friction_pa) - 1.0).abs() < 1e-11);
                let expected = slope * pipe.friction_pa * pipe.reynolds_per_kg_per_s;
                prop_assert!((per_mass / expected - 1.0).abs() < 1e-9);
            }
            let (back, _) = pipe.smooth(-mass, &mut start);
            prop_assert!(back < 0.0);
        }

        #[test]
        fn every_law_rises_with_its_slope(log_re in 1.0_f64..7.0, relative in 0.0_f64..0.04, k in 0.0_f64..20.0) {
            let shape = shape(0.02, relative, k);
            let own = shape.darcy(FrictionLaw::Smooth);
            let peer = shape.darcy(FrictionLaw::Epanet);
            let chw = PipeShape { roughness: 130.0, ..shape }.hazen_williams();
            let mass = 10_f64.powf(log_re) / own.reynolds_per_kg_per_s;
            let step = mass * 1e-6;
            let laws: [&dyn Fn(f64) -> (f64, f64); 3] =
                [&|q| own.smooth(q, &mut 0.0), &|q| peer.peer(q), &|q| chw.loss(q)];
            for (which, law) in laws.iter().enumerate() {
                let difference = (law(mass + step).0 - law(mass - step).0) / (2.0 * step);
                let slope = law(mass).1;
                prop_assert!(difference > 0.0, "{which}");
                prop_assert!((slope / difference - 1.0).abs() < 1e-3, "{which}: {slope} {difference}");
            }
        }
    }

    #[test]
    fn the_peers_laws_meet_their_sources() {
        // Handbook of the project: Swamee-Jain 0.030972 at Re 1e4 smooth, 0.022342 at 1e5 and 1e-3; 0.0314 at Re 2839
        // in the bore of 0.545 in that the example network has.
        for (re, relative, f, tolerance) in [
            (1e4, 0.0, 0.030_972, 1e-6),
            (1e5, 1e-3, 0.022_342, 1e-6),
            (1500.0, 0.0, 64.0 / 1500.0, 1e-9),
            (2839.0, 0.005e-3 * 12.0 / 0.545, 0.0314, 5e-5),
        ] {
            let pipe = shape(0.02, relative, 0.0).darcy(FrictionLaw::Epanet);
            let (loss, _) = pipe.peer(re / pipe.reynolds_per_kg_per_s);
            let found = loss / pipe.friction_pa / (re * re);
            assert!((found - f).abs() < tolerance, "{re}: {found}");
        }
    }
}
