//! A day of sixty draws through the piping of example far-bath, and that its inner loop does not allocate: run
//! `cargo bench -p water --bench motion`. Promised: under 2 ms a day.

use divan::{AllocProfiler, Bencher, black_box};
use quantity::Time;
use water::motion::Settings;

#[path = "../tests/support/far_bath.rs"]
mod far_bath;

use far_bath::{Served, day_of_sixty, far_bath};

#[global_allocator]
static ALLOCATIONS: AllocProfiler = AllocProfiler::system();

fn main() {
    divan::main();
}

/// Warm: the house has lived a day before, so that its buffers have grown; allocations of a day show in the table.
#[divan::bench(args = [Served::Unit, Served::Tank])]
fn day_of_sixty_draws(bencher: Bencher, served: Served) {
    let (mut house, taps) = far_bath(served, 50.0, Settings::default());
    let draws = day_of_sixty(&taps);
    let mut results = Vec::new();
    let day = Time::from_hours(24.0);
    house
        .run(&draws, day, &mut results)
        .expect("a schedule without faults");
    bencher.bench_local(|| {
        house
            .run(black_box(&draws), day, &mut results)
            .expect("a schedule without faults")
    });
}

#[divan::bench]
fn a_house_from_its_plan(bencher: Bencher) {
    bencher.bench_local(|| far_bath(Served::Unit, black_box(50.0), Settings::default()));
}
