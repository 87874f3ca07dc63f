//! Every outside crate has a licence we accept and comes from the public registry.
//!
//! In: cargo's resolved graph, the lock file and `xtask/licences.toml`. Out: crates to leave out or to discuss. Start at
//! [`judge`]. Works offline; what cargo has not put on this disk is counted, not guessed. No advisory database is asked:
//! CONTRIBUTING.md says how to do that by hand.

use crate::Outcome;
use crate::tree::root;
use cargo_metadata::{Metadata, MetadataCommand};
use serde::Deserialize;
use spdx::{Expression, Licensee, ParseMode};
use std::collections::BTreeSet;

/// The accepted licences.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Accepted {
    allow: Vec<String>,
    #[serde(default)]
    exception: Vec<Exception>,
}

/// Further licences for one crate.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Exception {
    name: String,
    licences: Vec<String>,
    reason: String,
}

/// Where a crate comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Origin {
    Workspace,
    Registry,
    Elsewhere(String),
}

/// What is judged of a crate.
#[derive(Debug)]
struct Package {
    name: String,
    version: String,
    licence: Option<String>,
    origin: Origin,
}

/// What `Cargo.lock` says of a crate.
#[derive(Debug, Deserialize)]
struct Locked {
    name: String,
    version: String,
    source: Option<String>,
    checksum: Option<String>,
}

#[derive(Debug, Deserialize)]
struct LockFile {
    package: Vec<Locked>,
}

/// Prints what is wrong, and how much was looked at.
pub(crate) fn run(all: bool) -> Outcome {
    let (problems, seen, unseen) = examine()?;
    for problem in &problems {
        println!("licences: {problem}");
    }
    if !problems.is_empty() {
        return Err(format!("licences found {} problems", problems.len()).into());
    }
    println!("licences: {seen} crates, no problem");
    if !unseen.is_empty() {
        let note = format!(
            "{} crates of other platforms are not on this disk and were not looked at; `cargo fetch --locked` brings them",
            unseen.len()
        );
        if all {
            return Err(note.into());
        }
        println!("note: {note}");
    }
    Ok(())
}

/// Problems, the number of crates looked at, and those of the lock file that are not on this disk.
fn examine() -> Outcome<(Vec<String>, usize, Vec<String>)> {
    let read = |path: &str| {
        std::fs::read_to_string(root().join(path)).map_err(|error| format!("cannot read `{path}`: {error}"))
    };
    let accepted: Accepted = toml::from_str(&read("xtask/licences.toml")?)?;
    let lock: LockFile = toml::from_str(&read("Cargo.lock")?)?;
    let packages = packages(&graph()?);
    let mut problems = judge(&accepted, &packages)?;
    problems.extend(judge_lock(&lock.package));
    let on_disk: BTreeSet<(&str, &str)> = packages
        .iter()
        .map(|one| (one.name.as_str(), one.version.as_str()))
        .collect();
    let missing = lock
        .package
        .iter()
        .filter(|one| !on_disk.contains(&(one.name.as_str(), one.version.as_str())));
    let unseen = missing
        .map(|one| format!("{} {}", one.name, one.version))
        .collect();
    Ok((problems, packages.len(), unseen))
}

/// The resolved graph without asking the network: of all platforms, else of this one.
fn graph() -> Outcome<Metadata> {
    let ask = |more: &[String]| {
        let mut options = vec!["--offline".to_owned(), "--locked".to_owned()];
        options.extend_from_slice(more);
        MetadataCommand::new()
            .manifest_path(root().join("Cargo.toml"))
            .other_options(options)
            .exec()
    };
    if let Ok(whole) = ask(&[]) {
        return Ok(whole);
    }
    Ok(ask(&["--filter-platform".to_owned(), host()?])?)
}

/// The platform this compiler builds for by default.
fn host() -> Outcome<String> {
    let compiler = std::env::var_os("RUSTC").unwrap_or_else(|| "rustc".into());
    let output = std::process::Command::new(compiler).arg("-vV").output()?;
    let text = String::from_utf8(output.stdout)?;
    let line = text.lines().find_map(|line| line.strip_prefix("host: "));
    Ok(line
        .ok_or("the compiler does not name its host platform")?
        .to_owned())
}

fn packages(metadata: &Metadata) -> Vec<Package> {
    let package = |one: &cargo_metadata::Package| Package {
        name: one.name.to_string(),
        version: one.version.to_string(),
        licence: one.license.clone(),
        origin: match &one.source {
            None => Origin::Workspace,
            Some(source) if source.is_crates_io() => Origin::Registry,
            Some(source) => Origin::Elsewhere(source.to_string()),
        },
    };
    metadata.packages.iter().map(package).collect()
}

