//! The kinds: every quantity the trade writes down, with its units.
//!
//! Factors are exact by definition where a definition exists (1 ft = 0.3048 m, 1 gal = 231 in³, 1 lbf = 0.45359237 ×
//! 9.80665 N, 1 Btu(IT) = 1055.05585262 J); a test compares each with `uom`'s own, which carries some rounded to seven
//! digits. The first spelling of a unit is the one printed.
//! Holds no arithmetic between kinds (see `products`) and no text handling (see `parse`, `print`).

use crate::kind::{additive, kind};
use uom::si::f64 as si;

const FOOT_M: f64 = 0.3048;
const INCH_M: f64 = 0.0254;
const GALLON_M3: f64 = 231.0 * INCH_M * INCH_M * INCH_M;
const POUND_FORCE_N: f64 = 0.453_592_37 * 9.806_65;
const PSI_PA: f64 = POUND_FORCE_N / (INCH_M * INCH_M);
const BTU_J: f64 = 1_055.055_852_62;
const FAHRENHEIT_K: f64 = 5.0 / 9.0;
/// One Btu/(h·°F) in W/K.
const BTU_PER_HOUR_FAHRENHEIT_W_K: f64 = BTU_J / 3600.0 / FAHRENHEIT_K;
const CIRCULAR_MIL_M2: f64 = std::f64::consts::FRAC_PI_4 * (INCH_M / 1000.0) * (INCH_M / 1000.0);

kind! {
    /// A length, distance or elevation.
    Length(si::Length), "length", example "50 ft",
    make |v| si::Length::new::<uom::si::length::meter>(v), us 1, si 0,
    {
        from_meters, as_meters, ["m", "meter", "meters", "metre", "metres"], 1.0, 0.0, (3, 2);
        from_feet, as_feet, ["ft", "foot", "feet", "'"], FOOT_M, 0.0, (3, 2);
        from_inches, as_inches, ["in", "inch", "inches", "\"", "in."], INCH_M, 0.0, (4, 3);
        from_millimeters, as_millimeters, ["mm"], 1e-3, 0.0, (4, 2);
        from_centimeters, as_centimeters, ["cm"], 1e-2, 0.0, (4, 2);
        from_yards, as_yards, ["yd"], 3.0 * FOOT_M, 0.0, (3, 2);
    }
}

kind! {
    /// An area: a floor, a pipe bore, a conductor's cross-section.
    Area(si::Area), "area", example "1800 ft²",
    make |v| si::Area::new::<uom::si::area::square_meter>(v), us 1, si 0,
    {
        from_square_meters, as_square_meters, ["m²", "m2", "sq m"], 1.0, 0.0, (4, 1);
        from_square_feet, as_square_feet, ["ft²", "ft2", "sq ft", "sqft"], FOOT_M * FOOT_M, 0.0, (4, 1);
        from_square_inches, as_square_inches, ["in²", "in2", "sq in"], INCH_M * INCH_M, 0.0, (4, 4);
        from_square_millimeters, as_square_millimeters, ["mm²", "mm2", "sq mm"], 1e-6, 0.0, (4, 2);
        from_circular_mils, as_circular_mils, ["cmil"], CIRCULAR_MIL_M2, 0.0, (6, 0);
    }
}

kind! {
    /// A volume of water or space.
    Volume(si::Volume), "volume", example "50 gal",
    make |v| si::Volume::new::<uom::si::volume::cubic_meter>(v), us 2, si 1,
    {
        from_cubic_meters, as_cubic_meters, ["m³", "m3"], 1.0, 0.0, (4, 4);
        from_liters, as_liters, ["L", "l", "liter", "liters", "litre", "litres"], 1e-3, 0.0, (3, 2);
        from_gallons, as_gallons, ["gal", "gallon", "gallons"], GALLON_M3, 0.0, (3, 2);
        from_milliliters, as_milliliters, ["mL", "ml"], 1e-6, 0.0, (3, 1);
        from_fluid_ounces, as_fluid_ounces, ["fl oz"], GALLON_M3 / 128.0, 0.0, (3, 1);
        from_cubic_inches, as_cubic_inches, ["in³", "in3", "cu in"], INCH_M * INCH_M * INCH_M, 0.0, (4, 2);
        from_cubic_feet, as_cubic_feet, ["ft³", "ft3", "cu ft"], FOOT_M * FOOT_M * FOOT_M, 0.0, (4, 2);
    }
}

