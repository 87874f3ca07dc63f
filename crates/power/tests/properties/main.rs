//! What must hold for every input: energy balance, monotony, and refusal instead of nonsense.
//!
//! The inputs that the modules draw from: plausible feeds, runs and dwellings, and any finite number at all.

#![allow(clippy::unwrap_used)] // what only tests call is a test too

mod any_numbers;
mod circuits;
mod feeds;
mod loads;
mod trees;

use power::ampacity::{Segment, Terminals};
use power::circuit::CircuitRequest;
use power::circuit_load::{Duty, Marked};
use power::conductor_temperature::table_temperature;
use power::element::Element;
use power::load::{Dwelling, HeaterCounting, HeatingPolicy, Load, LoadKind, LoadPolicy, LoadStatus};
use power::supply::{Connection, supply};
use power::voltage_drop::{Branch, Feed, Impedance, PanelLoad, Path};
use proptest::prelude::*;
use quantity::{ApparentPower, Area, Length, Power, Ratio, Reactance, Resistance, Temperature, Voltage};
use tables::ampacity::TemperatureColumn;
use tables::cable::cable_types;
use tables::conductor::ConductorMaterial;
use tables::nec::NecEdition;

/// Any finite number, with the awkward ones more often.
fn any_number() -> impl Strategy<Value = f64> {
    prop_oneof![
        proptest::num::f64::NORMAL | proptest::num::f64::SUBNORMAL | proptest::num::f64::ZERO,
        -1000.0..1000.0,
        prop::sample::select(vec![0.0, -0.0, 1.0, f64::MAX, f64::MIN, f64::MIN_POSITIVE]),
    ]
}

fn edition() -> impl Strategy<Value = NecEdition> {
    prop::sample::select(NecEdition::ALL.to_vec())
}

fn column() -> impl Strategy<Value = TemperatureColumn> {
    prop::sample::select(TemperatureColumn::ALL.to_vec())
}

fn material() -> impl Strategy<Value = ConductorMaterial> {
    prop::sample::select(vec![ConductorMaterial::Copper, ConductorMaterial::Aluminum])
}

fn terminals() -> impl Strategy<Value = Terminals> {
    (column(), column()).prop_map(|(supply_end, load_end)| Terminals { supply_end, load_end })
}

fn segment(
    ambient_c: impl Strategy<Value = f64>,
    length_ft: impl Strategy<Value = f64>,
) -> impl Strategy<Value = Segment> {
    (
        ambient_c,
        length_ft,
        0..60_u16,
        any::<bool>(),
        0..cable_types().len(),
    )
        .prop_map(
            |(ambient_c, length_ft, current_carrying, in_thermal_insulation, cable)| Segment {
                label: "somewhere".into(),
                cable: &cable_types()[cable],
                length: Length::from_feet(length_ft),
                ambient: Temperature::from_celsius(ambient_c),
                current_carrying,
                in_thermal_insulation,
            },
        )
}

/// A plausible feed: one to four circuits behind a common impedance, with other load at the panel.
fn feed() -> impl Strategy<Value = Feed> {
    let impedance = |most_ohm: f64| {
        (0.0..most_ohm, 0.0..most_ohm).prop_map(|(r, x)| Path {
            label: "path".into(),
            loop_impedance: Impedance {
                resistance: Resistance::from_ohms(r),
                reactance: Reactance::from_ohms(x),
            },
        })
    };
    let branch = (
        impedance(0.5),
        prop::collection::vec((500.0..30_000.0_f64, 100.0..250.0_f64), 1..4),
    )
        .prop_map(|(path, elements)| Branch {
            label: "branch".into(),
            path,
            elements: elements
                .into_iter()
                .map(|(watts, volts)| {
                    Element::new(Power::from_watts(watts), Voltage::from_volts(volts)).unwrap()
                })
                .collect(),
        });
    (
        100.0..250.0_f64,
        prop::collection::vec(impedance(0.05), 0..4),
        prop::option::of((0.0..20_000.0_f64, 0.7..1.0_f64)),
        prop::collection::vec(branch, 1..5),
    )
        .prop_map(|(volts, upstream, load, branches)| Feed {
            source_voltage: Voltage::from_volts(volts),
            upstream,
            panel_load: load.map(|(watts, factor)| PanelLoad {
                power: Power::from_watts(watts),
                power_factor: Ratio::from_fraction(factor),
            }),
            branches,
        })
}

fn load() -> impl Strategy<Value = Load> {
    let kinds = vec![
        LoadKind::Cooking,
        LoadKind::Dryer,
        LoadKind::OnDemandHeater,
        LoadKind::StorageHeater,
        LoadKind::Fixed,
        LoadKind::Motor,
        LoadKind::CentralHeat,
        LoadKind::RoomHeat,
        LoadKind::Cooling,
        LoadKind::HeatPump,
        LoadKind::SupplementaryHeat,
        LoadKind::VehicleCharger,
    ];
    let statuses = vec![LoadStatus::Existing, LoadStatus::Added, LoadStatus::Removed];
    (
        prop::sample::select(kinds),
        0.0..20_000.0_f64,
        1..3_u16,
        any::<bool>(),
        prop::sample::select(statuses),
        prop::option::of(prop::sample::select(vec!["a", "b"])),
    )
        .prop_map(|(kind, va, count, line_to_neutral, status, interlock)| Load {
            name: format!("{kind:?}"),
            kind,
            nameplate: ApparentPower::from_volt_amperes(va),
            count,
            line_to_neutral,
            status,
            interlock: interlock.map(str::to_owned),
        })
}

fn dwelling() -> impl Strategy<Value = Dwelling> {
    (
        0.0..6000.0_f64,
        0..5_u16,
        0..3_u16,
        prop::collection::vec(load(), 0..8),
    )
        .prop_map(
            |(area_ft2, small_appliance_circuits, laundry_circuits, loads)| Dwelling {
                floor_area: Area::from_square_feet(area_ft2),
                small_appliance_circuits,
                laundry_circuits,
                loads,
            },
        )
}

fn policy() -> impl Strategy<Value = LoadPolicy> {
    let counting = vec![
        HeaterCounting::WithAppliances,
        HeaterCounting::FullNameplate,
        HeaterCounting::Continuous125,
    ];
    let heating = vec![
        HeatingPolicy::LargerAtFull,
        HeatingPolicy::WithAppliances,
        HeatingPolicy::NotCounted,
    ];
    (prop::sample::select(counting), prop::sample::select(heating)).prop_map(|(heater, existing_heating)| {
        LoadPolicy {
            heater,
            existing_heating,
        }
    })
}

/// A 240 V element on 50 ft of NM-B.
fn plain_request(watts: f64) -> CircuitRequest {
    CircuitRequest {
        supply: supply("120/240 V").unwrap(),
        connection: Connection::LineToLine,
        elements: vec![Element::new(Power::from_watts(watts), Voltage::from_volts(240.0)).unwrap()],
        duty: Duty {
            continuous: false,
            reason: "test".into(),
        },
        marked: Marked::default(),
        needs_neutral: false,
        material: ConductorMaterial::Copper,
        segments: Vec::new(),
        terminals: Terminals {
            supply_end: TemperatureColumn::C75,
            load_end: TemperatureColumn::C75,
        },
        drop_target: None,
        conductor_temperature: table_temperature(),
        edition: NecEdition::Nec2020,
    }
}
