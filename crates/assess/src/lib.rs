//! Job in, assessment out: the only place where job, engines and rules meet.
//!
//! In: a validated [`job::Job`] and a [`Desk`] (date, adopted editions). Out: an [`Assessment`]: incoming water, power,
//! waits, pressures, circuits, service load, findings with their working, and every assumption made. Start at
//! [`assess()`]. Does no input or output, prints nothing, draws nothing, and proposes nothing: it works out what stands
//! in the record. Values that stand in for missing ones are data (`data/assumptions/`), never constants here.

mod assess;
mod assessment;
mod assessment_power;
pub mod changeover;
mod circuit_plan;
mod circuit_run;
mod circuit_wiring;
mod circuits;
mod compare;
mod context;
mod dead_legs;
mod delivery;
pub mod demand;
mod desk;
mod disturbance;
mod engine_names;
mod facts;
mod fault;
mod fixtures;
mod given;
mod heat;
mod house_wiring;
mod hydraulics;
mod mains_year;
mod meter_report;
mod metric_circuits;
mod modes;
mod network;
mod panel_placement;
mod panels;
mod placements;
mod pressures;
mod service_detail;
mod service_load;
mod supply_path;
mod transformer_sheet;
mod verdict;
mod wait_heaters;
mod wait_results;
mod waits;

pub use assess::assess;
pub use assessment::*;
pub use assessment_power::*;
pub use compare::{
    COMPARISON_VERSION, EditionComparison, EditionSide, FindingChange, Pair, compare_editions,
};
pub use desk::{BookDesk, DatedDesk, Desk, MeteredDesk};
pub use facts::{observed_problems, observed_problems_by};
pub use meter_report::*;
pub use wait_results::*;

/// JSON Schema (draft 2020-12) of an [`Assessment`] as written for machines.
pub fn schema() -> schemars::Schema {
    let mut schema = schemars::schema_for!(Assessment);
    schema.insert(
        "$id".to_owned(),
        format!("urn:wattspring:assessment:{ASSESSMENT_VERSION}").into(),
    );
    schema
}

/// JSON Schema (draft 2020-12) of an [`EditionComparison`] as written for machines.
pub fn comparison_schema() -> schemars::Schema {
    let mut schema = schemars::schema_for!(EditionComparison);
    schema.insert(
        "$id".to_owned(),
        format!("urn:wattspring:edition-comparison:{COMPARISON_VERSION}").into(),
    );
    schema
}