kind! {
    /// A flow of water: volume per time.
    VolumeFlow(si::VolumeRate), "flow", example "2.5 gpm",
    make |v| si::VolumeRate::new::<uom::si::volume_rate::cubic_meter_per_second>(v), us 2, si 1,
    {
        from_cubic_meters_per_second, as_cubic_meters_per_second, ["m³/s", "m3/s"], 1.0, 0.0, (4, 6);
        from_liters_per_minute, as_liters_per_minute, ["L/min", "l/min", "lpm"], 1e-3 / 60.0, 0.0, (3, 2);
        from_gallons_per_minute, as_gallons_per_minute, ["gpm", "gal/min", "GPM"], GALLON_M3 / 60.0, 0.0, (3, 2);
        from_liters_per_second, as_liters_per_second, ["L/s", "l/s"], 1e-3, 0.0, (3, 4);
        from_cubic_meters_per_hour, as_cubic_meters_per_hour, ["m³/h", "m3/h"], 1.0 / 3600.0, 0.0, (3, 3);
        from_gallons_per_hour, as_gallons_per_hour, ["gal/h", "gph"], GALLON_M3 / 3600.0, 0.0, (3, 1);
    }
}

kind! {
    /// A velocity of water in a pipe.
    Velocity(si::Velocity), "velocity", example "5 ft/s",
    make |v| si::Velocity::new::<uom::si::velocity::meter_per_second>(v), us 1, si 0,
    {
        from_meters_per_second, as_meters_per_second, ["m/s"], 1.0, 0.0, (3, 2);
        from_feet_per_second, as_feet_per_second, ["ft/s", "fps"], FOOT_M, 0.0, (3, 1);
    }
}

kind! {
    /// A span of time.
    Time(si::Time), "time", example "8 min",
    make |v| si::Time::new::<uom::si::time::second>(v), us 0, si 0,
    {
        from_seconds, as_seconds, ["s", "sec", "second", "seconds"], 1.0, 0.0, (3, 1);
        from_minutes, as_minutes, ["min", "minute", "minutes"], 60.0, 0.0, (3, 1);
        from_hours, as_hours, ["h", "hr", "hour", "hours"], 3600.0, 0.0, (3, 2);
        from_days, as_days, ["d", "day", "days"], 86_400.0, 0.0, (3, 1);
        from_milliseconds, as_milliseconds, ["ms"], 1e-3, 0.0, (3, 1);
    }
}

kind! {
    /// An absolute temperature: how hot something is. Differences are [`TemperatureDifference`].
    Temperature(si::ThermodynamicTemperature), "temperature", example "120 °F",
    make |v| si::ThermodynamicTemperature::new::<uom::si::thermodynamic_temperature::kelvin>(v), us 1, si 0,
    {
        from_celsius, as_celsius, ["°C", "degC", "deg C", "C"], 1.0, 273.15, (4, 1);
        from_fahrenheit, as_fahrenheit, ["°F", "degF", "deg F", "F"], FAHRENHEIT_K, 459.67, (4, 1);
        from_kelvins, as_kelvins, ["K", "kelvin"], 1.0, 0.0, (5, 2);
    }
}

kind! {
    /// A difference of two temperatures: a rise, a tolerance. 1 °C of it is 1.8 °F, without offset.
    TemperatureDifference(si::TemperatureInterval), "temperature difference", example "60 °F",
    make |v| si::TemperatureInterval::new::<uom::si::temperature_interval::kelvin>(v), us 1, si 0,
    {
        from_celsius, as_celsius, ["°C", "degC", "deg C", "C", "K"], 1.0, 0.0, (3, 1);
        from_fahrenheit, as_fahrenheit, ["°F", "degF", "deg F", "F"], FAHRENHEIT_K, 0.0, (3, 1);
    }
}

