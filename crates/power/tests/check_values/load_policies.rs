//! What authorities and interlocks change, worked by hand on the house of case LC1 in `checks/electrical/service_load.toml`
//! (without heater its pool is 27,700 VA, so 220.83(A) gives 8000 + 40 % of 19,700 = 15,880 VA).

use crate::dwelling::{POLICY, dwelling};
use power::PowerError;
use power::load::existing::existing_load;
use power::load::measured::{MeasuredDemand, measured_load};
use power::load::standard::standard_load;
use power::load::{
    Dwelling, HeaterCounting, HeatingPolicy, LineRole, Load, LoadGroup, LoadKind, LoadPolicy, LoadResult,
    LoadStatus,
};
use power::supply::supply;
use quantity::{ApparentPower, Power, Ratio};
use tables::nec::NecEdition;

fn load(name: &str, kind: LoadKind, va: f64, interlock: Option<&str>) -> Load {
    Load {
        name: name.into(),
        kind,
        nameplate: ApparentPower::from_volt_amperes(va),
        count: 1,
        line_to_neutral: false,
        status: LoadStatus::Existing,
        interlock: interlock.map(str::to_owned),
    }
}

/// Range, dryer, dishwasher, and what is given.
fn house(more: &[Load]) -> Dwelling {
    let cases = checks::load("electrical/service_load.toml").cases;
    let mut house = dwelling(cases.iter().find(|case| case.id == "LC1").unwrap());
    house.loads.retain(|load| load.kind != LoadKind::StorageHeater);
    house.loads.extend_from_slice(more);
    house
}

fn existing(house: &Dwelling, policy: LoadPolicy, edition: NecEdition) -> LoadResult {
    existing_load(house, policy, supply("120/240 V").unwrap(), edition).unwrap()
}

fn close(found: &LoadResult, wanted_va: f64) {
    let found_va = found.total.as_volt_amperes();
    assert!(
        (found_va - wanted_va).abs() < 1e-6,
        "{found_va} instead of {wanted_va}"
    );
}

#[test]
fn existing_cooling_counts_as_the_policy_says() {
    let house = house(&[load("air conditioner", LoadKind::Cooling, 5760.0, None)]);
    for (existing_heating, wanted_va) in [
        (HeatingPolicy::LargerAtFull, 15_880.0 + 5760.0),
        (HeatingPolicy::WithAppliances, 15_880.0 + 0.4 * 5760.0),
        (HeatingPolicy::NotCounted, 15_880.0),
    ] {
        let policy = LoadPolicy {
            existing_heating,
            ..POLICY
        };
        close(&existing(&house, policy, NecEdition::Nec2020), wanted_va);
    }
}

#[test]
fn the_smaller_side_of_heating_and_cooling_is_left_out_with_its_reason() {
    let house = house(&[
        load("air conditioner", LoadKind::Cooling, 5760.0, None),
        load("furnace", LoadKind::CentralHeat, 10_000.0, None),
    ]);
    let found = existing(&house, POLICY, NecEdition::Nec2020);
    close(&found, 15_880.0 + 10_000.0);
    let out: Vec<_> = found
        .lines_of(LoadGroup::HeatingCooling, LineRole::LeftOut)
        .collect();
    assert_eq!((out.len(), out[0].label.as_str()), (1, "air conditioner"));
    assert!(out[0].note.is_some());
}

#[test]
fn of_interlocked_loads_one_counts() {
    let tank = load("tank", LoadKind::StorageHeater, 4500.0, Some("hot water"));
    let heater = load("heater", LoadKind::OnDemandHeater, 18_000.0, Some("hot water"));
    let mut both = house(&[tank, heater]);
    close(
        &existing(&both, POLICY, NecEdition::Nec2020),
        15_880.0 + 0.4 * 18_000.0,
    );
    for load in &mut both.loads {
        load.interlock = None;
    }
    close(
        &existing(&both, POLICY, NecEdition::Nec2020),
        15_880.0 + 0.4 * 22_500.0,
    );
}

#[test]
fn the_interlocked_load_that_weighs_more_counts_though_its_nameplate_is_smaller() {
    // The authority wants the heater in full: 9 kVA weigh more than 40 % of the charger's 9.6 kVA.
    let house = house(&[
        load("charger", LoadKind::VehicleCharger, 9600.0, Some("either")),
        load("heater", LoadKind::OnDemandHeater, 9000.0, Some("either")),
    ]);
    let policy = LoadPolicy {
        heater: HeaterCounting::FullNameplate,
        ..POLICY
    };
    close(&existing(&house, policy, NecEdition::Nec2020), 15_880.0 + 9000.0);
    close(
        &existing(&house, POLICY, NecEdition::Nec2020),
        15_880.0 + 0.4 * 9600.0,
    );
}

