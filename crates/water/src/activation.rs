//! Whether a draw leaves an on-demand heater enough flow to go on, and where it stops.
//!
//! In: one draw, set point, incoming water, the flow at which the heater begins to heat. Out: hot flow, margin, and the
//! incoming temperature, tap flow and set point at which it drops out. Start at [`activation`]. Does not know how long a
//! heater needs to begin.
//!
//! Warm incoming water in summer is the hard case: a tap then mixes in so little hot water that the heater stops.

use crate::error::{WaterError, not_below, within};
use crate::heating::enthalpy_rise;
use crate::mixing::{Draw, hot_share};
use crate::properties::Water;
use quantity::{Ratio, Temperature, VolumeFlow};

/// Whether a draw keeps a heater on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Activation {
    /// Hot water the draw takes.
    pub hot_flow: VolumeFlow,
    /// Hot flow over activation flow; the heater stays on at 1 and above.
    pub margin: Ratio,
    /// Mixed flow at the tap below which the heater drops out.
    pub least_mixed_flow: VolumeFlow,
    /// Incoming water warmer than this makes the heater drop out; none when the tap takes hot water alone, or when it
    /// drops out at any temperature.
    pub inlet_limit: Option<Temperature>,
    /// A set point higher than this makes the heater drop out; none when even the use temperature as set point does.
    pub set_point_limit: Option<Temperature>,
}

impl Activation {
    /// Whether the heater stays on.
    pub fn stays_on(&self) -> bool {
        self.margin >= Ratio::from_fraction(1.0)
    }
}

