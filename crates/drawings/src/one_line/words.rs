//! The words of the one-line diagram: breakers, conductors, panels and loads as short lines of text.
//!
//! In: the parts of a [`OneLine`](super::OneLine). Out: lines that the sheet and the terminal tree share, so that both
//! say the same. A part that is not known is left out; where a reader would miss it, it is called not recorded.

use super::{Branch, Breaker, Element, Feeds, Metal, Panel, Status, Supply, Tank, Wiring};
use crate::lettering::clean;
use quantity::UnitSystem;

impl Status {
    /// The word drawn beside the thing.
    pub fn word(self) -> &'static str {
        match self {
            Self::Existing => "EXISTING",
            Self::New => "NEW",
            Self::Removed => "REMOVE",
        }
    }
}

impl Metal {
    /// The word drawn.
    pub fn word(self) -> &'static str {
        match self {
            Self::Copper => "copper",
            Self::Aluminum => "aluminum",
        }
    }
}

/// "2P 60 A".
pub(crate) fn breaker_rating(breaker: &Breaker) -> String {
    match breaker.rating {
        Some(rating) if rating.is_finite() => format!("{}P {}", breaker.poles, rating.show_in("A")),
        _ => format!("{}P, rating not read", breaker.poles),
    }
}

/// What else is known about a breaker, one fact a line.
pub(crate) fn breaker_details(breaker: &Breaker) -> Vec<String> {
    let mut lines = Vec::new();
    lines.extend(given(&breaker.kind));
    lines.extend(given(&breaker.spaces).map(|spaces| {
        let several = spaces.contains([',', '–', '-']);
        format!("{} {spaces}", if several { "spaces" } else { "space" })
    }));
    lines.extend(
        breaker
            .interrupting
            .map(|current| current.show_in("kA").to_string()),
    );
    lines
}

/// Conductors in words: what they are, then length and drop.
pub(crate) fn wiring(wiring: &Wiring, units: UnitSystem) -> Vec<String> {
    let mut parts = vec![match (wiring.size, wiring.metal) {
        (Some(size), Some(metal)) => format!("{} × {size} {}", wiring.hot_conductors, metal.word()),
        (Some(size), None) => format!("{} × {size}", wiring.hot_conductors),
        (None, Some(metal)) => format!("{} × {}, size not recorded", wiring.hot_conductors, metal.word()),
        (None, None) => "conductors not recorded".to_owned(),
    }];
    parts.extend(wiring.neutral.map(|size| format!("neutral {size}")));
    parts.extend(wiring.ground.map(|size| format!("ground {size}")));
    parts.extend(given(&wiring.method));
    let mut run = Vec::new();
    run.extend(wiring.length.map(|length| length.show(units).to_string()));
    run.extend(wiring.drop.map(|drop| {
        format!(
            "voltage drop {} ({} %)",
            drop.volts.show_in("V"),
            quantity::number(drop.share.as_percent(), 2, 2)
        )
    }));
    let mut lines = vec![parts.join(", ")];
    if !run.is_empty() {
        lines.push(run.join(", "));
    }
    lines
}

/// "WH-1 · NEW · heater element 1".
pub(crate) fn branch_heading(branch: &Branch) -> String {
    let tag = given(&branch.tag);
    let name = given(&branch.name);
    let parts = [tag, Some(branch.status.word().to_owned()), name];
    parts.into_iter().flatten().collect::<Vec<_>>().join(" · ")
}

/// Everything written along the conductors of a branch, below its line.
pub(crate) fn branch_details(branch: &Branch, units: UnitSystem) -> Vec<String> {
    let mut lines = match &branch.wiring {
        Some(conductors) => {
            let mut lines = wiring(conductors, units);
            // A new breaker on old wire, or new wire on an old breaker, must not be mistaken for one or the other.
            if conductors.status != branch.status {
                lines[0] = format!("{}: {}", conductors.status.word(), lines[0]);
            }
            lines
        }
        // Nobody misses the conductors of a circuit that stays and is no part of the job.
        None if branch.status == Status::Existing && matches!(branch.feeds, Feeds::Other(_)) => Vec::new(),
        None => vec!["conductors not recorded".to_owned()],
    };
    lines.extend(
        branch
            .disconnect
            .as_deref()
            .and_then(given)
            .map(|disconnect| format!("disconnect: {disconnect}")),
    );
    lines
}

