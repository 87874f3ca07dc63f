//! Circuits, panels and service of the invented house.

use super::water::DELIVERED_KW;
use assess::{
    CircuitResult, CircuitWiring, LoadLineResult, LoadResult, LongestLength, PanelResult, ServiceResult,
};
use job::{ConductorMaterial, SupplySystem};
use quantity::{ApparentPower, ConductorSize, Current, Length, Power, Ratio, Voltage};

/// A 9 kW element behind 84 ft of 6 AWG copper: 0.491 Ω a thousand feet, 238.6 V at the panel.
pub(super) fn circuit(id: &str, elements: &str) -> CircuitResult {
    let longest = |gauge: i8, feet: f64, carries: bool| LongestLength {
        conductor: ConductorSize::Awg(gauge),
        length: Length::from_feet(feet),
        carries,
    };
    CircuitResult {
        id: id.to_owned(),
        heater: "unit".to_owned(),
        panel: "main".to_owned(),
        existing: false,
        elements: elements.to_owned(),
        load_current: Current::from_amperes(37.5),
        required_current: Current::from_amperes(37.5),
        continuous: false,
        breaker: Current::from_amperes(40.0),
        breaker_min: Current::from_amperes(40.0),
        conductor: ConductorSize::Awg(6),
        conductor_entered: false,
        conductor_min: ConductorSize::Awg(6),
        conductor_for_drop: Some(ConductorSize::Awg(8)),
        material: ConductorMaterial::Copper,
        cable: "NM-B".to_owned(),
        ampacity: Current::from_amperes(49.2),
        ampacity_working:
            "6 AWG in NM-B: 75 A at 90 °C for the conductor, × 0.82 for 118 °F in the attic, × 0.80 for four \
                           current-carrying conductors together = 49.2 A; the 60 °C column caps it at 55 A"
                .to_owned(),
        ground: ConductorSize::Awg(10),
        insulated_conductors: 2,
        length: Length::from_feet(84.0),
        panel_voltage: Voltage::from_volts(238.6),
        element_voltage: Voltage::from_volts(235.56),
        drop: Voltage::from_volts(3.04),
        drop_share: Ratio::from_fraction(3.04 / 238.6),
        drop_target: Ratio::from_percent(3.0),
        running_current: Current::from_amperes(36.81),
        delivered_power: Power::from_kilowatts(DELIVERED_KW / 2.0),
        longest: vec![
            longest(10, 77.0, false),
            longest(8, 123.0, false),
            longest(6, 195.0, true),
            longest(4, 310.0, true),
        ],
        wiring: CircuitWiring::default(),
    }
}

pub(super) fn panels() -> Vec<PanelResult> {
    vec![
        PanelResult {
            id: "main".to_owned(),
            fed_from: None,
            rating: Some(Current::from_amperes(150.0)),
            spaces: Some(30),
            free_spaces: Some(10),
            free_pairs: Some(5),
            needed_spaces: 4,
            freed_spaces: 0,
            placement: None,
            no_room: None,
            fault_current: None,
        },
        PanelResult {
            id: "office".to_owned(),
            fed_from: Some("main".to_owned()),
            rating: Some(Current::from_amperes(60.0)),
            spaces: Some(8),
            free_spaces: Some(3),
            free_pairs: None,
            needed_spaces: 0,
            freed_spaces: 0,
            placement: None,
            no_room: None,
            fault_current: None,
        },
    ]
}

/// Lines of connected load, factor and what is counted, in volt-amperes; nothing is counted where a subtotal does it.
fn load(id: &str, method: &str, article: &str, lines: &[(&str, f64, &str, f64)]) -> LoadResult {
    let total: f64 = lines.iter().map(|line| line.3).sum();
    LoadResult {
        id: id.to_owned(),
        method: method.to_owned(),
        article: article.to_owned(),
        lines: lines
            .iter()
            .map(|(label, connected, factor, counted)| LoadLineResult {
                label: (*label).to_owned(),
                connected: ApparentPower::from_volt_amperes(*connected),
                factor: (*factor).to_owned(),
                counted: (*counted > 0.0).then(|| ApparentPower::from_volt_amperes(*counted)),
            })
            .collect(),
        total: ApparentPower::from_volt_amperes(total),
        current: Current::from_amperes(total / 240.0),
        margin: Current::from_amperes(150.0 - total / 240.0),
    }
}

pub(super) fn service() -> ServiceResult {
    ServiceResult {
        detail: assess::ServiceDetail::default(),
        system: SupplySystem::SplitPhase120_240,
        voltage: Voltage::from_volts(240.0),
        rating: Current::from_amperes(150.0),
        methods: vec![
            load(
                "standard",
                "part by part, as for a new dwelling",
                "220 part III",
                &[
                    (
                        "lighting and receptacles, 1780 ft²",
                        5340.0,
                        "3000 at 100 %, rest 35 %",
                        3819.0,
                    ),
                    ("small appliances and laundry", 4500.0, "35 %", 1575.0),
                    ("range", 12_000.0, "table", 8000.0),
                    ("dryer", 5500.0, "100 %", 5500.0),
                    ("dishwasher, disposer", 2000.0, "100 %", 2000.0),
                    ("storage tank, stays", 4500.0, "100 %", 4500.0),
                    ("on-demand unit", 18_000.0, "100 %", 18_000.0),
                    ("air conditioner", 5280.0, "100 %", 5280.0),
                ],
            ),
            load(
                "existing",
                "existing dwelling with a load added",
                "220.83(B)",
                &[
                    (
                        "lighting and receptacles, 1780 ft²",
                        5340.0,
                        "in the general load",
                        0.0,
                    ),
                    ("small appliances and laundry", 4500.0, "in the general load", 0.0),
                    (
                        "range, dryer, dishwasher, disposer",
                        19_500.0,
                        "in the general load",
                        0.0,
                    ),
                    (
                        "storage tank and on-demand unit",
                        22_500.0,
                        "in the general load",
                        0.0,
                    ),
                    ("first 8 kVA of the general load", 8000.0, "100 %", 8000.0),
                    ("rest of the general load", 43_840.0, "40 %", 17_536.0),
                    ("air conditioner", 5280.0, "100 %", 5280.0),
                ],
            ),
        ],
        coincident: load(
            "coincident",
            "nameplates at once",
            "",
            &[
                ("range", 12_000.0, "1", 12_000.0),
                ("dryer", 5500.0, "1", 5500.0),
                ("on-demand unit", 18_000.0, "1", 18_000.0),
                ("air conditioner", 5280.0, "1", 5280.0),
            ],
        ),
        voltage_step: Some(Ratio::from_percent(1.4)),
        fault_current: Some(Current::from_amperes(5230.0)),
    }
}
