//! Quantities in files: the shortest text that reads back to the very same value, and the schema of such text.
//!
//! Knows serde and JSON Schema, no file format.

use crate::{Kind, parse};
use std::fmt;
use std::marker::PhantomData;

/// The shortest text in any of the kind's units that parses back to exactly this value.
///
/// "50 ft" stays "50 ft", though the value is stored as 15.24 m; a value no unit writes shortly falls back to the
/// base unit's full digits. The units of print go before others that save one character, so that 18 ft stay feet.
pub(crate) fn shortest<K: Kind>(quantity: K) -> String {
    let base = quantity.base();
    let mut best: Option<(usize, String)> = None;
    let printed = [K::US, K::SI];
    for (index, unit) in K::UNITS.iter().enumerate() {
        let exact = unit.from_base(base);
        for candidate in [trimmed(exact), format!("{exact}")] {
            let text = if unit.symbol().is_empty() {
                candidate
            } else {
                format!("{candidate} {}", unit.symbol())
            };
            let same = parse::quantity::<K>(&text).is_ok_and(|back| back.base().to_bits() == base.to_bits());
            // Nothing is nothing in any unit; a unit that is not printed costs one character.
            let nothing = index == K::US && exact == 0.0;
            let foreign = usize::from(!printed.contains(&index));
            let cost = if nothing {
                0
            } else {
                text.chars().count() + foreign
            };
            if same && best.as_ref().is_none_or(|(least, _)| cost < *least) {
                best = Some((cost, text));
            }
        }
    }
    if let Some((_, text)) = best {
        return text;
    }
    let unit = K::unit(crate::UnitSystem::Si);
    format!("{} {}", unit.from_base(base), unit.symbol())
}

/// Twelve significant digits, trailing zeros dropped: what a person wrote before binary rounding touched it.
fn trimmed(value: f64) -> String {
    let scientific = format!("{value:.11e}");
    scientific
        .parse::<f64>()
        .map_or(scientific, |rounded| format!("{rounded}"))
}

/// Reads a quantity from a string value, and explains what is wanted when it gets something else.
pub(crate) struct TextVisitor<K>(PhantomData<K>);

impl<K> TextVisitor<K> {
    pub(crate) fn new() -> Self {
        Self(PhantomData)
    }
}

impl<K: Kind> serde::de::Visitor<'_> for TextVisitor<K> {
    type Value = K;
    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "a {} as text with its unit, such as \"{}\"",
            K::NAME,
            K::EXAMPLE
        )
    }
    fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<K, E> {
        parse::quantity(text).map_err(E::custom)
    }
}

/// JSON Schema of a quantity: text with an example.
pub(crate) fn schema<K: Kind>() -> schemars::Schema {
    let units: Vec<&str> = K::UNITS
        .iter()
        .map(crate::Unit::symbol)
        .filter(|symbol| !symbol.is_empty())
        .collect();
    schemars::json_schema!({
        "type": "string",
        "description": format!("A {} with its unit ({})", K::NAME, units.join(", ")),
        "examples": [K::EXAMPLE],
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Length, Temperature, VolumeFlow};

    #[test]
    fn what_was_written_comes_back() {
        for text in ["50 ft", "15 m", "0.5 gpm", "120 °F", "37.3 °C", "7.25 in"] {
            let kept = match text {
                t if t.contains('°') => shortest(t.parse::<Temperature>().unwrap()),
                t if t.contains("gpm") => shortest(t.parse::<VolumeFlow>().unwrap()),
                t => shortest(t.parse::<Length>().unwrap()),
            };
            assert_eq!(kept, text);
        }
    }

    #[test]
    fn the_units_of_print_are_preferred() {
        for (text, kept) in [
            ("18 ft", "18 ft"),
            ("3 yd", "9 ft"),
            ("0.5 in", "0.5 in"),
            ("22 mm", "22 mm"),
        ] {
            assert_eq!(shortest(text.parse::<Length>().unwrap()), kept);
        }
        assert_eq!(shortest(Length::from_feet(0.0)), "0 ft");
        for text in ["5.5 kW", "500 W"] {
            assert_eq!(shortest(text.parse::<crate::Power>().unwrap()), text);
        }
    }

    proptest::proptest! {
        #[test]
        fn storage_is_exact(base in -1e7_f64..1e7) {
            let text = shortest(Length::from_meters(base));
            let back: Length = text.parse().unwrap();
            proptest::prop_assert_eq!(back.as_meters().to_bits(), base.to_bits());
        }
    }
}
