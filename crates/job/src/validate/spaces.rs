//! Spaces of a panel and what sits in them.
//!
//! A space holds one full-size pole, or two half-size poles where the panel's listing allows that.

use super::limits::{BREAKER, FREE_SPACES, POLES, Plain, SPACES};
use super::names::quoted;
use super::{Problems, names};
use crate::{Breaker, Panel};
use std::collections::BTreeMap;
use trace::RecordPath;

pub(super) fn check(at: &RecordPath, panel: &Panel, problems: &mut Problems) {
    let subject = format!("panel `{}`", quoted(&panel.id));
    problems.limit(at, "spaces", &subject, panel.spaces.map(Plain), &SPACES);
    problems.limit(
        at,
        "free_spaces",
        &subject,
        panel.free_spaces.map(Plain),
        &FREE_SPACES,
    );
    for (index, breaker) in panel.breakers.iter().enumerate() {
        one_breaker(&at.field("breakers").item(index), breaker, panel, problems);
    }
    for (index, space) in panel.half_size_spaces.iter().enumerate() {
        if *space == 0 || panel.spaces.is_some_and(|spaces| *space > spaces) {
            problems.add(
                at.field("half_size_spaces").item(index),
                format!("{subject} takes half-size breakers in space `{space}`, which it does not have"),
                "read the panel's label again".into(),
            );
        }
    }
    shared(at, panel, &subject, problems);
    count(at, panel, &subject, problems);
}

fn one_breaker(at: &RecordPath, breaker: &Breaker, panel: &Panel, problems: &mut Problems) {
    names::line(
        &at.field("label"),
        "the label of a breaker",
        &breaker.label,
        problems,
    );
    let subject = format!("breaker `{}`", quoted(&breaker.label));
    problems.limit(at, "rating", &subject, breaker.rating, &BREAKER);
    problems.limit(at, "poles", &subject, Plain(u16::from(breaker.poles)), &POLES);
    let sits = at.field("at");
    if !breaker.at.is_empty() && breaker.at.len() != usize::from(breaker.poles) {
        problems.add(
            sits.clone(),
            format!(
                "{subject} has {} poles but sits in {} spaces",
                breaker.poles,
                breaker.at.len()
            ),
            "give one space for each pole, or leave out `at`".into(),
        );
    }
    for (index, space) in breaker.at.iter().enumerate() {
        if *space == 0 || panel.spaces.is_some_and(|spaces| *space > spaces) {
            let there = panel
                .spaces
                .map_or("from 1 up".to_owned(), |spaces| format!("1 to {spaces}"));
            problems.add(
                sits.item(index),
                format!("{subject} sits in space `{space}`, but the panel's spaces are numbered {there}"),
                "read the number beside the breaker, or correct `spaces`".into(),
            );
        }
    }
}

/// Whether two poles may share a space.
fn halves(panel: &Panel) -> bool {
    panel.half_size_allowed == Some(true)
}

/// No two breakers in one space, unless both are half size.
fn shared(at: &RecordPath, panel: &Panel, subject: &str, problems: &mut Problems) {
    let most = if halves(panel) { 2 } else { 1 };
    let mut held: BTreeMap<u16, Vec<&Breaker>> = BTreeMap::new();
    for (index, breaker) in panel.breakers.iter().enumerate() {
        for (place, space) in breaker.at.iter().enumerate() {
            let holders = held.entry(*space).or_default();
            if holders.len() >= most {
                let before: Vec<String> = holders
                    .iter()
                    .map(|holder| format!("`{}`", quoted(&holder.label)))
                    .collect();
                let fix = if halves(panel) {
                    "a space holds two half-size breakers at most; read the numbers again"
                } else {
                    "read the numbers again; set `half_size_allowed = true` if these are half-size breakers"
                };
                problems.add(
                    at.field("breakers").item(index).field("at").item(place),
                    format!(
                        "space `{space}` of {subject} holds {} already, and now `{}`",
                        before.join(" and "),
                        quoted(&breaker.label)
                    ),
                    fix.into(),
                );
            } else {
                holders.push(breaker);
            }
        }
    }
}

/// What the breakers need, what the panel has and what is said to be free must agree.
fn count(at: &RecordPath, panel: &Panel, subject: &str, problems: &mut Problems) {
    let Some(spaces) = panel.spaces.map(usize::from) else {
        return;
    };
    let poles: usize = panel
        .breakers
        .iter()
        .map(|breaker| usize::from(breaker.poles))
        .sum();
    let used_least = if halves(panel) { poles.div_ceil(2) } else { poles };
    if used_least > spaces {
        let each = if halves(panel) { ", two to a space" } else { "" };
        problems.add(
            at.field("breakers"),
            format!("the breakers of {subject} have {poles} poles{each}, but it has {spaces} spaces"),
            "count the spaces on the panel's label again; set `half_size_allowed = true` if breakers are half size".into(),
        );
        return;
    }
    let Some(free) = panel.free_spaces.map(usize::from) else {
        return;
    };
    if free > spaces {
        problems.add(
            at.field("free_spaces"),
            format!("{subject} has `{free}` free spaces of {spaces} in all"),
            "count again".into(),
        );
    } else if poles > 0 && !(spaces - poles.min(spaces)..=spaces - used_least).contains(&free) {
        problems.add(
            at.field("free_spaces"),
            format!(
                "{subject} has `{free}` free spaces, but its {spaces} spaces and the breakers listed leave {}",
                spaces - used_least
            ),
            "leave out `free_spaces` when every breaker is listed, or list no breakers".into(),
        );
    }
}
