//! The checkout as texts, and the problems found in it.
//!
//! In: the folder above `xtask/`. Out: every text file by its path below that folder, in order. Start at [`Tree`]. Leaves
//! out what is built (any folder that cargo marks as a cache) and hidden folders other than `.ci` and `.cargo`.

use crate::Outcome;
use std::fmt;
use std::path::{Path, PathBuf};

/// One thing to mend.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Problem {
    /// File below the root.
    pub(crate) path: String,
    /// Line, counted from 1; 0 where the whole file is meant.
    pub(crate) line: usize,
    /// What is wrong and what to do.
    pub(crate) text: String,
}

impl Problem {
    pub(crate) fn new(path: impl Into<String>, line: usize, text: impl Into<String>) -> Self {
        Self {
            path: path.into(),
            line,
            text: text.into(),
        }
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.line {
            0 => write!(f, "{}: {}", self.path, self.text),
            line => write!(f, "{}:{line}: {}", self.path, self.text),
        }
    }
}

/// One text file.
#[derive(Debug)]
pub(crate) struct File {
    /// Path below the root, with `/` between folders.
    pub(crate) path: String,
    /// Its content.
    pub(crate) text: String,
}

impl File {
    /// Whether the name ends this way (`.rs`).
    pub(crate) fn ends_with(&self, end: &str) -> bool {
        self.path.ends_with(end)
    }
}

/// All text files, sorted by path.
#[derive(Debug)]
pub(crate) struct Tree {
    pub(crate) files: Vec<File>,
}

impl Tree {
    /// Reads the checkout.
    pub(crate) fn read() -> Outcome<Self> {
        let root = root();
        let mut files = Vec::new();
        walk(&root, &root, &mut files)?;
        files.sort_by(|a, b| a.path.cmp(&b.path));
        Ok(Self { files })
    }

    /// The text of one file.
    pub(crate) fn text(&self, path: &str) -> Option<&str> {
        let at = self.files.binary_search_by(|file| file.path.as_str().cmp(path));
        at.ok().map(|at| self.files[at].text.as_str())
    }

    /// Whether a file or a folder stands at this path.
    pub(crate) fn holds(&self, path: &str) -> bool {
        let path = path.trim_end_matches('/');
        let below = |file: &File| {
            file.path
                .strip_prefix(path)
                .is_some_and(|rest| rest.starts_with('/'))
        };
        self.text(path).is_some() || self.files.iter().any(below)
    }

    /// Files with this ending.
    pub(crate) fn with_ending<'a>(&'a self, end: &'a str) -> impl Iterator<Item = &'a File> {
        self.files.iter().filter(move |file| file.ends_with(end))
    }

    /// A made-up tree for tests of checks.
    #[cfg(test)]
    pub(crate) fn of(files: &[(&str, &str)]) -> Self {
        let file = |(path, text): &(&str, &str)| File {
            path: (*path).to_owned(),
            text: (*text).to_owned(),
        };
        let mut files: Vec<File> = files.iter().map(file).collect();
        files.sort_by(|a, b| a.path.cmp(&b.path));
        Self { files }
    }
}

/// The folder of the checkout: the one cargo runs this from, which need not be the one it was built in when several
/// checkouts share a build folder.
pub(crate) fn root() -> PathBuf {
    let own = std::env::var_os("CARGO_MANIFEST_DIR").map(PathBuf::from);
    let own = own
        .filter(|folder| folder.ends_with("xtask"))
        .unwrap_or_else(|| env!("CARGO_MANIFEST_DIR").into());
    own.parent().unwrap_or(&own).to_path_buf()
}

/// The line of a manifest on which this dependency stands; 0 if on none.
pub(crate) fn line_of_key(manifest: &str, key: &str) -> usize {
    let begins = |line: &str| {
        line.strip_prefix(key)
            .is_some_and(|rest| rest.starts_with(['.', ' ', '=']))
    };
    manifest.lines().position(begins).map_or(0, |at| at + 1)
}

fn walk(root: &Path, folder: &Path, files: &mut Vec<File>) -> Outcome {
    const BUILT: [&str; 4] = ["target", "out", "node_modules", "__pycache__"];
    const HIDDEN: [&str; 2] = [".ci", ".cargo"];
    if folder.join("CACHEDIR.TAG").exists() {
        return Ok(());
    }
    let reading = |error: std::io::Error| format!("cannot read `{}`: {error}", folder.display());
    for entry in std::fs::read_dir(folder).map_err(reading)? {
        let entry = entry.map_err(reading)?;
        let (path, name) = (entry.path(), entry.file_name());
        let name = name.to_string_lossy();
        if entry.file_type().map_err(reading)?.is_dir() {
            let top = folder == root;
            let hidden = name.starts_with('.') && !HIDDEN.contains(&name.as_ref());
            let built = top && BUILT.contains(&name.as_ref());
            if !hidden && !built {
                walk(root, &path, files)?;
            }
        // A file that is not text (a font, a picture) holds nothing to check; one that vanishes meanwhile is no matter.
        } else if let Ok(text) = std::fs::read_to_string(&path) {
            let below = path.strip_prefix(root).unwrap_or(&path);
            let parts: Vec<_> = below
                .components()
                .map(|part| part.as_os_str().to_string_lossy())
                .collect();
            files.push(File {
                path: parts.join("/"),
                text,
            });
        }
    }
    Ok(())
}
