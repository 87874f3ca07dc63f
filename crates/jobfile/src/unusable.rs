//! Why a record cannot be used: all problems, in the order of the file, each with its place.
//!
//! In: faults found while reading. Out: [`Unusable`], an error and a `miette` diagnostic, with a plain line for each
//! problem. Nothing here judges a record.

use crate::file_text::FileText;
use serde::Serialize;
use std::fmt;
use std::sync::Arc;
use trace::RecordPath;

/// Most problems that are told at once.
pub const SHOWN_MAX: usize = 50;

/// A record that cannot be used.
#[derive(Debug, Clone, Serialize)]
pub struct Unusable {
    /// Name of the file, as given.
    pub file: String,
    /// The problems by place, at most [`SHOWN_MAX`] of them.
    pub problems: Vec<LocatedProblem>,
    /// How many more there are.
    pub left_out: usize,
}

/// One problem and its place in the file.
#[derive(Debug, Clone, Serialize)]
pub struct LocatedProblem {
    /// Line, counted from 1.
    pub line: usize,
    /// Column in characters, counted from 1.
    pub column: usize,
    /// Byte at which the place begins; a byte-order mark does not count.
    pub offset: usize,
    /// Bytes of the place, within one line.
    pub length: usize,
    /// Place in the record, such as `piping.pipes[3].length`.
    pub at: RecordPath,
    /// What is wrong, with the value in backticks.
    pub message: String,
    /// What to do about it.
    pub fix: String,
    #[serde(skip)]
    file: Arc<FileText>,
}

impl LocatedProblem {
    pub(crate) fn new(
        file: &Arc<FileText>,
        span: &std::ops::Range<usize>,
        at: &RecordPath,
        message: &str,
        fix: &str,
    ) -> Self {
        let span = file.first_line(span);
        let (line, column) = file.position(span.start);
        Self {
            line,
            column,
            offset: span.start,
            length: span.len(),
            at: RecordPath(one_line(&at.0)),
            message: one_line(message),
            fix: one_line(fix),
            file: Arc::clone(file),
        }
    }

    /// The problem on one line: `file:line:column: what; fix`.
    pub fn plain(&self) -> String {
        format!(
            "{}:{}:{}: {}; {}",
            self.file.name(),
            self.line,
            self.column,
            self.message,
            self.fix
        )
    }

    fn shown(&self) -> bool {
        self.file.shows(self.offset)
    }
}

/// Messages quote the file, so they can hold whatever it holds.
fn one_line(text: &str) -> String {
    crate::file_text::printable(text).replace(['\n', '\r', '\t'], " ")
}

impl Unusable {
    /// All problems, a line each, and how many were left out.
    pub fn plain(&self) -> String {
        let mut lines: Vec<String> = self.problems.iter().map(LocatedProblem::plain).collect();
        if self.left_out > 0 {
            lines.push(self.more());
        }
        lines.join("\n")
    }

    fn more(&self) -> String {
        format!(
            "{}: {} more problems are not shown; fix these first",
            self.file, self.left_out
        )
    }
}

impl fmt::Display for Unusable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.problems.len() + self.left_out {
            1 => write!(f, "`{}` cannot be used: 1 problem", self.file),
            count => write!(f, "`{}` cannot be used: {count} problems", self.file),
        }
    }
}

impl std::error::Error for Unusable {}

impl miette::Diagnostic for Unusable {
    fn help<'a>(&'a self) -> Option<Box<dyn fmt::Display + 'a>> {
        (self.left_out > 0).then(|| Box::new(self.more()) as Box<dyn fmt::Display>)
    }

    fn related<'a>(&'a self) -> Option<Box<dyn Iterator<Item = &'a dyn miette::Diagnostic> + 'a>> {
        Some(Box::new(
            self.problems
                .iter()
                .map(|problem| problem as &dyn miette::Diagnostic),
        ))
    }
}

impl fmt::Display for LocatedProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for LocatedProblem {}

impl miette::Diagnostic for LocatedProblem {
    fn help<'a>(&'a self) -> Option<Box<dyn fmt::Display + 'a>> {
        if self.shown() {
            Some(Box::new(&self.fix))
        } else {
            // The line is too long to be shown, so that the place has to be told in words.
            let (name, line, column) = (self.file.name(), self.line, self.column);
            Some(Box::new(format!(
                "{} ({name}, line {line}, column {column})",
                self.fix
            )))
        }
    }

    fn source_code(&self) -> Option<&dyn miette::SourceCode> {
        self.shown()
            .then(|| self.file.source() as &dyn miette::SourceCode)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = miette::LabeledSpan> + '_>> {
        let label = (!self.at.0.is_empty()).then(|| self.at.0.clone());
        let span = miette::LabeledSpan::new(label, self.offset, self.length);
        self.shown()
            .then(|| Box::new(std::iter::once(span)) as Box<dyn Iterator<Item = _>>)
    }
}
