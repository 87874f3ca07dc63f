//! How a circuit is wired: wires, conductor temperature, raceway, splice box, types that suit its run, price of more copper.
//!
//! In: a designed circuit and its run. Out: [`CircuitWiring`], without the fault current, which needs the whole house.

use crate::circuit_plan::Part;
use crate::context::Context;
use crate::{CircuitWiring, PriceDifference, RacewayResult, SuitedType, engine_names};
use job::Space;
use power::box_fill::{BoxContents, box_volume};
use power::circuit_check::CircuitCheck;
use power::conductor_temperature::running_temperature;
use power::conduit_fill::{ConductorCount, smallest_raceway};
use power::wiring_choice::{WiringPlace, wiring_choice};
use power::wiring_tree::Wire;
use quantity::{ConductorSize, Current, Length, Temperature, Volume};
use rust_decimal::Decimal;
use tables::cable::Wetness;

/// How a circuit is wired; `current` is what it carries at its real voltage.
pub(crate) fn wiring(
    context: &Context<'_>,
    part: &Part<'_>,
    wires: (Wire, Wire),
    current: Current,
) -> CircuitWiring {
    let size = part.check.chosen.conductor;
    CircuitWiring {
        wires: format!("{} and {}", wire_word(wires.0), wire_word(wires.1)),
        conductor_temperature: conductor_temperature(&part.check, part, current),
        fault_current: None,
        raceway: raceway(context, part),
        splice_box: splice_box(context, part),
        types: types(part, size),
        extra_for_drop: extra_for_drop(context, part),
    }
}

fn wire_word(wire: Wire) -> &'static str {
    match wire {
        Wire::A => "line A",
        Wire::B => "line B",
        Wire::C => "line C",
        Wire::Neutral => "neutral",
    }
}

/// The hottest stretch decides; its own ampacity before any cap is what its heat balance stands on.
fn conductor_temperature(check: &CircuitCheck, part: &Part<'_>, current: Current) -> Option<Temperature> {
    check
        .ampacity
        .segments
        .iter()
        .zip(&part.request.segments)
        .filter_map(|(working, segment)| {
            let ampacity = working.base.value * working.adjustment.value.as_fraction();
            running_temperature(segment.ambient, current, working.column, ampacity).ok()
        })
        .reduce(Temperature::max)
}

/// Smallest raceway for all circuits of the same run, each with a ground of its own.
fn raceway(context: &Context<'_>, part: &Part<'_>) -> Option<RacewayResult> {
    let raceway = engine_names::raceway(part.run.raceway?);
    let route = part.circuit.route.as_ref()?;
    let sharing = context
        .job
        .circuits
        .iter()
        .filter(|other| other.route.as_ref() == Some(route))
        .count()
        .max(1);
    let conductors = &part.check.conductors;
    let ground = part
        .check
        .chosen
        .equipment_ground
        .unwrap_or(part.check.equipment_ground.size);
    let insulated = usize::from(conductors.ungrounded + u8::from(conductors.neutral));
    let contents = [
        ConductorCount {
            size: part.check.chosen.conductor,
            count: insulated * sharing,
        },
        ConductorCount {
            size: ground,
            count: sharing,
        },
    ];
    let found = smallest_raceway(raceway, &contents, false).ok()?;
    Some(RacewayResult {
        name: format!("{} {}", found.raceway.raceway, found.raceway.trade_size),
        fill: found.fill,
        allowed: found.allowed.value,
    })
}

/// Two cables joined in a box: every insulated conductor twice, both grounds.
fn splice_box(context: &Context<'_>, part: &Part<'_>) -> Option<Volume> {
    part.circuit.splices.filter(|splices| *splices > 0)?;
    let conductors = &part.check.conductors;
    let ground = part
        .check
        .chosen
        .equipment_ground
        .unwrap_or(part.check.equipment_ground.size);
    let contents = BoxContents {
        conductors: vec![ConductorCount {
            size: part.check.chosen.conductor,
            count: 2 * usize::from(conductors.ungrounded + u8::from(conductors.neutral)),
        }],
        internal_clamps: true,
        grounds: vec![ConductorCount {
            size: ground,
            count: 2,
        }],
        ..BoxContents::default()
    };
    box_volume(&contents, context.nec())
        .ok()
        .map(|volume| volume.total)
}

fn types(part: &Part<'_>, size: ConductorSize) -> Vec<SuitedType> {
    if !part.run.surveyed {
        return Vec::new();
    }
    wiring_choice(&part.run.places, size)
        .into_iter()
        .map(|fit| SuitedType {
            cable: fit.cable.to_owned(),
            against: fit.obstacle.map(|obstacle| obstacle.to_string()),
        })
        .collect()
}

/// How wet a space is unless the record says more.
pub(crate) fn wiring_place(label: &str, space: Space, wet: Option<bool>, raceway: bool) -> WiringPlace {
    let usual = match space {
        Space::Outdoors => Wetness::Wet,
        Space::Buried | Space::Slab => Wetness::Buried,
        Space::Crawlspace => Wetness::Damp,
        _ => Wetness::Dry,
    };
    WiringPlace {
        label: label.to_owned(),
        wetness: match wet {
            Some(true) => usual.max(Wetness::Wet),
            Some(false) if usual < Wetness::Buried => Wetness::Dry,
            _ => usual,
        },
        raceway,
    }
}

/// Price of the larger conductor less that of the smaller one over the run, from the record's own price items.
fn extra_for_drop(context: &Context<'_>, part: &Part<'_>) -> PriceDifference {
    let smaller = part.minimum.0;
    let larger = part.for_drop.unwrap_or(smaller);
    if larger.area() <= smaller.area() {
        return PriceDifference::Same;
    }
    let cable = engine_names::cable(part.cable);
    let names = [smaller, larger].map(|size| format!("{cable}, {}, {size}", part.request.material));
    let prices = context.job.prices.as_ref();
    let of = |size: ConductorSize| {
        let items = prices.iter().flat_map(|prices| &prices.items);
        items
            .filter(|item| names_conductor(&item.item, cable, &part.request.material.to_string(), size))
            .find_map(|item| Some((item.price, unit_length(&item.per)?)))
    };
    let (Some(prices), Some(small), Some(large)) = (prices, of(smaller), of(larger)) else {
        return PriceDifference::Missing(names.to_vec());
    };
    let cost = |(price, per): (Decimal, Length)| {
        let pieces = Decimal::from_f64_retain(part.run.length / per)?;
        price.checked_mul(pieces)
    };
    match cost(large)
        .zip(cost(small))
        .and_then(|(large, small)| large.checked_sub(small))
    {
        Some(more) => PriceDifference::Amount(format!("{} {}", more.round_dp(2), prices.currency)),
        None => PriceDifference::Missing(names.to_vec()),
    }
}

/// Whether a price item means that conductor: it names type and size, and the metal where it names one.
fn names_conductor(item: &str, cable: &str, metal: &str, size: ConductorSize) -> bool {
    let item = item.to_lowercase();
    let other = if metal == "copper" { "aluminum" } else { "copper" };
    item.contains(&cable.to_lowercase())
        && item
            .split([',', ';'])
            .any(|part| part.trim() == size.to_string().to_lowercase())
        && !item.contains(other)
}

/// The length that a price stands for.
fn unit_length(per: &str) -> Option<Length> {
    match per.trim() {
        "foot" | "ft" => Some(Length::from_feet(1.0)),
        "meter" | "m" => Some(Length::from_meters(1.0)),
        other => other.parse().ok(),
    }
}
