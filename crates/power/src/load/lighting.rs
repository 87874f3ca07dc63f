//! General lighting with small-appliance and laundry circuits: their items, and the circuits that lighting needs.
//!
//! In: floor area and numbers of circuits. Out: volt-amperes by the figures of the edition.

use super::ledger::Ledger;
use super::{Dwelling, LoadGroup};
use crate::PowerError;
use crate::element::voltage_in_range;
use crate::error::in_range;
use quantity::{ApparentPower, Area, Current, Voltage};
use tables::figures::figures;
use tables::nec::NecEdition;

/// Writes the items of lighting, small-appliance and laundry circuits into `group`.
pub(super) fn items(ledger: &mut Ledger, dwelling: &Dwelling, group: LoadGroup, edition: NecEdition) {
    let figures = figures(edition);
    let lighting = figures.general_lighting;
    ledger.item(
        group,
        "general lighting and receptacles",
        lighting_load(dwelling.floor_area, edition),
        lighting.source,
    );
    for (label, circuits, each) in [
        (
            "small-appliance circuits",
            dwelling.small_appliance_circuits,
            figures.small_appliance_circuit,
        ),
        (
            "laundry circuits",
            dwelling.laundry_circuits,
            figures.laundry_circuit,
        ),
    ] {
        let label = format!("{circuits} {label}");
        ledger.item(group, label, each.value * f64::from(circuits), each.source);
    }
}

/// Lighting circuits of a dwelling.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LightingCircuits {
    /// General lighting load.
    pub load: ApparentPower,
    /// Its current at the lighting voltage.
    pub current: Current,
    /// Circuits of the given rating that carry it.
    pub circuits: u32,
}

/// How many general lighting circuits a floor area asks for.
///
/// n = ⌈ (q · A / V) / Ic ⌉
///
/// # Symbols
/// | here             | meaning                                  | unit  |
/// |------------------|------------------------------------------|-------|
/// | `floor_area`     | A                                        | ft²   |
/// | `voltage`        | voltage of the lighting circuits V       | V     |
/// | `circuit_rating` | rating of one circuit Ic                | A     |
/// | `edition`        | gives the load over area q               | VA/ft² |
/// | result           | load, current, number n                  | VA, A, – |
///
/// # Valid
/// 0 to 100,000 ft²; 1 V to 1000 V; 1 A to 1000 A.
/// # Outside
/// [`PowerError::OutOfRange`].
/// # Assumes
/// The area is that of outside dimensions as the code counts it.
/// # Source
/// Annex D, example D1(a): seen.
/// # Example
/// ```
/// use power::load::lighting::lighting_circuits;
/// use quantity::{Area, Current, Voltage};
/// use tables::nec::NecEdition;
/// let found = lighting_circuits(
///     Area::from_square_feet(1500.0), Voltage::from_volts(120.0), Current::from_amperes(15.0), NecEdition::Nec2017)?;
/// // Annex D1(a): 4500 VA, 37.5 A, three circuits of 15 A.
/// assert!((found.current.as_amperes() - 37.5).abs() < 1e-9);
/// assert_eq!(found.circuits, 3);
/// # Ok::<(), power::PowerError>(())
/// ```
pub fn lighting_circuits(
    floor_area: Area,
    voltage: Voltage,
    circuit_rating: Current,
    edition: NecEdition,
) -> Result<LightingCircuits, PowerError> {
    let floor_area = in_range(
        "floor area",
        floor_area,
        Area::zero(),
        Area::from_square_feet(1e5),
    )?;
    let voltage = voltage_in_range("lighting voltage", voltage)?;
    let rating = in_range(
        "circuit rating",
        circuit_rating,
        Current::from_amperes(1.0),
        Current::from_amperes(1e3),
    )?;
    let load = lighting_load(floor_area, edition);
    let current = load / voltage;
    // The area goes through square meters; 4500 VA must not become a fourth circuit by its last binary digit.
    let wanted = (current / rating - 1e-9).ceil().max(0.0);
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // 0 to 300 000 by the ranges above
    let circuits = wanted as u32;
    Ok(LightingCircuits {
        load,
        current,
        circuits,
    })
}

fn lighting_load(floor_area: Area, edition: NecEdition) -> ApparentPower {
    figures(edition).general_lighting.value.0 * floor_area.as_square_feet()
}
