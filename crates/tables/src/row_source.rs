//! The source of one row of a table whose rows were not all read equally surely.
//!
//! In: the table's source and the row's status. Out: the row's own source. Knows no table.

use trace::{Source, SourceStatus};

/// The table's source with the row's own status.
pub(crate) fn row_source(table: &Source, status: SourceStatus) -> Source {
    Source {
        status,
        ..table.clone()
    }
}

/// The source of a row that names its own document.
pub(crate) fn row_document(document: &str, status: SourceStatus) -> Source {
    Source {
        document: document.to_owned(),
        edition: None,
        place: None,
        status,
    }
}
