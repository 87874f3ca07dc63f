//! Conductor temperature: resistance away from 75 °C, and how warm a loaded conductor runs.
//!
//! In: a resistance at 75 °C and a temperature; or ambient and current. Out: the resistance there; the steady
//! temperature. A cold copper run has up to a fifth less resistance than the tables print, so a drop measured on a short
//! draw is smaller than one predicted from them.

use crate::PowerError;
use crate::error::in_range;
use quantity::{Current, ResistancePerLength, Temperature, TemperatureDifference};
use tables::ampacity::{BASE_AMBIENT_C, TemperatureColumn};
use tables::conductor::{ConductorMaterial, metal};

/// Temperature the resistance tables are printed for.
pub fn table_temperature() -> Temperature {
    Temperature::from_celsius(75.0)
}

/// Resistance at another temperature.
///
/// R2 = R1 · (1 + α · (T2 − 75 °C))
///
/// # Symbols
/// | here          | meaning                                   | unit |
/// |---------------|-------------------------------------------|------|
/// | `at_75c`      | resistance at 75 °C R1                    | Ω/m  |
/// | `material`    | metal; gives its coefficient at 75 °C α   | 1/K  |
/// | `temperature` | conductor temperature T2                  | °C   |
/// | result        | resistance there R2                       | Ω/m  |
///
/// # Valid
/// −50 °C to 150 °C; 0 to 1 Ω/m.
/// # Outside
/// [`PowerError::OutOfRange`].
/// # Assumes
/// Linear, as the note to the table does.
/// # Source
/// Note to Chapter 9, Table 8: α = 0.00323 copper, 0.00330 aluminum; seen on a page quoting it.
/// # Example
/// ```
/// use power::conductor_temperature::resistance_at;
/// use quantity::{ResistancePerLength, Temperature};
/// use tables::conductor::ConductorMaterial;
/// let table = ResistancePerLength::from_ohms_per_thousand_feet(0.778);
/// let cold = resistance_at(table, ConductorMaterial::Copper, Temperature::from_celsius(20.0))?;
/// // Fact sheet, case VD7: 0.778 × (1 − 0.00323 × 55); loop of 100 ft 0.12796 Ω.
/// assert!((cold.as_ohms_per_thousand_feet() * 0.2 - 0.12796).abs() < 5e-6);
/// # Ok::<(), power::PowerError>(())
/// ```
pub fn resistance_at(
    at_75c: ResistancePerLength,
    material: ConductorMaterial,
    temperature: Temperature,
) -> Result<ResistancePerLength, PowerError> {
    let at_75c = in_range(
        "conductor resistance",
        at_75c,
        ResistancePerLength::zero(),
        ResistancePerLength::from_ohms_per_meter(1.0),
    )?;
    let temperature = conductor_in_range(temperature)?;
    let above_k = (temperature - table_temperature()).as_celsius();
    Ok(at_75c * (1.0 + metal(material).value.coefficient_75c_per_k * above_k))
}

/// Steady temperature of a loaded conductor.
///
/// Tc = Ta + (I/Icol)² · (Tcol − 30 °C)
///
/// # Symbols
/// | here              | meaning                                         | unit |
/// |-------------------|-------------------------------------------------|------|
/// | `ambient`         | surrounding temperature Ta                      | °C   |
/// | `current`         | current I                                       | A    |
/// | `column`          | temperature column; gives its temperature Tcol  | °C   |
/// | `column_ampacity` | uncorrected ampacity of that column Icol        | A    |
/// | result            | conductor temperature Tc                        | °C   |
///
/// # Valid
/// −50 °C to 90 °C ambient; 0 to 10 kA; `column_ampacity` from 1 A.
/// # Outside
/// [`PowerError::OutOfRange`], also when the conductor would be hotter than 150 °C.
/// # Assumes
/// Heat passes to the surroundings in proportion to the temperature difference; steady state. A draw of minutes leaves
/// the conductor cooler.
/// # Source
/// Computed: standard heat balance behind the ambient correction (fact sheet, section 5).
/// # Example
/// ```
/// use power::conductor_temperature::running_temperature;
/// use quantity::{Current, Temperature};
/// use tables::ampacity::TemperatureColumn;
/// let found = running_temperature(
///     Temperature::from_celsius(30.0), Current::from_amperes(37.5), TemperatureColumn::C75, Current::from_amperes(50.0))?;
/// // Fact sheet, section 5: 8 AWG at 37.5 A runs at 55.3 °C.
/// assert!((found.as_celsius() - 55.3).abs() < 0.05);
/// # Ok::<(), power::PowerError>(())
/// ```
pub fn running_temperature(
    ambient: Temperature,
    current: Current,
    column: TemperatureColumn,
    column_ampacity: Current,
) -> Result<Temperature, PowerError> {
    let ambient = in_range(
        "ambient temperature",
        ambient,
        Temperature::from_celsius(-50.0),
        Temperature::from_celsius(90.0),
    )?;
    let most = Current::from_amperes(1e4);
    let current = in_range("current", current, Current::zero(), most)?;
    let column_ampacity = in_range(
        "column ampacity",
        column_ampacity,
        Current::from_amperes(1.0),
        most,
    )?;
    let load = current / column_ampacity;
    let rise_at_ampacity_k = column.temperature().as_celsius() - BASE_AMBIENT_C;
    conductor_in_range(ambient + TemperatureDifference::from_celsius(load * load * rise_at_ampacity_k))
}

/// Conductor temperatures the engine works with.
pub(crate) fn conductor_in_range(temperature: Temperature) -> Result<Temperature, PowerError> {
    in_range(
        "conductor temperature",
        temperature,
        Temperature::from_celsius(-50.0),
        Temperature::from_celsius(150.0),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn running_and_resistance_agree_with_the_fact_sheet() {
        // Fact sheet, section 5: 55.3 °C gives 0.7285 Ω/kft for 8 AWG.
        let warm = resistance_at(
            ResistancePerLength::from_ohms_per_thousand_feet(0.778),
            ConductorMaterial::Copper,
            Temperature::from_celsius(55.3125),
        )
        .unwrap();
        assert!((warm.as_ohms_per_thousand_feet() - 0.7285).abs() < 5e-5);
    }

    #[test]
    fn at_its_ampacity_a_conductor_reaches_its_column() {
        for column in TemperatureColumn::ALL {
            let ampacity = Current::from_amperes(50.0);
            let found =
                running_temperature(Temperature::from_celsius(30.0), ampacity, column, ampacity).unwrap();
            assert!((found.as_celsius() - column.temperature().as_celsius()).abs() < 1e-9);
        }
        let absurd = running_temperature(
            Temperature::from_celsius(30.0),
            Current::from_amperes(1e4),
            TemperatureColumn::C60,
            Current::from_amperes(15.0),
        );
        assert!(absurd.is_err());
    }
}
