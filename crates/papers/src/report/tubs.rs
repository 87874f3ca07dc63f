//! Tubs: what to throttle the filler to, how long filling takes, and what happens with it wide open.

use super::{Part, Sheet, digits};
use crate::document::{Block, ListMarks, Text};
use crate::report::phrases::fill;
use assess::TubResult;
use job::FixtureKind;

pub(super) fn add(sheet: &Sheet<'_>, part: &mut Part) {
    let phrases = &sheet.phrases.tubs;
    let tubs = &sheet.assessment.tubs;
    let worked_out = |id: &str| tubs.iter().any(|tub| tub.id == id);
    let mut fillers = sheet
        .assessment
        .fixtures
        .iter()
        .filter(|fixture| fixture.kind == FixtureKind::TubFiller);
    if fillers.any(|fixture| !worked_out(&fixture.id)) {
        part.leave_out(&phrases.no_volume);
    }
    if tubs.is_empty() {
        return;
    }
    part.section(phrases.heading);
    part.push(Block::list(
        ListMarks::Bullets,
        tubs.iter().map(|tub| line(sheet, tub)),
    ));
}

fn line(sheet: &Sheet<'_>, tub: &TubResult) -> Text {
    let phrases = &sheet.phrases.tubs;
    let digits = sheet.digits;
    let sentence = if tub.must_throttle {
        phrases.throttle
    } else {
        phrases.wide_open
    };
    fill(
        sentence,
        &[
            ("tub", Text::new().strong(&*tub.name)),
            ("volume", tub.volume.show(digits.units()).to_string().into()),
            ("open_flow", digits.flow(tub.open_flow).to_string().into()),
            ("open_time", digits::time(tub.open_time).into()),
            (
                "open_temperature",
                digits.temperature(tub.open_temperature).to_string().into(),
            ),
            (
                "throttled_flow",
                Text::new().strong(digits.flow(tub.throttled_flow).to_string()),
            ),
            ("throttled_time", digits::time(tub.throttled_time).into()),
        ],
    )
}
