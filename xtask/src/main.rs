//! Developer commands: `cargo xtask tidy`, `licences`, `wasm`, `schema`, `bench`, `reference`.
//!
//! In: the checkout this binary was built from. Out: a list of problems with their places, or generated files. The checks
//! of `tidy` and `licences` also run as tests, so that `cargo test --workspace` shows them. Start at [`Task`]. Knows the
//! layout of the repository and nothing of water or power.
#![allow(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "a developer command talks on the terminal"
)]

mod bench;
mod licences;
mod peer;
mod rust_text;
mod schema;
mod tidy;
mod tree;
mod wasm;

use clap::{Parser, Subcommand};
use std::process::ExitCode;

/// What a command gives back: what went wrong, in words.
type Outcome<T = ()> = Result<T, Box<dyn std::error::Error>>;

/// Developer commands of the project.
#[derive(Parser)]
#[command(name = "cargo xtask")]
struct Cli {
    #[command(subcommand)]
    task: Task,
}

#[derive(Subcommand)]
enum Task {
    /// House rules: rows of crates, maps, file headers, words, claims, purity.
    Tidy,
    /// Licence and origin of every crate in the lock file.
    Licences {
        /// Fail if a crate of another platform is not on disk (run `cargo fetch --locked` first).
        #[arg(long)]
        all: bool,
    },
    /// Compiles the pure crates for wasm32-unknown-unknown.
    Wasm {
        /// Succeed with a note if this machine has no WASM standard library.
        #[arg(long)]
        if_available: bool,
        /// Compile nothing; succeed if this machine could.
        #[arg(long, conflicts_with = "if_available")]
        has_route: bool,
    },
    /// Writes the JSON Schemas of the record and of the assessment.
    Schema {
        /// Write nothing; fail if they differ from the types.
        #[arg(long)]
        check: bool,
    },
    /// Runs the benchmarks and prints one table.
    Bench {
        /// Also the crates that contain the typesetter, whose optimized build takes many minutes.
        #[arg(long)]
        all: bool,
        /// Only the pipe networks, beside a general hydraulic engine timed in the same run.
        #[arg(long, conflicts_with_all = ["all", "filter"])]
        peer: bool,
        /// Only benchmarks whose name contains this.
        filter: Option<String>,
    },
    /// Makes reference values anew with other people's libraries; fails if a kept one has moved.
    Reference,
}

fn main() -> ExitCode {
    let done = match Cli::parse().task {
        Task::Tidy => tidy::run(),
        Task::Licences { all } => licences::run(all),
        Task::Wasm {
            if_available,
            has_route,
        } => wasm::run(if_available, has_route),
        Task::Schema { check } => schema::run(check),
        Task::Bench { peer: true, .. } => peer::speed(),
        Task::Bench { all, filter, .. } => bench::run(all, filter.as_deref()),
        Task::Reference => peer::reference(),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("error: {error}");
            ExitCode::FAILURE
        }
    }
}
