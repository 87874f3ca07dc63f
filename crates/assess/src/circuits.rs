//! Element circuits: each designed or checked against its run, then all of a heater solved together at the real voltage.
//!
//! In: the record's circuits and routes; circuits a heater still lacks are planned, one an element, from the main panel.
//! Out: [`Circuits`], and each heater's delivered power. Start at [`solve`].

use crate::circuit_plan::{Part, circuits_of, part};
use crate::circuit_run::Run;
use crate::context::{Context, source_at};
use crate::given::Known;
use crate::supply_path::SupplyPath;
use crate::{CircuitResult, LongestLength, engine_names};
use job::{CableType, Circuit, HeatSource, SourceKind, SourceStatus};
use power::ampacity::AmpacityWorking;
use power::circuit_check::CircuitCheck;
use power::conductor_temperature::table_temperature;
use power::element::Element;
use power::longest_length::longest_lengths;
use power::supply::Connection;
use power::voltage_drop::{Feed, FeedSolution, solve as solve_feed};
use quantity::{ConductorSize, Power, Ratio, Voltage};
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
pub(crate) fn solve<'job>(context: &Context<'job>, path: &SupplyPath) -> Circuits<'job> {
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
        solve_heater(context, path, index, heater, parts, &mut all);
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
    index: usize,
    heater: &HeatSource,
    parts: Vec<Part<'job>>,
    all: &mut Circuits<'job>,
) {
    let mut delivered = Power::zero();
    let mut groups: Vec<(String, Vec<Part<'job>>)> = Vec::new();
    for part in parts {
        let key = (part.circuit.panel.clone(), part.request.connection);
        match groups
            .iter_mut()
            .find(|(panel, group)| *panel == key.0 && group[0].request.connection == key.1)
        {
            Some((_, group)) => group.push(part),
            None => groups.push((key.0, vec![part])),
        }
    }
    for (panel, group) in groups {
        let connection = group[0].request.connection;
        let feed = Feed {
            source_voltage: path.source_voltage(connection),
            upstream: path.upstream(context, &panel, connection),
            panel_load: None,
            branches: group.iter().map(|part| part.branch.clone()).collect(),
        };
        match solve_feed(&feed) {
            Ok(solution) => {
                delivered += solution.delivered();
                if heater.status == SourceStatus::Proposed {
                    let step = SupplyPath::step_at_main(&solution, feed.source_voltage);
                    all.voltage_step = Some(all.voltage_step.map_or(step, |known| known.max(step)));
                }
                collect(context, index, heater, group, &solution, all);
            }
            Err(error) => context.gap(
                crate::context::source_name(heater),
                "its voltage",
                error.to_string(),
            ),
        }
    }
    all.delivered.push((index, delivered));
}

fn collect<'job>(
    context: &Context<'job>,
    heater_index: usize,
    heater: &HeatSource,
    group: Vec<Part<'job>>,
    solution: &FeedSolution,
    all: &mut Circuits<'job>,
) {
    for (part, branch) in group.into_iter().zip(&solution.branches) {
        let drop_target = part
            .request
            .drop_target
            .unwrap_or_else(|| Ratio::from_percent(3.0));
        let drop_share = Ratio::from_fraction(branch.drop.voltage / solution.panel_voltage);
        let longest = longest(context, &part, solution.panel_voltage, drop_target);
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
            panel_voltage: solution.panel_voltage,
            element_voltage: branch.element_voltage,
            drop: branch.drop.voltage,
            drop_share,
            drop_target,
            running_current: branch.current,
            delivered_power: branch.delivered,
            longest,
        };
        all.solved.push(SolvedCircuit {
            heater: heater_index,
            result,
            connection: part.request.connection,
            total_drop: branch.total_drop.of_source,
            circuit: part.circuit,
            check: part.check,
            run: part.run,
            continuous: part.continuous,
            cable: part.cable,
        });
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
