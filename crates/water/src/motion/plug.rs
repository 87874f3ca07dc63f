//! One pipe while water moves and stands in it: plug flow through its row of parcels, then at its end the mixed cell that
//! stands for the spread of the stream, and the wall.
//!
//! Temperatures are kept as the excess above the surroundings, divided by the share that loss has left since a common
//! instant. Loss then touches one number for the whole pipe, moving or standing, and what remains is pure advection and
//! mixing, which is exact.
//!
//! The wall that follows at its own rate is one store at the end of the pipe, which passing water warms: a front then
//! arrives with the share e^(−x) of its step at once and the rest as the wall fills, x = conductance ÷ heat flow. Its mean
//! is exact, its variance r²τ² (2/(1 − e^(−x)) − 1) within 5 % of the exact 2 r²τ²/x up to x = 1 (tested). A wall that
//! follows at once is counted as water instead: a front then lags by 1 + wall heat ÷ water heat.

use super::exponential::{cuts, left_after, mean_exp, passes_after};
use super::parcels::{Parcel, Parcels};
use super::pipe_run::PipeRun;
use super::settings::{Settings, WallHeat};
use super::spread::Spread;
use super::stream::{Piece, Stream};
use crate::properties::Water;

/// A pipe in a run.
#[derive(Debug, Clone)]
pub(super) struct Plug {
    /// Volume of the row and the cell: water, with a wall that follows at once.
    pub(super) volume_l: f64,
    pub(super) around_c: f64,
    pub(super) moving_per_s: f64,
    pub(super) standing_per_s: f64,
    pub(super) spread: Spread,
    /// Share of the excess that loss has left since the common instant.
    pub(super) left: f64,
    pub(super) clock_s: f64,
    pub(super) row: Parcels,
    pub(super) cell: Parcel,
    pub(super) cell_aim_l: f64,
    pub(super) cell_flow_l_per_s: f64,
    /// The wall that follows at its own rate, as a volume of water.
    pub(super) wall: Parcel,
    /// Part of a step of temperature that the wall takes from passing water at first: 1 − e^(−x).
    pub(super) wall_takes: f64,
    pub(super) lost_kl: f64,
}

impl Plug {
    pub(super) fn new(run: &PipeRun, water: &Water, settings: &Settings) -> Self {
        let ratio = run.pipe.wall_heat_ratio(water).as_fraction();
        let bore_l = run.pipe.volume().as_liters();
        let (volume_l, wall_l) = match settings.wall {
            WallHeat::AtOnce => (bore_l * (1.0 + ratio), 0.0),
            WallHeat::AtItsRate => (bore_l, bore_l * ratio),
        };
        let heat_j_per_m_k = run.pipe.bore_area().as_square_meters()
            * (1.0 + ratio)
            * water.density_kg_per_m3()
            * water.specific_heat().as_joules_per_kilogram_kelvin();
        let mut plug = Self {
            volume_l,
            around_c: run.surroundings.as_celsius(),
            moving_per_s: run.loss_moving.as_watts_per_meter_kelvin() / heat_j_per_m_k,
            standing_per_s: run.loss_standing.as_watts_per_meter_kelvin() / heat_j_per_m_k,
            spread: Spread::new(
                &run.pipe,
                water,
                settings.front_variance.as_fraction(),
                settings.wall,
            ),
            left: 1.0,
            clock_s: 0.0,
            row: Parcels::with_room(settings.parcels_max),
            cell: Parcel::default(),
            cell_aim_l: 0.0,
            cell_flow_l_per_s: 0.0,
            wall: Parcel {
                volume_l: wall_l,
                excess_k: 0.0,
            },
            wall_takes: 0.0,
            lost_kl: 0.0,
        };
        plug.fill(plug.around_c);
        plug
    }

    /// Fills the pipe with water of one temperature.
    pub(super) fn fill(&mut self, temp_c: f64) {
        self.row.clear();
        self.left = 1.0;
        self.cell = Parcel::default();
        self.cell_flow_l_per_s = 0.0;
        self.wall.excess_k = temp_c - self.around_c;
        self.row.push_back(
            Parcel {
                volume_l: self.volume_l,
                excess_k: temp_c - self.around_c,
            },
            0.0,
        );
    }

