//! Runs the benchmarks of the crates and prints them as one table.
//!
//! In: every bench target of the workspace, each run by cargo in the release-like bench profile. Out: one line a
//! benchmark with fastest, median and slowest time as the harness printed them. Start at [`run`]. Crates that contain the
//! typesetter are left out unless asked for. Judges nothing: times of two machines, or of a busy one, do not compare.

use crate::Outcome;
use crate::tree::root;
use cargo_metadata::MetadataCommand;
use std::process::{Command, Stdio};

/// Crates whose optimized build holds the typesetter.
const TYPESETTING: [&str; 2] = ["papers", "wattspring"];

/// One benchmark as the harness printed it.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct Line {
    pub(crate) name: String,
    fastest: String,
    slowest: String,
    pub(crate) median: String,
    samples: String,
}

/// Runs and prints.
pub(crate) fn run(all: bool, filter: Option<&str>) -> Outcome {
    let metadata = MetadataCommand::new()
        .manifest_path(root().join("Cargo.toml"))
        .no_deps()
        .exec()?;
    let mut rows = Vec::new();
    let mut left_out = Vec::new();
    for package in &metadata.packages {
        for target in package.targets.iter().filter(|target| target.is_bench()) {
            let (package, target) = (package.name.as_str(), target.name.as_str());
            if !all && TYPESETTING.contains(&package) {
                left_out.push(package);
                continue;
            }
            eprintln!("running {package}/{target}");
            for line in read(&output(package, target, filter)?) {
                rows.push((package.to_owned(), line));
            }
        }
    }
    if rows.is_empty() {
        println!("no benchmark was run");
    } else {
        print_table(&rows);
        let cores = std::thread::available_parallelism().map_or(0, std::num::NonZero::get);
        println!(
            "\n{} benchmarks on a machine of {cores} cores; times as the harness printed them",
            rows.len()
        );
    }
    if !left_out.is_empty() {
        println!(
            "left out, because they build the typesetter optimized: {} (`--all` runs them)",
            left_out.join(", ")
        );
    }
    Ok(())
}

pub(crate) fn output(package: &str, target: &str, filter: Option<&str>) -> Outcome<String> {
    let mut command = Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
    command
        .args(["bench", "--package", package, "--bench", target, "--"])
        .args(filter)
        .current_dir(root());
    let output = command.stderr(Stdio::inherit()).output()?;
    if !output.status.success() {
        return Err(format!("benchmark `{package}/{target}` failed").into());
    }
    Ok(String::from_utf8(output.stdout)?)
}

/// The lines of the harness's tree that hold times, each with its path in the tree.
pub(crate) fn read(text: &str) -> Vec<Line> {
    let mut path: Vec<String> = Vec::new();
    let mut lines = Vec::new();
    for text in text.lines() {
        // The tree is drawn three characters a level: "│  ├─ name   fastest │ slowest │ median │ mean │ samples │ iters".
        let Some(mark) = text.find(['├', '╰']) else {
            continue;
        };
        let depth = text[..mark].chars().count() / 3;
        let rest = text[mark..].trim_start_matches(['├', '╰', '─']).trim();
        let mut cells = rest.split('│').map(str::trim);
        let first = cells.next().unwrap_or_default();
        let cells: Vec<&str> = cells.collect();
        let (name, fastest) = first.split_once("  ").unwrap_or((first, ""));
        path.truncate(depth);
        path.push(name.trim().to_owned());
        if let [slowest, median, _mean, samples, ..] = cells[..]
            && !samples.is_empty()
            && !fastest.trim().is_empty()
        {
            lines.push(Line {
                name: path.join("/"),
                fastest: fastest.trim().to_owned(),
                slowest: slowest.to_owned(),
                median: median.to_owned(),
                samples: samples.to_owned(),
            });
        }
    }
    lines
}

fn print_table(rows: &[(String, Line)]) {
    let head = ["crate", "benchmark", "fastest", "median", "slowest", "samples"];
    let mut table: Vec<[&str; 6]> = vec![head];
    table.extend(rows.iter().map(|(package, line)| {
        [
            package,
            &line.name,
            &line.fastest,
            &line.median,
            &line.slowest,
            &line.samples,
        ]
        .map(String::as_str)
    }));
    let width = |column: usize| {
        table
            .iter()
            .map(|row| row[column].chars().count())
            .max()
            .unwrap_or(0)
    };
    let widths: [usize; 6] = std::array::from_fn(width);
    for row in &table {
        let aligned = row
            .iter()
            .zip(widths)
            .enumerate()
            .map(|(column, (cell, width))| match column {
                // Names to the left, times to the right.
                0 | 1 => format!("{cell:<width$}"),
                _ => format!("{cell:>width$}"),
            });
        let text = aligned.collect::<Vec<_>>().join("  ");
        println!("{}", text.trim_end());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_tree_of_the_harness_is_read_with_paths() {
        let text = "Timer precision: 20 ns\n\
            network           fastest       │ slowest       │ median        │ mean          │ samples │ iters\n\
            ├─ friction       9.1 ns        │ 12 ns         │ 9.5 ns        │ 9.6 ns        │ 100     │ 6400\n\
            ╰─ solve                        │               │               │               │         │\n\
            \u{20}  ├─ 10         1.2 ms        │ 3 ms          │ 1.3 ms        │ 1.4 ms        │ 50      │ 50\n\
            \u{20}  ╰─ 100        11 ms         │ 13 ms         │ 12 ms         │ 12 ms         │ 10      │ 10\n";
        let lines = read(text);
        let names: Vec<&str> = lines.iter().map(|line| line.name.as_str()).collect();
        assert_eq!(names, ["friction", "solve/10", "solve/100"]);
        let last = &lines[2];
        assert_eq!(
            [&last.fastest, &last.median, &last.slowest, &last.samples],
            ["11 ms", "12 ms", "13 ms", "10"]
        );
    }

    #[test]
    fn text_that_is_no_table_gives_no_line() {
        assert_eq!(read("running 3 tests\n├─ odd\n│  ╰─ 1 │ 2\n"), []);
    }
}
