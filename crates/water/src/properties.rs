//! Liquid water at a temperature and pressure: density, specific heat, viscosity, conductivity, heat content.
//!
//! In: a temperature and an absolute pressure. Out: a [`Water`], checked to be liquid and in range. Start at
//! [`Water::at`]. Every other part of the engine takes a `Water` where it needs properties, so that each is worked out
//! once and never in an inner loop.
//!
//! Range: 0 °C (the standard's own lower end; a main at 32 °F must pass) to 150 °C, boiling pressure to 1000 bar.
//! Sources: IAPWS R7-97(2012) region 1 and 4, R12-08, R15-11.

use crate::error::{WaterError, within};
use crate::{if97, transport};
use quantity::{AbsolutePressure, Density, SpecificHeat, Temperature, ThermalConductivity, Viscosity};

/// Liquid water at one temperature and pressure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Water {
    temperature: Temperature,
    pressure: AbsolutePressure,
    density_kg_per_m3: f64,
    enthalpy_j_per_kg: f64,
    heat_capacity_j_per_kg_k: f64,
    viscosity_pa_s: f64,
}

impl Water {
    /// Liquid water at a temperature and absolute pressure.
    ///
    /// v, h and cp from the Gibbs energy of IF97 region 1; μ(ρ, T) from R12-08.
    ///
    /// # Symbols
    /// | here          | meaning                     | kind               |
    /// |---------------|-----------------------------|--------------------|
    /// | `temperature` | temperature of the water    | `Temperature`      |
    /// | `pressure`    | pressure above vacuum       | `AbsolutePressure` |
    ///
    /// # Valid
    /// 0 to 150 °C, boiling pressure to 1000 bar.
    /// # Outside
    /// [`WaterError::OutOfRange`]; [`WaterError::WouldBoil`] where the water would be steam.
    /// # Assumes
    /// Pure water: dissolved salts of a house supply move density by less than 0.1 %.
    /// # Source
    /// IAPWS R7-97(2012), R12-08; verification tables from memory, confirmed by two independent libraries.
    /// # Example
    /// ```
    /// use quantity::{AbsolutePressure, Temperature};
    /// use water::Water;
    /// let water = Water::at(Temperature::from_celsius(20.0), AbsolutePressure::from_kilopascals(101.325))?;
    /// // 998.206 kg/m³ and 1001.6 µPa·s at 20 °C in the standards' tables; five digits are printed.
    /// assert!((water.density().as_kilograms_per_cubic_meter() - 998.206).abs() < 0.001);
    /// assert!((water.viscosity().as_millipascal_seconds() - 1.0016).abs() < 1e-5);
    /// # Ok::<(), water::WaterError>(())
    /// ```
    pub fn at(temperature: Temperature, pressure: AbsolutePressure) -> Result<Self, WaterError> {
        let temperature = within("the water temperature", temperature, 0.0, 150.0, "°C")?;
        let pressure = within("the absolute water pressure", pressure, 0.6, 1e5, "kPa")?;
        let (pressure_pa, temperature_k) = (pressure.as_pascals(), temperature.as_kelvins());
        if pressure_pa < if97::boiling_pressure_pa(temperature_k) {
            return Err(WaterError::WouldBoil {
                temperature,
                pressure_kpa: pressure.as_kilopascals(),
            });
        }
        let state = if97::liquid(pressure_pa, temperature_k);
        let density_kg_per_m3 = 1.0 / state.volume_m3_per_kg;
        Ok(Self {
            temperature,
            pressure,
            density_kg_per_m3,
            enthalpy_j_per_kg: state.enthalpy_j_per_kg,
            heat_capacity_j_per_kg_k: state.heat_capacity_j_per_kg_k,
            viscosity_pa_s: transport::viscosity_pa_s(density_kg_per_m3, temperature_k),
        })
    }

    /// Liquid water at a temperature and the usual working pressure of a house (a named value of the tables).
    ///
    /// # Errors
    /// As [`Water::at`].
    pub fn in_house(temperature: Temperature) -> Result<Self, WaterError> {
        Self::at(
            temperature,
            tables::water_parameter::water_parameters().working_pressure.value,
        )
    }

    /// The same water at another temperature.
    ///
    /// # Errors
    /// As [`Water::at`].
    pub fn heated_to(&self, temperature: Temperature) -> Result<Self, WaterError> {
        Self::at(temperature, self.pressure)
    }

    /// Temperature.
    pub fn temperature(&self) -> Temperature {
        self.temperature
    }

    /// Absolute pressure.
    pub fn pressure(&self) -> AbsolutePressure {
        self.pressure
    }

    /// Density.
    pub fn density(&self) -> Density {
        Density::from_kilograms_per_cubic_meter(self.density_kg_per_m3)
    }

    /// Specific heat at constant pressure.
    pub fn specific_heat(&self) -> SpecificHeat {
        SpecificHeat::from_joules_per_kilogram_kelvin(self.heat_capacity_j_per_kg_k)
    }

    /// Dynamic viscosity.
    pub fn viscosity(&self) -> Viscosity {
        Viscosity::from_pascal_seconds(self.viscosity_pa_s)
    }

    /// Thermal conductivity.
    pub fn conductivity(&self) -> ThermalConductivity {
        ThermalConductivity::from_watts_per_meter_kelvin(transport::conductivity_w_per_m_k(
            self.density_kg_per_m3,
            self.temperature.as_kelvins(),
        ))
    }