    pub(super) fn set_clock(&mut self, clock_s: f64) {
        self.clock_s = clock_s;
    }

    /// Heat lost to the surroundings since the beginning, in liters times kelvins.
    pub(super) fn lost_kl(&self) -> f64 {
        self.lost_kl
    }

    /// Heat stored above 0 °C, in liters times kelvins.
    pub(super) fn stored_kl(&self) -> f64 {
        self.around_c * (self.volume_l + self.wall.volume_l)
            + self.left * (self.row.counted_kl() + self.at_end_kl())
    }

    fn excess_kl(&self) -> f64 {
        self.row.heat_kl() + self.at_end_kl()
    }

    /// In cell and wall.
    fn at_end_kl(&self) -> f64 {
        self.cell.volume_l * self.cell.excess_k + self.wall.volume_l * self.wall.excess_k
    }

    pub(super) fn is_empty(&self) -> bool {
        self.volume_l <= LEAST_PIPE_L
    }

    /// Stands until `until_s`.
    pub(super) fn stand(&mut self, until_s: f64) {
        let span_s = until_s - self.clock_s;
        if span_s <= 0.0 {
            return;
        }
        let after = self.left * left_after(self.standing_per_s * span_s);
        self.lost_kl += (self.left - after) * self.excess_kl();
        self.left = after;
        self.clock_s = until_s;
        self.freshen();
    }

    /// Moves the common instant to now before the scale runs out of digits.
    fn freshen(&mut self) {
        if self.left < SCALE_LEAST {
            self.row.scale(self.left);
            self.cell.excess_k *= self.left;
            self.wall.excess_k *= self.left;
            self.left = 1.0;
        }
    }

    /// Lets `inflow` in at `flow_l_per_s` for `span_s` and writes what comes out.
    pub(super) fn run(
        &mut self,
        span_s: f64,
        flow_l_per_s: f64,
        inflow: &[Piece],
        out: &mut Stream,
        fine_k: f64,
    ) {
        out.clear();
        if self.is_empty() {
            for piece in inflow {
                out.push(piece.duration_s, piece.temp_c, 0.0);
            }
            self.clock_s += span_s;
            return;
        }
        self.fit_cell(flow_l_per_s);
        let start = self.left;
        let rate = self.moving_per_s;
        let end = start * left_after(rate * span_s);
        let mut flowing = Flowing {
            flow_l_per_s,
            rate,
            start,
            end,
            fine_k,
            around_c: self.around_c,
            out_s: 0.0,
            lost_kl: self.excess_kl() * (start - end),
        };
        let mut in_s = 0.0;
        for piece in inflow {
            // Water that entered early has lost more: a long piece is cut so that each cut is of one temperature.
            let fall_k = (piece.temp_c - self.around_c).abs() * rate * piece.duration_s;
            let cuts = cuts(fall_k, fine_k);
            let cut_s = piece.duration_s / f64::from(cuts);
            for _ in 0..cuts {
                let volume_l = flow_l_per_s * cut_s;
                let entering_k = piece.temp_c - self.around_c;
                let excess_k = entering_k * mean_exp(rate, in_s, in_s + cut_s) / start;
                flowing.lost_kl += volume_l * (entering_k - excess_k * end);
                self.row
                    .push_back(Parcel { volume_l, excess_k }, 0.5 * fine_k / start);
                self.push_out(volume_l, &mut flowing, out);
                in_s += cut_s;
            }
        }
        self.lost_kl += flowing.lost_kl;
        self.left = end;
        self.clock_s += span_s;
        self.freshen();
    }

