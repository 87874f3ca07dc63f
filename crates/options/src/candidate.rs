//! Candidates: the same job with another unit, and with an existing tank kept or removed.
//!
//! In: a job. Out: whole jobs, ready to be assessed. Start at [`candidates`]. Judges none of them.

use crate::range::range;
use crate::unit::{elements, replace};
use job::{Job, SourceKind, SourceStatus};
use quantity::Power;

/// A job with another unit.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// Elements of the unit, in words, such as "2 × 9 kW".
    pub label: String,
    /// Id of the unit that was changed.
    pub unit: String,
    /// Rated power of all its elements.
    pub installed_power: Power,
    /// What becomes of the existing tank; none where the record has none.
    pub tank: Option<TankFate>,
    /// Nothing was changed: the unit has these elements in the record, and the tank stays.
    pub as_written: bool,
    /// The whole job.
    pub job: Job,
}

/// What becomes of the tank that stands there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TankFate {
    /// It stays in use.
    Kept,
    /// This job takes it out.
    Removed,
}

/// The candidates of a job: all with the tank kept before all with it removed, by number of elements, then by their size.
///
/// The first proposed on-demand unit of the record is changed, and nothing else: one to four elements of each size of
/// `data/options/units.toml`. Where the elements are those of the record, its unit and circuits stay as they are written.
/// Else the circuits are one an element, on panel, route and cable of the unit's first circuit in the record, and their
/// breakers and conductors are left to be designed; how many conductors share the run stays as the record gives it.
/// The first tank with status `existing` is kept in one half of the candidates and removed in the other; source modes that then
/// energize nothing are left out. A record without a proposed on-demand unit has no candidates.
pub fn candidates(job: &Job) -> Vec<Candidate> {
    let Some(unit) = job
        .sources
        .iter()
        .position(|source| source.kind == SourceKind::OnDemand && source.status == SourceStatus::Proposed)
    else {
        return Vec::new();
    };
    let tank = job
        .sources
        .iter()
        .position(|source| source.kind == SourceKind::Tank && source.status == SourceStatus::Existing);
    let fates: &[Option<TankFate>] = match tank {
        Some(_) => &[Some(TankFate::Kept), Some(TankFate::Removed)],
        None => &[None],
    };
    let written = &job.sources[unit];
    let units = job.about.units;
    let mut all = Vec::new();
    for &fate in fates {
        for &count in &range().element_counts {
            for size in &range().element {
                let elements = elements(size, count);
                let as_written = elements == written.elements;
                let mut changed = job.clone();
                if !as_written {
                    replace(&mut changed, unit, size, count);
                }
                if let (Some(TankFate::Removed), Some(tank)) = (fate, tank) {
                    remove(&mut changed, tank);
                }
                all.push(Candidate {
                    label: format!("{count} × {}", size.power.show(units)),
                    unit: written.id.clone(),
                    installed_power: elements.iter().map(|element| element.power).sum(),
                    tank: fate,
                    as_written: as_written && fate != Some(TankFate::Removed),
                    job: changed,
                });
            }
        }
    }
    all
}

/// Takes the tank out: no mode energizes it, and no interlock waits for it.
fn remove(job: &mut Job, tank: usize) {
    let source = &mut job.sources[tank];
    source.status = SourceStatus::Removed;
    let id = source.id.clone();
    for source in &mut job.sources {
        source.interlocked_with.take_if(|other| *other == id);
    }
    job.piping.modes.retain_mut(|mode| {
        let before = mode.energized.len();
        mode.energized.retain(|heater| *heater != id);
        !mode.energized.is_empty() || before == 0
    });
}
