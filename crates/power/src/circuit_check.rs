//! One element circuit as built or planned, held against what it must carry.
//!
//! In: the request (elements, supply, run, terminals) and the parts chosen. Out: load, breaker range, ampacity with its
//! working, equipment ground, conductors, voltage drop, and every shortfall found. Start at [`check_circuit`].
//!
//! A shortfall states two figures; what follows from it is for the rule book and the people who decide.

use crate::PowerError;
use crate::ampacity::{AmpacityWorking, run_ampacity};
use crate::circuit::CircuitRequest;
use crate::circuit_load::{BreakerWindow, CircuitLoad, breaker_window, circuit_load};
use crate::conductor_temperature::resistance_at;
use crate::equipment_ground::{EquipmentGround, GroundRequest, counts_derating, ground_size};
use crate::error::in_range;
use crate::longest_length::target_in_range;
pub use crate::shortfall::Shortfall;
use crate::supply::{Connection, element_voltage};
use crate::voltage_drop::{Branch, BranchSolution, Feed, Path, solve};
use quantity::{ConductorSize, Current, Length, Ratio};
use tables::ampacity::sizes;
use tables::breaker::{is_standard, small_conductor_limit, standard_at_least};
use tables::conductor::{ConductorMaterial, Stranding, dc_resistance};
use tables::grounding::cable_ground;
use tables::sourced::Sourced;

/// The parts of a circuit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chosen {
    /// Breaker.
    pub breaker: Current,
    /// Ungrounded conductors.
    pub conductor: ConductorSize,
    /// Equipment ground, when it is not the one the cable comes with.
    pub equipment_ground: Option<ConductorSize>,
}

/// The conductors of a circuit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Conductors {
    /// Ungrounded conductors, and poles of the breaker.
    pub ungrounded: u8,
    /// A neutral comes along.
    pub neutral: bool,
    /// Those of this circuit that count as current-carrying.
    pub current_carrying: u8,
    /// A white conductor serves as an ungrounded one and must be marked so for good.
    pub mark_white: bool,
}

/// A circuit held against what it must carry.
#[derive(Debug, Clone, PartialEq)]
pub struct CircuitCheck {
    /// The parts.
    pub chosen: Chosen,
    /// What it carries.
    pub load: CircuitLoad,
    /// Ratings its breaker may have.
    pub breakers: BreakerWindow,
    /// Ampacity of its conductor along the run.
    pub ampacity: AmpacityWorking,
    /// Largest breaker that conductor may be protected at.
    pub largest_breaker: Sourced<Current>,
    /// The ground it needs.
    pub equipment_ground: EquipmentGround,
    /// The ground its cable comes with, where that is known.
    pub cable_ground: Option<Sourced<ConductorSize>>,
    /// Its conductors.
    pub conductors: Conductors,
    /// One-way length.
    pub length: Length,
    /// Drop and delivered power at the nominal voltage, nothing upstream.
    pub drop: BranchSolution,
    /// Where it falls short.
    pub shortfalls: Vec<Shortfall>,
}