/// Crates whose licence is not accepted or whose origin is not the registry, and exceptions that are not needed.
fn judge(accepted: &Accepted, packages: &[Package]) -> Outcome<Vec<String>> {
    let parse = |texts: &[String]| {
        texts
            .iter()
            .map(|text| Licensee::parse(text))
            .collect::<Result<Vec<_>, _>>()
    };
    let common = parse(&accepted.allow)?;
    let mut problems = Vec::new();
    for package in packages {
        let Package { name, version, .. } = package;
        if let Origin::Elsewhere(source) = &package.origin {
            problems.push(format!(
                "`{name}` {version} comes from `{source}`, not from the registry"
            ));
        }
        let Some(licence) = &package.licence else {
            problems.push(format!("`{name}` {version} declares no licence"));
            continue;
        };
        let further = accepted.exception.iter().find(|one| one.name == *name);
        let further = further
            .map(|one| parse(&one.licences))
            .transpose()?
            .unwrap_or_default();
        match Expression::parse_mode(licence, ParseMode::LAX) {
            Err(error) => problems.push(format!(
                "`{name}` {version}: licence `{licence}` is no licence expression: {error}"
            )),
            Ok(terms)
                if !terms.evaluate(|term| common.iter().chain(&further).any(|one| one.satisfies(term))) =>
            {
                problems.push(format!(
                    "`{name}` {version}: licence `{licence}` is not accepted by `xtask/licences.toml`"
                ));
            }
            Ok(_) => {}
        }
    }
    for exception in &accepted.exception {
        if !packages.iter().any(|one| one.name == exception.name) {
            problems.push(format!(
                "exception for `{}`: no such crate in the graph, remove it",
                exception.name
            ));
        }
        if exception.reason.trim().is_empty() {
            problems.push(format!("exception for `{}`: no reason given", exception.name));
        }
    }
    Ok(problems)
}

/// Entries of the lock file that are neither of this workspace nor a registry crate with a checksum.
fn judge_lock(packages: &[Locked]) -> Vec<String> {
    let mut problems = Vec::new();
    for Locked {
        name,
        version,
        source,
        checksum,
    } in packages
    {
        let Some(source) = source else { continue };
        if !source.starts_with("registry+") {
            problems.push(format!(
                "`Cargo.lock`: `{name}` {version} comes from `{source}`, not from the registry"
            ));
        } else if checksum.is_none() {
            problems.push(format!("`Cargo.lock`: `{name}` {version} has no checksum"));
        }
    }
    problems
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_crate_has_an_accepted_licence() {
        let (problems, seen, unseen) = examine().unwrap();
        assert!(problems.is_empty(), "{}", problems.join("\n"));
        assert!(
            seen > 50 && unseen.len() < seen,
            "{seen} seen, {} not",
            unseen.len()
        );
    }

    fn judged(licence: Option<&str>, origin: Origin, exceptions: &str) -> Vec<String> {
        let accepted = format!("allow = ['MIT', 'Apache-2.0']\n{exceptions}");
        let package = Package {
            name: "pump".to_owned(),
            version: "1.0.0".to_owned(),
            licence: licence.map(str::to_owned),
            origin,
        };
        judge(&toml::from_str(&accepted).unwrap(), &[package]).unwrap()
    }

    #[test]
    fn one_accepted_term_of_an_or_is_enough_and_all_of_an_and_are_needed() {
        for good in [
            "MIT",
            "GPL-3.0-only OR MIT",
            "MIT/Apache-2.0",
            "MIT AND Apache-2.0",
            "LGPL-2.1-or-later OR Apache-2.0",
        ] {
            assert_eq!(judged(Some(good), Origin::Registry, ""), [""; 0], "{good}");
        }
        let bad = [
            "GPL-3.0-only",
            "MIT AND MPL-2.0",
            "Apache-2.0 WITH LLVM-exception",
            "Proprietary",
            "",
        ];
        for bad in bad {
            assert_eq!(judged(Some(bad), Origin::Registry, "").len(), 1, "{bad}");
        }
        assert_eq!(judged(None, Origin::Registry, "").len(), 1);
    }

    #[test]
    fn another_origin_fails() {
        let elsewhere = Origin::Elsewhere("git+https://example.org/pump".to_owned());
        assert_eq!(judged(Some("MIT"), elsewhere, "").len(), 1);
        assert_eq!(judged(Some("MIT"), Origin::Workspace, "").len(), 0);
    }

    #[test]
    fn an_exception_holds_for_its_crate_and_needs_a_reason() {
        let exception = |name: &str, reason: &str| {
            format!("[[exception]]\nname = '{name}'\nlicences = ['MPL-2.0']\nreason = '{reason}'\n")
        };
        assert_eq!(
            judged(
                Some("MPL-2.0"),
                Origin::Registry,
                &exception("pump", "unchanged use")
            ),
            [""; 0]
        );
        assert_eq!(
            judged(Some("MPL-2.0"), Origin::Registry, &exception("pump", "")).len(),
            1
        );
        assert_eq!(
            judged(
                Some("MPL-2.0"),
                Origin::Registry,
                &exception("valve", "unchanged use")
            )
            .len(),
            2
        );
    }

    #[test]
    fn the_lock_file_holds_registry_crates_with_checksums() {
        let locked = |source: Option<&str>, checksum: Option<&str>| Locked {
            name: "pump".to_owned(),
            version: "1.0.0".to_owned(),
            source: source.map(str::to_owned),
            checksum: checksum.map(str::to_owned),
        };
        assert_eq!(
            judge_lock(&[
                locked(None, None),
                locked(Some("registry+https://example.org"), Some("00"))
            ]),
            [""; 0]
        );
        assert_eq!(
            judge_lock(&[locked(Some("registry+https://example.org"), None)]).len(),
            1
        );
        assert_eq!(
            judge_lock(&[locked(Some("git+https://example.org/pump"), None)]).len(),
            1
        );
    }
}
