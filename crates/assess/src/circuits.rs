//! Element circuits: each designed or checked against its run, then all of a heater solved together at the real voltage.
//!
//! In: the record's circuits and routes; circuits a heater still lacks are planned, one an element, from the main panel.
//! Out: [`Circuits`], and each heater's delivered power. Start at [`solve`].

use crate::circuit_plan::{Part, circuits_of, part};
use crate::circuit_run::Run;
use crate::circuit_wiring;
use crate::context::{Context, source_at};
use crate::given::Known;
use crate::house_wiring::{HouseWiring, voltage_at, wires_of};
use crate::supply_path::SupplyPath;
use crate::{CircuitResult, LongestLength, engine_names};
use job::{CableType, Circuit, HeatSource, SourceKind, SourceStatus};
use power::ampacity::AmpacityWorking;
use power::circuit_check::CircuitCheck;
use power::conductor_temperature::table_temperature;
use power::element::Element;
use power::longest_length::longest_lengths;
use power::supply::Connection;
use power::wiring_tree::{TreeLoad, TreeSection, Wire, WiringTree, solve_tree};
use quantity::{ConductorSize, Current, Power, Ratio, Voltage};
use std::borrow::Cow;
use tables::ampacity::TemperatureColumn;

/// One circuit with everything the rules and the report want to know of it.
#[derive(Debug)]
pub(crate) struct SolvedCircuit<'job> {
    pub(crate) circuit: Cow<'job, Circuit>,
    pub(crate) heater: usize,
    pub(crate) result: CircuitResult,
    pub(crate) check: CircuitCheck,
    pub(crate) run: Run,
    pub(crate) connection: Connection,
    pub(crate) continuous: Known<bool>,
    pub(crate) total_drop: Ratio,
    pub(crate) cable: CableType,
    /// Elements on it that can be on together.
    pub(crate) elements: Vec<Element>,
}

/// What became of the circuits of all heaters.
#[derive(Debug, Default)]
pub(crate) struct Circuits<'job> {
    pub(crate) solved: Vec<SolvedCircuit<'job>>,
    /// Power each heater really gets, by index into the record's sources.
    pub(crate) delivered: Vec<(usize, Power)>,
    /// Share by which the voltage at the main panel sinks, largest of all heaters.
    pub(crate) voltage_step: Option<Ratio>,
}

/// Designs, checks and solves all element circuits of heaters that stand or are added.
pub(crate) fn solve<'job>(
    context: &Context<'job>,
    path: &SupplyPath,
    wiring: &HouseWiring,
) -> Circuits<'job> {
    let mut all = Circuits::default();
    for (index, heater) in context.heaters() {
        let planned = circuits_of(context, index, heater);
        let mut parts = Vec::new();
        for (at, circuit) in planned {
            match part(context, path, index, heater, at, circuit) {
                Ok(part) => parts.push(part),
                Err((id, error)) => context.gap(format!("circuit {id}"), "the circuit", error.to_string()),
            }
        }
        if parts.is_empty() {
            let power = rated_power(context, index, heater);
            let share = path.no_load_share(heater);
            all.delivered.push((index, power * share * share));
            continue;
        }
        solve_heater(context, path, wiring, index, heater, parts, &mut all);
    }
    all
}

/// Rated power of the elements that can be on at once.
pub(crate) fn rated_power(context: &Context<'_>, index: usize, heater: &HeatSource) -> Power {
    if simultaneous(context, index, heater) {
        heater.elements.iter().map(|element| element.power).sum()
    } else {
        heater
            .elements
            .iter()
            .map(|element| element.power)
            .fold(Power::zero(), Power::max)
    }
}

pub(crate) fn simultaneous(context: &Context<'_>, index: usize, heater: &HeatSource) -> bool {
    let key = match heater.kind {
        SourceKind::OnDemand => "sources.simultaneous.on-demand",
        SourceKind::Tank => "sources.simultaneous.tank",
    };
    if heater.elements.len() < 2 {
        return true;
    }
    context
        .given
        .take_other(
            heater.simultaneous,
            source_at(index).field("simultaneous"),
            key,
            crate::given::yes_or_no,
        )
        .value
}

