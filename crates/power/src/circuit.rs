//! Design of one element circuit: breaker, conductor, ground, and the conductor a voltage-drop target asks for.
//!
//! In: elements, supply, duty, nameplate markings, the run in segments, terminals. Out: the parts with the working of
//! each. Start at [`design_circuit`]; an existing circuit is held against the same request by
//! [`crate::circuit_check::check_circuit`].
//!
//! Does not divide a heater into circuits (the nameplate does) and does not know panels.

use crate::PowerError;
use crate::ampacity::{AmpacityWorking, Segment, Terminals};
use crate::circuit_check::{
    Chosen, CircuitCheck, Derating, above_target, check_circuit, drop_at_nominal, smallest_conductor,
};
use crate::circuit_load::{Duty, Marked, breaker_window, circuit_load};
use crate::element::Element;
use crate::longest_length::target_in_range;
use crate::supply::{Connection, Supply, element_voltage};
use quantity::{ConductorSize, Ratio, Temperature};
use tables::ampacity::sizes;
use tables::conductor::ConductorMaterial;
use tables::nec::NecEdition;

/// What a circuit has to do, and where it runs.
#[derive(Debug, Clone, PartialEq)]
pub struct CircuitRequest {
    /// Supply system of the panel.
    pub supply: &'static Supply,
    /// How the elements are connected.
    pub connection: Connection,
    /// Elements on this circuit.
    pub elements: Vec<Element>,
    /// Whether the load counts as continuous.
    pub duty: Duty,
    /// Nameplate markings.
    pub marked: Marked,
    /// The appliance needs 120 V besides, so a neutral comes along.
    pub needs_neutral: bool,
    /// Metal of the conductors.
    pub material: ConductorMaterial,
    /// The run from panel to heater, slack included.
    pub segments: Vec<Segment>,
    /// Terminal markings.
    pub terminals: Terminals,
    /// Largest voltage drop wanted, as a share of the nominal voltage.
    pub drop_target: Option<Ratio>,
    /// Conductor temperature that the drop is worked out for.
    pub conductor_temperature: Temperature,
    /// Edition.
    pub edition: NecEdition,
}

/// A designed circuit.
#[derive(Debug, Clone, PartialEq)]
pub struct CircuitDesign {
    /// Smallest conductor that carries the load.
    pub minimum_conductor: ConductorSize,
    /// Its ampacity.
    pub minimum_ampacity: AmpacityWorking,
    /// The parts: smallest breaker, the conductor that also meets the drop target, the ground that goes with it.
    pub chosen: Chosen,
    /// The parts held against the request. Shortfalls remain where no choice avoids them.
    pub check: CircuitCheck,
}

/// Designs an element circuit.
///
/// Breaker: next standard rating at or above the sizing current. Conductor: the smallest size with ampacity ≥ load,
/// ampacity before derating ≥ sizing current, and which that breaker protects; from there up to the first size that
/// meets the drop target. Ground: in proportion.
///
/// # Symbols
/// | here      | meaning                                                  | unit |
/// |-----------|----------------------------------------------------------|------|
/// | `request` | elements, supply, duty, markings, run, terminals, target | –    |
/// | result    | parts, their working, remaining shortfalls               | –    |
///
/// # Valid
/// As [`check_circuit`].
/// # Outside
/// [`PowerError`]; [`PowerError::NoConductor`] when no tabulated size carries the load.
/// # Assumes
/// As [`check_circuit`]. When no size meets the drop target the smallest sufficient one is kept, with the shortfall.
/// # Source
/// As [`check_circuit`].
/// # Example
/// ```
/// use power::ampacity::{Segment, Terminals};
/// use power::circuit::{CircuitRequest, design_circuit};
/// use power::circuit_load::{Duty, Marked};
/// use power::conductor_temperature::table_temperature;
/// use power::element::Element;
/// use power::supply::{Connection, supply};
/// use quantity::{Length, Power, Temperature, Voltage};
/// use tables::{ampacity::TemperatureColumn, cable::cable_type, conductor::ConductorMaterial, nec::NecEdition};
/// let request = CircuitRequest {
///     supply: supply("120/240 V")?,
///     connection: Connection::LineToLine,
///     elements: vec![Element::new(Power::from_kilowatts(9.0), Voltage::from_volts(240.0))?],
///     duty: Duty { continuous: false, reason: "on-demand, short draws".into() },
///     marked: Marked::default(),
///     needs_neutral: false,
///     material: ConductorMaterial::Copper,
///     segments: vec![Segment {
///         label: "basement".into(),
///         cable: cable_type("NM-B")?,
///         length: Length::from_feet(50.0),
///         ambient: Temperature::from_celsius(30.0),
///         current_carrying: 2,
///         in_thermal_insulation: false,
///     }],
///     terminals: Terminals { supply_end: TemperatureColumn::C75, load_end: TemperatureColumn::C75 },
///     drop_target: None,
///     conductor_temperature: table_temperature(),
///     edition: NecEdition::Nec2020,
/// };
/// let design = design_circuit(&request)?;
/// // Fact sheet, case BR1: 37.5 A, 40 A breaker, 8 AWG; a two-wire cable whose white conductor is marked.
/// assert!((design.chosen.breaker.as_amperes() - 40.0).abs() < 1e-9);
/// assert_eq!(design.chosen.conductor.to_string(), "8 AWG");
/// assert!(!design.check.conductors.neutral && design.check.conductors.mark_white);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn design_circuit(request: &CircuitRequest) -> Result<CircuitDesign, PowerError> {
    let nominal = element_voltage(request.supply, request.connection)?;
    let load = circuit_load(
        &request.elements,
        nominal,
        &request.duty,
        request.marked,
        request.edition,
    )?;
    let breaker = breaker_window(&load, request.marked, request.edition)?
        .minimum
        .value;
    let (minimum_conductor, minimum_ampacity) =
        smallest_conductor(request, &load, breaker, Derating::Applied)?;
    let conductor = match request.drop_target {
        Some(target) => meeting_target(request, minimum_conductor, target)?.unwrap_or(minimum_conductor),
        None => minimum_conductor,
    };
    let bare = Chosen {
        breaker,
        conductor,
        equipment_ground: None,
    };
    let check = check_circuit(request, &bare)?;
    Ok(CircuitDesign {
        minimum_conductor,
        minimum_ampacity,
        chosen: Chosen {
            equipment_ground: Some(check.equipment_ground.size),
            ..bare
        },
        check,
    })
}

/// The first size from `minimum` up that meets the target and that every cable of the run is made in.
fn meeting_target(
    request: &CircuitRequest,
    minimum: ConductorSize,
    target: Ratio,
) -> Result<Option<ConductorSize>, PowerError> {
    let target = target_in_range(target)?;
    for size in sizes(request.material).filter(|size| size.area() >= minimum.area()) {
        let made = request
            .segments
            .iter()
            .all(|segment| segment.cable.has_size(size));
        if made && !above_target(&drop_at_nominal(request, size)?, target) {
            return Ok(Some(size));
        }
    }
    Ok(None)
}
