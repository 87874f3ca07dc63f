//! Heat put into flowing water: power, flow and temperatures tied together by mass and enthalpy.
//!
//! In: any two of power, flow and rise, and the water that comes in. Out: the third. Start at [`power_needed`],
//! [`flow_heated`], [`outlet_temperature`]; [`Heater`] adds a set point. Does not know elements, voltage or time.
//!
//! The basis: mass flow = volume flow at the inlet × density at the inlet; power = mass flow × difference of the
//! standard's enthalpy. So nothing rests on a mean density or a mean specific heat, and the balance closes to the last
//! digits. The trade's kW = 0.1465 · gpm · °F takes 8.33 lb/gal and 1 Btu/(lb·°F); this engine gives 0.1460 (77 °F
//! inlet) to 0.1468 (40 °F inlet), 0.1465 from 50 to 120 °F (tested).
//!
//! Leaves out: heat lost by the heater's case, the warmth of friction (0.02 °F at 10 psi).

use crate::error::{WaterError, not_below, within};
use crate::properties::Water;
use quantity::{MassFlow, Power, Temperature, VolumeFlow};

/// The mass a flow of inlet water carries.
///
/// ```
/// use quantity::{Temperature, VolumeFlow};
/// use water::{Water, heating::mass_flow};
/// let inlet = Water::in_house(Temperature::from_fahrenheit(60.0))?;
/// // 8.339 lb/gal at 60 °F.
/// let mass = mass_flow(VolumeFlow::from_gallons_per_minute(1.0), &inlet);
/// assert!((mass.as_pounds_per_minute() - 8.339).abs() < 0.002);
/// # Ok::<(), water::WaterError>(())
/// ```
pub fn mass_flow(flow: VolumeFlow, inlet: &Water) -> MassFlow {
    MassFlow::from_kilograms_per_second(flow.as_cubic_meters_per_second() * inlet.density_kg_per_m3())
}

/// The power that heats a flow to a temperature.
///
/// P = ρ₁ Q ( h(T₂) − h(T₁) )
///
/// # Symbols
/// | here     | meaning                               | kind          |
/// |----------|---------------------------------------|---------------|
/// | `flow`   | Q, at the inlet                       | `VolumeFlow`  |
/// | `inlet`  | the water coming in: T₁, ρ₁, pressure | `Water`       |
/// | `outlet` | T₂                                    | `Temperature` |
/// | result   | P, zero when T₂ = T₁                  | `Power`       |
///
/// # Valid
/// 0 to 200 gpm; outlet from the inlet's temperature to 150 °C and below boiling.
/// # Outside
/// [`WaterError::OutOfRange`], [`WaterError::NotWarmer`] when the outlet would be cooler, [`WaterError::WouldBoil`].
/// # Assumes
/// No loss to the air.
/// # Source
/// First law; enthalpy from IAPWS R7-97. Handbook of the project, section 7, for the trade's constant.
/// # Example
/// ```
/// use quantity::{Temperature, VolumeFlow};
/// use water::{Water, heating::power_needed};
/// let inlet = Water::in_house(Temperature::from_fahrenheit(50.0))?;
/// let power = power_needed(VolumeFlow::from_gallons_per_minute(2.5), &inlet, Temperature::from_fahrenheit(105.0))?;
/// // 0.1465 · 2.5 · 55 = 20.14 kW by the trade's constant.
/// assert!((power.as_kilowatts() - 20.14).abs() < 0.05);
/// # Ok::<(), water::WaterError>(())
/// ```
pub fn power_needed(flow: VolumeFlow, inlet: &Water, outlet: Temperature) -> Result<Power, WaterError> {
    let mass = mass_flow(checked_flow(flow)?, inlet).as_kilograms_per_second();
    Ok(Power::from_watts(mass * enthalpy_rise(inlet, outlet)?))
}