kind! {
    /// A pressure above the surrounding air's, as a gauge reads it.
    GaugePressure(si::Pressure), "gauge pressure", example "55 psi",
    make |v| si::Pressure::new::<uom::si::pressure::pascal>(v), us 1, si 0,
    {
        from_kilopascals, as_kilopascals, ["kPa"], 1e3, 0.0, (3, 1);
        from_psi, as_psi, ["psi", "psig"], PSI_PA, 0.0, (3, 1);
        from_bars, as_bars, ["bar", "barg"], 1e5, 0.0, (3, 2);
        from_megapascals, as_megapascals, ["MPa"], 1e6, 0.0, (4, 3);
        from_pascals, as_pascals, ["Pa"], 1.0, 0.0, (4, 0);
    }
}

kind! {
    /// A pressure above vacuum, as steam tables want it.
    AbsolutePressure(si::Pressure), "absolute pressure", example "101.325 kPa",
    make |v| si::Pressure::new::<uom::si::pressure::pascal>(v), us 1, si 0,
    {
        from_kilopascals, as_kilopascals, ["kPa"], 1e3, 0.0, (4, 1);
        from_psia, as_psia, ["psia"], PSI_PA, 0.0, (4, 1);
        from_megapascals, as_megapascals, ["MPa"], 1e6, 0.0, (4, 3);
        from_pascals, as_pascals, ["Pa"], 1.0, 0.0, (4, 0);
    }
}

kind! {
    /// A difference of two pressures: a friction loss, a gain by falling.
    PressureDifference(si::Pressure), "pressure difference", example "3 psi",
    make |v| si::Pressure::new::<uom::si::pressure::pascal>(v), us 1, si 0,
    {
        from_kilopascals, as_kilopascals, ["kPa"], 1e3, 0.0, (3, 2);
        from_psi, as_psi, ["psi"], PSI_PA, 0.0, (3, 2);
        from_bars, as_bars, ["bar"], 1e5, 0.0, (3, 3);
        from_pascals, as_pascals, ["Pa"], 1.0, 0.0, (4, 0);
    }
}

kind! {
    /// Real power: heat, or what a resistance element draws.
    Power(si::Power), "power", example "9 kW",
    make |v| si::Power::new::<uom::si::power::watt>(v), us 1, si 1,
    {
        from_watts, as_watts, ["W", "watt", "watts"], 1.0, 0.0, (4, 1);
        from_kilowatts, as_kilowatts, ["kW", "kw", "KW"], 1e3, 0.0, (3, 2);
        from_btu_per_hour, as_btu_per_hour, ["Btu/h", "BTU/h", "btu/h"], BTU_J / 3600.0, 0.0, (4, 0);
    }
}

kind! {
    /// Apparent power: volts times amperes, what load calculations add up.
    ApparentPower(si::Power), "apparent power", example "1500 VA",
    make |v| si::Power::new::<uom::si::power::watt>(v), us 0, si 0,
    {
        from_volt_amperes, as_volt_amperes, ["VA"], 1.0, 0.0, (5, 0);
        from_kilovolt_amperes, as_kilovolt_amperes, ["kVA"], 1e3, 0.0, (4, 2);
    }
}

kind! {
    /// Energy: heat or electricity.
    Energy(si::Energy), "energy", example "7.6 kWh",
    make |v| si::Energy::new::<uom::si::energy::joule>(v), us 1, si 1,
    {
        from_joules, as_joules, ["J"], 1.0, 0.0, (4, 0);
        from_kilowatt_hours, as_kilowatt_hours, ["kWh"], 3.6e6, 0.0, (3, 2);
        from_watt_hours, as_watt_hours, ["Wh"], 3.6e3, 0.0, (4, 1);
        from_btu, as_btu, ["Btu", "BTU", "btu"], BTU_J, 0.0, (4, 0);
        from_megajoules, as_megajoules, ["MJ"], 1e6, 0.0, (3, 2);
    }
}

kind! {
    /// A voltage between two conductors.
    Voltage(si::ElectricPotential), "voltage", example "240 V",
    make |v| si::ElectricPotential::new::<uom::si::electric_potential::volt>(v), us 0, si 0,
    {
        from_volts, as_volts, ["V", "volt", "volts"], 1.0, 0.0, (4, 2);
        from_kilovolts, as_kilovolts, ["kV"], 1e3, 0.0, (4, 3);
    }
}

