//! Wiring trees and fault currents compared with a distribution solver, and with the closed form for balanced heaters.

use crate::element_240;
use power::center_tapped::CenterTapped;
use power::supply::supply;
use power::voltage_drop::{Branch, Feed, PanelLoad, Path, solve};
use power::wiring_tree::{
    Draws, Impedance, SectionImpedance, SourceVoltages, TreeLoad, TreeSection, Wire, WiringTree,
    available_fault, solve_tree,
};
use quantity::{ApparentPower, Power, Ratio, Reactance, Resistance, Voltage};

fn impedance(resistance_ohm: f64, reactance_ohm: f64) -> Impedance {
    Impedance::new(
        Resistance::from_ohms(resistance_ohm),
        Reactance::from_ohms(reactance_ohm),
    )
}

fn wires(pair: &str) -> (Wire, Wire) {
    let wire = |name: &str| match name {
        "A" => Wire::A,
        "B" => Wire::B,
        "C" => Wire::C,
        "N" => Wire::Neutral,
        other => panic!("no wire {other}"),
    };
    let (from, to) = pair.split_once('-').unwrap();
    (wire(from), wire(to))
}

fn rows(text: &str) -> Vec<Vec<&str>> {
    text.split(';')
        .map(|row| row.split(',').map(str::trim).collect())
        .collect()
}

fn number(cell: &str) -> f64 {
    cell.parse().unwrap()
}

fn loads(text: &str) -> Vec<TreeLoad> {
    rows(text)
        .iter()
        .enumerate()
        .map(|(at, row)| TreeLoad {
            label: format!("load {at}"),
            at: Some(row[0].parse().unwrap()),
            between: wires(row[1]),
            draws: match row[2] {
                "ohm" => Draws::Resistance(Resistance::from_ohms(number(row[3]))),
                "power" => Draws::Power {
                    power: Power::from_watts(number(row[3])),
                    power_factor: Ratio::from_fraction(number(row[4])),
                },
                "impedance" => Draws::Mixed {
                    power: Power::from_watts(number(row[3])),
                    power_factor: Ratio::from_fraction(number(row[4])),
                    rated_voltage: Voltage::from_volts(number(row[5])),
                    constant_power: Ratio::from_fraction(0.0),
                },
                other => panic!("no load {other}"),
            },
        })
        .collect()
}

fn center_tapped(kva: f64) -> (SourceVoltages, Vec<TreeSection>) {
    let volts = Voltage::from_volts(240.0);
    let unit = CenterTapped {
        rating: ApparentPower::from_kilovolt_amperes(kva),
        line_voltage: volts,
        resistance: Ratio::from_percent(1.2),
        reactance: Ratio::from_percent(1.7),
    };
    let section = TreeSection {
        label: "transformer".into(),
        above: None,
        impedance: SectionImpedance::center_tapped(&unit.windings().unwrap()),
    };
    (
        SourceVoltages::of(supply("120/240 V").unwrap(), volts).unwrap(),
        vec![section],
    )
}

