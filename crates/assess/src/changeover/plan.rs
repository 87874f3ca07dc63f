//! The record's piping as a layout for the change-over engine, with the names to tell its results by.
//!
//! In: the context. Out: a [`Plan`]. Heaters that are removed, and those without both connections, are left out. What the
//! record does not say is taken on the cautious side and written down.

use crate::changeover::ChangeOverError;
use crate::context::{Context, source_at, source_name};
use crate::engine_names::pipe_material;
use crate::network::ModeView;
use changeover::{Check, Fixture, Handle, Layout, Position, Source, Supply, Vent, VentKind, Wanted};
use job::{Job, Relief, SourceKind, SourceStatus, ValveKind, ValvePosition};
use quantity::Volume;
use std::collections::BTreeMap;
use trace::RecordPath;
use water::pipe::{Pipe, path_volume};

/// The layout, and what its parts are in the record.
#[derive(Debug)]
pub(crate) struct Plan {
    pub(crate) layout: Layout,
    /// Index into the record's sources of each source of the layout.
    pub(crate) sources: Vec<usize>,
    /// Index into the record's valves of each valve of the layout.
    pub(crate) valves: Vec<usize>,
    /// Index into the record's fixtures of each fixture of the layout.
    pub(crate) fixtures: Vec<usize>,
    /// The modes wanted.
    pub(crate) wanted: Vec<Wanted>,
}

impl Plan {
    pub(crate) fn new(context: &Context<'_>) -> Result<Self, ChangeOverError> {
        let job = context.job;
        let entry = job.water.entry.as_deref().ok_or(ChangeOverError::NoEntry)?;
        let mut layout = Layout::default();
        let mut at: BTreeMap<&str, usize> = BTreeMap::new();
        for junction in &job.piping.junctions {
            at.insert(&junction.id, layout.junction(&junction.id));
        }
        let known = |id: &str| {
            at.get(id)
                .copied()
                .ok_or_else(|| ChangeOverError::UnknownJunction { id: id.to_owned() })
        };
        for pipe in &job.piping.pipes {
            layout.pipe(&pipe.id, known(&pipe.from)?, known(&pipe.to)?, volume_of(pipe));
        }
        let mut valves = Vec::new();
        for (index, valve) in job.piping.valves.iter().enumerate() {
            let (from, to) = (known(&valve.from)?, known(&valve.to)?);
            if valve.kind == ValveKind::Check {
                let tag = valve.tag.clone();
                layout.checks.push(Check { tag, from, to });
            } else {
                layout.port(&valve.tag, from, to);
                valves.push(index);
            }
        }
        layout.handles = handles(job, &valves);
        let mut sources = Vec::new();
        for (index, source) in context.heaters() {
            let (Some(inlet), Some(outlet)) = (&source.inlet, &source.outlet) else {
                continue;
            };
            let key = match source.kind {
                SourceKind::Tank => "sources.volume.tank",
                SourceKind::OnDemand => "sources.volume.on-demand",
            };
            let volume = context
                .given
                .take(source.volume, source_at(index).field("volume"), key)
                .value;
            if source.relief.is_none() {
                context
                    .given
                    .unknown(source_at(index).field("relief"), "sources.relief");
            }
            sources.push(index);
            layout.sources.push(Source {
                name: source_name(source),
                inlet: known(inlet)?,
                outlet: known(outlet)?,
                volume,
                relief_on_vessel: matches!(
                    source.relief,
                    Some(Relief::Pressure | Relief::TemperatureAndPressure)
                ),
                interlocked_with: None,
            });
        }
        for (here, &index) in sources.iter().enumerate() {
            let other = job.sources[index].interlocked_with.as_deref();
            layout.sources[here].interlocked_with =
                other.and_then(|id| sources.iter().position(|at| job.sources[*at].id == id));
        }
        let entry_at = known(entry)?;
        layout.supplies.push(Supply {
            junction: entry_at,
            takes_back: takes_back(context),
        });
        if job.water.expansion_tank.is_some() {
            context
                .given
                .unknown("water.expansion_tank".into(), "water.expansion_tank.place");
            layout.vents.push(Vent {
                name: "expansion tank".into(),
                junction: entry_at,
                kind: VentKind::Expansion,
            });
        }
        let mut fixtures = Vec::new();
        for (index, fixture) in job.fixtures.iter().enumerate() {
            if fixture.hot.is_some() || fixture.cold.is_some() {
                fixtures.push(index);
                layout.fixtures.push(Fixture {
                    name: fixture.name.clone().unwrap_or_else(|| fixture.id.clone()),
                    hot: fixture.hot.as_deref().map(known).transpose()?,
                    cold: fixture.cold.as_deref().map(known).transpose()?,
                });
            }
        }
        let wanted = wanted(job, &sources, &valves);
        Ok(Self {
            layout,
            sources,
            valves,
            fixtures,
            wanted,
        })
    }

