//! Junctions, pipes, valves and source modes; what hangs together is checked in `connections`.

use super::heaters::heater_names;
use super::limits::{FITTINGS, HEIGHT, PIPE_INSULATION, PIPE_LENGTH, Plain};
use super::names::{Names, quoted};
use super::{Problems, connections, names};
use crate::{Job, Mode, Pipe, Piping, ValveKind, ValvePosition};
use std::collections::{BTreeMap, BTreeSet};
use trace::RecordPath;

/// Junctions as references name them.
pub(super) fn junction_names(job: &Job) -> Names<'_> {
    let junctions = job.piping.junctions.iter().map(|junction| junction.id.as_str());
    Names::new("junction", "`[[piping.junctions]]`", junctions)
}

pub(super) fn check(job: &Job, problems: &mut Problems) {
    let at = RecordPath::from("piping");
    let piping = &job.piping;
    let junctions = junction_names(job);
    let ids = piping.junctions.iter().map(|junction| junction.id.as_str());
    names::short_names(&at.field("junctions"), "id", "junction", ids, problems);
    for (index, junction) in piping.junctions.iter().enumerate() {
        let subject = format!("junction `{}`", quoted(&junction.id));
        problems.limit(
            &at.field("junctions").item(index),
            "height",
            &subject,
            junction.height,
            &HEIGHT,
        );
    }
    let ids = piping.pipes.iter().map(|pipe| pipe.id.as_str());
    names::short_names(&at.field("pipes"), "id", "pipe", ids, problems);
    let mut ends_known = true;
    for (index, pipe) in piping.pipes.iter().enumerate() {
        let at = at.field("pipes").item(index);
        let subject = format!("pipe `{}`", quoted(&pipe.id));
        ends_known &= ends(&at, &subject, (&pipe.from, &pipe.to), &junctions, problems);
        one_pipe(&at, &subject, pipe, problems);
    }
    ends_known &= valves(&at.field("valves"), piping, &junctions, problems);
    modes(&at.field("modes"), job, problems);
    if let Some(entry) = &job.water.entry {
        ends_known &= junctions.resolve(
            &RecordPath::from("water.entry"),
            "the water entry",
            entry,
            problems,
        );
    }
    // With an end in the air, every piece behind it would be reported once more.
    if ends_known {
        connections::check(job, problems);
    }
}

fn one_pipe(at: &RecordPath, subject: &str, pipe: &Pipe, problems: &mut Problems) {
    problems.limit(at, "length", subject, pipe.length, &PIPE_LENGTH);
    problems.limit(at, "insulation", subject, pipe.insulation, &PIPE_INSULATION);
    for count in pipe.fittings.values() {
        problems.limit(at, "fittings", subject, Plain(*count), &FITTINGS);
    }
}

/// Both ends must be junctions, and two of them. Gives whether both are known.
fn ends(
    at: &RecordPath,
    subject: &str,
    (from, to): (&str, &str),
    junctions: &Names<'_>,
    problems: &mut Problems,
) -> bool {
    let from_known = junctions.resolve(&at.field("from"), subject, from, problems);
    let to_known = if from == to {
        problems.add(
            at.field("to"),
            format!("{subject} begins and ends at junction `{}`", quoted(from)),
            "name the junction at its other end".into(),
        );
        true
    } else {
        junctions.resolve(&at.field("to"), subject, to, problems)
    };
    from_known && to_known
}

fn valves(list: &RecordPath, piping: &Piping, junctions: &Names<'_>, problems: &mut Problems) -> bool {
    let mut first_at: BTreeMap<&str, usize> = BTreeMap::new();
    let mut ends_known = true;
    for (index, valve) in piping.valves.iter().enumerate() {
        let at = list.item(index);
        let subject = format!("valve `{}`", quoted(&valve.tag));
        names::line(&at.field("tag"), "the tag of a valve", &valve.tag, problems);
        if let Some(first) = first_at.insert(&valve.tag, index) {
            problems.add(
                at.field("tag"),
                format!(
                    "`{}` hangs on valve {} already, so an order to turn it is not clear",
                    quoted(&valve.tag),
                    first + 1
                ),
                "give each valve its own tag".into(),
            );
        }
        names::optional_line(
            &at.field("purpose"),
            "the purpose of a valve",
            valve.purpose.as_ref(),
            problems,
        );
        ends_known &= ends(&at, &subject, (&valve.from, &valve.to), junctions, problems);
        names::optional_line(
            &at.field("handle"),
            "the handle of a valve",
            valve.handle.as_ref(),
            problems,
        );
        if valve.kind == ValveKind::Check && valve.handle.is_some() {
            problems.add(
                at.field("handle"),
                format!("{subject} is a check valve and has no handle"),
                "leave the handle out, or give the kind of valve that a person turns".into(),
            );
        }
    }
    ends_known
}

