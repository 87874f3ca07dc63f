//! Demand of household cooking appliances by the columns of the cooking table.
//!
//! In: the nameplate of each unit. Out: the demand of each column's units. Used by the standard method and the neutral.

use crate::PowerError;
use crate::error::in_range;
use quantity::{ApparentPower, Ratio};
use tables::demand::cooking_demand;
use tables::figures::figures;
use tables::nec::{NecEdition, Topic, cite};
use trace::{Source, SourceStatus};

/// Units of one column and their demand.
#[derive(Debug, Clone, PartialEq)]
pub struct CookingPart {
    /// Which units, in words.
    pub label: String,
    /// Their nameplates together.
    pub connected: ApparentPower,
    /// Their demand.
    pub demand: ApparentPower,
    /// The rule.
    pub source: &'static Source,
}

impl CookingPart {
    /// Demand over connected load; 1 for nothing.
    pub fn factor(&self) -> Ratio {
        if self.connected > ApparentPower::zero() {
            Ratio::from_fraction(self.demand / self.connected)
        } else {
            Ratio::from_fraction(1.0)
        }
    }
}

/// Units up to this nameplate stand in no column and count in full.
const COLUMN_A_ABOVE_KVA: f64 = 1.75;
/// From here up column B.
const COLUMN_B_FROM_KVA: f64 = 3.5;
/// Above here column C.
const COLUMN_C_ABOVE_KVA: f64 = 8.75;
/// Column C holds up to here; above, each kilowatt adds a step.
const COLUMN_C_FULL_KVA: f64 = 12.0;
/// Largest unit of the table's notes.
const LARGEST_KVA: f64 = 27.0;

/// Demand of a dwelling's cooking appliances.
///
/// Columns A and B: share(n) · Σ nameplates. Column C: demand(n) · (1 + 5 % · k), with k the whole kilowatts, a major
/// fraction counting as one, by which the mean nameplate exceeds 12 kW (units below 12 kW taken as 12).
///
/// # Symbols
/// | here      | meaning                           | unit |
/// |-----------|-----------------------------------|------|
/// | `units`   | nameplate of each unit            | kVA  |
/// | `edition` | edition, for the articles cited   | –    |
/// | n         | number of units in a column       | –    |
/// | result    | demand of each column's units     | kVA  |
///
/// # Valid
/// Units up to 27 kVA, five in each column.
/// # Outside
/// [`PowerError`].
/// # Assumes
/// kVA and kW are the same for cooking appliances. Units of different columns are counted in their own column and added,
/// which is not below the other ways the notes allow.
/// # Source
/// Table 220.55 and its notes 1 to 3: 8 kW for one range and 55 % for three units seen in Annex D, the rest from memory.
/// # Example
/// ```
/// use power::load::cooking::cooking_parts;
/// use quantity::ApparentPower;
/// use tables::nec::NecEdition;
/// let kilo = ApparentPower::from_kilovolt_amperes;
/// // Annex D2(b): two 4 kW ovens and a 5.1 kW cooktop count 55 % of 13.1 kVA; printed as 7200 VA.
/// let found = cooking_parts(&[kilo(4.0), kilo(4.0), kilo(5.1)], NecEdition::Nec2017)?;
/// assert!((found[0].demand.as_volt_amperes() - 7200.0).abs() < 10.0);
/// # Ok::<(), power::PowerError>(())
/// ```
pub fn cooking_parts(units: &[ApparentPower], edition: NecEdition) -> Result<Vec<CookingPart>, PowerError> {
    for unit in units {
        in_range(
            "cooking appliance",
            *unit,
            ApparentPower::zero(),
            ApparentPower::from_kilovolt_amperes(LARGEST_KVA),
        )?;
    }
    let between = |low: f64, high: f64| -> Vec<ApparentPower> {
        let kva = |unit: &ApparentPower| unit.as_kilovolt_amperes();
        units
            .iter()
            .copied()
            .filter(|unit| low <= kva(unit) && kva(unit) < high)
            .collect()
    };
    // Half-open ranges, so the closed ends of the table's columns are moved by far less than a nameplate's last digit.
    let just_above = |limit: f64| limit + 1e-9;
    let small = between(0.0, just_above(COLUMN_A_ABOVE_KVA));
    let column_a = between(just_above(COLUMN_A_ABOVE_KVA), COLUMN_B_FROM_KVA);
    let column_b = between(COLUMN_B_FROM_KVA, just_above(COLUMN_C_ABOVE_KVA));
    let column_c = between(just_above(COLUMN_C_ABOVE_KVA), f64::INFINITY);
    let mut parts = Vec::new();
    if !small.is_empty() {
        let connected = small.iter().copied().sum();
        parts.push(CookingPart {
            label: format!("{} small cooking appliances in full", small.len()),
            connected,
            demand: connected,
            source: cite(Topic::CookingDemand, edition, SourceStatus::Memory),
        });
    }
    for (column, units) in [("A", column_a), ("B", column_b)] {
        if units.is_empty() {
            continue;
        }
        let row = cooking_demand(units.len(), edition)?;
        let share = if column == "A" {
            row.value.column_a
        } else {
            row.value.column_b
        };
        let connected: ApparentPower = units.iter().copied().sum();
        parts.push(CookingPart {
            label: format!("{} cooking appliances, column {column}", units.len()),
            connected,
            demand: connected * share.as_fraction(),
            source: row.source,
        });
    }
    if !column_c.is_empty() {
        parts.push(column_c_part(&column_c, edition)?);
    }
    Ok(parts)
}

