//! A table: columns that say how they want to stand, rows of cells.

use super::Text;
use crate::legible;

/// How the cells of a column stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Align {
    /// Words.
    #[default]
    Left,
    /// Figures.
    Right,
    /// Marks.
    Center,
}

/// How much room a column wants.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum ColumnWidth {
    /// As wide as its cells, if there is room.
    #[default]
    Fit,
    /// This many parts of what the fitted columns leave.
    Share(u8),
}

/// One column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Column {
    /// Its heading.
    pub head: String,
    /// How its cells stand.
    pub align: Align,
    /// How much room it wants.
    pub width: ColumnWidth,
}

impl Column {
    /// A column of words, as wide as its cells.
    pub fn words(head: impl Into<String>) -> Self {
        Self {
            head: head.into(),
            align: Align::Left,
            width: ColumnWidth::Fit,
        }
    }

    /// A column of figures, as wide as its cells.
    pub fn figures(head: impl Into<String>) -> Self {
        Self {
            align: Align::Right,
            ..Self::words(head)
        }
    }

    /// A column of short marks, centered.
    pub fn marks(head: impl Into<String>) -> Self {
        Self {
            align: Align::Center,
            ..Self::words(head)
        }
    }

    /// The same column, wanting `parts` of the room left by fitted columns.
    pub fn share(mut self, parts: u8) -> Self {
        self.width = ColumnWidth::Share(parts.max(1));
        self
    }
}

/// What a row is among its neighbors.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum RowRole {
    /// One row of many.
    #[default]
    Plain,
    /// The row that matters.
    Strong,
    /// Names the rows below it; its cells are read as one line across the table.
    Group,
    /// Sums up the rows above it.
    Total,
}

/// One row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// What it is among its neighbors.
    pub role: RowRole,
    cells: Vec<Text>,
}

impl Row {
    /// The cells, one a column.
    pub fn cells(&self) -> &[Text] {
        &self.cells
    }

    /// All cells as one line, for a [`RowRole::Group`].
    pub fn across(&self) -> Text {
        let mut line = Text::new();
        for cell in self.cells.iter().filter(|cell| !cell.is_blank()) {
            if !line.is_blank() {
                line = line.plain(" ");
            }
            line = line.append(cell);
        }
        line
    }
}

/// A table.
///
/// ```
/// use papers::document::{Column, RowRole, Table};
/// let table = Table::new([Column::words("Circuit"), Column::figures("Amperes")])
///     .row(["Range", "40"])
///     .row_as(RowRole::Total, ["Sum", "40"]);
/// assert_eq!(table.rows().len(), 2);
/// ```
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table {
    /// What the table shows.
    pub caption: Option<String>,
    /// Whether the first cell of a row names the row.
    pub named_rows: bool,
    columns: Vec<Column>,
    rows: Vec<Row>,
}

impl Table {
    /// A table without rows. There is always one column at least.
    pub fn new(columns: impl IntoIterator<Item = Column>) -> Self {
        let mut columns: Vec<Column> = columns.into_iter().collect();
        if columns.is_empty() {
            columns.push(Column::words(""));
        }
        Self {
            caption: None,
            named_rows: false,
            columns,
            rows: Vec::new(),
        }
    }

    /// The same table with a caption.
    pub fn captioned(mut self, caption: impl Into<String>) -> Self {
        self.caption = Some(caption.into());
        self
    }

    /// The same table, the first cell of each row being its name.
    pub fn with_named_rows(mut self) -> Self {
        self.named_rows = true;
        self
    }

    /// Adds a plain row.
    pub fn row<T: Into<Text>>(self, cells: impl IntoIterator<Item = T>) -> Self {
        self.row_as(RowRole::Plain, cells)
    }

    /// Adds a row with a role of its own.
    pub fn row_as<T: Into<Text>>(mut self, role: RowRole, cells: impl IntoIterator<Item = T>) -> Self {
        self.push(role, cells.into_iter().map(Into::into).collect());
        self
    }

    /// Adds a row. Missing cells stay empty; surplus cells are kept by joining them to the last column's.
    pub fn push(&mut self, role: RowRole, mut cells: Vec<Text>) {
        let n_columns = self.columns.len();
        let surplus = cells.split_off(cells.len().min(n_columns));
        cells.resize(n_columns, Text::new());
        if let Some(last) = cells.last_mut() {
            for cell in surplus.iter().filter(|cell| !cell.is_blank()) {
                *last = std::mem::take(last).plain(" ").append(cell);
            }
        }
        self.rows.push(Row { role, cells });
    }

    /// The columns.
    pub fn columns(&self) -> &[Column] {
        &self.columns
    }

    /// Whether any column has a heading.
    pub(crate) fn is_headed(&self) -> bool {
        self.columns.iter().any(|column| !legible::is_blank(&column.head))
    }

    /// The rows.
    pub fn rows(&self) -> &[Row] {
        &self.rows
    }
}
