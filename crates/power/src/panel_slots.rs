//! A panel slot by slot: which breakers sit where, on which leg, and the fewest moves that make room for new ones.
//!
//! In: spaces, breakers with their places, where half-size breakers are allowed, what is to be added. Out: where the new
//! breakers go, which standing ones must move and where to, the rating on each leg before and after, directory lines.
//! Start at [`place_breakers`]. For panels of which only a count is known see [`crate::panel`].
//!
//! Knows no loads and no brands: whether a breaker may be used in a panel is for the panel's listing.

mod search;

use crate::PowerError;
use quantity::Current;
use std::collections::BTreeSet;

/// A panel with its breakers in place.
#[derive(Debug, Clone, PartialEq)]
pub struct SlotPanel {
    /// Full-size spaces, numbered from 1: odd numbers down one side, even numbers down the other.
    pub spaces: u16,
    /// Legs that alternate down each side: 2 or 3, or 1 where every space is on the same line.
    pub legs: u8,
    /// Spaces that take half-size breakers.
    pub half_size: BTreeSet<u16>,
    /// What sits in it.
    pub breakers: Vec<SlotBreaker>,
}

/// A breaker in its place.
#[derive(Debug, Clone, PartialEq)]
pub struct SlotBreaker {
    /// What it feeds.
    pub label: String,
    /// Rating.
    pub rating: Current,
    /// Spaces it sits in, one for each pole, from the top.
    pub at: Vec<u16>,
    /// It may be moved; not so where its circuit shares a neutral, or where it feeds the panel.
    pub movable: bool,
}

/// A breaker to be added.
#[derive(Debug, Clone, PartialEq)]
pub struct NewBreaker {
    /// What it feeds.
    pub label: String,
    /// Rating.
    pub rating: Current,
    /// Poles: 1, 2 or 3.
    pub poles: u8,
}

/// A breaker and where it goes.
#[derive(Debug, Clone, PartialEq)]
pub struct Placed {
    /// What it feeds.
    pub label: String,
    /// Rating.
    pub rating: Current,
    /// Its spaces, from the top.
    pub at: Vec<u16>,
    /// It shares its space with another half-size breaker.
    pub half_size: bool,
}

/// A standing breaker that moves.
#[derive(Debug, Clone, PartialEq)]
pub struct Move {
    /// What it feeds.
    pub label: String,
    /// Where it sits now.
    pub from: Vec<u16>,
    /// Where it goes.
    pub to: Vec<u16>,
    /// It becomes one of two half-size breakers in that space.
    pub half_size: bool,
    /// It comes to another leg.
    pub changes_leg: bool,
}

/// Room for new breakers.
#[derive(Debug, Clone, PartialEq)]
pub struct Placement {
    /// The new breakers, in the order asked for.
    pub added: Vec<Placed>,
    /// What must move, fewest possible.
    pub moves: Vec<Move>,
    /// Sum of breaker ratings on each leg before, first leg first.
    pub legs_before: Vec<Current>,
    /// The same after.
    pub legs_after: Vec<Current>,
    /// Every space with what sits in it after the work, in the order of the panel.
    pub directory: Vec<DirectoryLine>,
}

/// A line of the panel's directory.
#[derive(Debug, Clone, PartialEq)]
pub struct DirectoryLine {
    /// Its spaces.
    pub spaces: Vec<u16>,
    /// What it feeds; none for a spare.
    pub label: Option<String>,
    /// Rating; none for a spare.
    pub rating: Option<Current>,
    /// It is new.
    pub new: bool,
}

/// Why there is no room.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoRoom {
    /// There are fewer free poles than needed, whatever moves.
    TooFewSpaces {
        /// Poles needed.
        needed: usize,
        /// Poles free, half-size ones counted.
        free: usize,
    },
    /// No arrangement was found with so many moves or fewer.
    TooManyMoves {
        /// Moves tried.
        tried: usize,
    },
}

