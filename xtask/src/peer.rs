//! What other people's programs say beside ours: reference values made anew, and times on the same machine.
//!
//! In: the scripts of `checks/reference`, run by the Python of `PEER_PYTHON` (else `python3`), which must have the
//! packages of its `requirements.txt`. Out: whether kept values have moved; a table of times with ratios. Start at
//! [`reference()`] and [`speed`]. Knows the names both sides print, nothing of what they solve.

use crate::Outcome;
use crate::bench::{Line, output, read};
use crate::tree::root;
use std::process::{Command, Stdio};

/// Scripts that compare kept values with fresh ones.
const COMPARING: [&str; 1] = ["networks.py"];

/// Makes every reference value anew and fails if one has moved.
pub(crate) fn reference() -> Outcome {
    for script in COMPARING {
        println!("{script}");
        let done = python(script).arg("--compare").status()?;
        if !done.success() {
            return Err(format!("`{script}` found differences or did not run; {HELP}").into());
        }
    }
    Ok(())
}

const HELP: &str =
    "it needs the packages of checks/reference/requirements.txt in the Python that PEER_PYTHON names";

/// Times our network solves and the peer's one after the other and prints both with their ratio.
pub(crate) fn speed() -> Outcome {
    let ours = read(&output("water", "network", None)?);
    let peer = python("epanet_speed.py").stderr(Stdio::inherit()).output()?;
    if !peer.status.success() {
        return Err(format!("`epanet_speed.py` did not run; {HELP}").into());
    }
    let peer = String::from_utf8(peer.stdout)?;
    println!(
        "{:<24}{:>12}{:>12}{:>8}",
        "median of a solve", "ours", "peer", "ratio"
    );
    for line in peer.lines() {
        let mut words = line.split('\t');
        let (Some(name), Some(time)) = (words.next(), words.next()) else {
            continue;
        };
        let time_ns: f64 = time.parse()?;
        let found = ours.iter().find(|line| line.name == name).and_then(median_ns);
        let Some(our_ns) = found else {
            return Err(format!("no benchmark of ours is called `{name}`").into());
        };
        println!(
            "{name:<24}{:>9.1} µs{:>9.1} µs{:>7.1}×",
            our_ns / 1e3,
            time_ns / 1e3,
            time_ns / our_ns
        );
    }
    println!("\nwithout a peer");
    for line in &ours {
        if let Some(our_ns) = median_ns(line)
            && !peer.lines().any(|of| of.split('\t').next() == Some(&line.name))
        {
            println!("{:<24}{:>9.1} µs", line.name, our_ns / 1e3);
        }
    }
    Ok(())
}

fn python(script: &str) -> Command {
    let program = std::env::var_os("PEER_PYTHON").unwrap_or_else(|| "python3".into());
    let mut command = Command::new(program);
    command.arg(root().join("checks/reference").join(script));
    command
}

/// The median as the harness printed it, such as `13.78 µs`.
fn median_ns(line: &Line) -> Option<f64> {
    let (number, unit) = line.median.split_once(' ')?;
    let unit_ns = match unit {
        "ns" => 1.0,
        "µs" => 1e3,
        "ms" => 1e6,
        "s" => 1e9,
        _ => return None,
    };
    Some(number.parse::<f64>().ok()? * unit_ns)
}
