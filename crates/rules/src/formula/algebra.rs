//! Which kinds may be added, multiplied and compared, and what comes out.
//!
//! Kinds, not only dimensions: watts and volt-amperes do not add, a temperature is not its own rise. The products are
//! those of crate `quantity`; because every kind's base unit is coherent (W = V × A), arithmetic on base numbers is
//! arithmetic on quantities.

use super::syntax::Operation;
use crate::kind::NumberKind as Kind;

/// Products of kinds that physics allows and the trade uses: a × b = c.
const PRODUCTS: [(Kind, Kind, Kind); 7] = [
    (Kind::Voltage, Kind::Current, Kind::Power),
    (Kind::Resistance, Kind::Current, Kind::Voltage),
    (Kind::VolumeFlow, Kind::Time, Kind::Volume),
    (Kind::Velocity, Kind::Time, Kind::Length),
    (Kind::Area, Kind::Velocity, Kind::VolumeFlow),
    (Kind::Area, Kind::Length, Kind::Volume),
    (Kind::Length, Kind::Length, Kind::Area),
];

/// The kind of `left operation right`, if they go together.
pub(crate) fn combine(operation: Operation, left: Kind, right: Kind) -> Option<Kind> {
    match operation {
        Operation::Add => match (left, right) {
            (Kind::Temperature, Kind::TemperatureDifference)
            | (Kind::TemperatureDifference, Kind::Temperature) => Some(Kind::Temperature),
            (Kind::GaugePressure, Kind::PressureDifference)
            | (Kind::PressureDifference, Kind::GaugePressure) => Some(Kind::GaugePressure),
            (Kind::Temperature | Kind::GaugePressure, _) => None,
            _ => same(left, right),
        },
        Operation::Subtract => match (left, right) {
            (Kind::Temperature, Kind::TemperatureDifference) => Some(Kind::Temperature),
            (Kind::GaugePressure, Kind::PressureDifference) => Some(Kind::GaugePressure),
            _ => same(left, right).map(Kind::difference),
        },
        Operation::Multiply => match (left, right) {
            (Kind::Temperature, _) | (_, Kind::Temperature) => None,
            _ if left.is_dimensionless() && right.is_dimensionless() => {
                same(left, right).or(Some(Kind::Ratio))
            }
            _ if left.is_dimensionless() => Some(right),
            _ if right.is_dimensionless() => Some(left),
            _ => PRODUCTS
                .iter()
                .find(|(a, b, _)| (*a, *b) == (left, right) || (*b, *a) == (left, right))
                .map(|(_, _, c)| *c),
        },
        Operation::Divide => match (left, right) {
            (Kind::Temperature, _) | (_, Kind::Temperature) => None,
            (Kind::ApparentPower, Kind::Voltage) => Some(Kind::Current),
            (Kind::ApparentPower, Kind::Current) => Some(Kind::Voltage),
            (Kind::Plain, Kind::Plain) => Some(Kind::Plain),
            _ if left == right => Some(Kind::Ratio),
            _ if right.is_dimensionless() => Some(left),
            _ => PRODUCTS
                .iter()
                .find_map(|(a, b, c)| match (*c == left, *a == right, *b == right) {
                    (true, true, _) => Some(*b),
                    (true, _, true) => Some(*a),
                    _ => None,
                }),
        },
    }
}

/// The common kind of two numbers that are added, compared or chosen between.
pub(crate) fn same(left: Kind, right: Kind) -> Option<Kind> {
    match (left, right) {
        _ if left == right => Some(left),
        (Kind::Plain, Kind::Ratio | Kind::Count) => Some(right),
        (Kind::Ratio | Kind::Count, Kind::Plain) => Some(left),
        _ => None,
    }
}

/// What the operation does to its operands, for messages.
pub(crate) fn action(operation: Operation) -> &'static str {
    match operation {
        Operation::Add => "added",
        Operation::Subtract => "subtracted",
        Operation::Multiply => "multiplied",
        Operation::Divide => "divided",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn products_are_coherent_in_base_units() {
        // One of each in its usual unit; the base numbers must multiply as the quantities do (definitions of the units).
        for (a, b, c, texts) in [
            (
                Kind::Voltage,
                Kind::Current,
                Kind::Power,
                ["240 V", "37.5 A", "9 kW"],
            ),
            (
                Kind::Resistance,
                Kind::Current,
                Kind::Voltage,
                ["6.4 ohm", "37.5 A", "240 V"],
            ),
            (
                Kind::VolumeFlow,
                Kind::Time,
                Kind::Volume,
                ["2 gpm", "3 min", "6 gal"],
            ),
            (
                Kind::Velocity,
                Kind::Time,
                Kind::Length,
                ["5 ft/s", "2 s", "10 ft"],
            ),
            (
                Kind::Area,
                Kind::Velocity,
                Kind::VolumeFlow,
                ["0.1 m²", "1 m/s", "100 L/s"],
            ),
        ] {
            assert_eq!(combine(Operation::Multiply, a, b), Some(c));
            assert_eq!(combine(Operation::Divide, c, a), Some(b));
            let [left, right, product] =
                [a.parse(texts[0]), b.parse(texts[1]), c.parse(texts[2])].map(Result::unwrap);
            assert!((left * right / product - 1.0).abs() < 1e-12, "{texts:?}");
        }
    }

    #[test]
    fn kinds_of_one_dimension_stay_apart() {
        assert_eq!(combine(Operation::Add, Kind::Power, Kind::ApparentPower), None);
        assert_eq!(
            combine(Operation::Add, Kind::Temperature, Kind::Temperature),
            None
        );
        assert_eq!(
            combine(Operation::Add, Kind::GaugePressure, Kind::GaugePressure),
            None
        );
        assert_eq!(combine(Operation::Add, Kind::Ratio, Kind::Count), None);
        assert_eq!(combine(Operation::Multiply, Kind::Temperature, Kind::Plain), None);
        assert_eq!(
            combine(Operation::Subtract, Kind::Temperature, Kind::Temperature),
            Some(Kind::TemperatureDifference)
        );
        assert_eq!(
            combine(Operation::Subtract, Kind::GaugePressure, Kind::GaugePressure),
            Some(Kind::PressureDifference)
        );
    }
}
