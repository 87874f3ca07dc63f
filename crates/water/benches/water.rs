//! How long the engine's inner parts take, and that none of them allocates: run `cargo bench -p water`.

use divan::{AllocProfiler, Bencher, black_box};
use quantity::{GaugePressure, Length, Power, PressureDifference, Temperature, VolumeFlow};
use tables::fitting::Fitting;
use tables::pipe::PipeMaterial;
use water::heating::outlet_temperature;
use water::outlet::{Outlet, OutletSettings, flow_at_outlet};
use water::path::{Part, Path, Run};
use water::pipe::Pipe;
use water::{LossCurve, Water};

#[global_allocator]
static ALLOCATIONS: AllocProfiler = AllocProfiler::system();

fn main() {
    divan::main();
}

fn cold() -> Water {
    Water::in_house(Temperature::from_fahrenheit(50.0)).expect("within range")
}

/// Twenty pipes of falling size with a heater in the middle.
fn twenty_pipes() -> Vec<Part> {
    let sizes = ["1 in", "3/4 in", "1/2 in"].map(|size| size.parse().expect("a size"));
    let heater = LossCurve::through(&[
        (
            VolumeFlow::from_gallons_per_minute(1.0),
            PressureDifference::from_psi(1.0),
        ),
        (
            VolumeFlow::from_gallons_per_minute(3.0),
            PressureDifference::from_psi(8.0),
        ),
    ])
    .expect("a rising curve");
    let mut parts: Vec<Part> = (0..20)
        .map(|index| {
            let size = sizes[index / 7];
            let pipe = Pipe::of(PipeMaterial::CopperL, size, Length::from_feet(8.0)).expect("a known size");
            let run = Run::new(pipe, cold()).with_fittings(size, &[(Fitting::Elbow90, 2)]);
            Part::Run(run.expect("a known size"))
        })
        .collect();
    parts.insert(10, Part::Device(heater));
    parts
}

#[divan::bench(args = [1e3, 3e3, 2e4, 1e6])]
fn friction(re: f64) -> f64 {
    water::friction::darcy_friction(black_box(re), 1e-4).expect("within range")
}

#[divan::bench]
fn water_properties() -> Water {
    Water::in_house(black_box(Temperature::from_celsius(49.0))).expect("within range")
}

#[divan::bench]
fn heated_outlet(bencher: Bencher) {
    let inlet = cold();
    bencher.bench_local(|| {
        outlet_temperature(
            black_box(Power::from_kilowatts(18.0)),
            VolumeFlow::from_gallons_per_minute(3.0),
            &inlet,
        )
        .expect("below boiling")
    });
}

#[divan::bench]
fn loss_of_twenty_pipes(bencher: Bencher) {
    let parts = twenty_pipes();
    let path = Path::new(cold(), &parts);
    bencher.bench_local(|| {
        path.loss_at(black_box(VolumeFlow::from_gallons_per_minute(3.0)))
            .expect("within range")
    });
}

#[divan::bench]
fn flow_of_an_outlet(bencher: Bencher) {
    let parts = twenty_pipes();
    let path = Path::new(cold(), &parts);
    let shower = Outlet::Orifice {
        rated_flow: VolumeFlow::from_gallons_per_minute(2.5),
        rated_pressure: GaugePressure::from_psi(80.0),
    };
    let settings = OutletSettings::default();
    bencher.bench_local(|| {
        flow_at_outlet(
            &path,
            black_box(GaugePressure::from_psi(55.0)),
            &shower,
            &settings,
        )
        .expect("it converges")
    });
}

#[divan::bench]
fn nearest_climate_station() -> tables::climate::Nearest {
    tables::climate::nearest(black_box(41.9), black_box(-87.6), None).expect("a place")
}

#[divan::bench]
fn nearest_climate_station_from_the_far_side() -> tables::climate::Nearest {
    tables::climate::nearest(black_box(-33.9), black_box(18.4), None).expect("a place")
}
