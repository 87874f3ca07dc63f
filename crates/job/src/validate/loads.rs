//! What else uses electricity.

use super::heaters::heater_names;
use super::limits::{
    APPLIANCE_COUNT, APPLIANCE_CURRENT, APPLIANCE_POWER, APPLIANCE_VA, APPLIANCE_VOLTAGE, BRANCH_CIRCUITS,
    FLOOR_AREA, MEASURED_CURRENT, MEASURED_MAXIMUM, POWER_FACTOR, Plain,
};
use super::names::{Names, quoted};
use super::{Problems, names};
use crate::{Appliance, Job};
use trace::RecordPath;

pub(super) fn check(job: &Job, problems: &mut Problems) {
    let (loads, heaters) = (&job.loads, heater_names(job));
    let at = RecordPath::from("loads");
    problems.limit(&at, "floor_area", "the dwelling", loads.floor_area, &FLOOR_AREA);
    problems.limit(
        &at,
        "measured_maximum",
        "the dwelling",
        loads.measured_maximum,
        &MEASURED_MAXIMUM,
    );
    let small = loads.small_appliance_circuits.map(Plain);
    problems.limit(
        &at,
        "small_appliance_circuits",
        "the dwelling",
        small,
        &BRANCH_CIRCUITS,
    );
    problems.limit(
        &at,
        "laundry_circuits",
        "the dwelling",
        loads.laundry_circuits.map(Plain),
        &BRANCH_CIRCUITS,
    );
    problems.limit(
        &at,
        "measured_power_factor",
        "the dwelling",
        loads.measured_power_factor,
        &POWER_FACTOR,
    );
    for current in &loads.leg_currents {
        problems.limit(&at, "leg_currents", "the dwelling", *current, &MEASURED_CURRENT);
    }
    if loads.leg_currents.len() > LEGS_MAX {
        problems.add(
            at.field("leg_currents"),
            format!(
                "`{}` leg currents are given, but a house has at most {LEGS_MAX} legs",
                loads.leg_currents.len()
            ),
            "give one current for each leg, in the order of the panel".into(),
        );
    }
    for (index, appliance) in loads.appliances.iter().enumerate() {
        one(&at.field("appliances").item(index), appliance, &heaters, problems);
    }
}

/// Lines of the largest supply a house has.
const LEGS_MAX: usize = 3;

fn one(at: &RecordPath, appliance: &Appliance, heaters: &Names<'_>, problems: &mut Problems) {
    names::line(
        &at.field("name"),
        "the name of an appliance",
        &appliance.name,
        problems,
    );
    let subject = format!("appliance `{}`", quoted(&appliance.name));
    problems.limit(at, "power", &subject, appliance.power, &APPLIANCE_POWER);
    problems.limit(
        at,
        "volt_amperes",
        &subject,
        appliance.volt_amperes,
        &APPLIANCE_VA,
    );
    problems.limit(at, "current", &subject, appliance.current, &APPLIANCE_CURRENT);
    problems.limit(at, "voltage", &subject, appliance.voltage, &APPLIANCE_VOLTAGE);
    problems.limit(at, "count", &subject, Plain(appliance.count), &APPLIANCE_COUNT);
    if let Some(heater) = &appliance.interlocked_with {
        heaters.resolve(&at.field("interlocked_with"), &subject, heater, problems);
    }
    let given: Vec<&str> = [
        ("power", appliance.power.is_some()),
        ("volt_amperes", appliance.volt_amperes.is_some()),
        ("current", appliance.current.is_some()),
    ]
    .into_iter()
    .filter_map(|(field, given)| given.then_some(field))
    .collect();
    match given.as_slice() {
        [] => problems.add(
            at.clone(),
            format!("{subject} has no rating, so no load can be counted"),
            "enter what its nameplate says: `power`, `volt_amperes`, or `current` with `voltage`".into(),
        ),
        [_] => {}
        [first, .., last] => problems.add(
            at.field(last),
            format!(
                "{subject} has {} ratings (`{}`), and which counts is open",
                given.len(),
                given.join("`, `")
            ),
            format!("keep one; `{first}` if the nameplate prints it"),
        ),
    }
    if appliance.current.is_some() && appliance.voltage.is_none() {
        problems.add(
            at.field("current"),
            format!("{subject} has a current but no voltage, so its load is unknown"),
            "enter the `voltage` of its nameplate too".into(),
        );
    }
}
