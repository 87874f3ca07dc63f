//! The wires of the house as the engine's tree: transformer, service conductors, feeders, panels, what else runs.
//!
//! In: the record's service. Out: sections with their places, ready for branches and loads; available fault current at a
//! panel. Only a split-phase house gets a transformer and a drop by default; elsewhere what is not given is left out,
//! because nothing usual is known of a building's supply. Neutral conductors are taken as large as the lines.

use crate::context::Context;
use crate::supply_path::SupplyPath;
use crate::{engine_names, given};
use job::{Panel, Raceway, SupplySystem};
use power::PowerError;
use power::center_tapped::{CenterTapped, resistance_and_reactance};
use power::conductor_run::{ConductorRun, conductor_impedance};
use power::conductor_temperature::table_temperature;
use power::supply::Connection;
use power::wiring_tree::{
    Draws, Impedance, SectionImpedance, SourceVoltages, TreeLoad, TreeSection, TreeSolution, Wire,
    available_fault,
};
use quantity::{
    ApparentPower, ConductorSize, Current, Length, Power, Ratio, Reactance, Resistance, Temperature,
};
use tables::conductor::ConductorMaterial;
use tables::conductor_impedance::Surrounding;
use trace::RecordPath;

/// The tree of the house without its heaters.
#[derive(Debug, Clone)]
pub(crate) struct HouseWiring {
    pub(crate) source: SourceVoltages,
    pub(crate) sections: Vec<TreeSection>,
    /// What runs in the house besides the heaters, as far as the record says.
    pub(crate) loads: Vec<TreeLoad>,
    /// Section that ends at the transformer's terminals.
    pub(crate) transformer: Option<usize>,
    /// Section that ends at the main panel; none when it is fed straight from the source.
    pub(crate) main: Option<usize>,
    panels: Vec<(String, Option<usize>)>,
    split: bool,
    conductors: Temperature,
}

impl HouseWiring {
    /// With conductors at that temperature.
    pub(crate) fn new(
        context: &Context<'_>,
        path: &SupplyPath,
        conductors: Temperature,
    ) -> Result<Self, PowerError> {
        let mut wiring = Self::bare(path, conductors)?;
        if context.job.service.is_some() {
            wiring.upstream(context, path)?;
            wiring.feeders(context)?;
            wiring.running(context, path);
        }
        Ok(wiring)
    }

    /// Behind a known impedance that ends at the main panel.
    pub(crate) fn behind(
        context: &Context<'_>,
        path: &SupplyPath,
        ahead: SectionImpedance,
        conductors: Temperature,
    ) -> Result<Self, PowerError> {
        let mut wiring = Self::bare(path, conductors)?;
        wiring.main = Some(wiring.push("supply", None, ahead));
        wiring.feeders(context)?;
        Ok(wiring)
    }

    fn bare(path: &SupplyPath, conductors: Temperature) -> Result<Self, PowerError> {
        let usual = path.supply.usual_connection;
        Ok(Self {
            source: SourceVoltages::of(path.supply, path.source_voltage(usual))?,
            sections: Vec::new(),
            loads: Vec::new(),
            transformer: None,
            main: None,
            panels: Vec::new(),
            split: path.supply.ungrounded == 2 && !path.supply.neutral_carries,
            conductors,
        })
    }

    /// The section that ends at the panel called `id`; the main panel's for a name nobody knows.
    pub(crate) fn panel(&self, id: &str) -> Option<usize> {
        self.panels
            .iter()
            .find(|(known, _)| known == id)
            .map_or(self.main, |(_, section)| *section)
    }

    /// Available fault current at the end of a section, the larger of line to line and line to neutral where both are.
    pub(crate) fn fault(
        &self,
        path: &SupplyPath,
        sections: &[TreeSection],
        at: usize,
    ) -> Result<FaultCurrents, PowerError> {
        let lines = path
            .supply
            .line_to_line
            .map(|_| available_fault(&self.source, sections, at, (Wire::A, Wire::B)))
            .transpose()?;
        let neutral = available_fault(&self.source, sections, at, (Wire::A, Wire::Neutral))?;
        Ok(FaultCurrents { lines, neutral })
    }

