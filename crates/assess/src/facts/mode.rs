//! Facts of each source mode that valves alone decide: who is open to what, who is cut off while energized.

use super::house::House;
use super::{Results, Sheet};
use crate::context::Context;
use crate::network::{ModeView, Network};
use job::SourceKind;
use rules::RuleBook;

pub(crate) fn facts<'s>(
    context: &'s Context<'s>,
    results: &Results<'_>,
    book: &'s RuleBook,
    house: &House<'s>,
) -> Vec<Sheet<'s>> {
    let job = context.job;
    if job.piping.junctions.is_empty() || job.sources.is_empty() {
        return Vec::new();
    }
    ModeView::all(job)
        .iter()
        .map(|mode| {
            let network = Network::in_mode(job, mode);
            let mut sheet = Sheet::new(context, book, "mode", &mode.name);
            sheet.sees(&house.seen());
            sheet.entered("mode.intended", true);
            let feeds = results.modes.iter().find(|result| result.name == mode.name);
            let most = feeds.map_or(0, |result| {
                result
                    .feeds
                    .iter()
                    .map(|feed| feed.heaters.len())
                    .max()
                    .unwrap_or(0)
            });
            sheet.computed("mode.sources_in_parallel", most > 1);
            let dry = feeds.map_or(0, |result| {
                result.feeds.iter().filter(|feed| feed.heaters.is_empty()).count()
            });
            sheet.computed("mode.fixtures_without_hot", dry);
            if let Some(entry) = &job.water.entry {
                let cut_off = |kind: SourceKind| {
                    mode.energized
                        .iter()
                        .any(|index| job.sources[*index].kind == kind && network.cut_off(*index, entry))
                };
                sheet.computed(
                    "mode.unit_energized_while_isolated",
                    cut_off(SourceKind::OnDemand),
                );
                sheet.computed("mode.tank_energized_while_shut", cut_off(SourceKind::Tank));
                let hangs = job.sources.iter().enumerate().any(|(index, source)| {
                    source.kind == SourceKind::Tank && network.hangs_on_hot(index, entry)
                });
                sheet.computed("mode.tank_hangs_on_hot", hangs);
            }
            sheet.observed(&mode.name);
            sheet
        })
        .collect()
}
