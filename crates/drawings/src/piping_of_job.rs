//! The piping schematic of a job: fills the description that `piping` draws from the record and the mode designed for.
//!
//! In: a [`job::Job`] and its [`assess::Assessment`]. Out: a [`Piping`]. Which pipes carry hot water follows from the
//! connections: those that a heater's outlet reaches without passing a heater. Draws no flow: none was solved.

use crate::one_line::Status;
use crate::piping::{Fixture, Flow, Pipe, Piping, Source, SourceSign, Valve, ValveSign, Water};
use crate::sheets::title_block;
use assess::Assessment;
use job::{Job, PipeMaterial, SourceKind, SourceStatus, ValveKind, ValvePosition};
use std::collections::BTreeSet;

/// The schematic of the mode designed for; none without pipes.
pub fn piping(job: &Job, assessment: &Assessment) -> Option<Piping> {
    if job.piping.pipes.is_empty() {
        return None;
    }
    let hot = hot_junctions(job);
    let water = |from: &str, to: &str| {
        if hot.contains(from) || hot.contains(to) {
            Water::Hot
        } else {
            Water::Cold
        }
    };
    let mode = assessment.modes.first();
    let open = |tag: &str| {
        mode.and_then(|mode| mode.valves.iter().find(|valve| valve.tag == tag))
            .is_none_or(|valve| valve.open)
    };
    let pipes = job.piping.pipes.iter().map(|pipe| Pipe {
        tag: pipe.id.clone(),
        from: pipe.from.clone(),
        to: pipe.to.clone(),
        water: water(&pipe.from, &pipe.to),
        status: Status::Existing,
        size: Some(pipe.size),
        material: material(pipe.material).to_owned(),
        length: Some(pipe.length),
        flow: Flow::Still,
    });
    let valves = job.piping.valves.iter().map(|valve| Valve {
        tag: valve.tag.clone(),
        from: valve.from.clone(),
        to: valve.to.clone(),
        sign: if valve.kind == ValveKind::Check {
            ValveSign::Check
        } else {
            ValveSign::ShutOff
        },
        name: valve.purpose.clone().unwrap_or_default(),
        water: water(&valve.from, &valve.to),
        status: Status::Existing,
        normally_closed: valve.position == ValvePosition::Closed,
        closed: !open(&valve.tag),
    });
    let sources = job.sources.iter().map(|source| {
        let name = source.name.clone().unwrap_or_else(|| source.id.clone());
        Source {
            tag: source.id.clone(),
            energized: mode.is_some_and(|mode| mode.energized.contains(&name)),
            name,
            sign: match source.kind {
                SourceKind::OnDemand => SourceSign::OnDemand,
                SourceKind::Tank => SourceSign::Tank,
            },
            inlet: source.inlet.clone(),
            outlet: source.outlet.clone(),
            status: match source.status {
                SourceStatus::Existing => Status::Existing,
                SourceStatus::Proposed => Status::New,
                SourceStatus::Removed => Status::Removed,
            },
        }
    });
    let fixtures = job
        .fixtures
        .iter()
        .filter(|fixture| fixture.hot.is_some() || fixture.cold.is_some());
    Some(Piping {
        title_block: title_block(assessment),
        units: assessment.head.units,
        mode: mode.map(|mode| mode.name.clone()).unwrap_or_default(),
        entry: job.water.entry.clone(),
        pipes: pipes.collect(),
        valves: valves.collect(),
        sources: sources.collect(),
        fixtures: fixtures
            .map(|fixture| Fixture {
                tag: fixture.id.clone(),
                name: fixture.name.clone().unwrap_or_default(),
                hot: fixture.hot.clone(),
                cold: fixture.cold.clone(),
            })
            .collect(),
        devices: Vec::new(),
        notes: vec!["No flow directions: they were not solved.".to_owned()],
    })
}

/// Junctions that a heater's outlet reaches through pipes and valves, whatever their position, without passing a heater.
fn hot_junctions(job: &Job) -> BTreeSet<&str> {
    let mut hot: BTreeSet<&str> = job
        .sources
        .iter()
        .filter_map(|source| source.outlet.as_deref())
        .collect();
    let pipes = job
        .piping
        .pipes
        .iter()
        .map(|pipe| (pipe.from.as_str(), pipe.to.as_str()));
    let valves = job
        .piping
        .valves
        .iter()
        .map(|valve| (valve.from.as_str(), valve.to.as_str()));
    let ends: Vec<(&str, &str)> = pipes.chain(valves).collect();
    loop {
        let before = hot.len();
        for (from, to) in &ends {
            if hot.contains(from) || hot.contains(to) {
                hot.extend([*from, *to]);
            }
        }
        if hot.len() == before {
            return hot;
        }
    }
}

fn material(material: PipeMaterial) -> &'static str {
    match material {
        PipeMaterial::CopperK => "copper K",
        PipeMaterial::CopperL => "copper L",
        PipeMaterial::CopperM => "copper M",
        PipeMaterial::Pex => "PEX",
        PipeMaterial::Cpvc => "CPVC",
    }
}