impl SlotPanel {
    /// The leg of a space, counted from 0: legs alternate row by row.
    pub fn leg(&self, space: u16) -> usize {
        usize::from((space.saturating_sub(1) / 2) % u16::from(self.legs.max(1)))
    }

    /// Sum of breaker ratings on each leg.
    fn leg_ratings<'b>(&self, breakers: impl Iterator<Item = (&'b [u16], Current)>) -> Vec<Current> {
        let mut legs = vec![Current::zero(); usize::from(self.legs)];
        for (at, rating) in breakers {
            for space in at {
                legs[self.leg(*space)] += rating;
            }
        }
        legs
    }
}

/// Places new breakers with the fewest moves of standing ones.
///
/// Sets of 0, 1, 2, … standing breakers are lifted in turn; the first size with an arrangement is the fewest. Among
/// arrangements of that size the one whose legs differ least is taken, then the one with the fewest half-size breakers.
///
/// # Symbols
/// | here    | meaning                                       | unit |
/// |---------|-----------------------------------------------|------|
/// | `panel` | spaces, legs, half-size spaces, breakers      | –    |
/// | `added` | breakers to be added                          | –    |
/// | result  | places, moves, legs, directory; or why not    | –    |
///
/// # Valid
/// 1 to 84 spaces, 1 to 3 legs, up to 12 new breakers of 1 to 3 poles; up to 4 moves are tried.
/// # Outside
/// [`PowerError::Panel`] for a panel that does not add up.
/// # Assumes
/// Spaces numbered across, odd on one side and even on the other; a breaker of several poles takes spaces one below the
/// other, so that its poles lie on different legs; breakers of several poles are full size; two half-size breakers share
/// one space and one leg; moved wires reach.
/// # Source
/// Common practice, no source. That a set of runs holds as many pairs as its halves rounded down: arithmetic.
/// # Example
/// ```
/// use power::panel_slots::{NewBreaker, SlotBreaker, SlotPanel, place_breakers};
/// use quantity::Current;
/// let single = |label: &str, space| SlotBreaker {
///     label: label.into(), rating: Current::from_amperes(20.0), at: vec![space], movable: true,
/// };
/// // Free are 2 and 5: on opposite sides. Moving the lamp at 3 to 2 frees the pair 3, 5.
/// let panel = SlotPanel {
///     spaces: 6, legs: 2, half_size: [].into(),
///     breakers: vec![single("kitchen", 1), single("lamps", 3), single("bath", 4), single("pump", 6)],
/// };
/// let heater = NewBreaker { label: "heater".into(), rating: Current::from_amperes(40.0), poles: 2 };
/// let found = place_breakers(&panel, &[heater])?.unwrap();
/// assert_eq!(found.moves.len(), 1);
/// assert_eq!((found.moves[0].label.as_str(), found.moves[0].to.as_slice()), ("lamps", &[2_u16][..]));
/// assert_eq!(found.added[0].at, [3, 5]);
/// # Ok::<(), power::PowerError>(())
/// ```
pub fn place_breakers(
    panel: &SlotPanel,
    added: &[NewBreaker],
) -> Result<Result<Placement, NoRoom>, PowerError> {
    check(panel, added)?;
    let found = match search::fewest_moves(panel, added) {
        Ok(found) => found,
        Err(none) => return Ok(Err(none)),
    };
    let before = panel.leg_ratings(
        panel
            .breakers
            .iter()
            .map(|breaker| (&breaker.at[..], breaker.rating)),
    );
    let moved = |index: usize| found.lifted.iter().position(|lifted| *lifted == index);
    let mut moves = Vec::new();
    let mut standing: Vec<Placed> = Vec::new();
    for (index, breaker) in panel.breakers.iter().enumerate() {
        let (at, half_size) = match moved(index) {
            Some(order) => found.lifted_to[order].clone(),
            None => (breaker.at.clone(), false),
        };
        if let Some(order) = moved(index) {
            let legs = |spaces: &[u16]| -> BTreeSet<usize> {
                spaces.iter().map(|space| panel.leg(*space)).collect()
            };
            moves.push(Move {
                label: breaker.label.clone(),
                from: breaker.at.clone(),
                changes_leg: legs(&breaker.at) != legs(&found.lifted_to[order].0),
                to: at.clone(),
                half_size,
            });
        }
        standing.push(Placed {
            label: breaker.label.clone(),
            rating: breaker.rating,
            at,
            half_size,
        });
    }
    let placed: Vec<Placed> = added
        .iter()
        .zip(&found.added_to)
        .map(|(new, (at, half_size))| Placed {
            label: new.label.clone(),
            rating: new.rating,
            at: at.clone(),
            half_size: *half_size,
        })
        .collect();
    let everything = standing.iter().chain(&placed);
    let after = panel.leg_ratings(everything.map(|breaker| (&breaker.at[..], breaker.rating)));
    Ok(Ok(Placement {
        directory: directory(panel, &standing, &placed),
        added: placed,
        moves,
        legs_before: before,
        legs_after: after,
    }))
}

