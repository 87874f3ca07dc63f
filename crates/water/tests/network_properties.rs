//! What must hold of any network: balances, energies, and how flows answer to a change.
//!
//! Networks are generated: a random tree with chords, several supplies, pipes of house sizes, outlets with and without
//! flow regulators, check valves, a regulator, mixing valves. No expected value is our own.
#![allow(
    clippy::unwrap_used,
    reason = "helpers of a test or benchmark fail as tests do"
)]

use proptest::prelude::*;
use quantity::{GaugePressure, Length, PressureDifference, Ratio, Temperature, VolumeFlow};
use water::network::{
    Device, Fluid, FrictionLaw, LinkId, Mixer, Network, NodeId, OutletLaw, PipeRun, Regulator, Solution,
    Solver,
};
use water::outlet::Outlet;
use water::{LossCurve, Water};

fn gpm(number: f64) -> VolumeFlow {
    VolumeFlow::from_gallons_per_minute(number)
}

fn psi(number: f64) -> GaugePressure {
    GaugePressure::from_psi(number)
}

fn cold() -> Fluid {
    Fluid::from(Water::in_house(Temperature::from_fahrenheit(55.0)).unwrap())
}

fn run(length_m: f64, bore_mm: f64, k: f64) -> PipeRun {
    PipeRun {
        length: Length::from_meters(length_m),
        inside_diameter: Length::from_millimeters(bore_mm),
        roughness: Length::from_millimeters(0.0015),
        loss_coefficient: k,
        check: false,
    }
}

/// One generated link: from and to (taken modulo what is there), length, bore, kind.
#[derive(Debug, Clone)]
struct Piece {
    from: usize,
    length_m: f64,
    bore_mm: f64,
    kind: u8,
    height_m: f64,
}

fn piece() -> impl Strategy<Value = Piece> {
    (
        0_usize..1000,
        0.3_f64..30.0,
        8.0_f64..26.0,
        0_u8..12,
        0.0_f64..8.0,
    )
        .prop_map(|(from, length_m, bore_mm, kind, height_m)| Piece {
            from,
            length_m,
            bore_mm,
            kind,
            height_m,
        })
}

#[derive(Debug, Clone)]
struct Plan {
    tree: Vec<Piece>,
    chords: Vec<(usize, Piece)>,
    outlets: Vec<(usize, f64, bool)>,
    supply_psi: f64,
}

fn plan() -> impl Strategy<Value = Plan> {
    (
        proptest::collection::vec(piece(), 2..25),
        proptest::collection::vec((0_usize..1000, piece()), 0..6),
        proptest::collection::vec((0_usize..1000, 0.3_f64..5.0, any::<bool>()), 1..8),
        25.0_f64..90.0,
    )
        .prop_map(|(tree, chords, outlets, supply_psi)| Plan {
            tree,
            chords,
            outlets,
            supply_psi,
        })
}

struct Built {
    network: Network,
    pipes: Vec<LinkId>,
    outlets: Vec<LinkId>,
}

