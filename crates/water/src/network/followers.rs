//! Flows that follow another link's flow: water a working regulator takes before it, the second side of a mixing valve.
//!
//! In: the leading link, a ratio, the rows it takes from and gives to. Out: the correction that a follower makes to the
//! solution of a step. Start at [`Followers::gather`].
//!
//! A follower makes the system of a step unsymmetric by one product of two vectors. The symmetric part is factored
//! alone; each follower costs one more solve and a place in a small dense system (Sherman, Morrison and Woodbury).

use super::device_state::{GateState, Gates};
use super::elimination::Elimination;
use super::kernel::{Gate, Kernel};

/// One flow that follows another.
#[derive(Debug, Clone, Copy)]
pub(super) struct Follower {
    pub(super) leader: u32,
    pub(super) ratio: f64,
    pub(super) row_from: u32,
    pub(super) row_to: u32,
}

/// Those at work, with the buffers of their correction.
#[derive(Debug, Clone, Default)]
pub(super) struct Followers {
    pub(super) active: Vec<Follower>,
    /// Solutions for each follower's own vector, one after the other.
    solutions: Vec<f64>,
    matrix: Vec<f64>,
    shares: Vec<f64>,
}

impl Followers {
    /// Room for every device that can make one.
    pub(super) fn new(kernel: &Kernel) -> Self {
        let most = kernel
            .gates
            .iter()
            .filter(|gate| !matches!(gate, Gate::OneWay { .. }))
            .count();
        Self {
            active: Vec::with_capacity(most),
            solutions: vec![0.0; most * (kernel.unknown + 1)],
            matrix: vec![0.0; most * most],
            shares: vec![0.0; most],
        }
    }

    /// Those at work in these states.
    pub(super) fn gather(&mut self, kernel: &Kernel, gates: &Gates, carries: &[bool]) {
        self.active.clear();
        let none = kernel
            .ends
            .first()
            .map_or(0, |_| super::kernel::narrow(kernel.unknown));
        for (gate, state) in kernel.gates.iter().zip(&gates.states) {
            let follower = match (*gate, *state) {
                (Gate::Regulator { work, open }, GateState::Working) => Follower {
                    leader: work,
                    ratio: 1.0,
                    row_from: kernel.ends[open as usize].row_from,
                    row_to: none,
                },
                (Gate::Mixer { hot, cold, hot_share }, GateState::HotLeads) if hot_share < 1.0 => {
                    behind(kernel, hot, cold, (1.0 - hot_share) / hot_share)
                }
                (Gate::Mixer { hot, cold, hot_share }, GateState::ColdLeads) if hot_share > 0.0 => {
                    behind(kernel, cold, hot, hot_share / (1.0 - hot_share))
                }
                _ => continue,
            };
            if carries[follower.leader as usize] {
                self.active.push(follower);
            }
        }
    }

    /// Corrects the solution of the symmetric part; false when the small system has no solution.
    pub(super) fn correct(
        &mut self,
        kernel: &Kernel,
        elimination: &mut Elimination,
        conductance: &[f64],
        values: &mut [f64],
    ) -> bool {
        let count = self.active.len();
        if count == 0 {
            return true;
        }
        let width = values.len();
        for (follower, solution) in self.active.iter().zip(self.solutions.chunks_exact_mut(width)) {
            solution.fill(0.0);
            solution[follower.row_from as usize] += follower.ratio;
            solution[follower.row_to as usize] -= follower.ratio;
            elimination.solve(solution);
        }
        // What a solution makes of each leader's flow.
        let leads = |follower: &Follower, values: &[f64]| {
            let ends = kernel.ends[follower.leader as usize];
            conductance[follower.leader as usize]
                * (values[ends.row_from as usize] - values[ends.row_to as usize])
        };
        for (row, follower) in self.active.iter().enumerate() {
            self.shares[row] = leads(follower, values);
            for (column, solution) in self.solutions.chunks_exact(width).take(count).enumerate() {
                self.matrix[row * count + column] =
                    leads(follower, solution) + f64::from(u8::from(row == column));
            }
        }
        if !solve_dense(&mut self.matrix[..count * count], &mut self.shares[..count]) {
            return false;
        }
        for (share, solution) in self
            .shares
            .iter()
            .zip(self.solutions.chunks_exact(width))
            .take(count)
        {
            for (value, of_follower) in values.iter_mut().zip(solution) {
                *value -= share * of_follower;
            }
        }
        true
    }
}

fn behind(kernel: &Kernel, leader: u32, other: u32, ratio: f64) -> Follower {
    Follower {
        leader,
        ratio,
        row_from: kernel.ends[other as usize].row_from,
        row_to: kernel.ends[other as usize].row_to,
    }
}

/// Solves a small dense system in place by elimination with pivots; false when it is singular.
fn solve_dense(matrix: &mut [f64], right: &mut [f64]) -> bool {
    let size = right.len();
    for column in 0..size {
        let pivot = (column..size)
            .max_by(|a, b| {
                matrix[a * size + column]
                    .abs()
                    .total_cmp(&matrix[b * size + column].abs())
            })
            .unwrap_or(column);
        let value = matrix[pivot * size + column];
        if value.abs() < 1e-14 || !value.is_finite() {
            return false;
        }
        if pivot != column {
            for at in 0..size {
                matrix.swap(pivot * size + at, column * size + at);
            }
            right.swap(pivot, column);
        }
        for row in column + 1..size {
            let factor = matrix[row * size + column] / value;
            if factor != 0.0 {
                for at in column..size {
                    matrix[row * size + at] -= factor * matrix[column * size + at];
                }
                right[row] -= factor * right[column];
            }
        }
    }
    for row in (0..size).rev() {
        let mut value = right[row];
        for at in row + 1..size {
            value -= matrix[row * size + at] * right[at];
        }
        right[row] = value / matrix[row * size + row];
    }
    true
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_dense_system_is_solved_with_pivots() {
        // 0·x + 2·y = 4, 3·x + 1·y = 5: y = 2, x = 1.
        let mut right = [4.0, 5.0];
        assert!(solve_dense(&mut [0.0, 2.0, 3.0, 1.0], &mut right));
        assert!((right[0] - 1.0).abs() < 1e-12 && (right[1] - 2.0).abs() < 1e-12);
        assert!(!solve_dense(&mut [1.0, 1.0, 1.0, 1.0], &mut [1.0, 1.0]));
    }
}