kind! {
    /// A current in one conductor.
    Current(si::ElectricCurrent), "current", example "37.5 A",
    make |v| si::ElectricCurrent::new::<uom::si::electric_current::ampere>(v), us 0, si 0,
    {
        from_amperes, as_amperes, ["A", "amp", "amps"], 1.0, 0.0, (4, 1);
        from_kiloamperes, as_kiloamperes, ["kA"], 1e3, 0.0, (3, 2);
    }
}

kind! {
    /// An electrical resistance.
    Resistance(si::ElectricalResistance), "resistance", example "6.4 ohm",
    make |v| si::ElectricalResistance::new::<uom::si::electrical_resistance::ohm>(v), us 0, si 0,
    {
        from_ohms, as_ohms, ["Ω", "ohm", "ohms"], 1.0, 0.0, (4, 4);
        from_milliohms, as_milliohms, ["mΩ", "mohm"], 1e-3, 0.0, (4, 2);
        from_megohms, as_megohms, ["MΩ", "Mohm", "megohm"], 1e6, 0.0, (3, 3);
    }
}

/// Resistance over length, as `uom` derives it.
pub(crate) type OhmPerMeter = <si::ElectricalResistance as std::ops::Div<si::Length>>::Output;

kind! {
    /// A conductor's resistance per length of one conductor.
    ResistancePerLength(OhmPerMeter), "resistance per length", example "0.778 Ω/kft",
    make |v| si::ElectricalResistance::new::<uom::si::electrical_resistance::ohm>(v)
        / si::Length::new::<uom::si::length::meter>(1.0), us 1, si 2,
    {
        from_ohms_per_meter, as_ohms_per_meter, ["Ω/m", "ohm/m"], 1.0, 0.0, (4, 6);
        from_ohms_per_thousand_feet, as_ohms_per_thousand_feet, ["Ω/kft", "ohm/kft"], 1.0 / (1000.0 * FOOT_M), 0.0, (3, 4);
        from_ohms_per_kilometer, as_ohms_per_kilometer, ["Ω/km", "ohm/km"], 1e-3, 0.0, (4, 3);
    }
}

kind! {
    /// An electrical reactance: the part of an impedance that takes no power.
    Reactance(si::ElectricalResistance), "reactance", example "0.0046 ohm",
    make |v| si::ElectricalResistance::new::<uom::si::electrical_resistance::ohm>(v), us 0, si 0,
    {
        from_ohms, as_ohms, ["Ω", "ohm", "ohms"], 1.0, 0.0, (4, 4);
        from_milliohms, as_milliohms, ["mΩ", "mohm"], 1e-3, 0.0, (4, 2);
    }
}

kind! {
    /// A conductor's reactance per length of one conductor.
    ReactancePerLength(OhmPerMeter), "reactance per length", example "0.052 Ω/kft",
    make |v| si::ElectricalResistance::new::<uom::si::electrical_resistance::ohm>(v)
        / si::Length::new::<uom::si::length::meter>(1.0), us 1, si 2,
    {
        from_ohms_per_meter, as_ohms_per_meter, ["Ω/m", "ohm/m"], 1.0, 0.0, (4, 6);
        from_ohms_per_thousand_feet, as_ohms_per_thousand_feet, ["Ω/kft", "ohm/kft"], 1.0 / (1000.0 * FOOT_M), 0.0, (3, 4);
        from_ohms_per_kilometer, as_ohms_per_kilometer, ["Ω/km", "ohm/km"], 1e-3, 0.0, (4, 3);
    }
}

kind! {
    /// A turning moment, as a terminal screw is tightened to.
    Torque(si::Torque), "torque", example "35 lbf·in",
    make |v| si::Torque::new::<uom::si::torque::newton_meter>(v), us 1, si 0,
    {
        from_newton_meters, as_newton_meters, ["N·m", "N m", "Nm"], 1.0, 0.0, (3, 2);
        from_pound_force_inches, as_pound_force_inches, ["lbf·in", "lbf in", "in-lb", "in lb", "in·lbf"], POUND_FORCE_N * INCH_M, 0.0, (3, 0);
        from_pound_force_feet, as_pound_force_feet, ["lbf·ft", "lbf ft", "ft-lb", "ft lb", "ft·lbf"], POUND_FORCE_N * FOOT_M, 0.0, (3, 1);
    }
}

