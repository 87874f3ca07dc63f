//! Conductors of a single-phase dwelling service by its rating.
//!
//! In: a rating and a metal. Out: the size that the table gives where neither correction nor adjustment applies. It
//! does not apply to a feeder that carries less than the whole dwelling load, such as one to a heater panel.

use crate::absent::Absent;
use crate::conductor::ConductorMaterial;
use crate::nec::{NecEdition, Topic, cite};
use crate::sourced::Sourced;
use crate::table::{Table, embedded};
use quantity::{ConductorSize, Current};
use serde::Deserialize;
use std::sync::LazyLock;

/// Smallest ungrounded conductor of a dwelling service of that rating; a rating between two rows takes the larger one.
///
/// ```
/// use quantity::Current;
/// use tables::conductor::ConductorMaterial;
/// use tables::dwelling_service::dwelling_service_conductor;
/// use tables::nec::NecEdition;
/// let found = dwelling_service_conductor(
///     Current::from_amperes(200.0), ConductorMaterial::Aluminum, NecEdition::Nec2020)?;
/// // Table 310.12: 200 A, aluminum 4/0.
/// assert_eq!(found.value.to_string(), "4/0 AWG");
/// # Ok::<(), tables::absent::Absent>(())
/// ```
pub fn dwelling_service_conductor(
    rating: Current,
    material: ConductorMaterial,
    edition: NecEdition,
) -> Result<Sourced<ConductorSize>, Absent> {
    let least = SERVICE.rows.first().map_or(f64::INFINITY, |row| row.rating_a);
    SERVICE
        .rows
        .iter()
        .find(|row| rating.as_amperes() >= least && rating.as_amperes() <= row.rating_a)
        .map(|row| Sourced {
            value: match material {
                ConductorMaterial::Copper => row.copper,
                ConductorMaterial::Aluminum => row.aluminum,
            },
            source: cite(Topic::DwellingService, edition, SERVICE.source.status),
        })
        .ok_or_else(|| Absent::Row {
            table: "the table of dwelling service conductors",
            row: format!("{:.0} A", rating.as_amperes()),
            fix: "it covers services of 100 A to 400 A; size others by ampacity",
        })
}

#[derive(Debug, Deserialize)]
struct ServiceRow {
    rating_a: f64,
    copper: ConductorSize,
    aluminum: ConductorSize,
}

static SERVICE: LazyLock<Table<ServiceRow>> = LazyLock::new(|| {
    embedded(
        "dwelling_service",
        include_str!("../../../data/tables/electrical/dwelling_service.csv"),
    )
});

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ampacity::{TemperatureColumn, base_ampacity};
    use crate::figures::figures;

    #[test]
    fn each_row_carries_the_share_of_its_rating() {
        // Independent: the text asks for 83 % of the rating, in the 75 °C column of the ampacity table.
        let edition = NecEdition::Nec2023;
        let share = figures(edition).dwelling_service_share.value.as_fraction();
        let mut compared = 0;
        for row in &SERVICE.rows {
            for (size, material) in [
                (row.copper, ConductorMaterial::Copper),
                (row.aluminum, ConductorMaterial::Aluminum),
            ] {
                let ampacity = base_ampacity(size, material, TemperatureColumn::C75, edition).unwrap();
                assert!(
                    ampacity.value.as_amperes() >= share * row.rating_a,
                    "{} A {size}",
                    row.rating_a
                );
                compared += 1;
            }
        }
        assert_eq!(compared, 2 * SERVICE.rows.len());
    }

    #[test]
    fn the_computed_case_of_the_fact_sheet() {
        for case in checks::load("electrical/dwelling_service.toml").cases {
            let rating = Current::from_amperes(case.given("rating_a"));
            for edition in NecEdition::ALL {
                let metal = ConductorMaterial::Aluminum;
                assert_eq!(case.given_text("material"), metal.to_string());
                let size = dwelling_service_conductor(rating, metal, edition).unwrap().value;
                assert_eq!(Some(size.to_string().as_str()), case.expected_text("size"));
                let needed = rating * figures(edition).dwelling_service_share.value.as_fraction();
                case.close("needed_a", needed.as_amperes());
                let ampacity = base_ampacity(size, metal, TemperatureColumn::C75, edition)
                    .unwrap()
                    .value;
                case.close("ampacity_75c_a", ampacity.as_amperes());
            }
        }
    }

    #[test]
    fn ratings_outside_are_refused() {
        for amperes in [60.0, 99.0, 401.0, f64::NAN] {
            let found = dwelling_service_conductor(
                Current::from_amperes(amperes),
                ConductorMaterial::Copper,
                NecEdition::Nec2020,
            );
            assert!(found.is_err(), "{amperes}");
        }
    }
}
