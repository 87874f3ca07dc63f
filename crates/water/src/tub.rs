//! Filling a tub: how long it takes at the filler's full flow and how warm that is, and how far to throttle for the bath
//! that was wanted.
//!
//! In: the volume, the use temperature, the filler's flow, the heater, the incoming water. Out: both fills. Start at
//! [`tub_fill`]. Leaves out the heat that tub and air take while it fills.

use crate::error::{WaterError, within};
use crate::heating::Heater;
use crate::mixing::{Draw, serve, sustained_flow};
use crate::properties::Water;
use quantity::{Temperature, Time, Volume, VolumeFlow};

/// One way to fill a tub.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fill {
    /// Flow.
    pub flow: VolumeFlow,
    /// Time to fill.
    pub time: Time,
    /// Temperature of the water that fills it.
    pub temperature: Temperature,
}

/// Filling a tub with the filler open and throttled.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TubFill {
    /// With the filler full open.
    pub full_open: Fill,
    /// With the flow the heater can keep at the use temperature; none when it cannot reach it at any flow, because its
    /// set point is lower.
    pub throttled: Option<Fill>,
}

/// Time and temperature of a tub filled at full flow, and throttled to the use temperature.
///
/// Qt = min( Q, P / (ρ (h(Tm) − h(Tc))) ); t = V / Q
///
/// # Symbols
/// | here              | meaning                              | kind          |
/// |-------------------|--------------------------------------|---------------|
/// | `volume`          | V, water in the tub as filled        | `Volume`      |
/// | `use_temperature` | Tm                                   | `Temperature` |
/// | `full_open`       | Q, flow of the open filler           | `VolumeFlow`  |
/// | `heater`          | P and its set point                  | `Heater`      |
/// | `inlet`           | the cold water: Tc, ρ                | `Water`       |
///
/// # Valid
/// 1 to 1000 gal, 0.1 to 100 gpm.
/// # Outside
/// [`WaterError::OutOfRange`], [`WaterError::NotWarmer`].
/// # Assumes
/// Nothing else draws hot water; the volume counts like every volume here as cold water (0.8 % more at 105 °F).
/// # Source
/// Heat balance. Handbook of the project, field practice: 40 gal at 105 °F from 50 °F, 18 min at 18 kW, 12 min at 27 kW.
/// # Example
/// ```
/// use quantity::{Power, Temperature, Volume, VolumeFlow};
/// use water::{Water, heating::Heater, tub::tub_fill};
/// let f = Temperature::from_fahrenheit;
/// let heater = Heater { power: Power::from_kilowatts(18.0), set_point: f(120.0) };
/// let inlet = Water::in_house(f(50.0))?;
/// let fill = tub_fill(Volume::from_gallons(40.0), f(105.0), VolumeFlow::from_gallons_per_minute(5.0), &heater, &inlet)?;
/// assert!(fill.throttled.is_some_and(|fill| (fill.time.as_minutes() - 18.0).abs() < 0.2));
/// // Open it is full in 8 min, at 50 + 18/(0.1465 · 5) = 74.6 °F.
/// assert!((fill.full_open.temperature.as_fahrenheit() - 74.6).abs() < 0.1);
/// # Ok::<(), water::WaterError>(())
/// ```
pub fn tub_fill(
    volume: Volume,
    use_temperature: Temperature,
    full_open: VolumeFlow,
    heater: &Heater,
    inlet: &Water,
) -> Result<TubFill, WaterError> {
    let volume = within("the volume of the tub", volume, 1.0, 1000.0, "gal")?;
    let full_open = within("the flow of the tub filler", full_open, 0.1, 100.0, "gpm")?;
    let draw = Draw {
        flow: full_open,
        use_temperature,
    };
    let temperature = serve(heater, inlet, &[draw])?.at(&draw);
    let most = sustained_flow(heater.power, inlet, use_temperature)?;
    let throttled = (heater.set_point >= use_temperature && most > VolumeFlow::zero()).then(|| {
        let flow = most.min(full_open);
        Fill {
            flow,
            time: volume / flow,
            temperature: use_temperature,
        }
    });
    Ok(TubFill {
        full_open: Fill {
            flow: full_open,
            time: volume / full_open,
            temperature,
        },
        throttled,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use quantity::Power;

    fn fill(gal: f64, gpm: f64, kw: f64, set_f: f64, cold_f: f64) -> Result<TubFill, WaterError> {
        tub_fill(
            Volume::from_gallons(gal),
            Temperature::from_fahrenheit(105.0),
            VolumeFlow::from_gallons_per_minute(gpm),
            &Heater {
                power: Power::from_kilowatts(kw),
                set_point: Temperature::from_fahrenheit(set_f),
            },
            &Water::in_house(Temperature::from_fahrenheit(cold_f)).unwrap(),
        )
    }

    #[test]
    fn handbook_baths() {
        for case in &checks::load("water/tub.toml").cases {
            let found = fill(
                case.given("volume_gal"),
                5.0,
                case.given("power_kw"),
                120.0,
                case.given("cold_f"),
            )
            .unwrap();
            case.close("time_min", found.throttled.unwrap().time.as_minutes());
        }
    }

    #[test]
    fn a_strong_heater_needs_no_throttle() {
        let found = fill(40.0, 3.0, 36.0, 120.0, 50.0).unwrap();
        assert_eq!(found.throttled.unwrap(), found.full_open);
    }

    #[test]
    fn a_set_point_below_the_bath_never_gets_there() {
        let found = fill(40.0, 3.0, 36.0, 100.0, 50.0).unwrap();
        assert_eq!(found.throttled, None);
        assert_eq!(found.full_open.temperature, Temperature::from_fahrenheit(100.0));
        assert_eq!(fill(40.0, 3.0, 0.0, 120.0, 50.0).unwrap().throttled, None);
    }

    #[test]
    fn nonsense_is_refused() {
        assert!(fill(0.0, 5.0, 18.0, 120.0, 50.0).is_err());
        assert!(fill(40.0, 0.0, 18.0, 120.0, 50.0).is_err());
        assert!(fill(40.0, 5.0, f64::NAN, 120.0, 50.0).is_err());
    }

    proptest! {
        #[test]
        fn throttling_never_fills_faster(gpm in 0.5_f64..8.0, kw in 5.0_f64..40.0, cold_f in 35.0_f64..80.0) {
            let found = fill(50.0, gpm, kw, 120.0, cold_f).unwrap();
            let throttled = found.throttled.unwrap();
            prop_assert!(throttled.time >= found.full_open.time && throttled.temperature >= found.full_open.temperature);
        }
    }
}