kind! {
    /// A mass per volume.
    Density(si::MassDensity), "density", example "998.2 kg/m³",
    make |v| si::MassDensity::new::<uom::si::mass_density::kilogram_per_cubic_meter>(v), us 1, si 0,
    {
        from_kilograms_per_cubic_meter, as_kilograms_per_cubic_meter, ["kg/m³", "kg/m3"], 1.0, 0.0, (6, 3);
        from_pounds_per_gallon, as_pounds_per_gallon, ["lb/gal"], 0.453_592_37 / GALLON_M3, 0.0, (4, 3);
    }
}

kind! {
    /// Heat per mass and temperature.
    SpecificHeat(si::SpecificHeatCapacity), "specific heat", example "4.186 kJ/(kg·K)",
    make |v| si::SpecificHeatCapacity::new::<uom::si::specific_heat_capacity::joule_per_kilogram_kelvin>(v), us 1, si 2,
    {
        from_joules_per_kilogram_kelvin, as_joules_per_kilogram_kelvin, ["J/(kg·K)", "J/(kg K)"], 1.0, 0.0, (5, 1);
        from_btu_per_pound_fahrenheit, as_btu_per_pound_fahrenheit, ["Btu/(lb·°F)", "Btu/(lb F)"], 4186.8, 0.0, (4, 4);
        from_kilojoules_per_kilogram_kelvin, as_kilojoules_per_kilogram_kelvin, ["kJ/(kg·K)", "kJ/(kg K)"], 1e3, 0.0, (4, 4);
    }
}

kind! {
    /// Dynamic viscosity.
    Viscosity(si::DynamicViscosity), "viscosity", example "1.14 mPa·s",
    make |v| si::DynamicViscosity::new::<uom::si::dynamic_viscosity::pascal_second>(v), us 1, si 1,
    {
        from_pascal_seconds, as_pascal_seconds, ["Pa·s", "Pa s"], 1.0, 0.0, (4, 7);
        from_millipascal_seconds, as_millipascal_seconds, ["mPa·s", "mPa s", "cP"], 1e-3, 0.0, (4, 4);
    }
}

kind! {
    /// Thermal conductivity of a material.
    ThermalConductivity(si::ThermalConductivity), "thermal conductivity", example "0.59 W/(m·K)",
    make |v| si::ThermalConductivity::new::<uom::si::thermal_conductivity::watt_per_meter_kelvin>(v), us 0, si 0,
    {
        from_watts_per_meter_kelvin, as_watts_per_meter_kelvin, ["W/(m·K)", "W/(m K)"], 1.0, 0.0, (4, 4);
        from_btu_per_hour_foot_fahrenheit, as_btu_per_hour_foot_fahrenheit, ["Btu/(h·ft·°F)", "Btu/(h ft F)"],
            BTU_PER_HOUR_FAHRENHEIT_W_K / FOOT_M, 0.0, (4, 4);
        from_btu_inch_per_hour_square_foot_fahrenheit, as_btu_inch_per_hour_square_foot_fahrenheit,
            ["Btu·in/(h·ft²·°F)", "Btu in/(h ft2 F)"],
            BTU_PER_HOUR_FAHRENHEIT_W_K * INCH_M / (FOOT_M * FOOT_M), 0.0, (4, 4);
    }
}

kind! {
    /// A mass of water passing per time.
    MassFlow(si::MassRate), "mass flow", example "0.16 kg/s",
    make |v| si::MassRate::new::<uom::si::mass_rate::kilogram_per_second>(v), us 1, si 0,
    {
        from_kilograms_per_second, as_kilograms_per_second, ["kg/s"], 1.0, 0.0, (4, 4);
        from_pounds_per_minute, as_pounds_per_minute, ["lb/min"], 0.453_592_37 / 60.0, 0.0, (4, 2);
    }
}

