//! What a pump adds to the pressure at a flow.
//!
//! In: one or three points, a list of points, or a shaft power. Out: [`PumpCurve`]. Start at [`PumpCurve::through`].
//! Knows no network. The forms are those of a general hydraulic engine, so that its files can be read.

use crate::error::{WaterError, within};
use quantity::{Power, PressureDifference, VolumeFlow};

/// The gain of a pump as a falling function of its flow.
#[derive(Debug, Clone, PartialEq)]
pub struct PumpCurve {
    pub(super) shape: PumpShape,
}

/// Kernel form: gains in Pa, flows in m³/s.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum PumpShape {
    /// Δp = shutoff − fall · Qⁿ.
    Power { shutoff_pa: f64, fall: f64, power: f64 },
    /// Straight between points of (flow, gain), the first and last pieces going on.
    Points(Vec<(f64, f64)>),
    /// Δp = power / Q.
    Constant { power_w: f64 },
}

impl PumpCurve {
    /// A curve through points of flow and gain, flow rising and gain falling.
    ///
    /// One point is taken as the design point: shutoff at 4/3 of its gain, no gain at twice its flow, a square law. Three
    /// points of which the first is at no flow give Δp = a − b·Qⁿ through all three. Other lists are straight between
    /// their points.
    ///
    /// # Errors
    /// When points are missing, outside ±1000 m³/s or ±100 `MPa`, or do not fall.
    pub fn through(points: &[(VolumeFlow, PressureDifference)]) -> Result<Self, WaterError> {
        let mut taken = Vec::with_capacity(points.len());
        for (flow, gain) in points {
            within("the flow of a pump curve", *flow, 0.0, 1e3, "m³/s")?;
            within("the gain of a pump curve", *gain, -1e5, 1e5, "kPa")?;
            taken.push((flow.as_cubic_meters_per_second(), gain.as_pascals()));
        }
        for (index, pair) in taken.windows(2).enumerate() {
            if pair[1].0 <= pair[0].0 || pair[1].1 >= pair[0].1 {
                return Err(WaterError::CurveFalls { index: index + 1 });
            }
        }
        let shape = match taken[..] {
            [(flow, gain)] if flow > 0.0 && gain > 0.0 => PumpShape::Power {
                shutoff_pa: 4.0 / 3.0 * gain,
                fall: gain / 3.0 / (flow * flow),
                power: 2.0,
            },
            [] | [_] => return Err(WaterError::CurveEmpty),
            [(first, shutoff_pa), (flow, gain), (most, least)] if first <= 0.0 => {
                let power = ((shutoff_pa - least) / (shutoff_pa - gain)).ln() / (most / flow).ln();
                PumpShape::Power {
                    shutoff_pa,
                    fall: (shutoff_pa - gain) / flow.powf(power),
                    power,
                }
            }
            _ => PumpShape::Points(taken),
        };
        Ok(Self { shape })
    }

    /// A pump that puts the same power into the water at any flow.
    ///
    /// # Errors
    /// When the power is not from 0.001 W to 100 MW.
    pub fn of_power(power: Power) -> Result<Self, WaterError> {
        within("the power of the pump", power, 1e-6, 1e5, "kW")?;
        Ok(Self {
            shape: PumpShape::Constant {
                power_w: power.as_watts(),
            },
        })
    }

    /// The same pump at another speed: flows go with the speed, gains with its square.
    ///
    /// # Errors
    /// When the relative speed is not from 0.01 to 10.
    pub fn at_speed(mut self, speed: f64) -> Result<Self, WaterError> {
        let speed = crate::error::in_range("the relative speed of the pump", speed, 0.01, 10.0, "")?;
        match &mut self.shape {
            PumpShape::Power {
                shutoff_pa,
                fall,
                power,
            } => {
                *shutoff_pa *= speed * speed;
                *fall *= speed.powf(2.0 - *power);
            }
            PumpShape::Points(points) => {
                for (flow, gain) in points {
                    *flow *= speed;
                    *gain *= speed * speed;
                }
            }
            // A stated power is what the pump gives; a general engine leaves it unchanged by speed.
            PumpShape::Constant { .. } => {}
        }
        Ok(self)
    }

    /// The gain at a flow.
    pub fn gain(&self, flow: VolumeFlow) -> PressureDifference {
        PressureDifference::from_pascals(self.gain_and_slope(flow.as_cubic_meters_per_second()).0)
    }

