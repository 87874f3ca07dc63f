//! Feeds the importers damaged files: mutations of a small corpus, the same ones in every run.
//!
//! `cargo run --release -p meter --example mutate -- green-button|csv SECONDS [SEED]` mutates the sample files and some
//! made-up ones for so long. Whatever comes out must be an error with its place, or an import whose account closes, whose
//! readings are in order, finite and never overlap, and whose reports can be made. Anything else, a panic included, stops
//! the run and writes the input beside the temporary files.
//!
//! A fuzzer that watches coverage needs a nightly compiler; this one runs on the stable one. Its mutations know the
//! formats: they splice tags, numbers and lines besides bytes.
#![allow(clippy::print_stdout, reason = "a developer command talks on the terminal")]

#[path = "../samples/feed.rs"]
mod feed;

use meter::{CsvOptions, Import, MeterError};
use std::path::Path;
use std::time::{Duration, Instant};

/// Numbers that break readers.
const NUMBERS: [&str; 14] = [
    "0",
    "-1",
    "1",
    "72",
    "19",
    "900",
    "4102444800",
    "9223372036854775807",
    "-9223372036854775808",
    "99999999999999999999",
    "1e308",
    "NaN",
    "0x10",
    "٣",
];
/// Pieces of the formats.
const PIECES: [&str; 22] = [
    "<",
    ">",
    "</",
    "/>",
    "<!--",
    "-->",
    "<![CDATA[",
    "]]>",
    "<!DOCTYPE a [<!ENTITY b \"c\">]>",
    "&lt;",
    "&#x41;",
    "&b;",
    "<IntervalReading>",
    "</IntervalReading>",
    "<entry>",
    "</entry>",
    "<value>",
    "\"",
    ",",
    ";",
    "\n",
    "\u{feff}",
];

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut arguments = std::env::args().skip(1);
    let which = arguments.next().unwrap_or_else(|| "green-button".to_owned());
    let seconds: u64 = arguments.next().map_or(Ok(10), |text| text.parse())?;
    let mut dice = Dice(arguments.next().map_or(Ok(1), |text| text.parse())?);
    let csv = which == "csv";
    let corpus = corpus(csv)?;
    let (start, limit) = (Instant::now(), Duration::from_secs(seconds));
    let (mut runs, mut errors, mut readings) = (0_u64, 0_u64, 0_u64);
    while start.elapsed() < limit {
        let mut input = corpus[dice.below(corpus.len())].clone();
        for _ in 0..=dice.below(6) {
            mutate(&mut input, &corpus, &mut dice);
        }
        let options = options(csv, &mut dice);
        let tried = std::panic::catch_unwind(|| {
            let outcome = if csv {
                meter::csv_file(input.as_slice(), &options)
            } else {
                meter::import(input.as_slice(), &options)
            };
            verdict(&outcome).map(|()| outcome.map_or((1, 0), |import| (0, import.account.kept)))
        });
        let failure = match tried {
            Ok(Ok((error, kept))) => {
                errors += error;
                readings += kept;
                None
            }
            Ok(Err(why)) => Some(why),
            Err(_) => Some("it panicked".to_owned()),
        };
        if let Some(why) = failure {
            let path = std::env::temp_dir().join(format!("meter-{which}-{runs}.bin"));
            std::fs::write(&path, &input)?;
            return Err(format!("{why}; the input is `{}`", path.display()).into());
        }
        runs += 1;
    }
    println!(
        "{which}: {runs} damaged files in {seconds} s, {errors} refused, {readings} readings kept, none wrong"
    );
    Ok(())
}

/// Why an outcome is wrong, if it is.
fn verdict(outcome: &Result<Import, MeterError>) -> Result<(), String> {
    let import = match outcome {
        Ok(import) => import,
        Err(error) => {
            let text = error.to_string();
            return if text.len() < 2000 {
                Ok(())
            } else {
                Err("a message without end".to_owned())
            };
        }
    };
    if !import.account.is_closed() {
        return Err(format!("the account does not close: {:?}", import.account));
    }
    let kept: u64 = import.series.iter().map(|series| series.account.kept).sum();
    if kept != import.account.kept {
        return Err("the series do not add up to the account".to_owned());
    }
    for series in &import.series {
        let (mut end, mut count) = (i64::MIN, 0);
        for reading in series.iter() {
            if reading.start_unix_s < end || reading.length_s == 0 || !reading.mean_w.is_finite() {
                return Err(format!("a reading out of order or without sense: {reading:?}"));
            }
            end = reading.end_unix_s();
            count += 1;
        }
        if count != series.account.kept {
            return Err("a series holds another number of readings than its account says".to_owned());
        }
        let report = meter::quality_report(series);
        let demand = meter::demand(series, &import.local);
        if report.is_some() != (count > 0) || demand.is_some() != (count > 0) {
            return Err("a series with readings has no report".to_owned());
        }
        if let Some(demand) = demand {
            let sane = demand.maximum_15_min_bound >= demand.maximum_15_min && demand.mean.is_finite();
            let falls = demand.duration.windows(2).all(|pair| pair[0].1 >= pair[1].1);
            if !sane || !falls {
                return Err(format!("a demand without sense: {demand:?}"));
            }
        }
    }
    Ok(())
}

