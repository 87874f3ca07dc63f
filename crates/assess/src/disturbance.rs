//! What the rest of the house feels when the heater switches: voltage at the panel and at a lamp, flicker.
//!
//! In: the house's wiring, the new heater's circuits. Out: [`Disturbance`]: one element, and all of them, each with the
//! step at transformer, panel and lamp, and the flicker severity at the rate it switches.

use crate::circuits::SolvedCircuit;
use crate::context::{Context, source_at};
use crate::given::{count, word};
use crate::house_wiring::{HouseWiring, conductor, voltage_at, wires_of};
use crate::supply_path::SupplyPath;
use crate::{Disturbance, SwitchingStep, engine_names};
use job::{PowerControl, SourceStatus};
use power::PowerError;
use power::element::Element;
use power::voltage_step::flicker_severity;
use power::wiring_tree::{
    Draws, SectionImpedance, TreeLoad, TreeSection, TreeSolution, Wire, WiringTree, solve_tree,
};
use quantity::{ConductorSize, Length, Power, Ratio, Voltage};
use tables::conductor::ConductorMaterial;
use tables::flicker_curve::Lamp;
use tables::flicker_limits::flicker_limits;
use tables::sourced::Sourced;
use trace::{Origin, RecordPath};

/// What the house feels; none without a new heater.
pub(crate) fn disturbance(
    context: &Context<'_>,
    path: &SupplyPath,
    wiring: &HouseWiring,
    circuits: &[SolvedCircuit<'_>],
) -> Option<Disturbance> {
    let is_new =
        |circuit: &&SolvedCircuit<'_>| context.job.sources[circuit.heater].status == SourceStatus::Proposed;
    let heater = circuits.iter().find(is_new)?.heater;
    let new: Vec<&SolvedCircuit<'_>> = circuits
        .iter()
        .filter(|circuit| circuit.heater == heater)
        .collect();
    match worked_out(context, path, wiring, &new, heater) {
        Ok(found) => Some(found),
        Err(error) => {
            context.gap("service", "what the rest of the house feels", error.to_string());
            None
        }
    }
}

fn worked_out(
    context: &Context<'_>,
    path: &SupplyPath,
    wiring: &HouseWiring,
    circuits: &[&SolvedCircuit<'_>],
    heater: usize,
) -> Result<Disturbance, PowerError> {
    let source = &context.job.sources[heater];
    let given = &context.given;
    let place = |field| source_at(heater).field(field);
    let control = given.take_other(source.control, place("control"), "sources.control", word);
    let key = match control.value {
        PowerControl::Staged => "sources.changes_per_minute.staged",
        PowerControl::Bursts => "sources.changes_per_minute.bursts",
    };
    let changes = given.take_other(
        source.changes_per_minute,
        place("changes_per_minute"),
        key,
        count::<u16>,
    );
    let house = House::new(context, path, wiring)?;
    let quiet = house.solved(&[])?;
    let one = house.with(path, &circuits[..1], Some(1))?;
    let all = house.with(path, circuits, None)?;
    let lamp = if path.supply.line_to_neutral < Voltage::from_volts(150.0) {
        Lamp::Volts120
    } else {
        Lamp::Volts230
    };
    let step = |what: &str, running: &TreeSolution, rate: f64| {
        let (neighbors, panel, at_lamp) = house.sink(path, &quiet, running);
        SwitchingStep {
            what: what.to_owned(),
            neighbors,
            panel,
            lamp: at_lamp,
            severity: flicker_severity(at_lamp, rate, lamp)
                .ok()
                .map(|found| found.value),
        }
    };
    let limits = flicker_limits();
    let shown = |limit: &Sourced<Ratio>, what: &str, unit: &str| {
        format!("{what}: {} ({})", limit.value.show_in(unit), limit.source)
    };
    Ok(Disturbance {
        steps: vec![
            step("one element", &one, f64::from(changes.value)),
            step(
                "all elements at once, on or off with a draw",
                &all,
                DRAW_CHANGES_PER_MINUTE,
            ),
        ],
        changes_per_minute: changes.value,
        basis: match changes.origin {
            Origin::Entered => "rate of switching as entered".to_owned(),
            _ => "rate of switching assumed, see assumptions".to_owned(),
        },
        limits: vec![
            format!("short-term severity: 1 ({})", limits.short_term.source),
            shown(&limits.steady_change, "steady change", "%"),
            shown(
                &limits.largest_change_manual,
                "largest change, several times a day",
                "%",
            ),
        ],
    })
}

/// A draw starts and ends a few times an hour; the curve begins at six changes an hour.
const DRAW_CHANGES_PER_MINUTE: f64 = 0.1;

/// The house with lamps on each leg.
struct House<'w> {
    wiring: &'w HouseWiring,
    tree: WiringTree,
    lamps: Vec<(usize, Wire)>,
}

impl<'w> House<'w> {
    fn new(context: &Context<'_>, path: &SupplyPath, wiring: &'w HouseWiring) -> Result<Self, PowerError> {
        let at = || RecordPath::from("service");
        let given = &context.given;
        let length: Length = given.take(None, at(), "lamp_circuit.length").value;
        let power: Power = given.take(None, at(), "lamp_circuit.power").value;
        let size: ConductorSize = given
            .take_other(None, at(), "lamp_circuit.conductor", |text| text.parse().ok())
            .value;
        let line = conductor(size, ConductorMaterial::Copper, length, None)?;
        let mut house = Self {
            wiring,
            tree: WiringTree {
                source: wiring.source,
                sections: wiring.sections.clone(),
                loads: wiring.loads.clone(),
            },
            lamps: Vec::new(),
        };
        for leg in &Wire::ALL[..usize::from(path.supply.ungrounded).min(3)] {
            let lamp = Element::new(power, path.supply.line_to_neutral)?;
            house.tree.sections.push(TreeSection {
                label: "lamp circuit".to_owned(),
                above: wiring.main,
                impedance: SectionImpedance::conductors(line, line),
            });
            let at = house.tree.sections.len() - 1;
            house.tree.loads.push(TreeLoad {
                label: "lamps".to_owned(),
                at: Some(at),
                between: (*leg, Wire::Neutral),
                draws: lamp.into(),
            });
            house.lamps.push((at, *leg));
        }
        Ok(house)
    }

    fn solved(&self, more: &[(TreeSection, Vec<TreeLoad>)]) -> Result<TreeSolution, PowerError> {
        let mut tree = self.tree.clone();
        for (section, loads) in more {
            tree.sections.push(section.clone());
            let at = Some(tree.sections.len() - 1);
            tree.loads
                .extend(loads.iter().map(|load| TreeLoad { at, ..load.clone() }));
        }
        solve_tree(&tree)
    }

    /// With circuits running, all their elements or the first few of each.
    fn with(
        &self,
        path: &SupplyPath,
        circuits: &[&SolvedCircuit<'_>],
        first: Option<usize>,
    ) -> Result<TreeSolution, PowerError> {
        let mut more = Vec::new();
        for (number, circuit) in circuits.iter().enumerate() {
            let metal = engine_names::metal(circuit.result.material);
            let run = &circuit.run;
            let line = conductor(circuit.result.conductor, metal, run.length, run.raceway)?;
            let wires = wires_of(path, circuit.connection, number);
            let section = TreeSection {
                label: circuit.result.id.clone(),
                above: self.wiring.panel(&circuit.result.panel),
                impedance: SectionImpedance::conductors(line, line),
            };
            let loads = circuit
                .elements
                .iter()
                .take(first.unwrap_or(usize::MAX))
                .map(|element| TreeLoad {
                    label: circuit.result.id.clone(),
                    at: None,
                    between: wires,
                    draws: Draws::from(*element),
                })
                .collect();
            more.push((section, loads));
        }
        self.solved(&more)
    }

    /// Shares by which voltage sinks at the transformer, at the main panel, and at the worse lamp.
    fn sink(&self, path: &SupplyPath, quiet: &TreeSolution, running: &TreeSolution) -> (Ratio, Ratio, Ratio) {
        let usual = path.supply.usual_connection;
        let wires = wires_of(path, usual, 0);
        let open = path.source_voltage(usual);
        let share = |at: Option<usize>, wires| {
            let before = voltage_at(quiet, at, wires, open);
            let after = voltage_at(running, at, wires, open);
            // A lamp on a leg that rises feels no sag; rounding must not make one below nought either.
            Ratio::from_fraction(((before - after) / before).max(0.0))
        };
        let lamp = self
            .lamps
            .iter()
            .map(|(at, leg)| share(Some(*at), (*leg, Wire::Neutral)))
            .reduce(Ratio::max)
            .unwrap_or_else(|| Ratio::from_fraction(0.0));
        let transformer = self
            .wiring
            .transformer
            .map_or_else(|| Ratio::from_fraction(0.0), |at| share(Some(at), wires));
        (transformer, share(self.wiring.main, wires), lamp)
    }
}