/// The hot-side flow of a draw against the activation flow of the heater.
///
/// Qh = x Q, x = ( h(Tm) − h(Tc) ) / ( h(Th) − h(Tc) ); it drops out where Qh = Qa
///
/// # Symbols
/// | here              | meaning                                  | kind          |
/// |-------------------|------------------------------------------|---------------|
/// | `draw`            | Q and Tm at the tap                      | `Draw`        |
/// | `set_point`       | Th, which the heater holds               | `Temperature` |
/// | `inlet`           | the cold water: Tc                       | `Water`       |
/// | `activation_flow` | Qa, flow through the heater that keeps it on | `VolumeFlow` |
///
/// # Valid
/// Flows 0.001 to 100 gpm, use temperature above the cold water's.
/// # Outside
/// [`WaterError::OutOfRange`], [`WaterError::NotWarmer`]. A set point below the use temperature takes hot water alone.
/// # Assumes
/// The heater holds its set point; nobody opens the tap further when it turns cold. One flow for beginning and stopping:
/// most heaters stop a little lower.
/// # Source
/// Heat balance; handbook of the project, sections 7 and test case 25.
/// # Example
/// ```
/// use quantity::{Temperature, VolumeFlow};
/// use water::{Water, activation::activation, mixing::Draw};
/// let f = Temperature::from_fahrenheit;
/// let gpm = VolumeFlow::from_gallons_per_minute;
/// // A 0.5 gpm lavatory at 100 °F from 130 °F and 75 °F summer water takes 0.227 gpm hot: less than 0.3.
/// let lavatory = Draw { flow: gpm(0.5), use_temperature: f(100.0) };
/// let found = activation(&lavatory, f(130.0), &Water::in_house(f(75.0))?, gpm(0.3))?;
/// assert!((found.hot_flow.as_gallons_per_minute() - 0.227).abs() < 0.001 && !found.stays_on());
/// # Ok::<(), water::WaterError>(())
/// ```
pub fn activation(
    draw: &Draw,
    set_point: Temperature,
    inlet: &Water,
    activation_flow: VolumeFlow,
) -> Result<Activation, WaterError> {
    let flow = within("the flow of the draw", draw.flow, 0.001, 100.0, "gpm")?;
    let activation_flow = within("the activation flow", activation_flow, 0.001, 100.0, "gpm")?;
    not_below(
        "the use temperature",
        draw.use_temperature,
        "the cold water",
        inlet.temperature(),
    )?;
    let part = enthalpy_rise(inlet, draw.use_temperature)?;
    if part <= 0.0 {
        return Err(WaterError::NotWarmer {
            warmer: "the use temperature",
            warm: draw.use_temperature,
            cooler: "the cold water",
            cool: inlet.temperature(),
        });
    }
    let alone = set_point <= draw.use_temperature;
    let share = if alone {
        Ratio::from_fraction(1.0)
    } else {
        hot_share(draw.use_temperature, set_point, inlet)?
    };
    let hot_flow = flow * share.as_fraction();
    // Share of hot water at which it just stays on.
    let least_share = activation_flow / flow;
    let cold_j_per_kg = inlet.enthalpy_j_per_kg();
    let inlet_limit = if alone || least_share >= 1.0 {
        None
    } else {
        let hot_j_per_kg = inlet.heated_to(set_point)?.enthalpy_j_per_kg();
        let limit = (cold_j_per_kg + part - least_share * hot_j_per_kg) / (1.0 - least_share);
        inlet.temperature_at_enthalpy(limit).ok()
    };
    let set_point_limit = if least_share > 1.0 {
        None
    } else {
        inlet
            .temperature_at_enthalpy(cold_j_per_kg + part / least_share)
            .ok()
    };
    Ok(Activation {
        hot_flow,
        margin: Ratio::from_fraction(hot_flow / activation_flow),
        least_mixed_flow: activation_flow / share.as_fraction(),
        inlet_limit,
        set_point_limit,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn f(degrees: f64) -> Temperature {
        Temperature::from_fahrenheit(degrees)
    }

    fn find(
        gpm: f64,
        use_f: f64,
        set_f: f64,
        cold_f: f64,
        activation_gpm: f64,
    ) -> Result<Activation, WaterError> {
        let draw = Draw {
            flow: VolumeFlow::from_gallons_per_minute(gpm),
            use_temperature: f(use_f),
        };
        let cold = Water::in_house(f(cold_f))?;
        activation(
            &draw,
            f(set_f),
            &cold,
            VolumeFlow::from_gallons_per_minute(activation_gpm),
        )
    }

    #[test]
    fn summer_lavatory() {
        for case in &checks::load("water/activation.toml").cases {
            let found = find(
                case.given("mixed_flow_gpm"),
                case.given("mixed_f"),
                case.given("hot_f"),
                case.given("cold_f"),
                case.given("activation_gpm"),
            )
            .unwrap();
            case.close("hot_flow_gpm", found.hot_flow.as_gallons_per_minute());
            assert_eq!(
                case.expected_text("stays_on"),
                Some(if found.stays_on() { "yes" } else { "no" })
            );
        }
    }

    #[test]
    fn a_tap_below_the_activation_flow_never_keeps_it_on() {
        let found = find(0.2, 100.0, 120.0, 50.0, 0.3).unwrap();
        assert!(!found.stays_on());
        assert_eq!((found.inlet_limit, found.set_point_limit), (None, None));
    }

    #[test]
    fn a_low_set_point_takes_hot_water_alone() {
        let found = find(0.5, 105.0, 100.0, 80.0, 0.4).unwrap();
        assert!(found.stays_on() && found.inlet_limit.is_none());
        assert!((found.hot_flow.as_gallons_per_minute() - 0.5).abs() < 1e-12);
    }

    #[test]
    fn nonsense_is_refused() {
        assert!(find(0.0, 100.0, 120.0, 50.0, 0.3).is_err());
        assert!(find(1.0, 45.0, 120.0, 50.0, 0.3).is_err());
        assert!(find(1.0, 50.0, 120.0, 50.0, 0.3).is_err());
        assert!(find(1.0, 100.0, 120.0, 50.0, f64::NAN).is_err());
    }

    proptest! {
        #[test]
        fn at_each_limit_the_margin_is_one(
            gpm in 0.35_f64..3.0, use_f in 95.0_f64..112.0, set_f in 113.0_f64..140.0, cold_f in 40.0_f64..90.0,
        ) {
            let qa = 0.3;
            let found = find(gpm, use_f, set_f, cold_f, qa).unwrap();
            let one = |found: Activation| (found.margin.as_fraction() - 1.0).abs() < 1e-6;
            let at_flow = find(found.least_mixed_flow.as_gallons_per_minute(), use_f, set_f, cold_f, qa).unwrap();
            prop_assert!(one(at_flow));
            if let Some(limit) = found.inlet_limit {
                prop_assert!(one(find(gpm, use_f, set_f, limit.as_fahrenheit(), qa).unwrap()));
                prop_assert_eq!(cold_f <= limit.as_fahrenheit(), found.stays_on());
            }
            if let Some(limit) = found.set_point_limit {
                prop_assert!(limit >= f(use_f));
                prop_assert!(one(find(gpm, use_f, limit.as_fahrenheit(), cold_f, qa).unwrap()));
            }
        }

        #[test]
        fn warmer_incoming_water_never_helps(cold_f in 40.0_f64..85.0, more in 0.0_f64..8.0) {
            let at = |cold_f| find(0.8, 102.0, 120.0, cold_f, 0.4).unwrap().hot_flow;
            prop_assert!(at(cold_f + more) <= at(cold_f));
        }
    }
}
