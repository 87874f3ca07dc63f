//! Source modes as they stand in the record: valve positions, and which heaters each fixture reaches.
//!
//! Says nothing about the moves between modes.

use crate::context::{Context, source_name};
use crate::network::{ModeView, Network};
use crate::{FeedResult, ModeResult, ValveResult};

/// All source modes.
pub(crate) fn modes(context: &Context<'_>) -> Vec<ModeResult> {
    let job = context.job;
    if job.piping.junctions.is_empty() {
        return Vec::new();
    }
    ModeView::all(job)
        .into_iter()
        .map(|mode| {
            let network = Network::in_mode(job, &mode);
            let valves = job.piping.valves.iter().enumerate();
            let feeds = job.fixtures.iter().filter_map(|fixture| {
                let heaters = network.feeding(fixture.hot.as_deref()?);
                Some(FeedResult {
                    fixture: fixture.name.clone().unwrap_or_else(|| fixture.id.clone()),
                    heaters: heaters
                        .into_iter()
                        .map(|index| source_name(&job.sources[index]))
                        .collect(),
                })
            });
            ModeResult {
                name: mode.name.clone(),
                valves: valves
                    .map(|(index, valve)| ValveResult {
                        tag: valve.tag.clone(),
                        purpose: valve.purpose.clone().unwrap_or_default(),
                        open: !mode.closes(index),
                    })
                    .collect(),
                energized: mode
                    .energized
                    .iter()
                    .map(|index| source_name(&job.sources[*index]))
                    .collect(),
                feeds: feeds.collect(),
            }
        })
        .collect()
}