/// More spaces than any panel of a house has.
const SPACES_MAX: u16 = 84;
/// More new breakers than any heater asks for.
const ADDED_MAX: usize = 12;

fn check(panel: &SlotPanel, added: &[NewBreaker]) -> Result<(), PowerError> {
    let refuse = |problem: String| Err(PowerError::Panel { problem });
    if !(1..=SPACES_MAX).contains(&panel.spaces) {
        return refuse(format!(
            "`{}` spaces; 1 to {SPACES_MAX} can be laid out",
            panel.spaces
        ));
    }
    if !(1..=3).contains(&panel.legs) {
        return refuse(format!("`{}` legs; a panel has 1 to 3", panel.legs));
    }
    if added.len() > ADDED_MAX {
        return refuse(format!(
            "`{}` new breakers; at most {ADDED_MAX} can be laid out",
            added.len()
        ));
    }
    for new in added {
        if !(1..=3).contains(&new.poles) {
            return refuse(format!(
                "breaker `{}` with `{}` poles; 1 to 3 are made",
                new.label, new.poles
            ));
        }
    }
    let mut held = vec![0_u8; usize::from(panel.spaces) + 1];
    for breaker in &panel.breakers {
        if breaker.at.is_empty() {
            return refuse(format!("breaker `{}` has no place", breaker.label));
        }
        for space in &breaker.at {
            if !(1..=panel.spaces).contains(space) {
                return refuse(format!(
                    "breaker `{}` sits in space `{space}` of `{}`",
                    breaker.label, panel.spaces
                ));
            }
            let held = &mut held[usize::from(*space)];
            *held += 1;
            if *held > 2 {
                return refuse(format!("space `{space}` holds more than two breakers"));
            }
        }
    }
    Ok(())
}

fn directory(panel: &SlotPanel, standing: &[Placed], placed: &[Placed]) -> Vec<DirectoryLine> {
    let line = |breaker: &Placed, new| DirectoryLine {
        spaces: breaker.at.clone(),
        label: Some(breaker.label.clone()),
        rating: Some(breaker.rating),
        new,
    };
    let mut lines: Vec<DirectoryLine> = standing
        .iter()
        .map(|breaker| line(breaker, false))
        .chain(placed.iter().map(|breaker| line(breaker, true)))
        .collect();
    let taken: BTreeSet<u16> = lines
        .iter()
        .flat_map(|line| line.spaces.iter().copied())
        .collect();
    lines.extend(
        (1..=panel.spaces)
            .filter(|space| !taken.contains(space))
            .map(|space| DirectoryLine {
                spaces: vec![space],
                label: None,
                rating: None,
                new: false,
            }),
    );
    lines.sort_by(|a, b| a.spaces.cmp(&b.spaces));
    lines
}

#[cfg(test)]
mod tests;