/// The flow that a power heats to a temperature.
///
/// Q = P / ( ρ₁ ( h(T₂) − h(T₁) ) )
///
/// # Symbols
/// As [`power_needed`]; the result Q is at the inlet.
/// # Valid
/// 0 to 1000 kW; outlet at least 0.01 °C above the inlet.
/// # Outside
/// As [`power_needed`].
/// # Assumes
/// No loss to the air.
/// # Source
/// As [`power_needed`].
/// # Example
/// ```
/// use quantity::{Power, Temperature};
/// use water::{Water, heating::flow_heated};
/// let inlet = Water::in_house(Temperature::from_fahrenheit(50.0))?;
/// let flow = flow_heated(Power::from_kilowatts(27.0), &inlet, Temperature::from_fahrenheit(110.0))?;
/// // 27 / (0.1465 · 60) = 3.07 gpm.
/// assert!((flow.as_gallons_per_minute() - 3.07).abs() < 0.01);
/// # Ok::<(), water::WaterError>(())
/// ```
pub fn flow_heated(power: Power, inlet: &Water, outlet: Temperature) -> Result<VolumeFlow, WaterError> {
    let power = checked_power(power)?;
    let rise = enthalpy_rise(inlet, outlet)?;
    if (outlet - inlet.temperature()).as_celsius() < LEAST_RISE_K {
        return Err(WaterError::NotWarmer {
            warmer: "the outlet",
            warm: outlet,
            cooler: "the inlet plus 0.01 °C",
            cool: inlet.temperature(),
        });
    }
    let mass = power.as_watts() / rise;
    Ok(VolumeFlow::from_cubic_meters_per_second(
        mass / inlet.density_kg_per_m3(),
    ))
}

/// The temperature to which a power heats a flow.
///
/// h(T₂) = h(T₁) + P / (ρ₁ Q)
///
/// # Symbols
/// As [`power_needed`]; the result is T₂.
/// # Valid
/// 0.001 to 200 gpm, 0 to 1000 kW, outlet below boiling and to 150 °C.
/// # Outside
/// As [`power_needed`].
/// # Assumes
/// No loss to the air.
/// # Source
/// As [`power_needed`].
/// # Example
/// ```
/// use quantity::{Power, Temperature, VolumeFlow};
/// use water::{Water, heating::outlet_temperature};
/// let inlet = Water::in_house(Temperature::from_fahrenheit(50.0))?;
/// let outlet = outlet_temperature(Power::from_kilowatts(18.0), VolumeFlow::from_gallons_per_minute(3.0), &inlet)?;
/// // 50 + 18 / (0.1465 · 3) = 90.96 °F.
/// assert!((outlet.as_fahrenheit() - 90.96).abs() < 0.1);
/// # Ok::<(), water::WaterError>(())
/// ```
pub fn outlet_temperature(power: Power, flow: VolumeFlow, inlet: &Water) -> Result<Temperature, WaterError> {
    let power = checked_power(power)?;
    let flow = within("the flow", flow, 0.001, FLOW_MAX_GPM, "gpm")?;
    let mass = mass_flow(flow, inlet).as_kilograms_per_second();
    inlet.temperature_at_enthalpy(inlet.enthalpy_j_per_kg() + power.as_watts() / mass)
}

/// A source of hot water that holds a set point as long as its power suffices.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Heater {
    /// Power it really delivers at its real voltage.
    pub power: Power,
    /// Outlet temperature it is set to.
    pub set_point: Temperature,
}

/// What a heater gives.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Heated {
    /// Temperature at its outlet.
    pub outlet: Temperature,
    /// Power it takes for that.
    pub power: Power,
    /// Whether it holds its set point.
    pub holds_set_point: bool,
}

