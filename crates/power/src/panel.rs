//! Panel spaces: whether a set of double-pole breakers finds room.
//!
//! In: how many spaces a panel has and which are taken, by count or by position; how many double-pole breakers are
//! wanted. Out: free spaces, the pairs that take them, and whether they fit. Start at [`fit_double_poles`].
//!
//! Full-size spaces only: whether half-size breakers are allowed is for the panel's listing. Knows no load.

use crate::PowerError;
use quantity::Current;
use std::collections::BTreeSet;

/// What is known of a panel's spaces.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Spaces {
    /// Only how many.
    Counted {
        /// Full-size spaces in all.
        total: u16,
        /// Taken.
        occupied: u16,
    },
    /// Which ones: numbered from 1, odd numbers down one side, even numbers down the other.
    Mapped {
        /// Full-size spaces in all.
        total: u16,
        /// Numbers of the taken ones.
        occupied: BTreeSet<u16>,
    },
}

/// A panel.
#[derive(Debug, Clone, PartialEq)]
pub struct Panel {
    /// Its spaces.
    pub spaces: Spaces,
    /// What its bars are made for.
    pub bus_rating: Option<Current>,
    /// Its main breaker, where it has one.
    pub main_breaker: Option<Current>,
}

/// Whether the breakers find room.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fit {
    /// Yes, in the pairs listed.
    Fits,
    /// There are enough free spaces, but where they lie is not known.
    EnoughSpaces,
    /// There are enough free spaces, but too few lie one below the other.
    NoAdjacentPairs,
    /// There are too few free spaces.
    TooFewSpaces,
}

/// Room for double-pole breakers in a panel.
#[derive(Debug, Clone, PartialEq)]
pub struct PanelFit {
    /// Spaces in all.
    pub total: u16,
    /// Taken.
    pub occupied: u16,
    /// Free.
    pub free: u16,
    /// Spaces the breakers need.
    pub needed: u16,
    /// Pairs that the breakers would take, or all there are when too few; empty without a map.
    pub pairs: Vec<(u16, u16)>,
    /// The answer.
    pub fit: Fit,
    /// What its bars are made for.
    pub bus_rating: Option<Current>,
    /// Its main breaker.
    pub main_breaker: Option<Current>,
}

/// Room for `n_double_pole` breakers.
///
/// A double-pole breaker takes two spaces one below the other, k and k + 2.
///
/// # Symbols
/// | here            | meaning                | unit |
/// |-----------------|------------------------|------|
/// | `panel`         | its spaces             | –    |
/// | `n_double_pole` | breakers wanted        | –    |
/// | result          | free spaces, pairs, answer | – |
///
/// # Valid
/// 1 to 200 spaces.
/// # Outside
/// [`PowerError::Panel`] when more is taken than there is.
/// # Assumes
/// Full-size breakers; spaces numbered across, odd on one side and even on the other; the two lines alternate down
/// each side, so that a pair k, k + 2 lies on both.
/// # Source
/// Common practice, no source.
/// # Example
/// ```
/// use power::panel::{Fit, Panel, Spaces, fit_double_poles};
/// let panel = Panel {
///     spaces: Spaces::Mapped { total: 8, occupied: [1, 4, 5].into() },
///     bus_rating: None, main_breaker: None,
/// };
/// // Free are 2, 3, 6, 7, 8: only 6 and 8 lie one below the other.
/// let found = fit_double_poles(&panel, 1)?;
/// assert_eq!((found.fit, found.pairs), (Fit::Fits, vec![(6, 8)]));
/// assert_eq!(fit_double_poles(&panel, 2)?.fit, Fit::NoAdjacentPairs);
/// # Ok::<(), power::PowerError>(())
/// ```
pub fn fit_double_poles(panel: &Panel, n_double_pole: u16) -> Result<PanelFit, PowerError> {
    let (Spaces::Counted { total, .. } | Spaces::Mapped { total, .. }) = &panel.spaces;
    if !(1..=200).contains(total) {
        return Err(PowerError::Panel {
            problem: format!("`{total}` spaces; a panel has 1 to 200"),
        });
    }
    let (total, occupied, all_pairs) = match &panel.spaces {
        Spaces::Counted { total, occupied } => (*total, *occupied, None),
        Spaces::Mapped { total, occupied } => {
            if let Some(beyond) = occupied.iter().find(|space| !(1..=*total).contains(*space)) {
                return Err(PowerError::Panel {
                    problem: format!("space `{beyond}` is taken, but there are `{total}`"),
                });
            }
            let taken = u16::try_from(occupied.len()).unwrap_or(u16::MAX);
            (*total, taken, Some(adjacent_pairs(*total, occupied)))
        }
    };
    let free = total.checked_sub(occupied).ok_or_else(|| PowerError::Panel {
        problem: format!("`{occupied}` spaces are taken, but there are `{total}`"),
    })?;
    let needed = n_double_pole.saturating_mul(2);
    let wanted = usize::from(n_double_pole);
    let fit = match &all_pairs {
        _ if needed > free => Fit::TooFewSpaces,
        None if n_double_pole > 0 => Fit::EnoughSpaces,
        Some(pairs) if pairs.len() < wanted => Fit::NoAdjacentPairs,
        _ => Fit::Fits,
    };
    let mut pairs = all_pairs.unwrap_or_default();
    pairs.truncate(wanted);
    Ok(PanelFit {
        total,
        occupied,
        free,
        needed,
        pairs,
        fit,
        bus_rating: panel.bus_rating,
        main_breaker: panel.main_breaker,
    })
}

