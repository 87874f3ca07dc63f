//! What stands beside the load of the service: the authority's profile, the heater counted otherwise, alternatives with
//! their figures, service conductors.
//!
//! In: the dwelling as load calculations see it, how the authority counts, the rating. Out: [`ServiceDetail`]; what the
//! house feels is filled in later. Chooses none of the alternatives.

use crate::context::Context;
use crate::service_load::{has_methods, measured, measured_power_factor};
use crate::supply_path::SupplyPath;
use crate::{
    AlternativeLoad, CountedOtherwise, LoadProfile, ServiceAlternative, ServiceConductors, ServiceDetail,
};
use power::PowerError;
use power::load::existing::existing_load;
use power::load::nameplate::coincident_nameplate;
use power::load::optional::optional_load;
use power::load::standard::standard_load;
use power::load::{
    Dwelling, HeaterCounting, HeatingPolicy, Load, LoadKind, LoadPolicy, LoadResult, LoadStatus,
};
use quantity::{ApparentPower, Current, Power, VolumeFlow};
use tables::breaker::standard_at_least;
use tables::conductor::ConductorMaterial;
use tables::dwelling_service::dwelling_service_conductor;
use tables::figures::figures;
use tables::nec::NecEdition;

/// What stands beside the load; nothing where no load method is carried.
pub(crate) fn detail(
    context: &Context<'_>,
    path: &SupplyPath,
    dwelling: &Dwelling,
    policy: LoadPolicy,
    rating: Current,
) -> ServiceDetail {
    let system = context.job.service.as_ref().map(|service| service.system);
    if !system.is_some_and(has_methods) {
        return ServiceDetail::default();
    }
    let work = Work {
        context,
        path,
        policy,
        rating,
    };
    match worked_out(&work, dwelling) {
        Ok(detail) => detail,
        Err(error) => {
            context.gap("service", "what else could be done", error.to_string());
            ServiceDetail::default()
        }
    }
}

/// Flow of the alternatives with another unit, from what the planned one lifts: flow goes with power.
pub(crate) fn flows(detail: &mut ServiceDetail, planned: Option<(Power, VolumeFlow)>) {
    let Some((power, flow)) = planned else { return };
    for alternative in &mut detail.alternatives {
        alternative.flow_coldest = alternative.heater_power.map(|other| flow * (other / power));
    }
}

struct Work<'w> {
    context: &'w Context<'w>,
    path: &'w SupplyPath,
    policy: LoadPolicy,
    rating: Current,
}

fn worked_out(work: &Work<'_>, dwelling: &Dwelling) -> Result<ServiceDetail, PowerError> {
    let loads = &work.context.job.loads;
    let credit = work.context.measured_maximum().map(|maximum| {
        measured(work.context, work.path, maximum, dwelling, work.policy)
            .map(|load| load.if_removed_credited.map(|credit| credit.current))
    });
    Ok(ServiceDetail {
        profile: Some(LoadProfile {
            heater: heater_words(work.policy.heater).to_owned(),
            existing_heating: heating_words(work.policy.existing_heating).to_owned(),
            removed_heater_subtracted: loads.removed_heater_subtracted.unwrap_or(false),
            measured_power_factor: measured_power_factor(work.context),
        }),
        counted_otherwise: counted_otherwise(work, dwelling)?,
        measured_with_credit: credit.transpose()?.flatten(),
        alternatives: alternatives(work, dwelling)?,
        conductors: conductors(work, dwelling)?,
        disturbance: None,
        transformer: None,
    })
}

fn heater_words(counting: HeaterCounting) -> &'static str {
    match counting {
        HeaterCounting::WithAppliances => "like any appliance, with the method's demand factor",
        HeaterCounting::FullNameplate => "at 100 % of nameplate, outside demand factors",
        HeaterCounting::Continuous125 => "at 125 % of nameplate, as a continuous load",
    }
}

fn heating_words(policy: HeatingPolicy) -> &'static str {
    match policy {
        HeatingPolicy::LargerAtFull => "the larger of heating and cooling in full",
        HeatingPolicy::WithAppliances => "among the appliances, with their demand factor",
        HeatingPolicy::NotCounted => "not counted",
    }
}

