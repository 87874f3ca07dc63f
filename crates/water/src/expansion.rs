//! Water that grows when heated: how much, what an expansion tank must hold, and how hard a closed pipe is pressed.
//!
//! In: volumes, temperatures, pressures. Out: growth, tank volume, pressure rise. Start at [`growth`]. Does not know
//! valves or relief; a closed section between shut valves with heat on has no tank at all.

use crate::error::{WaterError, within};
use crate::if97;
use crate::properties::Water;
use quantity::{
    AbsolutePressure, GaugePressure, PressureDifference, Ratio, Temperature, TemperatureDifference, Volume,
};

/// How much water grows when heated at constant pressure, relative to its volume when cold.
///
/// ΔV/V = ρ(T₁)/ρ(T₂) − 1
///
/// # Symbols
/// | here     | meaning                              | kind          |
/// |----------|--------------------------------------|---------------|
/// | `cold`   | the cold water: T₁ and pressure      | `Water`       |
/// | `heated` | T₂                                   | `Temperature` |
/// | result   | growth; below zero when it shrinks   | `Ratio`       |
///
/// # Valid
/// 0 to 150 °C below boiling.
/// # Outside
/// As [`Water::at`].
/// # Assumes
/// No dissolved air comes out.
/// # Source
/// IAPWS R7-97; handbook of the project, section 12.
/// # Example
/// ```
/// use quantity::Temperature;
/// use water::{Water, expansion::growth};
/// let f = Temperature::from_fahrenheit;
/// // 50 to 140 °F at 0.5 MPa: 1.679 %.
/// assert!((growth(&Water::in_house(f(50.0))?, f(140.0))?.as_percent() - 1.679).abs() < 0.002);
/// # Ok::<(), water::WaterError>(())
/// ```
pub fn growth(cold: &Water, heated: Temperature) -> Result<Ratio, WaterError> {
    let hot = cold.heated_to(heated)?;
    Ok(Ratio::from_fraction(
        cold.density_kg_per_m3() / hot.density_kg_per_m3() - 1.0,
    ))
}

/// The least volume of a diaphragm expansion tank that takes up a growth.
///
/// V = ΔV / (1 − p₁/p₂), absolute pressures
///
/// # Symbols
/// | here        | meaning                                        | kind               |
/// |-------------|------------------------------------------------|--------------------|
/// | `growth`    | ΔV, volume to take up                          | `Volume`           |
/// | `precharge` | p₁, air charge, equal to the supply pressure   | `GaugePressure`    |
/// | `most`      | p₂, pressure not to be passed                  | `GaugePressure`    |
/// | `air`       | pressure of the surrounding air                | `AbsolutePressure` |
/// | result      | V, nominal volume of the tank                  | `Volume`           |
///
/// # Valid
/// Precharge 5 to 150 psi, `most` at least 1 psi above it, growth 0 to 1000 gal.
/// # Outside
/// [`WaterError::OutOfRange`].
/// # Assumes
/// The air charge keeps its temperature and is set before filling; a charge below the supply pressure wastes tank.
/// # Source
/// Gas law; handbook of the project, section 12 and test case 31.
/// # Example
/// ```
/// use quantity::{AbsolutePressure, GaugePressure, Volume};
/// use water::expansion::tank_volume;
/// let psi = GaugePressure::from_psi;
/// // 0.839 gal between 60 and 80 psi: 3.97 gal.
/// let tank = tank_volume(Volume::from_gallons(0.839), psi(60.0), psi(80.0), AbsolutePressure::from_psia(14.7))?;
/// assert!((tank.as_gallons() - 3.97).abs() < 0.02);
/// # Ok::<(), water::WaterError>(())
/// ```
pub fn tank_volume(
    growth: Volume,
    precharge: GaugePressure,
    most: GaugePressure,
    air: AbsolutePressure,
) -> Result<Volume, WaterError> {
    let growth = within("the growth of the water", growth, 0.0, 1000.0, "gal")?;
    let precharge = within("the air charge of the tank", precharge, 5.0, 150.0, "psi")?;
    let most = within(
        "the highest pressure",
        most,
        precharge.as_psi() + 1.0,
        300.0,
        "psi",
    )?;
    let air = within("the pressure of the air", air, 5.0, 16.0, "psia")?;
    let ratio = precharge.absolute(air).as_pascals() / most.absolute(air).as_pascals();
    Ok(growth / (1.0 - ratio))
}

