//! Chance with a seed: uniform, normal, Poisson.
//!
//! In: seed, year, day. Out: numbers, the same everywhere. The generator is `ChaCha8`; one stream a day, so any
//! day can be had without the days before it.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{RngCore, SeedableRng};

pub(super) struct Dice(ChaCha8Rng);

impl Dice {
    pub(super) fn of_day(seed: u64, year: u32, day: u32) -> Self {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        rng.set_stream(u64::from(year) << 32 | u64::from(day));
        Self(rng)
    }

    /// From 0, included, to 1, not included.
    pub(super) fn uniform(&mut self) -> f64 {
        // 53 bits, as many as the number holds.
        #[allow(clippy::cast_precision_loss, reason = "53 bits fit")]
        let bits = (self.0.next_u64() >> 11) as f64;
        bits / 9_007_199_254_740_992.0
    }

    /// Mean 0, deviation 1 (Box and Muller's way; one of its two).
    pub(super) fn normal(&mut self) -> f64 {
        // 1 − u is never 0.
        let radius = (-2.0 * (1.0 - self.uniform()).ln()).sqrt();
        radius * (std::f64::consts::TAU * self.uniform()).cos()
    }

    /// How many of a rare thing happen when `mean` are expected (Knuth's way, fit for small means).
    pub(super) fn poisson(&mut self, mean: f64) -> u32 {
        let limit = (-mean).exp();
        let (mut count, mut product) = (0, self.uniform());
        while product > limit && count < 1000 {
            count += 1;
            product *= self.uniform();
        }
        count
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn means_and_deviations_are_as_named() {
        let mut dice = Dice::of_day(7, 0, 0);
        let count = 20_000;
        let mean_of = |draw: &mut dyn FnMut() -> f64| {
            let all: Vec<f64> = (0..count).map(|_| draw()).collect();
            let mean = all.iter().sum::<f64>() / f64::from(count);
            let variance = all.iter().map(|one| (one - mean).powi(2)).sum::<f64>() / f64::from(count);
            (mean, variance)
        };
        // Five standard errors each.
        let (mean, variance) = mean_of(&mut || dice.uniform());
        assert!((mean - 0.5).abs() < 0.011 && (variance - 1.0 / 12.0).abs() < 0.003);
        let (mean, variance) = mean_of(&mut || dice.normal());
        assert!(mean.abs() < 0.036 && (variance - 1.0).abs() < 0.05);
        let (mean, variance) = mean_of(&mut || f64::from(dice.poisson(3.5)));
        assert!((mean - 3.5).abs() < 0.07 && (variance - 3.5).abs() < 0.2);
    }

    #[test]
    fn days_do_not_depend_on_each_other() {
        let first = |seed, year, day| Dice::of_day(seed, year, day).uniform();
        assert!((first(1, 2, 3) - first(1, 2, 3)).abs() < f64::EPSILON);
        for other in [first(1, 2, 4), first(1, 3, 3), first(2, 2, 3)] {
            assert!((first(1, 2, 3) - other).abs() > f64::EPSILON);
        }
    }
}
