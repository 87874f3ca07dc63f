//! A filled pipe cooling while nobody draws: how fast it loses heat and how long it stays warm.
//!
//! In: a pipe, its insulation, the air around it. Out: heat loss per length and degree, time to cool, temperature after
//! a time. Start at [`heat_loss_per_length`] and [`cooling_time`]. Does not know flow: losses on the way are a later
//! engine's.
//!
//! One temperature across water and wall, one air temperature, still air: a pipe in a slab, wet ground or a draft loses
//! several times as much (handbook of the project, section 6, from memory). A measured loss replaces the model.

use crate::error::{WaterError, within};
use crate::pipe::Pipe;
use crate::properties::Water;
use quantity::{
    HeatCapacityPerLength, HeatLossPerLength, Length, SurfaceHeatTransfer, Temperature, ThermalConductivity,
    Time,
};
use std::f64::consts::PI;

/// Insulation around a pipe.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Insulation {
    /// Thickness.
    pub thickness: Length,
    /// Conductivity.
    pub conductivity: ThermalConductivity,
}

/// Heat a pipe full of water loses, per length and degree above the air.
///
/// U = 1 / ( ln(D/d)/(2π kw) + ln(Di/D)/(2π ki) + 1/(π Di h) )
///
/// # Symbols
/// | here         | meaning                                           | kind                  |
/// |--------------|---------------------------------------------------|-----------------------|
/// | `pipe`       | bore d, outside D, wall conductivity kw           | `Pipe`                |
/// | `insulation` | outside Di = D + 2 thickness, conductivity ki     | `Insulation`          |
/// | `surface`    | h, surface to still air, with radiation           | `SurfaceHeatTransfer` |
/// | result       | U                                                 | `HeatLossPerLength`   |
///
/// # Valid
/// Insulation 0 to 6 in of 0.01 to 1 W/(m·K); h 1 to 100 W/(m²·K).
/// # Outside
/// [`WaterError::OutOfRange`].
/// # Assumes
/// No resistance between water and wall; h alike on pipe and on insulation.
/// # Source
/// Cylindrical resistances (ASHRAE method as cited by a tube design manual, h 1.761 Btu/(h·ft²·°F) seen); the model
/// table of the handbook. Laboratory values remembered with low confidence lie within 4 % for 3/4 in copper.
/// # Example
/// ```
/// use quantity::Length;
/// use tables::{pipe::PipeMaterial, water_parameter::water_parameters};
/// use water::{pipe::Pipe, standing_loss::heat_loss_per_length};
/// let pipe = Pipe::of(PipeMaterial::CopperL, "3/4 in".parse()?, Length::from_feet(1.0))?;
/// let bare = heat_loss_per_length(&pipe, None, water_parameters().surface_heat_transfer.value)?;
/// // The handbook's model table: 0.403 Btu/(h·ft·°F).
/// assert!((bare.as_btu_per_hour_foot_fahrenheit() - 0.403).abs() < 0.001);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn heat_loss_per_length(
    pipe: &Pipe,
    insulation: Option<Insulation>,
    surface: SurfaceHeatTransfer,
) -> Result<HeatLossPerLength, WaterError> {
    let film = within("the surface heat transfer", surface, 1.0, 100.0, "W/(m²·K)")?
        .as_watts_per_square_meter_kelvin();
    let outside_m = pipe.outside_diameter().as_meters();
    let wall = (outside_m / pipe.inside_diameter().as_meters()).ln()
        / (2.0 * PI * pipe.wall().conductivity.as_watts_per_meter_kelvin());
    let (around, surface_m) = match insulation {
        None => (0.0, outside_m),
        Some(insulation) => {
            let thickness = within("the insulation", insulation.thickness, 0.0, 6.0, "in")?;
            let conductivity = within(
                "the conductivity of the insulation",
                insulation.conductivity,
                0.01,
                1.0,
                "W/(m·K)",
            )?;
            let insulated_m = outside_m + 2.0 * thickness.as_meters();
            (
                (insulated_m / outside_m).ln() / (2.0 * PI * conductivity.as_watts_per_meter_kelvin()),
                insulated_m,
            )
        }
    };
    let resistance = wall + around + 1.0 / (PI * surface_m * film);
    Ok(HeatLossPerLength::from_watts_per_meter_kelvin(1.0 / resistance))
}

/// Heat that water and wall of a pipe store, per length and degree.
///
/// ```
/// use quantity::{Length, Temperature};
/// use tables::pipe::PipeMaterial;
/// use water::{Water, pipe::Pipe, standing_loss::heat_capacity_per_length};
/// let pipe = Pipe::of(PipeMaterial::CopperL, "3/4 in".parse()?, Length::from_feet(1.0))?;
/// // 0.2094 Btu/(ft·°F) of water and 0.0419 of wall: 0.2513.
/// let capacity = heat_capacity_per_length(&pipe, &Water::in_house(Temperature::from_fahrenheit(60.0))?);
/// assert!((capacity.as_btu_per_foot_fahrenheit() - 0.2513).abs() < 0.001);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn heat_capacity_per_length(pipe: &Pipe, water: &Water) -> HeatCapacityPerLength {
    let of_water = pipe.bore_area().as_square_meters()
        * water.density_kg_per_m3()
        * water.specific_heat().as_joules_per_kilogram_kelvin();
    HeatCapacityPerLength::from_joules_per_meter_kelvin(
        of_water * (1.0 + pipe.wall_heat_ratio(water).as_fraction()),
    )
}

