//! Friction of flow in a full round pipe, from laminar through transition to turbulent, without a jump or a kink.
//!
//! In: Reynolds number and relative roughness. Out: the Darcy friction factor. Start at [`darcy_friction`].
//! Does not know pipes or water: `path` puts them in.
//!
//! The rule of transition, stated because correlations disagree most where house branches run (Re 2000 to 5000):
//! - laminar, f = 64/Re, to Re 2000;
//! - turbulent, Colebrook-White solved to the last digit, from Re 4000;
//! - between, the logarithm of the loss number f·Re² follows the one cubic in log Re that meets both ends in value and
//!   slope. The loss rises throughout and its slope is continuous, which a search by Newton's steps needs.
//!
//! The limits 2000 and 4000 are those of a widely used network solver; its own cubic lies some 7 % lower at Re 2839, and
//! Colebrook carried down to Re 2040 lies 30 % higher there. No rule is right in this range: flow there is unsteady.

use crate::error::{WaterError, in_range};

/// Where laminar flow ends.
pub(crate) const LAMINAR_RE: f64 = 2000.0;
/// Where turbulent flow begins.
pub(crate) const TURBULENT_RE: f64 = 4000.0;
/// 2 log₁₀ x = this · ln x.
const TWO_LOG10: f64 = 2.0 / std::f64::consts::LN_10;

/// Darcy friction factor at any flow.
///
/// f = 64/Re for Re ≤ 2000; 1/√f = −2 log₁₀( k/3.7 + 2.51/(Re √f) ) for Re ≥ 4000; a cubic of log(f·Re²) between
///
/// # Symbols
/// | here   | meaning                             | unit |
/// |--------|-------------------------------------|------|
/// | `re`   | Reynolds number Re                  | –    |
/// | `k`    | wall roughness ÷ inside diameter    | –    |
/// | result | Darcy (not Fanning) friction factor | –    |
///
/// # Valid
/// 1e-6 ≤ Re ≤ 1e8 and 0 ≤ k ≤ 0.05.
/// # Outside
/// [`WaterError::OutOfRange`].
/// # Assumes
/// Full pipe, steady flow, one viscosity across the bore. Between Re 2000 and 4000 the true value is unsteady, anywhere
/// from the laminar to the turbulent line.
/// # Source
/// Colebrook 1939 and White; laminar law of Poiseuille (handbook of the project, section 3); range limits as in a public
/// network solver. The cubic is this project's.
/// # Example
/// ```
/// let f = water::friction::darcy_friction(1e5, 1e-4)?;
/// // The implicit Colebrook root, solved independently by a general library: 0.018513866.
/// assert!((f - 0.018_513_866).abs() < 1e-8);
/// # Ok::<(), water::WaterError>(())
/// ```
pub fn darcy_friction(re: f64, k: f64) -> Result<f64, WaterError> {
    let re = in_range("the Reynolds number", re, 1e-6, RE_MAX, "")?;
    let k = in_range("the relative roughness", k, 0.0, ROUGHNESS_MAX, "")?;
    Ok(loss_number(re, k).0 / (re * re))
}

/// Largest Reynolds number the law is stated for.
pub(crate) const RE_MAX: f64 = 1e8;
/// Largest relative roughness the law is stated for.
pub(crate) const ROUGHNESS_MAX: f64 = 0.05;

/// The loss number f·Re² and its slope with Re; zero and 64 at rest. Rising and smooth in Re.
pub(crate) fn loss_number(re: f64, k: f64) -> (f64, f64) {
    if re <= LAMINAR_RE {
        return (64.0 * re, 64.0);
    }
    let (number, power) = if re >= TURBULENT_RE {
        turbulent(re, k)
    } else {
        transition(re, k)
    };
    (number, number * power / re)
}