#[test]
fn too_many_choices_are_refused() {
    let sets: Vec<Load> = (0..20)
        .map(|n| {
            load(
                &format!("load {n}"),
                LoadKind::Fixed,
                1000.0,
                Some(["a", "b", "c", "d"][n % 4]),
            )
        })
        .collect();
    // Four sets of five: 625 choices.
    let refused = existing_load(
        &house(&sets),
        POLICY,
        supply("120/240 V").unwrap(),
        NecEdition::Nec2020,
    );
    assert!(matches!(refused, Err(PowerError::TooMany { found: 625, .. })));
}

#[test]
fn a_vehicle_charger_counts_at_least_its_least_from_2023_on() {
    let house = house(&[load("charger", LoadKind::VehicleCharger, 6000.0, None)]);
    close(
        &existing(&house, POLICY, NecEdition::Nec2020),
        15_880.0 + 0.4 * 6000.0,
    );
    close(
        &existing(&house, POLICY, NecEdition::Nec2023),
        15_880.0 + 0.4 * 7200.0,
    );
}

#[test]
fn four_appliances_count_three_quarters_and_a_motor_a_quarter_more() {
    // Part III of LC1 without heater: 5100 + 8000 + 5500 = 18,600 VA; appliances 1200 + 900 + 1500 + 4500 = 8100 VA.
    let house = house(&[
        load("disposer", LoadKind::Motor, 900.0, None),
        load("microwave", LoadKind::Fixed, 1500.0, None),
        load("tank", LoadKind::StorageHeater, 4500.0, None),
    ]);
    let split = supply("120/240 V").unwrap();
    let found = standard_load(&house, POLICY, split, NecEdition::Nec2020).unwrap();
    close(&found, 18_600.0 + 0.75 * 8100.0 + 0.25 * 900.0);
    // An appliance below 500 VA makes no fourth one from 2020 on, and counts in full.
    let mut small = house.clone();
    small.loads.retain(|load| load.name != "microwave");
    small.loads.push(load("hood", LoadKind::Fixed, 300.0, None));
    let of = |edition| standard_load(&small, POLICY, split, edition).unwrap();
    close(&of(NecEdition::Nec2017), 18_600.0 + 0.75 * 6900.0 + 0.25 * 900.0);
    close(&of(NecEdition::Nec2020), 18_600.0 + 6900.0 + 0.25 * 900.0);
}

#[test]
fn removed_loads_do_not_count_and_are_shown_beside_measured_demand() {
    let mut tank = load("tank", LoadKind::StorageHeater, 4500.0, None);
    tank.status = LoadStatus::Removed;
    let mut heater = load("heater", LoadKind::OnDemandHeater, 18_000.0, None);
    heater.status = LoadStatus::Added;
    let house = house(&[tank, heater]);
    close(&existing(&house, POLICY, NecEdition::Nec2020), 23_080.0);
    // 1.25 × 9.6 kW + 18 kVA = 30 kVA; with the tank taken out of the maximum 1.25 × 5.1 kW + 18 kVA = 24.375 kVA.
    let measured = MeasuredDemand {
        maximum: Power::from_kilowatts(9.6),
        power_factor: Ratio::from_fraction(1.0),
    };
    let split = supply("120/240 V").unwrap();
    let of = |heater| measured_load(measured, &house.loads, heater, split, NecEdition::Nec2020).unwrap();
    let found = of(HeaterCounting::WithAppliances);
    close(&found.result, 30_000.0);
    let credited = found.if_removed_credited.unwrap();
    assert!((credited.total.as_volt_amperes() - 24_375.0).abs() < 1e-6);
    // Continuous: 12 + 22.5 kVA.
    close(&of(HeaterCounting::Continuous125).result, 34_500.0);
}

#[test]
fn other_supplies_divide_by_their_own_voltage() {
    // Fact sheet, section 11: single-phase 208 V loads are divided by 208 V. LC3: 23,080 VA.
    let house = house(&[load("heater", LoadKind::OnDemandHeater, 18_000.0, None)]);
    let legs = supply("120/208 V").unwrap();
    let found = existing_load(&house, POLICY, legs, NecEdition::Nec2020).unwrap();
    assert!((found.current.as_amperes() - 23_080.0 / 208.0).abs() < 1e-9);
}