/// Builds a plan; `devices` lets some links be more than pipes. Node `i` of the tree is added in the order given.
fn build(plan: &Plan, order: &[usize], devices: bool) -> Built {
    let water = cold();
    let mut network = Network::new(FrictionLaw::Smooth, water);
    let count = plan.tree.len() + 1;
    let mut nodes = vec![None; count];
    for &index in order {
        nodes[index] = Some(if index == 0 {
            network
                .supply("street", Length::zero(), psi(plan.supply_psi))
                .unwrap()
        } else {
            let height = Length::from_meters(plan.tree[index - 1].height_m);
            network
                .junction(&format!("n{index}"), height, VolumeFlow::zero())
                .unwrap()
        });
    }
    let nodes: Vec<NodeId> = nodes.into_iter().map(Option::unwrap).collect();
    let device = |piece: &Piece| {
        let pipe = run(piece.length_m, piece.bore_mm, 2.0);
        match piece.kind {
            0 if devices => Device::Check {
                inside_diameter: pipe.inside_diameter,
                open_coefficient: 4.0,
            },
            1 if devices => {
                Device::Loss(LossCurve::through(&[(gpm(3.0), PressureDifference::from_psi(6.0))]).unwrap())
            }
            2 if devices => Device::Regulator(Regulator {
                set_pressure: psi(45.0),
                fall_off: Some((gpm(10.0), PressureDifference::from_psi(8.0))),
                open_loss: (gpm(10.0), PressureDifference::from_psi(5.0)),
            }),
            3 if devices => Device::Pipe(PipeRun { check: true, ..pipe }),
            _ => Device::Pipe(pipe),
        }
    };
    let mut pipes = Vec::new();
    for (index, piece) in plan.tree.iter().enumerate() {
        let (from, to) = (nodes[piece.from % (index + 1)], nodes[index + 1]);
        pipes.push(
            network
                .link(&format!("t{index}"), from, to, water, device(piece))
                .unwrap(),
        );
    }
    for (index, (to, piece)) in plan.chords.iter().enumerate() {
        let (from, to) = (nodes[piece.from % count], nodes[to % count]);
        if from != to {
            // A regulator in a ring with others has no single answer; rings have pipes and check valves.
            let piece = Piece {
                kind: if piece.kind == 2 { 9 } else { piece.kind },
                ..piece.clone()
            };
            pipes.push(
                network
                    .link(&format!("c{index}"), from, to, water, device(&piece))
                    .unwrap(),
            );
        }
    }
    let mut outlets = Vec::new();
    for (index, (at, flow, regulated)) in plan.outlets.iter().enumerate() {
        let at = nodes[1 + at % (count - 1)];
        let outlet = if *regulated && devices {
            Outlet::Compensated {
                flow: gpm(*flow),
                least_pressure: psi(20.0),
            }
        } else {
            Outlet::Orifice {
                rated_flow: gpm(*flow),
                rated_pressure: psi(60.0),
            }
        };
        let law = OutletLaw::Fixture {
            outlet,
            throttled_to: None,
        };
        outlets.push(network.outlet(&format!("o{index}"), at, law).unwrap());
    }
    Built {
        network,
        pipes,
        outlets,
    }
}

fn straight(plan: &Plan) -> Vec<usize> {
    (0..=plan.tree.len()).collect()
}

fn total(built: &Built, solution: Solution<'_>) -> f64 {
    built
        .outlets
        .iter()
        .map(|outlet| solution.flow(*outlet).as_gallons_per_minute())
        .sum()
}

