//! What every kind of quantity has: a name, its units, and the way to and from a plain number.
//!
//! The macro here writes one kind; the list of kinds stands in `kinds`. Holds no unit of its own.

/// Which family of units the reader wants.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    Default,
    Hash,
    serde::Serialize,
    serde::Deserialize,
    schemars::JsonSchema,
)]
#[serde(rename_all = "lowercase")]
pub enum UnitSystem {
    /// United States customary units: feet, gallons, °F, psi.
    #[default]
    Us,
    /// SI and units used with it: meters, liters, °C, kPa.
    Si,
}

/// One unit of a kind: how it is written and how it converts.
#[derive(Debug, Clone, Copy)]
pub struct Unit {
    /// Every accepted spelling, the printed one first.
    pub symbols: &'static [&'static str],
    /// Size of the unit in the kind's base unit.
    pub factor: f64,
    /// Value of the unit's zero in the kind's base unit, divided by `factor` (only temperatures have one).
    pub offset: f64,
    /// Significant digits worth printing.
    pub significant: u8,
    /// Most decimals ever printed.
    pub decimals_max: u8,
}

impl Unit {
    /// The spelling used in print.
    pub fn symbol(&self) -> &'static str {
        self.symbols[0]
    }

    /// Number in this unit to number in the base unit.
    pub fn to_base(&self, number: f64) -> f64 {
        (number + self.offset) * self.factor
    }

    /// Number in the base unit to number in this unit.
    pub fn from_base(&self, base: f64) -> f64 {
        base / self.factor - self.offset
    }
}

/// A kind of quantity: a dimension plus a meaning that must not be mixed with another of the same dimension.
pub trait Kind: Copy + Sized + 'static {
    /// Plain name, as used in messages: "length".
    const NAME: &'static str;
    /// A valid example, as used in messages and in the JSON Schema.
    const EXAMPLE: &'static str;
    /// All units a person may write.
    const UNITS: &'static [Unit];
    /// Index into `UNITS` of the unit printed for US readers.
    const US: usize;
    /// Index into `UNITS` of the unit printed for SI readers.
    const SI: usize;

    /// From a number in the base unit of the kind (an SI unit).
    fn from_base(base: f64) -> Self;
    /// The number in the base unit of the kind (an SI unit).
    fn base(self) -> f64;

    /// The shortest text that reads back to exactly this value, as files store it and messages about files quote it.
    ///
    /// ```
    /// use quantity::{Kind, Length};
    /// assert_eq!(Length::from_feet(0.001).written(), "0.001 ft");
    /// ```
    fn written(self) -> String {
        crate::text::shortest(self)
    }

    /// The unit printed for readers of `system`.
    fn unit(system: UnitSystem) -> &'static Unit {
        match system {
            UnitSystem::Us => &Self::UNITS[Self::US],
            UnitSystem::Si => &Self::UNITS[Self::SI],
        }
    }

    /// The unit written `symbol`, if this kind has it.
    fn unit_named(symbol: &str) -> Option<&'static Unit> {
        Self::UNITS.iter().find(|unit| unit.symbols.contains(&symbol))
    }
}

