//! What the end of a pipe will show as its water comes on: how long its temperature stays within a band.
//!
//! Changes nothing; loss within the time looked at is left to the caller's tolerance.

use super::exponential::left_after;
use super::plug::Plug;

impl Plug {
    pub(super) fn ahead(&self) -> Option<Ahead> {
        let cell_k = if self.cell.volume_l > 0.0 {
            self.cell.excess_k
        } else {
            self.row.iter().next()?.excess_k
        };
        Some(Ahead {
            cell_k,
            wall_k: self.wall.excess_k,
        })
    }

    pub(super) fn end_excess_k(&self, ahead: Ahead) -> f64 {
        if self.wall.volume_l > 0.0 {
            ahead.cell_k + (ahead.wall_k - ahead.cell_k) * self.wall_takes
        } else {
            ahead.cell_k
        }
    }

    /// Cell and wall once more of a parcel has passed.
    fn look(&self, ahead: Ahead, goal_k: f64, volume_l: f64) -> Ahead {
        let cell_l = self.cell.volume_l;
        let (cell_k, mean_k) = if cell_l > 0.0 {
            let cell_k = goal_k + (ahead.cell_k - goal_k) * left_after(volume_l / cell_l);
            (cell_k, goal_k + (ahead.cell_k - cell_k) * cell_l / volume_l)
        } else {
            (goal_k, goal_k)
        };
        let wall_k = if self.wall.volume_l > 0.0 {
            let followed = 1.0 - left_after(self.wall_takes * volume_l / self.wall.volume_l);
            ahead.wall_k + (mean_k - ahead.wall_k) * followed
        } else {
            ahead.wall_k
        };
        Ahead { cell_k, wall_k }
    }

    /// How long the end of the pipe stays between two temperatures, as far as the water in it tells; the flag says
    /// whether all of it stays within.
    pub(super) fn end_within(
        &self,
        low_c: f64,
        high_c: f64,
        flow_l_per_s: f64,
        enough_s: f64,
    ) -> (f64, bool) {
        let Some(mut ahead) = self.ahead().filter(|_| !self.is_empty()) else {
            return (0.0, true);
        };
        let inside = |ahead: Ahead| {
            let temp_c = self.around_c + self.end_excess_k(ahead) * self.left;
            temp_c > low_c && temp_c < high_c
        };
        if !inside(ahead) {
            return (0.0, false);
        }
        let mut spent_l = 0.0;
        for (seen, parcel) in self.row.iter().enumerate() {
            if spent_l >= enough_s * flow_l_per_s || seen >= LOOK_MAX {
                return (spent_l / flow_l_per_s, false);
            }
            let after = self.look(ahead, parcel.excess_k, parcel.volume_l.max(LEAST_LOOK_L));
            if !inside(after) {
                let (mut low_l, mut high_l) = (0.0, parcel.volume_l);
                for _ in 0..HALVINGS {
                    let middle_l = 0.5 * (low_l + high_l);
                    if inside(self.look(ahead, parcel.excess_k, middle_l.max(LEAST_LOOK_L))) {
                        low_l = middle_l;
                    } else {
                        high_l = middle_l;
                    }
                }
                return ((spent_l + high_l) / flow_l_per_s, false);
            }
            ahead = after;
            spent_l += parcel.volume_l;
        }
        (spent_l / flow_l_per_s, true)
    }
}

/// What a look ahead follows.
#[derive(Debug, Clone, Copy)]
pub(super) struct Ahead {
    pub(super) cell_k: f64,
    pub(super) wall_k: f64,
}

const LEAST_LOOK_L: f64 = 1e-9;
/// Halvings of a parcel in search of the instant at which it ends an event.
const HALVINGS: u32 = 6;
/// Parcels looked at ahead of an event.
const LOOK_MAX: usize = 12;
