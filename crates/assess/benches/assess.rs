//! How long a whole assessment takes, warm, without papers. The aim for the far bath is 50 ms.

use assess::{DatedDesk, assess};
use divan::{Bencher, black_box};

fn main() {
    divan::main();
}

#[divan::bench(args = ["far-bath", "hundred-amp", "apartment"])]
fn whole_assessment(bencher: Bencher<'_, '_>, name: &str) {
    let path = format!("{}/../../examples/{name}.job.toml", env!("CARGO_MANIFEST_DIR"));
    let job: job::Job =
        toml::from_str(&std::fs::read_to_string(path).expect("an example")).expect("a record");
    let desk = DatedDesk {
        today: jiff::civil::date(2026, 11, 25),
        electrical: None,
    };
    bencher.bench_local(|| assess(black_box(&job), &desk));
}
