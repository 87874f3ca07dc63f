//! `wattspring rules`: lists the rules, searches them, or explains one with its sources.

use crate::cli::RulesArgs;
use crate::rule_book;
use miette::{Context, IntoDiagnostic, miette};
use quantity::UnitSystem;
use rules::{ExplainedEdition, Explanation, Rule};
use std::fmt::Write as _;
use std::io::Write;
use textwrap::{Options, fill};
use trace::SourceStatus;

/// Columns of the print.
const COLUMNS: usize = 80;

/// Prints one rule in full when the words are its id, else a list of those that hold all the words and pass the filters.
pub(crate) fn run(args: &RulesArgs, out: &mut impl Write) -> miette::Result<()> {
    let book = rule_book::with_local(&args.local)?;
    let words = args.words.join(" ");
    let page = if let Some(rule) = book.explain(&words, UnitSystem::Us) {
        explained(&rule)
    } else {
        let edition = args.edition.as_deref().map(|written| book.find_edition(written));
        let edition = edition.transpose().into_diagnostic()?;
        if let Some(area) = &args.area
            && !book.areas().iter().any(|known| &known.name == area)
        {
            let known: Vec<String> = book
                .areas()
                .iter()
                .map(|area| format!("{} ({})", area.name, area.meaning))
                .collect();
            return Err(miette!(help = known.join("\n"), "no area is called `{area}`"));
        }
        let status = args.status.map(SourceStatus::from);
        let found: Vec<&Rule> = book
            .search(&words)
            .into_iter()
            .filter(|rule| args.area.as_ref().is_none_or(|area| &rule.area == area))
            .filter(|rule| edition.is_none_or(|edition| book.holds_in(rule, &edition.name)))
            .filter(|rule| status.is_none_or(|status| rule.basis.iter().any(|basis| basis.status == status)))
            .collect();
        if found.is_empty() {
            let help = "try one word, such as `voltage`, or no word for all rules";
            return Err(miette!(
                help = help,
                "no rule speaks of `{words}` with these filters"
            ));
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
        paragraph(&mut page, "    ", &format!("Area: {}", rule.area));
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
    part("Area", &format!("{}: {}", rule.area.0, rule.area.1));
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
    part("Usual remedy", &rule.remedy);
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
    let _ = writeln!(page, "\nEditions side by side");
    for edition in &rule.editions {
        paragraph(&mut page, "  ", &edition_line(edition));
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

/// "NEC 2020: 210.8(A); change; voltage 250 V (from memory)".
fn edition_line(edition: &ExplainedEdition) -> String {
    let Some(status) = edition.status.filter(|_| edition.holds) else {
        return format!("{}: no such rule", edition.edition);
    };
    let mut parts: Vec<String> = edition.place.iter().cloned().collect();
    parts.extend(edition.severity.map(|severity| severity.to_string()));
    parts.extend(
        edition
            .limits
            .iter()
            .map(|(name, value)| format!("{name} {value}")),
    );
    format!("{}: {} ({status})", edition.edition, parts.join("; "))
}

fn basis_line(
    editions: &[String],
    document: Option<&str>,
    place: Option<&str>,
    status: SourceStatus,
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
