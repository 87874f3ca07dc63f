//! The drawings of a job: fills the descriptions that the other modules draw from a record and its assessment.
//!
//! In: a [`job::Job`] and its [`assess::Assessment`]. Out: a one-line diagram and charts, ready to draw. Computes no figure: what
//! the record and the assessment do not say stays open on the sheet.

use crate::capability::{self, Capability};
use crate::mains::MainsByMonth;
use crate::one_line::{
    Branch, Breaker, Delivered, Element, Feeds, Metal, OneLine, Panel, Status, Supply, Tank, VoltageDrop,
    Wiring,
};
use crate::title_block::TitleBlock;
use crate::wait_over_time::WaitOverTime;
use assess::{Assessment, CircuitResult, Head, HeaterResult};
use job::{ConductorMaterial, Disconnect, Job, NeutralGround, SourceKind, SourceStatus, SupplySystem};
use quantity::{Temperature, Voltage};

/// The title block of every sheet of a job.
pub fn title_block(assessment: &Assessment) -> TitleBlock {
    title_block_of(&assessment.head)
}

/// The title block of a sheet with this head.
pub(crate) fn title_block_of(head: &Head) -> TitleBlock {
    TitleBlock {
        job: head.title.clone(),
        place: head
            .address
            .clone()
            .or_else(|| head.place.clone())
            .unwrap_or_default(),
        revision: head.revision.clone(),
        edition: head.electrical_code.clone(),
        date: head.date.to_string(),
        drawn_by: head.prepared_by.clone().unwrap_or_default(),
    }
}

/// The one-line diagram; none without a service.
pub fn one_line(job: &Job, assessment: &Assessment) -> Option<OneLine> {
    let service = job.service.as_ref()?;
    let main = service.panels.iter().find(|panel| panel.fed_from.is_none())?;
    let drop = service.drop.as_ref().map(|drop| Wiring {
        status: Status::Existing,
        hot_conductors: 2,
        size: Some(drop.conductor),
        metal: Some(metal(drop.material)),
        neutral: Some(drop.conductor),
        ground: None,
        method: String::new(),
        length: Some(drop.length),
        drop: None,
    });
    Some(OneLine {
        title_block: title_block(assessment),
        units: assessment.head.units,
        supply: Supply {
            system: system(service.system).to_owned(),
            transformer: service.transformer.as_ref().map(|transformer| transformer.rating),
            service_drop: drop,
            ..Supply::default()
        },
        main: panel(job, assessment, main, 0),
        notes: notes(assessment),
    })
}

fn system(system: SupplySystem) -> &'static str {
    match system {
        SupplySystem::SplitPhase120_240 => "120/240 V, single phase, 3-wire",
        SupplySystem::TwoLegs120_208 => "two legs of 208Y/120 V",
        SupplySystem::Single230 => "230 V, single phase",
        SupplySystem::ThreePhase230_400 => "400Y/230 V, three phase",
    }
}

fn notes(assessment: &Assessment) -> Vec<String> {
    let units = assessment.head.units;
    let mut notes = Vec::new();
    if let Some(circuit) = assessment.circuits.first() {
        notes.push(format!(
            "Voltages are those with all elements of a heater on: {} at its panel.",
            circuit.panel_voltage.show(units)
        ));
    }
    let assumed = assessment.assumptions.len();
    if assumed > 0 {
        notes.push(format!(
            "{assumed} values are assumed; the report lists them with how to find out."
        ));
    }
    notes
}

/// A panel with its feeders, element circuits, and the rest of its breakers in one line. `depth` ends a ring of feeders.
fn panel(job: &Job, assessment: &Assessment, panel: &job::Panel, depth: usize) -> Panel {
    let service = job.service.as_ref();
    let circuits = assessment
        .circuits
        .iter()
        .filter(|circuit| circuit.panel == panel.id);
    let mut branches: Vec<Branch> = circuits
        .flat_map(|circuit| element_branches(job, assessment, circuit))
        .collect();
    branches.extend(tanks(job, assessment, panel));
    if let Some(service) = service
        && depth < service.panels.len()
    {
        let fed = service
            .panels
            .iter()
            .filter(|other| other.fed_from.as_ref() == Some(&panel.id));
        branches.extend(fed.map(|other| feeder(job, assessment, other, depth)));
    }
    branches.extend(others(panel));
    Panel {
        name: format!("Panel {}", panel.id),
        place: String::new(),
        status: Status::Existing,
        bus: panel.bus_rating,
        main_breaker: panel.main_breaker.map(|rating| Breaker {
            poles: 2,
            rating: Some(rating),
            kind: String::new(),
            spaces: String::new(),
            interrupting: panel.interrupting_rating,
        }),
        voltage: assessment
            .circuits
            .iter()
            .find(|circuit| circuit.panel == panel.id)
            .map(|circuit| circuit.panel_voltage),
        fault_current: if panel.fed_from.is_none() {
            service.and_then(|service| service.fault_current)
        } else {
            None
        },
        grounding: panel.neutral_ground.map(grounding).unwrap_or_default().to_owned(),
        branches,
    }
}

