//! The search for the fewest moves: lift sets of breakers by size, pack what is loose into what is free.
//!
//! In: a panel that adds up and what is to be added. Out: which breakers were lifted, and where everything loose went.
//! Packing tries every place for breakers of several poles, and every choice of leg for single ones; it is exact.

use super::{NewBreaker, NoRoom, SlotPanel};
use quantity::Current;

/// Spaces of each, and whether it is half size there.
type Places = Vec<(Vec<u16>, bool)>;

/// What was lifted, and where everything loose went: spaces, and whether as a half-size breaker.
#[derive(Debug, Clone)]
pub(super) struct Found {
    pub(super) lifted: Vec<usize>,
    pub(super) lifted_to: Places,
    pub(super) added_to: Places,
}

/// Sets of more breakers than this are not lifted: nobody rewires half a panel for one heater.
pub(super) const MOVES_MAX: usize = 4;
/// Arrangements tried for one set of lifted breakers before the best so far is taken.
const PACKINGS_MAX: usize = 4000;

pub(super) fn fewest_moves(panel: &SlotPanel, added: &[NewBreaker]) -> Result<Found, NoRoom> {
    let needed: usize = added.iter().map(|new| usize::from(new.poles)).sum();
    let capacity: usize = (1..=panel.spaces)
        .map(|space| if panel.half_size.contains(&space) { 2 } else { 1 })
        .sum();
    let standing: usize = panel.breakers.iter().map(|breaker| breaker.at.len()).sum();
    let free = capacity.saturating_sub(standing);
    if needed > free {
        return Err(NoRoom::TooFewSpaces { needed, free });
    }
    let movable: Vec<usize> = (0..panel.breakers.len())
        .filter(|index| panel.breakers[*index].movable)
        .collect();
    for moves in 0..=MOVES_MAX.min(movable.len()) {
        let mut best: Option<(Score, Found)> = None;
        for_each_set(&movable, moves, &mut |lifted| {
            if let Some((score, found)) = pack(panel, added, lifted)
                && best.as_ref().is_none_or(|(known, _)| score < *known)
            {
                best = Some((score, found));
            }
        });
        if let Some((_, found)) = best {
            return Ok(found);
        }
    }
    Err(NoRoom::TooManyMoves { tried: MOVES_MAX })
}

/// Lower is better: difference of legs in whole amperes, half-size breakers, changes of leg, spaces from the top.
type Score = (u64, usize, usize, u64);

/// Calls `each` with every set of `size` of the indexes, in order.
fn for_each_set(from: &[usize], size: usize, each: &mut impl FnMut(&[usize])) {
    fn grow(from: &[usize], size: usize, chosen: &mut Vec<usize>, each: &mut impl FnMut(&[usize])) {
        if chosen.len() == size {
            each(chosen);
            return;
        }
        for (at, index) in from.iter().enumerate() {
            chosen.push(*index);
            grow(&from[at + 1..], size, chosen, each);
            chosen.pop();
        }
    }
    grow(from, size, &mut Vec::with_capacity(size), each);
}

/// How full each space is: 0 free, 1 half, 2 full.
fn occupancy(panel: &SlotPanel, lifted: &[usize]) -> Vec<u8> {
    let mut held = vec![0_u8; usize::from(panel.spaces) + 1];
    // A space that two breakers share now holds half-size ones; one breaker alone fills its space.
    let mut sharing = vec![0_u8; usize::from(panel.spaces) + 1];
    for space in panel.breakers.iter().flat_map(|breaker| &breaker.at) {
        sharing[usize::from(*space)] += 1;
    }
    for (index, breaker) in panel.breakers.iter().enumerate() {
        if lifted.contains(&index) {
            continue;
        }
        for space in &breaker.at {
            let space = usize::from(*space);
            held[space] += if sharing[space] == 2 { 1 } else { 2 };
        }
    }
    held
}

fn poles_free(panel: &SlotPanel, lifted: &[usize]) -> usize {
    let held = occupancy(panel, lifted);
    (1..=panel.spaces)
        .map(|space| {
            let halves = panel.half_size.contains(&space);
            match held[usize::from(space)] {
                0 if halves => 2,
                0 => 1,
                1 if halves => 1,
                _ => 0,
            }
        })
        .sum()
}

/// Something without a place: poles, rating, legs it sat on.
struct Loose {
    poles: u16,
    rating: Current,
    home: Vec<u16>,
}

struct Packing<'p> {
    panel: &'p SlotPanel,
    loose: Vec<Loose>,
    /// Indexes into `loose`, most poles first.
    order: Vec<usize>,
    held: Vec<u8>,
    at: Places,
    tried: usize,
    best: Option<(Score, Places)>,
    standing: Vec<Current>,
}

