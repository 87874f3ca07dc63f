//! Published check values for tests: one file a source, read from the `checks/` folder.
//!
//! In: a file name below `checks/`. Out: its source and cases, with a comparison that names case, source and tolerance
//! when it fails. Start at [`load`]. A development dependency only; panics are its way of failing a test.
//! `checks/README.md` says how to write a file.

use serde::Deserialize;
use std::collections::BTreeMap;
use std::path::Path;

/// One file: a source and the cases taken from it.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CheckFile {
    /// Where the values come from.
    pub source: CheckSource,
    /// The cases.
    #[serde(rename = "case")]
    pub cases: Vec<Case>,
}

/// Where the values of a file come from.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CheckSource {
    /// The document.
    pub document: String,
    /// Its edition, where it has one.
    pub edition: Option<String>,
    /// Table, example or page.
    #[serde(rename = "where")]
    pub place: String,
    /// `seen`, `memory` or `common practice`.
    pub status: String,
    /// The page itself, or the page quoting it.
    pub seen_in: Option<String>,
    /// `published`, `independent`, `measured` or `recorded`.
    pub kind: String,
    /// Anything a reader should know, such as a known misprint.
    pub note: Option<String>,
}

/// One case: what is given and what must come out.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Case {
    /// Name of the case, unique in its file.
    pub id: String,
    /// Inputs by name; numbers or texts.
    #[serde(default)]
    pub given: BTreeMap<String, toml::Value>,
    /// Results by name.
    pub expect: BTreeMap<String, toml::Value>,
    /// How close is close enough.
    #[serde(default)]
    pub tolerance: Tolerance,
    /// A remark: status of this row, a known difference.
    pub note: Option<String>,
}

/// How close a result has to be.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Tolerance {
    /// Relative to the expected value.
    pub relative: Option<f64>,
    /// In the expected value's own unit.
    pub absolute: Option<f64>,
    /// Why this much.
    pub why: Option<String>,
}

/// Reads `checks/<name>`.
///
/// # Panics
/// When the file is missing, malformed, has no case, or gives neither a tolerance nor text to compare.
pub fn load(name: &str) -> CheckFile {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../checks")
        .join(name);
    let text = std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    let file: CheckFile = toml::from_str(&text).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    assert!(!file.cases.is_empty(), "{name}: no case");
    let status = file.source.status.as_str();
    assert!(
        ["seen", "memory", "common practice", "computed"].contains(&status),
        "{name}: status {status}"
    );
    file
}

impl Case {
    /// A given number.
    ///
    /// # Panics
    /// When the case does not give it as a number.
    pub fn given(&self, name: &str) -> f64 {
        number(self.given.get(name)).unwrap_or_else(|| panic!("case {}: no number `{name}` given", self.id))
    }

    /// A given text.
    ///
    /// # Panics
    /// When the case does not give it as text.
    pub fn given_text(&self, name: &str) -> &str {
        self.given
            .get(name)
            .and_then(toml::Value::as_str)
            .unwrap_or_else(|| panic!("case {}: no text `{name}` given", self.id))
    }

    /// An expected number, if the case has it.
    pub fn expected(&self, name: &str) -> Option<f64> {
        number(self.expect.get(name))
    }

    /// An expected text, if the case has it.
    pub fn expected_text(&self, name: &str) -> Option<&str> {
        self.expect.get(name).and_then(toml::Value::as_str)
    }

    /// Compares a result with the expected value of that name within the case's tolerance.
    ///
    /// # Panics
    /// When it differs by more, or the case expects no such number or states no tolerance.
    pub fn close(&self, name: &str, found: f64) {
        let wanted = self
            .expected(name)
            .unwrap_or_else(|| panic!("case {}: nothing expected for `{name}`", self.id));
        let absolute = self.tolerance.absolute.unwrap_or(0.0);
        let relative = self.tolerance.relative.unwrap_or(0.0) * wanted.abs();
        assert!(
            self.tolerance.absolute.is_some() || self.tolerance.relative.is_some(),
            "case {}: no tolerance stated",
            self.id
        );
        let difference = (found - wanted).abs();
        assert!(
            difference <= absolute.max(relative),
            "case {}: `{name}` is {found}, the source says {wanted} (off by {difference}, allowed {})",
            self.id,
            absolute.max(relative)
        );
    }
}

fn number(value: Option<&toml::Value>) -> Option<f64> {
    match value? {
        toml::Value::Float(number) => Some(*number),
        #[allow(clippy::cast_precision_loss)]
        toml::Value::Integer(number) => Some(*number as f64),
        _ => None,
    }
}
