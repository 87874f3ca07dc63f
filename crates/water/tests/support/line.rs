//! One row of pipes from an ideal heater to a tap that takes hot water alone, and the numbers of its pipes worked out by
//! hand: for tests against closed forms and the grid.

#![allow(dead_code, reason = "each test file uses its part of the shared helpers")]

use quantity::{Power, Temperature, TemperatureDifference, Time, Volume, VolumeFlow};
use tables::pipe::PipeMaterial;
use water::Water;
use water::motion::{
    Control, Draw, House, NodeId, OnDemandUnit, PipeRun, Plan, Settings, StandbyLoss, TapId,
};
use water::pipe::{Pipe, Wall};

pub(crate) fn f(degrees: f64) -> Temperature {
    Temperature::from_fahrenheit(degrees)
}

pub(crate) fn gpm(flow: f64) -> VolumeFlow {
    VolumeFlow::from_gallons_per_minute(flow)
}

/// A heater without mass, delay or limit.
pub(crate) fn ideal(set_point: Temperature) -> OnDemandUnit {
    OnDemandUnit {
        set_point,
        power: Power::from_kilowatts(900.0),
        control: Control::Modulating {
            least: Power::from_watts(0.0),
        },
        activation_flow: gpm(0.001),
        drop_out_flow: gpm(0.001),
        start_delay: Time::zero(),
        ramp: Time::zero(),
        thermal_volume: Volume::from_milliliters(0.01),
        standby: StandbyLoss {
            power: Power::zero(),
            difference: TemperatureDifference::from_celsius(1.0),
        },
        surroundings: set_point,
    }
}

pub(crate) struct Line {
    pub(crate) house: House,
    pub(crate) tap: TapId,
    pub(crate) end: NodeId,
}

/// Pipes in a row after an ideal heater.
pub(crate) fn line(runs: &[PipeRun], cold: Temperature, set: Temperature, settings: Settings) -> Line {
    let mut plan = Plan::new(Water::in_house(cold).unwrap(), set).unwrap();
    let street = plan.place("street");
    plan.supply(street);
    let mut end = plan.place("heater");
    plan.unit(street, end, ideal(set));
    for (at, run) in runs.iter().enumerate() {
        let next = plan.place(&format!("place {at}"));
        plan.pipe(end, next, *run);
        end = next;
    }
    let tap = plan.tap("tap", Some(end), None);
    Line {
        house: House::new(&plan, settings).unwrap(),
        tap,
        end,
    }
}

pub(crate) fn bare(material: PipeMaterial, size: &str, feet: f64, around: Temperature) -> PipeRun {
    let pipe = Pipe::of(material, size.parse().unwrap(), quantity::Length::from_feet(feet)).unwrap();
    PipeRun::in_air(pipe, None, around).unwrap()
}

/// The same pipe with a wall that stores no heat.
pub(crate) fn without_wall(run: PipeRun) -> PipeRun {
    let wall = Wall {
        density: quantity::Density::from_kilograms_per_cubic_meter(1e-6),
        ..run.pipe.wall()
    };
    let pipe = Pipe::measured(
        run.pipe.inside_diameter(),
        run.pipe.outside_diameter(),
        run.pipe.length(),
        run.pipe.roughness(),
        wall,
    );
    PipeRun {
        pipe: pipe.unwrap(),
        ..run
    }
}

pub(crate) fn without_loss(run: PipeRun) -> PipeRun {
    let none = quantity::HeatLossPerLength::from_watts_per_meter_kelvin(0.0);
    PipeRun {
        loss_moving: none,
        loss_standing: none,
        ..run
    }
}

pub(crate) fn open(tap: TapId, seconds: f64, flow: VolumeFlow, wanted: Temperature) -> Draw {
    Draw {
        tap,
        opens: Time::zero(),
        runs: Time::from_seconds(seconds),
        flow,
        use_temperature: Some(wanted),
        traced: true,
    }
}