fn solve_heater<'job>(
    context: &Context<'job>,
    path: &SupplyPath,
    wiring: &HouseWiring,
    index: usize,
    heater: &HeatSource,
    parts: Vec<Part<'job>>,
    all: &mut Circuits<'job>,
) {
    let main = wiring.main;
    let mut tree = WiringTree {
        source: wiring.source,
        sections: wiring.sections.clone(),
        loads: wiring.loads.clone(),
    };
    let house_loads = tree.loads.len();
    let quiet = solve_tree(&tree);
    let mut places = Vec::with_capacity(parts.len());
    for (number, part) in parts.iter().enumerate() {
        let wires = wires_of(path, part.request.connection, number);
        let panel = wiring.panel(&part.circuit.panel);
        tree.sections.push(TreeSection {
            label: format!("circuit {}", part.circuit.id),
            above: panel,
            impedance: part.branch,
        });
        let at = tree.sections.len() - 1;
        let first = tree.loads.len();
        for element in &part.request.elements {
            tree.loads.push(TreeLoad {
                label: format!("an element on circuit {}", part.circuit.id),
                at: Some(at),
                between: wires,
                draws: (*element).into(),
            });
        }
        places.push(Place {
            wires,
            panel,
            loads: first..tree.loads.len(),
        });
    }
    let solved = match quiet.and_then(|quiet| Ok((quiet, solve_tree(&tree)?))) {
        Ok(solved) => solved,
        Err(error) => {
            context.gap(
                crate::context::source_name(heater),
                "its voltage",
                error.to_string(),
            );
            all.delivered.push((index, Power::zero()));
            return;
        }
    };
    let (quiet, running) = solved;
    let delivered = running.loads[house_loads..].iter().map(|load| load.power).sum();
    if heater.status == SourceStatus::Proposed {
        let wires = places[0].wires;
        let open = path.source_voltage(parts[0].request.connection);
        let before = voltage_at(&quiet, main, wires, open);
        let step = Ratio::from_fraction((before - voltage_at(&running, main, wires, open)) / before);
        all.voltage_step = Some(all.voltage_step.map_or(step, |known| known.max(step)));
    }
    for (part, place) in parts.into_iter().zip(places) {
        let source = path.source_voltage(part.request.connection);
        let at_panel = voltage_at(&running, place.panel, place.wires, source);
        let loads = &running.loads[place.loads.clone()];
        let ends = Ends {
            source,
            panel: at_panel,
            element: loads.first().map_or(at_panel, |load| load.voltage),
            current: loads.iter().map(|load| load.current).sum(),
            delivered: loads.iter().map(|load| load.power).sum(),
        };
        let solved = solved_circuit(context, index, heater, part, place.wires, &ends);
        all.solved.push(solved);
    }
    all.delivered.push((index, delivered));
}

/// Where a circuit hangs in the tree, and its elements among the loads.
struct Place {
    wires: (Wire, Wire),
    panel: Option<usize>,
    loads: std::ops::Range<usize>,
}

/// Voltages along a circuit, and what it carries. Elements of one circuit are resistances at one place, so their currents
/// add up as numbers.
struct Ends {
    source: Voltage,
    panel: Voltage,
    element: Voltage,
    current: Current,
    delivered: Power,
}

