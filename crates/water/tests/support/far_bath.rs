//! The hot and cold piping of the example far-bath, for tests and the benchmark of heat in motion.
//!
//! Same pipes, lengths and heaters as `examples/far-bath.job.toml`, entered by hand because engines know no job files.

#![allow(
    dead_code,
    reason = "tests and benchmark use their part of the shared helpers"
)]

use quantity::{Length, Power, Ratio, Temperature, TemperatureDifference, Time, Volume, VolumeFlow};
use tables::pipe::PipeMaterial;
use water::Water;
use water::motion::{
    Control, Draw, House, OnDemandUnit, PipeRun, Plan, Settings, StandbyLoss, StorageTank, TankElement, TapId,
};
use water::pipe::Pipe;

pub(crate) fn f(degrees: f64) -> Temperature {
    Temperature::from_fahrenheit(degrees)
}

pub(crate) fn gpm(flow: f64) -> VolumeFlow {
    VolumeFlow::from_gallons_per_minute(flow)
}

pub(crate) fn run(material: PipeMaterial, size: &str, feet: f64, around_f: f64) -> PipeRun {
    let pipe =
        Pipe::of(material, size.parse().expect("a size"), Length::from_feet(feet)).expect("a known size");
    PipeRun::in_air(pipe, None, f(around_f)).expect("a bare pipe")
}

pub(crate) fn unit(kilowatts: f64, set_f: f64) -> OnDemandUnit {
    OnDemandUnit {
        set_point: f(set_f),
        power: Power::from_kilowatts(kilowatts),
        control: Control::Modulating {
            least: Power::from_kilowatts(0.5),
        },
        activation_flow: gpm(0.4),
        drop_out_flow: gpm(0.3),
        start_delay: Time::from_seconds(2.0),
        ramp: Time::from_seconds(3.0),
        thermal_volume: Volume::from_liters(0.8),
        standby: StandbyLoss {
            power: Power::from_watts(20.0),
            difference: TemperatureDifference::from_celsius(28.0),
        },
        surroundings: f(70.0),
    }
}

pub(crate) fn tank(set_f: f64) -> StorageTank {
    let element = |height| TankElement {
        power: Power::from_kilowatts(4.5),
        height: Ratio::from_fraction(height),
    };
    StorageTank {
        volume: Volume::from_gallons(50.0),
        set_point: f(set_f),
        dead_band: TemperatureDifference::from_celsius(5.0),
        elements: vec![element(0.7), element(0.15)],
        simultaneous: false,
        standby: StandbyLoss {
            power: Power::from_watts(40.0),
            difference: TemperatureDifference::from_fahrenheit(52.5),
        },
        inlet_mixing: Ratio::from_fraction(0.1),
        surroundings: f(70.0),
    }
}

/// Which heater serves the house.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Served {
    Unit,
    Tank,
}

