//! The power of an on-demand heater, minute by minute, from the draws behind it.

use quantity::{Power, VolumeFlow};

/// A stretch of time in which a fixture wants hot water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HotUse {
    /// Start, seconds from the first minute.
    pub start_s: f64,
    /// Duration, seconds.
    pub duration_s: f64,
    /// Power that heats its flow to the temperature of use.
    pub power: Power,
    /// Its flow through the heater.
    pub hot_flow: VolumeFlow,
}

/// What bounds a heater.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeaterLimits {
    /// Power it really delivers at its real voltage.
    pub rating: Power,
    /// Flow below which it does not heat.
    pub activation: VolumeFlow,
}

/// Adds the mean power of each minute to `minutes_w`.
///
/// P(t) = min( Pr, Σ Pᵢ(t) ) while Σ Qᵢ(t) ≥ Qa, else 0; each minute gets its mean
///
/// # Symbols
/// | here        | meaning                                              | unit |
/// |-------------|------------------------------------------------------|------|
/// | `uses`      | Pᵢ, Qᵢ from start to start + duration; any order     | W, m³/s |
/// | `heater`    | rating Pr, activation flow Qa                        | W, m³/s |
/// | `minutes_w` | mean power of each minute, added to                  | W    |
///
/// # Valid
/// Finite uses. What lies outside the minutes given is cut off.
/// # Outside
/// A use that is no number, or shorter than nothing, is left out.
/// # Assumes
/// Power follows the flow at once, up to the rating: no delay, no overshoot. Stages that switch on and off have this mean;
/// within a minute they reach their full power, up to the rating.
/// # Source
/// Power from flow and rise: [`crate::heating::power_needed`]. Lesson 4 of field practice: power at a fixture depends on
/// its mixed flow and temperature, not on the set point (derived there).
/// # Example
/// ```
/// use quantity::{Power, VolumeFlow};
/// use water::draws::{HeaterLimits, HotUse, power_by_minute};
/// let shower = |start_s| HotUse {
///     start_s, duration_s: 90.0, power: Power::from_kilowatts(16.0), hot_flow: VolumeFlow::from_gallons_per_minute(1.5),
/// };
/// let heater = HeaterLimits {
///     rating: Power::from_kilowatts(24.0), activation: VolumeFlow::from_gallons_per_minute(0.5),
/// };
/// let mut minutes_w = [0.0; 4];
/// power_by_minute(&mut vec![shower(0.0), shower(60.0)], heater, &mut minutes_w);
/// // 16 kW; then half a minute of two, held at 24, and half of one: 20; then 16; then nothing.
/// assert_eq!(minutes_w, [16_000.0, 20_000.0, 8_000.0, 0.0]);
/// ```
pub fn power_by_minute(uses: &mut Vec<HotUse>, heater: HeaterLimits, minutes_w: &mut [f32]) {
    uses.retain(|one| {
        let whole = one.start_s.is_finite() && one.power.is_finite() && one.hot_flow.is_finite();
        whole && one.duration_s.is_finite() && one.duration_s > 0.0
    });
    uses.sort_by(|a, b| a.start_s.total_cmp(&b.start_s));
    let mut running: Vec<HotUse> = Vec::new();
    let mut at_s = f64::NEG_INFINITY;
    let mut next = 0;
    while next < uses.len() || !running.is_empty() {
        let starts = uses.get(next).map_or(f64::INFINITY, |one| one.start_s);
        let ends = running
            .iter()
            .map(|one| one.start_s + one.duration_s)
            .fold(f64::INFINITY, f64::min);
        let until_s = starts.min(ends);
        if !running.is_empty() {
            let flow: VolumeFlow = running.iter().map(|one| one.hot_flow).sum();
            if flow >= heater.activation {
                let wanted: Power = running.iter().map(|one| one.power).sum();
                spread(wanted.min(heater.rating).as_watts(), at_s, until_s, minutes_w);
            }
        }
        at_s = until_s;
        running.retain(|one| one.start_s + one.duration_s > until_s);
        while let Some(one) = uses.get(next).filter(|one| one.start_s <= until_s) {
            running.push(*one);
            next += 1;
        }
    }
}

