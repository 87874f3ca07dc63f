//! How long all states of a layout take. The aim is 2^16 states in under a second on one core.

use changeover::{
    Analysis, Fixture, HazardSet, Layout, Source, StateSpace, Supply, TopologyAlone, Vent, VentKind,
};
use divan::{Bencher, black_box};
use quantity::Volume;

fn main() {
    divan::main();
}

/// Two sources, `trunk` valves in the loop that joins them, `stops` shut-off valves at fixtures: 2^(trunk + stops + 4)
/// states.
fn house(trunk: usize, stops: usize) -> Layout {
    let mut layout = Layout::default();
    let little = Volume::from_gallons(0.1);
    let street = layout.junction("street");
    let mut cold = street;
    let mut hot = layout.junction("hot");
    let first_hot = hot;
    for at in 0..trunk / 2 {
        let (next_cold, next_hot) = (layout.junction("cold"), layout.junction("hot"));
        layout.two_way_valve(&format!("C{at}"), cold, next_cold);
        layout.two_way_valve(&format!("H{at}"), hot, next_hot);
        layout.fixtures.push(Fixture {
            name: format!("trunk tap {at}"),
            hot: Some(next_hot),
            cold: Some(next_cold),
        });
        (cold, hot) = (next_cold, next_hot);
    }
    for (name, inlet, outlet) in [("tank", street, first_hot), ("unit", cold, hot)] {
        let (near, far) = (layout.junction("in"), layout.junction("out"));
        layout.pipe(format!("{name} cold"), inlet, near, little);
        layout.pipe(format!("{name} hot"), far, outlet, little);
        layout.sources.push(Source {
            name: name.into(),
            inlet: near,
            outlet: far,
            volume: Volume::from_gallons(1.0),
            relief_on_vessel: name == "tank",
            interlocked_with: None,
        });
    }
    for at in 0..stops {
        let tap = layout.junction("tap");
        layout.two_way_valve(&format!("S{at}"), hot, tap);
        layout.fixtures.push(Fixture {
            name: format!("tap {at}"),
            hot: Some(tap),
            cold: Some(cold),
        });
    }
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

/// 2^16 states: all settings of the handles decide about one loop, or most stand at fixtures, or all handles are in one
/// loop and there are 2^16 settings of them alone.
#[divan::bench(args = [(12, 0), (6, 6), (16, 0)])]
fn all_states(bencher: Bencher<'_, '_>, (trunk, stops): (usize, usize)) {
    let layout = house(trunk, stops);
    assert!(StateSpace::of(&layout).is_ok_and(|space| space.bits() >= 16));
    bencher.bench_local(|| {
        let analysis = Analysis::of(black_box(&layout), &TopologyAlone).expect("a house");
        let forbidden = HazardSet::in_passing();
        let states = analysis.space().states();
        states
            .filter(|state| analysis.hazards(*state).shared(forbidden).is_empty())
            .count()
    });
}
