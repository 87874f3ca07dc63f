//! Any finite number, also negative and huge ones: a function may refuse, but never panic and never hand out a NaN.

use crate::loads::methods;
use crate::{any_number, dwelling, edition, material, plain_request, policy, segment, terminals};
use power::ampacity::run_ampacity;
use power::circuit::design_circuit;
use power::circuit_check::{Chosen, check_circuit};
use power::circuit_load::Marked;
use power::conductor_temperature::{resistance_at, running_temperature};
use power::element::Element;
use power::fault::{FaultLoop, FaultRun, Transformer, fault_current, point_to_point, terminal_fault};
use power::load::measured::{MeasuredDemand, measured_load};
use power::load::neutral::neutral_load;
use power::longest_length::longest_lengths;
use power::supply::{supplies, supply};
use power::voltage_drop::{Branch, Feed, Impedance, PanelLoad, Path, solve};
use power::voltage_step::{flicker_severity, voltage_step};
use proptest::prelude::*;
use proptest::test_runner::TestCaseError;
use quantity::{
    ApparentPower, Area, ConductorSize, Current, Length, Power, Ratio, Reactance, Resistance,
    ResistancePerLength, Temperature, Voltage,
};
use tables::ampacity::TemperatureColumn;
use tables::flicker_curve::Lamp;

proptest! {
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