    /// Whether a source of the layout is added by the job.
    pub(crate) fn is_new(&self, job: &Job, source: usize) -> bool {
        job.sources[self.sources[source]].status == SourceStatus::Proposed
    }
}

/// Water in a pipe; nothing for one whose size no table has, which the assessment reports.
fn volume_of(pipe: &job::Pipe) -> Volume {
    Pipe::of(pipe_material(pipe.material), pipe.size, pipe.length)
        .map_or(Volume::zero(), |pipe| path_volume(&[pipe]))
}

/// The street takes growth back where nothing at the entry stops it.
fn takes_back(context: &Context<'_>) -> bool {
    let water = &context.job.water;
    if water.regulator_setting.is_some() {
        return false;
    }
    let closed = context.given.take_other(
        water.closed_system,
        RecordPath::from("water.closed_system"),
        "water.closed_system",
        crate::given::yes_or_no,
    );
    !closed.value
}

/// One handle for each valve that has none of its own, one for each name; positions are the usual one and the other.
fn handles(job: &Job, valves: &[usize]) -> Vec<Handle> {
    let mut handles: Vec<Handle> = Vec::new();
    let mut seen: Vec<&str> = Vec::new();
    for (here, &index) in valves.iter().enumerate() {
        let valve = &job.piping.valves[index];
        let Some(name) = &valve.handle else {
            handles.push(Handle::two_way(&valve.tag, here));
            continue;
        };
        if seen.contains(&name.as_str()) {
            continue;
        }
        seen.push(name);
        let with_handle = |open: bool| -> Vec<usize> {
            let on_it = valves.iter().enumerate().filter(|(_, index)| {
                let valve = &job.piping.valves[**index];
                valve.handle.as_ref() == Some(name) && (valve.position == ValvePosition::Open) == open
            });
            on_it.map(|(here, _)| here).collect()
        };
        let position = |open: Vec<usize>, closed: &[usize]| {
            let tags = |valves_of: &[usize]| {
                let tags = valves_of
                    .iter()
                    .map(|here| job.piping.valves[valves[*here]].tag.as_str());
                tags.collect::<Vec<_>>().join(" and ")
            };
            let name = match (open.is_empty(), closed.is_empty()) {
                (false, _) => format!("{} open", tags(&open)),
                (true, _) => format!("{} closed", tags(closed)),
            };
            Position::new(name, open)
        };
        let (usual, other) = (with_handle(true), with_handle(false));
        handles.push(Handle {
            tag: name.clone(),
            positions: vec![position(usual.clone(), &other), position(other, &usual)],
        });
    }
    handles
}

/// The modes of the record; when it names none, each heater alone and all together.
fn wanted(job: &Job, sources: &[usize], valves: &[usize]) -> Vec<Wanted> {
    if job.piping.modes.is_empty() {
        let alone = sources.iter().enumerate().map(|(here, index)| Wanted {
            name: format!("{} alone", source_name(&job.sources[*index])),
            energized: vec![here],
            preferred: Vec::new(),
        });
        return alone.collect();
    }
    let modes = ModeView::all(job).into_iter().map(|mode| Wanted {
        energized: (mode.energized.iter())
            .filter_map(|index| sources.iter().position(|at| at == index))
            .collect(),
        preferred: valves.iter().map(|index| Some(!mode.closes(*index))).collect(),
        name: mode.name,
    });
    modes.collect()
}
