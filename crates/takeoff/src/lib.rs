//! From a record and its assessment to a list of materials.
//!
//! In: a [`job::Job`] and its [`assess::Assessment`]. Out: [`MaterialLine`]s: what to bring, how much, how it was counted.
//! Start at [`materials`]. Allowances are data (`data/takeoff/`). Designs nothing: sizes and lengths are those of the
//! assessment. Knows no maker, no article number, no price; what the record cannot tell is a line that says so.

mod allowances;
mod circuit;
mod heater;
mod line;
mod raceway;

pub use line::{MaterialLine, Quantity};

use assess::Assessment;
use job::Job;
use quantity::Length;

/// The materials that the job adds, equal items together.
///
/// New circuits give cable or conductors, breakers, connectors, supports, raceway and labels. A proposed heater gives
/// itself and what the record says belongs to it. Lengths are run × (1 + waste) + both ends, rounded up once per item.
pub fn materials(job: &Job, assessment: &Assessment) -> Vec<MaterialLine> {
    let mut lines = heater::lines(job, assessment);
    lines.extend(circuit::lines(job, assessment));
    lines.extend(raceway::lines(job, assessment));
    let step = allowances::allowances().sale_length(assessment.head.units);
    let mut lines = line::grouped(lines);
    for line in &mut lines {
        if let Quantity::Length(length) = line.quantity {
            line.quantity = Quantity::Length(rounded_up(length, step));
        }
    }
    lines
}

fn rounded_up(length: Length, step: Length) -> Length {
    step * f64::from(allowances::steps(length, step))
}
