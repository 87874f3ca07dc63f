//! Small exponential forms that stay exact for short times.

/// Mean of e^(k s) for s from `from` to `to`.
pub(super) fn mean_exp(k: f64, from: f64, to: f64) -> f64 {
    let span = k * (to - from);
    let middle = k * from + 0.5 * span;
    if span.abs() < SMALL {
        // An event lasts seconds and loss takes half an hour: the series is exact to the last digits and far quicker.
        let square = span * span;
        let around = 1.0 + square / 24.0 * (1.0 + square / 80.0);
        return around * left_after(-middle);
    }
    (k * from).exp() * span.exp_m1() / span
}

const SMALL: f64 = 0.02;

/// e^(−x).
pub(super) fn left_after(x: f64) -> f64 {
    if x.abs() < SMALL { series(-x) } else { (-x).exp() }
}

/// e^a for small a, to the last digits.
fn series(a: f64) -> f64 {
    1.0 + a * (1.0 + a / 2.0 * (1.0 + a / 3.0 * (1.0 + a / 4.0 * (1.0 + a / 5.0 * (1.0 + a / 6.0)))))
}

/// Number of cuts that keep `change` within `fine` each.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "held between 0 and a small number; one that is none gives one cut"
)]
pub(super) fn cuts(change: f64, fine: f64) -> u32 {
    1 + (change / fine).clamp(0.0, CUTS_MAX) as u32
}

const CUTS_MAX: f64 = 63.0;

/// Share of the way at which a value that runs from `start` toward `goal` as 1 − e^(−s) passes `mark`, as s; none when
/// it never does.
pub(super) fn passes_after(start: f64, goal: f64, mark: f64) -> Option<f64> {
    let ratio = (goal - start) / (goal - mark);
    (ratio.is_finite() && ratio >= 1.0).then(|| ratio.ln())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn means_and_passings() {
        assert!((mean_exp(1.0, 3.0, 3.0) / 3.0_f64.exp() - 1.0).abs() < 1e-15);
        assert!((mean_exp(0.0, 1.0, 5.0) - 1.0).abs() < 1e-15);
        assert!((mean_exp(1.0, 0.0, 1.0) - (1.0_f64.exp() - 1.0)).abs() < 1e-15);
        for (k, from, to) in [
            (0.01, 1.0, 1.5),
            (-0.004, 2.0, 5.0),
            (0.0199, 0.0, 1.0),
            (1e-6, 3.0, 3.0),
        ] {
            let plain: f64 = (0..1000)
                .map(|at| (k * (from + (to - from) * (f64::from(at) + 0.5) / 1000.0)).exp())
                .sum::<f64>()
                / 1000.0;
            assert!((mean_exp(k, from, to) / plain - 1.0).abs() < 1e-10);
        }
        assert!((mean_exp(1e-9, 0.0, 1.0) - (1.0 + 5e-10)).abs() < 1e-15);
        assert!((passes_after(0.0, 1.0, 0.5).unwrap() - 2.0_f64.ln()).abs() < 1e-15);
        assert_eq!(passes_after(0.0, 1.0, 1.5), None);
        assert_eq!(passes_after(0.0, 1.0, -0.5), None);
        assert_eq!(passes_after(0.0, 1.0, 1.0), None);
    }
}
