//! The rows of crates: a crate depends only on crates of lower rows.
//!
//! In: `xtask/layers.toml` and the dependencies written in the manifests (normal, build, development; optional ones
//! too). Out: arrows that go sideways or up, crates without a row, rows without a crate. Outside crates are not looked at.

use crate::Outcome;
use crate::tree::{Problem, line_of_key, root};
use cargo_metadata::{DependencyKind, MetadataCommand};
use serde::Deserialize;
use std::collections::BTreeMap;

const FILE: &str = "xtask/layers.toml";

/// The rows as written in `xtask/layers.toml`.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Layers {
    /// Row by crate.
    pub(crate) rows: BTreeMap<String, u8>,
    #[serde(rename = "test-only")]
    test_only: TestOnly,
    pure: Pure,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct TestOnly {
    crates: Vec<String>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Pure {
    #[serde(rename = "up-to-row")]
    up_to_row: u8,
    also: Vec<String>,
}

impl Layers {
    /// Reads `xtask/layers.toml`.
    pub(crate) fn read() -> Outcome<Self> {
        let text = std::fs::read_to_string(root().join(FILE))
            .map_err(|error| format!("cannot read `{FILE}`: {error}"))?;
        Ok(toml::from_str(&text).map_err(|error| format!("`{FILE}`: {error}"))?)
    }

    fn is_test_only(&self, name: &str) -> bool {
        self.test_only.crates.iter().any(|one| one == name)
    }
}

/// Crates that touch nothing outside themselves and compile for the web, by row and name.
pub(crate) fn pure_crates(layers: &Layers) -> Vec<&str> {
    let inside =
        |name: &str, row: u8| row <= layers.pure.up_to_row || layers.pure.also.iter().any(|one| one == name);
    let all = layers
        .rows
        .iter()
        .filter(|(name, row)| inside(name, **row) && !layers.is_test_only(name));
    let mut all: Vec<(u8, &str)> = all.map(|(name, row)| (*row, name.as_str())).collect();
    all.sort_unstable();
    all.into_iter().map(|(_, name)| name).collect()
}

/// A crate of the workspace.
#[derive(Debug)]
pub(crate) struct Member {
    /// Its name.
    pub(crate) name: String,
    /// Its folder below the root.
    pub(crate) folder: String,
    /// Dependencies on crates of this workspace, with the line they stand on.
    arrows: Vec<Arrow>,
}

#[derive(Debug)]
struct Arrow {
    to: String,
    dev: bool,
    line: usize,
}

/// The crates of the workspace as cargo sees them.
pub(crate) fn members() -> Outcome<Vec<Member>> {
    let metadata = MetadataCommand::new()
        .manifest_path(root().join("Cargo.toml"))
        .no_deps()
        .exec()?;
    let mut members = Vec::new();
    for package in &metadata.packages {
        let manifest = std::fs::read_to_string(&package.manifest_path)?;
        let own = package.dependencies.iter().filter(|one| one.path.is_some());
        let arrow = |one: &cargo_metadata::Dependency| Arrow {
            to: one.name.clone(),
            dev: one.kind == DependencyKind::Development,
            line: line_of_key(&manifest, &one.name),
        };
        let arrows = own.map(arrow).collect();
        let folder = package.manifest_path.parent().unwrap_or(&package.manifest_path);
        let folder = folder.strip_prefix(&metadata.workspace_root).unwrap_or(folder);
        members.push(Member {
            name: package.name.to_string(),
            folder: folder.as_str().replace('\\', "/"),
            arrows,
        });
    }
    Ok(members)
}

/// Arrows that break the rule, and names that stand in only one of manifest and list.
pub(super) fn check(layers: &Layers, members: &[Member]) -> Vec<Problem> {
    let mut problems = Vec::new();
    for name in layers
        .rows
        .keys()
        .chain(&layers.test_only.crates)
        .chain(&layers.pure.also)
    {
        if !members.iter().any(|member| member.name == *name) {
            problems.push(Problem::new(
                FILE,
                0,
                format!("`{name}` is no crate of the workspace: remove it"),
            ));
        }
    }
    for member in members {
        let Some(row) = layers.rows.get(&member.name) else {
            problems.push(Problem::new(
                FILE,
                0,
                format!("`{}` has no row: give it one", member.name),
            ));
            continue;
        };
        let manifest = format!("{}/Cargo.toml", member.folder);
        for arrow in &member.arrows {
            let test_only = layers.is_test_only(&arrow.to);
            let to_row = layers.rows.get(&arrow.to).copied().unwrap_or(u8::MAX);
            let allowed = if test_only { arrow.dev } else { to_row < *row };
            if !allowed {
                let why = if test_only {
                    "it is for tests only".to_owned()
                } else {
                    format!("row {row} may not depend on row {to_row}")
                };
                let text = format!("`{}` depends on `{}`: {why}", member.name, arrow.to);
                problems.push(Problem::new(&manifest, arrow.line, text));
            }
        }
    }
    problems
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;

    pub(in crate::tidy) fn made_up() -> Layers {
        let text = "[rows]\nquantity = 0\nchecks = 0\nwater = 2\npower = 2\nassess = 3\njobfile = 6\n\
                    [test-only]\ncrates = ['checks']\n[pure]\nup-to-row = 2\nalso = ['jobfile']\n";
        toml::from_str(text).unwrap()
    }

    pub(in crate::tidy) fn member(name: &str, arrows: &[(&str, bool)]) -> Member {
        let arrow = |(to, dev): &(&str, bool)| Arrow {
            to: (*to).to_owned(),
            dev: *dev,
            line: 7,
        };
        Member {
            name: name.to_owned(),
            folder: format!("crates/{name}"),
            arrows: arrows.iter().map(arrow).collect(),
        }
    }

    fn house(water: &[(&str, bool)]) -> Vec<Problem> {
        let others = ["quantity", "checks", "power", "assess", "jobfile"];
        let mut members: Vec<Member> = others.iter().map(|name| member(name, &[])).collect();
        members.push(member("water", water));
        check(&made_up(), &members)
    }

    #[test]
    fn downward_arrows_and_check_values_in_tests_pass() {
        assert_eq!(house(&[("quantity", false), ("checks", true)]), []);
    }

    #[test]
    fn sideways_and_upward_arrows_fail_in_tests_too() {
        for (to, dev) in [
            ("power", false),
            ("assess", false),
            ("power", true),
            ("jobfile", true),
        ] {
            let problems = house(&[(to, dev)]);
            assert_eq!(problems.len(), 1, "{to}");
            assert_eq!(
                (problems[0].path.as_str(), problems[0].line),
                ("crates/water/Cargo.toml", 7)
            );
        }
    }

    #[test]
    fn a_test_only_crate_may_not_be_a_normal_dependency() {
        assert!(house(&[("checks", false)])[0].text.contains("tests only"));
    }

    #[test]
    fn names_missing_on_either_side_fail() {
        let members = [member("water", &[]), member("valves", &[])];
        let texts: Vec<String> = check(&made_up(), &members)
            .into_iter()
            .map(|one| one.text)
            .collect();
        assert!(texts.iter().any(|text| text.contains("`valves` has no row")));
        assert!(texts.iter().any(|text| text.contains("`quantity` is no crate")));
    }

    #[test]
    fn pure_crates_are_the_low_rows_and_those_named() {
        assert_eq!(pure_crates(&made_up()), ["quantity", "power", "water", "jobfile"]);
    }
}
