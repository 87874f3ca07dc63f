//! The JSON Schemas in `docs/schema/`, made from the types themselves.
//!
//! In: the schemas that `jobfile` and `assess` make of their types. Out: a file each, or with `check` the complaint that
//! they differ from the types. A test does the same, so a change of the types cannot leave them behind. Knows no field by
//! name.

use crate::Outcome;
use crate::tree::{Problem, root};
use std::path::Path;

const FOLDER: &str = "docs/schema";

/// Writes the schemas, or with `check` compares them with what stands there.
pub(crate) fn run(check: bool) -> Outcome {
    let folder = root().join(FOLDER);
    if check {
        let problems = differences(&folder)?;
        for problem in &problems {
            println!("schema: {problem}");
        }
        return if problems.is_empty() {
            Ok(())
        } else {
            Err("`cargo xtask schema` writes them anew".into())
        };
    }
    std::fs::create_dir_all(&folder)?;
    for (name, text) in schemas()? {
        std::fs::write(folder.join(name), text)
            .map_err(|error| format!("cannot write `{FOLDER}/{name}`: {error}"))?;
        println!("wrote {FOLDER}/{name}");
    }
    Ok(())
}

/// Each file by name with the text it should hold.
fn schemas() -> Outcome<[(&'static str, String); 4]> {
    let record = serde_json::to_string_pretty(&jobfile::schema())?;
    let assessment = serde_json::to_string_pretty(&assess::schema())?;
    let comparison = serde_json::to_string_pretty(&assess::comparison_schema())?;
    let change_over = serde_json::to_string_pretty(&assess::changeover::schema())?;
    Ok([
        ("job.schema.json", record + "\n"),
        ("assessment.schema.json", assessment + "\n"),
        ("edition-comparison.schema.json", comparison + "\n"),
        ("change-over.schema.json", change_over + "\n"),
    ])
}

/// Files that are missing or hold something else than they should.
fn differences(folder: &Path) -> Outcome<Vec<Problem>> {
    let mut problems = Vec::new();
    for (name, wanted) in schemas()? {
        let path = format!("{FOLDER}/{name}");
        match std::fs::read_to_string(folder.join(name)) {
            Err(_) => problems.push(Problem::new(path, 0, "is missing")),
            Ok(found) if found != wanted => {
                let pairs = found.lines().zip(wanted.lines());
                let line = pairs.take_while(|(found, wanted)| found == wanted).count() + 1;
                problems.push(Problem::new(path, line, "differs from the types from here on"));
            }
            Ok(_) => {}
        }
    }
    Ok(problems)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn published_schemas_follow_the_types() {
        let problems: Vec<String> = differences(&root().join(FOLDER))
            .unwrap()
            .iter()
            .map(ToString::to_string)
            .collect();
        assert!(
            problems.is_empty(),
            "run `cargo xtask schema`:\n{}",
            problems.join("\n")
        );
    }

    #[test]
    fn a_missing_or_changed_schema_is_told_with_its_line() {
        let folder = std::env::temp_dir().join(format!("xtask-schema-{}", std::process::id()));
        std::fs::create_dir_all(&folder).unwrap();
        let schemas = schemas().unwrap();
        assert_eq!(differences(&folder).unwrap().len(), schemas.len());
        for (name, text) in &schemas {
            std::fs::write(folder.join(name), text.replacen("\"$id\"", "\"$di\"", 1)).unwrap();
        }
        let problems = differences(&folder).unwrap();
        std::fs::remove_dir_all(&folder).unwrap();
        assert_eq!(problems.len(), schemas.len());
        assert!(problems.iter().all(|problem| problem.line > 1), "{problems:?}");
    }
}
