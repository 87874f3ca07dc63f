//! Facts of pipes: the fastest pipe on the way to each fixture, so that velocity limits are checked where they bind.

use super::house::House;
use super::{Results, Sheet};
use crate::context::Context;
use crate::network::{ModeView, Network};
use job::{PipeMaterial, SourceStatus, Space};
use quantity::{Kind, Length, PipeSize, Velocity};
use rules::RuleBook;
use std::collections::BTreeMap;

pub(crate) fn facts<'s>(
    context: &'s Context<'s>,
    results: &Results<'_>,
    book: &'s RuleBook,
    house: &House<'s>,
) -> Vec<Sheet<'s>> {
    let mut fastest: BTreeMap<&str, Velocity> = BTreeMap::new();
    for fixture in results.fixtures {
        if let (Some(pipe), Some(velocity)) = (&fixture.fastest_pipe, fixture.velocity) {
            let known = fastest.entry(pipe.as_str()).or_insert(velocity);
            *known = known.max(velocity);
        }
    }
    let first = ModeView::all(context.job).into_iter().next();
    let designed = first.map(|mode| Network::in_mode(context.job, &mode));
    let pipes = context.job.piping.pipes.iter();
    pipes
        .filter_map(|pipe| fastest.get(pipe.id.as_str()).map(|velocity| (pipe, *velocity)))
        .map(|(pipe, velocity)| {
            let mut sheet = Sheet::new(context, book, "pipe", &format!("pipe {}", pipe.id));
            sheet.sees(&[&house.job, &house.water]);
            sheet.entered("pipe.material", material(pipe.material));
            // It hangs on the hot side of a heater in the mode designed for.
            let hot = designed
                .as_ref()
                .is_some_and(|network| !network.feeding(&pipe.from).is_empty());
            sheet.computed("pipe.carries", if hot { "hot" } else { "cold" });
            sheet.entered("pipe.nominal_size", nominal(pipe.size));
            let warmest = if hot {
                let served = results
                    .heaters
                    .iter()
                    .filter(|heater| heater.status != SourceStatus::Removed);
                served
                    .map(|heater| heater.set_point)
                    .max_by(|a, b| a.base().total_cmp(&b.base()))
            } else {
                Some(results.mains.warmest)
            };
            sheet.computed("pipe.temperature", warmest);
            sheet.computed("pipe.velocity", velocity);
            sheet.entered("pipe.insulated", pipe.insulation.is_some());
            // By the record it lies on the way to a fixture.
            sheet.computed("pipe.is_dead_leg", false);
            sheet.computed("pipe.feeds_whole_house", feeds_all(results, &pipe.id));
            match pipe.space {
                Some(Space::Indoors | Space::Basement | Space::Slab) => {
                    sheet.entered("pipe.freeze_protected", true);
                    sheet.entered("pipe.in_sunlight", false);
                }
                Some(Space::Attic | Space::Crawlspace | Space::OutsideWall | Space::Buried) => {
                    sheet.entered("pipe.in_sunlight", false);
                }
                _ => {}
            }
            sheet.observed(&pipe.id);
            sheet
        })
        .collect()
}

/// Whether the hot way to every fixture passes the pipe.
fn feeds_all(results: &Results<'_>, id: &str) -> bool {
    let mut ways = results
        .fixtures
        .iter()
        .filter_map(|fixture| fixture.after.as_ref());
    ways.all(|way| way.pipes.iter().any(|pipe| pipe == id))
}

fn material(material: PipeMaterial) -> &'static str {
    match material {
        PipeMaterial::CopperK | PipeMaterial::CopperL | PipeMaterial::CopperM => "copper",
        PipeMaterial::Pex => "PEX",
        PipeMaterial::Cpvc => "CPVC",
    }
}

fn nominal(size: PipeSize) -> Length {
    match size {
        PipeSize::InchEighths(eighths) => Length::from_inches(f64::from(eighths) / 8.0),
        PipeSize::Millimeters(mm) => Length::from_millimeters(f64::from(mm)),
    }
}