fn pack(panel: &SlotPanel, added: &[NewBreaker], lifted: &[usize]) -> Option<(Score, Found)> {
    let held = occupancy(panel, lifted);
    let loose: Vec<Loose> = lifted
        .iter()
        .map(|index| {
            let breaker = &panel.breakers[*index];
            Loose {
                poles: u16::try_from(breaker.at.len()).unwrap_or(u16::MAX),
                rating: breaker.rating,
                home: breaker.at.clone(),
            }
        })
        .chain(added.iter().map(|new| Loose {
            poles: u16::from(new.poles),
            rating: new.rating,
            home: Vec::new(),
        }))
        .collect();
    let needed: usize = loose.iter().map(|one| usize::from(one.poles)).sum();
    if needed > poles_free(panel, lifted) || !pairs_suffice(panel, &held, &loose) {
        return None;
    }
    let mut order: Vec<usize> = (0..loose.len()).collect();
    order.sort_by_key(|index| std::cmp::Reverse(loose[*index].poles));
    let standing = panel
        .breakers
        .iter()
        .enumerate()
        .filter(|(index, _)| !lifted.contains(index))
        .map(|(_, breaker)| (&breaker.at[..], breaker.rating));
    let mut packing = Packing {
        panel,
        standing: panel.leg_ratings(standing),
        at: vec![(Vec::new(), false); loose.len()],
        loose,
        order,
        held,
        tried: 0,
        best: None,
    };
    packing.place(0);
    let (score, mut places) = packing.best?;
    let added_to = places.split_off(lifted.len());
    Some((
        score,
        Found {
            lifted: lifted.to_vec(),
            lifted_to: places,
            added_to,
        },
    ))
}

/// A quick look before packing: runs of free spaces on each side hold enough breakers of several poles.
fn pairs_suffice(panel: &SlotPanel, held: &[u8], loose: &[Loose]) -> bool {
    let wanted: u16 = loose
        .iter()
        .filter(|one| one.poles > 1)
        .map(|one| one.poles / 2)
        .sum();
    let mut pairs = 0;
    for first in [1_u16, 2] {
        let mut run = 0;
        let mut space = first;
        while space <= panel.spaces {
            if held[usize::from(space)] == 0 {
                run += 1;
            } else {
                pairs += run / 2;
                run = 0;
            }
            space += 2;
        }
        pairs += run / 2;
    }
    pairs >= wanted
}

impl Packing<'_> {
    fn place(&mut self, next: usize) {
        if self.tried >= PACKINGS_MAX {
            return;
        }
        let Some(&index) = self.order.get(next) else {
            self.tried += 1;
            self.keep();
            return;
        };
        let poles = self.loose[index].poles;
        // Breakers alike are interchangeable: the next one looks only below the one before.
        let begin = self.order[..next]
            .last()
            .filter(|before| self.alike(**before, index))
            .and_then(|before| self.at[*before].0.first().copied())
            .map_or(1, |space| if poles > 1 { space + 1 } else { space });
        for first in begin..=self.panel.spaces {
            let spaces: Vec<u16> = (0..poles).map(|pole| first + 2 * pole).collect();
            if spaces.last().is_none_or(|last| *last > self.panel.spaces) {
                break;
            }
            if poles > 1 {
                if spaces.iter().all(|space| self.held[usize::from(*space)] == 0) {
                    self.with(index, &spaces, false, next);
                }
                continue;
            }
            let held = self.held[usize::from(first)];
            if held == 0 {
                self.with(index, &spaces, false, next);
            }
            if held <= 1 && self.panel.half_size.contains(&first) {
                self.with(index, &spaces, true, next);
            }
        }
    }

    /// Places one, goes on, and takes it back.
    fn with(&mut self, index: usize, spaces: &[u16], half_size: bool, next: usize) {
        let added = if half_size { 1 } else { 2 };
        // A lone half-size breaker would waste its space's other half only while nothing else needs it.
        for space in spaces {
            self.held[usize::from(*space)] += added;
        }
        self.at[index] = (spaces.to_vec(), half_size);
        self.place(next + 1);
        for space in spaces {
            self.held[usize::from(*space)] -= added;
        }
        self.at[index] = (Vec::new(), false);
    }

    fn alike(&self, a: usize, b: usize) -> bool {
        let (a, b) = (&self.loose[a], &self.loose[b]);
        a.poles == b.poles && a.rating == b.rating && a.home.is_empty() && b.home.is_empty()
    }

    fn keep(&mut self) {
        let stays = |(one, (at, half)): (&Loose, &(Vec<u16>, bool))| one.home == *at && !half;
        // A lifted breaker that goes back where it was is no move; that set belongs to a smaller size.
        if self.loose.iter().zip(&self.at).any(stays) {
            return;
        }
        let mut legs = self.standing.clone();
        let loose = self
            .loose
            .iter()
            .zip(&self.at)
            .map(|(one, (at, _))| (&at[..], one.rating));
        for (leg, more) in legs.iter_mut().zip(self.panel.leg_ratings(loose)) {
            *leg += more;
        }
        let most = legs.iter().copied().fold(Current::zero(), Current::max);
        let least = legs.iter().copied().fold(most, Current::min);
        let leg_of = |spaces: &[u16]| spaces.first().map(|space| self.panel.leg(*space));
        let changed = self
            .loose
            .iter()
            .zip(&self.at)
            .filter(|(one, (at, _))| {
                one.poles == 1 && !one.home.is_empty() && leg_of(&one.home) != leg_of(at)
            })
            .count();
        let depth: u64 = self
            .at
            .iter()
            .flat_map(|(at, _)| at)
            .map(|space| u64::from(*space))
            .sum();
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        // ratings of breakers, never negative
        let apart = (most - least).as_amperes().round() as u64;
        let halves = self.at.iter().filter(|(_, half)| *half).count();
        let score = (apart, halves, changed, depth);
        if self.best.as_ref().is_none_or(|(known, _)| score < *known) {
            self.best = Some((score, self.at.clone()));
        }
    }
}
