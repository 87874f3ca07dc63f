//! Loss of every kind of link at a mass flow, with its slope: what a step of the solver asks for, link by link.
//!
//! In: a law compiled from a device, a mass flow. Out: loss in Pa from first end to second (a gain is below zero) and
//! slope in Pa per kg/s, above zero everywhere. Start at [`Law::loss_and_slope`]. Knows no nodes and no states.
//!
//! A loss that goes with the square of the flow has no slope at rest; below a trickle it is bent into a straight line,
//! as flow in a real valve turns laminar. The bend adds less than 1e-6 of the loss from a flow a thousand times the
//! trickle.

use super::pipe_law::{DarcyPipe, HazenWilliamsPipe};
use super::pump::PumpCurve;
use crate::loss_curve::LossCurve;

/// Slope that every law but a pipe's has at least, so that a link without loss is not endlessly open, in Pa per kg/s.
pub(super) const SLOPE_MIN: f64 = 1e-3;
/// Least gain at which the flow of a pump of constant power is taken from it, in Pa.
const LEAST_GAIN_PA: f64 = 1e3;
/// Where a square law is bent straight, in kg/s: 0.0016 gpm.
const TRICKLE_KG_PER_S: f64 = 1e-4;
/// A limit holds the flow this closely: one part in 10⁷ for a usual pressure, or for the one from which it holds.
const LIMIT_STEEPNESS: f64 = 1e7;
const USUAL_PRESSURE_PA: f64 = 1e5;

/// The loss of one link.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Law {
    /// Darcy-Weisbach, our own friction.
    Smooth(DarcyPipe),
    /// Darcy-Weisbach, the peer's friction.
    Peer(DarcyPipe),
    /// Hazen-Williams.
    HazenWilliams(HazenWilliamsPipe),
    /// a·q²: valve, check valve, side of a mixing valve.
    Square { a: f64 },
    /// a·q² to a flow, and hardly more flow at any pressure: outlet, flow limit.
    Limited { a: f64, limit_kg_per_s: f64 },
    /// a·|q|^n: emitter of any exponent.
    Power { a: f64, power: f64 },
    /// Straight: a regulator at work, from its setting to the node behind.
    Straight { slope: f64 },
    /// A published curve; flow in m³/s of the entering water.
    Curve { curve: Box<LossCurve>, m3_per_kg: f64 },
    /// A pump.
    Pump { pump: Box<PumpCurve>, m3_per_kg: f64 },
}

impl Law {
    /// Of a pump of constant power: the flow at a gain in Pa and its fall with the gain, in kg/s and kg/s per Pa. Its
    /// gain has no bound as the flow falls, so that steps in the flow overshoot; steps in the gain do not.
    #[inline]
    pub(super) fn flow_at_gain(&self, gain_pa: f64) -> Option<(f64, f64)> {
        let Self::Pump { pump, m3_per_kg } = self else {
            return None;
        };
        let flow = pump.constant_power_w().filter(|_| gain_pa > LEAST_GAIN_PA)? / gain_pa / m3_per_kg;
        Some((flow, flow / gain_pa))
    }

    /// Loss and slope. `start` is kept by the caller for each link from step to step.
    #[inline]
    pub(super) fn loss_and_slope(&self, mass_kg_per_s: f64, start: &mut f64) -> (f64, f64) {
        let q = mass_kg_per_s;
        match self {
            Self::Smooth(pipe) => pipe.smooth(q, start),
            Self::Peer(pipe) => pipe.peer(q),
            Self::HazenWilliams(pipe) => pipe.loss(q),
            Self::Square { a } => square(*a, q),
            Self::Limited { a, limit_kg_per_s } => limited(*a, *limit_kg_per_s, q),
            Self::Power { a, power } => {
                let speed = q.abs();
                if speed > TRICKLE_KG_PER_S {
                    let loss = a * speed.powf(*power);
                    floored((loss.copysign(q), power * loss / speed), q)
                } else {
                    let slope = a * TRICKLE_KG_PER_S.powf(power - 1.0);
                    floored((slope * q, slope), q)
                }
            }
            Self::Straight { slope } => floored((slope * q, *slope), q),
            Self::Curve { curve, m3_per_kg } => {
                let speed = q.abs().max(TRICKLE_KG_PER_S);
                let (loss, slope) = curve.loss_and_slope(speed * m3_per_kg);
                if q.abs() > TRICKLE_KG_PER_S {
                    floored((loss.copysign(q), slope * m3_per_kg), q)
                } else {
                    floored((loss * q / speed, loss / speed), q)
                }
            }
            Self::Pump { pump, m3_per_kg } => {
                let (gain, slope) = pump.gain_and_slope(q.max(0.0) * m3_per_kg);
                let slope = (-slope * m3_per_kg).max(SLOPE_MIN);
                // Backwards the gain goes on straight; the pump's own check keeps it from being used there.
                (-gain + slope * q.min(0.0), slope)
            }
        }
    }
}

