//! The service against its load: every method that applies, side by side, and the raw sum of what can run together.

use crate::circuits::{Circuits, rated_power};
use crate::context::{Context, source_name};
use crate::fault::Faults;
use crate::given::word;
use crate::service_detail;
use crate::supply_path::SupplyPath;
use crate::{LoadLineResult, LoadResult, ServiceResult};
use job::{Appliance, ApplianceKind, HeaterCounting, HeatingPolicy, SourceKind, SourceStatus};
use power::PowerError;
use power::load::existing::existing_load;
use power::load::measured::{MeasuredDemand, MeasuredLoad, measured_load};
use power::load::nameplate::coincident_nameplate;
use power::load::optional::optional_load;
use power::load::standard::standard_load;
use power::load::{Dwelling, LineRole, Load, LoadKind, LoadLine, LoadPolicy, LoadStatus};
use quantity::{ApparentPower, Area, Current, Power, Ratio, Voltage};
use std::collections::BTreeSet;
use trace::RecordPath;

/// The service against its load; none when no service is recorded.
pub(crate) fn service(
    context: &Context<'_>,
    path: &SupplyPath,
    circuits: &Circuits<'_>,
    faults: &Faults,
) -> Option<ServiceResult> {
    let service = context.job.service.as_ref()?;
    let dwelling = dwelling(context);
    let policy = policy(context);
    let edition = context.nec();
    let us = has_methods(service.system);
    let mut methods = Vec::new();
    if us {
        let standard = standard_load(&dwelling, policy, path.supply, edition);
        let optional = optional_load(&dwelling, policy, path.supply, edition);
        let existing = existing_load(&dwelling, policy, path.supply, edition);
        for (id, name, result) in [
            ("existing", "addition to an existing dwelling", existing),
            ("optional", "optional method for a dwelling", optional),
            ("standard", "standard method", standard),
        ] {
            push(context, &mut methods, id, name, result, service.rating);
        }
        if let Some(maximum) = context.measured_maximum() {
            let measured = measured(context, path, maximum, &dwelling, policy).map(|load| load.result);
            push(
                context,
                &mut methods,
                "measured",
                "measured maximum demand",
                measured,
                service.rating,
            );
        }
    } else {
        let why =
            "load methods are carried for 120/240 V and 120/208 V dwellings only; the raw sum stands instead";
        context.gap("service", "the load by a code method", why);
    }
    Some(ServiceResult {
        system: service.system,
        voltage: path.supply.load_voltage,
        rating: service.rating,
        methods,
        coincident: coincident(context, path, &dwelling, service.rating),
        voltage_step: circuits.voltage_step,
        fault_current: service.fault_current.or(faults.main),
        detail: service_detail::detail(context, path, &dwelling, policy, service.rating),
    })
}

/// Whether the load methods are carried for that system.
pub(crate) fn has_methods(system: job::SupplySystem) -> bool {
    matches!(
        system,
        job::SupplySystem::SplitPhase120_240 | job::SupplySystem::TwoLegs120_208
    )
}

/// The load by measured demand, with the power factor recorded or at unity.
pub(crate) fn measured(
    context: &Context<'_>,
    path: &SupplyPath,
    maximum: Power,
    dwelling: &Dwelling,
    policy: LoadPolicy,
) -> Result<MeasuredLoad, PowerError> {
    let demand = MeasuredDemand {
        maximum,
        power_factor: measured_power_factor(context),
    };
    measured_load(demand, &dwelling.loads, policy.heater, path.supply, context.nec())
}

/// Power factor of the measured demand; one where the record says nothing.
pub(crate) fn measured_power_factor(context: &Context<'_>) -> Ratio {
    let recorded = context.job.loads.measured_power_factor;
    recorded.unwrap_or_else(|| Ratio::from_fraction(1.0))
}

fn push(
    context: &Context<'_>,
    methods: &mut Vec<LoadResult>,
    id: &str,
    name: &str,
    result: Result<power::load::LoadResult, PowerError>,
    rating: Current,
) {
    match result {
        Ok(result) => methods.push(LoadResult {
            id: id.to_owned(),
            method: name.to_owned(),
            article: result.source.to_string(),
            margin: result.against(rating).margin,
            total: result.total,
            current: result.current,
            lines: result.lines.iter().map(line).collect(),
        }),
        Err(error) => context.gap("service", &format!("the load by the {name}"), error.to_string()),
    }
}