/// A pipe cooling in air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cooling {
    /// Temperature at the beginning.
    pub start: Temperature,
    /// Temperature of the air.
    pub air: Temperature,
    /// Heat lost per length and degree.
    pub loss: HeatLossPerLength,
    /// Heat stored per length and degree.
    pub capacity: HeatCapacityPerLength,
}

impl Cooling {
    /// C/U, the time in which the difference to the air falls to 37 %.
    fn time_constant_s(&self) -> Result<f64, WaterError> {
        let loss = within("the heat loss per length", self.loss, 1e-3, 1e3, "W/(m·K)")?;
        let capacity = within("the heat capacity per length", self.capacity, 1.0, 1e7, "J/(m·K)")?;
        Ok(capacity.as_joules_per_meter_kelvin() / loss.as_watts_per_meter_kelvin())
    }

    fn checked(&self) -> Result<(), WaterError> {
        within("the temperature of the pipe", self.start, 0.0, 150.0, "°C")?;
        within("the temperature of the air", self.air, -60.0, 150.0, "°C")?;
        Ok(())
    }
}

/// Time in which a standing pipe cools (or warms) to a temperature; none when it never gets there, because the air is
/// not beyond it.
///
/// t = (C/U) ln( (T₀ − Ta) / (T − Ta) )
///
/// # Symbols
/// | here      | meaning                                    | kind          |
/// |-----------|--------------------------------------------|---------------|
/// | `cooling` | T₀, Ta, U and C                            | `Cooling`     |
/// | `to`      | T                                          | `Temperature` |
/// | result    | t, zero when it is there already           | `Time`        |
///
/// # Valid
/// Pipe 0 to 150 °C, air -60 to 150 °C.
/// # Outside
/// [`WaterError::OutOfRange`].
/// # Assumes
/// Constant U and C. Freezing is not followed.
/// # Source
/// Lumped cooling; handbook of the project, section 6 and test cases 35 and 36.
/// # Example
/// ```
/// use quantity::{HeatCapacityPerLength, HeatLossPerLength, Temperature};
/// use water::standing_loss::{Cooling, cooling_time};
/// let f = Temperature::from_fahrenheit;
/// let bare = Cooling {
///     start: f(120.0),
///     air: f(70.0),
///     loss: HeatLossPerLength::from_btu_per_hour_foot_fahrenheit(0.388),
///     capacity: HeatCapacityPerLength::from_btu_per_foot_fahrenheit(0.2513),
/// };
/// // 0.2513/0.388 · ln(50/35) = 13.9 min to 105 °F.
/// assert!(cooling_time(&bare, f(105.0))?.is_some_and(|time| (time.as_minutes() - 13.9).abs() < 0.1));
/// # Ok::<(), water::WaterError>(())
/// ```
pub fn cooling_time(cooling: &Cooling, to: Temperature) -> Result<Option<Time>, WaterError> {
    cooling.checked()?;
    let to = within("the temperature to reach", to, 0.0, 150.0, "°C")?;
    let constant_s = cooling.time_constant_s()?;
    let from_air = (cooling.start - cooling.air).as_celsius();
    let left = (to - cooling.air).as_celsius();
    if (from_air - left).abs() < SAME_K {
        return Ok(Some(Time::zero()));
    }
    let ratio = from_air / left;
    if !ratio.is_finite() || ratio < 1.0 {
        return Ok(None);
    }
    Ok(Some(Time::from_seconds(constant_s * ratio.ln())))
}

/// The temperature of a standing pipe after a time: T = Ta + (T₀ − Ta) exp(−U t/C).
///
/// # Errors
/// As [`cooling_time`]; when the time is not from 0 to 1000 days.
///
/// ```
/// use quantity::{HeatCapacityPerLength, HeatLossPerLength, Temperature, Time};
/// use water::standing_loss::{Cooling, temperature_after};
/// let f = Temperature::from_fahrenheit;
/// let foamed = Cooling {
///     start: f(120.0),
///     air: f(70.0),
///     loss: HeatLossPerLength::from_btu_per_hour_foot_fahrenheit(0.150),
///     capacity: HeatCapacityPerLength::from_btu_per_foot_fahrenheit(0.2513),
/// };
/// // 35.9 min to 105 °F with half an inch of foam.
/// assert!((temperature_after(&foamed, Time::from_minutes(35.9))?.as_fahrenheit() - 105.0).abs() < 0.1);
/// # Ok::<(), water::WaterError>(())
/// ```
pub fn temperature_after(cooling: &Cooling, time: Time) -> Result<Temperature, WaterError> {
    cooling.checked()?;
    let time = within("the time", time, 0.0, 1000.0, "d")?;
    let left = (-time.as_seconds() / cooling.time_constant_s()?).exp();
    let above = cooling.start - cooling.air;
    Ok(cooling.air + above * left)
}

