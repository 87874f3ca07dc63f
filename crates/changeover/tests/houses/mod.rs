//! Layouts for the tests: two heaters side by side, and random small networks.
#![allow(dead_code, reason = "each test uses its part")]

use changeover::{Check, Fixture, Handle, HazardKind, Layout, Source, Supply, Vent, VentKind};
use proptest::prelude::*;
use quantity::Volume;

pub(crate) fn gallons(gallons: f64) -> Volume {
    Volume::from_gallons(gallons)
}

pub(crate) fn source(name: &str, inlet: usize, outlet: usize, volume_gal: f64, relief: bool) -> Source {
    Source {
        name: name.into(),
        inlet,
        outlet,
        volume: gallons(volume_gal),
        relief_on_vessel: relief,
        interlocked_with: None,
    }
}

pub(crate) fn fixture(name: &str, hot: usize, cold: usize) -> Fixture {
    Fixture {
        name: name.into(),
        hot: Some(hot),
        cold: Some(cold),
    }
}

/// Tank near the entry, unit at the far end, valves TC, TH, X, HC, HH; closed entry with an expansion tank.
pub(crate) fn side_by_side() -> Layout {
    let mut layout = Layout::default();
    let [
        street,
        far_cold,
        tank_in,
        tank_out,
        near_hot,
        far_hot,
        unit_in,
        unit_out,
    ] = [
        "street", "far cold", "tank in", "tank out", "near hot", "far hot", "unit in", "unit out",
    ]
    .map(|name| layout.junction(name));
    layout.pipe("cold trunk", street, far_cold, gallons(1.0));
    layout.pipe("hot trunk", near_hot, far_hot, gallons(1.0));
    layout.two_way_valve("TC", street, tank_in);
    layout.two_way_valve("TH", tank_out, near_hot);
    layout.two_way_valve("X", tank_out, unit_in);
    layout.two_way_valve("HC", far_cold, unit_in);
    layout.two_way_valve("HH", unit_out, far_hot);
    layout.sources.push(source("tank", tank_in, tank_out, 50.0, true));
    layout.sources.push(source("unit", unit_in, unit_out, 0.3, false));
    layout.fixtures.push(fixture("near tap", near_hot, street));
    layout.fixtures.push(fixture("far tap", far_hot, far_cold));
    layout.supplies.push(Supply {
        junction: street,
        takes_back: false,
    });
    layout.vents.push(Vent {
        name: "expansion tank".into(),
        junction: street,
        kind: VentKind::Expansion,
    });
    layout
}

pub(crate) fn hazard(word: &str) -> HazardKind {
    let all = HazardKind::ALL.into_iter();
    let mut named = all.filter(|kind| kind.id() == word);
    named.next().unwrap_or_else(|| panic!("no hazard `{word}`"))
}

/// A random network: pipes, two-way and L-port valves, check valves, one or two sources, vents, fixtures.
pub(crate) fn any_layout(n_checks: std::ops::Range<usize>) -> impl Strategy<Value = Layout> {
    let ends = |count: std::ops::Range<usize>| prop::collection::vec((0_usize..9, 1_usize..9), count);
    (
        ends(1..6),
        ends(1..5),
        ends(n_checks),
        ends(1..3),
        prop::option::of((0_usize..9, 1_usize..9, 1_usize..9)),
        prop::collection::vec((0_usize..9, 0_usize..9), 1..4),
        (any::<[bool; 4]>(), 0_usize..9),
    )
        .prop_map(
            |(pipes, valves, checks, sources, l_port, fixtures, (flags, vent))| {
                let mut layout = Layout::default();
                for at in 0..9 {
                    layout.junction(format!("n{at}"));
                }
                // The other end lies a number of junctions further round, so that no part joins a junction to itself.
                let other = |(from, by): (usize, usize)| (from + by) % 9;
                for (at, &pipe) in pipes.iter().enumerate() {
                    layout.pipe(format!("P{at}"), pipe.0, other(pipe), gallons(0.1));
                }
                for (at, &valve) in valves.iter().enumerate() {
                    layout.two_way_valve(&format!("V{at}"), valve.0, other(valve));
                }
                if let Some((common, a, b)) = l_port {
                    let first = layout.port("La", common, other((common, a)));
                    let second = layout.port("Lb", common, other((common, b)));
                    layout
                        .handles
                        .push(Handle::changes_over("L", [first], [second], ("a", "b")));
                }
                for (at, &check) in checks.iter().enumerate() {
                    layout.checks.push(Check {
                        tag: format!("K{at}"),
                        from: check.0,
                        to: other(check),
                    });
                }
                for (at, &ends) in sources.iter().enumerate() {
                    layout
                        .sources
                        .push(source(&format!("S{at}"), ends.0, other(ends), 1.0, flags[at]));
                }
                for (at, &(hot, cold)) in fixtures.iter().enumerate() {
                    layout.fixtures.push(fixture(&format!("F{at}"), hot, cold));
                }
                layout.supplies.push(Supply {
                    junction: 0,
                    takes_back: flags[2],
                });
                let kind = if flags[3] {
                    VentKind::Expansion
                } else {
                    VentKind::Relief
                };
                layout.vents.push(Vent {
                    name: "vent".into(),
                    junction: vent,
                    kind,
                });
                layout
            },
        )
}
