//! Impedance of a center-tapped service transformer as shares of its own base: the primary and each 120 V half.
//!
//! In: nothing. Out: resistance and reactance of the three windings, for a unit whose own figures nobody knows. The
//! reactances between windings, as published, are resolved into one for each winding.

use crate::sourced::Sourced;
use crate::table::{Table, embedded};
use quantity::Ratio;
use serde::Deserialize;
use std::sync::LazyLock;

/// Shares of the unit's base, seen from one half.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WindingShares {
    /// Resistance of the primary.
    pub primary_resistance: Ratio,
    /// Reactance of the primary.
    pub primary_reactance: Ratio,
    /// Resistance of one half.
    pub half_resistance: Ratio,
    /// Reactance of one half.
    pub half_reactance: Ratio,
}

/// The shares.
///
/// Star of three windings: Xh = ½ (Xhl + Xht − Xlt), Xl = ½ (Xhl + Xlt − Xht).
///
/// ```
/// use tables::center_tapped_transformer::winding_shares;
/// let shares = winding_shares().value;
/// // A load between the lines sees half of one half's share and the primary's: 1.2 % and 1.7 % (fact sheet, section 10).
/// let both = |half: f64, primary: f64| half / 2.0 + primary;
/// assert!((both(shares.half_resistance.as_percent(), shares.primary_resistance.as_percent()) - 1.2).abs() < 1e-9);
/// assert!((both(shares.half_reactance.as_percent(), shares.primary_reactance.as_percent()) - 1.7).abs() < 1e-9);
/// ```
pub fn winding_shares() -> Sourced<WindingShares> {
    Sourced {
        value: SHARES.0,
        source: &SHARES.1,
    }
}

#[derive(Debug, Deserialize)]
struct Row {
    id: String,
    percent: f64,
}

static SHARES: LazyLock<(WindingShares, trace::Source)> = LazyLock::new(|| {
    let table: Table<Row> = embedded(
        "center_tapped_transformer",
        include_str!("../../../data/tables/electrical/center_tapped_transformer.csv"),
    );
    let of = |id: &str| {
        let row = table.rows.iter().find(|row| row.id == id);
        // Caught by the example above, which reads every row.
        row.unwrap_or_else(|| panic!("embedded table `center_tapped_transformer`: no row `{id}`"))
            .percent
    };
    let (x_hl, x_lt) = (of("x_primary_half"), of("x_half_half"));
    let shares = WindingShares {
        primary_resistance: Ratio::from_percent(of("r_primary")),
        primary_reactance: Ratio::from_percent((x_hl + x_hl - x_lt) / 2.0),
        half_resistance: Ratio::from_percent(of("r_half")),
        half_reactance: Ratio::from_percent(x_lt / 2.0),
    };
    (shares, table.source)
});
