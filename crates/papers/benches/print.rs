//! Time of one specimen paper by each printer, warm: `cargo bench -p papers`.

#[path = "../tests/specimen/document.rs"]
mod specimen;

use papers::terminal::{self, Look};

fn main() {
    divan::main();
}

#[divan::bench]
fn terminal(bencher: divan::Bencher<'_, '_>) {
    let document = specimen::document();
    bencher.bench(|| terminal::print(&document, Look::default()));
}

#[divan::bench]
fn html(bencher: divan::Bencher<'_, '_>) {
    let document = specimen::document();
    bencher.bench(|| papers::html::print(&document));
}

#[cfg(feature = "pdf")]
#[divan::bench(sample_count = 20)]
fn pdf(bencher: divan::Bencher<'_, '_>) {
    let mut document = specimen::document();
    let mut revision = 0_u32;
    papers::pdf::print(&document).expect("a paper");
    // Each paper differs from the one before, as papers do; the typesetter remembers equal ones.
    bencher.bench_local(|| {
        revision += 1;
        document.title = format!("Design review {revision}");
        papers::pdf::print(&document)
    });
}
