//! Conductors and designed circuits: larger is never worse, hotter is never better.

use crate::{edition, material, plain_request, segment, terminals};
use power::ampacity::{Segment, run_ampacity};
use power::circuit::design_circuit;
use power::circuit_check::{Chosen, check_circuit};
use proptest::prelude::*;
use quantity::{ConductorSize, Current, Ratio, Temperature, Voltage};
use tables::ampacity::sizes;
use tables::conductor::ConductorMaterial;

proptest! {
    #[test]
    fn a_larger_conductor_never_carries_less_nor_drops_more(
        segments in prop::collection::vec(segment(-20.0..80.0, 0.0..300.0_f64), 1..4),
        (material, terminals, edition) in (material(), terminals(), edition()),
        watts in 500.0..20_000.0_f64,
    ) {
        let mut request = plain_request(watts);
        request.segments = segments;
        request.material = material;
        request.terminals = terminals;
        request.edition = edition;
        let mut last: Option<(Current, Voltage)> = None;
        // The cap of service-entrance cable in insulation ends above 10 AWG, so ampacity may only jump up there.
        for size in sizes(material) {
            let Ok(ampacity) = run_ampacity(size, material, &request.segments, terminals, edition) else {
                return Ok(());
            };
            let chosen = Chosen { breaker: Current::from_amperes(40.0), conductor: size, equipment_ground: None };
            let drop = check_circuit(&request, &chosen).unwrap().drop.drop.voltage;
            prop_assert!(ampacity.ampacity <= ampacity.before_derating.max(ampacity.ampacity));
            if let Some((smaller_ampacity, smaller_drop)) = last {
                prop_assert!(ampacity.ampacity >= smaller_ampacity, "{size}");
                prop_assert!(drop <= smaller_drop, "{size}");
            }
            last = Some((ampacity.ampacity, drop));
        }
    }

    #[test]
    fn a_hotter_or_fuller_place_never_raises_ampacity(
        place in segment(-20.0..80.0, 0.0..300.0_f64),
        (hotter_k, more) in (0.0..30.0_f64, 0..20_u16),
        (material, terminals, edition) in (material(), terminals(), edition()),
        size in prop::sample::select(sizes(ConductorMaterial::Aluminum).collect::<Vec<ConductorSize>>()),
    ) {
        let mut worse = place.clone();
        worse.ambient = Temperature::from_celsius(place.ambient.as_celsius() + hotter_k);
        worse.current_carrying += more;
        worse.in_thermal_insulation = true;
        let of = |place: Segment| run_ampacity(size, material, &[place], terminals, edition);
        if let (Ok(before), Ok(after)) = (of(place), of(worse)) {
            prop_assert!(after.ampacity <= before.ampacity);
        }
    }

    #[test]
    fn a_design_has_no_shortfall_but_drop_and_breaker_range(
        segments in prop::collection::vec(segment(0.0..55.0, 0.0..150.0_f64), 1..4),
        (watts, continuous) in (500.0..20_000.0_f64, any::<bool>()),
        (material, terminals, edition) in (material(), terminals(), edition()),
        target in prop::option::of(0.5..10.0_f64),
    ) {
        let mut request = plain_request(watts);
        request.segments = segments;
        request.duty.continuous = continuous;
        request.material = material;
        request.terminals = terminals;
        request.edition = edition;
        request.drop_target = target.map(Ratio::from_percent);
        if let Ok(design) = design_circuit(&request) {
            prop_assert!(design.chosen.conductor.area() >= design.minimum_conductor.area());
            let again = check_circuit(&request, &design.chosen).unwrap();
            for shortfall in &again.shortfalls {
                let text = shortfall.to_string();
                prop_assert!(text.contains("target") || text.contains("largest one of the appliance"), "{text}");
            }
            let ground = design.check.equipment_ground.size;
            prop_assert!(ground.area() <= design.chosen.conductor.area());
        }
    }
}