/// As many disjoint pairs of free spaces one below the other as there are, by number.
fn adjacent_pairs(total: u16, occupied: &BTreeSet<u16>) -> Vec<(u16, u16)> {
    let mut pairs = Vec::new();
    for first in [1, 2] {
        // Taking pairs greedily from the top of each side finds as many as possible.
        let mut space = first;
        while space + 2 <= total {
            if !occupied.contains(&space) && !occupied.contains(&(space + 2)) {
                pairs.push((space, space + 2));
                space += 4;
            } else {
                space += 2;
            }
        }
    }
    pairs.sort_unstable();
    pairs
}

#[cfg(test)]
mod tests {
    use super::*;

    fn panel(spaces: Spaces) -> Panel {
        Panel {
            spaces,
            bus_rating: Some(Current::from_amperes(125.0)),
            main_breaker: Some(Current::from_amperes(100.0)),
        }
    }

    #[test]
    fn a_count_says_only_whether_there_is_enough() {
        let counted = panel(Spaces::Counted {
            total: 20,
            occupied: 15,
        });
        let found = fit_double_poles(&counted, 2).unwrap();
        assert_eq!((found.free, found.needed, found.fit), (5, 4, Fit::EnoughSpaces));
        assert_eq!(fit_double_poles(&counted, 3).unwrap().fit, Fit::TooFewSpaces);
        assert_eq!(found.bus_rating, Some(Current::from_amperes(125.0)));
    }

    #[test]
    fn pairs_never_cross_the_sides_and_use_every_run() {
        let empty = panel(Spaces::Mapped {
            total: 12,
            occupied: BTreeSet::new(),
        });
        let found = fit_double_poles(&empty, 6).unwrap();
        assert_eq!(found.fit, Fit::Fits);
        assert_eq!(found.pairs, [(1, 3), (2, 4), (5, 7), (6, 8), (9, 11), (10, 12)]);
        let checkered = panel(Spaces::Mapped {
            total: 8,
            occupied: [1, 4, 5, 8].into(),
        });
        let found = fit_double_poles(&checkered, 1).unwrap();
        assert_eq!(
            (found.free, found.fit, found.pairs),
            (4, Fit::NoAdjacentPairs, vec![])
        );
    }

    #[test]
    fn panels_that_do_not_add_up_are_refused() {
        for spaces in [
            Spaces::Counted {
                total: 10,
                occupied: 11,
            },
            Spaces::Counted {
                total: 0,
                occupied: 0,
            },
            Spaces::Mapped {
                total: 10,
                occupied: [11].into(),
            },
            Spaces::Mapped {
                total: u16::MAX,
                occupied: [0].into(),
            },
        ] {
            assert!(fit_double_poles(&panel(spaces), 1).is_err());
        }
        let huge = panel(Spaces::Counted {
            total: 200,
            occupied: 0,
        });
        assert_eq!(fit_double_poles(&huge, u16::MAX).unwrap().fit, Fit::TooFewSpaces);
    }
}
