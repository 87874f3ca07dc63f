//! The one-line diagram as an indented tree of lines.
//!
//! Says the same words as the sheet (they come from one place) and serves as its description for screen readers.

use crate::lettering::clean;
use crate::one_line::{Branch, Feeds, OneLine, Panel, words};
use quantity::UnitSystem;

/// Fewest columns that are worth indenting in.
const COLUMNS_MIN: usize = 24;

/// The diagram as lines at most `columns` wide (`usize::MAX` for unwrapped lines).
///
/// ```
/// use drawings::{one_line::*, plain::one_line_tree, title_block::TitleBlock};
/// use quantity::{ApparentPower, UnitSystem};
/// let diagram = OneLine {
///     title_block: TitleBlock::default(), units: UnitSystem::Us,
///     supply: Supply { transformer: Some(ApparentPower::from_kilovolt_amperes(25.0)), ..Supply::default() },
///     main: Panel { name: "Main panel".into(), ..Panel::default() },
///     notes: Vec::new(),
/// };
/// let lines = one_line_tree(&diagram, 76);
/// assert_eq!(lines[0], "Utility transformer · EXISTING: 25 kVA");
/// assert!(lines.contains(&"Main panel · EXISTING".to_owned()));
/// ```
pub fn one_line_tree(input: &OneLine, columns: usize) -> Vec<String> {
    let mut tree = Tree {
        lines: Vec::new(),
        columns: columns.max(COLUMNS_MIN),
        units: input.units,
    };
    let supply = &input.supply;
    let units = input.units;
    tree.headed("", &words::transformer(supply));
    tree.headed(
        "│ ",
        &words::supply_wiring("Service drop", supply.service_drop.as_ref(), units),
    );
    tree.headed("", &words::meter(supply));
    tree.headed(
        "│ ",
        &words::supply_wiring("Service entrance", supply.service_entrance.as_ref(), units),
    );
    tree.panel("", &input.main);
    for (at, note) in input.notes.iter().enumerate() {
        tree.push(&format!("Note {}: {}", at + 1, clean(note)), "", "  ");
    }
    tree.lines
}

struct Tree {
    lines: Vec<String>,
    columns: usize,
    units: UnitSystem,
}

impl Tree {
    fn headed(&mut self, indent: &str, (heading, facts): &(String, Vec<String>)) {
        let text = if facts.is_empty() {
            heading.clone()
        } else {
            format!("{heading}: {}", facts.join(", "))
        };
        let rest = format!("{indent}  ");
        self.push(&text, indent, &rest);
    }

    fn panel(&mut self, indent: &str, panel: &Panel) {
        let (heading, facts) = words::panel(panel);
        self.push(&heading, indent, &format!("{indent}  "));
        let stem = if panel.branches.is_empty() { "  " } else { "│ " };
        for fact in facts {
            self.push(&fact, &format!("{indent}{stem}"), &format!("{indent}{stem}  "));
        }
        if panel.branches.is_empty() {
            self.push(
                "no circuits recorded",
                &format!("{indent}└─ "),
                &format!("{indent}   "),
            );
        }
        for (at, branch) in panel.branches.iter().enumerate() {
            let last = at + 1 == panel.branches.len();
            self.branch(indent, branch, last);
        }
    }

    fn branch(&mut self, indent: &str, branch: &Branch, last: bool) {
        let (knot, stem) = if last {
            ("└─ ", "   ")
        } else {
            ("├─ ", "│  ")
        };
        let below = format!("{indent}{stem}");
        let mut breaker = vec![words::breaker_rating(&branch.breaker)];
        breaker.extend(words::breaker_details(&branch.breaker));
        let heading = format!("[{}] {}", breaker.join(", "), words::branch_heading(branch));
        self.push(&heading, &format!("{indent}{knot}"), &format!("{below}  "));
        for detail in words::branch_details(branch, self.units) {
            self.push(&detail, &format!("{below}  "), &format!("{below}    "));
        }
        if let Feeds::Panel(fed) = &branch.feeds {
            self.panel(&below, fed);
            return;
        }
        let (heading, facts) = words::load(branch, self.units);
        let heater = match &branch.feeds {
            Feeds::Element(element) => words::given(&element.heater),
            _ => heading,
        };
        let parts: Vec<String> = heater.into_iter().chain(facts).collect();
        if !parts.is_empty() {
            self.push(&parts.join(", "), &format!("{below}=> "), &format!("{below}   "));
        }
    }

    fn push(&mut self, text: &str, first: &str, rest: &str) {
        if self.columns == usize::MAX {
            self.lines.push(format!("{first}{text}"));
            return;
        }
        // Deep trees would leave no room for words: the indent then gives way.
        let room = self.columns - COLUMNS_MIN / 2;
        let cut = |indent: &str| indent.chars().take(room).collect::<String>();
        let (first, rest) = (cut(first), cut(rest));
        let options = textwrap::Options::new(self.columns)
            .initial_indent(&first)
            .subsequent_indent(&rest);
        let wrapped = textwrap::wrap(text, options);
        self.lines
            .extend(wrapped.into_iter().map(|line| line.trim_end().to_owned()));
    }
}