fn solved_circuit<'job>(
    context: &Context<'job>,
    heater_index: usize,
    heater: &HeatSource,
    part: Part<'job>,
    wires: (Wire, Wire),
    ends: &Ends,
) -> SolvedCircuit<'job> {
    let drop_target = part
        .request
        .drop_target
        .unwrap_or_else(|| Ratio::from_percent(3.0));
    let drop = ends.panel - ends.element;
    let longest = longest(context, &part, ends.panel, drop_target);
    let wiring = circuit_wiring::wiring(context, &part, wires, ends.current);
    let conductors = &part.check.conductors;
    let result = CircuitResult {
        id: part.circuit.id.clone(),
        heater: heater.id.clone(),
        panel: part.circuit.panel.clone(),
        existing: part.circuit.existing,
        elements: elements_text(context, &part.request.elements),
        load_current: part.check.load.load,
        required_current: part.check.load.design,
        continuous: part.continuous.value,
        breaker: part.check.chosen.breaker,
        breaker_min: part.check.breakers.minimum.value,
        conductor: part.check.chosen.conductor,
        conductor_entered: part.circuit.conductor.is_some(),
        conductor_min: part.minimum.0,
        conductor_for_drop: part.for_drop,
        material: part.material,
        cable: engine_names::cable(part.cable).to_owned(),
        ampacity: part.check.ampacity.ampacity,
        ampacity_working: ampacity_text(&part.check.ampacity),
        ground: part
            .check
            .chosen
            .equipment_ground
            .unwrap_or(part.check.equipment_ground.size),
        insulated_conductors: conductors.ungrounded + u8::from(conductors.neutral),
        length: part.run.length,
        panel_voltage: ends.panel,
        element_voltage: ends.element,
        drop,
        drop_share: Ratio::from_fraction(drop / ends.panel),
        drop_target,
        running_current: ends.current,
        delivered_power: ends.delivered,
        longest,
        wiring,
    };
    SolvedCircuit {
        heater: heater_index,
        result,
        connection: part.request.connection,
        total_drop: Ratio::from_fraction((ends.source - ends.element) / ends.source),
        circuit: part.circuit,
        check: part.check,
        run: part.run,
        continuous: part.continuous,
        cable: part.cable,
        elements: part.request.elements,
    }
}

fn longest(context: &Context<'_>, part: &Part<'_>, panel: Voltage, target: Ratio) -> Vec<LongestLength> {
    let reaches = longest_lengths(
        &part.request.elements,
        panel,
        target,
        part.request.material,
        table_temperature(),
    );
    // One size below the smallest that carries the load is shown too, down to 10 AWG.
    let smallest = ConductorSize::Awg(10).area().min(part.minimum.0.area());
    match reaches {
        Ok(reaches) => reaches
            .into_iter()
            .map(|reach| LongestLength {
                conductor: reach.size,
                length: reach.longest,
                carries: reach.size.area() >= part.minimum.0.area(),
            })
            .filter(|reach| reach.conductor.area() >= smallest)
            .take(6)
            .collect(),
        Err(error) => {
            context.gap(
                format!("circuit {}", part.circuit.id),
                "the longest length of each size",
                error.to_string(),
            );
            Vec::new()
        }
    }
}

fn elements_text(context: &Context<'_>, elements: &[Element]) -> String {
    let units = context.given.units();
    let texts: Vec<String> = elements
        .iter()
        .map(|element| {
            format!(
                "{} at {}",
                element.rated_power().show(units),
                element.rated_voltage().show(units)
            )
        })
        .collect();
    texts.join(" + ")
}

/// The ampacity as a sentence: base × factors, then what caps it.
fn ampacity_text(working: &AmpacityWorking) -> String {
    let worst = working
        .segments
        .iter()
        .min_by(|a, b| a.ampacity.as_amperes().total_cmp(&b.ampacity.as_amperes()));
    let Some(worst) = worst else { return String::new() };
    let units = quantity::UnitSystem::Us;
    let column = |column: TemperatureColumn| format!("{} °C column", column.marking_c());
    let cap = worst.cable_cap.map_or(String::new(), |cap| {
        format!(
            ", cable never above {} ({})",
            cap.ampacity.show(units),
            column(cap.column)
        )
    });
    format!(
        "{}: {} ({}) × {} ambient × {} bundling = {}{cap}; terminals {} ({}); governed by {}",
        worst.label,
        worst.base.value.show(units),
        column(worst.column),
        worst.correction.value.as_fraction(),
        worst.adjustment.value.as_fraction(),
        worst.derated.show(units),
        working.terminal_cap.ampacity.show(units),
        column(working.terminal_cap.column),
        working.limit,
    )
}

impl SolvedCircuit<'_> {
    /// The path of the circuit's conductors, for drawings and facts.
    pub(crate) fn poles(&self) -> u8 {
        match self.connection {
            Connection::LineToLine => 2,
            Connection::LineToNeutral => 1,
        }
    }
}
