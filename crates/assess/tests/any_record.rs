//! Any record that validates assesses without panic, and what comes out is finite.
//!
//! Records are made by bending the examples: values scaled, sections left out, ids cut loose.

use assess::{DatedDesk, assess};
use job::{Job, SourceStatus};
use proptest::prelude::*;
use quantity::{Current, GaugePressure, Power, Temperature, VolumeFlow};

fn example(name: &str) -> Job {
    let path = format!("{}/../../examples/{name}.job.toml", env!("CARGO_MANIFEST_DIR"));
    toml::from_str(&std::fs::read_to_string(&path).expect("an example")).expect("an example")
}

/// How a record is bent.
#[derive(Debug, Clone)]
struct Bend {
    name: &'static str,
    power: f64,
    flow: f64,
    length: f64,
    cold_f: f64,
    set_f: f64,
    use_f: f64,
    pressure: f64,
    rating: f64,
    drop_sections: u16,
}

fn bends() -> impl Strategy<Value = Bend> {
    let names = prop::sample::select(vec!["far-bath", "hundred-amp", "apartment"]);
    let scales = (0.05..8.0, 0.1..6.0, 0.0..12.0);
    let temperatures = (33.0..80.0, 90.0..180.0, 60.0..140.0);
    (names, scales, temperatures, 5.0..150.0, 15.0..400.0, any::<u16>()).prop_map(
        |(name, (power, flow, length), (cold_f, set_f, use_f), pressure, rating, drop_sections)| Bend {
            name,
            power,
            flow,
            length,
            cold_f,
            set_f,
            use_f,
            pressure,
            rating,
            drop_sections,
        },
    )
}

fn bent(bend: &Bend) -> Job {
    let mut job = example(bend.name);
    let off = |bit: u16| bend.drop_sections & (1 << bit) != 0;
    for source in &mut job.sources {
        source.set_point = Some(Temperature::from_fahrenheit(bend.set_f));
        for element in &mut source.elements {
            element.power = Power::from_watts(element.power.as_watts() * bend.power);
        }
        if off(9) {
            source.status = SourceStatus::Existing;
        }
        if off(10) {
            source.pressure_drop.clear();
            source.activation_flow = None;
        }
    }
    for fixture in &mut job.fixtures {
        fixture.rated_flow = fixture
            .rated_flow
            .map(|flow| VolumeFlow::from_gallons_per_minute(flow.as_gallons_per_minute() * bend.flow));
        fixture.use_temperature = Some(Temperature::from_fahrenheit(bend.use_f));
        if off(11) {
            (fixture.hot, fixture.cold) = (None, None);
        }
    }
    for pipe in &mut job.piping.pipes {
        pipe.length = pipe.length * bend.length;
    }
    for route in &mut job.routes {
        for segment in &mut route.segments {
            segment.length = segment.length * bend.length;
        }
    }
    job.water.static_pressure = Some(GaugePressure::from_psi(bend.pressure));
    job.water.regulator_setting = None;
    job.site.mains = Some(job::Mains {
        coldest: Some(Temperature::from_fahrenheit(bend.cold_f)),
        ..job::Mains::default()
    });
    if let Some(service) = &mut job.service {
        service.rating = Current::from_amperes(bend.rating);
        if off(0) {
            service.measured_voltage = None;
        }
        if off(1) {
            service.drop = None;
            service.transformer = None;
        }
    }
    if off(2) {
        job.site = job::Site::default();
    }
    if off(3) {
        job.circuits.clear();
    }
    if off(4) {
        job.together.clear();
    }
    if off(5) {
        job.loads = job::Loads::default();
    }
    if off(6) {
        job.piping.modes.clear();
    }
    if off(7) {
        for circuit in &mut job.circuits {
            circuit.route = None;
            circuit.breaker = None;
        }
    }
    if off(8) && off(3) {
        job.service = None;
    }
    job
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, max_global_rejects: 20_000, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn any_record_that_validates_assesses(bend in bends()) {
        let job = bent(&bend);
        prop_assume!(job::validate(&job).is_empty());
        let desk = DatedDesk { today: jiff::civil::date(2026, 2, 1), electrical: None };
        let found = assess(&job, &desk);
        for heater in &found.heaters {
            prop_assert!(heater.delivered_power.is_finite());
            prop_assert!(heater.delivered_power <= heater.rated_power * 1.5, "{:?}", heater);
        }
        for fixture in &found.fixtures {
            prop_assert!(fixture.flow.is_finite() && fixture.temperature_coldest.is_finite());
            // What a tap gets lies between the incoming water and what people want.
            prop_assert!(fixture.temperature_coldest.as_kelvins() >= found.mains.coldest.as_kelvins() - 1e-6);
            prop_assert!(fixture.hot_share_coldest.as_fraction() >= 0.0 && fixture.hot_share_coldest.as_fraction() <= 1.0);
        }
        for situation in &found.situations {
            let cold = &situation.coldest;
            prop_assert!(cold.heater_flow.as_liters_per_minute() <= situation.flow.as_liters_per_minute() + 1e-9);
            prop_assert!(cold.holds || cold.temperature < situation.use_temperature);
        }
        let text = serde_json::to_string(&found).unwrap();
        prop_assert!(!text.contains("NaN") && !text.contains("null"));
    }
}
