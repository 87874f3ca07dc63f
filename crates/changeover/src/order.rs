//! The shortest order of moves from one state to another that passes no state with a hazard forbidden in passing.
//!
//! In: an [`Analysis`], two states, the hazards forbidden. Out: an [`Order`] with every state passed, or that there is
//! none and how many states were reached meanwhile. Start at [`shortest_order`].
//!
//! Best-first search (A*, Hart, Nilsson & Raphael 1968): each move costs one; the settings that still differ are a lower
//! bound of the moves left, so the first order found is a shortest one. Among the shortest, the one with the fewest
//! sources under power in the states passed is taken: what rests is switched off first, what comes on last.

use crate::hazard::HazardSet;
use crate::moves::{Move, moves};
use crate::{Analysis, State};
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// An order of moves.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Order {
    /// Where it begins.
    pub start: State,
    /// The moves, each with the state it leads to and the hazards of the list that this state shows.
    pub steps: Vec<OrderStep>,
}

/// One move of an order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OrderStep {
    /// What is done.
    pub done: Move,
    /// The state it leads to.
    pub state: State,
    /// Hazards of that state; none of them is forbidden in passing.
    pub hazards: HazardSet,
}

/// No order of moves exists.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoOrder {
    /// The first state shows a hazard that is forbidden.
    StartForbidden(HazardSet),
    /// The last state does.
    GoalForbidden(HazardSet),
    /// All states that can be reached without a forbidden one were visited, and the goal is none of them.
    Parted {
        /// How many were visited.
        reached: usize,
    },
}

/// The shortest order of moves from `start` to `goal`.
///
/// # Errors
/// [`NoOrder`] when none exists: the search visits everything that can be reached.
pub fn shortest_order(
    analysis: &Analysis,
    start: State,
    goal: State,
    forbidden: HazardSet,
) -> Result<Order, NoOrder> {
    let bad = |state: State| analysis.hazards(state).shared(forbidden);
    if !bad(start).is_empty() {
        return Err(NoOrder::StartForbidden(bad(start)));
    }
    if !bad(goal).is_empty() {
        return Err(NoOrder::GoalForbidden(bad(goal)));
    }
    let space = analysis.space();
    let left = |state: State| space.differences(state, goal);
    let mut best: Vec<Option<Reached>> = vec![None; 1 << space.bits()];
    let mut open = BinaryHeap::new();
    best[start.0 as usize] = Some(Reached {
        cost: Cost::default(),
        from: None,
    });
    open.push(Reverse((Cost::default().with_left(left(start)), start)));
    let mut reached = 0;
    while let Some(Reverse((expected, state))) = open.pop() {
        let Some(here) = best[state.0 as usize] else {
            continue;
        };
        if here.cost.with_left(left(state)) < expected {
            continue;
        }
        reached += 1;
        if state == goal {
            return Ok(traced(analysis, start, goal, &best));
        }
        for (done, next) in moves(analysis, state) {
            if !bad(next).is_empty() {
                continue;
            }
            let powered = if next == goal {
                0
            } else {
                space.energized_mask(next).count_ones()
            };
            let cost = Cost {
                moves: here.cost.moves + 1,
                powered: here.cost.powered + powered,
            };
            let known = &mut best[next.0 as usize];
            if known.is_none_or(|known| cost < known.cost) {
                *known = Some(Reached {
                    cost,
                    from: Some((done, state)),
                });
                open.push(Reverse((cost.with_left(left(next)), next)));
            }
        }
    }
    Err(NoOrder::Parted { reached })
}

/// Moves first, then sources under power in the states passed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
struct Cost {
    moves: u32,
    powered: u32,
}

impl Cost {
    fn with_left(self, left: u32) -> Self {
        Self {
            moves: self.moves + left,
            ..self
        }
    }
}

#[derive(Debug, Clone, Copy)]
struct Reached {
    cost: Cost,
    from: Option<(Move, State)>,
}

fn traced(analysis: &Analysis, start: State, goal: State, best: &[Option<Reached>]) -> Order {
    let mut steps = Vec::new();
    let mut state = goal;
    while let Some(Reached {
        from: Some((done, before)),
        ..
    }) = best[state.0 as usize]
    {
        let hazards = analysis.hazards(state);
        steps.push(OrderStep { done, state, hazards });
        state = before;
    }
    steps.reverse();
    Order { start, steps }
}
