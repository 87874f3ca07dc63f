//! Quantities as text for a reader: rounded to digits that mean something, in the reader's units.
//!
//! Never used for storage: stored text is the shortest that reads back exactly (see `text`).

use crate::kind::Unit;
use std::fmt;

/// A quantity ready to print: a number and a unit, rounded when displayed.
#[derive(Debug, Clone, Copy)]
pub struct Shown {
    base: f64,
    unit: &'static Unit,
    decimals: Option<u8>,
}

impl Shown {
    pub(crate) fn new(base: f64, unit: &'static Unit) -> Self {
        Self {
            base,
            unit,
            decimals: None,
        }
    }

    /// With exactly `decimals` digits after the point, for columns that must line up.
    #[must_use]
    pub fn decimals(mut self, decimals: u8) -> Self {
        self.decimals = Some(decimals);
        self
    }

    /// The number alone, in the unit shown.
    pub fn value(&self) -> f64 {
        self.unit.from_base(self.base)
    }

    /// The unit alone.
    pub fn unit(&self) -> &'static str {
        self.unit.symbol()
    }

    /// The rounded number without its unit.
    pub fn number(&self) -> String {
        match self.decimals {
            Some(decimals) => fixed(self.value(), decimals),
            None => number(self.value(), self.unit.significant, self.unit.decimals_max),
        }
    }
}

impl fmt::Display for Shown {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let text = match self.unit() {
            "" => self.number(),
            unit => format!("{} {unit}", self.number()),
        };
        f.pad(&text)
    }
}

/// `value` with at most `significant` digits and `decimals_max` decimals, trailing zeros dropped, thousands grouped.
pub fn number(value: f64, significant: u8, decimals_max: u8) -> String {
    if !value.is_finite() {
        return "not a number".to_owned();
    }
    let magnitude = if value == 0.0 {
        0.0
    } else {
        value.abs().log10().floor()
    };
    let wanted = f64::from(significant) - 1.0 - magnitude;
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let decimals = wanted.clamp(0.0, f64::from(decimals_max)) as u8;
    let text = fixed(value, decimals);
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

fn fixed(value: f64, decimals: u8) -> String {
    let text = format!("{value:.*}", usize::from(decimals));
    let text = if text.chars().all(|c| matches!(c, '-' | '0' | '.')) {
        text.replace('-', "")
    } else {
        text
    };
    let (sign, digits) = text
        .strip_prefix('-')
        .map_or(("", text.as_str()), |rest| ("-", rest));
    let (whole, fraction) = digits
        .split_once('.')
        .map_or((digits, None), |(w, f)| (w, Some(f)));
    // Four-digit numbers stay ungrouped: "1500 VA" reads better in a sentence than "1,500 VA".
    let grouped = if whole.len() < 5 {
        whole.to_owned()
    } else {
        let mut out = String::with_capacity(whole.len() + whole.len() / 3);
        for (at, digit) in whole.chars().enumerate() {
            if at > 0 && (whole.len() - at).is_multiple_of(3) {
                out.push(',');
            }
            out.push(digit);
        }
        out
    };
    match fraction {
        Some(fraction) => format!("{sign}{grouped}.{fraction}"),
        None => format!("{sign}{grouped}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{ApparentPower, Current, Length, Temperature, TemperatureDifference, UnitSystem, Voltage};

    #[test]
    fn digits_are_sensible() {
        let us = UnitSystem::Us;
        assert_eq!(Current::from_amperes(36.609_9).show(us).to_string(), "36.6 A");
        assert_eq!(Voltage::from_volts(234.303_5).show(us).to_string(), "234.3 V");
        assert_eq!(
            ApparentPower::from_volt_amperes(23_080.0).show(us).to_string(),
            "23,080 VA"
        );
        assert_eq!(
            ApparentPower::from_volt_amperes(1_500.0).show(us).to_string(),
            "1500 VA"
        );
        assert_eq!(Length::from_feet(50.0).show(us).to_string(), "50 ft");
        assert_eq!(Length::from_feet(50.0).show(UnitSystem::Si).to_string(), "15.2 m");
        assert_eq!(
            Temperature::from_fahrenheit(119.96).show(us).to_string(),
            "120 °F"
        );
        assert_eq!(
            TemperatureDifference::from_fahrenheit(-0.001)
                .show(us)
                .to_string(),
            "0 °F"
        );
        assert_eq!(number(f64::NAN, 3, 2), "not a number");
    }

    #[test]
    fn columns_can_line_up() {
        assert_eq!(
            Length::from_feet(7.5)
                .show(UnitSystem::Us)
                .decimals(2)
                .to_string(),
            "7.50 ft"
        );
    }
}
