//! Every word and sentence that the report adds to an assessment, by language.
//!
//! In: a [`Language`]. Out: [`Phrases`]. Sentences have holes such as `{flow}`, which [`fill`] fills; so that a language
//! may put them in any order. No phrase holds a figure, and none says that anything may be used or energized.

mod english;

use crate::document::Text;
use crate::words::Language;

/// The phrases of a language.
///
/// Only English is written so far; another language is one more file beside it.
pub(super) fn of(language: Language) -> &'static Phrases {
    match language {
        Language::English | Language::Spanish => &english::PHRASES,
    }
}

/// A sentence with its holes filled. A hole is a name in braces; what fills it is never read for holes again.
pub(super) fn fill(sentence: &str, values: &[(&str, Text)]) -> Text {
    let mut text = Text::new();
    let mut rest = sentence;
    while let Some((before, name, after)) = hole(rest) {
        text = text.plain(before);
        text = match values.iter().find(|(wanted, _)| *wanted == name) {
            Some((_, value)) => text.append(value),
            None => text.plain(format!("{{{name}}}")),
        };
        rest = after;
    }
    text.plain(rest)
}

fn hole(sentence: &str) -> Option<(&str, &str, &str)> {
    let (before, tail) = sentence.split_once('{')?;
    let (name, after) = tail.split_once('}')?;
    Some((before, name, after))
}

/// What is left out of the report, and what the record lacks for it.
pub(super) struct Gap {
    /// What is left out.
    pub(super) what: &'static str,
    /// What the record lacks; names of its fields stand between backticks.
    pub(super) lacking: &'static str,
}