fn grounding(arrangement: NeutralGround) -> &'static str {
    match arrangement {
        NeutralGround::SharedBar => "neutrals and grounds on one bonded bar",
        NeutralGround::SeparateBonded => "separate bars, neutral bonded",
        NeutralGround::SeparateIsolated => "separate bars, neutral isolated",
    }
}

fn element_branches(job: &Job, assessment: &Assessment, circuit: &CircuitResult) -> Vec<Branch> {
    let heater = job.sources.iter().find(|source| source.id == circuit.heater);
    let entry = job.circuits.iter().find(|entry| entry.id == circuit.id);
    let result = assessment
        .heaters
        .iter()
        .find(|heater| heater.id == circuit.heater);
    let status = if circuit.existing {
        Status::Existing
    } else {
        Status::New
    };
    let name = result.map_or_else(|| circuit.heater.clone(), |heater| heater.name.clone());
    let numbers = entry.map(|entry| entry.elements.clone()).unwrap_or_default();
    let all = heater.map_or(0, |heater| heater.elements.len());
    let which = match numbers.as_slice() {
        [one] => format!("element {one} of {all}"),
        [] => format!("{all} elements"),
        several => format!("{} of {all} elements", several.len()),
    };
    let rated = heater.map(|heater| {
        let on: Vec<_> = if numbers.is_empty() {
            heater.elements.iter().collect()
        } else {
            numbers
                .iter()
                .filter_map(|n| heater.elements.get(usize::from(*n).checked_sub(1)?))
                .collect()
        };
        let volts = on
            .iter()
            .map(|element| element.voltage)
            .fold(Voltage::zero(), Voltage::max);
        (on.into_iter().map(|element| element.power).sum(), volts)
    });
    let Some((power, volts)) = rated else {
        return Vec::new();
    };
    let feeds = Feeds::Element(Element {
        heater: name,
        name: which,
        rated: power,
        rated_at: volts,
        delivered: Some(Delivered {
            power: circuit.delivered_power,
            voltage: circuit.element_voltage,
            current: circuit.running_current,
        }),
    });
    let neutral = circuit.insulated_conductors > 2;
    vec![Branch {
        tag: circuit.id.clone(),
        name: String::new(),
        status,
        breaker: Breaker {
            poles: 2,
            rating: Some(circuit.breaker),
            kind: String::new(),
            spaces: String::new(),
            interrupting: None,
        },
        wiring: Some(Wiring {
            status,
            hot_conductors: circuit.insulated_conductors.min(2),
            size: Some(circuit.conductor),
            metal: Some(metal(circuit.material)),
            neutral: neutral.then_some(circuit.conductor),
            ground: Some(circuit.ground),
            method: circuit.cable.clone(),
            length: Some(circuit.length),
            drop: Some(VoltageDrop {
                volts: circuit.drop,
                share: circuit.drop_share,
            }),
        }),
        disconnect: entry
            .and_then(|entry| entry.disconnect)
            .and_then(disconnect)
            .map(str::to_owned),
        feeds,
    }]
}

fn disconnect(disconnect: Disconnect) -> Option<&'static str> {
    match disconnect {
        Disconnect::InSight => Some("disconnect in sight"),
        Disconnect::LockableBreaker => Some("breaker lockable open"),
        Disconnect::Plug => Some("plug and receptacle"),
        Disconnect::None => None,
    }
}

/// Tanks without a circuit in the record: their breaker, where one of that panel names them.
fn tanks(job: &Job, assessment: &Assessment, panel: &job::Panel) -> Vec<Branch> {
    if panel.fed_from.is_some() {
        return Vec::new();
    }
    let unnamed = |source: &&job::HeatSource| {
        source.kind == SourceKind::Tank && !job.circuits.iter().any(|circuit| circuit.source == source.id)
    };
    let tanks = job.sources.iter().filter(unnamed);
    tanks
        .map(|source| {
            let breaker = panel.breakers.iter().find(|breaker| is_tank(&breaker.label));
            let result: Option<&HeaterResult> =
                assessment.heaters.iter().find(|heater| heater.id == source.id);
            let status = if source.status == SourceStatus::Removed {
                Status::Removed
            } else {
                Status::Existing
            };
            Branch {
                tag: String::new(),
                name: String::new(),
                status,
                breaker: Breaker {
                    poles: 2,
                    rating: breaker.map(|breaker| breaker.rating),
                    kind: String::new(),
                    spaces: breaker.map(|breaker| spaces(&breaker.at)).unwrap_or_default(),
                    interrupting: None,
                },
                wiring: None,
                disconnect: None,
                feeds: Feeds::Tank(Tank {
                    name: source.name.clone().unwrap_or_else(|| source.id.clone()),
                    volume: source.volume,
                    rated: result
                        .map(|heater| heater.rated_power)
                        .or(source.elements.first().map(|e| e.power)),
                    rated_at: source.elements.first().map(|element| element.voltage),
                }),
            }
        })
        .collect()
}