/// Balance at every junction, from the flows alone.
fn worst_imbalance(built: &Built, solution: Solution<'_>) -> (f64, f64) {
    let mut balance = vec![0.0; built.network.nodes().len()];
    let mut most = 0.0_f64;
    let at = |node: NodeId| built.network.node_ids().position(|id| id == node).unwrap();
    for id in built.network.link_ids() {
        let link = built.network.get(id).unwrap();
        let flow = solution.mass_flow(id).as_kilograms_per_second();
        most = most.max(flow.abs());
        match &link.device {
            Device::Mixer(mixer) => {
                let share = mixer.hot_share.as_fraction();
                balance[at(mixer.hot)] -= share * flow;
                balance[at(mixer.cold)] -= (1.0 - share) * flow;
            }
            _ => balance[at(link.from)] -= flow,
        }
        if let Some(to) = link.to {
            balance[at(to)] += flow;
        }
    }
    let worst = built
        .network
        .node_ids()
        .zip(&balance)
        .filter(|(id, _)| {
            matches!(
                built.network.node(*id).unwrap().kind,
                water::network::NodeKind::Junction { .. }
            )
        })
        .fold(0.0_f64, |worst, (_, balance)| worst.max(balance.abs()));
    (worst, most)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(192))]

    #[test]
    fn mass_and_energy_balance_with_every_device(plan in plan()) {
        let built = build(&plan, &straight(&plan), true);
        let mut solver = Solver::new(&built.network);
        let solution = solver.solve();
        prop_assert!(solution.is_ok(), "{:?}", solution.err());
        let solution = solution.unwrap();
        let (worst, most) = worst_imbalance(&built, solution);
        prop_assert!(worst <= 1e-9 * most + 1e-12, "{worst} of {most}");
        prop_assert!(solution.residual().as_pascals() <= 0.01);
        prop_assert!(solution.iterations() <= 160, "{}", solution.iterations());
        // Energy of each plain pipe, from the answer and the path engine's own friction.
        for id in &built.pipes {
            let link = built.network.get(*id).unwrap();
            let Device::Pipe(pipe) = link.device else { continue };
            let (Some(loss), true) = (solution.loss(*id), solution.carries(*id)) else { continue };
            let q = solution.mass_flow(*id).as_kilograms_per_second();
            if pipe.check { prop_assert!(q >= -1e-8); }
            let (d, mu) = (pipe.inside_diameter.as_meters(), link.fluid.viscosity().as_pascal_seconds());
            let re = 4.0 * q.abs() / (std::f64::consts::PI * d * mu);
            if re < 1e-3 { continue; }
            let f = water::friction::darcy_friction(re, pipe.roughness.as_meters() / d).unwrap();
            let area = std::f64::consts::FRAC_PI_4 * d * d;
            let head = q * q / (2.0 * link.fluid.density().as_kilograms_per_cubic_meter() * area * area);
            let expected = (f * pipe.length.as_meters() / d + pipe.loss_coefficient) * head * q.signum();
            prop_assert!((loss.as_pascals() - expected).abs() < 0.02 + 1e-9 * expected.abs(), "{} {}", loss.as_pascals(), expected);
        }
        // One-way devices do not let water back.
        for (id, link) in built.network.link_ids().zip(built.network.links()) {
            if matches!(link.device, Device::Check { .. } | Device::Regulator(_) | Device::Outlet(_)) {
                prop_assert!(solution.mass_flow(id).as_kilograms_per_second() >= -1e-8, "{}", link.name);
            }
        }
    }

    #[test]
    fn doubling_a_pipe_never_raises_its_flow(plan in plan(), which in 0_usize..1000) {
        let built = build(&plan, &straight(&plan), false);
        let which = built.pipes[which % built.pipes.len()];
        let mut solver = Solver::new(&built.network);
        let before = solver.solve().unwrap().mass_flow(which).as_kilograms_per_second();
        let mut longer = plan.clone();
        let index = built.pipes.iter().position(|pipe| *pipe == which).unwrap();
        let mut seen = 0;
        for piece in &mut longer.tree {
            if seen == index { piece.length_m *= 2.0; }
            seen += 1;
        }
        for (to, piece) in &mut longer.chords {
            let count = plan.tree.len() + 1;
            if piece.from % count != *to % count {
                if seen == index { piece.length_m *= 2.0; }
                seen += 1;
            }
        }
        let built = build(&longer, &straight(&longer), false);
        let mut solver = Solver::new(&built.network);
        let after = solver.solve().unwrap().mass_flow(built.pipes[index]).as_kilograms_per_second();
        prop_assert!(after.abs() <= before.abs() * (1.0 + 1e-6) + 1e-7, "{before} {after}");
    }

    #[test]
    fn a_parallel_path_never_lowers_the_total(plan in plan(), beside in 0_usize..1000, extra in piece()) {
        // A level tree and one more pipe beside one of its own. Elsewhere there is no such law: with outlets at several
        // heights a new path may favor one over another, and a new path across a ring may lower the total although
        // every loss rises with its flow (Braess 1968), by some 1e-5 in networks like these.
        let mut plan = plan;
        plan.chords.clear();
        for piece in &mut plan.tree { piece.height_m = 0.0; }
        let run_of = |plan: &Plan| {
            let built = build(plan, &straight(plan), false);
            let mut solver = Solver::new(&built.network);
            let solution = solver.solve().unwrap();
            total(&built, solution)
        };
        let before = run_of(&plan);
        let beside = beside % plan.tree.len();
        let from = plan.tree[beside].from % (beside + 1);
        plan.chords.push((beside + 1, Piece { from, ..extra }));
        let after = run_of(&plan);
        prop_assert!(after >= before * (1.0 - 1e-6), "{before} {after}");
    }

    #[test]
    fn the_order_of_nodes_does_not_matter(plan in plan(), seed in any::<u64>()) {
        let mut order = straight(&plan);
        let mut state = seed | 1;
        for at in (1..order.len()).rev() {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            order.swap(at, usize::try_from(state >> 33).unwrap() % (at + 1));
        }
        let (one, other) = (build(&plan, &straight(&plan), true), build(&plan, &order, true));
        let (mut first, mut second) = (Solver::new(&one.network), Solver::new(&other.network));
        let (first, second) = (first.solve().unwrap(), second.solve().unwrap());
        let most = one.outlets.iter().map(|id| first.flow(*id).as_gallons_per_minute()).fold(0.01, f64::max);
        for (a, b) in one.outlets.iter().zip(&other.outlets) {
            let (a, b) = (first.flow(*a).as_gallons_per_minute(), second.flow(*b).as_gallons_per_minute());
            prop_assert!((a - b).abs() < 1e-5 * most, "{a} {b}");
        }
    }

    #[test]
    fn a_warm_start_and_a_cold_one_agree(plan in plan(), flows in proptest::collection::vec(0.2_f64..4.0, 1..5)) {
        let built = build(&plan, &straight(&plan), true);
        let mut warm = Solver::new(&built.network);
        warm.solve().unwrap();
        for (index, flow) in flows.iter().enumerate() {
            let outlet = built.outlets[index % built.outlets.len()];
            warm.set_throttle(outlet, Some(gpm(*flow))).unwrap();
            warm.solve().unwrap();
        }
        let mut cold = Solver::new(warm.network());
        let (warm, cold) = (warm.solve().unwrap(), cold.solve().unwrap());
        for outlet in &built.outlets {
            let (a, b) = (warm.flow(*outlet).as_gallons_per_minute(), cold.flow(*outlet).as_gallons_per_minute());
            prop_assert!((a - b).abs() < 1e-4, "{a} {b}");
        }
    }

    #[test]
    fn mixing_valves_keep_their_share_whatever_the_piping(
        lengths in proptest::collection::vec(0.5_f64..40.0, 8), share in 0.0_f64..=1.0, supply_psi in 20.0_f64..90.0,
        second in 0.0_f64..=1.0,
    ) {
        let water = cold();
        let mut network = Network::new(FrictionLaw::Smooth, water);
        let street = network.supply("street", Length::zero(), psi(supply_psi)).unwrap();
        let node = |network: &mut Network, name: &str| network.junction(name, Length::zero(), VolumeFlow::zero()).unwrap();
        let tee = node(&mut network, "tee");
        let hot_tee = node(&mut network, "hot tee");
        network.link("trunk", street, tee, water, Device::Pipe(run(lengths[0], 19.0, 2.0))).unwrap();
        network.link("heater", tee, hot_tee, water, Device::Pipe(run(lengths[1], 13.0, 30.0))).unwrap();
        let mut built = Built { network, pipes: vec![], outlets: vec![] };
        let mut valves = Vec::new();
        for (index, share) in [share, second].into_iter().enumerate() {
            let (hot, cold, mixed) = (
                node(&mut built.network, &format!("h{index}")),
                node(&mut built.network, &format!("c{index}")),
                node(&mut built.network, &format!("m{index}")),
            );
            let (a, b) = (lengths[2 + 2 * index], lengths[3 + 2 * index]);
            built.network.link(&format!("hp{index}"), hot_tee, hot, water, Device::Pipe(run(a, 12.0, 3.0))).unwrap();
            built.network.link(&format!("cp{index}"), tee, cold, water, Device::Pipe(run(b, 12.0, 3.0))).unwrap();
            let mixer = Mixer {
                hot, cold, mixed,
                hot_share: Ratio::from_fraction(share),
                side_loss: (gpm(3.0), PressureDifference::from_psi(2.0)),
            };
            valves.push((built.network.mixer(&format!("v{index}"), mixer).unwrap(), mixer));
            let outlet = Outlet::Orifice { rated_flow: gpm(2.5), rated_pressure: psi(45.0) };
            built.outlets.push(built.network.outlet(&format!("o{index}"), mixed, OutletLaw::Fixture { outlet, throttled_to: None }).unwrap());
        }
        let mut solver = Solver::new(&built.network);
        let solution = solver.solve();
        prop_assert!(solution.is_ok(), "{:?}", solution.err());
        let solution = solution.unwrap();
        let (worst, most) = worst_imbalance(&built, solution);
        prop_assert!(worst <= 1e-9 * most + 1e-12, "{worst} of {most}");
        for (valve, mixer) in valves {
            prop_assert!(solution.flow(valve).as_gallons_per_minute() > 0.01);
            // The outlet of a valve never stands above either side that it draws from.
            let mixed = solution.pressure(mixer.mixed).unwrap();
            let share = mixer.hot_share.as_fraction();
            if share > 0.0 { prop_assert!(solution.pressure(mixer.hot).unwrap().as_pascals() >= mixed.as_pascals() - 0.05); }
            if share < 1.0 { prop_assert!(solution.pressure(mixer.cold).unwrap().as_pascals() >= mixed.as_pascals() - 0.05); }
        }
    }
}

