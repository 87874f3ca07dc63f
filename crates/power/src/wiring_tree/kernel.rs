//! Newton's method on the voltages of all loads of a wiring tree.
//!
//! In: what each load sees with nothing connected and how it draws; what the current of each costs every other. Out:
//! voltages and currents. Plain complex numbers in volts, siemens and volt-amperes. Never gives a last guess: what does
//! not settle is an error with the index of the worst load.

use crate::complex::Complex;

/// A load seen from the tree.
#[derive(Debug, Clone, Copy)]
pub(super) struct Port {
    /// Voltage with nothing connected.
    pub(super) open_v: Complex,
    /// What it draws in proportion to voltage.
    pub(super) admittance_s: Complex,
    /// What it draws whatever the voltage.
    pub(super) power_va: Complex,
}

/// Settled voltages and currents.
#[derive(Debug)]
pub(super) struct Settled {
    pub(super) voltages: Vec<Complex>,
    pub(super) currents: Vec<Complex>,
    pub(super) iterations: usize,
    /// Largest mismatch over the largest open voltage.
    pub(super) residual: f64,
}

/// Steps after which nothing more is to be expected: a settled house takes three or four.
const STEPS_MAX: usize = 40;
/// Largest mismatch as a share of the open voltage: a tenth of a microvolt in 240 V.
const MISMATCH_MAX: f64 = 1e-11;
/// Below this share of its open voltage a load on power sits on the wrong side of the most its wires can deliver.
const UPPER_SIDE: f64 = 0.5;

/// Settles the tree, or gives the index of the load with the largest mismatch.
pub(super) fn settle(ports: &[Port], transfer_ohm: &[Vec<Complex>]) -> Result<Settled, usize> {
    let mut voltages: Vec<Complex> = ports.iter().map(|port| port.open_v).collect();
    let scale_v = voltages.iter().map(|v| v.magnitude()).fold(1.0, f64::max);
    let mut worst = 0;
    for iterations in 0..=STEPS_MAX {
        let currents: Vec<Complex> = ports
            .iter()
            .zip(&voltages)
            .map(|(port, voltage)| draw(port, *voltage))
            .collect();
        let mismatch: Vec<Complex> = (0..ports.len())
            .map(|p| {
                let drop = transfer_ohm[p]
                    .iter()
                    .zip(&currents)
                    .fold(Complex::ZERO, |sum, (z, current)| sum + *z * *current);
                voltages[p] + drop - ports[p].open_v
            })
            .collect();
        let mut largest = 0.0;
        for (index, one) in mismatch.iter().enumerate() {
            let size = one.magnitude();
            // A NaN counts as the largest there is.
            if size.is_nan() || size > largest {
                largest = if size.is_nan() { f64::INFINITY } else { size };
                worst = index;
            }
        }
        let residual = largest / scale_v;
        if residual <= MISMATCH_MAX {
            let fallen = ports.iter().zip(&voltages).position(|(port, voltage)| {
                port.power_va != Complex::ZERO && voltage.magnitude() < UPPER_SIDE * port.open_v.magnitude()
            });
            return match fallen {
                Some(load) => Err(load),
                None => Ok(Settled {
                    voltages,
                    currents,
                    iterations,
                    residual,
                }),
            };
        }
        let step = newton_step(ports, transfer_ohm, &voltages, &mismatch).ok_or(worst)?;
        for (voltage, step) in voltages.iter_mut().zip(step) {
            *voltage = *voltage - step;
        }
    }
    Err(worst)
}

fn draw(port: &Port, voltage: Complex) -> Complex {
    let by_power = if port.power_va == Complex::ZERO {
        Complex::ZERO
    } else {
        (port.power_va / voltage).conjugate()
    };
    port.admittance_s * voltage + by_power
}

/// Solves J · step = mismatch.
///
/// The current of a load on power is S*/V*, so a change dV changes it by −S*/(V*)² · dV*: the step is linear in dV and in
/// its conjugate, and is solved over real and imaginary parts.
fn newton_step(
    ports: &[Port],
    transfer_ohm: &[Vec<Complex>],
    voltages: &[Complex],
    mismatch: &[Complex],
) -> Option<Vec<Complex>> {
    let n = ports.len();
    let mut matrix = vec![vec![0.0; 2 * n + 1]; 2 * n];
    for p in 0..n {
        for q in 0..n {
            let mut direct = transfer_ohm[p][q] * ports[q].admittance_s;
            if p == q {
                direct = direct + Complex::ONE;
            }
            let conjugate = if ports[q].power_va == Complex::ZERO {
                Complex::ZERO
            } else {
                let v = voltages[q].conjugate();
                transfer_ohm[p][q] * (ports[q].power_va.conjugate() / (v * v)).scaled(-1.0)
            };
            matrix[p][q] = direct.re + conjugate.re;
            matrix[p][n + q] = conjugate.im - direct.im;
            matrix[n + p][q] = direct.im + conjugate.im;
            matrix[n + p][n + q] = direct.re - conjugate.re;
        }
        matrix[p][2 * n] = mismatch[p].re;
        matrix[n + p][2 * n] = mismatch[p].im;
    }
    let solved = eliminate(&mut matrix)?;
    Some((0..n).map(|p| Complex::new(solved[p], solved[n + p])).collect())
}

/// Gaussian elimination with row exchange on a matrix with its right-hand side as last column; none when singular.
fn eliminate(matrix: &mut [Vec<f64>]) -> Option<Vec<f64>> {
    let n = matrix.len();
    for column in 0..n {
        let pivot =
            (column..n).max_by(|a, b| matrix[*a][column].abs().total_cmp(&matrix[*b][column].abs()))?;
        if !matrix[pivot][column].is_normal() {
            return None;
        }
        matrix.swap(column, pivot);
        let (above, below) = matrix.split_at_mut(column + 1);
        let lead = &above[column];
        for row in below {
            let factor = row[column] / lead[column];
            if factor != 0.0 {
                for (entry, from) in row[column..].iter_mut().zip(&lead[column..]) {
                    *entry -= factor * from;
                }
            }
        }
    }
    let mut solved = vec![0.0; n];
    for row in (0..n).rev() {
        let known: f64 = (row + 1..n)
            .map(|column| matrix[row][column] * solved[column])
            .sum();
        solved[row] = (matrix[row][n] - known) / matrix[row][row];
    }
    Some(solved)
}