fn line(line: &LoadLine) -> LoadLineResult {
    let factor = match line.role {
        LineRole::Item => String::new(),
        LineRole::Subtotal => "sum".to_owned(),
        LineRole::LeftOut => "not counted".to_owned(),
        LineRole::Part | LineRole::Direct => line.factor.show_in("%").to_string(),
    };
    let label = match line.note {
        Some(note) => format!("{} ({note})", line.label),
        None => line.label.clone(),
    };
    let counted = match line.role {
        LineRole::Part | LineRole::Direct => Some(line.counted),
        LineRole::Item | LineRole::Subtotal | LineRole::LeftOut => None,
    };
    LoadLineResult {
        label,
        connected: line.amount,
        factor,
        counted,
    }
}

/// The house as load calculations see it: the record's appliances, and its water heaters.
fn dwelling(context: &Context<'_>) -> Dwelling {
    let (given, loads) = (&context.given, &context.job.loads);
    let at = RecordPath::from("loads");
    let floor_area: Area = given
        .take(loads.floor_area, at.field("floor_area"), "loads.floor_area")
        .value;
    let small = at.field("small_appliance_circuits");
    let laundry = at.field("laundry_circuits");
    let appliances = loads.appliances.iter().enumerate();
    let mut names = BTreeSet::new();
    let mut all: Vec<Load> = appliances
        .map(|(index, appliance)| load_of(appliance, unique(&mut names, &appliance.name, index)))
        .collect();
    all.extend(heater_loads(context, &mut names));
    Dwelling {
        floor_area,
        small_appliance_circuits: given
            .take_other(
                loads.small_appliance_circuits,
                small,
                "loads.small_appliance_circuits",
                crate::given::count,
            )
            .value,
        laundry_circuits: given
            .take_other(
                loads.laundry_circuits,
                laundry,
                "loads.laundry_circuits",
                crate::given::count,
            )
            .value,
        loads: all,
    }
}

/// Two appliances of one name are told apart by their place.
fn unique(names: &mut BTreeSet<String>, name: &str, index: usize) -> String {
    let name = if names.contains(name) {
        format!("{name} ({})", index + 1)
    } else {
        name.to_owned()
    };
    names.insert(name.clone());
    name
}

fn load_of(appliance: &Appliance, name: String) -> Load {
    Load {
        name,
        kind: match appliance.kind {
            ApplianceKind::Cooking => LoadKind::Cooking,
            ApplianceKind::Dryer => LoadKind::Dryer,
            ApplianceKind::Fixed => LoadKind::Fixed,
            ApplianceKind::Motor => LoadKind::Motor,
            ApplianceKind::CentralHeat => LoadKind::CentralHeat,
            ApplianceKind::RoomHeat => LoadKind::RoomHeat,
            ApplianceKind::Cooling => LoadKind::Cooling,
            ApplianceKind::HeatPump => LoadKind::HeatPump,
            ApplianceKind::SupplementaryHeat => LoadKind::SupplementaryHeat,
            ApplianceKind::VehicleCharger => LoadKind::VehicleCharger,
        },
        nameplate: nameplate(appliance),
        count: appliance.count,
        line_to_neutral: appliance
            .voltage
            .is_some_and(|voltage| voltage < Voltage::from_volts(150.0)),
        status: match appliance.status {
            job::LoadStatus::Existing => LoadStatus::Existing,
            job::LoadStatus::Added => LoadStatus::Added,
            job::LoadStatus::Removed => LoadStatus::Removed,
        },
        interlock: appliance
            .interlocked_with
            .as_ref()
            .map(|heater| heater_set(heater)),
    }
}

/// The set of a heater and the appliances that load control keeps off while it runs.
fn heater_set(heater: &str) -> String {
    format!("{heater} or what it is interlocked with")
}

fn nameplate(appliance: &Appliance) -> ApparentPower {
    let by_current = || Some((appliance.voltage? * appliance.current?).at_unity_power_factor());
    appliance
        .volt_amperes
        .or_else(|| appliance.power.map(Power::at_unity_power_factor))
        .or_else(by_current)
        .unwrap_or_else(ApparentPower::zero)
}

/// Water heaters as loads; heaters that an interlock ties together form a set.
fn heater_loads(context: &Context<'_>, names: &mut BTreeSet<String>) -> Vec<Load> {
    let sources = context
        .job
        .sources
        .iter()
        .enumerate()
        .filter(|(_, source)| !source.elements.is_empty());
    sources
        .map(|(index, source)| Load {
            name: unique(names, &source_name(source), index),
            kind: match source.kind {
                SourceKind::OnDemand => LoadKind::OnDemandHeater,
                SourceKind::Tank => LoadKind::StorageHeater,
            },
            nameplate: rated_power(context, index, source).at_unity_power_factor(),
            count: 1,
            line_to_neutral: source
                .elements
                .iter()
                .all(|element| element.voltage < Voltage::from_volts(150.0)),
            status: match source.status {
                SourceStatus::Existing => LoadStatus::Existing,
                SourceStatus::Proposed => LoadStatus::Added,
                SourceStatus::Removed => LoadStatus::Removed,
            },
            interlock: interlock(context, index),
        })
        .collect()
}

