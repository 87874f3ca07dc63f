//! Heating of a utility transformer by a load that comes on for a while: oil, hottest spot, speed of aging.
//!
//! In: surroundings, load before and during, how long. Out: temperatures at the end and how fast insulation ages there.
//! Start at [`heated`]. One mass of oil and one winding, each with its time constant; no cooling by wind or sun. For a
//! sheet to the utility, which knows its own unit and decides.

use crate::PowerError;
use crate::error::in_range;
use quantity::{Ratio, Temperature, TemperatureDifference, Time};
use tables::transformer_thermal::{TransformerThermal, transformer_thermal};

/// A load that comes on for a while.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LoadSpell {
    /// Surrounding temperature.
    pub ambient: Temperature,
    /// Load before, over the rating, held long enough to be steady.
    pub before: Ratio,
    /// Load meanwhile, over the rating.
    pub during: Ratio,
    /// How long.
    pub time: Time,
}

/// A transformer at the end of a spell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Heated {
    /// Top oil.
    pub top_oil: Temperature,
    /// Hottest spot of the winding.
    pub hot_spot: Temperature,
    /// How fast insulation ages at that hot spot; 1 at its reference temperature.
    pub aging: Ratio,
}

/// A transformer at the end of a spell of load.
///
/// Δo = Δor · ((K² R + 1)/(R + 1))ⁿ, Δh = Δhr · Kʸ, each approached as 1 − exp(−t/τ); θh = θa + Δo + Δh;
/// F = exp(B/(θref + 273) − B/(θh + 273))
///
/// # Symbols
/// | here        | meaning                                              | unit |
/// |-------------|------------------------------------------------------|------|
/// | `spell`     | surroundings θa, loads K before and during, time t   | °C, –, min |
/// | Δor, Δhr, R, n, y, τ, B, θref | constants of the table             | K, K, –, –, –, min, K, °C |
/// | result      | top oil, hot spot θh, speed of aging F               | °C, °C, – |
///
/// # Valid
/// −40 °C to 60 °C around; loads 0 to 4 times the rating; 0 to 24 h.
/// # Outside
/// [`PowerError::OutOfRange`], also when the hot spot would pass 250 °C, where the model means nothing.
/// # Assumes
/// Steady before; natural cooling; constants of a usual small unit, not of this one. The winding heats at the ambient
/// temperature's resistance.
/// # Source
/// IEEE C57.91, clause 7, and IEC 60076-7: memory, exponents seen quoted.
/// # Example
/// ```
/// use power::transformer_heating::{LoadSpell, heated};
/// use quantity::{Ratio, Temperature, Time};
/// let spell = LoadSpell {
///     ambient: Temperature::from_celsius(30.0), before: Ratio::from_percent(100.0),
///     during: Ratio::from_percent(100.0), time: Time::from_hours(1.0),
/// };
/// // Rated load in 30 °C: hot spot 110 °C, where insulation ages at its rated speed (IEEE C57.91, memory).
/// let found = heated(&spell)?;
/// assert!((found.hot_spot.as_celsius() - 110.0).abs() < 1e-6 && (found.aging.as_fraction() - 1.0).abs() < 1e-6);
/// # Ok::<(), power::PowerError>(())
/// ```
pub fn heated(spell: &LoadSpell) -> Result<Heated, PowerError> {
    let celsius = Temperature::from_celsius;
    let share = Ratio::from_fraction;
    let ambient = in_range(
        "surrounding temperature",
        spell.ambient,
        celsius(-40.0),
        celsius(60.0),
    )?;
    let before = in_range("load before", spell.before, share(0.0), share(4.0))?.as_fraction();
    let during = in_range("load meanwhile", spell.during, share(0.0), share(4.0))?.as_fraction();
    let time = in_range(
        "time of the load",
        spell.time,
        Time::from_seconds(0.0),
        Time::from_hours(24.0),
    )?;
    let constants = transformer_thermal();
    let along = |constant: Time| 1.0 - (-(time / constant)).exp();
    let approach = |from: f64, to: f64, share: f64| from + (to - from) * share;
    let oil_k = approach(
        oil_rise_k(constants, before),
        oil_rise_k(constants, during),
        along(constants.oil_time),
    );
    let winding_k = approach(
        winding_rise_k(constants, before),
        winding_rise_k(constants, during),
        along(constants.winding_time),
    );
    let top_oil = ambient + TemperatureDifference::from_celsius(oil_k);
    let hot_spot = in_range(
        "hot spot of the winding",
        top_oil + TemperatureDifference::from_celsius(winding_k),
        celsius(-40.0),
        celsius(250.0),
    )?;
    Ok(Heated {
        top_oil,
        hot_spot,
        aging: aging_speed(hot_spot)?,
    })
}