fn is_tank(label: &str) -> bool {
    let label = label.to_lowercase();
    ["tank", "water heater"].iter().any(|word| label.contains(word))
}

fn spaces(at: &[u16]) -> String {
    at.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ")
}

fn feeder(job: &Job, assessment: &Assessment, other: &job::Panel, depth: usize) -> Branch {
    let feeder = other.feeder.as_ref();
    Branch {
        tag: String::new(),
        name: format!("feeder to {}", other.id),
        status: Status::Existing,
        breaker: Breaker {
            poles: 2,
            rating: feeder.map(|feeder| feeder.breaker),
            kind: String::new(),
            spaces: String::new(),
            interrupting: None,
        },
        wiring: feeder.map(|feeder| Wiring {
            status: Status::Existing,
            hot_conductors: 2,
            size: Some(feeder.conductor),
            metal: Some(metal(feeder.material)),
            neutral: Some(feeder.conductor),
            ground: None,
            method: String::new(),
            length: Some(feeder.length),
            drop: None,
        }),
        disconnect: None,
        feeds: Feeds::Panel(Box::new(panel(job, assessment, other, depth + 1))),
    }
}

/// The rest of a panel's breakers as one branch.
fn others(panel: &job::Panel) -> Option<Branch> {
    let feeds_panel = |label: &str| label.to_lowercase().contains("feeder");
    let rest = panel
        .breakers
        .iter()
        .filter(|breaker| !is_tank(&breaker.label) && !feeds_panel(&breaker.label))
        .count();
    (rest > 0).then(|| Branch {
        tag: String::new(),
        name: String::new(),
        status: Status::Existing,
        breaker: Breaker {
            poles: 1,
            rating: None,
            kind: String::new(),
            spaces: String::new(),
            interrupting: None,
        },
        wiring: None,
        disconnect: None,
        feeds: Feeds::Other(format!("{rest} other existing circuits")),
    })
}

fn metal(material: ConductorMaterial) -> Metal {
    match material {
        ConductorMaterial::Copper => Metal::Copper,
        ConductorMaterial::Aluminum => Metal::Aluminum,
    }
}

/// The temperature and flow chart of the first on-demand unit that is added.
pub fn capability(assessment: &Assessment) -> Option<Capability> {
    let units = assessment.head.units;
    let heater = assessment
        .heaters
        .iter()
        .find(|heater| heater.status == SourceStatus::Proposed && heater.curves.len() > 1)?;
    let use_temperature = assessment
        .fixtures
        .iter()
        .map(|fixture| fixture.use_temperature)
        .filter(|wanted| wanted.as_kelvins() <= heater.set_point.as_kelvins())
        .max_by(|a, b| a.as_kelvins().total_cmp(&b.as_kelvins()))
        .unwrap_or_else(|| Temperature::from_fahrenheit(105.0));
    Some(Capability {
        title: format!("What {} heats", heater.delivered_power.show(units)),
        units,
        flow: "flow through the heater".to_owned(),
        supplies: heater
            .curves
            .iter()
            .map(|curve| capability::Supply {
                name: format!("{}, mains {}", curve.label, curve.inlet.show(units)),
                delivered: curve.points.clone(),
            })
            .collect(),
        set_point: heater.set_point,
        use_temperature,
        activation: heater.activation_flow,
    })
}

/// Temperature over time at the fixture that waits longest, when its piping is known.
pub fn wait(assessment: &Assessment) -> Option<WaitOverTime> {
    let trace = assessment.wait_trace.as_ref()?;
    let curves: Vec<_> = [("today", &trace.today), ("after the work", &trace.after)]
        .into_iter()
        .filter(|(_, points)| points.len() > 1)
        .map(|(name, points)| (name.to_owned(), points.clone()))
        .collect();
    (!curves.is_empty()).then(|| WaitOverTime {
        title: format!("Opening the {}, pipes cold", trace.fixture),
        units: assessment.head.units,
        use_temperature: trace.use_temperature,
        curves,
    })
}

/// Incoming water by month, when twelve months are known.
pub fn mains(assessment: &Assessment) -> Option<MainsByMonth> {
    let months: [Temperature; 12] = assessment.mains.months.as_slice().try_into().ok()?;
    Some(MainsByMonth {
        title: "Incoming water by month".to_owned(),
        units: assessment.head.units,
        months,
        origin: assessment.mains.basis.clone(),
    })
}
