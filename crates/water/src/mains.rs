//! Temperature of the water that the main brings, through the year.
//!
//! In: yearly mean air temperature and the swing of its monthly means, or measured values. Out: temperature on a day,
//! month means, the coldest and warmest day. Start at [`Mains::from_climate`]. Does not know stations: those stand in
//! `tables::climate`.
//!
//! It is the model of an average main. Wells stay near the yearly mean air temperature; shallow mains and surface water
//! swing wider. A measured temperature overrides it ([`Mains::measured`], [`Mains::from_months`]).

use crate::error::{WaterError, in_range, not_below, within};
use quantity::{Temperature, TemperatureDifference};

/// On which side of the equator.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Hemisphere {
    /// Coldest about February.
    #[default]
    North,
    /// Coldest about August.
    South,
}

impl Hemisphere {
    /// The side a latitude (degrees, north positive) lies on.
    pub fn of_latitude(latitude: f64) -> Self {
        if latitude < 0.0 { Self::South } else { Self::North }
    }
}

/// Incoming water through the year.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mains {
    year: Year,
    outside_fit: bool,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Year {
    /// One wave a year about a mean, lowest on `coldest_day`.
    Wave {
        mean_f: f64,
        half_swing_f: f64,
        coldest_day: f64,
    },
    /// Month means.
    Months([Temperature; 12]),
}

impl Mains {
    /// Incoming water from the climate, after Burch and Christensen.
    ///
    /// T(d) = (Ta + 6) + R (ΔT/2) sin( 0.986 (d − 15 − L) − 90 ) in °F and degrees, R = 0.4 + 0.01 (Ta − 44),
    /// L = 35 − (Ta − 44); not below 32 °F
    ///
    /// # Symbols
    /// | here            | meaning                                                  | kind                    |
    /// |-----------------|----------------------------------------------------------|-------------------------|
    /// | `annual_mean`   | Ta, yearly mean of the air temperature                   | `Temperature`           |
    /// | `monthly_swing` | ΔT, hottest monthly mean minus coldest                   | `TemperatureDifference` |
    /// | `hemisphere`    | the −90 is +90 south of the equator                      | `Hemisphere`            |
    ///
    /// # Valid
    /// Yearly mean 0 to 100 °F, swing 0 to 100 °F. Below a yearly mean of 35 °F the model is outside its data: see
    /// [`Mains::outside_fit`].
    /// # Outside
    /// [`WaterError::OutOfRange`].
    /// # Assumes
    /// An average main; no well, no surface line. A leap day counts as 31 December.
    /// # Source
    /// Burch & Christensen 2007, *Towards Development of an Algorithm for Mains Water Temperature*, ASES (NREL
    /// CP-550-41263): formula seen in full in one public implementation citing the paper, the paper itself not. The floor
    /// and the limit of 35 °F: handbook of the project, section 8.
    /// # Example
    /// ```
    /// use quantity::{Temperature, TemperatureDifference};
    /// use water::mains::{Hemisphere, Mains};
    /// // Chicago O'Hare: mean 49.9 °F, swing 50.3 °F; 15 January 45.77 °F, 15 July 65.87 °F.
    /// let mains = Mains::from_climate(Temperature::from_fahrenheit(49.9), TemperatureDifference::from_fahrenheit(50.3), Hemisphere::North)?;
    /// assert!((mains.temperature_on(15)?.as_fahrenheit() - 45.77).abs() < 0.02);
    /// assert!((mains.temperature_on(196)?.as_fahrenheit() - 65.87).abs() < 0.02);
    /// # Ok::<(), water::WaterError>(())
    /// ```
    pub fn from_climate(
        annual_mean: Temperature,
        monthly_swing: TemperatureDifference,
        hemisphere: Hemisphere,
    ) -> Result<Self, WaterError> {
        let mean_f =
            within("the yearly mean air temperature", annual_mean, 0.0, 100.0, "°F")?.as_fahrenheit();
        let swing_f =
            within("the swing of the monthly means", monthly_swing, 0.0, 100.0, "°F")?.as_fahrenheit();
        let ratio = 0.4 + 0.01 * (mean_f - 44.0);
        Ok(Self {
            year: Year::Wave {
                mean_f: mean_f + GROUND_OFFSET_F,
                half_swing_f: ratio * swing_f / 2.0,
                coldest_day: coldest_day(mean_f, hemisphere),
            },
            outside_fit: mean_f < FITTED_MEAN_MIN_F,
        })
    }