/// Writes one kind: the type, its constructors and readers, ordering, sums, scaling, text and serde.
macro_rules! kind {
    (
        $(#[$doc:meta])*
        $name:ident($inner:ty), $word:literal, example $example:literal,
        make |$v:ident| $make:expr, us $us:literal, si $si:literal,
        { $( $from:ident, $as:ident, $symbols:expr, $factor:expr, $offset:expr, ($sig:literal, $dec:literal); )+ }
    ) => {
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, PartialOrd)]
        pub struct $name(pub(crate) $inner);

        impl $name {
            $(
                #[doc = concat!("From a number in ", stringify!($as), " (see `UNITS`).")]
                #[inline]
                pub fn $from(number: f64) -> Self {
                    <Self as crate::Kind>::from_base((number + $offset) * $factor)
                }
                #[doc = concat!("The number of the unit named by the method (see `UNITS`).")]
                #[inline]
                pub fn $as(self) -> f64 {
                    <Self as crate::Kind>::base(self) / $factor - $offset
                }
            )+

            /// True when the value is a number: neither NaN nor infinite.
            #[inline]
            pub fn is_finite(self) -> bool {
                <Self as crate::Kind>::base(self).is_finite()
            }
            /// The smaller of two.
            #[inline]
            pub fn min(self, other: Self) -> Self {
                <Self as crate::Kind>::from_base(<Self as crate::Kind>::base(self).min(<Self as crate::Kind>::base(other)))
            }
            /// The larger of two.
            #[inline]
            pub fn max(self, other: Self) -> Self {
                <Self as crate::Kind>::from_base(<Self as crate::Kind>::base(self).max(<Self as crate::Kind>::base(other)))
            }
            /// For readers of `system`, with sensible digits.
            pub fn show(self, system: crate::UnitSystem) -> crate::Shown {
                crate::Shown::new(<Self as crate::Kind>::base(self), <Self as crate::Kind>::unit(system))
            }
            /// In the unit written `symbol`; the kind's US unit when it has no such unit.
            pub fn show_in(self, symbol: &str) -> crate::Shown {
                let unit = <Self as crate::Kind>::unit_named(symbol)
                    .unwrap_or_else(|| <Self as crate::Kind>::unit(crate::UnitSystem::Us));
                crate::Shown::new(<Self as crate::Kind>::base(self), unit)
            }
        }

        impl crate::Kind for $name {
            const NAME: &'static str = $word;
            const EXAMPLE: &'static str = $example;
            const UNITS: &'static [crate::Unit] = &[
                $( crate::Unit { symbols: &$symbols, factor: $factor, offset: $offset, significant: $sig, decimals_max: $dec } ),+
            ];
            const US: usize = $us;
            const SI: usize = $si;
            #[inline]
            fn from_base($v: f64) -> Self {
                Self($make)
            }
            #[inline]
            fn base(self) -> f64 {
                self.0.value
            }
        }

        impl std::fmt::Debug for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                write!(f, "{}({})", stringify!($name), crate::text::shortest(*self))
            }
        }
        impl std::str::FromStr for $name {
            type Err = crate::ParseError;
            fn from_str(text: &str) -> Result<Self, Self::Err> {
                crate::parse::quantity(text)
            }
        }
        impl serde::Serialize for $name {
            fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.serialize_str(&crate::text::shortest(*self))
            }
        }
        impl<'de> serde::Deserialize<'de> for $name {
            fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                deserializer.deserialize_str(crate::text::TextVisitor::<$name>::new())
            }
        }
        impl schemars::JsonSchema for $name {
            fn schema_name() -> std::borrow::Cow<'static, str> {
                stringify!($name).into()
            }
            fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
                crate::text::schema::<$name>()
            }
        }
    };
}

/// Adds what additive kinds have and an absolute temperature has not: sums, differences, scaling, ratio.
macro_rules! additive {
    ($($name:ident),+ $(,)?) => { $(
        impl $name {
            /// Nothing of it.
            #[inline]
            pub fn zero() -> Self {
                <Self as crate::Kind>::from_base(0.0)
            }
            /// Without its sign.
            #[inline]
            pub fn abs(self) -> Self {
                <Self as crate::Kind>::from_base(<Self as crate::Kind>::base(self).abs())
            }
        }
        impl std::ops::Add for $name {
            type Output = Self;
            #[inline]
            fn add(self, other: Self) -> Self { Self(self.0 + other.0) }
        }
        impl std::ops::Sub for $name {
            type Output = Self;
            #[inline]
            fn sub(self, other: Self) -> Self { Self(self.0 - other.0) }
        }
        impl std::ops::AddAssign for $name {
            #[inline]
            fn add_assign(&mut self, other: Self) { self.0 += other.0; }
        }
        impl std::ops::Neg for $name {
            type Output = Self;
            #[inline]
            fn neg(self) -> Self { Self(-self.0) }
        }
        impl std::ops::Mul<f64> for $name {
            type Output = Self;
            #[inline]
            fn mul(self, factor: f64) -> Self { Self(self.0 * factor) }
        }
        impl std::ops::Mul<$name> for f64 {
            type Output = $name;
            #[inline]
            fn mul(self, quantity: $name) -> $name { quantity * self }
        }
        impl std::ops::Div<f64> for $name {
            type Output = Self;
            #[inline]
            fn div(self, divisor: f64) -> Self { Self(self.0 / divisor) }
        }
        impl std::ops::Div for $name {
            type Output = f64;
            #[inline]
            fn div(self, other: Self) -> f64 { <Self as crate::Kind>::base(self) / <Self as crate::Kind>::base(other) }
        }
        impl std::iter::Sum for $name {
            fn sum<I: Iterator<Item = Self>>(items: I) -> Self {
                items.fold(<Self as crate::Kind>::from_base(0.0), |sum, item| sum + item)
            }
        }
    )+ };
}

pub(crate) use {additive, kind};
