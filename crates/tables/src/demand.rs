//! Demand tables of dwelling load calculations: lighting, dryers, cooking.
//!
//! In: volt-amperes, or the number of units. Out: the published share or demand with its article in the edition. The
//! calculations that use them stand in the power engine.

use crate::absent::Absent;
use crate::nec::{NecEdition, Topic, cite};
use crate::sourced::Sourced;
use crate::table::{Table, embedded};
use quantity::{ApparentPower, Ratio};
use serde::Deserialize;
use std::sync::LazyLock;
use trace::SourceStatus;

/// One tier of the lighting demand: the share that counts of the part up to `up_to`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LightingTier {
    /// End of the tier; none for the last one.
    pub up_to: Option<ApparentPower>,
    /// Share that counts.
    pub share: Sourced<Ratio>,
}

/// The tiers of general lighting with small-appliance and laundry circuits, lowest first.
pub fn lighting_tiers(edition: NecEdition) -> impl Iterator<Item = LightingTier> {
    LIGHTING.rows.iter().map(move |row| LightingTier {
        up_to: row.up_to_va.map(ApparentPower::from_volt_amperes),
        share: Sourced {
            value: Ratio::from_percent(row.percent),
            source: cite(Topic::LightingDemand, edition, row.status),
        },
    })
}

/// Share of the dryers' load that counts for that number of them.
pub fn dryer_share(units: usize, edition: NecEdition) -> Result<Sourced<Ratio>, Absent> {
    DRYERS
        .rows
        .iter()
        .find(|row| (row.units_low..=row.units_high).contains(&units))
        .map(|row| Sourced {
            value: Ratio::from_percent(row.percent),
            source: cite(Topic::DryerDemand, edition, row.status),
        })
        .ok_or_else(|| Absent::Row {
            table: "the table of dryer demand",
            row: units.to_string(),
            fix: "it covers one to eleven dryers of a dwelling",
        })
}

/// Demand of a number of household cooking appliances.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CookingDemand {
    /// Column A: share for units above 1.75 kW and below 3.5 kW.
    pub column_a: Ratio,
    /// Column B: share for units of 3.5 kW to 8.75 kW.
    pub column_b: Ratio,
    /// Column C: demand of units above 8.75 kW, not over 12 kW.
    pub column_c: ApparentPower,
}

/// The row of the cooking table for that number of units.
///
/// ```
/// use tables::demand::cooking_demand;
/// use tables::nec::NecEdition;
/// // Table 220.55: one range up to 12 kW counts 8 kW; three units of column B count 55 %.
/// let one = cooking_demand(1, NecEdition::Nec2020)?.value;
/// assert!((one.column_c.as_kilovolt_amperes() - 8.0).abs() < 1e-9);
/// let three = cooking_demand(3, NecEdition::Nec2020)?.value;
/// assert!((three.column_b.as_percent() - 55.0).abs() < 1e-9);
/// # Ok::<(), tables::absent::Absent>(())
/// ```
pub fn cooking_demand(units: usize, edition: NecEdition) -> Result<Sourced<CookingDemand>, Absent> {
    COOKING
        .rows
        .iter()
        .find(|row| row.units == units)
        .map(|row| Sourced {
            value: CookingDemand {
                column_a: Ratio::from_percent(row.column_a_percent),
                column_b: Ratio::from_percent(row.column_b_percent),
                column_c: ApparentPower::from_kilovolt_amperes(row.column_c_kw),
            },
            source: cite(Topic::CookingDemand, edition, row.status),
        })
        .ok_or_else(|| Absent::Row {
            table: "the table of cooking demand",
            row: units.to_string(),
            fix: "the rows carried here end at five units of one dwelling",
        })
}

#[derive(Debug, Deserialize)]
struct LightingRow {
    up_to_va: Option<f64>,
    percent: f64,
    status: SourceStatus,
}

#[derive(Debug, Deserialize)]
struct DryerRow {
    units_low: usize,
    units_high: usize,
    percent: f64,
    status: SourceStatus,
}

#[derive(Debug, Deserialize)]
struct CookingRow {
    units: usize,
    column_a_percent: f64,
    column_b_percent: f64,
    column_c_kw: f64,
    status: SourceStatus,
}

static LIGHTING: LazyLock<Table<LightingRow>> = LazyLock::new(|| {
    embedded(
        "lighting_demand",
        include_str!("../../../data/tables/electrical/lighting_demand.csv"),
    )
});

static DRYERS: LazyLock<Table<DryerRow>> = LazyLock::new(|| {
    embedded(
        "dryer_demand",
        include_str!("../../../data/tables/electrical/dryer_demand.csv"),
    )
});

static COOKING: LazyLock<Table<CookingRow>> = LazyLock::new(|| {
    embedded(
        "cooking_demand",
        include_str!("../../../data/tables/electrical/cooking_demand.csv"),
    )
});

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shares_fall_and_demands_rise_with_the_number() {
        let edition = NecEdition::Nec2017;
        let dryers: Vec<f64> = (1..=11)
            .map(|n| dryer_share(n, edition).unwrap().value.as_percent())
            .collect();
        assert!(dryers.is_sorted_by(|a, b| a >= b));
        assert!(dryer_share(0, edition).is_err() && dryer_share(12, edition).is_err());
        let cooking: Vec<CookingDemand> = (1..=5)
            .map(|n| cooking_demand(n, edition).unwrap().value)
            .collect();
        assert!(cooking.is_sorted_by(|a, b| a.column_a >= b.column_a && a.column_b >= b.column_b));
        assert!(cooking.is_sorted_by(|a, b| a.column_c <= b.column_c));
        assert!(cooking_demand(6, edition).is_err());
    }

    #[test]
    fn tiers_follow_one_another_to_the_end() {
        let tiers: Vec<LightingTier> = lighting_tiers(NecEdition::Nec2023).collect();
        assert!(tiers.iter().rev().skip(1).all(|tier| tier.up_to.is_some()));
        assert!(tiers.last().is_some_and(|tier| tier.up_to.is_none()));
        assert!(tiers.is_sorted_by(|a, b| a.share.value > b.share.value));
        assert_eq!(tiers[0].share.source.place.as_deref(), Some("Table 220.45"));
    }
}