/// Declares groups of phrases: a struct each, whose fields are its phrases.
macro_rules! groups {
    ($( $(#[$doc:meta])* $group:ident { $( $phrase:ident $(: $kind:ty)? ),+ $(,)? } )+) => { $(
        $(#[$doc])*
        pub(super) struct $group { $( pub(super) $phrase: groups!(@kind $($kind)?) ),+ }
    )+ };
    (@kind) => { &'static str };
    (@kind $kind:ty) => { $kind };
}

groups! {
    /// All phrases.
    Phrases {
        title, subtitle, left_out, unknown, yes, no, all_year, no_month,
        months: [&'static str; 12],
        months_short: [&'static str; 12],
        head: HeadPhrases,
        verdict: VerdictPhrases,
        findings: FindingPhrases,
        heating: HeatingPhrases,
        situations: SituationPhrases,
        fixtures: FixturePhrases,
        activation: ActivationPhrases,
        tubs: TubPhrases,
        waits: WaitPhrases,
        standing_water: StandingWaterPhrases,
        pressure: PressurePhrases,
        circuits: CircuitPhrases,
        wiring: WiringPhrases,
        panels: PanelPhrases,
        placement: PlacementPhrases,
        service: ServicePhrases,
        detail: DetailPhrases,
        modes: ModePhrases,
        assumptions: AssumptionPhrases,
        limits: LimitPhrases,
    }
    /// Facts of the head.
    HeadPhrases { customer, address, place, program }
    /// The verdict.
    VerdictPhrases { nothing_checked, only_notes, all_met, findings, measure_first, measure_why }
    /// The findings.
    FindingPhrases { heading, none, unknown_lead, rule, missing, find_out, result }
    /// Power and flows of the heaters.
    HeatingPhrases {
        heading, power, heater, what, state, set_point, on_label, really_gets, share, stays, new, goes, on_demand, tank,
        why_less, why_circuit, year, incoming, incoming_basis, coldest, warmest, mark_coldest, mark_warmest, in_month, lifts,
        shower_flow, month,
        no_heater: Gap,
        no_months: Gap,
    }
    /// Fixtures that run together.
    SituationPhrases {
        heading, lead, together, flow, needs, has, holds, people_get, flow_share, months, who, in_warmest, explain,
        none: Gap,
    }
    /// Fixtures alone.
    FixturePhrases { heading, fixture, flow, wanted, hot_share, takes, gets, sustainable, none: Gap }
    /// The flow a heater starts at.
    ActivationPhrases { heading, lead, fixture, heater, sees, starts_at, to_spare, too_little, no_flow: Gap }
    /// Tubs.
    TubPhrases { heading, throttle, wide_open, no_volume: Gap }
    /// Waits.
    WaitPhrases {
        heading, lead, fixture, wait_today, wait_after, change, wasted_today, wasted_after, shorter, longer, same,
        divides, unreached, ways, heater, length, holds, pipes, today, after,
        no_piping: Gap,
        no_today: Gap,
    }
    /// Water that stood.
    StandingWaterPhrases {
        fixture, slugs, begins, lasts, volume, coldest, places, as_planned, at_todays_heater, beside, dead_legs, dead_leg,
        cut_off,
    }
    /// Pressure, flow and velocity.
    PressurePhrases {
        heading, lead, fixture, rated_flow, flow, lost, left, velocity, fastest, together, together_lead, part,
        temperature, remark, aim, none_warm, cooler, situation, none: Gap
    }
    /// Circuits.
    CircuitPhrases {
        heading, breakers, circuit, serves, elements_of, from, state, stands, new, load, must_carry, breaker, breaker_min,
        conductors, cable, copper, aluminum, hot, neutral, no_neutral, ground, ampacity, conductor_min,
        conductor_for_drop, no_size, chosen_here, continuous, not_continuous, delivery, length, at_panel, lost,
        drop_target, at_elements, runs_at, delivered, ampacity_working, longest, longest_for, conductor, one_way,
        carries, too_small,
        none: Gap,
    }
    /// Wiring of circuits.
    WiringPhrases {
        heading, circuit, between, warmth, raceway, no_raceway, fault, types, costs_more, no_price, metric, metric_note,
        design, breaker, conductor, for_drop, no_size, protective, ampacity, drop,
    }
    /// Placement of breakers.
    PlacementPhrases {
        heading, no_room, moves, moves_half, changes_leg, goes, legs, directory, space, feeds,
    }
    /// Beside the service load.
    DetailPhrases {
        counted, profile, heater_counts, method, current, margin, credit, alternatives, alternatives_note, instead, loads,
        fits, over, in_coldest, at_once, rating, conductors, felt, switches, neighbors, panel, lamp, severity, rate, felt_note,
        utility, utility_lead, together, load, of_rating, oil, hot_spot, aging, sag,
    }
    /// Panels.
    PanelPhrases {
        heading, panel, fed_from, service, rating, spaces, free, pairs, freed, needed, left, explain,
        none: Gap,
        no_spaces: Gap,
        no_pairs: Gap,
    }
    /// The service.
    ServicePhrases {
        heading, system, rating, split_phase, two_legs, single_230, three_phase, voltage_step, voltage_step_is, fault_current,
        fault_current_is, methods,
        method_name, counts, connected, factor, counted, in_subtotal, total, below, over, compared, method, current, margin, coincident, coincident_lead, who_decides,
        none: Gap,
        no_method: Gap,
        no_step: Gap,
        no_fault: Gap,
    }
    /// Source modes.
    ModePhrases {
        heading, unnamed, valve, purpose, position, open, closed, energized, nothing, feeds, feed, and, no_hot, order,
        none: Gap,
    }
    /// Assumptions.
    AssumptionPhrases { heading, none, lead, assumed, why, find_out, high, medium, low }
    /// Cautions and limits.
    LimitPhrases { heading, before_work, not_said, limits: [&'static str; 7] }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn holes_are_filled_once_and_in_any_order() {
        let text = fill(
            "{b} after {a}",
            &[("a", Text::from("{b}")), ("b", Text::new().code("W1"))],
        );
        assert_eq!(text.to_string(), "W1 after {b}");
        assert_eq!(fill("{a", &[("a", Text::from("x"))]).to_string(), "{a");
        assert_eq!(fill("{c}", &[("a", Text::from("x"))]).to_string(), "{c}");
    }
}
