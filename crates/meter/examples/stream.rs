//! Measures the import of a large file against a bare scan of its XML events, with the peak of memory.
//!
//! `cargo run --release -p meter --example stream [MEGABYTES]` writes a made-up feed to the folder for temporary files,
//! imports it, scans it, and prints times and peak. Ends with status 1 when the import is slower than half the speed of
//! the scan, takes more than 30 MB, or a year of quarter hours takes more than 60 ms. Times are those of the
//! processor where the system tells them (Linux, `/proc/self/schedstat`), so that a busy machine does not mislead; each is
//! the best of five. The peak is read from `/proc/self/status`, so it too is told on Linux only.
#![allow(clippy::print_stdout, reason = "a developer command talks on the terminal")]

#[path = "../samples/feed.rs"]
mod feed;

use std::fs::File;
use std::io::{BufReader, BufWriter, Write};
use std::process::ExitCode;
use std::time::{Duration, Instant};

const RUNS: usize = 5;
const MEMORY_MAX_KB: u64 = 30_000;
const YEAR_MAX: Duration = Duration::from_millis(60);

fn main() -> Result<ExitCode, Box<dyn std::error::Error>> {
    let megabytes: usize = std::env::args().nth(1).map_or(Ok(100), |text| text.parse())?;
    let path = std::env::temp_dir().join(format!("meter-stream-{}.xml", std::process::id()));
    let readings = write(&path, megabytes * 1_000_000)?;
    let outcome = measure(&path, readings);
    std::fs::remove_file(&path)?;
    outcome
}

fn measure(path: &std::path::Path, readings: i64) -> Result<ExitCode, Box<dyn std::error::Error>> {
    let bytes = std::fs::metadata(path)?.len();
    let import = best(|| {
        let import = meter::green_button(File::open(path)?, None)?;
        let demand = import
            .demand(None)
            .ok()
            .and_then(|series| meter::demand(series, &import.local));
        assert!(demand.is_some() && import.account.is_closed());
        assert_eq!(
            i64::try_from(import.account.kept)?,
            readings,
            "every reading arrives"
        );
        Ok(())
    })?;
    let peak_kb = peak_kb();
    let scan = best(|| scan(path))?;
    let year = feed::feed(365 * 96);
    let year_time = best(|| {
        meter::green_button(year.as_bytes(), None)?;
        Ok(())
    })?;
    let share = scan.as_secs_f64() / import.as_secs_f64();
    let rate = |time: Duration| bytes as f64 / 1e6 / time.as_secs_f64();
    println!(
        "file                    {:.1} MB, {readings} readings",
        bytes as f64 / 1e6
    );
    println!("bare scan of its events {scan:.0?}, {:.0} MB/s", rate(scan));
    println!(
        "import and demand       {import:.0?}, {:.0} MB/s: {:.0} % of the scan's speed",
        rate(import),
        share * 100.0
    );
    match peak_kb {
        Some(peak_kb) => println!("peak of memory          {:.1} MB", peak_kb as f64 / 1000.0),
        None => println!("peak of memory          not known on this system"),
    }
    println!(
        "a year of quarter hours {year_time:.1?}, {:.1} MB",
        year.len() as f64 / 1e6
    );
    let holds = share >= 0.5 && peak_kb.is_none_or(|peak_kb| peak_kb < MEMORY_MAX_KB) && year_time < YEAR_MAX;
    println!(
        "{}",
        if holds {
            "within the limits"
        } else {
            "OUTSIDE the limits"
        }
    );
    Ok(if holds {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    })
}

fn write(path: &std::path::Path, bytes: usize) -> std::io::Result<i64> {
    let mut file = BufWriter::new(File::create(path)?);
    let (mut written, mut first) = (0, 0);
    file.write_all(feed::head().as_bytes())?;
    while written < bytes {
        let block = feed::block(first, 96);
        file.write_all(block.as_bytes())?;
        written += block.len();
        first += 96;
    }
    file.write_all(b"</feed>\n")?;
    file.flush()?;
    Ok(first)
}

fn scan(path: &std::path::Path) -> Result<(), Box<dyn std::error::Error>> {
    let mut reader = quick_xml::Reader::from_reader(BufReader::with_capacity(64 * 1024, File::open(path)?));
    let mut buffer = Vec::new();
    loop {
        if let quick_xml::events::Event::Eof = reader.read_event_into(&mut buffer)? {
            return Ok(());
        }
        buffer.clear();
    }
}

fn best(
    mut run: impl FnMut() -> Result<(), Box<dyn std::error::Error>>,
) -> Result<Duration, Box<dyn std::error::Error>> {
    let mut best = Duration::MAX;
    for _ in 0..RUNS {
        let (start, on_processor) = (Instant::now(), processor_time());
        run()?;
        let spent = processor_time()
            .zip(on_processor)
            .map(|(end, start)| end.saturating_sub(start));
        best = best.min(spent.unwrap_or_else(|| start.elapsed()));
    }
    Ok(best)
}

/// Time this process has had a processor.
fn processor_time() -> Option<Duration> {
    let text = std::fs::read_to_string("/proc/self/schedstat").ok()?;
    text.split_whitespace()
        .next()?
        .parse()
        .ok()
        .map(Duration::from_nanos)
}

/// Largest memory the process ever stood in, kB.
fn peak_kb() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|line| line.starts_with("VmHWM:"))?;
    line.split_whitespace().nth(1)?.parse().ok()
}