    /// Moves `volume_l` out of the row, through the cell, into the stream.
    fn push_out(&mut self, volume_l: f64, flowing: &mut Flowing, out: &mut Stream) {
        let mut due_l = volume_l;
        while due_l > 0.0 {
            // While the cell grows, water passes in steps no larger than it.
            let step_l = if self.cell.volume_l < self.cell_aim_l {
                due_l.min(self.cell.volume_l.max(GROWTH_STEP * self.cell_aim_l))
            } else {
                due_l
            };
            let Some(parcel) = self.row.take_front(step_l) else {
                // Rounding has left a sliver due: the cell gives it.
                self.past_wall(self.cell.excess_k, due_l, flowing, out);
                return;
            };
            due_l -= parcel.volume_l;
            if self.cell.volume_l <= 0.0 {
                self.past_wall(parcel.excess_k, parcel.volume_l, flowing, out);
            } else {
                self.through_cell(parcel, flowing, out);
            }
            if self.cell.volume_l < self.cell_aim_l {
                self.grow_cell(parcel.volume_l);
            }
        }
    }

    /// One parcel pushes its volume through the cell, whose temperature runs toward the parcel's.
    fn through_cell(&mut self, parcel: Parcel, flowing: &mut Flowing, out: &mut Stream) {
        let (cell_l, goal) = (self.cell.volume_l, parcel.excess_k);
        let begin = self.cell.excess_k;
        if (goal - begin).abs() * flowing.start < ALIKE_K {
            // Nearly the same: one mixing step keeps the heat as well and spares the exponential.
            let mixed = (begin * cell_l + goal * parcel.volume_l) / (cell_l + parcel.volume_l);
            self.cell.excess_k = mixed;
            self.past_wall(mixed, parcel.volume_l, flowing, out);
            return;
        }
        let finish = goal + (begin - goal) * left_after(parcel.volume_l / cell_l);
        let steps = cuts((finish - begin).abs() * flowing.start, flowing.fine_k);
        let mut left_l = parcel.volume_l;
        let mut from = begin;
        for step in 1..=steps {
            let last = step == steps;
            let to = if last {
                finish
            } else {
                begin + (finish - begin) * f64::from(step) / f64::from(steps)
            };
            let step_l = if last {
                left_l
            } else {
                (cell_l * passes_after(from, goal, to).unwrap_or(0.0)).min(left_l)
            };
            if step_l > 0.0 {
                // What the cell has not kept has left it.
                // Within rounding it lies between the two; a sliver of a step would show rounding alone.
                let mean = (goal + (from - to) * cell_l / step_l)
                    .max(from.min(to))
                    .min(from.max(to));
                self.past_wall(mean, step_l, flowing, out);
            }
            left_l -= step_l;
            from = to;
        }
        self.cell.excess_k = finish;
    }

    /// Water that leaves the cell passes the wall, which takes heat from it or gives it back.
    fn past_wall(&mut self, excess_k: f64, volume_l: f64, flowing: &mut Flowing, out: &mut Stream) {
        if self.wall.volume_l <= 0.0 {
            flowing.emit(excess_k, volume_l, out);
            return;
        }
        let apart_k = excess_k - self.wall.excess_k;
        if apart_k.abs() * flowing.start < ALIKE_K {
            let taken_k =
                apart_k * self.wall_takes * volume_l / (self.wall.volume_l + self.wall_takes * volume_l);
            self.wall.excess_k += taken_k;
            flowing.emit(excess_k - taken_k * self.wall.volume_l / volume_l, volume_l, out);
            return;
        }
        let followed = 1.0 - left_after(self.wall_takes * volume_l / self.wall.volume_l);
        // What leaves drifts by this much while the wall follows.
        let drift_k = (apart_k * followed * self.wall_takes).abs() * flowing.start;
        let cuts = cuts(drift_k, flowing.fine_k);
        let cut_l = volume_l / f64::from(cuts);
        let left = if cuts > 1 {
            left_after(self.wall_takes * cut_l / self.wall.volume_l)
        } else {
            1.0 - followed
        };
        for _ in 0..cuts {
            let apart_k = excess_k - self.wall.excess_k;
            let (now_k, taken_k) = (excess_k - self.wall_takes * apart_k, apart_k * (1.0 - left));
            self.wall.excess_k += taken_k;
            let mean_k = (excess_k - taken_k * self.wall.volume_l / cut_l)
                .max(now_k.min(excess_k))
                .min(now_k.max(excess_k));
            flowing.emit(mean_k, cut_l, out);
        }
    }

