//! Conductor sizes that are made, by metal.
//!
//! In: a size and perhaps a metal. Out: a problem when no such conductor is sold. The list is
//! `data/tables/record/conductor_sizes.csv`. Knows no ampacity.

use super::Problems;
use crate::ConductorMaterial;
use quantity::ConductorSize;
use std::sync::LazyLock;
use trace::RecordPath;

/// A size of the trade and the metals it is made in.
#[derive(Debug)]
struct TradeSize {
    size: ConductorSize,
    copper: bool,
    aluminum: bool,
}

impl TradeSize {
    fn made_of(&self, material: Option<ConductorMaterial>) -> bool {
        match material {
            Some(ConductorMaterial::Copper) => self.copper,
            Some(ConductorMaterial::Aluminum) => self.aluminum,
            None => self.copper || self.aluminum,
        }
    }
}

static SIZES: LazyLock<Vec<TradeSize>> =
    LazyLock::new(|| read(include_str!("../../../../data/tables/record/conductor_sizes.csv")));

/// Rows of the table; a row that does not read is left out, and a test counts the rows.
fn read(table: &str) -> Vec<TradeSize> {
    let rows = table.lines().filter(|line| !line.starts_with('#')).skip(1);
    rows.filter_map(|row| {
        let mut cells = row.split(',');
        Some(TradeSize {
            size: cells.next()?.parse().ok()?,
            copper: cells.next()? == "yes",
            aluminum: cells.next()? == "yes",
        })
    })
    .collect()
}

/// The conductor in `field` of `subject` must be made in its metal.
pub(super) fn check(
    at: &RecordPath,
    field: &str,
    subject: &str,
    size: impl Into<Option<ConductorSize>>,
    material: impl Into<Option<ConductorMaterial>>,
    problems: &mut Problems,
) {
    let (Some(size), material) = (size.into(), material.into()) else {
        return;
    };
    if SIZES
        .iter()
        .any(|trade| trade.size == size && trade.made_of(material))
    {
        return;
    }
    let metal = match material {
        Some(ConductorMaterial::Copper) => "copper ",
        Some(ConductorMaterial::Aluminum) => "aluminum ",
        None => "",
    };
    problems.add(
        at.field(field),
        format!("{field} of {subject} is `{size}`, but no {metal}building wire is made in that size"),
        fix(size, material),
    );
}

/// The sizes next to `size` that are made.
fn fix(size: ConductorSize, material: Option<ConductorMaterial>) -> String {
    let metric = |size: ConductorSize| matches!(size, ConductorSize::SquareMillimeterTenths(_));
    let made: Vec<ConductorSize> = SIZES
        .iter()
        .filter(|trade| trade.made_of(material) && metric(trade.size) == metric(size))
        .map(|trade| trade.size)
        .collect();
    let smaller = made.iter().rev().find(|made| made.area() < size.area());
    let larger = made.iter().find(|made| made.area() > size.area());
    match (smaller, larger) {
        (Some(smaller), Some(larger)) => {
            format!("read the print on the cable; `{smaller}` and `{larger}` are the next sizes made")
        }
        (Some(next), None) | (None, Some(next)) => {
            format!("read the print on the cable; `{next}` is the next size made")
        }
        (None, None) => "read the print on the cable".into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use ConductorMaterial::{Aluminum, Copper};

    #[test]
    fn every_row_is_read_and_grows_within_its_family() {
        let rows = include_str!("../../../../data/tables/record/conductor_sizes.csv");
        let count = rows
            .lines()
            .filter(|line| line.ends_with(",seen") || line.ends_with(",memory"))
            .count();
        assert_eq!(SIZES.len(), count);
        let families = SIZES.chunk_by(|a, b| a.size.area() < b.size.area()).count();
        assert_eq!(families, 2);
        assert!(
            SIZES.iter().all(|trade| trade.copper),
            "every size is made in copper"
        );
    }

    #[test]
    fn what_is_not_made_is_refused_and_the_neighbors_are_named() {
        let found = |size: &str, material| {
            let mut problems = Problems::default();
            let size: ConductorSize = size.parse().expect("a size");
            check(
                &RecordPath::from("x"),
                "conductor",
                "circuit `W1`",
                size,
                material,
                &mut problems,
            );
            problems.list.pop().map(|problem| problem.fix)
        };
        assert_eq!(found("8 AWG", Some(Copper)), None);
        assert_eq!(found("12 AWG", Some(Aluminum)), None);
        assert!(
            found("14 AWG", Some(Aluminum))
                .expect("refused")
                .contains("`12 AWG`")
        );
        assert!(
            found("7 AWG", None)
                .expect("refused")
                .contains("`8 AWG` and `6 AWG`")
        );
        assert!(
            found("18 AWG", Some(Copper))
                .expect("refused")
                .contains("`14 AWG`")
        );
        assert!(
            found("3 mm²", None)
                .expect("refused")
                .contains("`2.5 mm²` and `4 mm²`")
        );
        assert!(
            found("10 mm²", Some(Aluminum))
                .expect("refused")
                .contains("`16 mm²`")
        );
    }
}
