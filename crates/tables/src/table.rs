//! Reading an embedded table: a head of `# key: value` lines that names its source, then comma-separated rows.
//!
//! The head must have `document`, `where` and `status` (`seen`, `memory`, `common practice`, `computed`, or `per row`
//! when a column `status` says it row by row); it may have `edition`, `seen_in` and `note`.

use serde::de::DeserializeOwned;
use trace::{Source, SourceStatus};

/// A table as published: its source and its rows in the source's order.
#[derive(Debug, Clone)]
pub struct Table<Row> {
    /// Where it comes from.
    pub source: Source,
    /// The rows.
    pub rows: Vec<Row>,
}

/// Why an embedded table does not load.
#[derive(Debug, thiserror::Error)]
pub enum TableError {
    /// The head lacks a line.
    #[error("table `{table}`: the head has no `{key}` line")]
    Head {
        /// The table.
        table: String,
        /// The missing key.
        key: &'static str,
    },
    /// The head's status is not one of the known words.
    #[error("table `{table}`: status `{status}` is not seen, memory, common practice, computed or per row")]
    Status {
        /// The table.
        table: String,
        /// What it says.
        status: String,
    },
    /// A row does not fit.
    #[error("table `{table}`: {error}")]
    Row {
        /// The table.
        table: String,
        /// What is wrong with it.
        error: csv::Error,
    },
}

/// Reads a table from its text.
///
/// # Errors
/// When the head names no source or a row does not fit `Row`.
pub fn read<Row: DeserializeOwned>(table: &str, text: &str) -> Result<Table<Row>, TableError> {
    let head: Vec<(&str, &str)> = text
        .lines()
        .take_while(|line| line.starts_with('#'))
        .filter_map(|line| line.trim_start_matches('#').split_once(':'))
        .map(|(key, value)| (key.trim(), value.trim()))
        .collect();
    let line = |key: &str| {
        head.iter()
            .find(|(k, _)| *k == key)
            .map(|(_, value)| (*value).to_owned())
    };
    let need = |key: &'static str| {
        line(key).ok_or(TableError::Head {
            table: table.to_owned(),
            key,
        })
    };
    let status = match need("status")?.as_str() {
        "seen" => SourceStatus::Seen,
        "memory" | "per row" => SourceStatus::Memory,
        "common practice" => SourceStatus::CommonPractice,
        "computed" => SourceStatus::Computed,
        other => {
            return Err(TableError::Status {
                table: table.to_owned(),
                status: other.to_owned(),
            });
        }
    };
    let source = Source {
        document: need("document")?,
        edition: line("edition"),
        place: Some(need("where")?),
        status,
    };
    let rows = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes())
        .deserialize()
        .collect::<Result<Vec<Row>, _>>()
        .map_err(|error| TableError::Row {
            table: table.to_owned(),
            error,
        })?;
    Ok(Table { source, rows })
}

/// Reads an embedded table whose file this repository carries and tests.
///
/// # Panics
/// Never for a released build: each embedded table is loaded by a test.
pub fn embedded<Row: DeserializeOwned>(table: &str, text: &str) -> Table<Row> {
    read(table, text).unwrap_or_else(|error| panic!("embedded {error}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[derive(Debug, serde::Deserialize)]
    struct Row {
        size: String,
        value: Option<f64>,
    }

    #[test]
    fn a_head_is_required() {
        let good = "# document: A book\n# where: table 1\n# status: seen\nsize,value\n1/2,0.5\n3/4,\n";
        let table = read::<Row>("good", good).unwrap();
        assert_eq!(
            (table.rows.len(), table.rows[0].size.as_str(), table.rows[1].value),
            (2, "1/2", None)
        );
        let headless = read::<Row>("bad", "size,value\n1/2,0.5\n").unwrap_err();
        assert_eq!(headless.to_string(), "table `bad`: the head has no `status` line");
        let odd = read::<Row>("odd", "# document: B\n# where: x\n# status: maybe\nsize,value\n").unwrap_err();
        assert!(odd.to_string().contains("maybe"));
    }
}