/// How fast insulation ages at a hot-spot temperature; 1 at the reference temperature.
///
/// ```
/// use power::transformer_heating::aging_speed;
/// use quantity::Temperature;
/// // IEEE C57.91, Table 1 (memory): 2.71 at 120 °C.
/// let found = aging_speed(Temperature::from_celsius(120.0))?;
/// assert!((found.as_fraction() - 2.71).abs() < 0.005);
/// # Ok::<(), power::PowerError>(())
/// ```
pub fn aging_speed(hot_spot: Temperature) -> Result<Ratio, PowerError> {
    let celsius = Temperature::from_celsius;
    let hot_spot = in_range(
        "hot spot of the winding",
        hot_spot,
        celsius(-40.0),
        celsius(250.0),
    )?;
    let constants = transformer_thermal();
    // The guide rounds 273.15 to 273.
    let kelvin = |temperature: Temperature| temperature.as_celsius() + 273.0;
    let power = constants.aging_constant_k / kelvin(constants.aging_reference)
        - constants.aging_constant_k / kelvin(hot_spot);
    Ok(Ratio::from_fraction(power.exp()))
}

fn oil_rise_k(constants: &TransformerThermal, load: f64) -> f64 {
    let ratio = constants.loss_ratio.as_fraction();
    constants.top_oil_rise.as_celsius()
        * ((load * load * ratio + 1.0) / (ratio + 1.0)).powf(constants.oil_exponent)
}

fn winding_rise_k(constants: &TransformerThermal, load: f64) -> f64 {
    constants.hot_spot_rise.as_celsius() * load.powf(constants.winding_exponent)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn spell(before: f64, during: f64, minutes: f64) -> Heated {
        heated(&LoadSpell {
            ambient: Temperature::from_celsius(30.0),
            before: Ratio::from_fraction(before),
            during: Ratio::from_fraction(during),
            time: Time::from_minutes(minutes),
        })
        .unwrap()
    }

    #[test]
    fn the_published_speeds_of_aging() {
        for case in checks::load("electrical/transformer_aging.toml").cases {
            let found = aging_speed(Temperature::from_celsius(case.given("hot_spot_c"))).unwrap();
            case.close("aging", found.as_fraction());
        }
    }

    #[test]
    fn a_short_spell_heats_the_winding_and_hardly_the_oil() {
        let short = spell(0.3, 1.8, 8.0);
        let quiet = spell(0.3, 0.3, 8.0);
        let long = spell(0.3, 1.8, 1440.0);
        assert!(short.top_oil.as_celsius() - quiet.top_oil.as_celsius() < 6.0);
        assert!(short.hot_spot.as_celsius() - quiet.hot_spot.as_celsius() > 40.0);
        assert!(long.hot_spot > short.hot_spot && short.hot_spot > quiet.hot_spot);
        assert!(short.aging > quiet.aging);
    }

    #[test]
    fn no_load_leaves_the_core_warm() {
        // Without load only the no-load loss heats: 53 · (1/6)^0.8 = 12.6 K (hand calculation).
        let idle = spell(0.0, 0.0, 60.0);
        assert!((idle.top_oil.as_celsius() - 42.64).abs() < 0.01, "{idle:?}");
        assert!((idle.hot_spot.as_celsius() - idle.top_oil.as_celsius()).abs() < 1e-9);
    }

    #[test]
    fn loads_beyond_the_model_are_refused() {
        let odd = |before, during| {
            heated(&LoadSpell {
                ambient: Temperature::from_celsius(30.0),
                before: Ratio::from_fraction(before),
                during: Ratio::from_fraction(during),
                time: Time::from_hours(24.0),
            })
        };
        assert!(odd(-0.1, 1.0).is_err() && odd(0.0, f64::NAN).is_err());
        // Three times the rating for a day: past 250 °C.
        assert!(odd(1.0, 3.0).is_err());
    }
}
