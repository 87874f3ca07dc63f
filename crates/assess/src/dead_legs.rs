//! Dead legs: pipes full of water that nothing draws through in a source mode.
//!
//! In: the piping with the mode's valves set. Out: [`DeadLegResult`]s, one for each group of such pipes. A pipe is dead
//! when it ends, behind every open valve, at nothing that takes or gives water: no fixture, no entry, no heater of the
//! mode. Found by taking away such ends until none is left. Pipes of a ring between used places are never dead here.

use crate::DeadLegResult;
use crate::context::Context;
use crate::delivery::Plumbing;
use crate::engine_names::pipe_material;
use std::collections::{BTreeMap, BTreeSet};
use water::pipe::{Pipe, path_volume};

/// A pipe or an open valve or heater between two junctions.
struct Edge<'job> {
    ends: [&'job str; 2],
    pipe: Option<usize>,
    used: bool,
}

/// The dead legs of a mode, in the order of the record.
pub(crate) fn dead_legs(context: &Context<'_>, plumbing: &Plumbing<'_>) -> Vec<DeadLegResult> {
    let job = context.job;
    let mut edges: Vec<Edge<'_>> = Vec::new();
    for (index, pipe) in job.piping.pipes.iter().enumerate() {
        edges.push(Edge {
            ends: [&pipe.from, &pipe.to],
            pipe: Some(index),
            used: true,
        });
    }
    for (index, valve) in job.piping.valves.iter().enumerate() {
        if !plumbing.mode.closes(index) {
            edges.push(Edge {
                ends: [&valve.from, &valve.to],
                pipe: None,
                used: true,
            });
        }
    }
    for index in &plumbing.mode.energized {
        if let (Some(inlet), Some(outlet)) = (&job.sources[*index].inlet, &job.sources[*index].outlet) {
            edges.push(Edge {
                ends: [inlet, outlet],
                pipe: None,
                used: true,
            });
        }
    }
    let fixtures = job
        .fixtures
        .iter()
        .flat_map(|fixture| [&fixture.hot, &fixture.cold]);
    let kept: BTreeSet<&str> = fixtures
        .chain([&job.water.entry])
        .filter_map(|junction| junction.as_deref())
        .collect();
    take_away_ends(&mut edges, &kept);
    groups(&edges)
        .into_iter()
        .filter_map(|pipes| result(context, &edges, &pipes))
        .collect()
}

/// Marks as unused, again and again, whatever ends at a junction with nothing else.
fn take_away_ends(edges: &mut [Edge<'_>], kept: &BTreeSet<&str>) {
    loop {
        let mut degree: BTreeMap<&str, usize> = BTreeMap::new();
        for edge in edges.iter().filter(|edge| edge.used) {
            for end in edge.ends {
                *degree.entry(end).or_default() += 1;
            }
        }
        let mut changed = false;
        for edge in edges.iter_mut().filter(|edge| edge.used) {
            let loose = |end: &str| degree.get(end) == Some(&1) && !kept.contains(end);
            if edge.ends.into_iter().any(loose) {
                edge.used = false;
                changed = true;
            }
        }
        if !changed {
            return;
        }
    }
}

/// Unused pipes that hang together.
fn groups(edges: &[Edge<'_>]) -> Vec<Vec<usize>> {
    let mut left: Vec<usize> = (0..edges.len()).filter(|at| !edges[*at].used).collect();
    let mut groups = Vec::new();
    while !left.is_empty() {
        let mut group = vec![left.remove(0)];
        let mut next = 0;
        while let Some(at) = group.get(next).copied() {
            next += 1;
            let touches = |other: &usize| edges[*other].ends.iter().any(|end| edges[at].ends.contains(end));
            let (near, far): (Vec<usize>, Vec<usize>) = left.iter().partition(|other| touches(other));
            group.extend(near);
            left = far;
        }
        let mut pipes: Vec<usize> = group.iter().filter_map(|at| edges[*at].pipe).collect();
        pipes.sort_unstable();
        if !pipes.is_empty() {
            groups.push(pipes);
        }
    }
    groups
}

fn result(context: &Context<'_>, edges: &[Edge<'_>], pipes: &[usize]) -> Option<DeadLegResult> {
    let job = context.job;
    let bores: Result<Vec<Pipe>, _> = pipes
        .iter()
        .map(|index| {
            let pipe = &job.piping.pipes[*index];
            Pipe::of(pipe_material(pipe.material), pipe.size, pipe.length)
        })
        .collect();
    let used: BTreeSet<&str> = edges
        .iter()
        .filter(|edge| edge.used)
        .flat_map(|edge| edge.ends)
        .collect();
    let touched = pipes.iter().flat_map(|index| {
        let pipe = &job.piping.pipes[*index];
        [&pipe.from, &pipe.to]
    });
    let hangs_at: BTreeSet<&str> = touched
        .map(String::as_str)
        .filter(|end| used.contains(end))
        .collect();
    let ids = pipes
        .iter()
        .map(|index| job.piping.pipes[*index].id.clone())
        .collect::<Vec<_>>();
    match bores {
        Ok(bores) => Some(DeadLegResult {
            pipes: ids,
            hangs_at: hangs_at.into_iter().map(str::to_owned).collect(),
            length: bores.iter().map(Pipe::length).sum(),
            volume: path_volume(&bores),
        }),
        Err(error) => {
            context.gap(ids.join(" "), "the water in a dead leg", error.to_string());
            None
        }
    }
}
