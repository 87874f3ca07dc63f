//! Benchmarks of the power engine.

fn main() {
    divan::main();
}
