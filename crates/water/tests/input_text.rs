//! The open input text: what is written reads back to the same answer, what cannot be read names its line.
//!
//! `checks/water/networks/exported-house.inp` is what this engine writes for the house built here; EPANET's own answer
//! to that text stands beside it and is compared in `networks_against_epanet`.
#![allow(
    clippy::unwrap_used,
    reason = "helpers of a test or benchmark fail as tests do"
)]

use quantity::{GaugePressure, Length, PressureDifference, Ratio, VolumeFlow};
use std::path::{Path, PathBuf};
use water::LossCurve;
use water::network::input_text::{InputTextError, read, write};
use water::network::{
    Device, FrictionLaw, LinkId, Mixer, Network, NodeId, OutletLaw, PipeRun, PumpCurve, Regulator, Solver,
    ValveKind,
};
use water::outlet::Outlet;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../checks/water/networks")
}

fn text(name: &str) -> String {
    std::fs::read_to_string(folder().join(name)).unwrap()
}

fn gpm(number: f64) -> VolumeFlow {
    VolumeFlow::from_gallons_per_minute(number)
}

fn psi(number: f64) -> GaugePressure {
    GaugePressure::from_psi(number)
}

/// A house with every device that the text can say, by the peer's friction law, and its outlets.
fn house() -> (Network, Vec<(NodeId, LinkId)>) {
    let entering = read(&text("house-net-12.inp")).unwrap().network.entering();
    let mut network = Network::new(FrictionLaw::Epanet, entering);
    let at = |network: &mut Network, name: &str, feet: f64| {
        network
            .junction(name, Length::from_feet(feet), VolumeFlow::zero())
            .unwrap()
    };
    let pipe = |feet: f64, bore_in: f64, k: f64| {
        Device::Pipe(PipeRun {
            length: Length::from_feet(feet),
            inside_diameter: Length::from_inches(bore_in),
            roughness: Length::from_millimeters(0.0015),
            loss_coefficient: k,
            check: false,
        })
    };
    let street = network.supply("street main", Length::zero(), psi(80.0)).unwrap();
    let names = [
        "curb",
        "meter",
        "before",
        "behind",
        "tee",
        "inlet",
        "outlet",
        "hot",
        "check",
        "shower hot",
        "shower cold",
        "mixed",
        "sink",
        "hose",
        "pumped",
    ];
    let heights = [
        0.0, 1.0, 2.0, 2.0, 3.0, 3.0, 4.0, 8.0, 4.0, 10.0, 10.0, 11.0, 9.0, 3.0, 9.0,
    ];
    let n: Vec<NodeId> = names
        .iter()
        .zip(heights)
        .map(|(name, feet)| at(&mut network, name, feet))
        .collect();
    let bore = Length::from_inches(0.785);
    let mut link = |name: &str, from: NodeId, to: NodeId, device: Device| {
        network.link(name, from, to, entering, device).unwrap()
    };
    link("service", street, n[0], pipe(60.0, 0.995, 2.5));
    let meter = LossCurve::through(&[
        (gpm(5.0), PressureDifference::from_psi(1.0)),
        (gpm(15.0), PressureDifference::from_psi(7.0)),
    ]);
    link("meter", n[0], n[1], Device::Loss(meter.unwrap()));
    link(
        "shut-off",
        n[1],
        n[2],
        Device::Valve {
            kind: ValveKind::Gate,
            inside_diameter: bore,
            open_coefficient: 0.2,
            opening: Ratio::from_fraction(0.5),
        },
    );
    link(
        "regulator",
        n[2],
        n[3],
        Device::Regulator(Regulator {
            set_pressure: psi(50.0),
            fall_off: None,
            open_loss: (gpm(10.0), PressureDifference::from_psi(3.0)),
        }),
    );
    link("trunk", n[3], n[4], pipe(18.0, 0.785, 1.8));
    link("to heater", n[4], n[5], pipe(6.0, 0.785, 1.9));
    let heater = LossCurve::through(&[
        (gpm(1.0), PressureDifference::from_psi(1.2)),
        (gpm(4.0), PressureDifference::from_psi(14.0)),
    ]);
    link("heater", n[5], n[6], Device::Loss(heater.unwrap()));
    link(
        "check valve",
        n[6],
        n[8],
        Device::Check {
            inside_diameter: bore,
            open_coefficient: 2.5,
        },
    );
    link("hot trunk", n[8], n[7], pipe(30.0, 0.785, 2.6));
    link("hot branch", n[7], n[9], pipe(24.0, 0.485, 3.6));
    link("cold branch", n[4], n[10], pipe(40.0, 0.485, 3.6));
    link("sink branch", n[7], n[12], pipe(38.0, 0.485, 4.2));
    link("hose branch", n[4], n[13], pipe(20.0, 0.545, 3.0));
    let points = [(gpm(0.0), 12.0), (gpm(2.0), 10.0), (gpm(4.0), 4.0)]
        .map(|(flow, psi)| (flow, PressureDifference::from_psi(psi)));
    link(
        "booster",
        n[7],
        n[14],
        Device::Pump(PumpCurve::through(&points).unwrap()),
    );
    let side_loss = (gpm(3.0), PressureDifference::from_psi(4.0));
    let valve = Mixer {
        hot: n[9],
        cold: n[10],
        mixed: n[11],
        hot_share: Ratio::from_fraction(0.7),
        side_loss,
    };
    network.mixer("shower valve", valve).unwrap();
    let orifice = |flow: f64| Outlet::Orifice {
        rated_flow: gpm(flow),
        rated_pressure: psi(60.0),
    };
    let limited = Outlet::Compensated {
        flow: gpm(1.5),
        least_pressure: psi(20.0),
    };
    let mut outlets = Vec::new();
    for (name, node, outlet) in [
        ("shower head", n[11], orifice(2.5)),
        ("sink spout", n[12], limited),
        ("hose bib", n[13], orifice(5.0)),
        ("second hose", n[13], orifice(2.0)),
        ("upstairs", n[14], orifice(2.0)),
    ] {
        outlets.push((
            node,
            network
                .outlet(
                    name,
                    node,
                    OutletLaw::Fixture {
                        outlet,
                        throttled_to: None,
                    },
                )
                .unwrap(),
        ));
    }
    (network, outlets)
}

