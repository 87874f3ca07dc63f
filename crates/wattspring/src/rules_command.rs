//! `wattspring rules`: lists the rules, searches them, or explains one with its sources.

use crate::cli::RulesArgs;
use miette::{Context, IntoDiagnostic, miette};
use quantity::UnitSystem;
use rules::{Explanation, Rule, RuleBook};
use std::fmt::Write as _;
use std::io::Write;
use textwrap::{Options, fill};

/// Columns of the print.
const COLUMNS: usize = 80;

/// Prints one rule in full when the words are its id, else a list of those that hold all the words.
pub(crate) fn run(args: &RulesArgs, out: &mut impl Write) -> miette::Result<()> {
    let book = RuleBook::embedded();
    let words = args.words.join(" ");
    let page = if let Some(rule) = book.explain(&words, UnitSystem::Us) {
        explained(&rule)
    } else {
        let found: Vec<&Rule> = if words.is_empty() {
            book.rules().iter().collect()
        } else {
            book.search(&words)
        };
        if found.is_empty() {
            let help = "try one word, such as `voltage`, or no word for all rules";
            return Err(miette!(help = help, "no rule speaks of `{words}`"));
        }
        listed(&found)
    };
    out.write_all(page.as_bytes())
        .into_diagnostic()
        .wrap_err("the rules could not be printed")
}

fn listed(rules: &[&Rule]) -> String {
    let mut page = String::new();
    for rule in rules {
        let articles: Vec<String> = rule
            .basis
            .iter()
            .map(|basis| {
                basis_line(
                    &basis.editions,
                    basis.document.as_deref(),
                    basis.place.as_deref(),
                    basis.status,
                )
            })
            .collect();
        let _ = writeln!(page, "{} {}", rule.severity.sign(), rule.id);
        paragraph(&mut page, "    ", rule.title(UnitSystem::Us));
        paragraph(&mut page, "    ", &articles.join("; "));
    }
    let _ = writeln!(
        page,
        "\n{} rules. `wattspring rules ID` explains one.",
        rules.len()
    );
    page
}

fn explained(rule: &Explanation) -> String {
    let mut page = String::new();
    let _ = writeln!(page, "{}", rule.id);
    paragraph(&mut page, "", &rule.title);
    let mut part = |head: &str, text: &str| {
        let _ = writeln!(page, "\n{head}");
        paragraph(&mut page, "  ", text);
    };
    part("About", &rule.about);
    if let Some(applies) = &rule.applies {
        part("Applies when", applies);
    }
    part("Requires", &rule.requires);
    part(
        "When not met",
        &format!(
            "{} {}: {}",
            rule.severity.sign(),
            rule.severity,
            rule.severity.meaning()
        ),
    );
    part("Why", &rule.why);
    if let Some(caution) = &rule.caution {
        part("Caution", caution);
    }
    for (name, value) in &rule.limits {
        part("Limit", &format!("{name}: {value}"));
    }
    let _ = writeln!(page, "\nSources");
    for basis in &rule.basis {
        let line = basis_line(
            &basis.editions,
            Some(&basis.document),
            basis.place.as_deref(),
            basis.status,
        );
        paragraph(&mut page, "  ", &line);
    }
    let _ = writeln!(page, "\nFacts it asks for");
    for fact in &rule.facts {
        paragraph(
            &mut page,
            "  ",
            &format!(
                "{} ({}): {}. How to get it: {}.",
                fact.name, fact.kind, fact.meaning, fact.measure
            ),
        );
    }
    for amendment in &rule.amendments {
        paragraph(&mut page, "  ", &format!("Local change: {amendment}"));
    }
    page
}

fn basis_line(
    editions: &[String],
    document: Option<&str>,
    place: Option<&str>,
    status: trace::SourceStatus,
) -> String {
    let document = document.filter(|document| !editions.iter().any(|edition| edition == document));
    let mut line = editions.join(", ");
    if let Some(document) = document {
        let _ = write!(line, " {document}");
    }
    if let Some(place) = place {
        let _ = write!(line, " {place}");
    }
    let _ = write!(line, " ({status})");
    line.trim().to_owned()
}

fn paragraph(page: &mut String, indent: &str, text: &str) {
    let options = Options::new(COLUMNS)
        .initial_indent(indent)
        .subsequent_indent(indent);
    let _ = writeln!(page, "{}", fill(text, options));
}
