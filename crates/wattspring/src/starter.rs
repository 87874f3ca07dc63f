//! A first record from six facts: where, which service, which unit, how far, what runs together, what heats today.
//!
//! In: the facts given. Out: a record that assesses at once and can grow into the survey. Asks nothing (see `ask`).

use crate::cli::Today;
use job::{
    About, Circuit, Element, Fixture, FixtureKind, HeatSource, Job, Panel, Route, SCHEMA_VERSION, Segment,
    Service, Site, SourceKind, SourceStatus, Space, SupplySystem, Together, WaterSupply,
};
use quantity::{Current, GaugePressure, Length, Power, UnitSystem, Voltage};

/// The six facts, as far as they are known.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Facts {
    pub(crate) title: Option<String>,
    pub(crate) postal_code: Option<String>,
    pub(crate) service: Option<Current>,
    pub(crate) free_spaces: Option<u16>,
    pub(crate) unit: Option<Power>,
    pub(crate) circuits: Option<u16>,
    pub(crate) unit_voltage: Option<Voltage>,
    pub(crate) distance: Option<Length>,
    pub(crate) together: Vec<FixtureKind>,
    pub(crate) today: Option<Today>,
    pub(crate) pressure: Option<GaugePressure>,
}

/// Most power one double-pole 40 A circuit is usually given; used only to guess the number of circuits.
const USUAL_ELEMENT_MAX: f64 = 9.6;

/// The record that holds the facts.
pub(crate) fn record(facts: &Facts) -> Job {
    let service = facts.service.map(|rating| Service {
        disconnect_outside: None,
        system: SupplySystem::SplitPhase120_240,
        rating,
        measured_voltage: None,
        transformer: None,
        drop: None,
        fault_current: None,
        panels: vec![main_panel(rating, facts.free_spaces)],
    });
    let fixtures = fixtures(&facts.together);
    let together = if fixtures.len() < 2 {
        fixtures.iter().map(one).collect()
    } else {
        let ids = fixtures.iter().map(|fixture| fixture.id.clone()).collect();
        vec![Together {
            name: "all named fixtures at once".into(),
            fixtures: ids,
            promised: None,
        }]
    };
    let mut job = Job {
        schema: SCHEMA_VERSION,
        about: About {
            title: facts.title.clone().unwrap_or_else(|| "New job".into()),
            revision: Some("A".into()),
            units: UnitSystem::Us,
            ..About::default()
        },
        site: Site {
            postal_code: facts.postal_code.clone(),
            ..Site::default()
        },
        water: WaterSupply {
            static_pressure: facts.pressure,
            ..WaterSupply::default()
        },
        service,
        fixtures,
        together,
        ..Job::default()
    };
    if let Some(power) = facts.unit {
        add_unit(&mut job, power, facts);
    }
    if let Some(Today::TankStays | Today::TankGoes) = facts.today {
        let status = if facts.today == Some(Today::TankStays) {
            SourceStatus::Existing
        } else {
            SourceStatus::Removed
        };
        job.sources.push(tank(status));
    }
    job
}

fn main_panel(rating: Current, free_spaces: Option<u16>) -> Panel {
    Panel {
        half_size_spaces: Vec::new(),
        id: "main".into(),
        fed_from: None,
        feeder: None,
        bus_rating: None,
        main_breaker: Some(rating),
        spaces: None,
        free_spaces,
        breakers: Vec::new(),
        half_size_allowed: None,
        neutral_ground: None,
        terminal_rating_c: None,
        interrupting_rating: None,
        space: None,
        working_space: None,
        directory_complete: None,
    }
}

fn add_unit(job: &mut Job, power: Power, facts: &Facts) {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a handful of circuits at most
    let guess = (power.as_kilowatts() / USUAL_ELEMENT_MAX).ceil().clamp(1.0, 8.0) as u16;
    let count = facts.circuits.unwrap_or(guess).max(1);
    let voltage = facts.unit_voltage.unwrap_or_else(|| Voltage::from_volts(240.0));
    let elements = (0..count)
        .map(|_| Element {
            power: power / f64::from(count),
            voltage,
        })
        .collect();
    job.sources.push(HeatSource {
        elements,
        ..source(
            "unit",
            "on-demand unit",
            SourceKind::OnDemand,
            SourceStatus::Proposed,
        )
    });
    if let Some(length) = facts.distance {
        let segment = Segment {
            space: Space::Indoors,
            length,
            ambient: None,
            current_carrying: None,
            in_insulation: None,
            raceway: None,
            wet: None,
        };
        job.routes.push(Route {
            id: "run".into(),
            segments: vec![segment],
            slack: None,
        });
    }
    if job.service.is_none() {
        return;
    }
    for number in 1..=count {
        let route = facts.distance.map(|_| "run".into());
        let planned = Circuit::to_one_element(format!("W{number}"), "unit".into(), "main".into(), number);
        job.circuits.push(Circuit { route, ..planned });
    }
}

fn tank(status: SourceStatus) -> HeatSource {
    let element = Element {
        power: Power::from_kilowatts(4.5),
        voltage: Voltage::from_volts(240.0),
    };
    HeatSource {
        elements: vec![element.clone(), element],
        simultaneous: Some(false),
        ..source("tank", "storage tank", SourceKind::Tank, status)
    }
}

