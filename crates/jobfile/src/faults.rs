//! Collecting problems while a record is read: bounded, so that a hostile file costs no memory.

use crate::file_text::FileText;
use crate::unusable::{LocatedProblem, SHOWN_MAX, Unusable};
use std::ops::Range;
use std::sync::Arc;
use trace::RecordPath;

/// Problems found so far.
#[derive(Debug)]
pub(crate) struct Faults {
    file: Arc<FileText>,
    kept: Vec<LocatedProblem>,
    count: usize,
}

impl Faults {
    pub(crate) fn new(name: &str, text: &str) -> Self {
        Self {
            file: Arc::new(FileText::new(name, text)),
            kept: Vec::new(),
            count: 0,
        }
    }

    /// Adds a problem; `words` gives message and fix, and is not asked once enough are kept.
    pub(crate) fn add(
        &mut self,
        span: &Range<usize>,
        at: &RecordPath,
        words: impl FnOnce() -> (String, String),
    ) {
        // Files are read mostly in order; what is kept beyond the shown ones lets sorting pick the first of them.
        const KEPT_MAX: usize = 4 * SHOWN_MAX;
        self.count += 1;
        if self.kept.len() < KEPT_MAX {
            let (message, fix) = words();
            self.kept
                .push(LocatedProblem::new(&self.file, span, at, &message, &fix));
        }
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.count == 0
    }

    /// Whether no more can be shown.
    pub(crate) fn enough(&self) -> bool {
        self.count >= SHOWN_MAX
    }

    /// The error that tells them all.
    pub(crate) fn into_unusable(self) -> Unusable {
        let mut problems = self.kept;
        problems.sort_by(|a, b| (a.offset, &a.at, &a.message).cmp(&(b.offset, &b.at, &b.message)));
        problems.truncate(SHOWN_MAX);
        Unusable {
            file: self.file.name().to_owned(),
            left_out: self.count - problems.len(),
            problems,
        }
    }
}
