//! How long a sheet takes: the one-line diagram of a typical job, the capability chart, piping schematics, and their SVG.

#[path = "../samples/charts.rs"]
#[allow(dead_code, reason = "shared with the tests and the gallery")]
mod charts;
#[path = "../samples/one_line_jobs.rs"]
#[allow(dead_code, reason = "shared with the tests and the gallery")]
mod one_line_jobs;
#[path = "../samples/piping_houses.rs"]
#[allow(dead_code, reason = "shared with the tests and the gallery")]
mod piping_houses;

use divan::{Bencher, black_box};
use drawings::{capability, chart, one_line, piping, plain, svg_print};
use quantity::UnitSystem;

fn main() {
    divan::main();
}

#[divan::bench]
fn one_line_diagram_of_a_typical_job(bencher: Bencher) {
    let job = one_line_jobs::typical();
    bencher.bench_local(|| svg_print::svg(&one_line::diagram(black_box(&job))));
}

#[divan::bench]
fn one_line_tree_of_a_typical_job(bencher: Bencher) {
    let job = one_line_jobs::typical();
    bencher.bench_local(|| plain::one_line_tree(black_box(&job), 76));
}

#[divan::bench]
fn capability_chart(bencher: Bencher) {
    let input = charts::capability(UnitSystem::Us);
    bencher.bench_local(|| svg_print::svg(&chart::sheet(&capability::chart(black_box(&input)))));
}

#[divan::bench(args = [1, 6])]
fn piping_schematic(bencher: Bencher, bathrooms: usize) {
    let house = piping_houses::large(bathrooms);
    bencher.bench_local(|| svg_print::svg(&piping::schematic(black_box(&house))));
}
