//! The rule book of a run: the published one, or that with local files on top, and the editions asked for.

use crate::cli::BookArgs;
use assess::BookDesk;
use miette::{Context, IntoDiagnostic, miette};
use rules::RuleBook;
use std::borrow::Cow;
use std::path::PathBuf;

/// The published book with the files on top.
pub(crate) fn with_local(files: &[PathBuf]) -> miette::Result<Cow<'static, RuleBook>> {
    if files.is_empty() {
        return Ok(Cow::Borrowed(RuleBook::embedded()));
    }
    let mut texts = Vec::new();
    for path in files {
        let name = path.display().to_string();
        let text = std::fs::read_to_string(path)
            .into_diagnostic()
            .wrap_err_with(|| format!("the rule file `{name}` could not be read"))?;
        texts.push((name, text));
    }
    let named = texts.iter().map(|(name, text)| (name.as_str(), text.as_str()));
    RuleBook::load(named).map(Cow::Owned).map_err(|problems| {
        let lines: Vec<String> = problems.iter().map(ToString::to_string).collect();
        miette!(
            help = "correct the file; `wattspring rules ID` shows how a published rule is written in words",
            "{}",
            lines.join("\n")
        )
    })
}

/// A desk with this book and the editions asked for.
pub(crate) fn desk<'b>(
    book: &'b RuleBook,
    args: &BookArgs,
    date: Option<jiff::civil::Date>,
) -> miette::Result<BookDesk<'b>> {
    let mut editions: Vec<String> = Vec::new();
    for written in &args.editions {
        editions.push(book.find_edition(written).into_diagnostic()?.name.clone());
    }
    book.choose(editions.iter().map(String::as_str))
        .into_diagnostic()?;
    Ok(BookDesk {
        today: date.unwrap_or_else(|| jiff::ZonedDateTime::now().date()),
        book,
        editions,
    })
}