    /// Incoming water known only at its coldest and warmest; the lag of the wave follows from their mean.
    ///
    /// # Errors
    /// When a temperature is not from 32 to 110 °F or the warmest is below the coldest.
    pub fn from_extremes(
        coldest: Temperature,
        warmest: Temperature,
        hemisphere: Hemisphere,
    ) -> Result<Self, WaterError> {
        let (cold_f, warm_f) = ordered(coldest, warmest)?;
        let mean_f = f64::midpoint(cold_f, warm_f);
        Ok(Self {
            year: Year::Wave {
                mean_f,
                half_swing_f: (warm_f - cold_f) / 2.0,
                coldest_day: coldest_day(mean_f - GROUND_OFFSET_F, hemisphere),
            },
            outside_fit: false,
        })
    }

    /// Incoming water from twelve measured month means, January first.
    ///
    /// # Errors
    /// When one is not from 32 to 110 °F.
    pub fn from_months(means: [Temperature; 12]) -> Result<Self, WaterError> {
        for mean in means {
            measured_f("a measured month", mean)?;
        }
        Ok(Self {
            year: Year::Months(means),
            outside_fit: false,
        })
    }

    /// The same year stretched so that its coldest and warmest are as measured; what was not measured stays.
    ///
    /// # Errors
    /// When a temperature is not from 32 to 110 °F or the warmest would be below the coldest.
    ///
    /// ```
    /// use quantity::{Temperature, TemperatureDifference};
    /// use water::mains::{Hemisphere, Mains};
    /// let f = Temperature::from_fahrenheit;
    /// let model = Mains::from_climate(f(49.9), TemperatureDifference::from_fahrenheit(50.3), Hemisphere::North)?;
    /// let mains = model.measured(Some(f(41.0)), None)?;
    /// assert!((mains.coldest().1.as_fahrenheit() - 41.0).abs() < 0.01);
    /// assert_eq!(mains.coldest().0, model.coldest().0);
    /// # Ok::<(), water::WaterError>(())
    /// ```
    pub fn measured(
        self,
        coldest: Option<Temperature>,
        warmest: Option<Temperature>,
    ) -> Result<Self, WaterError> {
        if coldest.is_none() && warmest.is_none() {
            return Ok(self);
        }
        let (was_cold_f, was_warm_f) = (self.coldest().1.as_fahrenheit(), self.warmest().1.as_fahrenheit());
        let (cold_f, warm_f) = ordered(
            coldest.unwrap_or(self.coldest().1),
            warmest.unwrap_or(self.warmest().1),
        )?;
        // Both measured: nothing of the model's level is left to doubt.
        let outside_fit = self.outside_fit && (coldest.is_none() || warmest.is_none());
        let year = match self.year {
            Year::Wave { coldest_day, .. } => Year::Wave {
                mean_f: f64::midpoint(cold_f, warm_f),
                half_swing_f: (warm_f - cold_f) / 2.0,
                coldest_day,
            },
            Year::Months(means) => Year::Months(means.map(|mean| {
                let span = was_warm_f - was_cold_f;
                let share = if span > 0.0 {
                    (mean.as_fahrenheit() - was_cold_f) / span
                } else {
                    0.0
                };
                Temperature::from_fahrenheit(cold_f + share * (warm_f - cold_f))
            })),
        };
        Ok(Self { year, outside_fit })
    }

    /// The temperature on a day of the year, 1 January being 1. Between measured month means it goes straight from the
    /// middle of one month to the middle of the next.
    ///
    /// # Errors
    /// When the day is not from 1 to 366.
    pub fn temperature_on(&self, day: u16) -> Result<Temperature, WaterError> {
        in_range("the day of the year", f64::from(day), 1.0, 366.0, "")?;
        Ok(self.on(day.min(DAYS)))
    }

    /// Mean of every month, January first.
    pub fn month_means(&self) -> [Temperature; 12] {
        if let Year::Months(means) = self.year {
            return means;
        }
        let mut first = 1;
        MONTH_DAYS.map(|days| {
            let sum: f64 = (first..first + days)
                .map(|day| self.on(day).as_fahrenheit())
                .sum();
            first += days;
            Temperature::from_fahrenheit(sum / f64::from(days))
        })
    }

