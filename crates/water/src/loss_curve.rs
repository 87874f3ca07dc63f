//! Pressure a device takes as the flow through it grows: heater, meter, filter, the street main.
//!
//! In: points from a data sheet, or one point and a power. Out: loss and slope at any flow. Start at
//! [`LossCurve::through`]. Does not know what the device is.
//!
//! Between points the loss goes as a power of the flow (straight in logarithms), so it rises and meets every point.
//! Below the first point the first pair's power goes on. Beyond the last point nothing is published: the loss goes on
//! with the square of the flow or the last pair's power, whichever is steeper, the cautious side; whoever asks is told
//! ([`LossCurve::covers`]).

use crate::error::{WaterError, in_range, within};
use quantity::{PressureDifference, VolumeFlow};

/// A pressure loss that rises with flow.
#[derive(Debug, Clone, PartialEq)]
pub struct LossCurve {
    /// Each piece begins at the previous piece's end, the first at zero flow; the last has no end.
    pieces: Vec<Piece>,
    most_m3_per_s: f64,
}

/// loss = `loss_pa` · (flow ÷ `flow_m3_per_s`)^`power`, up to `to_m3_per_s`.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Piece {
    to_m3_per_s: f64,
    flow_m3_per_s: f64,
    loss_pa: f64,
    power: f64,
}

impl LossCurve {
    /// A loss through published points.
    ///
    /// # Errors
    /// When no point has a flow above zero, flows or losses do not rise from point to point, or a value is outside 0 to
    /// 200 gpm and 0 to 1000 psi.
    ///
    /// ```
    /// use quantity::{PressureDifference, VolumeFlow};
    /// use water::LossCurve;
    /// let gpm = VolumeFlow::from_gallons_per_minute;
    /// let curve = LossCurve::through(&[(gpm(2.0), PressureDifference::from_psi(4.0)), (gpm(4.0), PressureDifference::from_psi(16.0))])?;
    /// // Both points lie on a square law, so 3 gpm takes 9 psi.
    /// assert!((curve.loss(gpm(3.0))?.as_psi() - 9.0).abs() < 1e-9);
    /// # Ok::<(), water::WaterError>(())
    /// ```
    pub fn through(points: &[(VolumeFlow, PressureDifference)]) -> Result<Self, WaterError> {
        let mut taken: Vec<(f64, f64)> = Vec::with_capacity(points.len());
        for (flow, loss) in points {
            let flow =
                within("the flow of a loss curve", *flow, 0.0, 200.0, "gpm")?.as_cubic_meters_per_second();
            let loss = within("the loss of a loss curve", *loss, 0.0, 1000.0, "psi")?.as_pascals();
            if flow > 0.0 {
                taken.push((flow, loss));
            }
        }
        let falls = |index| WaterError::CurveFalls { index };
        for (index, pair) in taken.windows(2).enumerate() {
            if pair[1].0 <= pair[0].0 || pair[1].1 <= pair[0].1 {
                return Err(falls(index + 1));
            }
        }
        let (first, last) = (taken.first(), taken.last());
        let (Some(&first), Some(&last)) = (first, last) else {
            return Err(WaterError::CurveEmpty);
        };
        if first.1 <= 0.0 {
            return Err(falls(0));
        }
        let power = |from: (f64, f64), to: (f64, f64)| (to.1 / from.1).ln() / (to.0 / from.0).ln();
        let piece = |to_m3_per_s, through: (f64, f64), power| Piece {
            to_m3_per_s,
            flow_m3_per_s: through.0,
            loss_pa: through.1,
            power,
        };
        let first_power = taken.get(1).map_or(2.0, |second| power(first, *second));
        // A power below one would be endlessly steep at rest.
        let mut pieces = vec![piece(first.0, first, first_power.max(1.0))];
        for pair in taken.windows(2) {
            pieces.push(piece(pair[1].0, pair[0], power(pair[0], pair[1])));
        }
        let last_power = pieces.last().map_or(2.0, |piece| piece.power.max(2.0));
        pieces.push(piece(f64::INFINITY, last, last_power));
        Ok(Self {
            pieces,
            most_m3_per_s: last.0,
        })
    }

    /// A loss that goes with a power of the flow through one known point: Δp = Δp₁ (Q/Q₁)ⁿ, at any flow.
    ///
    /// # Errors
    /// When the power is not from 1 to 3 or the point is outside the ranges of [`LossCurve::through`].
    pub fn power_law(flow: VolumeFlow, loss: PressureDifference, power: f64) -> Result<Self, WaterError> {
        let power = in_range("the power of a loss curve", power, 1.0, 3.0, "")?;
        let mut curve = Self::through(&[(flow, loss)])?;
        for piece in &mut curve.pieces {
            piece.power = power;
        }
        curve.most_m3_per_s = f64::INFINITY;
        Ok(curve)
    }

    /// The loss at a flow.
    ///
    /// # Errors
    /// When the flow is not from 0 to 200 gpm.
    pub fn loss(&self, flow: VolumeFlow) -> Result<PressureDifference, WaterError> {
        let flow = within("the flow", flow, 0.0, 200.0, "gpm")?;
        Ok(PressureDifference::from_pascals(
            self.loss_and_slope(flow.as_cubic_meters_per_second()).0,
        ))
    }