fn modes(list: &RecordPath, job: &Job, problems: &mut Problems) {
    let tags = Names::new(
        "valve",
        "`[[piping.valves]]`",
        job.piping.valves.iter().map(|valve| valve.tag.as_str()),
    );
    let heaters = heater_names(job);
    let checks: BTreeSet<&str> = (job.piping.valves.iter())
        .filter(|valve| valve.kind == ValveKind::Check)
        .map(|valve| valve.tag.as_str())
        .collect();
    let mut first_at: BTreeMap<&str, usize> = BTreeMap::new();
    for (index, mode) in job.piping.modes.iter().enumerate() {
        let at = list.item(index);
        let subject = format!("mode `{}`", quoted(&mode.name));
        names::line(&at.field("name"), "the name of a mode", &mode.name, problems);
        if let Some(first) = first_at.insert(&mode.name, index) {
            problems.add(
                at.field("name"),
                format!(
                    "`{}` is already the name of mode {}",
                    quoted(&mode.name),
                    first + 1
                ),
                "give each mode its own name".into(),
            );
        }
        names::references(&at.field("open"), &subject, &mode.open, &tags, problems);
        names::references(&at.field("closed"), &subject, &mode.closed, &tags, problems);
        names::references(
            &at.field("energized"),
            &subject,
            &mode.energized,
            &heaters,
            problems,
        );
        positions(&at, &subject, mode, &checks, problems);
        handles(&at, &subject, job, mode, problems);
    }
}

/// A valve stands in one position, and a check valve has no handle to set.
fn positions(at: &RecordPath, subject: &str, mode: &Mode, checks: &BTreeSet<&str>, problems: &mut Problems) {
    let open: BTreeSet<&str> = mode.open.iter().map(String::as_str).collect();
    for (index, tag) in mode
        .closed
        .iter()
        .enumerate()
        .filter(|(_, tag)| open.contains(tag.as_str()))
    {
        problems.add(
            at.field("closed").item(index),
            format!("{subject} has valve `{}` both open and closed", quoted(tag)),
            "keep it in one of the two lists".into(),
        );
    }
    for (field, tags) in [("open", &mode.open), ("closed", &mode.closed)] {
        for (index, tag) in tags
            .iter()
            .enumerate()
            .filter(|(_, tag)| checks.contains(tag.as_str()))
        {
            problems.add(
                at.field(field).item(index),
                format!(
                    "{subject} sets `{}`, which is a check valve and has no handle",
                    quoted(tag)
                ),
                "leave it out; name the valve that a person turns".into(),
            );
        }
    }
}

/// Valves on one handle are all in their usual position or all out of it.
fn handles(at: &RecordPath, subject: &str, job: &Job, mode: &Mode, problems: &mut Problems) {
    let mut first: BTreeMap<&str, (bool, &str)> = BTreeMap::new();
    for valve in &job.piping.valves {
        let Some(handle) = &valve.handle else { continue };
        let named = |tags: &[String]| tags.contains(&valve.tag);
        let turned = match valve.position {
            ValvePosition::Open => named(&mode.closed),
            ValvePosition::Closed => named(&mode.open),
        };
        let (others, with) = *first.entry(handle).or_insert((turned, &valve.tag));
        if others != turned {
            problems.add(
                at.clone(),
                format!(
                    "{subject} turns only one of valves `{}` and `{}`, which the handle `{}` turns at once",
                    quoted(with),
                    quoted(&valve.tag),
                    quoted(handle)
                ),
                "name both under `open` or `closed`, each opposite to its usual position, or neither".into(),
            );
        }
    }
}
