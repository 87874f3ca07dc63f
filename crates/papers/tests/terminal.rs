//! The terminal printer: the words of the specimen, and lines that stay within their columns whatever is printed.

#[path = "specimen/any.rs"]
mod any;
#[path = "specimen/document.rs"]
mod specimen;

use papers::document::{Block, Column, Document, Head, Table};
use papers::terminal::{self, Look};
use proptest::prelude::*;
use unicode_width::{UnicodeWidthChar as _, UnicodeWidthStr as _};

fn plain(document: &Document, columns: usize) -> String {
    terminal::print(
        document,
        Look {
            columns,
            styled: false,
        },
    )
}

/// A styled page without its styles; fails on any other control sequence.
fn unstyled(page: &str) -> String {
    let mut plain = String::new();
    let mut rest = page;
    while let Some((before, after)) = rest.split_once('\u{1b}') {
        plain.push_str(before);
        let (sequence, tail) = after.split_once('m').expect("an escape is a style");
        assert!(
            sequence
                .strip_prefix('[')
                .is_some_and(|s| s.chars().all(|c| c.is_ascii_digit() || c == ';')),
            "{sequence:?}"
        );
        rest = tail;
    }
    plain + rest
}

#[test]
fn specimen_on_eighty_columns() {
    insta::assert_snapshot!(plain(&specimen::document(), 80));
}

#[test]
fn specimen_on_forty_columns() {
    insta::assert_snapshot!(plain(&specimen::document(), 40));
}

#[test]
fn styles_add_nothing_but_style() {
    let document = specimen::document();
    let styled = terminal::print(
        &document,
        Look {
            columns: 80,
            styled: true,
        },
    );
    assert!(styled.contains('\u{1b}'));
    assert_eq!(unstyled(&styled), plain(&document, 80));
    assert_eq!(terminal::print(&document, Look::default()), plain(&document, 80));
}

#[test]
fn columns_of_figures_end_below_each_other() {
    let mut document = Document::new("t", Head::new("j", jiff::civil::date(2026, 3, 14)));
    document.push(Block::Table(
        Table::new([Column::words("Pipe"), Column::figures("Liters")])
            .row(["冷水", "1.5"])
            .row(["hot", "12.5"]),
    ));
    let page = plain(&document, 40);
    let rows: Vec<&str> = page.lines().filter(|line| line.ends_with(".5")).collect();
    assert_eq!(rows.len(), 2);
    assert_eq!(rows[0].width(), rows[1].width());
}

#[test]
fn too_many_columns_become_rows_of_labeled_cells() {
    let mut document = Document::new("t", Head::new("j", jiff::civil::date(2026, 3, 14)));
    let columns = (1..=9).map(|n| Column::words(format!("measurement {n}")));
    let cells = (1..=9).map(|n| format!("value number {n}"));
    document.push(Block::Table(Table::new(columns).row(cells)));
    let page = plain(&document, 60);
    assert!(page.contains("measurement 9: value number 9"), "{page}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn no_line_is_wider_than_asked_for(document in any::document(), columns in 0_usize..140) {
        let allowed = columns.max(Look::COLUMNS_MIN);
        let page = plain(&document, columns);
        for line in page.lines() {
            prop_assert!(line.width() <= allowed, "{} > {allowed}: {line:?}", line.width());
            let drawn: usize = line.chars().map(|c| c.width().expect("no control character")).sum();
            prop_assert!(drawn <= allowed, "{drawn} > {allowed}: {line:?}");
            prop_assert!(!line.ends_with(' '), "{line:?}");
        }
        prop_assert_eq!(&page, &plain(&document, columns));
        let styled = terminal::print(&document, Look { columns, styled: true });
        prop_assert_eq!(unstyled(&styled), page);
    }
}
