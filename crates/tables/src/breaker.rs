//! Overcurrent devices: standard ratings by edition, and what small conductors may be protected at.
//!
//! In: a current, an edition. Out: the standard rating at or above it; the limit of a small conductor. Chooses no
//! breaker for a circuit.

use crate::absent::Absent;
use crate::conductor::ConductorMaterial;
use crate::nec::{NecEdition, Topic, cite};
use crate::sourced::Sourced;
use crate::table::{Table, embedded};
use quantity::{ConductorSize, Current};
use serde::Deserialize;
use std::sync::LazyLock;

/// Currents that a person computed to four digits and standard ratings must still compare as equal: 48 A × 125 % is 60 A.
const ROUNDING_A: f64 = 1e-6;

/// Standard ratings of the edition, smallest first.
pub fn standard_ratings(edition: NecEdition) -> impl DoubleEndedIterator<Item = Current> {
    RATINGS
        .rows
        .iter()
        .filter(move |row| row.since <= edition.year())
        .map(|row| Current::from_amperes(row.rating_a))
}

/// The smallest standard rating that is at least `current`.
///
/// ```
/// use quantity::Current;
/// use tables::breaker::standard_at_least;
/// use tables::nec::NecEdition;
/// let at_least = |amperes, edition| standard_at_least(Current::from_amperes(amperes), edition);
/// // 240.6(A): 37.5 A asks for 40 A; a 10 A rating exists from 2023 on.
/// assert_eq!(at_least(37.5, NecEdition::Nec2020)?.value.as_amperes(), 40.0);
/// assert_eq!(at_least(9.0, NecEdition::Nec2020)?.value.as_amperes(), 15.0);
/// assert_eq!(at_least(9.0, NecEdition::Nec2023)?.value.as_amperes(), 10.0);
/// # Ok::<(), tables::absent::Absent>(())
/// ```
pub fn standard_at_least(current: Current, edition: NecEdition) -> Result<Sourced<Current>, Absent> {
    standard_ratings(edition)
        .find(|rating| current.as_amperes() <= rating.as_amperes() + ROUNDING_A)
        .map(|value| Sourced {
            value,
            source: cite(Topic::StandardRatings, edition, RATINGS.source.status),
        })
        .ok_or_else(|| Absent::Row {
            table: "the list of standard ratings",
            row: format!("{:.1} A", current.as_amperes()),
            fix: "the list carried here ends at 600 A; divide the load",
        })
}

/// Whether `rating` is a standard rating of the edition.
pub fn is_standard(rating: Current, edition: NecEdition) -> bool {
    standard_ratings(edition).any(|standard| (standard - rating).abs().as_amperes() <= ROUNDING_A)
}

/// The largest device that may protect a small conductor, after all corrections; none for larger conductors.
pub fn small_conductor_limit(
    size: ConductorSize,
    material: ConductorMaterial,
    edition: NecEdition,
) -> Option<Sourced<Current>> {
    SMALL
        .rows
        .iter()
        .find(|row| row.size == size && row.material == material)
        .map(|row| Sourced {
            value: Current::from_amperes(row.device_max_a),
            source: cite(Topic::SmallConductors, edition, SMALL.source.status),
        })
}

#[derive(Debug, Deserialize)]
struct RatingRow {
    rating_a: f64,
    since: u16,
}

#[derive(Debug, Deserialize)]
struct SmallRow {
    size: ConductorSize,
    material: ConductorMaterial,
    device_max_a: f64,
}

static RATINGS: LazyLock<Table<RatingRow>> = LazyLock::new(|| {
    embedded(
        "standard_ratings",
        include_str!("../../../data/tables/electrical/standard_ratings.csv"),
    )
});

static SMALL: LazyLock<Table<SmallRow>> = LazyLock::new(|| {
    embedded(
        "small_conductor_limit",
        include_str!("../../../data/tables/electrical/small_conductor_limit.csv"),
    )
});

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ratings_rise_and_are_their_own_next() {
        for edition in NecEdition::ALL {
            let ratings: Vec<_> = standard_ratings(edition).collect();
            assert!(ratings.is_sorted_by(|a, b| a < b));
            for rating in ratings {
                assert_eq!(standard_at_least(rating, edition).unwrap().value, rating);
                assert!(is_standard(rating, edition));
            }
        }
        assert!(!is_standard(Current::from_amperes(55.0), NecEdition::Nec2023));
        assert!(!is_standard(Current::from_amperes(10.0), NecEdition::Nec2020));
    }

    #[test]
    fn the_list_has_an_end() {
        assert!(standard_at_least(Current::from_amperes(601.0), NecEdition::Nec2023).is_err());
        assert!(standard_at_least(Current::from_amperes(f64::NAN), NecEdition::Nec2023).is_err());
    }

    #[test]
    fn small_conductors_have_a_limit_and_large_ones_none() {
        let limit = |size: &str, material| {
            small_conductor_limit(size.parse().unwrap(), material, NecEdition::Nec2020)
                .map(|limit| limit.value.as_amperes())
        };
        assert_eq!(limit("10 AWG", ConductorMaterial::Copper), Some(30.0));
        assert_eq!(limit("10 AWG", ConductorMaterial::Aluminum), Some(25.0));
        assert_eq!(limit("8 AWG", ConductorMaterial::Copper), None);
    }
}
