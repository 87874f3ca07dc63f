//! What a value in the rule book may be: a number of a named kind, a flag, or a text.
//!
//! The number kinds are those of crate `quantity` plus two that have no unit: a count, and the bare number of a
//! formula. Here a kind is data, not a type, because formulas arrive as text; the formula checker keeps kinds apart
//! as strictly as the compiler does elsewhere. Knows no fact and no formula.

use quantity::{Kind, UnitSystem};
use std::sync::LazyLock;

/// Writes the list of number kinds once, for every question asked of them.
macro_rules! number_kinds {
    ($($name:ident),+ $(,)?) => {
        /// The kind of a number; two numbers of different kinds are never compared or added.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
        pub enum NumberKind {
            /// A number without unit, as written in a formula: stands for a ratio or a count.
            Plain,
            /// How many there are of something.
            Count,
            $(
                #[doc = concat!("See [`quantity::", stringify!($name), "`].")]
                $name,
            )+
        }

        impl NumberKind {
            /// All kinds with units.
            pub(crate) const WITH_UNITS: &'static [Self] = &[$(Self::$name),+];

            /// The name used in files and messages.
            pub fn name(self) -> &'static str {
                match self {
                    Self::Plain => "number",
                    Self::Count => "count",
                    $(Self::$name => <quantity::$name as Kind>::NAME,)+
                }
            }

            /// A valid example, for messages.
            pub fn example(self) -> &'static str {
                match self {
                    Self::Plain | Self::Count => "3",
                    $(Self::$name => <quantity::$name as Kind>::EXAMPLE,)+
                }
            }

            fn units(self) -> &'static [quantity::Unit] {
                match self {
                    Self::Plain | Self::Count => &[],
                    $(Self::$name => <quantity::$name as Kind>::UNITS,)+
                }
            }

            /// True when `symbol` spells the unit this kind is printed in for readers of `system`.
            pub(crate) fn is_usual_unit(self, symbol: &str, system: UnitSystem) -> bool {
                match self {
                    Self::Plain | Self::Count => false,
                    $(Self::$name => <quantity::$name as Kind>::unit(system).symbols.contains(&symbol),)+
                }
            }

            /// Reads a number of this kind and gives it in the kind's base unit.
            pub(crate) fn parse(self, text: &str) -> Result<f64, String> {
                match self {
                    Self::Plain | Self::Count => quantity::parse_number(text).map_err(|error| error.to_string()),
                    $(Self::$name => text
                        .parse::<quantity::$name>()
                        .map(Kind::base)
                        .map_err(|error| error.to_string()),)+
                }
            }

            /// The number `base` (base unit) for a reader of `system`, in the kind's usual unit.
            pub(crate) fn show(self, base: f64, system: UnitSystem) -> String {
                match self {
                    Self::Plain | Self::Count => quantity::number(base, 4, 4),
                    $(Self::$name => <quantity::$name as Kind>::from_base(base).show(system).to_string(),)+
                }
            }

            /// The number `base` (base unit) in the unit written `symbol`.
            pub(crate) fn show_in(self, base: f64, symbol: &str) -> String {
                match self {
                    Self::Plain | Self::Count => quantity::number(base, 4, 4),
                    $(Self::$name => <quantity::$name as Kind>::from_base(base).show_in(symbol).to_string(),)+
                }
            }
        }

        $(
            impl FactValue for quantity::$name {
                fn value(self) -> Option<Value> {
                    Some(Value::Number(NumberKind::$name, Kind::base(self)))
                }
            }
        )+
    };
}

number_kinds!(
    Length,
    Area,
    Volume,
    VolumeFlow,
    Velocity,
    Time,
    Temperature,
    TemperatureDifference,
    GaugePressure,
    PressureDifference,
    Power,
    ApparentPower,
    Voltage,
    Current,
    Resistance,
    Ratio,
    Hardness,
);

impl NumberKind {
    /// The kind called `name` in files.
    pub(crate) fn named(name: &str) -> Option<Self> {
        Self::nameable().find(|kind| kind.name() == name)
    }

    /// The kinds a fact may have.
    pub(crate) fn nameable() -> impl Iterator<Item = Self> {
        Self::WITH_UNITS
            .iter()
            .copied()
            .chain(std::iter::once(Self::Count))
    }

    /// True when the kind has a unit spelled exactly `symbol`.
    pub(crate) fn has_unit(self, symbol: &str) -> bool {
        self.units().iter().any(|unit| unit.symbols.contains(&symbol))
    }

    /// The kind of the difference of two numbers of this kind.
    pub(crate) fn difference(self) -> Self {
        match self {
            Self::Temperature => Self::TemperatureDifference,
            Self::GaugePressure => Self::PressureDifference,
            other => other,
        }
    }

