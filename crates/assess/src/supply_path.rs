//! The supply of a house: nominal system, voltage with little load, how an element connects, terminal markings.
//!
//! What lies between the source and a panel stands in [`crate::house_wiring`].

use crate::context::{Context, source_at};
use crate::{engine_names, given};
use job::{HeatSource, SupplySystem};
use power::PowerError;
use power::ampacity::Terminals;
use power::supply::{Connection, Supply, element_voltage, supply};
use quantity::Voltage;
use tables::ampacity::TemperatureColumn;
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
}
