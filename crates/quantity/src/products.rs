//! Arithmetic between kinds that physics allows, each checked by `uom`'s dimensions when it compiles.
//!
//! Only the combinations named here exist; anything else has to go through a named function of an engine.

use crate::kinds::{
    AbsolutePressure, ApparentPower, Area, Current, Energy, GaugePressure, Length, Power, PressureDifference,
    Reactance, ReactancePerLength, Resistance, ResistancePerLength, Temperature, TemperatureDifference, Time,
    Velocity, Voltage, Volume, VolumeFlow,
};
use std::ops::{Add, Div, Mul, Sub};

/// One product and the two quotients that undo it: `$a * $b = $c`.
macro_rules! product {
    ($($a:ident * $b:ident = $c:ident;)+) => { $(
        impl Mul<$b> for $a {
            type Output = $c;
            #[inline]
            fn mul(self, other: $b) -> $c { $c((self.0 * other.0).into()) }
        }
        impl Mul<$a> for $b {
            type Output = $c;
            #[inline]
            fn mul(self, other: $a) -> $c { $c((self.0 * other.0).into()) }
        }
        impl Div<$a> for $c {
            type Output = $b;
            #[inline]
            fn div(self, other: $a) -> $b { $b((self.0 / other.0).into()) }
        }
        impl Div<$b> for $c {
            type Output = $a;
            #[inline]
            fn div(self, other: $b) -> $a { $a((self.0 / other.0).into()) }
        }
    )+ };
}

product! {
    Area * Length = Volume;
    VolumeFlow * Time = Volume;
    Area * Velocity = VolumeFlow;
    Velocity * Time = Length;
    Power * Time = Energy;
    Voltage * Current = Power;
    Resistance * Current = Voltage;
    ResistancePerLength * Length = Resistance;
    ReactancePerLength * Length = Reactance;
}

impl Mul for Length {
    type Output = Area;
    #[inline]
    fn mul(self, other: Length) -> Area {
        Area(self.0 * other.0)
    }
}

impl Div<Length> for Area {
    type Output = Length;
    #[inline]
    fn div(self, other: Length) -> Length {
        Length(self.0 / other.0)
    }
}

/// Load calculations divide volt-amperes by the nominal voltage to get amperes.
impl Div<Voltage> for ApparentPower {
    type Output = Current;
    #[inline]
    fn div(self, voltage: Voltage) -> Current {
        Current(self.0 / voltage.0)
    }
}

impl Power {
    /// The apparent power of a load with unity power factor, such as a resistance element.
    pub fn at_unity_power_factor(self) -> ApparentPower {
        ApparentPower(self.0)
    }
}

impl Sub for Temperature {
    type Output = TemperatureDifference;
    #[inline]
    fn sub(self, other: Temperature) -> TemperatureDifference {
        TemperatureDifference::from_celsius(self.as_kelvins() - other.as_kelvins())
    }
}

impl Add<TemperatureDifference> for Temperature {
    type Output = Temperature;
    #[inline]
    fn add(self, rise: TemperatureDifference) -> Temperature {
        Temperature::from_kelvins(self.as_kelvins() + rise.as_celsius())
    }
}

impl Sub<TemperatureDifference> for Temperature {
    type Output = Temperature;
    #[inline]
    fn sub(self, fall: TemperatureDifference) -> Temperature {
        Temperature::from_kelvins(self.as_kelvins() - fall.as_celsius())
    }
}

impl Sub<PressureDifference> for GaugePressure {
    type Output = GaugePressure;
    #[inline]
    fn sub(self, loss: PressureDifference) -> GaugePressure {
        GaugePressure(self.0 - loss.0)
    }
}

impl Add<PressureDifference> for GaugePressure {
    type Output = GaugePressure;
    #[inline]
    fn add(self, gain: PressureDifference) -> GaugePressure {
        GaugePressure(self.0 + gain.0)
    }
}

impl GaugePressure {
    /// The difference of two gauge pressures at the same place.
    pub fn above(self, other: GaugePressure) -> PressureDifference {
        PressureDifference(self.0 - other.0)
    }

    /// Above vacuum, when the surrounding air has pressure `air`.
    pub fn absolute(self, air: AbsolutePressure) -> AbsolutePressure {
        AbsolutePressure(self.0 + air.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn products_agree_with_hand_arithmetic() {
        // 240 V × 37.5 A = 9 kW; 240 V / 37.5 A = 6.4 Ω (arithmetic).
        let power = Voltage::from_volts(240.0) * Current::from_amperes(37.5);
        assert!((power.as_kilowatts() - 9.0).abs() < 1e-12);
        let resistance = Voltage::from_volts(240.0) / Current::from_amperes(37.5);
        assert!((resistance.as_ohms() - 6.4).abs() < 1e-12);
        let wait: Time = Volume::from_gallons(1.5) / VolumeFlow::from_gallons_per_minute(1.5);
        assert!((wait.as_seconds() - 60.0).abs() < 1e-9);
    }

    #[test]
    fn fahrenheit_differences_have_no_offset() {
        let rise = Temperature::from_fahrenheit(120.0) - Temperature::from_fahrenheit(50.0);
        assert!((rise.as_fahrenheit() - 70.0).abs() < 1e-9);
        assert!((rise.as_celsius() - 70.0 / 1.8).abs() < 1e-9);
    }
}
