//! House rules that a machine can check; each check gives a list of problems with their places.
//!
//! In: the checkout and the manifests of the workspace. Out: problems (they fail) and warnings (they are shown). Start at
//! [`CHECKS`]. The same checks run as tests at the end of this file, on the real tree; each module shows on made-up input
//! that its check can fail. `unwrap` outside tests is left to clippy, which every crate must opt into (see `manifests`).

mod claims;
mod decisions;
mod headers;
mod layers;
mod manifests;
mod map;
mod paths;
mod purity;
mod readmes;
mod words;

use crate::Outcome;
use crate::tree::{Problem, Tree};
pub(crate) use layers::{Layers, pure_crates};

/// What the checks look at.
struct House {
    tree: Tree,
    layers: Layers,
    crates: Vec<layers::Member>,
}

impl House {
    fn read() -> Outcome<Self> {
        Ok(Self {
            tree: Tree::read()?,
            layers: Layers::read()?,
            crates: layers::members()?,
        })
    }
}

type Check = (&'static str, fn(&House) -> Vec<Problem>);

/// Every check by name.
const CHECKS: [Check; 11] = [
    ("layers", |house| layers::check(&house.layers, &house.crates)),
    ("map", |house| map::check(&house.tree, &house.layers)),
    ("paths", |house| paths::check(&house.tree)),
    ("headers", |house| headers::check(&house.tree)),
    ("words", |house| words::check(&house.tree, &crate::tree::root())),
    ("claims", |house| claims::check(&house.tree)),
    ("purity", |house| purity::check(&house.tree, &house.layers)),
    ("readmes", |house| readmes::check(&house.tree, &house.crates)),
    ("manifests", |house| manifests::check(&house.tree, &house.crates)),
    ("decisions", |house| decisions::check(&house.tree)),
    ("allowed claims", |house| claims::check_allowed(&house.tree)),
];

/// Runs every check and prints what it finds.
pub(crate) fn run() -> Outcome {
    let house = House::read()?;
    for warning in headers::long_files(&house.tree) {
        println!("warning: {warning}");
    }
    let mut count = 0;
    for (name, check) in CHECKS {
        for problem in check(&house) {
            println!("{name}: {problem}");
            count += 1;
        }
    }
    match count {
        0 => println!("tidy: {} checks, no problem", CHECKS.len()),
        _ => return Err(format!("tidy found {count} problems").into()),
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn passes(name: &str) {
        let (_, check) = CHECKS.into_iter().find(|(one, _)| *one == name).unwrap();
        let problems: Vec<String> = check(&House::read().unwrap())
            .iter()
            .map(ToString::to_string)
            .collect();
        assert!(
            problems.is_empty(),
            "{} problems:\n{}",
            problems.len(),
            problems.join("\n")
        );
    }

    macro_rules! on_the_real_tree {
        ($($test:ident => $name:literal)*) => {
            $(#[test] fn $test() { passes($name); })*

            #[test]
            fn every_check_is_run() {
                let run = [$($name),*];
                assert_eq!(CHECKS.map(|(name, _)| name), run);
            }
        };
    }

    on_the_real_tree! {
        crates_depend_only_on_lower_rows => "layers"
        the_map_names_every_crate => "map"
        documents_name_paths_that_exist => "paths"
        files_have_headers_and_bearable_length => "headers"
        no_forbidden_word_stands_in_the_project => "words"
        no_text_claims_what_we_cannot_know => "claims"
        pure_crates_reach_nothing_outside => "purity"
        every_crate_has_a_readme => "readmes"
        every_manifest_takes_the_house_lints => "manifests"
        decisions_have_their_form => "decisions"
        exceptions_for_claims_are_in_use => "allowed claims"
    }
}
