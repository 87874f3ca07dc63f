//! The supply of a circuit: nominal system, voltage with little load, and what lies between there and its panel.
//!
//! Only a split-phase house gets a transformer and a drop by default; elsewhere what is not given is left out, because
//! nothing usual is known of a building's supply.

use crate::context::{Context, source_at};
use crate::{engine_names, given};
use job::{HeatSource, Panel, SupplySystem};
use power::PowerError;
use power::ampacity::Terminals;
use power::fault::{Transformer, fault_current};
use power::supply::{Connection, Supply, element_voltage, supply};
use power::voltage_drop::{FeedSolution, Impedance, Path};
use quantity::{ConductorSize, Current, Length, Ratio, Reactance, Voltage};
use tables::ampacity::TemperatureColumn;
use tables::conductor::{ConductorMaterial, Stranding, dc_resistance};
use trace::RecordPath;

/// The supply of a house.
#[derive(Debug)]
pub(crate) struct SupplyPath {
    pub(crate) supply: &'static Supply,
    line_voltage: Voltage,
}

impl SupplyPath {
    pub(crate) fn new(context: &Context<'_>) -> Result<Self, PowerError> {
        let service = context.job.service.as_ref();
        let system = service.map_or(SupplySystem::SplitPhase120_240, |service| service.system);
        let supply = supply(engine_names::supply(system))?;
        let measured = service.and_then(|service| service.measured_voltage);
        if measured.is_none() {
            context.given.assume_nominal(supply.element_voltage);
        }
        Ok(Self {
            supply,
            line_voltage: measured.unwrap_or(supply.element_voltage),
        })
    }

    /// How an element rated for `rated` is connected: between lines, or to the neutral when that fits better.
    pub(crate) fn connection(&self, rated: Voltage) -> Connection {
        let off = |volts: Voltage| (rated.as_volts() / volts.as_volts()).ln().abs();
        match self.supply.line_to_line {
            Some(line) if off(line) <= off(self.supply.line_to_neutral) => Connection::LineToLine,
            _ => Connection::LineToNeutral,
        }
    }

    /// Voltage with little load, as the connection sees it.
    pub(crate) fn source_voltage(&self, connection: Connection) -> Voltage {
        let nominal = element_voltage(self.supply, connection).unwrap_or(self.supply.element_voltage);
        self.line_voltage * (nominal / self.supply.element_voltage)
    }

    /// Voltage with little load over the rated voltage of a heater's elements.
    pub(crate) fn no_load_share(&self, heater: &HeatSource) -> f64 {
        heater.elements.first().map_or(1.0, |element| {
            self.source_voltage(self.connection(element.voltage)) / element.voltage
        })
    }

    /// What lies between the source and the panel called `panel`.
    pub(crate) fn upstream(&self, context: &Context<'_>, panel: &str, connection: Connection) -> Vec<Path> {
        let Some(service) = &context.job.service else {
            return Vec::new();
        };
        let mut paths = Vec::new();
        let split = service.system == SupplySystem::SplitPhase120_240;
        let place = RecordPath::from("service");
        if split || service.transformer.is_some() {
            let rating = service.transformer.as_ref().map(|transformer| transformer.rating);
            let rating = context
                .given
                .take(rating, place.field("transformer"), "service.transformer.rating")
                .value;
            let share = context.given.take(
                None::<Ratio>,
                place.field("transformer.impedance"),
                "service.transformer.resistance",
            );
            let volts = element_voltage(self.supply, connection)
                .unwrap_or(self.supply.element_voltage)
                .as_volts();
            let ohms = share.value.as_fraction() * volts * volts / rating.as_volt_amperes();
            paths.push(Path {
                label: "transformer".into(),
                loop_impedance: Impedance {
                    resistance: quantity::Resistance::from_ohms(ohms),
                    reactance: Reactance::zero(),
                },
            });
        }
        if split || service.drop.is_some() {
            let given = &context.given;
            let (length, size, metal) = match &service.drop {
                Some(drop) => (drop.length, drop.conductor, engine_names::metal(drop.material)),
                None => (
                    given
                        .take(None::<Length>, place.field("drop"), "service.drop.length")
                        .value,
                    given
                        .take_other(None, place.field("drop"), "service.drop.conductor", |text| {
                            text.parse().ok()
                        })
                        .value,
                    ConductorMaterial::Aluminum,
                ),
            };
            Self::push(context, &mut paths, "service conductors", length, size, metal);
        }
        for feeder in feeders_to(&service.panels, panel) {
            let metal = engine_names::metal(feeder.material);
            Self::push(
                context,
                &mut paths,
                "feeder",
                feeder.length,
                feeder.conductor,
                metal,
            );
        }
        paths
    }