/// Adds the least slope.
#[inline]
fn floored((loss, slope): (f64, f64), q: f64) -> (f64, f64) {
    (loss + SLOPE_MIN * q, slope + SLOPE_MIN)
}

/// a·q·√(q² + trickle²), straight near rest.
#[inline]
fn square(a: f64, q: f64) -> (f64, f64) {
    let root = (q * q + TRICKLE_KG_PER_S * TRICKLE_KG_PER_S).sqrt();
    floored((a * q * root, a * (root + q * q / root)), q)
}

#[inline]
fn limited(a: f64, limit_kg_per_s: f64, q: f64) -> (f64, f64) {
    if q <= limit_kg_per_s {
        return square(a, q);
    }
    let (at_limit, _) = square(a, limit_kg_per_s);
    let slope = LIMIT_STEEPNESS * at_limit.max(USUAL_PRESSURE_PA) / limit_kg_per_s;
    (at_limit + slope * (q - limit_kg_per_s), slope)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::network::friction_law::FrictionLaw;
    use crate::network::pipe_law::PipeShape;
    use proptest::prelude::*;
    use quantity::{Power, PressureDifference, VolumeFlow};

    fn laws() -> Vec<Law> {
        let shape = PipeShape {
            length_m: 7.0,
            bore_m: 0.013,
            roughness: 1.5e-6,
            loss_coefficient: 2.0,
            density_kg_per_m3: 998.0,
            viscosity_pa_s: 1e-3,
        };
        let gpm = VolumeFlow::from_gallons_per_minute;
        let psi = PressureDifference::from_psi;
        let curve = LossCurve::through(&[(gpm(1.0), psi(1.0)), (gpm(3.0), psi(8.0))]).unwrap();
        let pump = PumpCurve::through(&[(gpm(0.0), psi(20.0)), (gpm(3.0), psi(15.0)), (gpm(6.0), psi(2.0))])
            .unwrap();
        vec![
            Law::Smooth(shape.darcy(FrictionLaw::Smooth)),
            Law::Peer(shape.darcy(FrictionLaw::Epanet)),
            Law::HazenWilliams(
                PipeShape {
                    roughness: 130.0,
                    ..shape
                }
                .hazen_williams(),
            ),
            Law::Square { a: 1e7 },
            Law::Limited {
                a: 1e7,
                limit_kg_per_s: 0.1,
            },
            Law::Power { a: 1e7, power: 1.7 },
            Law::Straight { slope: 1e4 },
            Law::Curve {
                curve: Box::new(curve),
                m3_per_kg: 1e-3,
            },
            Law::Pump {
                pump: Box::new(pump),
                m3_per_kg: 1e-3,
            },
            Law::Pump {
                pump: Box::new(PumpCurve::of_power(Power::from_watts(20.0)).unwrap()),
                m3_per_kg: 1e-3,
            },
        ]
    }

    proptest! {
        #[test]
        fn every_law_rises_and_its_slope_is_above_zero(q in -0.5_f64..0.5, step in 1e-6_f64..0.1) {
            for law in laws() {
                let (low, slope) = law.loss_and_slope(q, &mut 0.0);
                let (high, _) = law.loss_and_slope(q + step, &mut 0.0);
                prop_assert!(high > low && slope > 0.0 && slope.is_finite(), "{law:?} {low} {high} {slope}");
            }
        }
    }

    #[test]
    fn passive_laws_lose_nothing_at_rest_and_the_bend_is_small() {
        for law in laws().iter().filter(|law| !matches!(law, Law::Pump { .. })) {
            assert!(law.loss_and_slope(0.0, &mut 0.0).0.abs() < 1e-12, "{law:?}");
        }
        let (loss, _) = Law::Square { a: 1e7 }.loss_and_slope(0.1, &mut 0.0);
        assert!((loss / 1e5 - 1.0).abs() < 1e-6, "{loss}");
    }

    #[test]
    fn a_limit_holds() {
        let law = Law::Limited {
            a: 1e7,
            limit_kg_per_s: 0.1,
        };
        // Ten times the pressure from which it holds passes no more than one part in 10⁶ beyond the limit.
        assert!(law.loss_and_slope(0.1 * (1.0 + 1e-6), &mut 0.0).0 > 1e6);
    }
}