#[test]
fn what_is_written_for_a_house_is_what_the_peer_solved() {
    let (network, _) = house();
    let mut solver = Solver::new(&network);
    let solution = solver.solve().unwrap();
    let written = write(&network, Some(&solution));
    assert_eq!(written.notes, Vec::<String>::new());
    if std::env::var_os("WRITE_EXPORTED_HOUSE").is_some() {
        std::fs::write(folder().join("exported-house.inp"), &written.text).unwrap();
    }
    assert!(
        written.text == text("exported-house.inp"),
        "the text differs from exported-house.inp: run this test with WRITE_EXPORTED_HOUSE=1, then networks.py"
    );
}

#[test]
fn a_house_reads_back_to_the_same_answer() {
    let (network, outlets) = house();
    let mut solver = Solver::new(&network);
    let solution = solver.solve().unwrap();
    let imported = read(&write(&network, Some(&solution)).text).unwrap();
    let mut again = Solver::new(&imported.network);
    let again = again.solve().unwrap();
    for node in network.node_ids() {
        let name = network.node(node).unwrap().name.replace(' ', "_");
        let (a, b) = (
            solution.head(node).unwrap().as_meters(),
            again.head(imported.nodes[&name]).unwrap().as_meters(),
        );
        assert!((a - b).abs() < 0.01, "{name}: {a} {b}");
    }
    let total: f64 = outlets
        .iter()
        .map(|(_, outlet)| solution.flow(*outlet).as_gallons_per_minute())
        .sum();
    let back = again.flow(imported.links["service"].id).as_gallons_per_minute();
    assert!((back / total - 1.0).abs() < 1e-3, "{back} {total}");
}

#[test]
fn plain_networks_read_back_exactly() {
    for name in [
        "house-net-12.inp",
        "house-net-40.inp",
        "Net1.inp",
        "Net3.inp",
        "ky4.inp",
    ] {
        let first = read(&text(name)).unwrap();
        let written = write(&first.network, None);
        let second = read(&written.text).unwrap_or_else(|error| panic!("{name}: {error}"));
        let (mut a, mut b) = (Solver::new(&first.network), Solver::new(&second.network));
        let (a, b) = (a.solve().unwrap(), b.solve().unwrap());
        for (node, id) in &first.nodes {
            let (a, b) = (
                a.head(*id).unwrap().as_meters(),
                b.head(second.nodes[node]).unwrap().as_meters(),
            );
            assert!((a - b).abs() < 1e-4, "{name} {node}: {a} {b}");
        }
    }
}

#[test]
fn what_cannot_be_read_names_its_line() {
    let start = "[JUNCTIONS]\n A 0 1\n[RESERVOIRS]\n R 100\n[PIPES]\n";
    let case = |rest: &str| read(&format!("{start}{rest}")).unwrap_err();
    assert!(matches!(
        case(" P R B 10 6 100"),
        InputTextError::UnknownName {
            line: 6,
            what: "node",
            ..
        }
    ));
    assert!(matches!(
        case(" P R A ten 6 100"),
        InputTextError::NotANumber { line: 6, .. }
    ));
    assert!(matches!(
        case(" P R A 10"),
        InputTextError::Missing { line: 6, .. }
    ));
    assert!(matches!(
        case(" P R A 10 6 100\n P R A 10 6 100"),
        InputTextError::Twice { line: 7, .. }
    ));
    assert!(matches!(
        case(" P R A -10 6 100"),
        InputTextError::Refused { line: 6, .. }
    ));
    let valve = case(" P R A 10 6 100\n[VALVES]\n V R A 6 PSV 50");
    assert!(
        matches!(valve, InputTextError::Unsupported { line: 8, .. }),
        "{valve}"
    );
    assert!(valve.to_string().contains("valve type PSV"), "{valve}");
    let law = case(" P R A 10 6 100\n[OPTIONS]\n Headloss C-M");
    assert!(matches!(law, InputTextError::Unsupported { line: 8, .. }));
    let model = case(" P R A 10 6 100\n[OPTIONS]\n Demand Model PDA");
    assert!(matches!(model, InputTextError::Unsupported { line: 8, .. }));
    assert!(matches!(
        case("[WHAT]\n"),
        InputTextError::UnknownName {
            line: 6,
            what: "section",
            ..
        }
    ));
    let rules = read(&format!("{start} P R A 10 6 100\n[RULES]\n RULE 1\n")).unwrap();
    assert_eq!(rules.left_aside.len(), 1);
    assert_eq!(rules.left_aside[0].what, "section RULES");
}