impl Work<'_> {
    /// The three methods with their short names.
    fn methods(
        &self,
        dwelling: &Dwelling,
        policy: LoadPolicy,
    ) -> Result<[(&'static str, LoadResult); 3], PowerError> {
        let (supply, edition) = (self.path.supply, self.context.nec());
        Ok([
            ("existing", existing_load(dwelling, policy, supply, edition)?),
            ("optional", optional_load(dwelling, policy, supply, edition)?),
            ("standard", standard_load(dwelling, policy, supply, edition)?),
        ])
    }

    fn alternative(
        &self,
        id: &str,
        what: String,
        dwelling: &Dwelling,
        rating: Current,
    ) -> Result<ServiceAlternative, PowerError> {
        let by_method = self
            .methods(dwelling, self.policy)?
            .into_iter()
            .map(|(method, load)| AlternativeLoad {
                method: method.to_owned(),
                current: load.current,
                fits: load.against(rating).fits,
            })
            .collect();
        Ok(ServiceAlternative {
            id: id.to_owned(),
            what,
            by_method,
            coincident: self.coincident(dwelling)?,
            heater_power: None,
            flow_coldest: None,
            rating,
        })
    }

    /// Everything that may run at once: of each interlocked set the largest.
    fn coincident(&self, dwelling: &Dwelling) -> Result<Current, PowerError> {
        let standing = || {
            dwelling
                .loads
                .iter()
                .filter(|load| load.status != LoadStatus::Removed)
        };
        let runs = |load: &&Load| match &load.interlock {
            None => true,
            Some(set) => standing()
                .filter(|other| other.interlock.as_ref() == Some(set))
                .reduce(|a, b| if b.connected() > a.connected() { b } else { a })
                .is_some_and(|largest| largest.name == load.name),
        };
        let names: Vec<&str> = standing().filter(runs).map(|load| load.name.as_str()).collect();
        Ok(coincident_nameplate(&dwelling.loads, &names, self.path.supply)?.current)
    }
}

/// Each way to count the heater by each method; authorities differ.
fn counted_otherwise(work: &Work<'_>, dwelling: &Dwelling) -> Result<Vec<CountedOtherwise>, PowerError> {
    let mut all = Vec::new();
    for heater in [
        HeaterCounting::WithAppliances,
        HeaterCounting::FullNameplate,
        HeaterCounting::Continuous125,
    ] {
        let policy = LoadPolicy {
            heater,
            ..work.policy
        };
        for (method, load) in work.methods(dwelling, policy)? {
            all.push(CountedOtherwise {
                heater: heater_words(heater).to_owned(),
                method: method.to_owned(),
                current: load.current,
                margin: load.against(work.rating).margin,
            });
        }
    }
    Ok(all)
}

fn is_new_heater(load: &Load) -> bool {
    load.kind == LoadKind::OnDemandHeater && load.status == LoadStatus::Added
}

/// Loads that load control could keep off while the heater runs.
fn could_wait(load: &Load) -> bool {
    load.status != LoadStatus::Removed
        && load.interlock.is_none()
        && matches!(
            load.kind,
            LoadKind::VehicleCharger | LoadKind::Dryer | LoadKind::Cooking | LoadKind::StorageHeater
        )
}

/// Interlock with another large load, load management, a smaller unit, a larger service.
fn alternatives(work: &Work<'_>, dwelling: &Dwelling) -> Result<Vec<ServiceAlternative>, PowerError> {
    let mut all = Vec::new();
    let Some(heater) = dwelling.loads.iter().position(is_new_heater) else {
        return Ok(all);
    };
    for (index, load) in dwelling.loads.iter().enumerate() {
        if !could_wait(load) {
            continue;
        }
        let mut tied = dwelling.clone();
        let set = tied.loads[heater]
            .interlock
            .clone()
            .unwrap_or_else(|| "interlock".to_owned());
        tied.loads[heater].interlock = Some(set.clone());
        tied.loads[index].interlock = Some(set);
        let what = format!("load control keeps {} off while the heater runs", load.name);
        all.push(work.alternative("interlock", what, &tied, work.rating)?);
    }
    all.extend(managed(work, dwelling)?);
    all.extend(smaller(work, dwelling, heater)?);
    all.extend(larger_service(work, dwelling)?);
    Ok(all)
}

