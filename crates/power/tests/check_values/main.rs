//! The power engine against `checks/electrical/`: every file there is read by one of these modules.
//!
//! A case is run through the public functions only; its tolerance and reason stand in the file.

#![allow(clippy::unwrap_used)] // what only tests call is a test too

mod circuits;
mod common_practice;
mod disturbance;
mod drop;
mod dwelling;
mod load_policies;
mod raceways;
mod service_load;
mod wiring_tree;

use power::ampacity::{Segment, Terminals};
use power::circuit::CircuitRequest;
use power::circuit_load::{Duty, Marked};
use power::conductor_temperature::table_temperature;
use power::element::Element;
use power::supply::{Connection, supply};
use quantity::{Length, Power, Temperature, Voltage};
use tables::ampacity::TemperatureColumn;
use tables::cable::cable_type;
use tables::conductor::ConductorMaterial;
use tables::nec::NecEdition;

/// An element rated at 240 V.
fn element_240(watts: f64) -> Element {
    Element::new(Power::from_watts(watts), Voltage::from_volts(240.0)).unwrap()
}

/// One stretch at 30 °C that holds this circuit alone.
fn segment(cable: &str, length_ft: f64) -> Segment {
    Segment {
        label: "run".into(),
        cable: cable_type(cable).unwrap(),
        length: Length::from_feet(length_ft),
        ambient: Temperature::from_celsius(30.0),
        current_carrying: 2,
        in_thermal_insulation: false,
    }
}

/// Both ends marked alike.
fn terminals(column: TemperatureColumn) -> Terminals {
    Terminals {
        supply_end: column,
        load_end: column,
    }
}

/// One 240 V element on a copper circuit of 120/240 V, 75 °C terminals.
fn request(watts: f64, continuous: bool, cable: &str, length_ft: f64) -> CircuitRequest {
    CircuitRequest {
        supply: supply("120/240 V").unwrap(),
        connection: Connection::LineToLine,
        elements: vec![element_240(watts)],
        duty: Duty {
            continuous,
            reason: "as the case says".into(),
        },
        marked: Marked::default(),
        needs_neutral: false,
        material: ConductorMaterial::Copper,
        segments: vec![segment(cable, length_ft)],
        terminals: terminals(TemperatureColumn::C75),
        drop_target: None,
        conductor_temperature: table_temperature(),
        edition: NecEdition::Nec2020,
    }
}
