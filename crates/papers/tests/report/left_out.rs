//! What the report leaves out: never in silence, and never so that it reads as if something were met.

use super::assessments::{bare, two_circuit_house};
use super::{joined, page, part};
use assess::{Assessment, ServiceResult};
use quantity::{UnitSystem, VolumeFlow};

#[test]
fn nothing_checked_does_not_read_as_met() {
    let printed = page(&bare());
    assert!(
        printed.contains("VERDICT UNKNOWN: no rule could be applied"),
        "{printed}"
    );
    assert!(!printed.to_lowercase().contains("verdict met"));
}

#[test]
fn what_is_left_out_is_named_with_what_it_lacks() {
    let printed = page(&bare());
    let left_out = joined(part(&printed, "Not worked out yet"));
    for what in [
        "What the heater can do",
        "Fixtures that run together",
        "Waits after the work",
        "Circuits",
        "Service load",
    ] {
        assert!(left_out.contains(what), "{what}: {left_out}");
        assert!(!printed.contains(&format!("\n{what}\n=")), "{what}");
    }
    for field in [
        "`sources`",
        "`piping`",
        "`circuits`",
        "`service`",
        "`loads`",
        "`fixtures`",
    ] {
        assert!(left_out.contains(field), "{field}: {left_out}");
    }
    // Where everything is known nothing is left out.
    assert!(!page(&two_circuit_house(UnitSystem::Us)).contains("Not worked out yet"));
}

fn service(house: &mut Assessment) -> &mut ServiceResult {
    house.service.as_mut().expect("the house has a service")
}

#[test]
fn each_missing_half_is_named() {
    let lacking = |change: fn(&mut Assessment)| {
        let mut house = two_circuit_house(UnitSystem::Us);
        change(&mut house);
        joined(part(&page(&house), "Not worked out yet"))
    };
    for (change, expected) in [
        (
            (|house| house.mains.months.clear()) as fn(&mut Assessment),
            "Month by month",
        ),
        (
            |house| house.heaters[0].activation_flow = None,
            "Whether the heater starts",
        ),
        (|house| house.tubs.clear(), "Filling a tub"),
        (
            |house| house.fixtures.iter_mut().for_each(|fixture| fixture.today = None),
            "Waits as they are today",
        ),
        (
            |house| house.fixtures.iter_mut().for_each(|fixture| fixture.after = None),
            "Waits after the work",
        ),
        (|house| service(house).voltage_step = None, "Voltage step"),
        (|house| service(house).fault_current = None, "Fault current"),
        (|house| service(house).methods.clear(), "Load calculation"),
        (|house| house.panels[0].free_spaces = None, "Spaces left over"),
        (|house| house.panels[0].free_pairs = None, "Free pairs of spaces"),
        (|house| house.modes.clear(), "Source modes"),
    ] {
        let text = lacking(change);
        assert!(text.contains(expected), "{expected}: {text}");
    }
}

#[test]
fn without_months_the_extremes_stand_in_the_table() {
    let mut house = two_circuit_house(UnitSystem::Us);
    house.mains.months.clear();
    (house.mains.coldest_month, house.mains.warmest_month) = (None, None);
    let flow = VolumeFlow::from_gallons_per_minute;
    house.heaters[0].shower_flow_by_month = vec![flow(2.05), flow(3.92)];
    let printed = page(&house);
    assert!(
        printed.contains("Coldest month                  47                         2.05"),
        "{printed}"
    );
    assert!(
        printed.contains("Warmest month                  75                         3.92"),
        "{printed}"
    );
    assert!(!printed.contains("January"));
    // One shower holds in the coldest month and so in all; both hold in neither extreme.
    let together = joined(part(&printed, "What the heater can do"));
    assert!(
        together.contains("105 100 all year") && together.contains("77 51 no month"),
        "{together}"
    );
}