    fn upstream(&mut self, context: &Context<'_>, path: &SupplyPath) -> Result<(), PowerError> {
        let Some(service) = &context.job.service else {
            return Ok(());
        };
        let default_supply = service.system == SupplySystem::SplitPhase120_240;
        if default_supply || service.transformer.is_some() {
            let impedance = self.transformer_impedance(context, path)?;
            self.transformer = Some(self.push("transformer", None, impedance));
            self.main = self.transformer;
        }
        if default_supply || service.drop.is_some() {
            let (length, size, metal) = drop(context);
            let line = conductor_at(size, metal, length, None, self.conductors)?;
            self.main = Some(self.push(
                "service conductors",
                self.transformer,
                SectionImpedance::conductors(line, line),
            ));
        }
        Ok(())
    }

    fn transformer_impedance(
        &self,
        context: &Context<'_>,
        path: &SupplyPath,
    ) -> Result<SectionImpedance, PowerError> {
        let place = RecordPath::from("service.transformer");
        let recorded = context
            .job
            .service
            .as_ref()
            .and_then(|service| service.transformer.as_ref());
        let rating: ApparentPower = context
            .given
            .take(
                recorded.map(|unit| unit.rating),
                place.clone(),
                "service.transformer.rating",
            )
            .value;
        let (resistance, reactance) = if let Some(impedance) = recorded.and_then(|unit| unit.impedance) {
            let usual = given::default_quantity("service.transformer.resistance");
            resistance_and_reactance(impedance, usual)
        } else {
            let take = |key| {
                context
                    .given
                    .take(None::<Ratio>, place.field("impedance"), key)
                    .value
            };
            (take("service.transformer.resistance"), {
                given::default_quantity("service.transformer.reactance")
            })
        };
        if self.split {
            let unit = CenterTapped {
                rating,
                line_voltage: path.supply.load_voltage,
                resistance,
                reactance,
            };
            return Ok(SectionImpedance::center_tapped(&unit.windings()?));
        }
        // A bank of three, or one line: the same share of the base in each line.
        let volts = path.supply.load_voltage.as_volts();
        let base_ohm = volts * volts / rating.as_volt_amperes();
        Ok(SectionImpedance::each_line(Impedance::new(
            Resistance::from_ohms(base_ohm * resistance.as_fraction()),
            Reactance::from_ohms(base_ohm * reactance.as_fraction()),
        )))
    }

    /// Feeders from the main panel outward; a panel whose feeder is not recorded hangs where its parent does.
    fn feeders(&mut self, context: &Context<'_>) -> Result<(), PowerError> {
        let all = context
            .job
            .service
            .as_ref()
            .map_or(&[][..], |service| &service.panels);
        let mut waiting: Vec<&Panel> = all.iter().collect();
        while !waiting.is_empty() {
            let before = waiting.len();
            let mut later = Vec::new();
            for panel in waiting {
                let above = match &panel.fed_from {
                    None => Some(self.main),
                    Some(parent) => self
                        .panels
                        .iter()
                        .find(|(known, _)| known == parent)
                        .map(|(_, section)| *section),
                };
                let Some(above) = above else {
                    later.push(panel);
                    continue;
                };
                let section = match &panel.feeder {
                    Some(feeder) => {
                        let metal = engine_names::metal(feeder.material);
                        let line =
                            conductor_at(feeder.conductor, metal, feeder.length, None, self.conductors)?;
                        let impedance = SectionImpedance::conductors(line, line);
                        Some(self.push(&format!("feeder to {}", panel.id), above, impedance))
                    }
                    None => above,
                };
                self.panels.push((panel.id.clone(), section));
            }
            if later.len() == before {
                // A ring of panels, or one fed from a panel that is not recorded: they count at the main panel.
                break;
            }
            waiting = later;
        }
        Ok(())
    }