    /// Aims the cell at the volume by which the front spreads at this flow. What it shrinks by it gives back at once;
    /// it grows as water passes ([`Self::grow_cell`]), so that the end of the pipe never jumps.
    fn fit_cell(&mut self, flow_l_per_s: f64) {
        let known = self.cell_flow_l_per_s;
        if known > 0.0 && (flow_l_per_s / known - 1.0).abs() <= SAME_FLOW {
            return;
        }
        self.cell_flow_l_per_s = flow_l_per_s;
        self.wall_takes = 1.0 - (-self.spread.wall_units(flow_l_per_s)).exp();
        self.cell_aim_l = self
            .spread
            .cell_l(flow_l_per_s)
            .min(CELL_SHARE_MAX * self.volume_l);
        if self.cell_aim_l < self.cell.volume_l {
            self.row.push_front(Parcel {
                volume_l: self.cell.volume_l - self.cell_aim_l,
                excess_k: self.cell.excess_k,
            });
            self.cell.volume_l = self.cell_aim_l;
        }
    }

    /// Takes into the cell as much of what comes next as has just passed, up to its aim.
    fn grow_cell(&mut self, passed_l: f64) {
        let mut missing_l = (self.cell_aim_l - self.cell.volume_l).min(passed_l);
        let mut heat_kl = self.cell.volume_l * self.cell.excess_k;
        while missing_l > 0.0 {
            let Some(parcel) = self.row.take_front(missing_l) else {
                break;
            };
            heat_kl += parcel.volume_l * parcel.excess_k;
            self.cell.volume_l += parcel.volume_l;
            missing_l -= parcel.volume_l;
            self.cell.excess_k = heat_kl / self.cell.volume_l;
        }
    }

    /// Temperature at the end of the pipe now; none for a pipe without volume.
    pub(super) fn end_temp_c(&self) -> Option<f64> {
        if self.is_empty() {
            return None;
        }
        let ahead = self.ahead()?;
        Some(self.around_c + self.end_excess_k(ahead) * self.left)
    }

    /// The two temperatures at the inlet that become `low_c` and `high_c` at the end by loss on the way.
    pub(super) fn band_at_inlet(&self, low_c: f64, high_c: f64, flow_l_per_s: f64) -> (f64, f64) {
        let grown = (self.moving_per_s * (self.volume_l + self.wall.volume_l) / flow_l_per_s).exp();
        let before = |temp_c: f64| self.around_c + (temp_c - self.around_c) * grown;
        (before(low_c), before(high_c))
    }
}

/// What one event keeps while water passes a pipe.
struct Flowing {
    flow_l_per_s: f64,
    rate: f64,
    start: f64,
    end: f64,
    fine_k: f64,
    around_c: f64,
    out_s: f64,
    lost_kl: f64,
}

impl Flowing {
    fn emit(&mut self, excess_k: f64, volume_l: f64, out: &mut Stream) {
        let span_s = volume_l / self.flow_l_per_s;
        let left = self.start * mean_exp(-self.rate, self.out_s, self.out_s + span_s);
        out.push(span_s, self.around_c + excess_k * left, 0.25 * self.fine_k);
        // Counted as lost until the end of the event when the event began or when it entered: it has left before.
        self.lost_kl -= volume_l * excess_k * (left - self.end);
        self.out_s += span_s;
    }
}

/// A pipe of less than a hundredth of a milliliter only passes water on.
const LEAST_PIPE_L: f64 = 1e-5;
/// Water within this of the cell or the wall changes so little that one step will do.
const ALIKE_K: f64 = 0.1;
const SCALE_LEAST: f64 = 0.05;
/// A change of flow by less than a quarter leaves the cell as it is: turning a tap a little mixes nothing.
const SAME_FLOW: f64 = 0.25;
/// The cell leaves a fifth of the pipe to plug flow.
const CELL_SHARE_MAX: f64 = 0.8;
/// First step of a growing cell, as a part of what it grows to.
const GROWTH_STEP: f64 = 1.0 / 16.0;
