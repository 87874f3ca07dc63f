//! Every range that a value of the record must lie in, in one table, with the reason on each side.
//!
//! In: nothing. Out: [`Limit`]s, used by the modules beside this one. These bounds refuse typing slips, wrong units and
//! nonsense; they are no rule of any code, and a value inside them may still be bad. All are common practice: no
//! published source, chosen wide enough that no real house is refused. Both ends are accepted values.

use quantity::{
    ApparentPower, Area, Current, GaugePressure, Hardness, Kind, Length, Power, PressureDifference, Ratio,
    Resistance, Temperature, Time, Voltage, Volume, VolumeFlow,
};
use rust_decimal::Decimal;
use std::marker::PhantomData;
use std::str::FromStr;

/// The least and the most that is accepted, as written, and why.
#[derive(Debug)]
pub(super) struct Limit<Q> {
    pub(super) least: &'static str,
    pub(super) most: &'static str,
    why_least: &'static str,
    why_most: &'static str,
    kind: PhantomData<Q>,
}

impl<Q: Bounded> Limit<Q> {
    /// How `value` breaks the limit, if it does.
    pub(super) fn breach(&self, value: &Q) -> Option<String> {
        let (least, most) = (self.least.parse::<Q>().ok()?, self.most.parse::<Q>().ok()?);
        if value.exceeds(&most) {
            Some(format!("more than `{}`: {}", self.most, self.why_most))
        } else if least.exceeds(value) {
            Some(format!("less than `{}`: {}", self.least, self.why_least))
        } else {
            (!value.is_number()).then(|| "which is not a number".into())
        }
    }
}

/// A value that can have a limit.
pub(super) trait Bounded: FromStr {
    /// As the record writes it.
    fn written(&self) -> String;
    /// Whether it is more than `other`, by more than the rounding between two units.
    fn exceeds(&self, other: &Self) -> bool;
    /// Whether it is a number at all.
    fn is_number(&self) -> bool;
}

impl<K: Kind + FromStr> Bounded for K {
    fn written(&self) -> String {
        Kind::written(*self)
    }
    fn exceeds(&self, other: &Self) -> bool {
        const ROUNDING: f64 = 1e-9;
        self.base() - other.base() > ROUNDING * other.base().abs()
    }
    fn is_number(&self) -> bool {
        self.base().is_finite()
    }
}

/// A plain number of the record: a count, an angle, a price.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub(super) struct Plain<N>(pub(super) N);

impl<N: std::fmt::Display + FromStr + PartialOrd> Bounded for Plain<N> {
    fn written(&self) -> String {
        self.0.to_string()
    }
    fn exceeds(&self, other: &Self) -> bool {
        self.0 > other.0
    }
    fn is_number(&self) -> bool {
        // Only NaN has no order with itself.
        self.0.partial_cmp(&self.0).is_some()
    }
}

impl<N: FromStr> FromStr for Plain<N> {
    type Err = N::Err;
    fn from_str(text: &str) -> Result<Self, N::Err> {
        text.parse().map(Self)
    }
}

/// A count of things.
pub(super) type Count = Plain<u16>;

macro_rules! limits {
    ($($name:ident: $kind:ty, $least:literal to $most:literal, $why_least:literal, $why_most:literal;)+) => {
        $(
            pub(super) const $name: Limit<$kind> = Limit {
                least: $least,
                most: $most,
                why_least: $why_least,
                why_most: $why_most,
                kind: PhantomData,
            };
        )+

        #[cfg(test)]
        #[test]
        fn every_limit_reads_as_its_kind_and_has_room() {
            $(
                let least: $kind = $least.parse().expect(stringify!($name));
                let most: $kind = $most.parse().expect(stringify!($name));
                assert!(most.exceeds(&least), "{}", stringify!($name));
                assert!($name.breach(&least).is_none() && $name.breach(&most).is_none());
                assert!(!$why_least.is_empty() && !$why_most.is_empty());
            )+
        }
    };
}

