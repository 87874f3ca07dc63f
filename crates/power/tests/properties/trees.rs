//! Wiring trees: power balance, Kirchhoff at every load, and refusal instead of a wrong answer, for any tree.

use power::supply::supply;
use power::wiring_tree::{
    Draws, Impedance, SectionImpedance, SourceVoltages, TreeLoad, TreeSection, Wire, WiringTree, solve_tree,
};
use proptest::prelude::*;
use quantity::{Power, Ratio, Reactance, Resistance, Voltage};

fn impedance() -> impl Strategy<Value = Impedance> {
    (0.0..0.5_f64, 0.0..0.2_f64)
        .prop_map(|(r, x)| Impedance::new(Resistance::from_ohms(r), Reactance::from_ohms(x)))
}

fn draws() -> impl Strategy<Value = Draws> {
    prop_oneof![
        (2.0..200.0_f64).prop_map(|ohms| Draws::Resistance(Resistance::from_ohms(ohms))),
        (0.0..8000.0_f64, 0.5..1.0_f64).prop_map(|(watts, factor)| Draws::Power {
            power: Power::from_watts(watts),
            power_factor: Ratio::from_fraction(factor),
        }),
        (0.0..8000.0_f64, 0.5..1.0_f64, 0.0..1.0_f64).prop_map(|(watts, factor, kept)| Draws::Mixed {
            power: Power::from_watts(watts),
            power_factor: Ratio::from_fraction(factor),
            rated_voltage: Voltage::from_volts(120.0),
            constant_power: Ratio::from_fraction(kept),
        }),
    ]
}

fn tree() -> impl Strategy<Value = WiringTree> {
    let wires = vec![
        (Wire::A, Wire::B),
        (Wire::A, Wire::Neutral),
        (Wire::B, Wire::Neutral),
        (Wire::Neutral, Wire::B),
    ];
    let system = prop::sample::select(vec!["120/240 V", "120/208 V", "230/400 V"]);
    let section = (impedance(), impedance(), any::<prop::sample::Index>());
    let load = (any::<prop::sample::Index>(), prop::sample::select(wires), draws());
    (
        system,
        prop::collection::vec(section, 1..7),
        prop::collection::vec(load, 1..9),
    )
        .prop_map(|(system, sections, loads)| {
            let supply = supply(system).unwrap();
            let n = sections.len();
            WiringTree {
                source: SourceVoltages::of(supply, supply.element_voltage).unwrap(),
                sections: sections
                    .into_iter()
                    .enumerate()
                    .map(|(at, (line, neutral, above))| TreeSection {
                        label: format!("section {at}"),
                        above: (at > 0).then(|| above.index(at)),
                        impedance: SectionImpedance::conductors(line, neutral),
                    })
                    .collect(),
                loads: loads
                    .into_iter()
                    .enumerate()
                    .map(|(number, (at, between, draws))| TreeLoad {
                        label: format!("load {number}"),
                        at: Some(at.index(n)),
                        between,
                        draws,
                    })
                    .collect(),
            }
        })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn power_is_kept_and_loads_see_the_ends_of_their_wires(tree in tree()) {
        if let Ok(found) = solve_tree(&tree) {
            let taken: Power = found.loads.iter().map(|load| load.power).sum();
            let off = (taken + found.lost()).as_watts() - found.source_power.as_watts();
            prop_assert!(off.abs() < 1e-6 * (1.0 + found.source_power.as_watts().abs()), "{off} W");
            prop_assert!(found.residual.as_fraction() < 1e-10);
            for (load, solved) in tree.loads.iter().zip(&found.loads) {
                let end = found.sections[load.at.unwrap()].voltage(load.between.0, load.between.1);
                prop_assert!((end.as_volts() - solved.voltage.as_volts()).abs() < 1e-6);
                if let Draws::Power { power, .. } = load.draws {
                    prop_assert!((solved.power.as_watts() - power.as_watts()).abs() < 1e-4);
                }
                prop_assert!(solved.current.as_amperes().is_finite());
            }
        }
    }

    #[test]
    fn longer_wires_never_deliver_more_to_resistances(tree in tree(), ohms in 2.0..50.0_f64, more in 0.0..0.5_f64) {
        let mut only = tree;
        only.loads.truncate(1);
        only.loads[0].draws = Draws::Resistance(Resistance::from_ohms(ohms));
        let mut far = only.clone();
        far.sections.push(TreeSection {
            label: "more".into(),
            above: only.loads[0].at,
            impedance: SectionImpedance::conductors(
                Impedance::new(Resistance::from_ohms(more), Reactance::zero()),
                Impedance::new(Resistance::from_ohms(more), Reactance::zero()),
            ),
        });
        far.loads[0].at = Some(far.sections.len() - 1);
        let (near, far) = (solve_tree(&only).unwrap(), solve_tree(&far).unwrap());
        prop_assert!(far.loads[0].power.as_watts() <= near.loads[0].power.as_watts() * (1.0 + 1e-9));
    }
}