/// Kitchen, hall shower, hall basin, far shower, far tub, far basin.
pub(crate) fn far_bath(served: Served, cold_f: f64, settings: Settings) -> (House, [TapId; 6]) {
    use PipeMaterial::{CopperL, CopperM, Pex};
    let set_f = match served {
        Served::Unit => 118.0,
        Served::Tank => 125.0,
    };
    let mut plan = Plan::new(Water::in_house(f(cold_f)).expect("cold water"), f(set_f)).expect("a rise");
    let names = [
        "street",
        "utility",
        "kitchen-cold-tee",
        "hall-cold-tee",
        "far-cold",
        "kitchen-cold",
        "hall-shower-cold",
        "hall-basin-cold",
        "far-shower-cold",
        "far-tub-cold",
        "far-basin-cold",
        "hot-out",
        "kitchen-hot-tee",
        "hall-hot-tee",
        "far-hot",
        "kitchen-hot",
        "hall-shower-hot",
        "hall-basin-hot",
        "far-shower-hot",
        "far-tub-hot",
        "far-basin-hot",
        "unit-in",
    ];
    let places = names.map(|name| plan.place(name));
    let at = |name: &str| places[names.iter().position(|known| *known == name).expect("a place")];
    plan.supply(at("street"));
    let crawl = 55.0;
    let mut pipe = |from, to, material, size, feet, around| {
        plan.pipe(at(from), at(to), run(material, size, feet, around));
    };
    pipe("street", "utility", CopperL, "3/4 in", 34.0, crawl);
    pipe("utility", "kitchen-cold-tee", CopperL, "3/4 in", 18.0, crawl);
    pipe(
        "kitchen-cold-tee",
        "hall-cold-tee",
        CopperL,
        "3/4 in",
        14.0,
        crawl,
    );
    pipe("hall-cold-tee", "far-cold", Pex, "3/4 in", 31.0, crawl);
    pipe("kitchen-cold-tee", "kitchen-cold", CopperM, "1/2 in", 9.0, crawl);
    pipe("hall-cold-tee", "hall-shower-cold", CopperM, "1/2 in", 12.0, 70.0);
    pipe("hall-cold-tee", "hall-basin-cold", CopperM, "1/2 in", 8.0, 70.0);
    pipe("far-cold", "far-shower-cold", Pex, "1/2 in", 11.0, 70.0);
    pipe("far-cold", "far-tub-cold", Pex, "1/2 in", 7.0, 70.0);
    pipe("far-cold", "far-basin-cold", Pex, "1/2 in", 6.0, 70.0);
    match served {
        Served::Unit => {
            pipe("far-cold", "unit-in", Pex, "3/4 in", 5.0, 70.0);
            pipe("far-hot", "hall-hot-tee", Pex, "3/4 in", 31.0, crawl);
            pipe("hall-hot-tee", "kitchen-hot-tee", CopperL, "3/4 in", 14.0, crawl);
        }
        Served::Tank => {
            pipe("hot-out", "kitchen-hot-tee", CopperL, "3/4 in", 19.0, crawl);
            pipe("kitchen-hot-tee", "hall-hot-tee", CopperL, "3/4 in", 14.0, crawl);
            pipe("hall-hot-tee", "far-hot", Pex, "3/4 in", 31.0, crawl);
        }
    }
    pipe("kitchen-hot-tee", "kitchen-hot", CopperM, "1/2 in", 9.0, crawl);
    pipe("hall-hot-tee", "hall-shower-hot", CopperM, "1/2 in", 12.0, 70.0);
    pipe("hall-hot-tee", "hall-basin-hot", CopperM, "1/2 in", 8.0, 70.0);
    pipe("far-hot", "far-shower-hot", Pex, "1/2 in", 11.0, 70.0);
    pipe("far-hot", "far-tub-hot", Pex, "1/2 in", 7.0, 70.0);
    pipe("far-hot", "far-basin-hot", Pex, "1/2 in", 6.0, 70.0);
    match served {
        Served::Unit => {
            plan.unit(at("unit-in"), at("far-hot"), unit(18.0, set_f));
        }
        Served::Tank => {
            plan.tank(at("utility"), at("hot-out"), tank(set_f));
        }
    }
    let taps = [
        "kitchen",
        "hall-shower",
        "hall-basin",
        "far-shower",
        "far-tub",
        "far-basin",
    ]
    .map(|name| {
        let side = |side: &str| Some(at(&format!("{name}-{side}")));
        plan.tap(name, side("hot"), side("cold"))
    });
    (House::new(&plan, settings).expect("a plan without faults"), taps)
}

/// A day of sixty draws, some of them at the same time, in no order.
pub(crate) fn day_of_sixty(taps: &[TapId; 6]) -> Vec<Draw> {
    // Tap, flow in gpm, use temperature in °F, seconds.
    let kinds = [
        (0, 1.8, 110.0, 20.0),
        (5, 0.5, 100.0, 15.0),
        (2, 1.2, 102.0, 25.0),
        (3, 2.0, 105.0, 420.0),
        (0, 1.8, 110.0, 60.0),
        (2, 1.2, 102.0, 10.0),
        (1, 2.0, 105.0, 360.0),
        (0, 1.8, 110.0, 8.0),
        (5, 0.5, 100.0, 40.0),
        (4, 4.0, 104.0, 500.0),
    ];
    (0..60_u32)
        .map(|at| {
            let (tap, flow, use_f, seconds) = kinds[at as usize % kinds.len()];
            // Long showers and the tub once or twice a day, the rest short.
            let long = seconds > 100.0 && at >= 20;
            Draw {
                tap: taps[tap],
                opens: Time::from_minutes(360.0 + f64::from(at * 7919 % 960)),
                runs: Time::from_seconds(if long { 30.0 } else { seconds }),
                flow: gpm(flow),
                use_temperature: Some(f(use_f)),
                traced: false,
            }
        })
        .collect()
}
