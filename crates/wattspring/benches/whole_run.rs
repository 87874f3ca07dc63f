//! The main job from a record's bytes to its papers, warm: `cargo xtask bench --all`.
//!
//! The aims for the far bath: 50 ms without the PDF, 1 s with it. Each round works on a record that differs from the one
//! before, since the typesetter remembers equal papers.

#[path = "../src/figures.rs"]
#[allow(dead_code, reason = "the program also writes each figure to a file")]
mod figures;

use assess::{Assessment, DatedDesk};
use divan::{Bencher, black_box};
use job::Job;
use papers::report::{ReportDetail, report};
use papers::terminal::{self, Look};

const FAR_BATH: &str = "../../examples/far-bath.job.toml";

fn main() {
    divan::main();
}

/// The record's text, and the same under another title in each round.
struct Records {
    text: String,
    round: u32,
}

impl Records {
    fn new() -> Self {
        let path = format!("{}/{FAR_BATH}", env!("CARGO_MANIFEST_DIR"));
        let text = std::fs::read_to_string(path).expect("an example");
        assert_eq!(text.matches("\ntitle = \"").count(), 1, "one title to change");
        Self { text, round: 0 }
    }

    fn next(&mut self) -> String {
        self.round += 1;
        self.text
            .replace("\ntitle = \"", &format!("\ntitle = \"Round {}, ", self.round))
    }
}

fn assessed(text: &str) -> (Job, Assessment) {
    let job = jobfile::read_with("far-bath", text.as_bytes(), assess::observed_problems).expect("a record");
    let desk = DatedDesk {
        today: jiff::civil::date(2026, 11, 25),
        electrical: None,
    };
    let assessment = assess::assess(&job, &desk);
    (job, assessment)
}

fn document(job: &Job, assessment: &Assessment) -> papers::Document {
    report(
        assessment,
        &figures::drawings(job, assessment),
        ReportDetail::MetAsTable,
    )
}

/// What `wattspring assess` prints to a terminal, drawings made along.
#[divan::bench]
fn to_terminal(bencher: Bencher<'_, '_>) {
    let mut records = Records::new();
    bencher.with_inputs(|| records.next()).bench_local_values(|text| {
        let (job, assessment) = assessed(black_box(&text));
        terminal::print(&document(&job, &assessment), Look::default())
    });
}

/// The same as a PDF.
#[cfg(feature = "pdf")]
#[divan::bench(sample_count = 10)]
fn to_pdf(bencher: Bencher<'_, '_>) {
    let mut records = Records::new();
    let print = |text: &str| {
        let (job, assessment) = assessed(black_box(text));
        papers::pdf::print(&document(&job, &assessment)).expect("a paper")
    };
    print(&records.next());
    bencher
        .with_inputs(|| records.next())
        .bench_local_values(|text| print(&text));
}
