//! What hangs together in the piping: everything must be joined to the water entry.
//!
//! In: piping whose ends all exist. Out: a problem for each piece cut off. Valves join in any position and heaters join
//! their inlet and outlet: this asks whether water could ever come, not whether it does.

use super::Problems;
use super::names::quoted;
use crate::Job;
use std::collections::BTreeMap;
use trace::RecordPath;

pub(super) fn check(job: &Job, problems: &mut Problems) {
    let piping = &job.piping;
    if piping.pipes.is_empty() && piping.valves.is_empty() {
        return;
    }
    let index_of: BTreeMap<&str, usize> = piping
        .junctions
        .iter()
        .enumerate()
        .rev()
        .map(|(index, junction)| (junction.id.as_str(), index))
        .collect();
    let Some(entry) = &job.water.entry else {
        problems.add(
            RecordPath::from("water"),
            "the piping is given, but `water.entry` does not say at which junction the water enters".into(),
            "write `entry = \"…\"` with that junction under `[water]`".into(),
        );
        return;
    };
    let mut pieces = Pieces::new(piping.junctions.len());
    let pipes = piping.pipes.iter().map(|pipe| (&pipe.from, &pipe.to));
    let valves = piping.valves.iter().map(|valve| (&valve.from, &valve.to));
    let heaters = job
        .sources
        .iter()
        .filter_map(|source| Some((source.inlet.as_ref()?, source.outlet.as_ref()?)));
    for (from, to) in pipes.chain(valves).chain(heaters) {
        if let (Some(from), Some(to)) = (index_of.get(from.as_str()), index_of.get(to.as_str())) {
            pieces.join(*from, *to);
        }
    }
    let Some(supplied) = index_of.get(entry.as_str()).map(|entry| pieces.of(*entry)) else {
        return;
    };
    let mut cut_off: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for index in index_of.values() {
        cut_off.entry(pieces.of(*index)).or_default().push(*index);
    }
    cut_off.remove(&supplied);
    for mut junctions in cut_off.into_values() {
        junctions.sort_unstable();
        piece(job, entry, &junctions, problems);
    }
}

/// One piece of the piping that no water reaches.
fn piece(job: &Job, entry: &str, junctions: &[usize], problems: &mut Problems) {
    const LISTED_MAX: usize = 5;
    let ids: Vec<&str> = junctions
        .iter()
        .map(|index| job.piping.junctions[*index].id.as_str())
        .collect();
    let within = |junction: &Option<String>| junction.as_deref().is_some_and(|id| ids.contains(&id));
    let dry = job
        .fixtures
        .iter()
        .filter(|fixture| within(&fixture.hot) || within(&fixture.cold));
    let dry: Vec<String> = dry
        .map(|fixture| format!("`{}`", quoted(&fixture.id)))
        .take(LISTED_MAX)
        .collect();
    let listed: Vec<String> = ids
        .iter()
        .take(LISTED_MAX)
        .map(|id| format!("`{}`", quoted(id)))
        .collect();
    let more = match ids.len() - listed.len() {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    let (noun, verb) = if ids.len() == 1 {
        ("junction", "is")
    } else {
        ("junctions", "are")
    };
    let fixtures = if dry.is_empty() {
        String::new()
    } else {
        format!(", so no water reaches {}", dry.join(", "))
    };
    problems.add(
        RecordPath::from("piping.junctions").item(junctions[0]),
        format!(
            "{noun} {}{more} {verb} not joined to the water entry `{}`{fixtures}",
            listed.join(", "),
            quoted(entry)
        ),
        "add the pipe, valve or heater that joins them, or remove what is not there".into(),
    );
}

/// Junctions in pieces that hang together (disjoint sets).
#[derive(Debug)]
struct Pieces {
    parent: Vec<usize>,
}

impl Pieces {
    fn new(count: usize) -> Self {
        Self {
            parent: (0..count).collect(),
        }
    }

    /// The piece that `index` belongs to.
    fn of(&mut self, mut index: usize) -> usize {
        while self.parent[index] != index {
            self.parent[index] = self.parent[self.parent[index]];
            index = self.parent[index];
        }
        index
    }

    fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.of(a), self.of(b));
        self.parent[a.max(b)] = a.min(b);
    }
}
