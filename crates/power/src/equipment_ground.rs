//! Equipment ground of a circuit: the table's size, enlarged in proportion when the circuit's conductors are.
//!
//! In: the breaker, the smallest sufficient conductor, the installed one, metals, edition. Out: the size with its working.
//! Wire-type grounds only; a metal raceway may serve instead, which is for a person to decide. Since 2020 a qualified
//! person may also size the ground for an effective fault path; that judgment is not made here.

use crate::PowerError;
use quantity::{Area, ConductorSize, Current, Ratio};
use tables::absent::Absent;
use tables::ampacity::sizes;
use tables::conductor::{ConductorMaterial, metal_area};
use tables::grounding::equipment_ground;
use tables::nec::{NecEdition, Topic, cite};
use tables::sourced::Sourced;
use trace::{Source, SourceStatus};

/// What the ground is sized for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GroundRequest {
    /// Rating of the breaker.
    pub breaker: Current,
    /// Smallest circuit conductor that has enough ampacity; see [`counts_derating`] for which one.
    pub sufficient: ConductorSize,
    /// Circuit conductor installed.
    pub installed: ConductorSize,
    /// Metal of the circuit conductors.
    pub material: ConductorMaterial,
    /// Metal of the ground.
    pub ground_material: ConductorMaterial,
    /// Edition.
    pub edition: NecEdition,
}

/// The equipment ground with its working.
#[derive(Debug, Clone, PartialEq)]
pub struct EquipmentGround {
    /// The size.
    pub size: ConductorSize,
    /// What the table gives for the breaker.
    pub table_size: Sourced<ConductorSize>,
    /// Area of the installed conductor over that of the sufficient one; 1 when it is not larger.
    pub proportion: Ratio,
    /// Area the ground needs.
    pub required_area: Area,
    /// The size is that of the circuit conductors, because it never has to be larger.
    pub limited_to_conductor: bool,
    /// The rule of the enlargement.
    pub source: &'static Source,
}

/// Areas in the conductor table are rounded to four digits, so a required area may exceed a size by that rounding:
/// 8 to 4 AWG on 40 A asks for 26,242 circular mils, and 6 AWG is printed as 26,240. One gauge step is 26 %.
const AREA_ROUNDING: f64 = 1e-3;

/// Whether the edition lets conductors enlarged for ambient or bundling keep the ground of the table.
///
/// From 2020 on they do: the sufficient conductor is the smallest one after correction and adjustment. In 2017 any
/// increase counts, and the sufficient conductor is the smallest one before them.
pub fn counts_derating(edition: NecEdition) -> bool {
    edition < NecEdition::Nec2020
}

/// Size of the equipment ground.
///
/// Ag = Atable · Ainstalled / Asufficient; the smallest size with at least Ag, never above the installed conductor
///
/// # Symbols
/// | here      | meaning                                                              | unit |
/// |-----------|----------------------------------------------------------------------|------|
/// | `request` | breaker (gives Atable), sufficient and installed conductor, metals   | A, mm² |
/// | result    | size and working                                                     | –    |
///
/// # Valid
/// Breakers up to 1000 A; sizes 14 AWG to 500 kcmil.
/// # Outside
/// [`PowerError::Absent`].
/// # Assumes
/// Areas are compared with a tolerance of 0.1 %, the rounding of the table.
/// # Source
/// Table 250.122 and 250.122(A), (B): seen; 8 to 6 AWG on 40 A gives 8 AWG in a published case.
/// # Example
/// ```
/// use power::equipment_ground::{GroundRequest, ground_size};
/// use quantity::Current;
/// use tables::{conductor::ConductorMaterial::Copper, nec::NecEdition};
/// let found = ground_size(&GroundRequest {
///     breaker: Current::from_amperes(40.0),
///     sufficient: "8 AWG".parse()?, installed: "6 AWG".parse()?,
///     material: Copper, ground_material: Copper, edition: NecEdition::Nec2020,
/// })?;
/// // Fact sheet, case EG1: 10380 × 26240 / 16510 = 16,497 cmil, so 8 AWG.
/// assert!((found.required_area.as_circular_mils() - 16_497.0).abs() < 1.0);
/// assert_eq!(found.size.to_string(), "8 AWG");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn ground_size(request: &GroundRequest) -> Result<EquipmentGround, PowerError> {
    let table_size = equipment_ground(request.breaker, request.ground_material, request.edition)?;
    let installed = metal_area(request.installed)?;
    let proportion = (installed / metal_area(request.sufficient)?).max(1.0);
    let required_area = metal_area(table_size.value)? * proportion;
    let size = sizes(request.ground_material)
        .find(|size| metal_area(*size).is_ok_and(|area| area * (1.0 + AREA_ROUNDING) >= required_area))
        .ok_or_else(|| Absent::Row {
            table: "the table of conductor areas",
            row: format!("{:.0} cmil", required_area.as_circular_mils()),
            fix: "divide the load over circuits with smaller conductors",
        })?;
    // "Never larger than the circuit conductors" compares like with like only within one metal.
    let limited_to_conductor = request.material == request.ground_material && metal_area(size)? > installed;
    Ok(EquipmentGround {
        size: if limited_to_conductor {
            request.installed
        } else {
            size
        },
        table_size,
        proportion: Ratio::from_fraction(proportion),
        required_area,
        limited_to_conductor,
        source: cite(
            Topic::EquipmentGroundIncrease,
            request.edition,
            SourceStatus::Seen,
        ),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn request(breaker_a: f64, sufficient: &str, installed: &str) -> GroundRequest {
        GroundRequest {
            breaker: Current::from_amperes(breaker_a),
            sufficient: sufficient.parse().unwrap(),
            installed: installed.parse().unwrap(),
            material: ConductorMaterial::Copper,
            ground_material: ConductorMaterial::Copper,
            edition: NecEdition::Nec2020,
        }
    }

    #[test]
    fn conductors_of_the_sufficient_size_keep_the_table() {
        let found = ground_size(&request(40.0, "8 AWG", "8 AWG")).unwrap();
        assert_eq!(
            (found.size, found.limited_to_conductor),
            ("10 AWG".parse().unwrap(), false)
        );
        // A conductor that is too small does not shrink the ground.
        let found = ground_size(&request(40.0, "8 AWG", "10 AWG")).unwrap();
        assert_eq!(found.size, "10 AWG".parse().unwrap());
    }

    #[test]
    fn the_ground_is_never_larger_than_the_conductors() {
        // 12 to 8 AWG on 20 A: table 12 AWG, in proportion 8 AWG, which is the conductor itself.
        let found = ground_size(&request(20.0, "12 AWG", "8 AWG")).unwrap();
        assert_eq!(
            (found.size, found.limited_to_conductor),
            ("8 AWG".parse().unwrap(), false)
        );
        // A 100 A breaker wants 8 AWG; on 10 AWG conductors it stays at 10 AWG.
        let found = ground_size(&request(100.0, "10 AWG", "10 AWG")).unwrap();
        assert_eq!(
            (found.size, found.limited_to_conductor),
            ("10 AWG".parse().unwrap(), true)
        );
    }

    #[test]
    fn editions_differ_in_what_counts_as_an_increase() {
        assert!(counts_derating(NecEdition::Nec2017));
        assert!(!counts_derating(NecEdition::Nec2020) && !counts_derating(NecEdition::Nec2023));
    }
}