fn corpus(csv: bool) -> Result<Vec<Vec<u8>>, Box<dyn std::error::Error>> {
    let mut corpus = Vec::new();
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../checks/meter");
    let ending = if csv { "csv" } else { "xml" };
    let mut paths: Vec<_> = std::fs::read_dir(folder)?
        .map(|entry| entry.map(|entry| entry.path()))
        .collect::<Result<_, _>>()?;
    paths.sort();
    for path in paths
        .into_iter()
        .filter(|path| path.extension().is_some_and(|one| one == ending))
    {
        let bytes = std::fs::read(path)?;
        // The beginning of a large file mutates faster than the whole.
        let end = bytes.len().min(12_000);
        corpus.push(bytes[..end].to_vec());
    }
    if csv {
        corpus.push(b"TYPE,DATE,START TIME,END TIME,USAGE (kWh),NOTES\nE,2024-01-01,00:00,00:14,0.25,\nE,2024-11-03,01:00,01:14,0.5,est\n".to_vec());
        corpus.push(b"Datum;Zeit;kWh\n01.02.2024;00:00;0,25\n01.02.2024;00:15;1.000,5\n".to_vec());
        corpus.push(b"timestamp\tkW\n1704067200\t1.5\n1704067500\t2.5\n1704067800\t-1\n".to_vec());
        corpus.push(b"start,end,kWh,quality\n3/10/2024 1:00 AM,3/10/2024 3:00 AM,1,E\n3/10/2024 3:00 AM,3/10/2024 3:15 AM,1,A\n".to_vec());
    } else {
        corpus.push(feed::feed(12).into_bytes());
        corpus.push(
            format!(
                "{}{}{}{}</feed>",
                feed::head(),
                feed::block(0, 8),
                feed::block(4, 8),
                feed::block(0, 2)
            )
            .into_bytes(),
        );
    }
    Ok(corpus)
}

fn options(csv: bool, dice: &mut Dice) -> CsvOptions {
    let zone = ["America/Chicago", "Europe/Berlin", "Australia/Lord_Howe", "UTC"][dice.below(4)];
    CsvOptions {
        unit: (csv && dice.below(3) > 0).then(|| "kWh".to_owned()),
        zone: (dice.below(4) > 0)
            .then(|| jiff::tz::TimeZone::get(zone).ok())
            .flatten(),
        day_first: dice.below(5) == 0,
        ..CsvOptions::default()
    }
}

fn mutate(input: &mut Vec<u8>, corpus: &[Vec<u8>], dice: &mut Dice) {
    let at = dice.below(input.len() + 1);
    let end = (at + 1 + dice.below(40)).min(input.len());
    match dice.below(10) {
        0 if at < input.len() => input[at] ^= 1 << dice.below(8),
        1 if at < input.len() => input[at] = u8::try_from(dice.below(256)).unwrap_or(0),
        2 => drop(input.drain(at.min(end)..end)),
        3 => input.truncate(at),
        4 => {
            let piece = PIECES[dice.below(PIECES.len())];
            input.splice(at..at, piece.bytes());
        }
        5 => number(input, at, dice),
        6 => {
            // A stretch again, somewhere else.
            let stretch: Vec<u8> = input[at.min(end)..end].to_vec();
            let to = dice.below(input.len() + 1);
            input.splice(to..to, stretch);
        }
        7 => lines(input, dice),
        8 => {
            let other = &corpus[dice.below(corpus.len())];
            let from = dice.below(other.len());
            let until = (from + dice.below(400)).min(other.len());
            input.splice(at..at, other[from..until].iter().copied());
        }
        _ => {
            let piece = PIECES[dice.below(PIECES.len())].repeat(1 + dice.below(100));
            input.splice(at..at, piece.into_bytes());
        }
    }
    input.truncate(60_000);
}

/// Puts another number in the place of the next one.
fn number(input: &mut Vec<u8>, from: usize, dice: &mut Dice) {
    let Some(at) = (from..input.len()).find(|at| input[*at].is_ascii_digit()) else {
        return;
    };
    let end = (at..input.len())
        .find(|end| !input[*end].is_ascii_digit())
        .unwrap_or(input.len());
    if dice.below(2) == 0 {
        input.splice(at..end, NUMBERS[dice.below(NUMBERS.len())].bytes());
    } else {
        let digit = at + dice.below(end - at);
        input[digit] = b'0' + u8::try_from(dice.below(10)).unwrap_or(0);
    }
}

/// Takes, doubles or swaps lines.
fn lines(input: &mut Vec<u8>, dice: &mut Dice) {
    let mut lines: Vec<&[u8]> = input.split_inclusive(|byte| *byte == b'\n').collect();
    if lines.len() < 2 {
        return;
    }
    let (one, other) = (dice.below(lines.len()), dice.below(lines.len()));
    match dice.below(3) {
        0 => drop(lines.remove(one)),
        1 => lines.insert(other, lines[one]),
        _ => lines.swap(one, other),
    }
    *input = lines.concat();
}

/// A small generator of its own, so that a run can be repeated (xorshift*, from memory).
struct Dice(u64);

impl Dice {
    fn below(&mut self, limit: usize) -> usize {
        self.0 = self.0.max(1);
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        let drawn = self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 33;
        usize::try_from(drawn).unwrap_or(0) % limit.max(1)
    }
}