/// Turbulent loss number, and the power of Re with which it grows there.
fn turbulent(re: f64, k: f64) -> (f64, f64) {
    let rough = k / 3.7;
    let thin = 2.51 / re;
    // x = 1/√f solves x + 2 log₁₀(rough + thin·x) = 0. Haaland's form starts within 2 %; Newton's steps square the
    // error each time, so three reach the last digit.
    let mut x = -0.9 * TWO_LOG10 * (rough.powf(1.11) + 6.9 / re).ln();
    for _ in 0..3 {
        let inside = rough + thin * x;
        x -= (x + TWO_LOG10 * inside.ln()) / (1.0 + TWO_LOG10 * thin / inside);
    }
    let bend = TWO_LOG10 * thin;
    let slope_of_ln_f = -2.0 * bend / (rough + thin * x + bend);
    ((re / x).powi(2), 2.0 + slope_of_ln_f)
}

/// Loss number between the regimes, and the power of Re with which it grows there.
fn transition(re: f64, k: f64) -> (f64, f64) {
    let width = (TURBULENT_RE / LAMINAR_RE).ln();
    let start = (64.0 * LAMINAR_RE).ln();
    let (end_number, end_power) = turbulent(TURBULENT_RE, k);
    let end = end_number.ln();
    let t = (re / LAMINAR_RE).ln() / width;
    // Hermite's cubic; the laminar power of Re is 1.
    let (t2, t3) = (t * t, t * t * t);
    let rise = 3.0 * t2 - 2.0 * t3;
    let value = start + (end - start) * rise + width * ((t3 - 2.0 * t2 + t) + end_power * (t3 - t2));
    let slope = (end - start) * 6.0 * (t - t2) / width
        + (3.0 * t2 - 4.0 * t + 1.0)
        + end_power * (3.0 * t2 - 2.0 * t);
    (value.exp(), slope)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn laminar_flow_is_poiseuille() {
        for re in [1.0, 500.0, 1500.0, 2000.0] {
            assert!((darcy_friction(re, 1e-4).unwrap() * re / 64.0 - 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn nonsense_is_refused() {
        for (re, k) in [
            (0.0, 0.0),
            (-1.0, 0.0),
            (f64::NAN, 0.0),
            (1e9, 0.0),
            (1e5, -1e-9),
            (1e5, 0.06),
            (1e5, f64::NAN),
        ] {
            assert!(darcy_friction(re, k).is_err(), "{re} {k}");
        }
    }

    #[test]
    fn value_and_slope_are_continuous_at_both_ends() {
        for k in [0.0, 1e-5, 1e-3, 0.05] {
            for joint in [LAMINAR_RE, TURBULENT_RE] {
                let (below, above) = (
                    loss_number(joint * (1.0 - 1e-9), k),
                    loss_number(joint * (1.0 + 1e-9), k),
                );
                assert!((below.0 / above.0 - 1.0).abs() < 1e-8, "value at {joint}, {k}");
                assert!(
                    (below.1 / above.1 - 1.0).abs() < 1e-6,
                    "slope at {joint}, {k}: {below:?} {above:?}"
                );
            }
        }
    }

    proptest! {
        #[test]
        fn the_loss_rises_and_its_slope_is_its_own(log_re in -3.0_f64..8.0, k in 0.0_f64..0.05) {
            let re = 10_f64.powf(log_re);
            let step = re * 1e-6;
            let (here, slope) = loss_number(re, k);
            let (before, after) = (loss_number(re - step, k).0, loss_number(re + step, k).0);
            prop_assert!(before < here && here < after);
            let difference = (after - before) / (2.0 * step);
            prop_assert!((slope / difference - 1.0).abs() < 1e-4, "{slope} {difference}");
        }

        #[test]
        fn rougher_never_loses_less(log_re in 0.0_f64..8.0, k in 0.0_f64..0.049, more in 0.0_f64..0.001) {
            let re = 10_f64.powf(log_re);
            prop_assert!(loss_number(re, k + more).0 >= loss_number(re, k).0 * (1.0 - 1e-14));
        }

        #[test]
        fn colebrook_is_met_to_the_last_digits(log_re in 3.603_f64..8.0, k in 0.0_f64..0.05) {
            let re = 10_f64.powf(log_re);
            let f = darcy_friction(re, k).unwrap();
            let right = -2.0 * (k / 3.7 + 2.51 / (re * f.sqrt())).log10();
            prop_assert!((1.0 / f.sqrt() / right - 1.0).abs() < 1e-12);
        }
    }
}