#[test]
fn trees_agree_with_the_distribution_solver() {
    let mut compared = 0;
    for case in checks::load("electrical/wiring_tree.toml").cases {
        let kind = case.given_text("kind");
        let (source, sections) = if kind == "center-tapped" {
            center_tapped(case.given("kva"))
        } else {
            let system = match kind {
                "split" => "120/240 V",
                "two-legs" => "120/208 V",
                "one-line" => "230 V",
                "three-phase" => "230/400 V",
                other => panic!("no supply {other}"),
            };
            let volts = Voltage::from_volts(case.given("source_v"));
            let sections = rows(case.given_text("sections"))
                .iter()
                .map(|row| TreeSection {
                    label: row[0].to_owned(),
                    above: row[1].parse().ok(),
                    impedance: SectionImpedance::conductors(
                        impedance(number(row[2]), number(row[3])),
                        impedance(number(row[4]), number(row[5])),
                    ),
                })
                .collect();
            (
                SourceVoltages::of(supply(system).unwrap(), volts).unwrap(),
                sections,
            )
        };
        if case.expected("fault_a").is_some() {
            let found = available_fault(&source, &sections, 0, wires(case.given_text("fault"))).unwrap();
            case.close("fault_a", found.as_amperes());
            compared += 1;
            continue;
        }
        let found = solve_tree(&WiringTree {
            source,
            sections,
            loads: loads(case.given_text("loads")),
        })
        .unwrap();
        for (at, load) in found.loads.iter().enumerate() {
            case.close(&format!("load_{at}_v"), load.voltage.as_volts());
            if case.expected(&format!("load_{at}_a")).is_some() {
                case.close(&format!("load_{at}_a"), load.current.as_amperes());
            }
        }
        for (at, section) in found.sections.iter().enumerate() {
            if case.expected(&format!("section_{at}_neutral_a")).is_some() {
                let neutral = section.currents[Wire::Neutral as usize];
                case.close(&format!("section_{at}_neutral_a"), neutral.as_amperes());
            }
        }
        let delivered: Power = found.loads.iter().map(|load| load.power).sum();
        let balance = (delivered + found.lost()) / found.source_power - 1.0;
        assert!(balance.abs() < 1e-9, "case {}: power balance {balance}", case.id);
        compared += 1;
    }
    assert!(compared >= 10);
}

#[test]
fn the_closed_form_for_balanced_heaters_agrees() {
    // Sibling methods: heaters between the lines behind a common loop, the rest of the house on power between the lines.
    for (loop_ohm, loop_x_ohm, watts) in [(0.0402, 0.0088, 3000.0), (0.2, 0.05, 9000.0), (0.001, 0.0, 0.0)] {
        let feed = Feed {
            source_voltage: Voltage::from_volts(238.0),
            upstream: vec![Path {
                label: "drop".into(),
                loop_impedance: impedance(loop_ohm, loop_x_ohm),
            }],
            panel_load: Some(PanelLoad {
                power: Power::from_watts(watts),
                power_factor: Ratio::from_fraction(0.95),
            }),
            branches: (1..=3)
                .map(|number| Branch {
                    label: format!("element {number}"),
                    path: Path {
                        label: "branch".into(),
                        loop_impedance: impedance(0.03 * f64::from(number), 0.004),
                    },
                    elements: vec![element_240(9000.0)],
                })
                .collect(),
        };
        let closed = solve(&feed).unwrap();
        let mut sections = vec![TreeSection {
            label: "drop".into(),
            above: None,
            impedance: SectionImpedance::each_line(feed.upstream[0].loop_impedance.times(0.5)),
        }];
        let mut loads = vec![TreeLoad {
            label: "house".into(),
            at: Some(0),
            between: (Wire::A, Wire::B),
            draws: Draws::Power {
                power: Power::from_watts(watts),
                power_factor: Ratio::from_fraction(0.95),
            },
        }];
        for branch in &feed.branches {
            sections.push(TreeSection {
                label: branch.label.clone(),
                above: Some(0),
                impedance: SectionImpedance::each_line(branch.path.loop_impedance.times(0.5)),
            });
            loads.push(TreeLoad {
                label: branch.label.clone(),
                at: Some(sections.len() - 1),
                between: (Wire::A, Wire::B),
                draws: branch.elements[0].into(),
            });
        }
        let tree = solve_tree(&WiringTree {
            source: SourceVoltages::of(supply("120/240 V").unwrap(), feed.source_voltage).unwrap(),
            sections,
            loads,
        })
        .unwrap();
        for (branch, load) in closed.branches.iter().zip(&tree.loads[1..]) {
            assert!((branch.element_voltage.as_volts() - load.voltage.as_volts()).abs() < 1e-7);
            assert!((branch.delivered.as_watts() - load.power.as_watts()).abs() < 1e-4);
        }
    }
}