impl Heater {
    /// What it gives at a flow: its set point, or what full power reaches.
    ///
    /// # Errors
    /// As [`outlet_temperature`]; an inlet above the set point passes unheated.
    ///
    /// ```
    /// use quantity::{Power, Temperature, VolumeFlow};
    /// use water::{Water, heating::Heater};
    /// let heater = Heater { power: Power::from_kilowatts(18.0), set_point: Temperature::from_fahrenheit(120.0) };
    /// let winter = Water::in_house(Temperature::from_fahrenheit(45.0))?;
    /// // 1.5 gpm · 75 °F · 0.1465 = 16.5 kW is within its power, 2.5 gpm is not.
    /// assert!(heater.heat(VolumeFlow::from_gallons_per_minute(1.5), &winter)?.holds_set_point);
    /// assert!(!heater.heat(VolumeFlow::from_gallons_per_minute(2.5), &winter)?.holds_set_point);
    /// # Ok::<(), water::WaterError>(())
    /// ```
    pub fn heat(&self, flow: VolumeFlow, inlet: &Water) -> Result<Heated, WaterError> {
        let available = checked_power(self.power)?;
        if self.set_point <= inlet.temperature() {
            return Ok(Heated {
                outlet: inlet.temperature(),
                power: Power::zero(),
                holds_set_point: true,
            });
        }
        let needed = power_needed(flow, inlet, self.set_point)?;
        if needed <= available {
            return Ok(Heated {
                outlet: self.set_point,
                power: needed,
                holds_set_point: true,
            });
        }
        Ok(Heated {
            outlet: outlet_temperature(available, flow, inlet)?,
            power: available,
            holds_set_point: false,
        })
    }
}

const FLOW_MAX_GPM: f64 = 200.0;
const LEAST_RISE_K: f64 = 0.01;

fn checked_flow(flow: VolumeFlow) -> Result<VolumeFlow, WaterError> {
    within("the flow", flow, 0.0, FLOW_MAX_GPM, "gpm")
}

pub(crate) fn checked_power(power: Power) -> Result<Power, WaterError> {
    within("the power", power, 0.0, 1000.0, "kW")
}