/// The name of the set of heaters of which an interlock lets one run.
fn interlock(context: &Context<'_>, index: usize) -> Option<String> {
    let sources = &context.job.sources;
    let source = &sources[index];
    let appliances = &context.job.loads.appliances;
    if appliances
        .iter()
        .any(|appliance| appliance.interlocked_with.as_ref() == Some(&source.id))
    {
        return Some(heater_set(&source.id));
    }
    let tied = source.interlocked_with.clone().or_else(|| {
        sources
            .iter()
            .find(|other| other.interlocked_with.as_ref() == Some(&source.id))
            .map(|other| other.id.clone())
    })?;
    let (first, second) = if source.id < tied {
        (&source.id, &tied)
    } else {
        (&tied, &source.id)
    };
    Some(format!("{first} or {second}"))
}

fn policy(context: &Context<'_>) -> LoadPolicy {
    let (given, loads) = (&context.given, &context.job.loads);
    let at = RecordPath::from("loads");
    let heater = given.take_other(
        loads.heater_counting,
        at.field("heater_counting"),
        "loads.heater_counting",
        word,
    );
    let heating = given.take_other(
        loads.existing_heating,
        at.field("existing_heating"),
        "loads.existing_heating",
        word,
    );
    LoadPolicy {
        heater: match heater.value {
            HeaterCounting::WithAppliances => power::load::HeaterCounting::WithAppliances,
            HeaterCounting::FullNameplate => power::load::HeaterCounting::FullNameplate,
            HeaterCounting::Continuous125 => power::load::HeaterCounting::Continuous125,
        },
        existing_heating: match heating.value {
            HeatingPolicy::LargerAtFull => power::load::HeatingPolicy::LargerAtFull,
            HeatingPolicy::WithAppliances => power::load::HeatingPolicy::WithAppliances,
            HeatingPolicy::NotCounted => power::load::HeatingPolicy::NotCounted,
        },
    }
}

/// Nameplates that can run at once: everything but the smaller of heating and cooling and what an interlock keeps off.
fn coincident(context: &Context<'_>, path: &SupplyPath, dwelling: &Dwelling, rating: Current) -> LoadResult {
    let standing = || {
        dwelling
            .loads
            .iter()
            .filter(|load| load.status != LoadStatus::Removed)
    };
    let sum = |side: &[LoadKind]| -> ApparentPower {
        standing()
            .filter(|load| side.contains(&load.kind))
            .map(Load::connected)
            .sum()
    };
    let heating = [
        LoadKind::CentralHeat,
        LoadKind::RoomHeat,
        LoadKind::HeatPump,
        LoadKind::SupplementaryHeat,
    ];
    let cooling = [LoadKind::Cooling, LoadKind::HeatPump];
    let (kept, dropped): (&[LoadKind], &[LoadKind]) = if sum(&heating) >= sum(&cooling) {
        (&heating, &cooling)
    } else {
        (&cooling, &heating)
    };
    let largest_of = |set: &str| {
        standing()
            .filter(|load| load.interlock.as_deref() == Some(set))
            .max_by(|a, b| {
                a.connected()
                    .as_volt_amperes()
                    .total_cmp(&b.connected().as_volt_amperes())
            })
            .map(|load| load.name.as_str())
    };
    let runs = |load: &&Load| {
        let season = kept.contains(&load.kind) || !dropped.contains(&load.kind);
        let interlock = load
            .interlock
            .as_deref()
            .is_none_or(|set| largest_of(set) == Some(load.name.as_str()));
        season && interlock
    };
    let names: Vec<&str> = standing().filter(runs).map(|load| load.name.as_str()).collect();
    let mut result = LoadResult {
        id: "coincident".to_owned(),
        method: "nameplates that can run at once, no demand factor".to_owned(),
        article: "not a code method: what the main breaker would see".to_owned(),
        lines: Vec::new(),
        total: ApparentPower::zero(),
        current: Current::zero(),
        margin: rating,
    };
    match coincident_nameplate(&dwelling.loads, &names, path.supply) {
        Ok(sum) => {
            let whole = || Ratio::from_fraction(1.0).show_in("%").to_string();
            let lines = sum.loads.iter().map(|(label, connected)| LoadLineResult {
                label: label.clone(),
                connected: *connected,
                factor: whole(),
                counted: Some(*connected),
            });
            result.lines = lines.collect();
            (result.total, result.current, result.margin) = (sum.total, sum.current, rating - sum.current);
        }
        Err(error) => context.gap("service", "the raw nameplate sum", error.to_string()),
    }
    result
}
