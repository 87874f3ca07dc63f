//! How many digits each kind of quantity is printed with, so that the figures of a column line up.
//!
//! Values that a person entered (set points, breakers, labels) keep the digits of `quantity`; computed ones get as many
//! as their inputs carry. A difference that is printed beside its two figures keeps their digits.

use crate::document::Column;
use quantity::{
    Current, GaugePressure, Kind, Length, Power, PressureDifference, Ratio, Shown, Temperature, Time,
    UnitSystem, Velocity, Voltage, Volume, VolumeFlow, number,
};

/// The digits of a reader's units.
#[derive(Clone, Copy)]
pub(super) struct Digits {
    units: UnitSystem,
}

impl Digits {
    pub(super) fn new(units: UnitSystem) -> Self {
        Self { units }
    }

    /// The reader's units.
    pub(super) fn units(self) -> UnitSystem {
        self.units
    }

    /// A column of figures whose unit stands in its head.
    pub(super) fn column<K: Kind>(self, words: &str) -> Column {
        Column::figures(format!("{words}, {}", K::unit(self.units).symbol()))
    }

    /// The same column where many stand in a table: one part of the room, so that heads wrap and names get the rest.
    pub(super) fn slim_column<K: Kind>(self, words: &str) -> Column {
        self.column::<K>(words).share(1)
    }

    fn pick(self, us: u8, si: u8) -> u8 {
        match self.units {
            UnitSystem::Us => us,
            UnitSystem::Si => si,
        }
    }

    /// A flow at a fixture or through a heater.
    pub(super) fn flow(self, flow: VolumeFlow) -> Shown {
        flow.show(self.units).decimals(self.pick(2, 1))
    }

    /// A flow that is compared with the flow a heater starts at, where less than half a liter decides.
    pub(super) fn small_flow(self, flow: VolumeFlow) -> Shown {
        flow.show(self.units).decimals(2)
    }

    /// A computed temperature.
    pub(super) fn temperature(self, temperature: Temperature) -> Shown {
        temperature.show(self.units).decimals(self.pick(0, 1))
    }

    /// Heat or electrical power.
    pub(super) fn power(self, power: Power) -> Shown {
        power.show(self.units).decimals(1)
    }

    /// A volume of water in pipes.
    pub(super) fn volume(self, volume: Volume) -> Shown {
        volume.show(self.units).decimals(self.pick(2, 1))
    }

    /// A length of cable or pipe.
    pub(super) fn length(self, length: Length) -> Shown {
        length.show(self.units).decimals(self.pick(0, 1))
    }

    /// A pressure.
    pub(super) fn pressure(self, pressure: GaugePressure) -> Shown {
        pressure.show(self.units).decimals(self.pick(1, 0))
    }

    /// A pressure lost on the way.
    pub(super) fn pressure_loss(self, loss: PressureDifference) -> Shown {
        loss.show(self.units).decimals(self.pick(1, 0))
    }

    /// A velocity in a pipe.
    pub(super) fn velocity(self, velocity: Velocity) -> Shown {
        velocity.show(self.units).decimals(self.pick(1, 2))
    }

    /// A computed voltage.
    pub(super) fn voltage(self, voltage: Voltage) -> Shown {
        voltage.show(self.units).decimals(1)
    }

    /// A computed current.
    pub(super) fn current(self, current: Current) -> Shown {
        current.show(self.units).decimals(1)
    }

    /// A share in whole percent.
    pub(super) fn share(self, share: Ratio) -> Shown {
        share.show(self.units).decimals(0)
    }

    /// A share of a voltage, where a tenth of a percent decides.
    pub(super) fn fine_share(self, share: Ratio) -> Shown {
        share.show(self.units).decimals(2)
    }
}

/// A current at a fault, in thousands of amperes.
pub(super) fn fault(current: Current) -> String {
    format!("{} kA", number(current.as_kiloamperes(), 2, 1))
}

/// The unit a time is printed in, with its seconds: seconds below five minutes, then minutes.
fn time_unit(time: Time) -> (&'static str, f64) {
    if time.as_seconds().abs() < 300.0 {
        ("s", 1.0)
    } else {
        ("min", 60.0)
    }
}

/// A time.
pub(super) fn time(time: Time) -> String {
    time.show_in(time_unit(time).0).decimals(0).to_string()
}

/// A time rounded to what is printed of it.
pub(super) fn whole(time: Time) -> Time {
    let (_, step_s) = time_unit(time);
    Time::from_seconds((time.as_seconds() / step_s).round() * step_s)
}