limits! {
    // Site.
    LATITUDE: Plain<f64>, "-90" to "90", "the south pole is there", "the north pole is there";
    LONGITUDE: Plain<f64>, "-180" to "180", "west of Greenwich ends there", "east of Greenwich ends there";
    ELEVATION: Length, "-1400 ft" to "18000 ft", "no land lies lower", "no town lies higher";
    HARDNESS: Hardness, "0 gpg" to "150 gpg", "water cannot hold less than nothing", "that is brine";
    MAINS: Temperature, "32 °F" to "104 °F", "water freezes there", "no main carries water that warm";

    // Water supply.
    STATIC_PRESSURE: GaugePressure, "1 psi" to "300 psi", "no water would come", "house plumbing would burst";
    FLOWING_PRESSURE: GaugePressure, "0 psi" to "300 psi", "a gauge does not read below zero here", "house plumbing would burst";
    SUPPLY_FLOW: VolumeFlow, "0.1 gpm" to "500 gpm", "a supply that gives nothing is none", "no house supply gives that much";
    REGULATOR: GaugePressure, "5 psi" to "300 psi", "no regulator is set that low", "no house regulator is set that high";
    EXPANSION_TANK: Volume, "0.1 gal" to "200 gal", "it would take up nothing", "no house tank is that large";
    PRECHARGE: GaugePressure, "0 psi" to "300 psi", "an air charge is not a vacuum", "no tank holds it";

    // Electrical supply.
    SERVICE_RATING: Current, "15 A" to "1200 A", "no house is supplied with less", "no house is supplied with more";
    TRANSFORMER: ApparentPower, "1 kVA" to "2500 kVA", "too small for one house", "that is a substation";
    IMPEDANCE: Ratio, "0.5 %" to "15 %", "no transformer has less", "no transformer of a house has more";
    HOUSES: Count, "1" to "200", "it feeds at least this house", "no transformer feeds so many houses";
    DROP_LENGTH: Length, "1 ft" to "2000 ft", "the transformer stands somewhere", "utilities set one nearer";
    FAULT_CURRENT: Current, "50 A" to "200 kA", "a breaker would not notice it", "no house has it";
    BUS_RATING: Current, "30 A" to "1200 A", "no panel is made with less", "no house panel is made with more";
    BREAKER: Current, "5 A" to "1200 A", "no breaker is made for less", "no breaker of a house is rated more";
    INTERRUPTING: Current, "1 kA" to "200 kA", "no breaker interrupts less", "no breaker interrupts more";
    SPACES: Count, "1" to "120", "a panel without spaces holds nothing", "no house panel has so many";
    FREE_SPACES: Count, "0" to "120", "a count is not negative", "no house panel has so many";
    POLES: Count, "1" to "3", "a breaker opens at least one conductor", "a house supply has at most three";
    FEEDER_LENGTH: Length, "1 in" to "2000 ft", "a feeder joins two panels", "no feeder of a house is that long";
    CLEARANCE: Length, "0 in" to "50 ft", "a distance is not negative", "no room is that large";

    // Other loads.
    FLOOR_AREA: Area, "50 ft²" to "50000 ft²", "no dwelling is that small", "no dwelling is that large";
    BRANCH_CIRCUITS: Count, "0" to "40", "a count is not negative", "no dwelling has so many";
    APPLIANCE_POWER: Power, "1 W" to "100 kW", "it would not count as a load", "no appliance of a house draws that much";
    APPLIANCE_VA: ApparentPower, "1 VA" to "100 kVA", "it would not count as a load", "no appliance of a house draws that much";
    APPLIANCE_CURRENT: Current, "0.01 A" to "400 A", "it would not count as a load", "no appliance of a house draws that much";
    APPLIANCE_VOLTAGE: Voltage, "100 V" to "600 V", "no appliance here runs on less", "house wiring carries no more";
    APPLIANCE_COUNT: Count, "1" to "50", "leave the appliance out when there is none", "no house has so many alike";
    MEASURED_MAXIMUM: Power, "50 W" to "500 kW", "a house in use draws more", "no house draws that much";

    POWER_FACTOR: Ratio, "10 %" to "100 %", "no house runs that low", "a power factor is one at most";

    // Piping.
    PIPE_LENGTH: Length, "1 in" to "2000 ft", "a pipe joins two places", "no pipe of a house is that long";
    HEIGHT: Length, "-300 ft" to "300 ft", "no well house lies that deep", "no house is that high";
    PIPE_INSULATION: Length, "0 in" to "6 in", "a thickness is not negative", "no pipe insulation is that thick";
    FITTINGS: Count, "0" to "200", "a count is not negative", "no pipe of a house has so many";

    // Fixtures.
    RATED_FLOW: VolumeFlow, "0.1 gpm" to "50 gpm", "nothing would run", "no house fixture runs that fast";
    RATED_PRESSURE: GaugePressure, "1 psi" to "300 psi", "a fixture is rated at some pressure", "no fixture is rated there";
    USE_TEMPERATURE: Temperature, "40 °F" to "185 °F", "nobody draws hot water to use it that cold", "no fixture takes water that hot";
    FILL_VOLUME: Volume, "0.5 gal" to "1000 gal", "a tub holds more", "no tub holds that much";
    USES_PER_DAY: Plain<f64>, "0" to "200", "a count is not negative", "a day is too short for so many";
    USE_TIME: Time, "1 s" to "4 h", "a use takes some time", "no single use takes that long";

    // Heaters.
    SET_POINT: Temperature, "70 °F" to "212 °F", "a heater set below room temperature heats nothing", "water boils there";
    ELEMENT_POWER: Power, "100 W" to "50 kW", "no heating element is that small", "no heating element of a house is that large";
    ELEMENT_VOLTAGE: Voltage, "100 V" to "600 V", "no heater here runs on less", "house wiring carries no more";
    TANK_VOLUME: Volume, "1 gal" to "1000 gal", "a tank keeps more than that", "no house tank is that large";
    ON_DEMAND_VOLUME: Volume, "0 gal" to "3 gal", "a volume is not negative", "an on-demand unit stores next to nothing";
    ACTIVATION_FLOW: VolumeFlow, "0.01 gpm" to "10 gpm", "it would heat standing water", "it would hardly ever start";
    FLOW_MAX: VolumeFlow, "0.1 gpm" to "100 gpm", "nothing would run", "no house heater passes that much";
    PRESSURE_MIN: GaugePressure, "0 psi" to "300 psi", "a gauge does not read below zero here", "house plumbing would burst";
    INLET_MAX: Temperature, "32 °F" to "212 °F", "water freezes there", "water boils there";
    CHANGES_PER_MINUTE: Count, "1" to "2875", "leave it out when nothing switches", "the flicker curve ends there";
    CIRCUITS_REQUIRED: Count, "1" to "20", "an electric heater needs one", "no heater of a house asks for so many";
    POINT_FLOW: VolumeFlow, "0.01 gpm" to "100 gpm", "no flow, no drop to tell", "no house heater passes that much";
    POINT_DROP: PressureDifference, "0 psi" to "150 psi", "a heater does not raise pressure", "no water would pass";
    PLASTIC_DISTANCE: Length, "0 in" to "100 ft", "a distance is not negative", "leave it out when no plastic is near";

    // Circuits and cable runs.
    DROP_TARGET: Ratio, "0.1 %" to "20 %", "no cable is that thick", "write percent, as in \"3 %\"";
    SEGMENT_LENGTH: Length, "1 in" to "2000 ft", "a segment has a length", "no cable of a house is that long";
    SLACK: Length, "0 in" to "100 ft", "a length is not negative", "that is a roll, not slack";
    AMBIENT: Temperature, "-40 °F" to "194 °F", "no house is that cold", "cable insulation is rated 90 °C at most";
    SPLICES: Count, "0" to "20", "a count is not negative", "no circuit of a house has so many";
    CURRENT_CARRYING: Count, "2" to "100", "a circuit carries its current out and back", "no bundle of a house has so many";

    // Measurements. Zero can be a true reading: verified dead, or no flow.
    MEASURED_FLOW: VolumeFlow, "0 gpm" to "500 gpm", "a flow is entered without sign", "no house pipe carries it";
    MEASURED_TEMPERATURE: Temperature, "32 °F" to "212 °F", "water freezes there", "water boils there";
    MEASURED_PRESSURE: GaugePressure, "0 psi" to "300 psi", "a gauge does not read below zero here", "house plumbing would burst";
    MEASURED_WAIT: Time, "0 s" to "1 h", "a wait is not negative", "that water never came";
    MEASURED_VOLTAGE: Voltage, "0 V" to "600 V", "a voltage is entered without sign", "house wiring carries no more";
    MEASURED_CURRENT: Current, "0 A" to "1200 A", "a current is entered without sign", "no house draws that much";
    MEASURED_RESISTANCE: Resistance, "0 ohm" to "1000000 ohm", "a resistance is not negative", "leave it out and note an open element";

    // Money.
    LABOR_PER_HOUR: Plain<Decimal>, "0" to "100000", "work is not paid backward", "that is not the price of an hour";
    PRICE: Plain<Decimal>, "0" to "10000000", "a price is not negative", "that is not the price of one item";
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_outside_says_on_which_side_and_why() {
        let long = PIPE_LENGTH
            .breach(&Length::from_meters(10_000.0))
            .expect("too long");
        assert_eq!(long, "more than `2000 ft`: no pipe of a house is that long");
        let none = SERVICE_RATING.breach(&Current::from_amperes(0.0)).expect("none");
        assert_eq!(none, "less than `15 A`: no house is supplied with less");
        assert!(SET_POINT.breach(&Temperature::from_celsius(100.0)).is_none());
        assert!(
            PIPE_INSULATION.breach(&Length::from_feet(0.5)).is_none(),
            "0.5 ft is 6 in"
        );
    }

    #[test]
    fn what_is_no_number_lies_in_no_range() {
        for value in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert!(LATITUDE.breach(&Plain(value)).is_some(), "{value}");
            assert!(
                PIPE_LENGTH.breach(&Length::from_meters(value)).is_some(),
                "{value}"
            );
        }
    }
}
