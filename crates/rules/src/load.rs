//! Files to rule book: reads, checks, tries the cases, applies amendments. Start at [`load`].
//!
//! In: a book to start from, names and texts of files. Out: the book with them, or every complaint with file and line.
//! Order of work: scopes and facts, editions and cautions, rules, their cases, amendments; so a file may use what any
//! other file defines, and a case tries its rule as published, before local changes.

mod amendments;
mod rules;
mod vocabulary;

use crate::book::RuleBook;
use crate::file::RuleFile;
use crate::problem::{RuleFileProblem, RuleProblem, place};
use toml::Spanned;

/// Adds the files to a book.
///
/// # Errors
/// Everything that is wrong with them.
pub(crate) fn load<'t>(
    book: RuleBook,
    files: impl IntoIterator<Item = (&'t str, &'t str)>,
) -> Result<RuleBook, Vec<RuleFileProblem>> {
    let mut loader = Loader {
        book,
        problems: Vec::new(),
    };
    let mut read = Vec::new();
    for (name, text) in files {
        let source = SourceText { name, text };
        match toml::from_str::<RuleFile>(text) {
            Ok(file) => read.push((source, file)),
            Err(error) => {
                let at = error.span().map_or(0, |span| span.start);
                loader.complain(&source, at, RuleProblem::Form(error.message().to_owned()));
            }
        }
    }
    for (source, file) in &read {
        loader.vocabulary(source, file);
    }
    for (source, file) in &read {
        loader.scopes_exist(source, file);
        loader.editions_follow(source, file);
    }
    for (source, file) in &read {
        for rule in &file.rule {
            loader.rule(source, rule);
        }
    }
    for (source, file) in &read {
        for amendment in &file.amend {
            loader.amend(source, amendment.get_ref(), amendment.span().start);
        }
    }
    if loader.problems.is_empty() {
        Ok(loader.book)
    } else {
        Err(loader.problems)
    }
}

/// A file's name and text, to find lines in.
#[derive(Clone, Copy)]
struct SourceText<'t> {
    name: &'t str,
    text: &'t str,
}

impl SourceText<'_> {
    /// Offset in the file of an offset within a string value; the value's start when it is written with escapes.
    fn within(&self, value: &Spanned<String>, offset: usize) -> usize {
        let span = value.span();
        let raw = self.text.get(span.clone()).unwrap_or_default();
        span.start + raw.find(value.get_ref().as_str()).map_or(0, |at| at + offset)
    }
}

/// The book so far and the complaints so far.
struct Loader {
    book: RuleBook,
    problems: Vec<RuleFileProblem>,
}

impl Loader {
    fn complain(&mut self, source: &SourceText<'_>, at: usize, problem: RuleProblem) {
        let (line, column) = place(source.text, at);
        self.problems.push(RuleFileProblem {
            file: source.name.to_owned(),
            line,
            column,
            problem,
        });
    }

    /// Complains of texts that are empty.
    fn filled(&mut self, source: &SourceText<'_>, field: &'static str, text: &Spanned<String>) {
        if text.get_ref().trim().is_empty() {
            self.complain(source, text.span().start, RuleProblem::Empty { field });
        }
    }
}