kind! {
    /// Heat a length of pipe loses per degree between its water and the surrounding air.
    HeatLossPerLength(si::ThermalConductivity), "heat loss per length", example "0.388 Btu/(h·ft·°F)",
    make |v| si::ThermalConductivity::new::<uom::si::thermal_conductivity::watt_per_meter_kelvin>(v), us 1, si 0,
    {
        from_watts_per_meter_kelvin, as_watts_per_meter_kelvin, ["W/(m·K)", "W/(m K)"], 1.0, 0.0, (3, 3);
        from_btu_per_hour_foot_fahrenheit, as_btu_per_hour_foot_fahrenheit, ["Btu/(h·ft·°F)", "Btu/(h ft F)"],
            BTU_PER_HOUR_FAHRENHEIT_W_K / FOOT_M, 0.0, (3, 3);
    }
}

kind! {
    /// Heat a surface passes to the air around it per area and degree.
    SurfaceHeatTransfer(si::HeatTransfer), "surface heat transfer", example "1.761 Btu/(h·ft²·°F)",
    make |v| si::HeatTransfer::new::<uom::si::heat_transfer::watt_per_square_meter_kelvin>(v), us 1, si 0,
    {
        from_watts_per_square_meter_kelvin, as_watts_per_square_meter_kelvin, ["W/(m²·K)", "W/(m2 K)"], 1.0, 0.0, (3, 2);
        from_btu_per_hour_square_foot_fahrenheit, as_btu_per_hour_square_foot_fahrenheit,
            ["Btu/(h·ft²·°F)", "Btu/(h ft2 F)"], BTU_PER_HOUR_FAHRENHEIT_W_K / (FOOT_M * FOOT_M), 0.0, (4, 3);
    }
}

/// Heat over temperature and length, as `uom` derives it.
pub(crate) type JoulePerKelvinMeter = <si::HeatCapacity as std::ops::Div<si::Length>>::Output;

kind! {
    /// Heat a length of pipe stores per degree, water and wall together or apart.
    HeatCapacityPerLength(JoulePerKelvinMeter), "heat capacity per length", example "0.2513 Btu/(ft·°F)",
    make |v| si::HeatCapacity::new::<uom::si::heat_capacity::joule_per_kelvin>(v)
        / si::Length::new::<uom::si::length::meter>(1.0), us 1, si 0,
    {
        from_joules_per_meter_kelvin, as_joules_per_meter_kelvin, ["J/(m·K)", "J/(m K)"], 1.0, 0.0, (4, 1);
        from_btu_per_foot_fahrenheit, as_btu_per_foot_fahrenheit, ["Btu/(ft·°F)", "Btu/(ft F)"],
            BTU_J / FAHRENHEIT_K / FOOT_M, 0.0, (4, 4);
    }
}

kind! {
    /// A share or factor; 1 is the whole. Written as a number or in percent.
    Ratio(si::Ratio), "ratio", example "3 %",
    make |v| si::Ratio::new::<uom::si::ratio::ratio>(v), us 1, si 1,
    {
        from_fraction, as_fraction, [""], 1.0, 0.0, (4, 4);
        from_percent, as_percent, ["%", "percent"], 1e-2, 0.0, (3, 1);
    }
}

kind! {
    /// Hardness of water, as calcium carbonate.
    Hardness(si::MassConcentration), "hardness", example "9 gpg",
    make |v| si::MassConcentration::new::<uom::si::mass_concentration::kilogram_per_cubic_meter>(v), us 1, si 0,
    {
        from_milligrams_per_liter, as_milligrams_per_liter, ["mg/L", "mg/l", "ppm"], 1e-3, 0.0, (3, 0);
        from_grains_per_gallon, as_grains_per_gallon, ["gpg", "gr/gal"], 64.798_91e-6 / GALLON_M3, 0.0, (3, 1);
    }
}

