//! Benchmarks of the importers: a year of quarter hours from either kind of file, and what is worked out from it.
//!
//! The year must import in under 60 ms; `examples/stream.rs` measures the large file.

#[path = "../samples/feed.rs"]
mod feed;

use divan::{Bencher, black_box};
use meter::{CsvOptions, csv_file, demand, green_button, quality_report};
use std::fmt::Write as _;

const YEAR: i64 = 365 * 96;

fn main() {
    divan::main();
}

#[divan::bench]
fn green_button_year(bencher: Bencher<'_, '_>) {
    let text = feed::feed(YEAR);
    bencher.bench(|| green_button(black_box(text.as_bytes()), None));
}

#[divan::bench]
fn csv_year(bencher: Bencher<'_, '_>) {
    let mut text = "start,kWh\n".to_owned();
    for index in 0..YEAR {
        let start = feed::START_S + index * 900;
        let _ = writeln!(text, "{start},0.{:03}", feed::value_wh(index));
    }
    bencher.bench(|| csv_file(black_box(text.as_bytes()), &CsvOptions::default()));
}

#[divan::bench]
fn demand_of_a_year(bencher: Bencher<'_, '_>) {
    let text = feed::feed(YEAR);
    let import = green_button(text.as_bytes(), None).ok();
    bencher.bench(|| {
        let import = import.as_ref()?;
        let series = import.demand(None).ok()?;
        Some((quality_report(series), demand(series, &import.local)))
    });
}