    /// The two conductors of a circuit at table temperature.
    pub(crate) fn conductors(
        label: &str,
        length: Length,
        size: ConductorSize,
        metal: ConductorMaterial,
    ) -> Result<Path, PowerError> {
        let resistance = dc_resistance(size, metal, Stranding::usual(size))?.value;
        Ok(Path::two_conductors(label, length, resistance, None))
    }

    /// Fault current between the lines at the main panel, when the transformer's impedance and the drop are recorded.
    ///
    /// The network ahead of the transformer counts as infinite, the cautious side for breakers. Of the impedance the
    /// usual resistance is taken as such and the rest as reactance.
    pub(crate) fn fault_at_main(&self, context: &Context<'_>) -> Option<Current> {
        let service = context.job.service.as_ref()?;
        let (transformer, drop) = (service.transformer.as_ref()?, service.drop.as_ref()?);
        let impedance = transformer.impedance?;
        let usual = given::default_quantity::<Ratio>("service.transformer.resistance");
        let resistance = usual.min(impedance);
        let reactance = (impedance.as_fraction().powi(2) - resistance.as_fraction().powi(2))
            .max(0.0)
            .sqrt();
        let unit = Transformer {
            rating: transformer.rating,
            voltage: self.supply.line_to_line?,
            resistance,
            reactance: Ratio::from_fraction(reactance),
        };
        let metal = engine_names::metal(drop.material);
        let found = Self::conductors("service conductors", drop.length, drop.conductor, metal)
            .and_then(|run| fault_current(unit.voltage, &[unit.impedance()?, run.loop_impedance]));
        match found {
            Ok(current) => Some(current),
            Err(error) => {
                context.gap(
                    "service",
                    "the fault current at the main panel",
                    error.to_string(),
                );
                None
            }
        }
    }

    /// Share by which the voltage at the main panel sinks.
    pub(crate) fn step_at_main(solution: &FeedSolution, source: Voltage) -> Ratio {
        let main = solution
            .upstream_drops
            .iter()
            .take(2)
            .map(|drop| drop.voltage)
            .sum::<Voltage>();
        Ratio::from_fraction(main / source)
    }

    /// Terminal markings at both ends of a circuit.
    pub(crate) fn terminals(
        context: &Context<'_>,
        panel: &str,
        heater: &HeatSource,
        index: usize,
    ) -> Terminals {
        let panels = context
            .job
            .service
            .as_ref()
            .map_or(&[][..], |service| &service.panels);
        let at = panels.iter().position(|known| known.id == panel);
        let marking = at.and_then(|at| panels[at].terminal_rating_c);
        let place = RecordPath::from("service.panels")
            .item(at.unwrap_or(0))
            .field("terminal_rating_c");
        let supply_end = context
            .given
            .take_other(marking, place, "service.panels.terminal_rating_c", given::count)
            .value;
        let place = source_at(index).field("terminal_rating_c");
        let load_end = context
            .given
            .take_other(
                heater.terminal_rating_c,
                place,
                "sources.terminal_rating_c",
                given::count,
            )
            .value;
        let column = |marking| TemperatureColumn::from_marking_c(marking).unwrap_or(TemperatureColumn::C60);
        Terminals {
            supply_end: column(supply_end),
            load_end: column(load_end),
        }
    }

    fn push(
        context: &Context<'_>,
        paths: &mut Vec<Path>,
        label: &str,
        length: Length,
        size: ConductorSize,
        metal: ConductorMaterial,
    ) {
        match Self::conductors(label, length, size, metal) {
            Ok(path) => paths.push(path),
            Err(error) => context.gap("service", &format!("the drop in the {label}"), error.to_string()),
        }
    }
}

/// The feeders from the main panel to `panel`, in order; a ring of feeders ends where it would repeat.
fn feeders_to<'job>(panels: &'job [Panel], panel: &str) -> Vec<&'job job::Feeder> {
    let mut feeders = Vec::new();
    let mut at = panels.iter().find(|known| known.id == panel);
    while let Some(here) = at {
        feeders.extend(here.feeder.as_ref());
        if feeders.len() > panels.len() {
            break;
        }
        at = here
            .fed_from
            .as_ref()
            .and_then(|parent| panels.iter().find(|known| &known.id == parent));
    }
    feeders.reverse();
    feeders
}
