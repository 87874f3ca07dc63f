//! When each fixture runs on a day.

use super::dice::Dice;
use crate::error::{WaterError, in_range};
use quantity::{Ratio, Time};

/// How a fixture is used.
#[derive(Debug, Clone, PartialEq)]
pub struct FixtureUse {
    /// Mean number of uses a day.
    pub uses_per_day: f64,
    /// Mean duration of a use.
    pub duration: Time,
    /// Standard deviation of the logarithm of the duration; 0 for uses of one length.
    pub duration_log_deviation: f64,
    /// Standard deviation of the share of the full flow.
    pub flow_deviation: Ratio,
    /// Shares of the hours of the day.
    pub hours: [f64; 24],
}

/// One use of a fixture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DrawEvent {
    /// Which fixture, in the order given.
    pub fixture: usize,
    /// Day, as numbered by the caller.
    pub day: u32,
    /// Start, seconds after that midnight, or after whatever [`Household::days`] was given as zero.
    pub start_s: f64,
    /// Duration, seconds; it may last beyond midnight.
    pub duration_s: f64,
    /// Share of the fixture's full flow.
    pub flow_share: f64,
}

/// People and fixtures.
#[derive(Debug, Clone, PartialEq)]
pub struct Household {
    uses: Vec<FixtureUse>,
    /// For each fixture, the share of the day's uses up to the end of each hour.
    up_to: Vec<[f64; 24]>,
}

const USES_MAX: f64 = 200.0;
const DURATION_MAX_S: f64 = 7200.0;
/// Nobody opens a tap less.
const SHARE_MIN: f64 = 0.25;

impl Household {
    /// A household of fixtures.
    ///
    /// # Errors
    /// [`WaterError::OutOfRange`] for more than 200 uses a day, a mean duration outside 1 s to 2 h, deviations outside 0 to
    /// 2, or hours whose shares are negative or all zero.
    pub fn new(uses: Vec<FixtureUse>) -> Result<Self, WaterError> {
        let mut up_to = Vec::with_capacity(uses.len());
        for one in &uses {
            in_range("uses a day", one.uses_per_day, 0.0, USES_MAX, "")?;
            in_range(
                "the duration",
                one.duration.as_seconds(),
                1.0,
                DURATION_MAX_S,
                "s",
            )?;
            in_range(
                "the deviation of the duration",
                one.duration_log_deviation,
                0.0,
                2.0,
                "",
            )?;
            in_range(
                "the deviation of the flow",
                one.flow_deviation.as_fraction(),
                0.0,
                2.0,
                "",
            )?;
            let total: f64 = one.hours.iter().sum();
            in_range("the shares of the hours", total, 1e-9, 1e9, "")?;
            let mut sum = 0.0;
            let mut shares = [0.0; 24];
            for (share, hour) in shares.iter_mut().zip(one.hours) {
                sum += in_range("the share of an hour", hour, 0.0, 1e9, "")?;
                *share = sum / total;
            }
            up_to.push(shares);
        }
        Ok(Self { uses, up_to })
    }

    /// The draws of a stretch of days, in order of their start: `midnights_s` says when each day begins, in seconds from
    /// any zero. A fixture that is still running when it is wanted again is waited for, so it never runs twice at once.
    pub fn days(&self, seed: u64, year: u32, midnights_s: impl IntoIterator<Item = f64>) -> Vec<DrawEvent> {
        let mut all = Vec::new();
        for (day, midnight_s) in (0_u32..).zip(midnights_s) {
            let first = all.len();
            self.day(seed, year, day, &mut all);
            for draw in &mut all[first..] {
                draw.start_s += midnight_s;
            }
        }
        all.sort_by(|a, b| a.start_s.total_cmp(&b.start_s));
        let mut free_from_s = vec![f64::NEG_INFINITY; self.uses.len()];
        for draw in &mut all {
            let free_s = &mut free_from_s[draw.fixture];
            draw.start_s = draw.start_s.max(*free_s);
            *free_s = draw.start_s + draw.duration_s;
        }
        all.sort_by(|a, b| a.start_s.total_cmp(&b.start_s));
        all
    }

