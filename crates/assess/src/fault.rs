//! Available fault current at each panel and at the end of each circuit.
//!
//! In: the record's transformer and drop, or the utility's figure; circuits with their conductors. Out: the larger of line
//! to line and line to neutral. Only from recorded figures: a usual transformer is no answer to what a breaker must
//! interrupt. Conductors are taken cold and the network ahead as infinite, both the cautious side.

use crate::circuits::Circuits;
use crate::context::Context;
use crate::engine_names;
use crate::house_wiring::{HouseWiring, conductor_at};
use crate::supply_path::SupplyPath;
use power::PowerError;
use power::wiring_tree::{Impedance, SectionImpedance, TreeSection};
use quantity::{Current, Reactance, Resistance, Temperature};

/// Fault currents of a house.
#[derive(Debug, Default)]
pub(crate) struct Faults {
    /// At the main panel.
    pub(crate) main: Option<Current>,
    /// At each panel, by id.
    pub(crate) panels: Vec<(String, Current)>,
}

/// Fills in the fault current of every circuit and gives those of the panels.
pub(crate) fn faults(context: &Context<'_>, path: &SupplyPath, circuits: &mut Circuits<'_>) -> Faults {
    match worked_out(context, path, circuits) {
        Ok(found) => found,
        Err(error) => {
            context.gap("service", "the available fault current", error.to_string());
            Faults::default()
        }
    }
}

fn worked_out(
    context: &Context<'_>,
    path: &SupplyPath,
    circuits: &mut Circuits<'_>,
) -> Result<Faults, PowerError> {
    let Some(wiring) = cold_wiring(context, path)? else {
        return Ok(Faults::default());
    };
    let Some(main) = wiring.main else {
        return Ok(Faults::default());
    };
    let at = |section| {
        wiring
            .fault(path, &wiring.sections, section)
            .map(|found| found.largest())
    };
    let given = context
        .job
        .service
        .as_ref()
        .and_then(|service| service.fault_current);
    let mut found = Faults {
        main: Some(given.map_or_else(|| at(main), Ok)?),
        panels: Vec::new(),
    };
    for panel in context.job.service.iter().flat_map(|service| &service.panels) {
        if let Some(section) = wiring.panel(&panel.id) {
            let current = if section == main {
                found.main
            } else {
                Some(at(section)?)
            };
            found
                .panels
                .extend(current.map(|current| (panel.id.clone(), current)));
        }
    }
    for circuit in &mut circuits.solved {
        let metal = engine_names::metal(circuit.result.material);
        let run = &circuit.run;
        let line = conductor_at(circuit.result.conductor, metal, run.length, run.raceway, cold())?;
        let mut sections = wiring.sections.clone();
        sections.push(TreeSection {
            label: circuit.result.id.clone(),
            above: wiring.panel(&circuit.result.panel),
            impedance: SectionImpedance::conductors(line, line),
        });
        let end = wiring.fault(path, &sections, sections.len() - 1)?;
        circuit.result.wiring.fault_current = Some(end.largest());
    }
    Ok(found)
}

/// Conductors as cold as they are before a fault in an idle house.
fn cold() -> Temperature {
    Temperature::from_celsius(20.0)
}

/// The wiring for faults: from the utility's figure, else from transformer and drop; none when neither is recorded.
fn cold_wiring(context: &Context<'_>, path: &SupplyPath) -> Result<Option<HouseWiring>, PowerError> {
    let Some(service) = &context.job.service else {
        return Ok(None);
    };
    if let Some(current) = service.fault_current {
        // The angle is not known. Reactance alone adds least to the resistance of a branch: the cautious side.
        let loop_ohm = (path.source_voltage(path.supply.usual_connection) / current).as_ohms();
        let line = Impedance::new(Resistance::zero(), Reactance::from_ohms(loop_ohm / 2.0));
        let ahead = SectionImpedance::conductors(line, line);
        return HouseWiring::behind(context, path, ahead, cold()).map(Some);
    }
    let recorded = service
        .transformer
        .as_ref()
        .is_some_and(|transformer| transformer.impedance.is_some());
    if !recorded || service.drop.is_none() {
        return Ok(None);
    }
    HouseWiring::new(context, path, cold()).map(Some)
}
