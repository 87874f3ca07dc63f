//! What must hold for every input: energy balance, monotony, and refusal instead of nonsense.
//!
//! The wide tests draw any finite number, also negative and huge ones: a function may refuse, but never panic and never
//! hand out a NaN.

#![allow(clippy::unwrap_used)] // what only tests call is a test too

use power::PowerError;
use power::ampacity::{Segment, Terminals, run_ampacity};
use power::circuit::{CircuitRequest, design_circuit};
use power::circuit_check::{Chosen, check_circuit};
use power::circuit_load::{Duty, Marked};
use power::conductor_temperature::{resistance_at, running_temperature, table_temperature};
use power::element::Element;
use power::fault::{FaultLoop, FaultRun, Transformer, fault_current, point_to_point, terminal_fault};
use power::load::existing::existing_load;
use power::load::measured::{MeasuredDemand, measured_load};
use power::load::neutral::neutral_load;
use power::load::optional::optional_load;
use power::load::standard::standard_load;
use power::load::{
    Dwelling, HeaterCounting, HeatingPolicy, LineRole, Load, LoadKind, LoadPolicy, LoadResult, LoadStatus,
};
use power::longest_length::longest_lengths;
use power::supply::{Connection, supplies, supply};
use power::voltage_drop::{Branch, Feed, Impedance, PanelLoad, Path, solve};
use power::voltage_step::{flicker_severity, voltage_step};
use proptest::prelude::*;
use proptest::test_runner::TestCaseError;
use quantity::{
    ApparentPower, Area, ConductorSize, Current, Length, Power, Ratio, Reactance, Resistance,
    ResistancePerLength, Temperature, Voltage,
};
use tables::ampacity::{TemperatureColumn, sizes};
use tables::cable::cable_types;
use tables::conductor::ConductorMaterial;
use tables::flicker_curve::Lamp;
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

type Method = fn(&Dwelling, LoadPolicy, NecEdition) -> Result<LoadResult, PowerError>;

fn methods() -> [Method; 3] {
    [
        |d, p, e| standard_load(d, p, supply("120/240 V")?, e),
        |d, p, e| optional_load(d, p, supply("120/240 V")?, e),
        |d, p, e| existing_load(d, p, supply("120/240 V")?, e),
    ]
}