/// A listed energy management system that sheds load at a set current, which then counts as continuous.
fn managed(work: &Work<'_>, dwelling: &Dwelling) -> Result<Option<ServiceAlternative>, PowerError> {
    let edition = work.context.nec();
    if edition < NecEdition::Nec2023 {
        return Ok(None);
    }
    let setting = work.rating * (1.0 / figures(edition).continuous_load.value.as_fraction());
    let units = work.context.given.units();
    let what = format!(
        "a listed energy management system sheds load above {}; its setting counts as continuous, {} in all (220.70, 750.30)",
        setting.show(units),
        work.rating.show(units),
    );
    let mut found = work.alternative("managed", what, dwelling, work.rating)?;
    // Whatever is connected, the system holds the service at its setting.
    for load in &mut found.by_method {
        load.current = load.current.min(work.rating);
        load.fits = true;
    }
    found.coincident = found.coincident.min(setting);
    Ok(Some(found))
}

/// Step of the search for a smaller unit.
const STEP_VA: f64 = 500.0;

/// The largest heater, in steps of half a kilowatt, with which every method stays within the rating.
fn smaller(
    work: &Work<'_>,
    dwelling: &Dwelling,
    heater: usize,
) -> Result<Option<ServiceAlternative>, PowerError> {
    let fits = |dwelling: &Dwelling| -> Result<bool, PowerError> {
        let methods = work.methods(dwelling, work.policy)?;
        Ok(methods.iter().all(|(_, load)| load.against(work.rating).fits))
    };
    if fits(dwelling)? {
        return Ok(None);
    }
    let whole_va = dwelling.loads[heater].nameplate.as_volt_amperes();
    let mut less = dwelling.clone();
    let mut steps = (whole_va / STEP_VA).floor();
    while steps >= 1.0 {
        less.loads[heater].nameplate = ApparentPower::from_volt_amperes(steps * STEP_VA);
        if fits(&less)? {
            let power = Power::from_watts(steps * STEP_VA);
            let what = format!(
                "a unit of {}, or one that its maker limits to that, and the lower flow that goes with it",
                power.show(work.context.given.units())
            );
            let mut found = work.alternative("smaller", what, &less, work.rating)?;
            found.heater_power = Some(power);
            return Ok(Some(found));
        }
        steps -= 1.0;
    }
    Ok(None)
}

/// The smallest standard service that carries the load by every method.
fn larger_service(work: &Work<'_>, dwelling: &Dwelling) -> Result<Option<ServiceAlternative>, PowerError> {
    let Some(rating) = needed_rating(work, dwelling)?.filter(|rating| *rating > work.rating) else {
        return Ok(None);
    };
    let what = format!("a service of {}", rating.show(work.context.given.units()));
    work.alternative("service", what, dwelling, rating).map(Some)
}

/// The smallest standard rating for every method; none above the list of ratings.
fn needed_rating(work: &Work<'_>, dwelling: &Dwelling) -> Result<Option<Current>, PowerError> {
    let mut needed = Current::zero();
    for (_, load) in work.methods(dwelling, work.policy)? {
        match load.smallest_service() {
            Ok(rating) => needed = needed.max(rating.value),
            Err(_) => return Ok(None),
        }
    }
    Ok(standard_at_least(needed, work.context.nec())
        .ok()
        .map(|rating| rating.value))
}

/// Below 100 A and above 400 A the table says nothing; then nothing is said here either.
fn conductors(work: &Work<'_>, dwelling: &Dwelling) -> Result<Vec<ServiceConductors>, PowerError> {
    let edition = work.context.nec();
    let mut ratings = vec![work.rating];
    ratings.extend(needed_rating(work, dwelling)?.filter(|rating| *rating > work.rating));
    let of = |rating: Current| {
        let copper = dwelling_service_conductor(rating, ConductorMaterial::Copper, edition).ok()?;
        let aluminum = dwelling_service_conductor(rating, ConductorMaterial::Aluminum, edition).ok()?;
        Some(ServiceConductors {
            rating,
            copper: copper.value,
            aluminum: aluminum.value,
            article: copper.source.to_string(),
        })
    };
    Ok(ratings.into_iter().filter_map(of).collect())
}