/// Heat in J/kg from the inlet's state to a temperature at the same pressure.
pub(crate) fn enthalpy_rise(inlet: &Water, outlet: Temperature) -> Result<f64, WaterError> {
    not_below("the outlet", outlet, "the inlet", inlet.temperature())?;
    Ok(inlet.heated_to(outlet)?.enthalpy_j_per_kg() - inlet.enthalpy_j_per_kg())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn inlet(temp_f: f64) -> Water {
        Water::in_house(Temperature::from_fahrenheit(temp_f)).unwrap()
    }

    fn gpm(number: f64) -> VolumeFlow {
        VolumeFlow::from_gallons_per_minute(number)
    }

    #[test]
    fn power_and_capacity() {
        for case in &checks::load("water/heating.toml").cases {
            let cold = inlet(case.given("inlet_f"));
            let outlet = Temperature::from_fahrenheit(case.given("outlet_f"));
            if case.expected("power_kw").is_some() {
                let power = power_needed(gpm(case.given("flow_gpm")), &cold, outlet).unwrap();
                case.close("power_kw", power.as_kilowatts());
            }
            if case.expected("flow_gpm").is_some() {
                let flow = flow_heated(Power::from_kilowatts(case.given("power_kw")), &cold, outlet).unwrap();
                case.close("flow_gpm", flow.as_gallons_per_minute());
            }
        }
    }

    #[test]
    fn the_trade_constant_holds_within_its_basis() {
        // 8.33 lb/gal · 60 min/h · 1 Btu/(lb·°F) / 3412.142 Btu/kWh = 0.14648 (arithmetic). With the densities the
        // handbook prints, 8.339 lb/gal at 60 °F, it is 0.14663.
        let by = |pounds_per_gallon: f64| pounds_per_gallon * 60.0 / 3412.142;
        assert!((by(8.33) - 0.14648).abs() < 1e-5 && (by(8.339) - 0.14663).abs() < 1e-5);
        for (inlet_f, outlet_f) in [
            (40.0, 105.0),
            (50.0, 105.0),
            (50.0, 120.0),
            (60.0, 120.0),
            (77.0, 110.0),
        ] {
            let power =
                power_needed(gpm(1.0), &inlet(inlet_f), Temperature::from_fahrenheit(outlet_f)).unwrap();
            let constant = power.as_kilowatts() / (outlet_f - inlet_f);
            // Density at the inlet is 8.32 to 8.345 lb/gal, specific heat 0.998 to 1.002 Btu/(lb·°F).
            assert!(
                (0.1460..=0.1468).contains(&constant),
                "{inlet_f} to {outlet_f}: {constant}"
            );
        }
        let usual = power_needed(gpm(1.0), &inlet(50.0), Temperature::from_fahrenheit(120.0)).unwrap();
        assert!((usual.as_kilowatts() / 70.0 - 0.1465).abs() < 0.0002);
    }

    #[test]
    fn a_heater_holds_its_set_point_or_gives_its_power() {
        let heater = Heater {
            power: Power::from_kilowatts(18.0),
            set_point: Temperature::from_fahrenheit(120.0),
        };
        let cold = inlet(50.0);
        let small = heater.heat(gpm(1.0), &cold).unwrap();
        assert!(small.holds_set_point && small.outlet == heater.set_point && small.power < heater.power);
        let large = heater.heat(gpm(4.0), &cold).unwrap();
        assert!(!large.holds_set_point && large.outlet < heater.set_point && large.power == heater.power);
        // No flow takes no power; water already hot passes.
        assert_eq!(heater.heat(gpm(0.0), &cold).unwrap().power, Power::zero());
        let hot = heater.heat(gpm(1.0), &inlet(125.0)).unwrap();
        assert_eq!(
            (hot.power, hot.outlet),
            (Power::zero(), inlet(125.0).temperature())
        );
    }

    #[test]
    fn nonsense_and_steam_are_refused() {
        let cold = inlet(50.0);
        assert!(matches!(
            outlet_temperature(Power::from_kilowatts(27.0), gpm(0.2), &cold),
            Err(WaterError::WouldBoil { .. })
        ));
        assert!(outlet_temperature(Power::from_kilowatts(9.0), gpm(0.0), &cold).is_err());
        assert!(outlet_temperature(Power::from_kilowatts(f64::NAN), gpm(1.0), &cold).is_err());
        assert!(matches!(
            power_needed(gpm(1.0), &cold, Temperature::from_fahrenheit(40.0)),
            Err(WaterError::NotWarmer { .. })
        ));
        assert!(flow_heated(Power::from_kilowatts(9.0), &cold, cold.temperature()).is_err());
        assert!(power_needed(gpm(f64::INFINITY), &cold, Temperature::from_fahrenheit(100.0)).is_err());
    }

    proptest! {
        #[test]
        fn the_energy_balance_closes(inlet_f in 33.0_f64..90.0, flow in 0.3_f64..10.0, kw in 0.5_f64..20.0) {
            let cold = inlet(inlet_f);
            prop_assume!(kw / (0.1465 * flow) < 150.0);
            let outlet = outlet_temperature(Power::from_kilowatts(kw), gpm(flow), &cold).unwrap();
            let back = power_needed(gpm(flow), &cold, outlet).unwrap();
            prop_assert!((back.as_kilowatts() / kw - 1.0).abs() < 1e-9, "{back:?}");
            let flow_back = flow_heated(Power::from_kilowatts(kw), &cold, outlet).unwrap();
            prop_assert!((flow_back.as_gallons_per_minute() / flow - 1.0).abs() < 1e-9);
        }

        #[test]
        fn more_power_never_gives_cooler_water(flow in 0.5_f64..10.0, kw in 0.0_f64..20.0, more in 0.0_f64..10.0) {
            let cold = inlet(50.0);
            let heat = |kw| Heater { power: Power::from_kilowatts(kw), set_point: Temperature::from_fahrenheit(125.0) }
                .heat(gpm(flow), &cold).unwrap().outlet;
            prop_assert!(heat(kw + more) >= heat(kw) - quantity::TemperatureDifference::from_celsius(1e-9));
        }
    }
}
