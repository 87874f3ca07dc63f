//! The usual cautions, and what the report does not say.

use super::{Part, Sheet};
use crate::document::{Block, ListMarks, Text};

pub(super) fn part(sheet: &Sheet<'_>) -> Part {
    let phrases = &sheet.phrases.limits;
    let mut part = Part::new(phrases.heading);
    if !sheet.assessment.cautions.is_empty() {
        part.push(Block::caution(phrases.before_work));
        let cautions = sheet.assessment.cautions.iter();
        part.push(Block::list(
            ListMarks::Bullets,
            cautions.map(|caution| Text::with_values(caution)),
        ));
    }
    part.section(phrases.not_said);
    part.push(Block::list(ListMarks::Bullets, phrases.limits.iter().copied()));
    part
}