/// How far the pressure of trapped water climbs when it warms in a rigid closed pipe.
///
/// ρ(T + ΔT, p + Δp) = ρ(T, p), solved for Δp
///
/// # Symbols
/// | here      | meaning                             | kind                    |
/// |-----------|-------------------------------------|-------------------------|
/// | `trapped` | the water when it was shut in       | `Water`                 |
/// | `rise`    | ΔT, by which it warms               | `TemperatureDifference` |
/// | result    | Δp                                  | `PressureDifference`    |
///
/// # Valid
/// 0 to 30 °C of warming; to 1000 bar and 150 °C.
/// # Outside
/// [`WaterError::OutOfRange`]. Water below 4 °C shrinks on warming: the result is then negative.
/// # Assumes
/// A pipe that does not give and has no air in it: an upper bound. Real pipe stretches, and joints open.
/// # Source
/// IAPWS R7-97 by constant density; handbook of the project, section 12: about 27 psi per °F at 60 °F, 67 at 100 °F.
/// # Example
/// ```
/// use quantity::{Temperature, TemperatureDifference};
/// use water::{Water, expansion::trapped_pressure_rise};
/// let trapped = Water::in_house(Temperature::from_fahrenheit(100.0))?;
/// let rise = trapped_pressure_rise(&trapped, TemperatureDifference::from_fahrenheit(1.0))?;
/// assert!((rise.as_psi() - 67.0).abs() < 1.0);
/// # Ok::<(), water::WaterError>(())
/// ```
pub fn trapped_pressure_rise(
    trapped: &Water,
    rise: TemperatureDifference,
) -> Result<PressureDifference, WaterError> {
    let rise = within("the warming of trapped water", rise, 0.0, 30.0, "°C")?;
    let warm = within(
        "the temperature of trapped water",
        trapped.temperature() + rise,
        0.0,
        150.0,
        "°C",
    )?;
    let volume = 1.0 / trapped.density_kg_per_m3();
    let start_pa = trapped.pressure().as_pascals();
    let mut pressure_pa = start_pa;
    let mut residual_pa = f64::INFINITY;
    for _ in 0..STEPS_MAX {
        let state = if97::liquid(pressure_pa, warm.as_kelvins());
        residual_pa = (state.volume_m3_per_kg / volume - 1.0) / state.compressibility_per_pa;
        pressure_pa += residual_pa;
        if residual_pa.abs() < CLOSE_PA {
            let pressure = AbsolutePressure::from_pascals(pressure_pa);
            within("the pressure of trapped water", pressure, -1e5, 1e5, "kPa")?;
            return Ok(PressureDifference::from_pascals(pressure_pa - start_pa));
        }
    }
    Err(WaterError::NotConverged {
        what: "the pressure of trapped water",
        residual: residual_pa,
        unit: "Pa",
        iterations: STEPS_MAX,
    })
}

const STEPS_MAX: u32 = 50;
const CLOSE_PA: f64 = 0.01;

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn water(temp_f: f64) -> Water {
        Water::in_house(Temperature::from_fahrenheit(temp_f)).unwrap()
    }

    #[test]
    fn handbook_figures() {
        for case in &checks::load("water/expansion.toml").cases {
            if case.expected("growth_percent").is_some() {
                let found = growth(
                    &water(case.given("cold_f")),
                    Temperature::from_fahrenheit(case.given("hot_f")),
                )
                .unwrap();
                case.close("growth_percent", found.as_percent());
            }
            if case.expected("tank_gal").is_some() {
                let found = tank_volume(
                    Volume::from_gallons(case.given("growth_gal")),
                    GaugePressure::from_psi(case.given("precharge_psi")),
                    GaugePressure::from_psi(case.given("most_psi")),
                    AbsolutePressure::from_psia(14.7),
                )
                .unwrap();
                case.close("tank_gal", found.as_gallons());
            }
            if case.expected("psi_per_f").is_some() {
                let rise = TemperatureDifference::from_fahrenheit(0.1);
                let found = trapped_pressure_rise(&water(case.given("temperature_f")), rise).unwrap();
                case.close("psi_per_f", found.as_psi() * 10.0);
            }
        }
    }

    #[test]
    fn very_cold_water_shrinks() {
        let rise = TemperatureDifference::from_celsius(1.0);
        assert!(trapped_pressure_rise(&water(33.0), rise).unwrap() < PressureDifference::zero());
        assert!(growth(&water(33.0), Temperature::from_fahrenheit(38.0)).unwrap() < Ratio::zero());
    }

    #[test]
    fn nonsense_is_refused() {
        let (psi, air) = (GaugePressure::from_psi, AbsolutePressure::from_psia(14.7));
        let gal = Volume::from_gallons;
        assert!(tank_volume(gal(1.0), psi(60.0), psi(60.0), air).is_err());
        assert!(tank_volume(gal(-1.0), psi(60.0), psi(80.0), air).is_err());
        assert!(tank_volume(gal(1.0), psi(f64::NAN), psi(80.0), air).is_err());
        assert!(trapped_pressure_rise(&water(60.0), TemperatureDifference::from_celsius(31.0)).is_err());
        assert!(trapped_pressure_rise(&water(60.0), TemperatureDifference::from_celsius(f64::NAN)).is_err());
    }

    proptest! {
        #[test]
        fn trapped_water_keeps_its_density(temp_f in 50.0_f64..200.0, rise_c in 0.0_f64..20.0) {
            let trapped = water(temp_f);
            let rise = TemperatureDifference::from_celsius(rise_c);
            let found = trapped_pressure_rise(&trapped, rise).unwrap();
            let pressure = AbsolutePressure::from_pascals(trapped.pressure().as_pascals() + found.as_pascals());
            let after = Water::at(trapped.temperature() + rise, pressure).unwrap();
            prop_assert!((after.density_kg_per_m3() / trapped.density_kg_per_m3() - 1.0).abs() < 1e-9);
        }

        #[test]
        fn a_wider_margin_needs_a_smaller_tank(most in 62.0_f64..150.0, more in 0.1_f64..50.0) {
            let of = |most| tank_volume(Volume::from_gallons(1.0), GaugePressure::from_psi(60.0), GaugePressure::from_psi(most), AbsolutePressure::from_psia(14.7)).unwrap();
            prop_assert!(of(most + more) < of(most));
        }
    }
}