    /// The draws of a day, added to `into` in no order; two of one fixture may overlap, see [`Household::days`].
    ///
    ///
    /// N ~ Poisson(n); hour by its share, minute evenly; t = t̄ · exp(σ z − σ²/2); s = min(1, |1 + v z|)
    ///
    /// # Symbols
    /// | here            | meaning                                                      | unit |
    /// |-----------------|--------------------------------------------------------------|------|
    /// | `uses_per_day`  | n                                                            | –    |
    /// | `duration`      | t̄; σ is `duration_log_deviation`                             | s    |
    /// | `flow_deviation`| v; the share s of the full flow is at least 0.25             | –    |
    /// | `seed`, `year`, `day` | name the day; the same names give the same draws       | –    |
    ///
    /// # Valid
    /// Any seed, year and day.
    /// # Outside
    /// Nothing: [`Household::new`] refuses what does not make sense.
    /// # Assumes
    /// Fixtures and uses do not depend on each other; the year has no season. A draw lasts at most two hours.
    /// # Source
    /// Poisson counts and lognormal durations are usual for water end uses (common practice); the numbers are the
    /// caller's, see `tables::draw_pattern`.
    /// # Example
    /// ```
    /// use quantity::{Ratio, Time};
    /// use water::draws::{FixtureUse, Household};
    /// let shower = FixtureUse {
    ///     uses_per_day: 2.0, duration: Time::from_minutes(8.0), duration_log_deviation: 0.4,
    ///     flow_deviation: Ratio::from_fraction(0.1), hours: [1.0; 24],
    /// };
    /// let household = Household::new(vec![shower])?;
    /// let mut draws = Vec::new();
    /// for day in 0..2000 {
    ///     household.day(1, 0, day, &mut draws);
    /// }
    /// // Two a day on 2000 days; the count of 4000 has a standard error of 63.
    /// assert!((draws.len() as f64 - 4000.0).abs() < 320.0);
    /// # Ok::<(), water::WaterError>(())
    /// ```
    pub fn day(&self, seed: u64, year: u32, day: u32, into: &mut Vec<DrawEvent>) {
        let mut dice = Dice::of_day(seed, year, day);
        for (fixture, (one, up_to)) in self.uses.iter().zip(&self.up_to).enumerate() {
            for _ in 0..dice.poisson(one.uses_per_day) {
                let chance = dice.uniform();
                let hour = up_to.iter().position(|share| chance < *share).unwrap_or(23);
                #[allow(clippy::cast_precision_loss, reason = "hours of a day")]
                let start_s = (hour as f64 + dice.uniform()) * 3600.0;
                let log = one.duration_log_deviation;
                let stretch = (log * dice.normal() - log * log / 2.0).exp();
                let duration_s = (one.duration.as_seconds() * stretch).min(DURATION_MAX_S);
                let open = 1.0 + one.flow_deviation.as_fraction() * dice.normal();
                into.push(DrawEvent {
                    fixture,
                    day,
                    start_s,
                    duration_s,
                    flow_share: open.abs().clamp(SHARE_MIN, 1.0),
                });
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn shower() -> FixtureUse {
        let pattern = tables::draw_pattern::draw_pattern(tables::draw_pattern::DrawFixture::Shower);
        FixtureUse {
            uses_per_day: 2.0,
            duration: pattern.duration,
            duration_log_deviation: pattern.duration_log_deviation,
            flow_deviation: pattern.flow_deviation,
            hours: pattern.hours,
        }
    }

    #[test]
    fn durations_have_the_published_mean_and_deviation() {
        let household = Household::new(vec![shower()]).unwrap();
        let mut draws = Vec::new();
        for day in 0..5000 {
            household.day(3, 1, day, &mut draws);
        }
        #[allow(clippy::cast_precision_loss, reason = "some thousands")]
        let count = draws.len() as f64;
        let minutes: Vec<f64> = draws.iter().map(|draw| draw.duration_s / 60.0).collect();
        let mean = minutes.iter().sum::<f64>() / count;
        let deviation = (minutes.iter().map(|one| (one - mean).powi(2)).sum::<f64>() / count).sqrt();
        // Hendron and Burch 2007 (memory): 7.81 min, deviation 3.52 min. Standard error of the mean of 10,000 is 0.035.
        assert!(
            (mean - 7.8).abs() < 0.2 && (deviation - 3.52).abs() < 0.25,
            "{mean} {deviation}"
        );
        // Nobody of the data set showered in the fifth hour after midnight; 45 of 275 did in the eighth.
        let in_hour = |hour: f64| {
            draws
                .iter()
                .filter(|draw| (0.0..3600.0).contains(&(draw.start_s - hour * 3600.0)))
                .count()
        };
        assert_eq!(in_hour(5.0), 0);
        #[allow(clippy::cast_precision_loss, reason = "some thousands")]
        let share = in_hour(7.0) as f64 / count;
        assert!((share - 45.0 / 275.0).abs() < 0.02, "{share}");
    }

    #[test]
    fn a_day_can_be_had_again_and_alone() {
        let household = Household::new(vec![shower(), shower()]).unwrap();
        let day = |seed, year, day| {
            let mut draws = Vec::new();
            household.day(seed, year, day, &mut draws);
            draws
        };
        let year: Vec<_> = (0..365).map(|at| day(9, 4, at)).collect();
        assert_eq!(year[200], day(9, 4, 200));
        assert_ne!(year[200], day(9, 5, 200));
    }

    #[test]
    fn nonsense_is_refused() {
        let with = |change: fn(&mut FixtureUse)| {
            let mut one = shower();
            change(&mut one);
            Household::new(vec![one])
        };
        assert!(with(|one| one.uses_per_day = f64::NAN).is_err());
        assert!(with(|one| one.uses_per_day = -1.0).is_err());
        assert!(with(|one| one.duration = Time::zero()).is_err());
        assert!(with(|one| one.hours = [0.0; 24]).is_err());
        assert!(with(|one| one.hours[3] = -1.0).is_err());
        assert!(with(|one| one.duration_log_deviation = 9.0).is_err());
    }

    proptest! {
        #[test]
        fn a_fixture_never_runs_twice_at_once(seed in any::<u64>(), uses in 0.0_f64..60.0) {
            let busy = FixtureUse { uses_per_day: uses, ..shower() };
            let household = Household::new(vec![busy.clone(), busy]).unwrap();
            let draws = household.days(seed, 0, (0..5).map(|day| f64::from(day) * 86_400.0));
            prop_assert!(draws.windows(2).all(|pair| pair[0].start_s <= pair[1].start_s));
            for fixture in 0..2 {
                let own: Vec<_> = draws.iter().filter(|draw| draw.fixture == fixture).collect();
                prop_assert!(own.windows(2).all(|pair| pair[0].start_s + pair[0].duration_s <= pair[1].start_s + 1e-6));
            }
        }

        #[test]
        fn draws_are_numbers_within_their_day(seed in any::<u64>(), year in any::<u32>(), day in any::<u32>()) {
            let household = Household::new(vec![shower()]).unwrap();
            let mut draws = Vec::new();
            household.day(seed, year, day, &mut draws);
            for draw in draws {
                prop_assert!((0.0..86_400.0).contains(&draw.start_s));
                prop_assert!(draw.duration_s > 0.0 && draw.duration_s <= DURATION_MAX_S);
                prop_assert!((SHARE_MIN..=1.0).contains(&draw.flow_share));
            }
        }
    }
}