fn source(id: &str, name: &str, kind: SourceKind, status: SourceStatus) -> HeatSource {
    HeatSource {
        control: None,
        changes_per_minute: None,
        id: id.into(),
        name: Some(name.into()),
        kind,
        status,
        inlet: None,
        outlet: None,
        space: None,
        set_point: None,
        elements: Vec::new(),
        simultaneous: None,
        breaker_max: None,
        circuits_required: None,
        listed: None,
        cord_and_plug: None,
        terminal_rating_c: None,
        volume: None,
        activation_flow: None,
        flow_max: None,
        pressure_min: None,
        inlet_max: None,
        pressure_drop: Vec::new(),
        relief: None,
        service_valves: None,
        temperature_listing: None,
        interlocked_with: None,
        plastic_pipe_distance: None,
    }
}

fn fixtures(kinds: &[FixtureKind]) -> Vec<Fixture> {
    let numbered = kinds.iter().enumerate().map(|(at, kind)| {
        let before = kinds[..at].iter().filter(|other| *other == kind).count();
        (kind, before, kinds.iter().filter(|other| *other == kind).count())
    });
    numbered
        .map(|(kind, before, alike)| {
            let word = word(*kind);
            let id = if alike > 1 {
                format!("{word}-{}", before + 1)
            } else {
                word.to_owned()
            };
            Fixture {
                id,
                name: None,
                kind: *kind,
                hot: None,
                cold: None,
                rated_flow: None,
                rated_pressure: None,
                pressure_compensated: None,
                use_temperature: None,
                fill_volume: None,
                protection: None,
                uses_per_day: None,
                use_time: None,
            }
        })
        .collect()
}

fn one(fixture: &Fixture) -> Together {
    Together {
        name: format!("{} alone", fixture.id),
        fixtures: vec![fixture.id.clone()],
        promised: None,
    }
}

const KINDS: [(&str, FixtureKind); 8] = [
    ("shower", FixtureKind::Shower),
    ("tub-filler", FixtureKind::TubFiller),
    ("lavatory", FixtureKind::Lavatory),
    ("kitchen-sink", FixtureKind::KitchenSink),
    ("laundry-sink", FixtureKind::LaundrySink),
    ("bidet", FixtureKind::Bidet),
    ("dishwasher", FixtureKind::Dishwasher),
    ("clothes-washer", FixtureKind::ClothesWasher),
];

fn word(kind: FixtureKind) -> &'static str {
    KINDS
        .iter()
        .find(|(_, known)| *known == kind)
        .map_or("fixture", |(word, _)| word)
}

/// Fixture kinds from a list such as "shower, kitchen-sink" or "2 shower".
///
/// # Errors
/// Names the word that is not a kind, and the kinds there are.
pub(crate) fn fixture_list(text: &str) -> Result<Vec<FixtureKind>, String> {
    let mut kinds = Vec::new();
    for part in text
        .split([',', '+'])
        .map(str::trim)
        .filter(|part| !part.is_empty())
    {
        let (count, name) = match part.split_once(' ') {
            Some((count, name)) if count.parse::<usize>().is_ok_and(|n| (1..=9).contains(&n)) => {
                (count.parse::<usize>().unwrap_or(1), name.trim())
            }
            _ => (1, part),
        };
        let wanted = name.to_lowercase().replace(' ', "-");
        let singular = wanted.strip_suffix('s').unwrap_or(&wanted);
        let aliases =
            |word: &str| word == wanted || word == singular || word.split('-').next() == Some(singular);
        let Some((_, kind)) = KINDS.iter().find(|(word, _)| aliases(word)) else {
            let known: Vec<&str> = KINDS.iter().map(|(word, _)| *word).collect();
            return Err(format!(
                "`{name}` is not a kind of fixture; kinds are {}",
                known.join(", ")
            ));
        };
        kinds.extend(std::iter::repeat_n(*kind, count));
    }
    if kinds.is_empty() {
        Err("no fixture named".into())
    } else {
        Ok(kinds)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lists_are_read() {
        let list = fixture_list("2 showers, kitchen sink + tub").unwrap();
        assert_eq!(
            list,
            [
                FixtureKind::Shower,
                FixtureKind::Shower,
                FixtureKind::KitchenSink,
                FixtureKind::TubFiller
            ]
        );
        assert!(fixture_list("jacuzzi").unwrap_err().contains("kinds are shower"));
        assert!(fixture_list(" , ").is_err());
    }

    #[test]
    fn a_record_from_six_facts_has_no_problem() {
        let facts = Facts {
            postal_code: Some("37919".into()),
            service: Some(Current::from_amperes(150.0)),
            free_spaces: Some(6),
            unit: Some(Power::from_kilowatts(18.0)),
            distance: Some(Length::from_feet(80.0)),
            together: fixture_list("shower, kitchen-sink").unwrap(),
            today: Some(Today::TankStays),
            ..Facts::default()
        };
        let job = record(&facts);
        assert_eq!(job::validate(&job), Vec::new());
        assert_eq!(
            (job.circuits.len(), job.sources.len(), job.fixtures.len()),
            (2, 2, 2)
        );
    }
}
