//! Cost of solving networks: a house cold and warm, whole towns, and the curve over size.
//!
//! Cold: from usual flows. Warm: one outlet or demand changed by a fifth since the last answer. Names that
//! `checks/reference/epanet_speed.py` prints too are compared by `cargo xtask bench --peer`. Allocations are counted; a
//! solve has none.
#![allow(
    clippy::unwrap_used,
    reason = "helpers of a test or benchmark fail as tests do"
)]

use divan::{AllocProfiler, Bencher, black_box};
use quantity::{GaugePressure, Length, Temperature, VolumeFlow};
use std::path::Path;
use water::Water;
use water::network::input_text::{Imported, read};
use water::network::{Device, Fluid, FrictionLaw, Network, OutletLaw, PipeRun, Solver};
use water::outlet::Outlet;

#[global_allocator]
static ALLOCATOR: AllocProfiler = AllocProfiler::system();

fn main() {
    divan::main();
}

fn imported(name: &str) -> Imported {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("../../checks/water/networks/{name}.inp"));
    read(&std::fs::read_to_string(path).unwrap()).unwrap()
}

const TOWNS: [&str; 4] = ["house-net-40", "Net3", "ky4", "Net6"];
/// The junction or emitter changed between warm solves.
const CHANGED: [(&str, &str); 4] = [
    ("house-net-40", "HTUB"),
    ("Net3", "15"),
    ("ky4", "J-273"),
    ("Net6", "JUNCTION-3064"),
];

#[divan::bench(args = TOWNS)]
fn cold(bencher: Bencher<'_, '_>, name: &str) {
    solve_cold(bencher, &imported(name).network);
}

/// The same house under our own friction law.
#[divan::bench]
fn cold_own_law(bencher: Bencher<'_, '_>) {
    let network = imported("house-net-40").network;
    solve_cold(bencher, &network.with_friction(FrictionLaw::Smooth).unwrap());
}

fn solve_cold(bencher: Bencher<'_, '_>, network: &Network) {
    let mut solver = Solver::new(network);
    solver.solve().unwrap();
    bencher.bench_local(|| {
        solver.reset();
        black_box(solver.solve().unwrap().iterations())
    });
}

#[divan::bench(args = TOWNS)]
fn warm(bencher: Bencher<'_, '_>, name: &str) {
    let imported = imported(name);
    solve_warm(bencher, &imported, &imported.network);
}

/// The same house under our own friction law.
#[divan::bench]
fn warm_own_law(bencher: Bencher<'_, '_>) {
    let imported = imported("house-net-40");
    let network = imported
        .network
        .clone()
        .with_friction(FrictionLaw::Smooth)
        .unwrap();
    let of = Imported { network, ..imported };
    solve_warm(bencher, &of, &of.network);
}

fn solve_warm(bencher: Bencher<'_, '_>, imported: &Imported, network: &Network) {
    let mut solver = Solver::new(network);
    solver.solve().unwrap();
    let name = imported
        .nodes
        .keys()
        .find(|node| CHANGED.iter().any(|(_, changed)| changed == node))
        .unwrap();
    let emitter = imported.emitters.get(name).map(|id| {
        let Device::Outlet(OutletLaw::Emitter {
            flow,
            pressure,
            exponent,
        }) = network.get(*id).unwrap().device
        else {
            panic!("{name}")
        };
        (*id, flow, pressure, exponent)
    });
    let node = imported.nodes[name];
    let demand = VolumeFlow::from_gallons_per_minute(10.0);
    let mut more = false;
    bencher.bench_local(|| {
        more = !more;
        let times = if more { 1.2 } else { 1.0 };
        match emitter {
            Some((id, flow, pressure, exponent)) => {
                let law = OutletLaw::Emitter {
                    flow: flow * times,
                    pressure,
                    exponent,
                };
                solver.set_outlet(id, law).unwrap();
            }
            None => solver.set_demand(node, demand * times).unwrap(),
        }
        black_box(solver.solve().unwrap().iterations())
    });
}

/// Compiling and planning.
#[divan::bench(args = TOWNS)]
fn plan(bencher: Bencher<'_, '_>, name: &str) {
    let network = imported(name).network;
    bencher.bench_local(|| black_box(Solver::new(&network)));
}

/// A tree of half-inch and larger pipes with a tap at every end.
fn tree(pipes: usize) -> Network {
    let water = Fluid::from(Water::in_house(Temperature::from_fahrenheit(60.0)).unwrap());
    let mut network = Network::new(FrictionLaw::Smooth, water);
    let street = network
        .supply("street", Length::zero(), GaugePressure::from_psi(60.0))
        .unwrap();
    let mut nodes = vec![street];
    for index in 0..pipes {
        let from = nodes[index / 2];
        let node = network
            .junction(&format!("N{index}"), Length::zero(), VolumeFlow::zero())
            .unwrap();
        // Pipes get narrower away from the street, so that water reaches the ends.
        let depth = (index + 1).ilog2().min(40);
        let narrowing = 0.8_f64.powi(i32::try_from(depth).unwrap());
        let bore_m = (0.012 * (pipes as f64).powf(0.32) * narrowing).max(0.012);
        let run = PipeRun {
            length: Length::from_meters(3.0),
            inside_diameter: Length::from_meters(bore_m),
            roughness: Length::from_meters(1.5e-6),
            loss_coefficient: 2.0,
            check: false,
        };
        network
            .link(&format!("P{index}"), from, node, water, Device::Pipe(run))
            .unwrap();
        if 2 * index + 1 >= pipes {
            let outlet = Outlet::Orifice {
                rated_flow: VolumeFlow::from_gallons_per_minute(1.0),
                rated_pressure: GaugePressure::from_psi(60.0),
            };
            let law = OutletLaw::Fixture {
                outlet,
                throttled_to: None,
            };
            network.outlet(&format!("T{index}"), node, law).unwrap();
        }
        nodes.push(node);
    }
    network
}

/// Cost over size: linear in pipes.
#[divan::bench(args = [100, 1_000, 10_000, 100_000], sample_count = 20, sample_size = 1)]
fn cold_tree(bencher: Bencher<'_, '_>, pipes: usize) {
    solve_cold(bencher, &tree(pipes));
}

/// Planning a tree.
#[divan::bench(args = [100, 1_000, 10_000, 100_000], sample_count = 3, sample_size = 1)]
fn plan_tree(bencher: Bencher<'_, '_>, pipes: usize) {
    let network = tree(pipes);
    bencher.bench_local(|| black_box(Solver::new(&network)));
}