    /// The coldest day and its temperature; of equal days the first.
    pub fn coldest(&self) -> (u16, Temperature) {
        self.extreme(|new, old| new < old)
    }

    /// The warmest day and its temperature; of equal days the first.
    pub fn warmest(&self) -> (u16, Temperature) {
        self.extreme(|new, old| new > old)
    }

    /// The month with the lowest mean (1 to 12) and that mean.
    pub fn coldest_month(&self) -> (u8, Temperature) {
        extreme_month(&self.month_means(), |new, old| new < old)
    }

    /// The month with the highest mean (1 to 12) and that mean.
    pub fn warmest_month(&self) -> (u8, Temperature) {
        extreme_month(&self.month_means(), |new, old| new > old)
    }

    /// Whether the place is colder than the data the model was fitted to: use a measured value.
    pub fn outside_fit(&self) -> bool {
        self.outside_fit
    }

    fn on(&self, day: u16) -> Temperature {
        match self.year {
            Year::Wave {
                mean_f,
                half_swing_f,
                coldest_day,
            } => {
                let angle = DEGREES_PER_DAY * (f64::from(day) - coldest_day) - 90.0;
                let wave_f = mean_f + half_swing_f * angle.to_radians().sin();
                Temperature::from_fahrenheit(wave_f.max(FREEZING_F))
            }
            Year::Months(means) => between_months(&means, day),
        }
    }

    fn extreme(&self, beats: impl Fn(Temperature, Temperature) -> bool) -> (u16, Temperature) {
        let mut best = (1, self.on(1));
        for day in 2..=DAYS {
            let here = self.on(day);
            if beats(here, best.1) {
                best = (day, here);
            }
        }
        best
    }
}

const DAYS: u16 = 365;
const MONTH_DAYS: [u16; 12] = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
/// The model's own rounding of 360/365.
const DEGREES_PER_DAY: f64 = 0.986;
/// Mains run this much warmer than the air over a year.
const GROUND_OFFSET_F: f64 = 6.0;
const FREEZING_F: f64 = 32.0;
const FITTED_MEAN_MIN_F: f64 = 35.0;

/// The day on which the wave is lowest: 15 + L, half a year later in the south.
fn coldest_day(air_mean_f: f64, hemisphere: Hemisphere) -> f64 {
    let lag = 35.0 - (air_mean_f - 44.0);
    let half_year = match hemisphere {
        Hemisphere::North => 0.0,
        Hemisphere::South => 180.0 / DEGREES_PER_DAY,
    };
    15.0 + lag + half_year
}

fn measured_f(what: &'static str, temperature: Temperature) -> Result<f64, WaterError> {
    Ok(within(what, temperature, FREEZING_F, 110.0, "°F")?.as_fahrenheit())
}

fn ordered(coldest: Temperature, warmest: Temperature) -> Result<(f64, f64), WaterError> {
    let cold_f = measured_f("the coldest incoming water", coldest)?;
    let warm_f = measured_f("the warmest incoming water", warmest)?;
    not_below("the warmest incoming water", warmest, "the coldest", coldest)?;
    Ok((cold_f, warm_f))
}

fn between_months(means: &[Temperature; 12], day: u16) -> Temperature {
    let mut first = 1.0;
    let middles = MONTH_DAYS.map(|days| {
        let middle = first + (f64::from(days) - 1.0) / 2.0;
        first += f64::from(days);
        middle
    });
    let day = f64::from(day);
    let after = middles.iter().position(|middle| day < *middle).unwrap_or(0);
    let before = (after + 11) % 12;
    let year = f64::from(DAYS);
    let since = (day - middles[before]).rem_euclid(year);
    let span = (middles[after] - middles[before]).rem_euclid(year);
    means[before] + (means[after] - means[before]) * (since / span)
}

fn extreme_month(
    means: &[Temperature; 12],
    beats: impl Fn(Temperature, Temperature) -> bool,
) -> (u8, Temperature) {
    let mut best = (1, means[0]);
    for (month, mean) in (1_u8..).zip(means) {
        if beats(*mean, best.1) {
            best = (month, *mean);
        }
    }
    best
}

#[cfg(test)]
mod tests;
