//! Exit statuses, as the design has them.

use std::process::ExitCode;
use trace::Severity;

/// The input cannot be used.
pub(crate) const UNUSABLE: u8 = 3;

/// 0 nothing worse than `note`; 1 `judge`, `change` or `unknown`; 2 `stop`.
pub(crate) fn of(worst: Severity) -> ExitCode {
    match worst {
        Severity::Stop => ExitCode::from(2),
        Severity::Change | Severity::Judge | Severity::Unknown => ExitCode::from(1),
        Severity::Note | Severity::Met => ExitCode::SUCCESS,
    }
}
