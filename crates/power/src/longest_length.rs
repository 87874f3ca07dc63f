//! How far each conductor size reaches: the one-way length at which a voltage-drop target is met exactly.
//!
//! In: the elements of one circuit, the voltage at the panel, a drop target. Out: for each tabulated size the length
//! after which the next size is wanted, by the fixed-resistance solution and by the usual constant-current method.
//! Does not look at ampacity: a size that reaches far may still be too small for the load.

use crate::PowerError;
use crate::conductor_temperature::resistance_at;
use crate::element::{Element, voltage_in_range};
use crate::error::in_range;
use quantity::{ConductorSize, Length, Ratio, ResistancePerLength, Temperature, Voltage};
use tables::ampacity::sizes;
use tables::conductor::{ConductorMaterial, Stranding, dc_resistance};
use tables::sourced::Sourced;

/// Reach of one size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reach {
    /// The size.
    pub size: ConductorSize,
    /// Resistance of one conductor at the temperature asked for; the source is that of the table value.
    pub resistance: Sourced<ResistancePerLength>,
    /// Longest one-way length, elements as fixed resistances.
    pub longest: Length,
    /// Longest one-way length by the usual method, with the rated current.
    pub longest_simple: Length,
}

/// Longest one-way length of each size for a drop target.
///
/// L = Re · d / (2 · r · (1 − d)); usual method: L = d · V / (2 · r · I)
///
/// # Symbols
/// | here            | meaning                                               | unit |
/// |-----------------|-------------------------------------------------------|------|
/// | `elements`      | elements on the circuit; give Re in parallel and the rated current I | Ω, A |
/// | `panel_voltage` | voltage at the panel V                                | V    |
/// | `target`        | drop as a share of the panel voltage d                | –    |
/// | `material`, `temperature` | conductor; give its resistance over length r | Ω/m  |
/// | result          | longest one-way length L of each size                 | m    |
///
/// # Valid
/// Drop 0.01 % to 50 %; 1 V to 1000 V; −50 °C to 150 °C.
/// # Outside
/// [`PowerError`].
/// # Assumes
/// Strands as usually sold; no reactance; nothing upstream of the panel.
/// # Source
/// Ohm's law; resistances of Chapter 9, Table 8.
/// # Example
/// ```
/// use power::conductor_temperature::table_temperature;
/// use power::element::Element;
/// use power::longest_length::longest_lengths;
/// use quantity::{Power, Ratio, Voltage};
/// use tables::conductor::ConductorMaterial;
/// let volts = Voltage::from_volts(240.0);
/// let element = Element::new(Power::from_kilowatts(9.0), volts)?;
/// // Fact sheet, case VD2: 8 AWG drops 2.3735 % at 100 ft, so that target is met up to 100 ft.
/// let reaches = longest_lengths(
///     &[element], volts, Ratio::from_percent(2.3735), ConductorMaterial::Copper, table_temperature())?;
/// let eight = reaches.iter().find(|reach| reach.size.to_string() == "8 AWG").unwrap();
/// assert!((eight.longest.as_feet() - 100.0).abs() < 0.01);
/// # Ok::<(), power::PowerError>(())
/// ```
pub fn longest_lengths(
    elements: &[Element],
    panel_voltage: Voltage,
    target: Ratio,
    material: ConductorMaterial,
    temperature: Temperature,
) -> Result<Vec<Reach>, PowerError> {
    if elements.is_empty() {
        return Err(PowerError::Nothing {
            what: "element on the circuit",
        });
    }
    let volts = voltage_in_range("panel voltage", panel_voltage)?.as_volts();
    let share = target_in_range(target)?.as_fraction();
    let siemens: f64 = elements
        .iter()
        .map(|element| 1.0 / element.resistance().as_ohms())
        .sum();
    let rated_a: f64 = elements
        .iter()
        .map(|element| element.rated_current().as_amperes())
        .sum();
    let loop_ohm = share / (siemens * (1.0 - share));
    let loop_ohm_simple = share * volts / rated_a;
    sizes(material)
        .map(|size| {
            let table = dc_resistance(size, material, Stranding::usual(size))?;
            let resistance = resistance_at(table.value, material, temperature)?;
            let round_ohm_per_m = 2.0 * resistance.as_ohms_per_meter();
            Ok(Reach {
                size,
                resistance: table.map(|_| resistance),
                longest: Length::from_meters(loop_ohm / round_ohm_per_m),
                longest_simple: Length::from_meters(loop_ohm_simple / round_ohm_per_m),
            })
        })
        .collect()
}

/// Drop targets the engine works with.
pub(crate) fn target_in_range(target: Ratio) -> Result<Ratio, PowerError> {
    in_range(
        "voltage-drop target",
        target,
        Ratio::from_percent(0.01),
        Ratio::from_percent(50.0),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::conductor_temperature::table_temperature;
    use crate::voltage_drop::{Branch, Feed, Path, solve};
    use quantity::Power;

    fn nine_kilowatts() -> Element {
        Element::new(Power::from_kilowatts(9.0), Voltage::from_volts(240.0)).unwrap()
    }

    #[test]
    fn the_closed_form_agrees_with_the_solver() {
        let volts = Voltage::from_volts(236.0);
        let elements = vec![nine_kilowatts(), nine_kilowatts()];
        let target = Ratio::from_percent(3.0);
        let reaches = longest_lengths(
            &elements,
            volts,
            target,
            ConductorMaterial::Aluminum,
            table_temperature(),
        )
        .unwrap();
        assert!(reaches.is_sorted_by(|a, b| a.longest < b.longest));
        for reach in reaches {
            let feed = Feed {
                source_voltage: volts,
                upstream: Vec::new(),
                panel_load: None,
                branches: vec![Branch {
                    label: "heater".into(),
                    path: Path::two_conductors("run", reach.longest, reach.resistance.value, None),
                    elements: elements.clone(),
                }],
            };
            let found = solve(&feed).unwrap().branches[0].drop.of_source;
            assert!(
                (found.as_fraction() - target.as_fraction()).abs() < 1e-12,
                "{}",
                reach.size
            );
        }
    }

    #[test]
    fn targets_out_of_range_are_refused() {
        for percent in [0.0, -3.0, 100.0, f64::NAN, f64::INFINITY] {
            let found = longest_lengths(
                &[nine_kilowatts()],
                Voltage::from_volts(240.0),
                Ratio::from_percent(percent),
                ConductorMaterial::Copper,
                table_temperature(),
            );
            assert!(found.is_err(), "{percent}");
        }
    }
}