proptest! {
    #[test]
    fn delivered_and_lost_is_what_the_source_gives(feed in feed()) {
        if let Ok(found) = solve(&feed) {
            let panel = feed.panel_load.map_or(Power::zero(), |load| load.power);
            let used = (found.delivered() + found.lost() + panel).as_watts();
            prop_assert!((used / found.source_power.as_watts() - 1.0).abs() < 1e-9);
            let steps: Voltage = found.upstream_drops.iter().map(|drop| drop.voltage).sum();
            let back = found.panel_voltage + steps;
            prop_assert!((back / feed.source_voltage - 1.0).abs() < 1e-9);
        }
    }

    #[test]
    fn a_longer_run_never_delivers_more(feed in feed(), longer in 1.0..4.0_f64) {
        let mut far = feed.clone();
        let path = &mut far.branches[0].path.loop_impedance;
        path.resistance = path.resistance * longer;
        path.reactance = path.reactance * longer;
        // With constant-power load at the panel a weaker branch leaves the others more, so only its own power counts.
        if let (Ok(near), Ok(far)) = (solve(&feed), solve(&far)) {
            let (near, far) = (near.branches[0].delivered, far.branches[0].delivered);
            prop_assert!(far.as_watts() <= near.as_watts() * (1.0 + 1e-12));
        }
    }

    #[test]
    fn a_higher_source_voltage_never_lowers_anything(feed in feed(), higher in 1.0..1.2_f64) {
        let mut raised = feed.clone();
        raised.source_voltage = feed.source_voltage * higher;
        if let (Ok(low), Ok(high)) = (solve(&feed), solve(&raised)) {
            prop_assert!(high.panel_voltage.as_volts() >= low.panel_voltage.as_volts() - 1e-9);
            for (low, high) in low.branches.iter().zip(&high.branches) {
                prop_assert!(high.element_voltage.as_volts() >= low.element_voltage.as_volts() - 1e-9);
                prop_assert!(high.delivered.as_watts() >= low.delivered.as_watts() - 1e-6);
            }
        }
    }

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

    #[test]
    fn load_lines_add_up_and_order_does_not_matter(
        dwelling in dwelling(),
        policy in policy(),
        edition in edition(),
    ) {
        let mut reversed = dwelling.clone();
        reversed.loads.reverse();
        for method in methods() {
            let Ok(found) = method(&dwelling, policy, edition) else { continue };
            let sum: ApparentPower = found
                .lines
                .iter()
                .filter(|line| matches!(line.role, LineRole::Part | LineRole::Direct))
                .map(|line| line.amount * line.factor.as_fraction())
                .sum();
            prop_assert!((sum - found.total).abs().as_volt_amperes() < 1e-6);
            prop_assert!(found.current.is_finite());
            let other = method(&reversed, policy, edition).unwrap();
            prop_assert!((other.total - found.total).abs().as_volt_amperes() < 1e-6);
        }
    }

    #[test]
    fn a_removed_or_interlocked_load_never_raises_the_sum(
        mut dwelling in dwelling(),
        policy in policy(),
        edition in edition(),
    ) {
        // Shares that change with a number (four controls of heating, four appliances of the standard method) can make
        // the rest weigh more; such loads and that method are left out here.
        dwelling.loads.retain(|load| !matches!(load.kind, LoadKind::RoomHeat | LoadKind::CentralHeat));
        let mut less = dwelling.clone();
        if let Some(load) = less.loads.first_mut() {
            load.status = LoadStatus::Removed;
        }
        let mut tied = dwelling.clone();
        for load in tied.loads.iter_mut().filter(|load| load.interlock.is_none()).take(2) {
            load.interlock = Some("only one".into());
        }
        for method in &methods()[1..] {
            let all = method(&dwelling, policy, edition).unwrap();
            for other in [&less, &tied] {
                let other = method(other, policy, edition).unwrap();
                // Without the added cooling 220.83 goes from part (B) to part (A).
                prop_assert!(
                    other.method != all.method || other.total.as_volt_amperes() <= all.total.as_volt_amperes() + 1e-6
                );
            }
        }
    }

    #[test]
    fn any_numbers_are_refused_or_give_numbers(
        numbers in prop::collection::vec(any_number(), 14),
        (material, terminals, edition) in (material(), terminals(), edition()),
        place in segment(any_number(), any_number()),
        system in 0..supplies().len(),
        size in prop::sample::select(vec!["8 AWG", "14 AWG", "500 kcmil", "6 mm²", "40 AWG", "2000 kcmil"]),
    ) {
        let n = |at: usize| numbers[at];
        let size: ConductorSize = size.parse().unwrap();
        let finite = |value: f64| {
            prop_assert!(value.is_finite());
            Ok::<(), TestCaseError>(())
        };
        if let Ok(element) = Element::new(Power::from_watts(n(0)), Voltage::from_volts(n(1))) {
            finite(element.resistance().as_ohms())?;
            if let Ok(power) = element.power_at(Voltage::from_volts(n(2))) {
                finite(power.as_watts())?;
            }
            let path = Path {
                label: "path".into(),
                loop_impedance: Impedance {
                    resistance: Resistance::from_ohms(n(3)),
                    reactance: Reactance::from_ohms(n(4)),
                },
            };
            let feed = Feed {
                source_voltage: Voltage::from_volts(n(2)),
                upstream: vec![path.clone()],
                panel_load: Some(PanelLoad { power: Power::from_watts(n(5)), power_factor: Ratio::from_fraction(n(6)) }),
                branches: vec![Branch { label: "b".into(), path, elements: vec![element] }],
            };
            if let Ok(found) = solve(&feed) {
                finite(found.source_power.as_watts())?;
                finite(found.panel_voltage.as_volts())?;
                finite(found.branches[0].delivered.as_watts())?;
                finite(found.branches[0].drop.of_source.as_fraction())?;
            }
            if let Ok(reaches) = longest_lengths(
                &[element], Voltage::from_volts(n(2)), Ratio::from_fraction(n(3)), material, Temperature::from_celsius(n(4))) {
                for reach in reaches {
                    finite(reach.longest.as_meters())?;
                    finite(reach.longest_simple.as_meters())?;
                }
            }
            if let Ok(step) = voltage_step(
                &[element], Voltage::from_volts(n(2)), Resistance::from_ohms(n(3)), Resistance::from_ohms(n(4))) {
                finite(step.with_relief.as_fraction())?;
                finite(step.linear.as_fraction())?;
            }
            let mut request = plain_request(9000.0);
            let system = &supplies()[system];
            request.supply = system;
            request.connection = system.usual_connection;
            request.elements = vec![element];
            request.marked = Marked {
                max_breaker: Some(Current::from_amperes(n(5))),
                min_ampacity: Some(Current::from_amperes(n(6))),
            };
            request.segments = vec![place.clone()];
            request.material = material;
            request.terminals = terminals;
            request.drop_target = Some(Ratio::from_fraction(n(7)));
            request.conductor_temperature = Temperature::from_celsius(n(8));
            request.edition = edition;
            let chosen = Chosen { breaker: Current::from_amperes(n(9)), conductor: size, equipment_ground: Some(size) };
            for check in [design_circuit(&request).map(|design| design.check), check_circuit(&request, &chosen)].into_iter().flatten() {
                finite(check.drop.delivered.as_watts())?;
                finite(check.ampacity.ampacity.as_amperes())?;
                finite(check.equipment_ground.required_area.as_square_millimeters())?;
            }
        }
        if let Ok(found) = run_ampacity(size, material, &[place], terminals, edition) {
            finite(found.ampacity.as_amperes())?;
        }
        if let Ok(found) = resistance_at(ResistancePerLength::from_ohms_per_meter(n(0)), material, Temperature::from_celsius(n(1))) {
            finite(found.as_ohms_per_meter())?;
        }
        if let Ok(found) = running_temperature(
            Temperature::from_celsius(n(0)), Current::from_amperes(n(1)), TemperatureColumn::C75, Current::from_amperes(n(2))) {
            finite(found.as_celsius())?;
        }
        let unit = Transformer {
            rating: ApparentPower::from_volt_amperes(n(0)), voltage: Voltage::from_volts(n(1)),
            resistance: Ratio::from_fraction(n(2)), reactance: Ratio::from_fraction(n(3)),
        };
        if let Ok(impedance) = unit.impedance()
            && let Ok(current) = fault_current(unit.voltage, &[impedance]) {
            finite(current.as_amperes())?;
        }
        if let Ok(found) = terminal_fault(unit.rating, unit.voltage, unit.resistance, unit.reactance, FaultLoop::TwoConductors) {
            finite(found.current.as_amperes())?;
        }
        let run = FaultRun { length: Length::from_feet(n(4)), constant_siemens_foot: n(5), in_parallel: 1 };
        if let Ok(found) = point_to_point(Current::from_amperes(n(6)), unit.voltage, run, FaultLoop::ThreePhase) {
            finite(found.current.as_amperes())?;
        }
        if let Ok(found) = flicker_severity(Ratio::from_fraction(n(7)), n(8), Lamp::Volts230) {
            finite(found.value.as_fraction())?;
        }
    }

    #[test]
    fn any_dwelling_is_refused_or_gives_numbers(
        numbers in prop::collection::vec(any_number(), 4),
        mut dwelling in dwelling(),
        (policy, edition) in (policy(), edition()),
        (small, laundry, count) in (any::<u16>(), any::<u16>(), any::<u16>()),
    ) {
        dwelling.floor_area = Area::from_square_feet(numbers[0]);
        dwelling.small_appliance_circuits = small;
        dwelling.laundry_circuits = laundry;
        if let Some(load) = dwelling.loads.first_mut() {
            load.nameplate = ApparentPower::from_volt_amperes(numbers[1]);
            load.count = count;
        }
        for method in methods() {
            if let Ok(found) = method(&dwelling, policy, edition) {
                prop_assert!(found.total.is_finite() && found.current.is_finite());
            }
        }
        let split = supply("120/240 V").unwrap();
        if let Ok(found) = neutral_load(&dwelling, split, edition) {
            prop_assert!(found.current.is_finite());
        }
        let measured = MeasuredDemand {
            maximum: Power::from_watts(numbers[2]),
            power_factor: Ratio::from_fraction(numbers[3]),
        };
        if let Ok(found) = measured_load(measured, &dwelling.loads, policy.heater, split, edition) {
            prop_assert!(found.result.current.is_finite());
        }
    }
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
