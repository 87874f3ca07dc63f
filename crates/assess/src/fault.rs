//! Available fault current at the main panel and at the end of each circuit.
//!
//! In: the wiring, the utility's figure where the record has one. Out: the larger of line to line and line to neutral. Only
//! from recorded transformer and drop: a usual transformer is no answer to what a breaker must interrupt. Conductors are
//! taken cold and the network ahead as infinite, both the cautious side.

use crate::context::Context;
use crate::house_wiring::HouseWiring;
use crate::supply_path::SupplyPath;
use quantity::Current;

/// At the main panel.
pub(crate) fn at_main(context: &Context<'_>, path: &SupplyPath, wiring: &HouseWiring) -> Option<Current> {
    let service = context.job.service.as_ref()?;
    if service.transformer.as_ref()?.impedance.is_none() || service.drop.is_none() {
        return None;
    }
    match wiring.fault(path, &wiring.sections, wiring.main?) {
        Ok(found) => Some(found.largest()),
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