    /// True for kinds without dimension.
    pub(crate) fn is_dimensionless(self) -> bool {
        matches!(self, Self::Plain | Self::Count | Self::Ratio)
    }
}

/// The unit that `text` begins with: the longest spelling of any kind that is not part of a longer word.
pub(crate) fn leading_unit(text: &str) -> Option<&'static str> {
    static SPELLINGS: LazyLock<Vec<&'static str>> = LazyLock::new(|| {
        let mut all: Vec<&'static str> = NumberKind::WITH_UNITS
            .iter()
            .flat_map(|kind| kind.units())
            .flat_map(|unit| unit.symbols.iter().copied())
            // The foot and inch marks would swallow the quotes of texts.
            .filter(|symbol| !symbol.is_empty() && !symbol.contains(['"', '\'']))
            .collect();
        all.sort_by_key(|symbol| std::cmp::Reverse(symbol.len()));
        all.dedup();
        all
    });
    SPELLINGS.iter().copied().find(|symbol| {
        text.strip_prefix(symbol).is_some_and(|rest| {
            let ends_in_letter = symbol.ends_with(char::is_alphanumeric);
            !(ends_in_letter && rest.starts_with(|next: char| next.is_alphanumeric() || next == '_'))
        })
    })
}

/// What a fact, or a part of a formula, is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum ValueKind {
    /// A number of a kind.
    Number(NumberKind),
    /// Yes or no.
    Flag,
    /// A word or words.
    Text,
}

impl ValueKind {
    /// The name used in files and messages.
    pub fn name(self) -> &'static str {
        match self {
            Self::Number(kind) => kind.name(),
            Self::Flag => "flag",
            Self::Text => "text",
        }
    }

    /// The kind called `name` in files.
    pub(crate) fn named(name: &str) -> Option<Self> {
        match name {
            "flag" => Some(Self::Flag),
            "text" => Some(Self::Text),
            other => NumberKind::named(other).map(Self::Number),
        }
    }
}

/// The value of a fact.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// A number in the base unit of its kind.
    Number(NumberKind, f64),
    /// Yes or no.
    Flag(bool),
    /// A word or words.
    Text(String),
}

impl Value {
    /// What kind of value this is.
    pub fn kind(&self) -> ValueKind {
        match self {
            Self::Number(kind, _) => ValueKind::Number(*kind),
            Self::Flag(_) => ValueKind::Flag,
            Self::Text(_) => ValueKind::Text,
        }
    }

    /// For a reader of `system`.
    pub fn show(&self, system: UnitSystem) -> String {
        match self {
            Self::Number(kind, base) => kind.show(*base, system),
            Self::Flag(true) => "yes".to_owned(),
            Self::Flag(false) => "no".to_owned(),
            Self::Text(text) => text.clone(),
        }
    }
}

/// Anything that can be handed in as a fact: a quantity, a flag, a count, a text, or nothing when it is not known.
pub trait FactValue {
    /// The value; none when it is not known.
    fn value(self) -> Option<Value>;
}

impl FactValue for bool {
    fn value(self) -> Option<Value> {
        Some(Value::Flag(self))
    }
}

impl FactValue for u32 {
    fn value(self) -> Option<Value> {
        Some(Value::Number(NumberKind::Count, f64::from(self)))
    }
}

impl FactValue for usize {
    fn value(self) -> Option<Value> {
        Some(Value::Number(NumberKind::Count, self as f64))
    }
}

impl FactValue for &str {
    fn value(self) -> Option<Value> {
        Some(Value::Text(self.to_owned()))
    }
}

impl FactValue for String {
    fn value(self) -> Option<Value> {
        Some(Value::Text(self))
    }
}

impl FactValue for Value {
    fn value(self) -> Option<Value> {
        Some(self)
    }
}

impl<T: FactValue> FactValue for Option<T> {
    fn value(self) -> Option<Value> {
        self.and_then(T::value)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_reads_its_own_example_and_has_its_own_name() {
        let mut names: Vec<&str> = NumberKind::nameable().map(NumberKind::name).collect();
        for kind in NumberKind::nameable() {
            let base = kind.parse(kind.example()).unwrap();
            assert!(base.is_finite() && base > 0.0, "{}", kind.name());
            assert_eq!(NumberKind::named(kind.name()), Some(kind));
        }
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), NumberKind::WITH_UNITS.len() + 1);
    }

    #[test]
    fn the_longest_unit_is_taken_and_words_are_left_alone() {
        assert_eq!(leading_unit("psi and"), Some("psi"));
        assert_eq!(leading_unit("min)"), Some("min"));
        assert_eq!(leading_unit("ft/s"), Some("ft/s"));
        assert_eq!(leading_unit("% of"), Some("%"));
        assert_eq!(leading_unit("and"), None);
        assert_eq!(leading_unit("minimum"), None);
        assert_eq!(leading_unit("A*2"), Some("A"));
    }
}
