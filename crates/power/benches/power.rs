//! Benchmarks of the power engine: one circuit design, one load calculation, one table of longest lengths, the voltages of
//! a whole house.
//!
//! What the app recomputes at every keystroke; each should stay far below a millisecond.

#![allow(clippy::unwrap_used)] // a benchmark may stop at bad input

use divan::{Bencher, black_box};
use power::ampacity::{Segment, Terminals};
use power::circuit::{CircuitRequest, design_circuit};
use power::circuit_load::{Duty, Marked};
use power::conductor_temperature::table_temperature;
use power::element::Element;
use power::load::existing::existing_load;
use power::load::{Dwelling, HeaterCounting, HeatingPolicy, Load, LoadKind, LoadPolicy, LoadStatus};
use power::longest_length::longest_lengths;
use power::supply::{Connection, supply};
use power::wiring_tree::{
    Draws, Impedance, SectionImpedance, SourceVoltages, TreeLoad, TreeSection, Wire, WiringTree, solve_tree,
};
use quantity::{ApparentPower, Area, Length, Power, Ratio, Reactance, Resistance, Temperature, Voltage};
use tables::ampacity::TemperatureColumn;
use tables::cable::cable_type;
use tables::conductor::ConductorMaterial;
use tables::nec::NecEdition;

fn main() {
    divan::main();
}

fn element() -> Element {
    Element::new(Power::from_kilowatts(9.0), Voltage::from_volts(240.0)).unwrap()
}

#[divan::bench]
fn circuit_design(bencher: Bencher<'_, '_>) {
    let segment = |label: &str, ambient_c, length_ft| Segment {
        label: label.into(),
        cable: cable_type("NM-B").unwrap(),
        length: Length::from_feet(length_ft),
        ambient: Temperature::from_celsius(ambient_c),
        current_carrying: 6,
        in_thermal_insulation: ambient_c > 40.0,
    };
    let request = CircuitRequest {
        supply: supply("120/240 V").unwrap(),
        connection: Connection::LineToLine,
        elements: vec![element()],
        duty: Duty {
            continuous: false,
            reason: "on-demand, short draws".into(),
        },
        marked: Marked::default(),
        needs_neutral: false,
        material: ConductorMaterial::Copper,
        segments: vec![segment("basement", 25.0, 40.0), segment("attic", 50.0, 60.0)],
        terminals: Terminals {
            supply_end: TemperatureColumn::C75,
            load_end: TemperatureColumn::C75,
        },
        drop_target: Some(Ratio::from_percent(2.0)),
        conductor_temperature: table_temperature(),
        edition: NecEdition::Nec2023,
    };
    bencher.bench(|| design_circuit(black_box(&request)).unwrap());
}

#[divan::bench]
fn existing_dwelling_load(bencher: Bencher<'_, '_>) {
    let load = |name: &str, kind, va, interlock: Option<&str>| Load {
        name: name.into(),
        kind,
        nameplate: ApparentPower::from_volt_amperes(va),
        count: 1,
        line_to_neutral: false,
        status: LoadStatus::Existing,
        interlock: interlock.map(str::to_owned),
    };
    let dwelling = Dwelling {
        floor_area: Area::from_square_feet(1800.0),
        small_appliance_circuits: 2,
        laundry_circuits: 1,
        loads: vec![
            load("range", LoadKind::Cooking, 12_000.0, None),
            load("dryer", LoadKind::Dryer, 5500.0, None),
            load("dishwasher", LoadKind::Fixed, 1200.0, None),
            load("air conditioner", LoadKind::Cooling, 5000.0, None),
            load("tank", LoadKind::StorageHeater, 4500.0, Some("hot water")),
            load("heater", LoadKind::OnDemandHeater, 27_000.0, Some("hot water")),
        ],
    };
    let policy = LoadPolicy {
        heater: HeaterCounting::FullNameplate,
        existing_heating: HeatingPolicy::LargerAtFull,
    };
    let split = supply("120/240 V").unwrap();
    bencher.bench(|| existing_load(black_box(&dwelling), policy, split, NecEdition::Nec2023).unwrap());
}

#[divan::bench]
fn longest_length_table(bencher: Bencher<'_, '_>) {
    let elements = [element()];
    let target = Ratio::from_percent(3.0);
    bencher.bench(|| {
        longest_lengths(
            black_box(&elements),
            Voltage::from_volts(240.0),
            target,
            ConductorMaterial::Copper,
            table_temperature(),
        )
        .unwrap()
    });
}

/// A house with four element circuits and twelve other loads on both legs, half of them on power.
#[divan::bench]
fn house_voltages(bencher: Bencher<'_, '_>) {
    let wires = |ohms| {
        let impedance = Impedance::new(Resistance::from_ohms(ohms), Reactance::from_ohms(ohms / 5.0));
        SectionImpedance::conductors(impedance, impedance)
    };
    let section = |label: &str, above, ohms| TreeSection {
        label: label.into(),
        above,
        impedance: wires(ohms),
    };
    let mut sections = vec![section("drop", None, 0.02), section("feeder", Some(0), 0.03)];
    let mut loads = Vec::new();
    for number in 0..4 {
        sections.push(section("branch", Some(1), 0.04));
        loads.push(TreeLoad {
            label: format!("element {number}"),
            at: Some(sections.len() - 1),
            between: (Wire::A, Wire::B),
            draws: element().into(),
        });
    }
    for number in 0..12 {
        loads.push(TreeLoad {
            label: format!("load {number}"),
            at: Some(number % 2),
            between: (if number % 3 == 0 { Wire::A } else { Wire::B }, Wire::Neutral),
            draws: if number % 2 == 0 {
                Draws::Resistance(Resistance::from_ohms(40.0))
            } else {
                Draws::Power {
                    power: Power::from_watts(400.0),
                    power_factor: Ratio::from_fraction(0.9),
                }
            },
        });
    }
    let tree = WiringTree {
        source: SourceVoltages::of(supply("120/240 V").unwrap(), Voltage::from_volts(240.0)).unwrap(),
        sections,
        loads,
    };
    bencher.bench(|| solve_tree(black_box(&tree)).unwrap());
}