additive!(
    Length,
    Area,
    Volume,
    VolumeFlow,
    Velocity,
    Time,
    TemperatureDifference,
    GaugePressure,
    PressureDifference,
    Power,
    ApparentPower,
    Energy,
    Voltage,
    Current,
    Resistance,
    ResistancePerLength,
    Reactance,
    ReactancePerLength,
    Torque,
    Ratio,
);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn milliohms_and_megohms_differ_in_case_only() {
        let ohms = |text: &str| text.parse::<Resistance>().unwrap().as_ohms();
        assert!((ohms("2 mΩ") - 0.002).abs() < 1e-15 && (ohms("2 Mohm") - 2e6).abs() < 1e-6);
        assert_eq!(Resistance::from_megohms(1.5).show_in("MΩ").to_string(), "1.5 MΩ");
    }

    #[test]
    fn factors_agree_with_uom() {
        // uom 0.38 is the general reference library here; it carries some factors rounded to seven digits.
        let close =
            |ours: f64, theirs: f64| assert!((ours / theirs - 1.0).abs() < 2e-6, "{ours} against {theirs}");
        close(
            Length::from_feet(1.0).as_meters(),
            si::Length::new::<uom::si::length::foot>(1.0).value,
        );
        close(
            Volume::from_gallons(1.0).as_cubic_meters(),
            si::Volume::new::<uom::si::volume::gallon>(1.0).value,
        );
        close(
            VolumeFlow::from_gallons_per_minute(1.0).as_cubic_meters_per_second(),
            si::VolumeRate::new::<uom::si::volume_rate::gallon_per_minute>(1.0).value,
        );
        close(
            GaugePressure::from_psi(1.0).as_pascals(),
            si::Pressure::new::<uom::si::pressure::psi>(1.0).value,
        );
        close(
            Energy::from_btu(1.0).as_joules(),
            si::Energy::new::<uom::si::energy::btu_it>(1.0).value,
        );
        close(
            Area::from_circular_mils(1e6).as_square_meters(),
            si::Area::new::<uom::si::area::circular_mil>(1e6).value,
        );
        close(
            Torque::from_pound_force_inches(1.0).as_newton_meters(),
            si::Torque::new::<uom::si::torque::pound_force_inch>(1.0).value,
        );
        close(
            Torque::from_pound_force_feet(1.0).as_newton_meters(),
            si::Torque::new::<uom::si::torque::pound_force_foot>(1.0).value,
        );
        close(
            Temperature::from_fahrenheit(120.0).as_kelvins(),
            si::ThermodynamicTemperature::new::<uom::si::thermodynamic_temperature::degree_fahrenheit>(120.0)
                .value,
        );
    }

    #[test]
    fn heat_units_agree_with_their_definitions() {
        // The factors printed in unit tables (NIST SP 811, appendix B, from memory): 1 Btu(IT)/(h·ft·°F) is 1.730735
        // W/(m·K), 1 Btu(IT)·in/(h·ft²·°F) is 0.1442279 W/(m·K), 1 Btu(IT)/(h·ft²·°F) is 5.678263 W/(m²·K).
        let close = |ours: f64, printed: f64| {
            assert!((ours / printed - 1.0).abs() < 1e-6, "{ours} against {printed}");
        };
        close(
            ThermalConductivity::from_btu_per_hour_foot_fahrenheit(1.0).as_watts_per_meter_kelvin(),
            1.730_735,
        );
        close(
            ThermalConductivity::from_btu_inch_per_hour_square_foot_fahrenheit(1.0)
                .as_watts_per_meter_kelvin(),
            0.144_227_9,
        );
        close(
            HeatLossPerLength::from_btu_per_hour_foot_fahrenheit(1.0).as_watts_per_meter_kelvin(),
            1.730_735,
        );
        close(
            SurfaceHeatTransfer::from_btu_per_hour_square_foot_fahrenheit(1.0)
                .as_watts_per_square_meter_kelvin(),
            5.678_263,
        );
        // 1 Btu(IT)/(lb·°F) is 4186.8 J/(kg·K) exactly, so one pound of water per foot stores 1 Btu/(ft·°F).
        close(
            HeatCapacityPerLength::from_btu_per_foot_fahrenheit(1.0).as_joules_per_meter_kelvin(),
            4186.8 * 0.453_592_37 / 0.3048,
        );
        close(
            MassFlow::from_pounds_per_minute(60.0).as_kilograms_per_second(),
            0.453_592_37,
        );
    }
}