/// Holds a circuit against what it must carry.
///
/// Breaker: Id ≤ breaker ≤ largest of the appliance, and ≤ largest of the conductor. Conductor: ampacity ≥ load, and
/// ampacity before derating ≥ Id. Ground: see [`ground_size`]. Drop: see [`solve`].
///
/// # Symbols
/// | here      | meaning                                                  | unit |
/// |-----------|----------------------------------------------------------|------|
/// | `request` | elements, supply, duty, markings, run, terminals, target | –    |
/// | `chosen`  | breaker, conductor, ground                               | A, – |
/// | Id       | sizing current, see [`circuit_load`]                     | A    |
/// | result    | every figure with its source, and the shortfalls         | –    |
///
/// # Valid
/// Breaker 1 A to 10 kA; run length 0 to 10 km; otherwise as the functions named above.
/// # Outside
/// [`PowerError`].
/// # Assumes
/// Two-wire circuit with ground; resistance at the request's conductor temperature; all elements on.
/// # Source
/// 210.19(A)(1), 210.20(A), 240.4(B), 240.4(D), 422.11(E), 250.122; status in the result.
/// # Example
/// ```
/// use power::ampacity::{Segment, Terminals};
/// use power::circuit::CircuitRequest;
/// use power::circuit_check::{Chosen, check_circuit};
/// use power::circuit_load::{Duty, Marked};
/// use power::conductor_temperature::table_temperature;
/// use power::element::Element;
/// use power::supply::{Connection, supply};
/// use quantity::{Current, Length, Power, Temperature, Voltage};
/// use tables::{ampacity::TemperatureColumn, cable::cable_type, conductor::ConductorMaterial, nec::NecEdition};
/// let request = CircuitRequest {
///     supply: supply("120/240 V")?,
///     connection: Connection::LineToLine,
///     elements: vec![Element::new(Power::from_kilowatts(8.0), Voltage::from_volts(240.0))?],
///     duty: Duty { continuous: false, reason: "on-demand, short draws".into() },
///     marked: Marked::default(),
///     needs_neutral: false,
///     material: ConductorMaterial::Copper,
///     segments: vec![Segment {
///         label: "conduit".into(),
///         cable: cable_type("THWN-2")?,
///         length: Length::from_feet(20.0),
///         ambient: Temperature::from_celsius(30.0),
///         current_carrying: 2,
///         in_thermal_insulation: false,
///     }],
///     terminals: Terminals { supply_end: TemperatureColumn::C75, load_end: TemperatureColumn::C75 },
///     drop_target: None,
///     conductor_temperature: table_temperature(),
///     edition: NecEdition::Nec2020,
/// };
/// let chosen = Chosen { breaker: Current::from_amperes(35.0), conductor: "10 AWG".parse()?, equipment_ground: None };
/// // Fact sheet, case BR4: 10 AWG has 35 A at 75 °C, but 240.4(D) ends at 30 A.
/// let check = check_circuit(&request, &chosen)?;
/// assert_eq!(check.shortfalls.len(), 1);
/// assert!((check.largest_breaker.value.as_amperes() - 30.0).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn check_circuit(request: &CircuitRequest, chosen: &Chosen) -> Result<CircuitCheck, PowerError> {
    let breaker = in_range(
        "breaker rating",
        chosen.breaker,
        Current::from_amperes(1.0),
        Current::from_amperes(1e4),
    )?;
    let edition = request.edition;
    let nominal = element_voltage(request.supply, request.connection)?;
    let load = circuit_load(&request.elements, nominal, &request.duty, request.marked, edition)?;
    let breakers = breaker_window(&load, request.marked, edition)?;
    let conductor = conductor_check(request, chosen.conductor, &load, breaker, Derating::Applied)?;
    let mut shortfalls = Vec::new();
    if !is_standard(breaker, edition) {
        shortfalls.push(Shortfall::BreakerNotStandard { breaker });
    }
    if breaker < load.design {
        shortfalls.push(Shortfall::BreakerBelowLoad {
            breaker,
            needed: load.design,
        });
    }
    if breaker > breakers.maximum {
        shortfalls.push(Shortfall::BreakerAboveMaximum {
            breaker,
            maximum: breakers.maximum,
        });
    }
    shortfalls.extend(conductor.shortfalls);

    let derating = if counts_derating(edition) {
        Derating::LeftOut
    } else {
        Derating::Applied
    };
    // When no size suffices, nothing is oversized and the ground keeps the table's size.
    let sufficient =
        smallest_conductor(request, &load, breaker, derating).map_or(chosen.conductor, |(size, _)| size);
    let equipment_ground = ground_size(&GroundRequest {
        breaker,
        sufficient,
        installed: chosen.conductor,
        material: request.material,
        ground_material: request.material,
        edition,
    })?;
    let cable_ground = request.segments.iter().find_map(|segment| {
        cable_ground(&segment.cable.id, chosen.conductor)
            .filter(|_| request.material == ConductorMaterial::Copper)
    });
    if let Some(found) = chosen
        .equipment_ground
        .or(cable_ground.map(|ground| ground.value))
        && found.area() < equipment_ground.size.area()
    {
        shortfalls.push(Shortfall::GroundTooSmall {
            found,
            needed: equipment_ground.size,
        });
    }

    let length = run_length(request)?;
    let drop = drop_at_nominal(request, chosen.conductor)?;
    if let Some(target) = request.drop_target {
        let target = target_in_range(target)?;
        if above_target(&drop, target) {
            shortfalls.push(Shortfall::DropAboveTarget {
                drop: drop.drop.of_source,
                target,
            });
        }
    }
    Ok(CircuitCheck {
        chosen: *chosen,
        load,
        breakers,
        ampacity: conductor.ampacity,
        largest_breaker: conductor.largest_breaker,
        equipment_ground,
        cable_ground,
        conductors: conductors(request),
        length,
        drop,
        shortfalls,
    })
}

/// Whether correction and adjustment are applied to the ampacity.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Derating {
    /// As the run asks.
    Applied,
    /// Base ampacities and caps only.
    LeftOut,
}

