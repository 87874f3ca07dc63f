//! What a water temperature does to Legionella: bands from dormant to killed at once.
//!
//! In: a temperature. Out: its band with the basis of the row. Start at [`band`]. Ranges the sources leave unnamed
//! count with growth. Says nothing about a house.

use crate::as_printed::as_printed;
use crate::table::{Table, embedded};
use quantity::Temperature;
use serde::Deserialize;
use std::sync::LazyLock;
use trace::Source;

/// What the bacteria do in a temperature band.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LegionellaBand {
    /// Dormant, survives.
    Dormant,
    /// Multiplies.
    Multiplies,
    /// Multiplies fastest.
    GrowsBest,
    /// Survives, does not multiply.
    Survives,
    /// Dies over minutes to hours.
    DiesSlowly,
    /// Nine in ten die in about two minutes.
    DiesInMinutes,
    /// Killed almost at once.
    DiesAtOnce,
}

impl LegionellaBand {
    /// Whether it grows in this band.
    pub fn grows(self) -> bool {
        self.growth() > 0
    }

    fn growth(self) -> u8 {
        match self {
            Self::GrowsBest => 2,
            Self::Multiplies => 1,
            _ => 0,
        }
    }
}

/// The band a temperature lies in, and what the table says of it. A limit belongs to the warmer band, unless it
/// grows more in the cooler.
///
/// ```
/// use quantity::Temperature;
/// use tables::legionella::{LegionellaBand, band};
/// assert_eq!(band(Temperature::from_fahrenheit(98.0)).0, LegionellaBand::GrowsBest);
/// assert_eq!(band(Temperature::from_fahrenheit(140.0)).0, LegionellaBand::DiesInMinutes);
/// ```
pub fn band(temperature: Temperature) -> (LegionellaBand, &'static str) {
    let temp_f = as_printed(temperature.as_fahrenheit());
    let warmer = BANDS
        .rows
        .iter()
        .rposition(|row| row.from_f.is_none_or(|from| temp_f >= from))
        .unwrap_or(0);
    let at_limit = warmer > 0 && BANDS.rows[warmer].from_f.is_some_and(|from| temp_f <= from);
    let cooler_grows_more =
        at_limit && BANDS.rows[warmer - 1].band.growth() > BANDS.rows[warmer].band.growth();
    let row = &BANDS.rows[if cooler_grows_more { warmer - 1 } else { warmer }];
    (row.band, &row.basis)
}

/// Where the bands come from.
pub fn source() -> &'static Source {
    &BANDS.source
}

#[derive(Deserialize)]
struct Row {
    from_f: Option<f64>,
    #[cfg(test)]
    to_f: Option<f64>,
    band: LegionellaBand,
    basis: String,
}

static BANDS: LazyLock<Table<Row>> = LazyLock::new(|| {
    embedded(
        "legionella_bands",
        include_str!("../../../data/tables/water/legionella_bands.csv"),
    )
});

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_bands_touch_without_gap_or_overlap() {
        let rows = &BANDS.rows;
        assert_eq!(rows[0].from_f, None);
        assert_eq!(rows[rows.len() - 1].to_f, None);
        for pair in rows.windows(2) {
            assert_eq!(pair[0].to_f, pair[1].from_f, "{}", pair[1].basis);
        }
    }

    #[test]
    fn published_points_fall_where_the_source_says() {
        // Multiplies 77 to 113 °F, best 90 to 108, survives 118 to 122, dormant below 68, killed at once at 158 °F.
        for (temp_f, expected) in [
            (60.0, LegionellaBand::Dormant),
            (77.0, LegionellaBand::Multiplies),
            (90.0, LegionellaBand::GrowsBest),
            (108.0, LegionellaBand::GrowsBest),
            (113.0, LegionellaBand::Multiplies),
            (118.0, LegionellaBand::Multiplies),
            (120.0, LegionellaBand::Survives),
            (122.0, LegionellaBand::DiesSlowly),
            (140.0, LegionellaBand::DiesInMinutes),
            (158.0, LegionellaBand::DiesAtOnce),
        ] {
            assert_eq!(
                band(Temperature::from_fahrenheit(temp_f)).0,
                expected,
                "{temp_f} °F"
            );
        }
    }
}