    /// What the record says runs on each leg with the heaters off.
    fn running(&mut self, context: &Context<'_>, path: &SupplyPath) {
        let currents = &context.job.loads.leg_currents;
        if currents.is_empty() {
            return;
        }
        let at = RecordPath::from("loads.leg_currents");
        let take = |key| context.given.take(None::<Ratio>, at.clone(), key).value;
        let (power_factor, constant_power) = (take("loads.power_factor"), take("loads.constant_power"));
        let rated_voltage = path.supply.line_to_neutral;
        for (wire, current) in Wire::ALL.into_iter().zip(currents) {
            let power: Power = (rated_voltage * *current) * power_factor.as_fraction();
            self.loads.push(TreeLoad {
                label: format!("what runs on leg {wire:?}"),
                at: self.main,
                between: (wire, Wire::Neutral),
                draws: Draws::Mixed {
                    power,
                    power_factor,
                    rated_voltage,
                    constant_power,
                },
            });
        }
    }

    fn push(&mut self, label: &str, above: Option<usize>, impedance: SectionImpedance) -> usize {
        self.sections.push(TreeSection {
            label: label.to_owned(),
            above,
            impedance,
        });
        self.sections.len() - 1
    }
}

/// The wires of the element circuit with that number: circuits take the pairs of wires in turn.
pub(crate) fn wires_of(path: &SupplyPath, connection: Connection, number: usize) -> (Wire, Wire) {
    let lines = &Wire::ALL[..usize::from(path.supply.ungrounded).min(3)];
    let line = lines[number % lines.len()];
    match connection {
        Connection::LineToNeutral => (line, Wire::Neutral),
        // Two lines make one pair, three make three.
        Connection::LineToLine if lines.len() < 3 => (Wire::A, Wire::B),
        Connection::LineToLine => (line, lines[(number + 1) % lines.len()]),
    }
}

/// Available fault currents at one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct FaultCurrents {
    /// Between two lines.
    pub(crate) lines: Option<Current>,
    /// From a line to the neutral.
    pub(crate) neutral: Current,
}

impl FaultCurrents {
    /// The larger of both.
    pub(crate) fn largest(&self) -> Current {
        self.lines.map_or(self.neutral, |lines| lines.max(self.neutral))
    }
}

/// Voltage between two wires at the end of a section, or at the source itself.
pub(crate) fn voltage_at(
    solution: &TreeSolution,
    at: Option<usize>,
    (from, to): (Wire, Wire),
    at_source: quantity::Voltage,
) -> quantity::Voltage {
    at.map_or(at_source, |section| solution.sections[section].voltage(from, to))
}

/// Service conductors: the record's, or usual ones.
pub(crate) fn drop(context: &Context<'_>) -> (Length, ConductorSize, ConductorMaterial) {
    let recorded = context
        .job
        .service
        .as_ref()
        .and_then(|service| service.drop.as_ref());
    if let Some(drop) = recorded {
        return (drop.length, drop.conductor, engine_names::metal(drop.material));
    }
    let place = RecordPath::from("service.drop");
    let length = context
        .given
        .take(None::<Length>, place.clone(), "service.drop.length")
        .value;
    let size = context
        .given
        .take_other(None, place, "service.drop.conductor", |text| text.parse().ok())
        .value;
    (length, size, ConductorMaterial::Aluminum)
}

/// One conductor at the temperature of the tables.
pub(crate) fn conductor(
    size: ConductorSize,
    material: ConductorMaterial,
    length: Length,
    raceway: Option<Raceway>,
) -> Result<Impedance, PowerError> {
    conductor_at(size, material, length, raceway, table_temperature())
}

/// One conductor at a temperature.
pub(crate) fn conductor_at(
    size: ConductorSize,
    material: ConductorMaterial,
    length: Length,
    raceway: Option<Raceway>,
    temperature: Temperature,
) -> Result<Impedance, PowerError> {
    conductor_impedance(&ConductorRun {
        size,
        material,
        length,
        surrounding: match raceway {
            Some(Raceway::Emt) => Surrounding::Steel,
            _ => Surrounding::Nonmetallic,
        },
        temperature,
    })
}
