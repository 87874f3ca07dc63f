//! Voltage step when a heater switches on, and what lamps show of it.
//!
//! In: elements, transformer and service resistance. Out: the relative step at the panel by part, linear and with the load
//! falling as the voltage sags; flicker severity for lamps at a rate of switching.
//!
//! A load between lines moves both legs by the same share and does not load the neutral. Neighbors on the same
//! transformer see its part. The flicker curve is for 60 W incandescent lamps; others respond differently.

use crate::PowerError;
use crate::element::{Element, voltage_in_range};
use crate::error::in_range;
use quantity::{Ratio, Resistance, Voltage};
use tables::flicker_curve::{Lamp, change_at_pst_one};
use tables::sourced::Sourced;

/// Relative voltage step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct VoltageStep {
    /// Part of the transformer, which all its houses see.
    pub transformer: Ratio,
    /// Part of the house's own service conductors.
    pub service: Ratio,
    /// Both, with the current the elements draw at full voltage.
    pub linear: Ratio,
    /// Both, with the current falling as the voltage sags.
    pub with_relief: Ratio,
}

/// Voltage step at the panel when elements switch on.
///
/// linear: d = Rs / Re; with relief: d = Rs / (Rs + Re); Rs = Rtransformer + Rservice
///
/// # Symbols
/// | here          | meaning                                         | unit |
/// |---------------|-------------------------------------------------|------|
/// | `elements`    | elements that switch together; give Re in parallel | Ω |
/// | `voltage`     | voltage between lines before the step           | V    |
/// | `transformer` | resistance of the transformer                   | Ω    |
/// | `service`     | resistance of service conductors, out and back  | Ω    |
/// | result        | relative steps d                                | –    |
///
/// # Valid
/// 1 V to 1000 V; resistances 0 Ω to 100 Ω.
/// # Outside
/// [`PowerError`].
/// # Assumes
/// Resistive load, so that reactance hardly counts.
/// # Source
/// Ohm's law; as in the fact sheet, section 10.
/// # Example
/// ```
/// use power::element::Element;
/// use power::voltage_step::voltage_step;
/// use quantity::{Power, Resistance, Voltage};
/// let volts = Voltage::from_volts(240.0);
/// let heater = Element::new(Power::from_kilowatts(27.0), volts)?;
/// // Fact sheet, case FL1: 25 kVA at 1.2 %, 100 ft of 1/0 aluminum: 1.296 + 1.884 = 3.180 %, 3.08 % with relief.
/// let found = voltage_step(&[heater], volts, Resistance::from_ohms(0.027_648), Resistance::from_ohms(0.0402))?;
/// assert!((found.linear.as_percent() - 3.180).abs() < 5e-4);
/// assert!((found.with_relief.as_percent() - 3.08).abs() < 5e-3);
/// # Ok::<(), power::PowerError>(())
/// ```
pub fn voltage_step(
    elements: &[Element],
    voltage: Voltage,
    transformer: Resistance,
    service: Resistance,
) -> Result<VoltageStep, PowerError> {
    if elements.is_empty() {
        return Err(PowerError::Nothing {
            what: "element that switches",
        });
    }
    voltage_in_range("voltage between lines", voltage)?;
    let most = Resistance::from_ohms(100.0);
    let transformer = in_range("transformer resistance", transformer, Resistance::zero(), most)?;
    let service = in_range("service resistance", service, Resistance::zero(), most)?;
    let siemens: f64 = elements
        .iter()
        .map(|element| 1.0 / element.resistance().as_ohms())
        .sum();
    let share = |resistance: Resistance| Ratio::from_fraction(resistance.as_ohms() * siemens);
    let linear = share(transformer + service);
    Ok(VoltageStep {
        transformer: share(transformer),
        service: share(service),
        linear,
        with_relief: Ratio::from_fraction(linear.as_fraction() / (1.0 + linear.as_fraction())),
    })
}

/// Short-term flicker severity of regular voltage steps.
///
/// Pst = d / d₁(r)
///
/// # Symbols
/// | here                 | meaning                                        | unit  |
/// |----------------------|------------------------------------------------|-------|
/// | `step`               | relative voltage step d                        | –     |
/// | `changes_per_minute` | steps in a minute r; on and off are two        | 1/min |
/// | `lamp`               | gives the step d₁ that makes Pst = 1           | –     |
/// | result               | severity Pst                                   | –     |
///
/// # Valid
/// 0 to 100 %; 0.1 to 2875 changes in a minute.
/// # Outside
/// [`PowerError`].
/// # Assumes
/// Rectangular steps, evenly spaced; severity in proportion to the step.
/// # Source
/// Curve of IEEE 1453 / IEC 61000-3-7 as tabulated in a utility worksheet: seen.
/// # Example
/// ```
/// use power::voltage_step::flicker_severity;
/// use quantity::Ratio;
/// use tables::flicker_curve::Lamp;
/// // Fact sheet, case FL1: 3.18 % once a minute, 120 V lamps: 1.0045.
/// let found = flicker_severity(Ratio::from_percent(3.18), 1.0, Lamp::Volts120)?;
/// assert!((found.value.as_fraction() - 1.0045).abs() < 1e-4);
/// # Ok::<(), power::PowerError>(())
/// ```
pub fn flicker_severity(
    step: Ratio,
    changes_per_minute: f64,
    lamp: Lamp,
) -> Result<Sourced<Ratio>, PowerError> {
    let step = in_range(
        "voltage step",
        step,
        Ratio::from_fraction(0.0),
        Ratio::from_fraction(1.0),
    )?;
    let limit = change_at_pst_one(changes_per_minute, lamp)?;
    Ok(limit.map(|limit| Ratio::from_fraction(step / limit)))
}