pub(crate) struct ConductorCheck {
    ampacity: AmpacityWorking,
    largest_breaker: Sourced<Current>,
    shortfalls: Vec<Shortfall>,
}

fn conductor_check(
    request: &CircuitRequest,
    size: ConductorSize,
    load: &CircuitLoad,
    breaker: Current,
    derating: Derating,
) -> Result<ConductorCheck, PowerError> {
    let edition = request.edition;
    let working = run_ampacity(
        size,
        request.material,
        &request.segments,
        request.terminals,
        edition,
    )?;
    let ampacity = match derating {
        Derating::Applied => working.ampacity,
        Derating::LeftOut => working.before_derating,
    };
    let next_standard = standard_at_least(ampacity, edition)?;
    let largest_breaker = match small_conductor_limit(size, request.material, edition) {
        Some(limit) if limit.value < next_standard.value => limit,
        _ => next_standard,
    };
    let mut shortfalls = Vec::new();
    for segment in &request.segments {
        if !segment.cable.has_size(size) {
            shortfalls.push(Shortfall::SizeNotMade {
                cable: segment.cable.id.clone(),
                size,
            });
        }
    }
    if working.before_derating < load.design {
        shortfalls.push(Shortfall::AmpacityBelowDesign {
            ampacity: working.before_derating,
            needed: load.design,
        });
    }
    if ampacity < load.load {
        shortfalls.push(Shortfall::AmpacityBelowLoad {
            ampacity,
            load: load.load,
        });
    }
    if largest_breaker.value < breaker {
        shortfalls.push(Shortfall::BreakerAboveConductor {
            breaker,
            largest: largest_breaker.value,
        });
    }
    Ok(ConductorCheck {
        ampacity: working,
        largest_breaker,
        shortfalls,
    })
}

/// The smallest conductor without a shortfall, with its working.
pub(crate) fn smallest_conductor(
    request: &CircuitRequest,
    load: &CircuitLoad,
    breaker: Current,
    derating: Derating,
) -> Result<(ConductorSize, AmpacityWorking), PowerError> {
    let mut last = None;
    for size in sizes(request.material) {
        let check = conductor_check(request, size, load, breaker, derating)?;
        match check.shortfalls.into_iter().next() {
            None => return Ok((size, check.ampacity)),
            Some(shortfall) => last = Some((size, shortfall)),
        }
    }
    Err(PowerError::NoConductor {
        material: request.material.to_string(),
        largest: last
            .as_ref()
            .map_or_else(String::new, |(size, _)| size.to_string()),
        why: last.map_or_else(String::new, |(_, shortfall)| shortfall.to_string()),
    })
}

fn conductors(request: &CircuitRequest) -> Conductors {
    let between_lines = request.connection == Connection::LineToLine;
    let neutral = !between_lines || request.needs_neutral;
    let neutral_counts = between_lines && neutral && request.supply.neutral_carries;
    Conductors {
        ungrounded: if between_lines { 2 } else { 1 },
        neutral,
        current_carrying: 2 + u8::from(neutral_counts),
        mark_white: between_lines
            && !neutral
            && request
                .segments
                .iter()
                .any(|segment| segment.cable.white_conductor),
    }
}

/// One-way length of the run.
pub(crate) fn run_length(request: &CircuitRequest) -> Result<Length, PowerError> {
    let most = Length::from_meters(1e4);
    let segments = request
        .segments
        .iter()
        .map(|segment| in_range("length of a segment", segment.length, Length::zero(), most))
        .sum::<Result<Length, _>>()?;
    in_range("length of the run", segments, Length::zero(), most)
}

/// Drop of the circuit at nominal voltage with nothing upstream.
pub(crate) fn drop_at_nominal(
    request: &CircuitRequest,
    size: ConductorSize,
) -> Result<BranchSolution, PowerError> {
    let table = dc_resistance(size, request.material, Stranding::usual(size))?;
    let resistance = resistance_at(table.value, request.material, request.conductor_temperature)?;
    let feed = Feed {
        source_voltage: element_voltage(request.supply, request.connection)?,
        upstream: Vec::new(),
        panel_load: None,
        branches: vec![Branch {
            label: "circuit".to_owned(),
            path: Path::two_conductors("run", run_length(request)?, resistance, None),
            elements: request.elements.clone(),
        }],
    };
    solve(&feed)?.branches.pop().ok_or(PowerError::Nothing {
        what: "element circuit",
    })
}

/// Whether a drop is above the target, by more than the rounding of the arithmetic.
pub(crate) fn above_target(drop: &BranchSolution, target: Ratio) -> bool {
    drop.drop.of_source.as_fraction() > target.as_fraction() + 1e-12
}
