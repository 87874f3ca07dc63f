//! Axes: which range, which ticks, and where a value stands.
//!
//! In: the values an axis must cover. Out: a [`Scale`]. Ticks stand at round numbers (1, 2 or 5 times a power of ten) or
//! at named places. Total on any input: without finite values the axis runs from 0 to 1.

use super::Ticks;

/// Fewest and most steps between ticks that a chart of this size carries.
const STEPS_WANTED: f64 = 6.0;

/// An axis ready to place values on.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Scale {
    pub(crate) low: f64,
    pub(crate) high: f64,
    /// Places with a tick, and what is written there.
    pub(crate) ticks: Vec<(f64, String)>,
}

impl Scale {
    /// The scale for these values.
    pub(crate) fn covering(values: &[f64], ticks: &Ticks) -> Self {
        match ticks {
            Ticks::Round { from_zero } => round_scale(values, *from_zero),
            Ticks::Named(places) => named_scale(values, places),
        }
    }

    /// The same scale ending where the values end, so that curves reach the edge of the plot; ticks beyond are dropped.
    pub(crate) fn ending_at(self, values: &[f64]) -> Self {
        match range(values.iter().copied()) {
            Some((_, high)) if high > self.low + (self.high - self.low) * 0.5 && high < self.high => Self {
                ticks: self.ticks.into_iter().filter(|(at, _)| *at <= high).collect(),
                high,
                ..self
            },
            _ => self,
        }
    }

    /// Share of the way from the lower end to the upper end, within 0 and 1.
    pub(crate) fn share(&self, value: f64) -> f64 {
        ((value - self.low) / (self.high - self.low)).clamp(0.0, 1.0)
    }
}

/// The values and one a little above the highest, so that no curve runs along the upper edge of the plot.
pub(crate) fn with_headroom(mut values: Vec<f64>) -> Vec<f64> {
    let low = values.iter().copied().fold(f64::INFINITY, f64::min);
    let high = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    values.push(high + (high - low) * 0.04);
    values
}

fn range(values: impl Iterator<Item = f64>) -> Option<(f64, f64)> {
    values
        // Beyond this, steps vanish in rounding; no quantity of a house comes near.
        .filter(|value| value.is_finite() && value.abs() < 1e12)
        .map(|value| (value, value))
        .reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))
}

fn round_scale(values: &[f64], from_zero: bool) -> Scale {
    let zero = from_zero.then_some(0.0);
    let (low, high) = range(values.iter().copied().chain(zero)).unwrap_or((0.0, 1.0));
    // A single value gets an axis of a size that suits it.
    let least_span = (low.abs().max(high.abs()) * 1e-6).max(1e-9);
    let (low, high) = if high - low < least_span {
        let room = (low.abs() * 0.1).max(0.5);
        if from_zero && low.abs() < least_span {
            (0.0, 1.0)
        } else {
            (low - room, high + room)
        }
    } else {
        (low, high)
    };
    let step = round_step((high - low) / STEPS_WANTED);
    let (first, last) = ((low / step + 1e-9).floor(), (high / step - 1e-9).ceil());
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "at most a few dozen ticks"
    )]
    let count = (last - first).clamp(1.0, 60.0) as u32;
    let decimals = decimals_of(step);
    let ticks = (0..=count)
        .map(|at| {
            let value = (first + f64::from(at)) * step;
            (value, tick_text(value, decimals))
        })
        .collect();
    Scale {
        low: first * step,
        high: (first + f64::from(count)) * step,
        ticks,
    }
}

fn named_scale(values: &[f64], places: &[(f64, String)]) -> Scale {
    let ticks: Vec<(f64, String)> = places.iter().filter(|(at, _)| at.is_finite()).cloned().collect();
    let all = values.iter().copied().chain(ticks.iter().map(|(at, _)| *at));
    let (low, high) = range(all).unwrap_or((0.0, 1.0));
    // Half a place of air at both ends.
    let room = if high > low {
        (high - low) * 0.4 / (ticks.len().max(2) - 1) as f64
    } else {
        0.5
    };
    Scale {
        low: low - room,
        high: high + room,
        ticks,
    }
}

/// The smallest of 1, 2, 5 times a power of ten that is at least `least`.
///
/// ```text
/// 0.03 -> 0.05   7 -> 10   20 -> 20
/// ```
pub(crate) fn round_step(least: f64) -> f64 {
    let power = 10_f64.powf(least.log10().floor());
    [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|factor| factor * power)
        .find(|step| *step >= least * (1.0 - 1e-9))
        .unwrap_or(10.0 * power)
}

fn decimals_of(step: f64) -> usize {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to 12")]
    let decimals = (-step.log10().floor()).clamp(0.0, 12.0) as usize;
    decimals
}

fn tick_text(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    // Rounding may leave a minus sign before nothing.
    match text.strip_prefix('-') {
        Some(rest) if rest.chars().all(|c| matches!(c, '0' | '.')) => rest.to_owned(),
        _ => text.replace('-', "−"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn texts(values: &[f64], from_zero: bool) -> Vec<String> {
        let scale = Scale::covering(values, &Ticks::Round { from_zero });
        scale.ticks.into_iter().map(|(_, text)| text).collect()
    }

    #[test]
    fn steps_are_one_two_five() {
        for (least, step) in [
            (0.03, 0.05),
            (7.0, 10.0),
            (20.0, 20.0),
            (0.1, 0.1),
            (1.5, 2.0),
            (501.0, 1000.0),
        ] {
            assert!((round_step(least) / step - 1.0).abs() < 1e-12, "{least}");
        }
    }

    #[test]
    fn ticks_read_well() {
        assert_eq!(
            texts(&[0.0, 3.0], true),
            ["0.0", "0.5", "1.0", "1.5", "2.0", "2.5", "3.0"]
        );
        assert_eq!(
            texts(&[62.0, 121.0], false),
            ["60", "70", "80", "90", "100", "110", "120", "130"]
        );
        assert_eq!(texts(&[-5.0, 5.0], false), ["−6", "−4", "−2", "0", "2", "4", "6"]);
        assert_eq!(texts(&[], true).first().map(String::as_str), Some("0.0"));
        assert_eq!(
            texts(&[f64::NAN, f64::INFINITY], false)
                .first()
                .map(String::as_str),
            Some("0.0")
        );
    }

    proptest! {
        #[test]
        fn any_values_are_covered(values in proptest::collection::vec(proptest::num::f64::ANY, 0..6), zero: bool) {
            let scale = Scale::covering(&values, &Ticks::Round { from_zero: zero });
            prop_assert!(scale.low < scale.high && scale.low.is_finite() && scale.high.is_finite());
            prop_assert!((2..=61).contains(&scale.ticks.len()), "{:?}", scale.ticks);
            let reach = (scale.high - scale.low) * 1e-6;
            for value in values.iter().filter(|value| value.is_finite() && value.abs() < 1e12) {
                prop_assert!(*value >= scale.low - reach && *value <= scale.high + reach, "{value} {scale:?}");
            }
        }
    }
}
