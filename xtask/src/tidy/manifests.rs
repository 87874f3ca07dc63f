//! Manifests take the house lints and shared fields, and name no crate that is not used or not accounted for.
//!
//! In: the manifests, the Rust files beside them, `docs/outside-crates.md`. Out: fields left out, dependencies that no file
//! names, outside crates without a line in that table and lines without a crate. The house lints forbid `unwrap` outside
//! tests, unsafe code and printing; clippy enforces them only where the crate opts in.

use super::layers::Member;
use crate::rust_text::RustText;
use crate::tree::{Problem, Tree, line_of_key};
use std::collections::BTreeSet;

const ACCOUNT: &str = "docs/outside-crates.md";

/// Lines every manifest has.
const NEEDED: [&str; 5] = [
    "[lints]\nworkspace = true",
    "version.workspace = true",
    "edition.workspace = true",
    "license.workspace = true",
    "publish.workspace = true",
];

pub(super) fn check(tree: &Tree, members: &[Member]) -> Vec<Problem> {
    let mut problems = Vec::new();
    let mut named = BTreeSet::new();
    for member in members {
        let path = format!("{}/Cargo.toml", member.folder);
        let text = tree.text(&path).unwrap_or_default();
        for needed in NEEDED.iter().filter(|needed| !text.contains(**needed)) {
            problems.push(Problem::new(
                &path,
                0,
                format!("lacks `{}`", needed.replace('\n', " ")),
            ));
        }
        let words = words_of(tree, &member.folder);
        for dependency in dependencies(text) {
            if !words.contains(&dependency.replace('-', "_")) {
                let line = line_of_key(text, &dependency);
                problems.push(Problem::new(
                    &path,
                    line,
                    format!("`{dependency}` is used in no file: remove it"),
                ));
            }
            named.insert(dependency);
        }
    }
    problems.extend(account(tree, &named));
    problems
}

/// Shared dependencies that no crate names, and differences between them and the table of outside crates.
fn account(tree: &Tree, named: &BTreeSet<String>) -> Vec<Problem> {
    const ROOT: &str = "Cargo.toml";
    let text = tree.text(ROOT).unwrap_or_default();
    let table = tree.text(ACCOUNT).unwrap_or_default();
    let root: toml::Table = text.parse().unwrap_or_default();
    let shared = root
        .get("workspace")
        .and_then(|workspace| workspace.get("dependencies"));
    let mut problems = Vec::new();
    let mut outside = BTreeSet::new();
    for (name, how) in shared.and_then(toml::Value::as_table).into_iter().flatten() {
        if !named.contains(name) {
            let line = line_of_key(text, name);
            problems.push(Problem::new(
                ROOT,
                line,
                format!("`{name}` is a dependency of no crate: remove it"),
            ));
        }
        if how.get("path").is_none() {
            outside.insert(name.as_str());
            if !table.contains(&format!("`{name}`")) {
                problems.push(Problem::new(
                    ACCOUNT,
                    0,
                    format!("has no line for `{name}`: say what it saves"),
                ));
            }
        }
    }
    for (at, row) in table
        .lines()
        .enumerate()
        .filter(|(_, line)| line.starts_with("| `"))
    {
        let cell = row.split('|').nth(1).unwrap_or_default();
        for name in cell
            .split('`')
            .skip(1)
            .step_by(2)
            .filter(|name| !outside.contains(name))
        {
            problems.push(Problem::new(
                ACCOUNT,
                at + 1,
                format!("`{name}` is not among the dependencies"),
            ));
        }
    }
    problems
}

/// Names of a manifest's dependencies of every kind.
fn dependencies(manifest: &str) -> BTreeSet<String> {
    let manifest: toml::Table = manifest.parse().unwrap_or_default();
    let kinds = ["dependencies", "dev-dependencies", "build-dependencies"];
    let tables = kinds.iter().filter_map(|kind| manifest.get(*kind)?.as_table());
    tables.flat_map(|table| table.keys().cloned()).collect()
}

/// Every word of code in a crate's folder.
fn words_of(tree: &Tree, folder: &str) -> BTreeSet<String> {
    let inside = format!("{folder}/");
    let files = tree
        .with_ending(".rs")
        .filter(|file| file.path.starts_with(&inside));
    let words = |text: &str| {
        let words = text
            .split(|c: char| !c.is_alphanumeric() && c != '_')
            .map(str::to_owned);
        words.collect::<Vec<_>>()
    };
    files
        .flat_map(|file| words(&RustText::new(&file.text).code))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::layers::tests::member;
    use super::*;

    const OWN: &str = "crates/water/Cargo.toml";

    fn found(files: &[(&str, &str)]) -> Vec<String> {
        let problems = check(&Tree::of(files), &[member("water", &[])]);
        problems.iter().map(ToString::to_string).collect()
    }

    #[test]
    fn a_manifest_without_the_shared_lines_fails() {
        let full = NEEDED.join("\n");
        assert_eq!(found(&[(OWN, &full)]), [""; 0]);
        for needed in NEEDED {
            assert_eq!(found(&[(OWN, &full.replace(needed, ""))]).len(), 1, "{needed}");
        }
    }

    fn with_dependency(code: &str, root: &str, table: &str) -> Vec<String> {
        let manifest = format!(
            "{}\n[dependencies]\npipe-data.workspace = true\n",
            NEEDED.join("\n")
        );
        found(&[
            (OWN, &manifest),
            ("crates/water/src/lib.rs", code),
            ("Cargo.toml", root),
            (ACCOUNT, table),
        ])
    }

    #[test]
    fn dependencies_are_used_shared_and_accounted_for() {
        const CODE: &str = "//! Head.\nuse pipe_data::Size;\n";
        const ROOT: &str = "[workspace.dependencies]\npipe-data = \"1\"\nquantity = { path = \"x\" }\n";
        const TABLE: &str = "| `pipe-data` | water | sizes |\n";
        let root = ROOT.replace("quantity = { path = \"x\" }\n", "");
        assert_eq!(with_dependency(CODE, &root, TABLE), [""; 0]);
        let unused = with_dependency("//! pipe_data is only in this comment.\n", &root, TABLE);
        assert!(
            unused[0].contains("crates/water/Cargo.toml:8: `pipe-data` is used in no file"),
            "{unused:?}"
        );
        assert!(
            with_dependency(CODE, ROOT, TABLE)[0]
                .contains("Cargo.toml:3: `quantity` is a dependency of no crate")
        );
        assert!(with_dependency(CODE, &root, "")[0].contains("no line for `pipe-data`"));
        let gone = format!("{TABLE}| `pump-data` | – | – |\n");
        assert!(with_dependency(CODE, &root, &gone)[0].contains("outside-crates.md:2: `pump-data`"));
    }
}
