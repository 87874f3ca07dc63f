//! The piping schematic of a job: fills the description that `piping` draws from the record and a mode.
//!
//! In: a [`job::Job`] and its [`assess::Assessment`], or its [`ChangeOver`]. Out: a [`Piping`]. Which pipes carry hot water follows from the
//! connections: those that a heater's outlet reaches without passing a heater.
//! Flow is drawn only where the change-over says where water runs.

use crate::one_line::Status;
use crate::piping::{Fixture, Flow, Pipe, Piping, Source, SourceSign, Valve, ValveSign, Water};
use crate::sheets::title_block_of;
use assess::changeover::{ChangeOver, PipeRuns};
use assess::{Assessment, Head};
use job::{Job, PipeMaterial, SourceKind, SourceStatus, ValveKind, ValvePosition};
use std::collections::BTreeSet;

/// The schematic of the mode designed for; none without pipes.
pub fn piping(job: &Job, assessment: &Assessment) -> Option<Piping> {
    let mode = assessment.modes.first();
    let open = |tag: &str| {
        mode.and_then(|mode| mode.valves.iter().find(|valve| valve.tag == tag))
            .is_none_or(|valve| valve.open)
    };
    let setting = Setting {
        head: &assessment.head,
        mode: mode.map(|mode| mode.name.clone()).unwrap_or_default(),
        open: &open,
        energized: &|_, name| mode.is_some_and(|mode| mode.energized.iter().any(|on| on == name)),
        flow: &|_| Flow::Still,
        notes: vec!["No flow directions: they were not solved.".to_owned()],
    };
    drawn(job, setting)
}

/// The schematic of every wanted mode that can rest, with its name: valves where they stand in it, arrows where water
/// runs when drawn.
pub fn piping_in_modes(job: &Job, found: &ChangeOver) -> Vec<(String, Piping)> {
    let modes = found.modes.iter().filter_map(|mode| {
        let rest = mode.rest.as_ref()?;
        let open = |tag: &str| {
            let valve = rest.valves.iter().find(|valve| valve.tag == tag);
            valve.is_none_or(|valve| valve.open)
        };
        let flow = |pipe: &str| match rest.flows.iter().find(|flow| flow.pipe == pipe).map(|flow| flow.runs) {
            Some(PipeRuns::Forward) => Flow::Forward,
            Some(PipeRuns::Backward) => Flow::Backward,
            Some(PipeRuns::Still | PipeRuns::ByDraw) | None => Flow::Still,
        };
        let setting = Setting {
            head: &found.head,
            mode: mode.name.clone(),
            open: &open,
            energized: &|id, _| rest.energized.iter().any(|on| on == id),
            flow: &flow,
            notes: vec![
                "Arrows: where water runs when drawn, by the ways open to it; none where it stands or runs either way."
                    .to_owned(),
            ],
        };
        Some((mode.name.clone(), drawn(job, setting)?))
    });
    modes.collect()
}

/// How the piping stands in one drawing.
struct Setting<'s> {
    head: &'s Head,
    mode: String,
    /// Whether the valve of a tag is open.
    open: &'s dyn Fn(&str) -> bool,
    /// Whether the heater of an id and name has power.
    energized: &'s dyn Fn(&str, &str) -> bool,
    /// Where the water of a pipe goes.
    flow: &'s dyn Fn(&str) -> Flow,
    notes: Vec<String>,
}

fn drawn(job: &Job, setting: Setting<'_>) -> Option<Piping> {
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
    let pipes = job.piping.pipes.iter().map(|pipe| Pipe {
        tag: pipe.id.clone(),
        from: pipe.from.clone(),
        to: pipe.to.clone(),
        water: water(&pipe.from, &pipe.to),
        status: Status::Existing,
        size: Some(pipe.size),
        material: material(pipe.material).to_owned(),
        length: Some(pipe.length),
        flow: (setting.flow)(&pipe.id),
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
        closed: !(setting.open)(&valve.tag),
    });
    let sources = job.sources.iter().map(|source| {
        let name = source.name.clone().unwrap_or_else(|| source.id.clone());
        Source {
            tag: source.id.clone(),
            energized: (setting.energized)(&source.id, &name),
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
        title_block: title_block_of(setting.head),
        units: setting.head.units,
        mode: setting.mode,
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
        notes: setting.notes,
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