const SAME_K: f64 = 1e-9;

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use tables::pipe::PipeMaterial;
    use tables::water_parameter::water_parameters;

    #[test]
    fn the_model_table_of_the_handbook() {
        for case in &checks::load("water/pipe_heat_loss.toml").cases {
            let material = match case.given_text("material") {
                "copper-l" => PipeMaterial::CopperL,
                "pex" => PipeMaterial::Pex,
                "cpvc" => PipeMaterial::Cpvc,
                other => panic!("{other}"),
            };
            let pipe = Pipe::of(
                material,
                case.given_text("size").parse().unwrap(),
                Length::from_feet(1.0),
            )
            .unwrap();
            let thickness_in = case.given("foam_in");
            let insulation = (thickness_in > 0.0).then(|| Insulation {
                thickness: Length::from_inches(thickness_in),
                conductivity: water_parameters().foam_conductivity.value,
            });
            let found =
                heat_loss_per_length(&pipe, insulation, water_parameters().surface_heat_transfer.value)
                    .unwrap();
            case.close("loss_btu_per_h_ft_f", found.as_btu_per_hour_foot_fahrenheit());
        }
    }

    fn cooling(loss: f64) -> Cooling {
        let pipe = Pipe::of(
            PipeMaterial::CopperL,
            "3/4 in".parse().unwrap(),
            Length::from_feet(1.0),
        )
        .unwrap();
        Cooling {
            start: Temperature::from_fahrenheit(120.0),
            air: Temperature::from_fahrenheit(70.0),
            loss: HeatLossPerLength::from_btu_per_hour_foot_fahrenheit(loss),
            capacity: heat_capacity_per_length(
                &pipe,
                &Water::in_house(Temperature::from_fahrenheit(112.0)).unwrap(),
            ),
        }
    }

    #[test]
    fn cool_down_times() {
        for case in &checks::load("water/cool_down.toml").cases {
            let to = Temperature::from_fahrenheit(case.given("to_f"));
            // The case counts 8.33 lb/gal and 1 Btu/(lb·°F) for the water: 1 % more than water of 112 °F holds.
            let capacity =
                HeatCapacityPerLength::from_btu_per_foot_fahrenheit(case.given("capacity_btu_per_ft_f"));
            let cooling = Cooling {
                capacity,
                ..cooling(case.given("loss_btu_per_h_ft_f"))
            };
            let found = cooling_time(&cooling, to).unwrap();
            case.close("time_min", found.unwrap().as_minutes());
        }
    }

    #[test]
    fn a_pipe_never_cools_below_its_air() {
        let to = |temp_f| cooling_time(&cooling(0.4), Temperature::from_fahrenheit(temp_f)).unwrap();
        assert_eq!(to(60.0), None);
        assert_eq!(to(70.0), None);
        assert_eq!(to(130.0), None);
        assert_eq!(to(120.0), Some(Time::zero()));
        // A cold pipe in warm air warms.
        let cold = Cooling {
            start: Temperature::from_fahrenheit(50.0),
            ..cooling(0.4)
        };
        assert!(
            cooling_time(&cold, Temperature::from_fahrenheit(65.0))
                .unwrap()
                .is_some()
        );
    }

    #[test]
    fn nonsense_is_refused() {
        assert!(cooling_time(&cooling(0.0), Temperature::from_fahrenheit(100.0)).is_err());
        assert!(cooling_time(&cooling(f64::NAN), Temperature::from_fahrenheit(100.0)).is_err());
        assert!(temperature_after(&cooling(0.4), Time::from_seconds(-1.0)).is_err());
        let pipe = Pipe::of(
            PipeMaterial::Pex,
            "3/4 in".parse().unwrap(),
            Length::from_feet(1.0),
        )
        .unwrap();
        assert!(
            heat_loss_per_length(
                &pipe,
                None,
                SurfaceHeatTransfer::from_watts_per_square_meter_kelvin(0.0)
            )
            .is_err()
        );
    }

    proptest! {
        #[test]
        fn time_and_temperature_undo_each_other(loss in 0.05_f64..2.0, to_f in 71.0_f64..120.0) {
            let cooling = cooling(loss);
            let time = cooling_time(&cooling, Temperature::from_fahrenheit(to_f)).unwrap().unwrap();
            let back = temperature_after(&cooling, time).unwrap();
            prop_assert!((back.as_fahrenheit() - to_f).abs() < 1e-8);
        }

        #[test]
        fn thicker_foam_never_loses_more(inches in 0.3_f64..3.0, more in 0.01_f64..1.0) {
            let pipe = Pipe::of(PipeMaterial::CopperL, "3/4 in".parse().unwrap(), Length::from_feet(1.0)).unwrap();
            let loss = |inches| {
                let foam = Insulation { thickness: Length::from_inches(inches), conductivity: water_parameters().foam_conductivity.value };
                heat_loss_per_length(&pipe, Some(foam), water_parameters().surface_heat_transfer.value).unwrap()
            };
            prop_assert!(loss(inches + more) < loss(inches));
        }
    }
}
