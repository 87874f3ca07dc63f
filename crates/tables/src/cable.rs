//! Cable and insulation types: which temperature columns limit them and where they may lie.
//!
//! In: the type's name. Out: its row with article and status. Says what the articles say; whether a run is right is for
//! the rule book.

use crate::absent::Absent;
use crate::ampacity::TemperatureColumn;
use crate::table::{Table, embedded};
use quantity::ConductorSize;
use serde::Deserialize;
use std::sync::LazyLock;
use trace::{Source, SourceStatus};

/// Whether a type lies in a raceway.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum RacewayUse {
    /// Not drawn into one.
    No,
    /// May be, where the inside stays dry.
    DryOnly,
    /// May be.
    Yes,
    /// Must be: single conductors.
    Required,
}

/// How wet a place is, driest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Wetness {
    /// Dry.
    Dry,
    /// Damp.
    Damp,
    /// Wet: outdoors, or inside a raceway that is.
    Wet,
    /// Buried without a raceway.
    Buried,
}

/// A cable or insulation type.
#[derive(Debug, Clone, PartialEq)]
pub struct CableType {
    /// Its name on the jacket or insulation: "NM-B".
    pub id: String,
    /// What it is, in words.
    pub name: String,
    /// Column that correction and adjustment start from.
    pub derate_column: TemperatureColumn,
    /// Column that the result never exceeds.
    pub cap_column: Option<TemperatureColumn>,
    /// Column that the result never exceeds where the cable lies in thermal insulation.
    pub insulation_cap_column: Option<TemperatureColumn>,
    /// Largest size that the cap in thermal insulation holds for; none for all sizes.
    pub insulation_cap_up_to: Option<ConductorSize>,
    /// The wettest place it may lie in.
    pub wettest: Wetness,
    /// Whether it lies in a raceway.
    pub raceway: RacewayUse,
    /// A two-wire cable of it comes with a white insulated conductor.
    pub white_conductor: bool,
    /// Smallest size made.
    pub smallest: ConductorSize,
    /// Largest size made.
    pub largest: ConductorSize,
    /// Article of its limits.
    pub source: Source,
}

impl CableType {
    /// The column that the result never exceeds, for that size in or out of thermal insulation.
    pub fn cap(&self, size: ConductorSize, in_thermal_insulation: bool) -> Option<TemperatureColumn> {
        let insulation = self
            .insulation_cap_column
            .filter(|_| in_thermal_insulation)
            .filter(|_| {
                self.insulation_cap_up_to
                    .is_none_or(|largest| size.area() <= largest.area())
            });
        match (self.cap_column, insulation) {
            (Some(always), Some(inside)) => Some(always.min(inside)),
            (always, inside) => always.or(inside),
        }
    }

    /// Whether the type is made in that size.
    pub fn has_size(&self, size: ConductorSize) -> bool {
        self.smallest.area() <= size.area() && size.area() <= self.largest.area()
    }
}

/// The cable type of that name.
///
/// ```
/// use tables::ampacity::TemperatureColumn;
/// use tables::cable::cable_type;
/// // 334.80: NM-B is derated from 90 °C and never exceeds the 60 °C column.
/// let cable = cable_type("NM-B")?;
/// assert_eq!(cable.derate_column, TemperatureColumn::C90);
/// assert_eq!(cable.cap("8 AWG".parse()?, false), Some(TemperatureColumn::C60));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn cable_type(id: &str) -> Result<&'static CableType, Absent> {
    CABLES
        .iter()
        .find(|cable| cable.id == id)
        .ok_or_else(|| Absent::Name {
            kind: "cable type",
            name: id.to_owned(),
            known: CABLES
                .iter()
                .map(|cable| cable.id.as_str())
                .collect::<Vec<_>>()
                .join(", "),
        })
}

/// All cable types, in the order of the file.
pub fn cable_types() -> &'static [CableType] {
    &CABLES
}

#[derive(Debug, Deserialize)]
struct Row {
    id: String,
    name: String,
    derate_c: u8,
    cap_c: Option<u8>,
    insulation_cap_c: Option<u8>,
    insulation_cap_up_to: Option<ConductorSize>,
    wettest: Wetness,
    raceway: RacewayUse,
    white: bool,
    smallest: ConductorSize,
    largest: ConductorSize,
    article: String,
    status: SourceStatus,
}

static CABLES: LazyLock<Vec<CableType>> = LazyLock::new(|| {
    let table: Table<Row> = embedded(
        "cable_types",
        include_str!("../../../data/tables/electrical/cable_types.csv"),
    );
    let column = |marking| {
        // Caught by `columns_and_sizes_are_as_the_articles_say`, which loads every row.
        TemperatureColumn::from_marking_c(marking)
            .unwrap_or_else(|| panic!("embedded table `cable_types`: no column {marking} °C"))
    };
    table
        .rows
        .iter()
        .map(|row| CableType {
            id: row.id.clone(),
            name: row.name.clone(),
            derate_column: column(row.derate_c),
            cap_column: row.cap_c.map(column),
            insulation_cap_column: row.insulation_cap_c.map(column),
            insulation_cap_up_to: row.insulation_cap_up_to,
            wettest: row.wettest,
            raceway: row.raceway,
            white_conductor: row.white,
            smallest: row.smallest,
            largest: row.largest,
            source: Source {
                document: table.source.document.clone(),
                edition: table.source.edition.clone(),
                place: Some(row.article.clone()),
                status: row.status,
            },
        })
        .collect()
});

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_and_sizes_are_as_the_articles_say() {
        for cable in cable_types() {
            assert!(cable.smallest.area() < cable.largest.area(), "{}", cable.id);
            assert!(
                cable.cap_column.is_none_or(|cap| cap <= cable.derate_column),
                "{}",
                cable.id
            );
        }
        assert!(cable_type("UF-B").is_ok_and(|cable| cable.wettest >= Wetness::Wet));
        assert!(cable_type("NM-B").is_ok_and(|cable| cable.wettest < Wetness::Damp));
        // Fact sheet, section 1: service-entrance cable in insulation, 10 AWG or smaller: 60 °C column.
        let cable = cable_type("SE").unwrap();
        let (small, large) = ("10 AWG".parse().unwrap(), "8 AWG".parse().unwrap());
        assert_eq!(cable.cap(small, true), Some(TemperatureColumn::C60));
        assert_eq!(cable.cap(small, false), None);
        assert_eq!(cable.cap(large, true), None);
        assert!(cable_type("NM-B").unwrap().has_size("2 AWG".parse().unwrap()));
        assert!(!cable_type("NM-B").unwrap().has_size("1 AWG".parse().unwrap()));
    }

    #[test]
    fn an_unknown_type_names_the_known_ones() {
        let message = cable_type("NM").unwrap_err().to_string();
        assert!(
            message.starts_with("`NM` is not a known cable type; known are NM-B, UF-B"),
            "{message}"
        );
    }
}