    /// Whether the published points reach this flow.
    pub fn covers(&self, flow: VolumeFlow) -> bool {
        flow.as_cubic_meters_per_second() <= self.most_m3_per_s * (1.0 + 1e-9)
    }

    /// Loss in Pa and its slope in Pa per m³/s.
    pub(crate) fn loss_and_slope(&self, flow_m3_per_s: f64) -> (f64, f64) {
        if flow_m3_per_s <= 0.0 {
            return (0.0, 0.0);
        }
        let piece = self
            .pieces
            .iter()
            .find(|piece| flow_m3_per_s <= piece.to_m3_per_s);
        let Some(piece) = piece.or(self.pieces.last()) else {
            return (0.0, 0.0);
        };
        let loss = piece.loss_pa * (flow_m3_per_s / piece.flow_m3_per_s).powf(piece.power);
        (loss, loss * piece.power / flow_m3_per_s)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn curve(points: &[(f64, f64)]) -> Result<LossCurve, WaterError> {
        let points: Vec<_> = points
            .iter()
            .map(|(gpm, psi)| {
                (
                    VolumeFlow::from_gallons_per_minute(*gpm),
                    PressureDifference::from_psi(*psi),
                )
            })
            .collect();
        LossCurve::through(&points)
    }

    fn psi(curve: &LossCurve, gpm: f64) -> f64 {
        curve
            .loss(VolumeFlow::from_gallons_per_minute(gpm))
            .unwrap()
            .as_psi()
    }

    #[test]
    fn every_point_is_met() {
        let points = [(0.0, 0.0), (1.0, 1.2), (2.0, 4.0), (3.0, 8.5)];
        let curve = curve(&points).unwrap();
        for (gpm, expected) in points {
            assert!((psi(&curve, gpm) - expected).abs() < 1e-9, "{gpm}");
        }
        assert!(curve.covers(VolumeFlow::from_gallons_per_minute(3.0)));
        assert!(!curve.covers(VolumeFlow::from_gallons_per_minute(3.1)));
        // Beyond the last point at least a square law: 6 gpm takes at least four times 8.5 psi.
        assert!(psi(&curve, 6.0) >= 34.0 - 1e-9);
    }

    #[test]
    fn one_point_is_a_square_law() {
        // 8 psi at 3 gpm: 2 psi at 1.5 gpm (arithmetic).
        assert!((psi(&curve(&[(3.0, 8.0)]).unwrap(), 1.5) - 2.0).abs() < 1e-9);
        let law = LossCurve::power_law(
            VolumeFlow::from_gallons_per_minute(3.0),
            PressureDifference::from_psi(8.0),
            1.8,
        )
        .unwrap();
        assert!((psi(&law, 6.0) - 8.0 * 2.0_f64.powf(1.8)).abs() < 1e-9);
        assert!(law.covers(VolumeFlow::from_gallons_per_minute(100.0)));
    }

    #[test]
    fn curves_that_do_not_rise_are_refused() {
        assert_eq!(curve(&[]), Err(WaterError::CurveEmpty));
        assert_eq!(curve(&[(0.0, 0.0)]), Err(WaterError::CurveEmpty));
        assert_eq!(
            curve(&[(1.0, 2.0), (2.0, 2.0)]),
            Err(WaterError::CurveFalls { index: 1 })
        );
        assert_eq!(
            curve(&[(1.0, 2.0), (1.0, 3.0)]),
            Err(WaterError::CurveFalls { index: 1 })
        );
        assert!(curve(&[(1.0, 0.0)]).is_err());
        assert!(curve(&[(1.0, f64::NAN)]).is_err() && curve(&[(-1.0, 1.0)]).is_err());
    }

    proptest! {
        #[test]
        fn the_loss_rises_with_its_slope(
            steps in proptest::collection::vec((0.1_f64..3.0, 0.1_f64..10.0), 1..6),
            at in 0.01_f64..20.0,
        ) {
            let mut sum = (0.0, 0.0);
            let points: Vec<(f64, f64)> = steps.iter().map(|(q, p)| { sum = (sum.0 + q, sum.1 + p); sum }).collect();
            let curve = curve(&points).unwrap();
            let flow = VolumeFlow::from_gallons_per_minute(at).as_cubic_meters_per_second();
            let (loss, slope) = curve.loss_and_slope(flow);
            let more = curve.loss_and_slope(flow * 1.001).0;
            prop_assert!(loss > 0.0 && more > loss && slope.is_finite());
            let step = flow * 1e-7;
            let ahead = (curve.loss_and_slope(flow + step).0 - loss) / step;
            let behind = (loss - curve.loss_and_slope(flow - step).0) / step;
            // At a point of the curve the slope is one side's.
            prop_assert!((slope / ahead - 1.0).abs() < 1e-3 || (slope / behind - 1.0).abs() < 1e-3);
        }
    }
}