    pub(crate) fn density_kg_per_m3(&self) -> f64 {
        self.density_kg_per_m3
    }

    pub(crate) fn enthalpy_j_per_kg(&self) -> f64 {
        self.enthalpy_j_per_kg
    }

    pub(crate) fn viscosity_pa_s(&self) -> f64 {
        self.viscosity_pa_s
    }

    /// The temperature at which water of this pressure holds a given enthalpy. Newton's steps: the enthalpy is nearly
    /// straight in temperature, so three suffice.
    pub(crate) fn temperature_at_enthalpy(&self, enthalpy_j_per_kg: f64) -> Result<Temperature, WaterError> {
        let pressure_pa = self.pressure.as_pascals();
        let mut guess_k = self.temperature.as_kelvins()
            + (enthalpy_j_per_kg - self.enthalpy_j_per_kg) / self.heat_capacity_j_per_kg_k;
        if !guess_k.is_finite() || guess_k > ENTHALPY_GUESS_MAX_K {
            return Err(self.would_boil(guess_k));
        }
        guess_k = guess_k.max(COLDEST_K);
        let mut off_k = f64::INFINITY;
        for _ in 0..ENTHALPY_STEPS_MAX {
            let state = if97::liquid(pressure_pa, guess_k);
            off_k = (enthalpy_j_per_kg - state.enthalpy_j_per_kg) / state.heat_capacity_j_per_kg_k;
            guess_k += off_k;
            if off_k.abs() < ENTHALPY_CLOSE_K {
                return self.liquid_temperature(guess_k);
            }
        }
        Err(WaterError::NotConverged {
            what: "the temperature of heated water",
            residual: off_k,
            unit: "K",
            iterations: ENTHALPY_STEPS_MAX,
        })
    }

    /// A temperature found, if it is in range and water of it does not boil.
    fn liquid_temperature(&self, temperature_k: f64) -> Result<Temperature, WaterError> {
        let found = within(
            "the water temperature",
            Temperature::from_kelvins(temperature_k),
            0.0,
            150.0,
            "°C",
        )?;
        if self.pressure.as_pascals() < if97::boiling_pressure_pa(temperature_k) {
            return Err(self.would_boil(temperature_k));
        }
        Ok(found)
    }

    fn would_boil(&self, temperature_k: f64) -> WaterError {
        WaterError::WouldBoil {
            temperature: Temperature::from_kelvins(temperature_k),
            pressure_kpa: self.pressure.as_kilopascals(),
        }
    }
}

const COLDEST_K: f64 = 273.15;
/// Beyond this first guess the water is steam at any house pressure.
const ENTHALPY_GUESS_MAX_K: f64 = 600.0;
const ENTHALPY_STEPS_MAX: u32 = 20;
const ENTHALPY_CLOSE_K: f64 = 1e-10;

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn at(temp_c: f64, pressure_kpa: f64) -> Result<Water, WaterError> {
        Water::at(
            Temperature::from_celsius(temp_c),
            AbsolutePressure::from_kilopascals(pressure_kpa),
        )
    }

    #[test]
    fn independent_tables() {
        for name in [
            "water/properties_1atm.toml",
            "water/properties_400kpa.toml",
            "water/properties_grid.toml",
        ] {
            for case in &checks::load(name).cases {
                let water = at(case.given("temperature_c"), case.given("pressure_kpa")).unwrap();
                case.close(
                    "density_kg_per_m3",
                    water.density().as_kilograms_per_cubic_meter(),
                );
                case.close(
                    "specific_heat_j_per_kg_k",
                    water.specific_heat().as_joules_per_kilogram_kelvin(),
                );
                case.close("viscosity_upa_s", water.viscosity().as_pascal_seconds() * 1e6);
                case.close(
                    "conductivity_w_per_m_k",
                    water.conductivity().as_watts_per_meter_kelvin(),
                );
            }
        }
    }

    #[test]
    fn steam_ice_and_nonsense_are_refused() {
        assert!(matches!(at(101.0, 101.325), Err(WaterError::WouldBoil { .. })));
        assert!(at(99.0, 101.325).is_ok());
        assert!(matches!(at(-0.1, 400.0), Err(WaterError::OutOfRange { .. })));
        assert!(matches!(at(151.0, 1000.0), Err(WaterError::OutOfRange { .. })));
        assert!(at(f64::NAN, 400.0).is_err() && at(20.0, f64::NAN).is_err() && at(20.0, -5.0).is_err());
        assert!(Water::in_house(Temperature::from_fahrenheit(32.0)).is_ok());
    }

    proptest! {
        #[test]
        fn temperature_and_enthalpy_undo_each_other(cold_c in 0.0_f64..90.0, hot_c in 0.0_f64..140.0, kpa in 400.0_f64..1000.0) {
            let cold = at(cold_c, kpa).unwrap();
            let hot = at(hot_c, kpa).unwrap();
            let back = cold.temperature_at_enthalpy(hot.enthalpy_j_per_kg()).unwrap();
            prop_assert!((back.as_celsius() - hot_c).abs() < 1e-8, "{back:?}");
        }

        #[test]
        fn nothing_given_yields_a_number_that_is_none(temp_c in -1e3_f64..1e3, kpa in -1e3_f64..1e6) {
            if let Ok(water) = at(temp_c, kpa) {
                prop_assert!(water.density_kg_per_m3().is_finite() && water.viscosity_pa_s() > 0.0);
            }
        }
    }
}