fn column_c_part(units: &[ApparentPower], edition: NecEdition) -> Result<CookingPart, PowerError> {
    let row = cooking_demand(units.len(), edition)?;
    let taken_kva: f64 = units
        .iter()
        .map(|unit| unit.as_kilovolt_amperes().max(COLUMN_C_FULL_KVA))
        .sum();
    let above_kw = taken_kva / units.len() as f64 - COLUMN_C_FULL_KVA;
    // A major fraction is more than half a kilowatt.
    let steps = (above_kw - 0.5).ceil().max(0.0);
    let growth = 1.0 + figures(edition).cooking_step.value.as_fraction() * steps;
    Ok(CookingPart {
        label: format!("{} ranges, column C", units.len()),
        connected: units.iter().copied().sum(),
        demand: row.value.column_c * growth,
        source: row.source,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn demand(kva: &[f64]) -> f64 {
        let units: Vec<_> = kva
            .iter()
            .map(|kva| ApparentPower::from_kilovolt_amperes(*kva))
            .collect();
        let parts = cooking_parts(&units, NecEdition::Nec2020).unwrap();
        parts
            .iter()
            .map(|part| part.demand)
            .sum::<ApparentPower>()
            .as_volt_amperes()
    }

    #[test]
    fn ranges_above_twelve_kilowatts_grow_in_steps() {
        // Note 1, from memory: 5 % of the column for each kilowatt or major fraction above 12.
        let close = |found: f64, wanted: f64| assert!((found - wanted).abs() < 1e-6, "{found} {wanted}");
        close(demand(&[12.0]), 8000.0);
        close(demand(&[12.5]), 8000.0);
        close(demand(&[12.6]), 8400.0);
        close(demand(&[14.0]), 8800.0);
        close(demand(&[27.0]), 8000.0 * 1.75);
        close(demand(&[9.0, 16.0]), 11_000.0 * 1.10);
    }

    #[test]
    fn units_stand_in_their_own_column() {
        let close = |found: f64, wanted: f64| assert!((found - wanted).abs() < 1e-6, "{found} {wanted}");
        close(demand(&[1.5]), 1500.0);
        close(demand(&[3.0]), 0.80 * 3000.0);
        close(demand(&[3.5, 8.75]), 0.65 * 12_250.0);
        close(demand(&[12.0, 4.0]), 8000.0 + 0.80 * 4000.0);
        assert!(demand(&[]).abs() < 1e-9);
    }

    #[test]
    fn what_the_table_does_not_hold_is_refused() {
        let kilo = ApparentPower::from_kilovolt_amperes;
        assert!(cooking_parts(&[kilo(28.0)], NecEdition::Nec2020).is_err());
        assert!(cooking_parts(&[kilo(12.0); 6], NecEdition::Nec2020).is_err());
        assert!(cooking_parts(&[kilo(f64::NAN)], NecEdition::Nec2020).is_err());
    }
}
