//! ARCHITECTURE.md names every crate with its row, and none that is gone.
//!
//! In: its table rows that begin with a row number and a crate name in backticks, and its headings that are a crate name
//! in backticks. Out: where that differs from `xtask/layers.toml`. The rest of the text is free.

use super::layers::Layers;
use crate::tree::{Problem, Tree};

const FILE: &str = "ARCHITECTURE.md";

pub(super) fn check(tree: &Tree, layers: &Layers) -> Vec<Problem> {
    let Some(text) = tree.text(FILE) else {
        return vec![Problem::new(FILE, 0, "is missing: write the map of crates")];
    };
    let mut problems = Vec::new();
    let rows = || {
        text.lines()
            .enumerate()
            .filter_map(|(at, line)| Some((at + 1, table_row(line)?)))
    };
    let headings = || {
        text.lines()
            .enumerate()
            .filter_map(|(at, line)| Some((at + 1, heading(line)?)))
    };
    for (name, row) in &layers.rows {
        match rows().find(|(_, (_, named))| named == name) {
            None => problems.push(Problem::new(
                FILE,
                0,
                format!("the table of crates lacks `{name}` (row {row})"),
            )),
            Some((line, (said, _))) if said != *row => {
                problems.push(Problem::new(
                    FILE,
                    line,
                    format!("`{name}` stands in row {said}, but is in row {row}"),
                ));
            }
            Some(_) => {}
        }
        if !headings().any(|(_, named)| named == name) {
            problems.push(Problem::new(
                FILE,
                0,
                format!("no heading for `{name}`: say its invariants and absences"),
            ));
        }
    }
    let named = rows().map(|(line, (_, name))| (line, name)).chain(headings());
    for (line, name) in named {
        if !layers.rows.contains_key(name) {
            problems.push(Problem::new(
                FILE,
                line,
                format!("names `{name}`, which is no crate"),
            ));
        }
    }
    problems
}

/// Row and crate of a table line such as "| 2 | `water` | … |".
fn table_row(line: &str) -> Option<(u8, &str)> {
    let mut cells = line.strip_prefix('|')?.split('|').map(str::trim);
    let row = cells.next()?.parse().ok()?;
    let name = cells.next()?.strip_prefix('`')?.strip_suffix('`')?;
    Some((row, name))
}

/// Crate of a heading such as "### `water`".
fn heading(line: &str) -> Option<&str> {
    let text = line.strip_prefix('#')?.trim_start_matches('#').trim();
    text.strip_prefix('`')?.strip_suffix('`')
}

#[cfg(test)]
mod tests {
    use super::super::layers::tests::made_up;
    use super::*;

    fn drawn(change: impl Fn(String) -> String) -> Vec<Problem> {
        let layers = made_up();
        let rows = layers
            .rows
            .iter()
            .map(|(name, row)| format!("| {row} | `{name}` | something |\n"));
        let headings = layers.rows.keys().map(|name| format!("### `{name}`\n"));
        let text: String = rows.chain(headings).collect();
        check(&Tree::of(&[(FILE, &change(text))]), &layers)
    }

    #[test]
    fn a_full_map_passes_and_a_missing_one_fails() {
        assert_eq!(drawn(|text| text), []);
        assert_eq!(check(&Tree::of(&[]), &made_up()).len(), 1);
    }

    #[test]
    fn a_crate_left_out_of_table_or_headings_fails() {
        assert!(
            drawn(|text| text.replace("| 2 | `water`", "| – | `water`"))[0]
                .text
                .contains("lacks `water`")
        );
        assert!(
            drawn(|text| text.replace("### `water`", "### Water"))[0]
                .text
                .contains("no heading for `water`")
        );
    }

    #[test]
    fn a_wrong_row_and_a_crate_that_is_gone_fail() {
        assert!(
            drawn(|text| text.replace("| 2 | `water`", "| 3 | `water`"))[0]
                .text
                .contains("is in row 2")
        );
        let gone = drawn(|text| text + "| 4 | `valves` | gone |\n### `pumps`\n");
        assert!(gone[0].text.contains("`valves`") && gone[1].text.contains("`pumps`"));
    }
}
