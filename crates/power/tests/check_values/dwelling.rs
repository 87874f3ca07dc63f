//! Dwellings as the check files write them.

use checks::Case;
use power::load::{
    Dwelling, HeaterCounting, HeatingPolicy, LineRole, Load, LoadGroup, LoadKind, LoadPolicy, LoadResult,
    LoadStatus,
};
use quantity::{ApparentPower, Area};

/// What the code text says by itself, with the cautious default where it is silent.
pub(crate) const POLICY: LoadPolicy = LoadPolicy {
    heater: HeaterCounting::WithAppliances,
    existing_heating: HeatingPolicy::LargerAtFull,
};

pub(crate) fn dwelling(case: &Case) -> Dwelling {
    let circuits = |name: &str| u16::try_from(case.given[name].as_integer().unwrap()).unwrap();
    Dwelling {
        floor_area: Area::from_square_feet(case.given("area_ft2")),
        small_appliance_circuits: circuits("small_appliance"),
        laundry_circuits: circuits("laundry"),
        loads: case.given["loads"].as_array().unwrap().iter().map(load).collect(),
    }
}

fn load(value: &toml::Value) -> Load {
    let text = |name: &str| value.get(name).and_then(toml::Value::as_str);
    Load {
        name: text("name").unwrap().to_owned(),
        kind: match text("kind").unwrap() {
            "cooking" => LoadKind::Cooking,
            "dryer" => LoadKind::Dryer,
            "on-demand" => LoadKind::OnDemandHeater,
            "storage" => LoadKind::StorageHeater,
            "fixed" => LoadKind::Fixed,
            "room-heat" => LoadKind::RoomHeat,
            "central-heat" => LoadKind::CentralHeat,
            "cooling" => LoadKind::Cooling,
            "heat-pump" => LoadKind::HeatPump,
            "supplementary-heat" => LoadKind::SupplementaryHeat,
            other => panic!("kind {other}"),
        },
        nameplate: ApparentPower::from_volt_amperes(value["va"].as_float().unwrap()),
        count: value
            .get("count")
            .map_or(1, |count| u16::try_from(count.as_integer().unwrap()).unwrap()),
        line_to_neutral: value
            .get("neutral")
            .is_some_and(|neutral| neutral.as_bool().unwrap()),
        status: match text("status") {
            None | Some("existing") => LoadStatus::Existing,
            Some("added") => LoadStatus::Added,
            Some(other) => panic!("status {other}"),
        },
        interlock: None,
    }
}

/// Sum of what the lines of a group and role count.
pub(crate) fn counted(result: &LoadResult, group: LoadGroup, role: LineRole) -> f64 {
    result
        .lines_of(group, role)
        .map(|line| line.counted)
        .sum::<ApparentPower>()
        .as_volt_amperes()
}
