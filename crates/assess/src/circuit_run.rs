//! The run of a circuit: its segments with their surroundings, from the record's route or from defaults.

use crate::circuit_wiring::wiring_place;
use crate::context::Context;
use crate::engine_names;
use job::{CableType, Circuit, Raceway, Space};
use power::PowerError;
use power::ampacity::Segment;
use power::wiring_choice::WiringPlace;
use quantity::Length;
use tables::cable::cable_type;
use trace::RecordPath;

/// A run ready for the engine, with what the rules want to know of it.
#[derive(Debug, Clone)]
pub(crate) struct Run {
    pub(crate) segments: Vec<Segment>,
    /// One way, slack included.
    pub(crate) length: Length,
    pub(crate) slack: Length,
    pub(crate) wet: bool,
    pub(crate) buried: bool,
    pub(crate) raceway: Option<Raceway>,
    /// The places it passes.
    pub(crate) places: Vec<WiringPlace>,
    /// Whether a route was surveyed.
    pub(crate) surveyed: bool,
}

/// The run of `circuit`.
pub(crate) fn run_of(
    context: &Context<'_>,
    circuit: &Circuit,
    cable: CableType,
    place: &RecordPath,
) -> Result<Run, PowerError> {
    let given = &context.given;
    let job = context.job;
    let kind = cable_type(engine_names::cable(cable))?;
    let together = job
        .circuits
        .iter()
        .filter(|other| other.route.is_some() && other.route == circuit.route)
        .count();
    let bundled = u16::try_from(2 * together.max(1)).unwrap_or(u16::MAX);
    let route = circuit
        .route
        .as_ref()
        .and_then(|id| job.routes.iter().position(|route| &route.id == id));
    let Some(at) = route else {
        let length = given.take(None, place.field("route"), "routes.length").value;
        let ambient = given
            .take(None, place.field("route"), "routes.segments.ambient.indoors")
            .value;
        let segment = Segment {
            label: "whole run".into(),
            cable: kind,
            length,
            ambient,
            current_carrying: bundled,
            in_thermal_insulation: false,
        };
        let segments = vec![segment];
        return Ok(Run {
            segments,
            length,
            slack: Length::zero(),
            wet: false,
            buried: false,
            raceway: None,
            places: Vec::new(),
            surveyed: false,
        });
    };
    let route = &job.routes[at];
    let here = RecordPath::from("routes").item(at);
    let slack = given.take(route.slack, here.field("slack"), "routes.slack").value;
    let segments = route.segments.iter().enumerate().map(|(number, segment)| {
        let here = here.field("segments").item(number);
        let key = format!("routes.segments.ambient.{}", space_key(segment.space));
        Segment {
            label: space_word(segment.space).into(),
            cable: kind,
            length: segment.length,
            ambient: given.take(segment.ambient, here.field("ambient"), &key).value,
            current_carrying: segment.current_carrying.unwrap_or(bundled),
            in_thermal_insulation: segment.in_insulation.unwrap_or(false),
        }
    });
    let mut segments: Vec<Segment> = segments.collect();
    let length = segments.iter().map(|segment| segment.length).sum::<Length>() + slack;
    if let Some(last) = segments.last_mut() {
        last.length += slack;
    }
    let wet = |segment: &job::Segment| {
        segment.wet.unwrap_or(matches!(
            segment.space,
            Space::Outdoors | Space::Buried | Space::Slab
        ))
    };
    Ok(Run {
        segments,
        length,
        slack,
        wet: route.segments.iter().any(wet),
        buried: route
            .segments
            .iter()
            .any(|segment| matches!(segment.space, Space::Buried | Space::Slab)),
        raceway: route.segments.iter().find_map(|segment| segment.raceway),
        places: route
            .segments
            .iter()
            .map(|segment| {
                wiring_place(
                    space_word(segment.space),
                    segment.space,
                    segment.wet,
                    segment.raceway.is_some(),
                )
            })
            .collect(),
        surveyed: true,
    })
}

/// A space as the keys of the defaults write it.
pub(crate) fn space_key(space: Space) -> &'static str {
    match space {
        Space::Indoors => "indoors",
        Space::Basement => "basement",
        Space::Crawlspace => "crawlspace",
        Space::Attic => "attic",
        Space::Garage => "garage",
        Space::OutsideWall => "outside-wall",
        Space::Outdoors => "outdoors",
        Space::Buried => "buried",
        Space::Slab => "slab",
    }
}

/// A space in words.
pub(crate) fn space_word(space: Space) -> &'static str {
    match space {
        Space::OutsideWall => "outside wall",
        Space::Buried => "in the ground",
        Space::Slab => "in the slab",
        other => space_key(other),
    }
}
