//! What the record gives, and what stands in for what it does not: every stand-in is written down as an assumption.
//!
//! Start at [`Given::take`]. The stand-ins themselves are data (`data/assumptions/defaults.toml`); none is hidden in code.

use quantity::{Kind, UnitSystem};
use serde::Deserialize;
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::str::FromStr;
use std::sync::LazyLock;
use trace::{Assumption, Influence, Origin, RecordPath, Source};

/// A value together with how it entered.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Known<T> {
    pub(crate) value: T,
    pub(crate) origin: Origin,
}

impl<T> Known<T> {
    pub(crate) fn entered(value: T) -> Self {
        Self {
            value,
            origin: Origin::Entered,
        }
    }
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct DefaultFile {
    default: Vec<DefaultValue>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct DefaultValue {
    field: String,
    subject: String,
    value: String,
    reason: String,
    influence: Influence,
    measure: String,
    source: Source,
}

static DEFAULTS: LazyLock<BTreeMap<String, DefaultValue>> = LazyLock::new(|| {
    let text = include_str!("../../../data/assumptions/defaults.toml");
    // The file is part of the program and every value of it is read by a test.
    let file: DefaultFile =
        toml::from_str(text).unwrap_or_else(|error| panic!("data/assumptions/defaults.toml: {error}"));
    file.default
        .into_iter()
        .map(|default| (default.field.clone(), default))
        .collect()
});

/// The record's values, and a list of what had to be assumed.
#[derive(Debug)]
pub(crate) struct Given {
    units: UnitSystem,
    assumptions: RefCell<Vec<Assumption>>,
}

impl Given {
    pub(crate) fn new(units: UnitSystem) -> Self {
        Self {
            units,
            assumptions: RefCell::default(),
        }
    }

    pub(crate) fn units(&self) -> UnitSystem {
        self.units
    }

    /// The value given, or the default of the kind of field `key`, recorded as an assumption about `at`.
    pub(crate) fn take<K: Kind + FromStr<Err = quantity::ParseError> + Shows>(
        &self,
        value: Option<K>,
        at: RecordPath,
        key: &str,
    ) -> Known<K> {
        if let Some(value) = value {
            return Known::entered(value);
        }
        let value: K = parsed(key);
        self.note(at, key, value.shown(self.units));
        Known {
            value,
            origin: Origin::Assumed,
        }
    }

    /// The same for values that are not quantities: counts, choices, sizes.
    pub(crate) fn take_other<T>(
        &self,
        value: Option<T>,
        at: RecordPath,
        key: &str,
        read: impl FnOnce(&str) -> Option<T>,
    ) -> Known<T> {
        if let Some(value) = value {
            return Known::entered(value);
        }
        let text = &default(key).value;
        let value = read(text).unwrap_or_else(|| panic!("default `{key}`: `{text}` cannot be read"));
        self.note(at, key, text.clone());
        Known {
            value,
            origin: Origin::Assumed,
        }
    }

    /// Records that a value is not known and nothing stands in for it.
    pub(crate) fn unknown(&self, at: RecordPath, key: &str) {
        self.note(at, key, default(key).value.clone());
    }

    /// Records an assumption that has no default of its own, such as a modelled value.
    pub(crate) fn record(&self, assumption: Assumption) {
        let mut list = self.assumptions.borrow_mut();
        if !list
            .iter()
            .any(|known| known.field == assumption.field && known.subject == assumption.subject)
        {
            list.push(assumption);
        }
    }

    fn note(&self, at: RecordPath, key: &str, value: String) {
        let default = default(key);
        self.record(Assumption {
            field: at,
            subject: default.subject.clone(),
            value,
            reason: default.reason.clone(),
            influence: default.influence,
            measure: default.measure.clone(),
            source: default.source.clone(),
        });
    }

    /// Records that the nominal voltage stands in for one nobody measured.
    pub(crate) fn assume_nominal(&self, nominal: quantity::Voltage) {
        self.note(
            "service.measured_voltage".into(),
            "service.measured_voltage",
            nominal.shown(self.units),
        );
    }

    /// All assumptions, the most influential first, in the order they were made.
    pub(crate) fn into_assumptions(self) -> Vec<Assumption> {
        let mut list = self.assumptions.into_inner();
        list.sort_by_key(|assumption| std::cmp::Reverse(assumption.influence));
        list
    }
}

/// A quantity that can print itself for a reader.
pub(crate) trait Shows {
    fn shown(self, units: UnitSystem) -> String;
}

macro_rules! shows {
    ($($kind:ident),+ $(,)?) => { $(
        impl Shows for quantity::$kind {
            fn shown(self, units: UnitSystem) -> String {
                self.show(units).to_string()
            }
        }
    )+ };
}

shows!(
    ApparentPower,
    Area,
    Current,
    GaugePressure,
    Hardness,
    Length,
    Power,
    PressureDifference,
    Ratio,
    Temperature,
    Voltage,
    Volume,
    VolumeFlow,
);

/// "yes" or "no".
pub(crate) fn yes_or_no(text: &str) -> Option<bool> {
    match text {
        "yes" => Some(true),
        "no" => Some(false),
        _ => None,
    }
}

/// A small count.
pub(crate) fn count<N: FromStr>(text: &str) -> Option<N> {
    text.parse().ok()
}

/// One of the record's words, as the record writes it.
pub(crate) fn word<T: serde::de::DeserializeOwned>(text: &str) -> Option<T> {
    let text: serde::de::value::StrDeserializer<'_, serde::de::value::Error> =
        serde::de::IntoDeserializer::into_deserializer(text);
    T::deserialize(text).ok()
}

/// A default quantity that is used without standing in for a field of the record.
pub(crate) fn default_quantity<K: FromStr<Err = quantity::ParseError>>(key: &str) -> K {
    parsed(key)
}

fn default(key: &str) -> &'static DefaultValue {
    DEFAULTS
        .get(key)
        .unwrap_or_else(|| panic!("data/assumptions/defaults.toml has no `{key}`"))
}

fn parsed<K: FromStr<Err = quantity::ParseError>>(key: &str) -> K {
    let text = &default(key).value;
    text.parse()
        .unwrap_or_else(|error| panic!("default `{key}`: {error}"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::{GaugePressure, Temperature};

    #[test]
    fn a_missing_value_is_written_down_once() {
        let given = Given::new(UnitSystem::Us);
        let at = RecordPath::from("water.static_pressure");
        let first = given.take::<GaugePressure>(None, at.clone(), "water.static_pressure");
        given.take::<GaugePressure>(None, at, "water.static_pressure");
        assert_eq!(first.origin, Origin::Assumed);
        let list = given.into_assumptions();
        assert_eq!(list.len(), 1);
        assert_eq!(list[0].value, "50 psi");
    }

    #[test]
    fn a_given_value_leaves_no_trace() {
        let given = Given::new(UnitSystem::Us);
        let value = Some(Temperature::from_fahrenheit(112.0));
        let known = given.take(
            value,
            RecordPath::from("sources[0].set_point"),
            "sources.set_point.tank",
        );
        assert_eq!(known.origin, Origin::Entered);
        assert!(given.into_assumptions().is_empty());
    }

    #[test]
    fn every_default_names_reason_and_measure() {
        for (key, default) in DEFAULTS.iter() {
            assert!(!default.reason.is_empty() && !default.measure.is_empty(), "{key}");
        }
    }
}
