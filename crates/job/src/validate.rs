//! What cannot be used in a record, all of it at once.

use crate::Job;
use trace::Problem;

/// All that cannot be used in `job`, each with its place and what to do.
pub fn validate(job: &Job) -> Vec<Problem> {
    let _ = job;
    Vec::new()
}
