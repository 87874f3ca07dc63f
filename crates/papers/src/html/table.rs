//! Markup of a table: heads with scope, groups as bodies of their own, and a frame that scrolls on a narrow screen.

use super::inline::{line, text};
use crate::document::{Align, ColumnWidth, Row, RowRole, Table};
use crate::legible;
use maud::{Markup, html};

pub(super) fn markup(table: &Table) -> Markup {
    let n_columns = table.columns().len();
    let caption = table.caption.as_deref().map(legible::line);
    html! {
        // A frame that scrolls must be reachable by keyboard and have a name.
        div.frame tabindex="0" role="group" aria-label=[caption.clone().or_else(|| first_head(table))] {
            table {
                @if let Some(caption) = &caption { caption dir="auto" { (caption) } }
                @if table.is_headed() {
                    thead {
                        tr {
                            @for column in table.columns() {
                                th scope="col" class=(class(column.align, column.width)) dir="auto" { (line(&column.head)) }
                            }
                        }
                    }
                }
                @for body in bodies(table.rows()) {
                    tbody {
                        @for row in body { (row_markup(row, table, n_columns)) }
                    }
                }
            }
        }
    }
}

fn row_markup(row: &Row, table: &Table, n_columns: usize) -> Markup {
    let role = match row.role {
        RowRole::Plain => None,
        RowRole::Strong => Some("strong"),
        RowRole::Group => Some("group"),
        RowRole::Total => Some("total"),
    };
    html! {
        tr class=[role] {
            @if row.role == RowRole::Group {
                th scope="rowgroup" colspan=(n_columns) dir="auto" { (text(&row.across())) }
            } @else {
                @for (index, (cell, column)) in row.cells().iter().zip(table.columns()).enumerate() {
                    @let class = class(column.align, column.width);
                    @if index == 0 && table.named_rows {
                        th scope="row" class=(class) dir="auto" { (text(cell)) }
                    } @else {
                        td class=(class) dir="auto" { (text(cell)) }
                    }
                }
            }
        }
    }
}

/// The rows parted before each group.
fn bodies(rows: &[Row]) -> impl Iterator<Item = &[Row]> {
    rows.chunk_by(|_, next| next.role != RowRole::Group)
}

fn first_head(table: &Table) -> Option<String> {
    table
        .columns()
        .iter()
        .map(|column| legible::line(&column.head))
        .find(|head| !legible::is_blank(head))
}

fn class(align: Align, width: ColumnWidth) -> &'static str {
    match (align, width) {
        (Align::Left, ColumnWidth::Share(_)) => "left wide",
        (Align::Left, ColumnWidth::Fit) => "left",
        (Align::Right, _) => "right",
        (Align::Center, _) => "center",
    }
}