/// Adds a power that lasts from one moment to another to the minutes it touches.
fn spread(power_w: f64, from_s: f64, until_s: f64, minutes_w: &mut [f32]) {
    #[allow(clippy::cast_precision_loss, reason = "minutes of a year")]
    let last_s = minutes_w.len() as f64 * 60.0;
    let (mut at_s, until_s) = (from_s.max(0.0), until_s.min(last_s));
    while at_s < until_s {
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "within the minutes given"
        )]
        let minute = (at_s / 60.0) as usize;
        #[allow(clippy::cast_precision_loss, reason = "minutes of a year")]
        let end_s = ((minute + 1) as f64 * 60.0).min(until_s);
        let Some(mean) = minutes_w.get_mut(minute) else {
            return;
        };
        #[allow(
            clippy::cast_possible_truncation,
            reason = "seven digits are enough for a power"
        )]
        {
            *mean += (power_w * (end_s - at_s) / 60.0) as f32;
        }
        at_s = end_s;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn one(start_s: f64, duration_s: f64, kilowatts: f64, gpm: f64) -> HotUse {
        HotUse {
            start_s,
            duration_s,
            power: Power::from_kilowatts(kilowatts),
            hot_flow: VolumeFlow::from_gallons_per_minute(gpm),
        }
    }

    fn minutes(mut uses: Vec<HotUse>, rating_kw: f64) -> Vec<f32> {
        let heater = HeaterLimits {
            rating: Power::from_kilowatts(rating_kw),
            activation: VolumeFlow::from_gallons_per_minute(0.4),
        };
        let mut minutes_w = vec![0.0; 60];
        power_by_minute(&mut uses, heater, &mut minutes_w);
        minutes_w
    }

    #[test]
    fn a_trickle_does_not_start_it_but_joins_another() {
        assert!(
            minutes(vec![one(0.0, 600.0, 3.0, 0.3)], 27.0)
                .iter()
                .all(|power_w| *power_w < 1.0)
        );
        let joined = minutes(vec![one(0.0, 60.0, 3.0, 0.3), one(0.0, 60.0, 3.0, 0.3)], 27.0);
        assert!((joined[0] - 6000.0).abs() < 1.0);
    }

    #[test]
    fn the_handbook_draw_reads_as_it_says() {
        // Field practice, lesson 9: 27 kW for 8 min reads as 14.4 kW in 15 minutes and as 3.6 kW in an hour.
        let found = minutes(vec![one(120.0, 480.0, 40.0, 4.0)], 27.0);
        let mean = |count: usize| found[..count].iter().sum::<f32>() / count as f32;
        assert!((mean(15) - 14_400.0).abs() < 1.0 && (mean(60) - 3_600.0).abs() < 1.0);
    }

    proptest! {
        #[test]
        fn energy_is_kept_and_the_rating_never_passed(
            given in proptest::collection::vec((-300.0_f64..3900.0, 1.0_f64..900.0, 0.5_f64..20.0), 0..20),
            rating in 1.0_f64..40.0,
        ) {
            let uses: Vec<HotUse> = given.iter().map(|(start, long, kw)| one(*start, *long, *kw, 1.0)).collect();
            let held = minutes(uses.clone(), rating);
            prop_assert!(held.iter().all(|power_w| f64::from(*power_w) <= rating * 1000.0 * 1.0001));
            // Without a limit the minutes hold the energy of every use within the hour.
            let free = minutes(uses, 1e6);
            let wanted: f64 = given.iter().map(|(start, long, kw)| {
                let inside = (start + long).min(3600.0) - start.max(0.0);
                kw * 1000.0 * inside.max(0.0)
            }).sum();
            let found: f64 = free.iter().map(|power_w| f64::from(*power_w) * 60.0).sum();
            prop_assert!((found - wanted).abs() <= 1e-3 * wanted.max(1000.0), "{found} {wanted}");
            prop_assert!(held.iter().zip(&free).all(|(held, free)| *held <= free * 1.0001 + 0.01));
        }
    }
}
