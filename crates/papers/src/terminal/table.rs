//! Lines of a table: columns side by side while their words stay whole, otherwise row after row.

use super::block::{piece, pieces};
use super::line::{Face, Line, Piece};
use super::wrap::{wishes, wrap};
use crate::document::{Align, ColumnWidth, Row, RowRole, Table};
use crate::legible;

/// Blank columns between two columns of cells.
const GAP: usize = 2;
/// The longest word that a column makes room for; longer ones are broken.
const WORD_MAX: usize = 18;

pub(super) fn lines(table: &Table, width: usize) -> Vec<Line> {
    let mut lines = Vec::new();
    if let Some(caption) = &table.caption {
        lines.extend(wrap(&piece(Face::Strong, caption), width));
    }
    match column_widths(table, width) {
        Some(widths) => lines.extend(side_by_side(table, &widths, width)),
        None => lines.extend(row_after_row(table, width)),
    }
    lines
}

/// The width of each column, or none if they cannot stand side by side.
fn column_widths(table: &Table, width: usize) -> Option<Vec<usize>> {
    let n_columns = table.columns().len();
    let room = width.checked_sub(GAP * (n_columns - 1))?;
    let wished: Vec<(usize, usize)> = (0..n_columns).map(|index| column_wishes(table, index)).collect();
    let natural: Vec<usize> = wished.iter().map(|(line, _)| *line).collect();
    if natural.iter().sum::<usize>() <= room {
        return Some(natural);
    }

    // Begin with the longest words, then hand out what is left.
    let mut widths: Vec<usize> = wished.iter().map(|(_, word)| (*word).min(WORD_MAX)).collect();
    if widths.iter().sum::<usize>() > room {
        return None;
    }
    for _ in widths.iter().sum::<usize>()..room {
        let neediest = (0..n_columns)
            .filter(|index| widths[*index] < natural[*index])
            .min_by_key(|index| match table.columns()[*index].width {
                // Fitted columns are served first, then shared ones by their parts.
                ColumnWidth::Fit => (0, widths[*index]),
                ColumnWidth::Share(parts) => (1, widths[*index] * 256 / usize::from(parts.max(1))),
            });
        match neediest {
            Some(index) => widths[index] += 1,
            None => break,
        }
    }
    Some(widths)
}

/// Columns of the widest cell and of the longest word of a column; at least one.
fn column_wishes(table: &Table, index: usize) -> (usize, usize) {
    let head = wishes(&piece(Face::Strong, &table.columns()[index].head));
    table
        .rows()
        .iter()
        .filter(|row| row.role != RowRole::Group)
        .map(|row| wishes(&cell_pieces(row, index)))
        .fold(head, |most, cell| (most.0.max(cell.0), most.1.max(cell.1)))
        .max((1, 1))
}

/// A cell; the row that matters carries a mark, since its weight may not be shown.
fn cell_pieces(row: &Row, index: usize) -> Vec<Piece> {
    let mut cell = pieces(&row.cells()[index]);
    if row.role == RowRole::Strong && index == 0 {
        cell.insert(0, Piece::plain("> "));
    }
    cell
}

fn side_by_side(table: &Table, widths: &[usize], width: usize) -> Vec<Line> {
    let whole = (widths.iter().sum::<usize>() + GAP * (widths.len() - 1)).min(width);
    let mut lines = Vec::new();
    if table.is_headed() {
        let heads: Vec<Vec<Piece>> = table
            .columns()
            .iter()
            .map(|column| piece(Face::Strong, &column.head).to_vec())
            .collect();
        lines.extend(row_lines(table, &heads, widths));
        lines.push(columns_rule(widths));
    }
    for (index, row) in table.rows().iter().enumerate() {
        if row.role == RowRole::Group {
            if index > 0 {
                lines.push(Line::blank());
            }
            let name = pieces(&row.across());
            lines.extend(
                wrap(&name, width)
                    .into_iter()
                    .map(|line| line.faced(Face::Strong)),
            );
            continue;
        }
        if row.role == RowRole::Total {
            lines.push(Line::rule('-', whole));
        }
        let cells: Vec<Vec<Piece>> = (0..widths.len()).map(|index| cell_pieces(row, index)).collect();
        let face = if row.role == RowRole::Plain {
            Face::Plain
        } else {
            Face::Strong
        };
        lines.extend(
            row_lines(table, &cells, widths)
                .into_iter()
                .map(|line| line.faced(face)),
        );
    }
    lines
}

fn columns_rule(widths: &[usize]) -> Line {
    let marks: Vec<String> = widths.iter().map(|width| "-".repeat(*width)).collect();
    Line::of([Piece::new(Face::Quiet, marks.join(&" ".repeat(GAP)))])
}

fn row_lines(table: &Table, cells: &[Vec<Piece>], widths: &[usize]) -> Vec<Line> {
    let wrapped: Vec<Vec<Line>> = cells
        .iter()
        .zip(widths)
        .map(|(cell, width)| wrap(cell, *width))
        .collect();
    let height = wrapped.iter().map(Vec::len).max().unwrap_or(0);
    (0..height)
        .map(|at| {
            let mut line = Line::blank();
            for (index, column) in table.columns().iter().enumerate() {
                if index > 0 {
                    line.space(GAP);
                }
                let part = wrapped[index].get(at).cloned().unwrap_or_default();
                let spare = widths[index].saturating_sub(part.columns());
                let before = match column.align {
                    Align::Left => 0,
                    Align::Right => spare,
                    Align::Center => spare / 2,
                };
                line.space(before);
                line.append(part);
                line.space(spare - before);
            }
            line
        })
        .collect()
}

/// Each cell on lines of its own behind the head of its column.
fn row_after_row(table: &Table, width: usize) -> Vec<Line> {
    let mut lines = Vec::new();
    for (index, row) in table.rows().iter().enumerate() {
        if index > 0 {
            lines.push(Line::blank());
        }
        if row.role == RowRole::Group {
            let name = pieces(&row.across());
            lines.extend(
                wrap(&name, width)
                    .into_iter()
                    .map(|line| line.faced(Face::Strong)),
            );
            continue;
        }
        for (index, column) in table.columns().iter().enumerate() {
            if row.cells()[index].is_blank() {
                continue;
            }
            let mut words = Vec::new();
            let head = legible::line(&column.head);
            if !legible::is_blank(&head) {
                words.push(Piece::new(Face::Quiet, format!("{head}: ")));
            }
            words.extend(cell_pieces(row, index));
            lines.extend(super::block::hanging(Line::blank(), 0, &words, width));
        }
    }
    if table.rows().is_empty() {
        for column in table.columns() {
            lines.extend(wrap(&piece(Face::Strong, &column.head), width));
        }
    }
    lines
}