    /// Gain in Pa and its slope in Pa per m³/s, at a flow not below zero.
    pub(super) fn gain_and_slope(&self, flow_m3_per_s: f64) -> (f64, f64) {
        match &self.shape {
            PumpShape::Power {
                shutoff_pa,
                fall,
                power,
            } => {
                let flow = flow_m3_per_s.max(0.0);
                let lost = fall * flow.powf(*power);
                // A power below one is endlessly steep at rest.
                let at = flow.max(1e-9);
                (shutoff_pa - lost, -power * fall * at.powf(power - 1.0))
            }
            PumpShape::Points(points) => {
                let pair = points
                    .windows(2)
                    .find(|pair| flow_m3_per_s <= pair[1].0)
                    .or_else(|| points.windows(2).last());
                let Some(&[from, to]) = pair else {
                    return (0.0, 0.0);
                };
                let slope = (to.1 - from.1) / (to.0 - from.0);
                (from.1 + slope * (flow_m3_per_s - from.0), slope)
            }
            PumpShape::Constant { power_w } => {
                // Below a trickle the gain would grow without end.
                let flow = flow_m3_per_s.max(1e-7);
                let gain = power_w / flow;
                (gain, -gain / flow)
            }
        }
    }

    /// The power of a pump that gives the same at any flow.
    pub(super) fn constant_power_w(&self) -> Option<f64> {
        match self.shape {
            PumpShape::Constant { power_w } => Some(power_w),
            _ => None,
        }
    }

    /// A flow near which the pump works, to begin a search.
    pub(super) fn design_flow_m3_per_s(&self) -> f64 {
        match &self.shape {
            PumpShape::Power {
                shutoff_pa,
                fall,
                power,
            } => (shutoff_pa / 4.0 / fall).powf(1.0 / power),
            PumpShape::Points(points) => {
                let (Some(first), Some(last)) = (points.first(), points.last()) else {
                    return 0.0;
                };
                0.5 * (first.0 + last.0)
            }
            PumpShape::Constant { power_w } => power_w / 3e5,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn curve(points: &[(f64, f64)]) -> Result<PumpCurve, WaterError> {
        let points: Vec<_> = points
            .iter()
            .map(|(gpm, psi)| {
                (
                    VolumeFlow::from_gallons_per_minute(*gpm),
                    PressureDifference::from_psi(*psi),
                )
            })
            .collect();
        PumpCurve::through(&points)
    }

    fn psi(curve: &PumpCurve, gpm: f64) -> f64 {
        curve.gain(VolumeFlow::from_gallons_per_minute(gpm)).as_psi()
    }

    #[test]
    fn points_are_met() {
        let one = curve(&[(10.0, 30.0)]).unwrap();
        assert!((psi(&one, 0.0) - 40.0).abs() < 1e-9 && (psi(&one, 10.0) - 30.0).abs() < 1e-9);
        assert!(psi(&one, 20.0).abs() < 1e-9);
        for points in [
            vec![(0.0, 40.0), (5.0, 35.0), (10.0, 20.0)],
            vec![(0.0, 40.0), (5.0, 35.0), (10.0, 20.0), (12.0, 1.0)],
            vec![(1.0, 40.0), (5.0, 35.0)],
        ] {
            let through = curve(&points).unwrap();
            for (gpm, expected) in points {
                assert!((psi(&through, gpm) - expected).abs() < 1e-9, "{gpm}");
            }
        }
    }

    #[test]
    fn half_speed_is_half_flow_and_a_quarter_of_the_gain() {
        for points in [
            vec![(0.0, 40.0), (5.0, 35.0), (10.0, 20.0)],
            vec![(1.0, 40.0), (5.0, 35.0)],
        ] {
            let full = curve(&points).unwrap();
            let half = full.clone().at_speed(0.5).unwrap();
            assert!((psi(&half, 2.5) - psi(&full, 5.0) / 4.0).abs() < 1e-9);
        }
    }

    #[test]
    fn slopes_are_those_of_the_curve_and_nonsense_is_refused() {
        for pump in [
            curve(&[(0.0, 40.0), (5.0, 35.0), (10.0, 20.0)]).unwrap(),
            curve(&[(10.0, 30.0)]).unwrap(),
            PumpCurve::of_power(Power::from_watts(50.0)).unwrap(),
        ] {
            let flow = pump.design_flow_m3_per_s();
            let step = flow * 1e-6;
            let (before, after) = (
                pump.gain_and_slope(flow - step).0,
                pump.gain_and_slope(flow + step).0,
            );
            let slope = pump.gain_and_slope(flow).1;
            assert!(((after - before) / (2.0 * step) / slope - 1.0).abs() < 1e-5);
        }
        assert_eq!(curve(&[]), Err(WaterError::CurveEmpty));
        assert!(curve(&[(0.0, 40.0), (5.0, 41.0)]).is_err());
        assert!(curve(&[(10.0, f64::NAN)]).is_err());
        assert!(PumpCurve::of_power(Power::from_watts(-1.0)).is_err());
    }
}