#[test]
fn a_house_that_no_water_reaches_is_an_answer() {
    // 5 psi lift water 3.5 m; the outlet is at 8 m, behind a check valve.
    let water = cold();
    let mut network = Network::new(FrictionLaw::Smooth, water);
    let street = network.supply("street", Length::zero(), psi(5.0)).unwrap();
    let low = network
        .junction("low", Length::zero(), VolumeFlow::zero())
        .unwrap();
    let high = network
        .junction("high", Length::from_meters(8.0), VolumeFlow::zero())
        .unwrap();
    let check = Device::Check {
        inside_diameter: Length::from_millimeters(26.0),
        open_coefficient: 0.1,
    };
    network.link("check", street, low, water, check).unwrap();
    network
        .link("riser", low, high, water, Device::Pipe(run(9.0, 13.0, 2.0)))
        .unwrap();
    let outlet = Outlet::Orifice {
        rated_flow: gpm(2.0),
        rated_pressure: psi(60.0),
    };
    let outlet = network
        .outlet(
            "tap",
            high,
            OutletLaw::Fixture {
                outlet,
                throttled_to: None,
            },
        )
        .unwrap();
    let mut solver = Solver::new(&network);
    for limit in [1.0, 2.0, 3.0] {
        solver.set_throttle(outlet, Some(gpm(limit))).unwrap();
        let solution = solver.solve().unwrap();
        assert!(solution.flow(outlet).as_gallons_per_minute().abs() < 1e-6);
        assert!(solution.pressure(high).unwrap() < GaugePressure::zero());
    }
    // A closed valve cuts the rest off; it is reported and nothing fails.
    solver
        .set_closed(network.link_ids().next().unwrap(), true)
        .unwrap();
    let solution = solver.solve().unwrap();
    assert_eq!(solution.cut_off().collect::<Vec<_>>(), [low, high]);
    assert_eq!(solution.pressure(high), None);
}