/// A panel's name with its place and status, then its ratings.
pub(crate) fn panel(panel: &Panel) -> (String, Vec<String>) {
    let name = given(&panel.name).unwrap_or_else(|| "panel without a name".to_owned());
    let heading = [
        Some(name),
        Some(panel.status.word().to_owned()),
        given(&panel.place),
    ];
    let heading = heading.into_iter().flatten().collect::<Vec<_>>().join(" · ");
    let bus = match panel.bus {
        Some(rating) => format!("bus {}", rating.show_in("A")),
        None => "bus rating not recorded".to_owned(),
    };
    let main = match &panel.main_breaker {
        Some(breaker) => {
            let mut words = vec![format!("main breaker {}", breaker_rating(breaker))];
            words.extend(breaker_details(breaker));
            words.join(", ")
        }
        None => "main lugs only".to_owned(),
    };
    let mut lines = vec![format!("{bus}; {main}")];
    let mut found = Vec::new();
    found.extend(
        panel
            .fault_current
            .map(|current| format!("available fault current {}", current.show_in("kA"))),
    );
    found.extend(
        panel
            .voltage
            .map(|voltage| format!("{} with the heater on", voltage.show_in("V"))),
    );
    if !found.is_empty() {
        lines.push(found.join("; "));
    }
    lines.extend(given(&panel.grounding));
    (heading, lines)
}

/// The transformer's heading and ratings.
pub(crate) fn transformer(supply: &Supply) -> (String, Vec<String>) {
    let rating = match supply.transformer {
        Some(rating) => rating.show_in("kVA").to_string(),
        None => "rating not recorded".to_owned(),
    };
    let mut parts = vec![rating];
    parts.extend(given(&supply.system));
    (
        format!("Utility transformer · {}", supply.transformer_status.word()),
        vec![parts.join(", ")],
    )
}

/// The meter's heading and words.
pub(crate) fn meter(supply: &Supply) -> (String, Vec<String>) {
    (
        format!("Meter · {}", supply.meter_status.word()),
        given(&supply.meter).into_iter().collect(),
    )
}

/// Heading and words for a stretch of the supply.
pub(crate) fn supply_wiring(
    name: &str,
    conductors: Option<&Wiring>,
    units: UnitSystem,
) -> (String, Vec<String>) {
    match conductors {
        Some(conductors) => (
            format!("{name} · {}", conductors.status.word()),
            wiring(conductors, units),
        ),
        None => (name.to_owned(), vec!["conductors not recorded".to_owned()]),
    }
}

/// What stands at the end of a branch: a heading, if it has one of its own, and facts.
pub(crate) fn load(branch: &Branch, units: UnitSystem) -> (Option<String>, Vec<String>) {
    match &branch.feeds {
        Feeds::Element(element) => (None, element_lines(element)),
        Feeds::Tank(tank) => tank_lines(tank, units),
        // The same words twice in one row would only be noise.
        Feeds::Other(what) => (
            None,
            given(what)
                .filter(|what| *what != clean(&branch.name))
                .into_iter()
                .collect(),
        ),
        Feeds::Panel(_) => (None, Vec::new()),
    }
}

fn element_lines(element: &Element) -> Vec<String> {
    let mut lines: Vec<String> = given(&element.name).into_iter().collect();
    lines.push(format!(
        "rated {} at {}",
        element.rated.show_in("kW"),
        element.rated_at.show_in("V")
    ));
    if let Some(delivered) = element.delivered {
        lines.push(format!(
            "delivers {} at {}",
            delivered.power.show_in("kW"),
            delivered.voltage.show_in("V")
        ));
        lines.push(format!("draws {}", delivered.current.show_in("A")));
    }
    lines
}

fn tank_lines(tank: &Tank, units: UnitSystem) -> (Option<String>, Vec<String>) {
    let name = given(&tank.name).unwrap_or_else(|| "storage tank".to_owned());
    let mut facts = Vec::new();
    facts.extend(tank.volume.map(|volume| volume.show(units).to_string()));
    match (tank.rated, tank.rated_at) {
        (Some(power), Some(voltage)) => {
            facts.push(format!("{} at {}", power.show_in("kW"), voltage.show_in("V")));
        }
        (Some(power), None) => facts.push(power.show_in("kW").to_string()),
        (None, _) => facts.push("rating not recorded".to_owned()),
    }
    (Some(name), vec![facts.join(", ")])
}

/// The text without what must not be drawn; `None` when nothing is left.
pub(crate) fn given(text: &str) -> Option<String> {
    let text = clean(text);
    (!text.is_empty()).then_some(text)
}
