//! The wires of a house as a tree: transformer, drop, feeders, branches, with every load at its real voltage.
//!
//! In: the voltages of the supply's wires, sections of wire with their impedances, loads between any two wires at the
//! end of a section. Out: voltage, current and power of every load, current of every wire of every section, losses. Start
//! at [`solve_tree`]; [`available_fault`] gives what a short at the end of a section draws. Two legs with a neutral, two legs of a three-phase supply, one line, three lines: all are wires of
//! the same tree, so nothing here asks which supply it is.
//!
//! Loads may be resistances, hold their power whatever the voltage, or mix both. Unbalanced legs and the drop in the
//! neutral are part of the solution. Knows no tables and no codes; the closed form for balanced heaters alone is
//! [`crate::voltage_drop::solve`], which must agree.

mod fault;
mod kernel;

use crate::PowerError;
use crate::center_tapped::Windings;
use crate::complex::Complex;
use crate::element::{Element, voltage_in_range};
use crate::error::in_range;
pub use crate::path::Impedance;
use crate::supply::Supply;
pub use fault::available_fault;
use kernel::Port;
use quantity::{Current, Power, Ratio, Resistance, Voltage};
use std::f64::consts::PI;

/// A wire of the supply.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Wire {
    /// First line.
    A,
    /// Second line.
    B,
    /// Third line.
    C,
    /// Neutral.
    Neutral,
}

impl Wire {
    /// All, in the order of every array here.
    pub const ALL: [Self; 4] = [Self::A, Self::B, Self::C, Self::Neutral];

    fn index(self) -> usize {
        self as usize
    }
}

/// What the supply puts on its wires with nothing connected.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SourceVoltages {
    /// By wire; none where the supply has no such wire.
    wires: [Option<Complex>; 4],
}

impl SourceVoltages {
    /// Voltages of a supply, from the voltage measured between its lines, or from line to neutral where it has one.
    ///
    /// Two lines whose voltage is twice that to neutral are opposite; otherwise lines stand a third of a turn apart.
    pub fn of(supply: &Supply, voltage: Voltage) -> Result<Self, PowerError> {
        let volts = voltage_in_range("source voltage", voltage)?.as_volts();
        let mut wires = [None, None, None, Some(Complex::ZERO)];
        let Some(line) = supply.line_to_line else {
            wires[Wire::A.index()] = Some(Complex::new(volts, 0.0));
            return Ok(Self { wires });
        };
        let opposite = line / supply.line_to_neutral > f64::midpoint(2.0, 3_f64.sqrt());
        let (apart_rad, to_neutral_v) = if opposite {
            (PI, volts / 2.0)
        } else {
            (2.0 * PI / 3.0, volts / 3_f64.sqrt())
        };
        for (number, wire) in wires.iter_mut().take(usize::from(supply.ungrounded)).enumerate() {
            *wire = Some(Complex::turned(to_neutral_v, -apart_rad * number as f64));
        }
        Ok(Self { wires })
    }

    /// Voltage between two different wires that it has.
    fn between(&self, label: &str, (from, to): (Wire, Wire)) -> Result<Complex, PowerError> {
        match (self.wires[from.index()], self.wires[to.index()]) {
            (Some(begin), Some(end)) if from != to => Ok(begin - end),
            _ => Err(PowerError::OneWire {
                label: label.to_owned(),
            }),
        }
    }
}

/// A stretch of the tree: all wires from the section above it, or from the source, to its end.
#[derive(Debug, Clone, PartialEq)]
pub struct TreeSection {
    /// What it is, in words: "service drop".
    pub label: String,
    /// Index of the section it begins at; none at the source. It must stand before this one in the list.
    pub above: Option<usize>,
    /// What its wires put in the way.
    pub impedance: SectionImpedance,
}

/// Impedance of the wires of a section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SectionImpedance {
    line: Impedance,
    neutral: Impedance,
    /// What both lines of a center-tapped transformer have in common.
    common: Impedance,
}

impl SectionImpedance {
    /// Conductors: each line alike, and a neutral.
    pub fn conductors(line: Impedance, neutral: Impedance) -> Self {
        Self {
            line,
            neutral,
            common: Impedance::zero(),
        }
    }

    /// A transformer that puts the same impedance in each line.
    pub fn each_line(line: Impedance) -> Self {
        Self::conductors(line, Impedance::zero())
    }

    /// A center-tapped transformer.
    pub fn center_tapped(windings: &Windings) -> Self {
        Self {
            line: windings.half,
            neutral: Impedance::zero(),
            common: windings.primary,
        }
    }

    /// The matrix over [`Wire::ALL`].
    ///
    /// The primary of a center-tapped transformer carries the difference of the leg currents, so it couples the legs.
    fn ohms(&self) -> Result<[[Complex; 4]; 4], PowerError> {
        let (line, neutral, common) = (self.line.ohms()?, self.neutral.ohms()?, self.common.ohms()?);
        let mut matrix = [[Complex::ZERO; 4]; 4];
        for wire in [Wire::A, Wire::B, Wire::C] {
            matrix[wire.index()][wire.index()] = line;
        }
        matrix[Wire::Neutral.index()][Wire::Neutral.index()] = neutral;
        let (a, b) = (Wire::A.index(), Wire::B.index());
        matrix[a][a] = line + common;
        matrix[b][b] = line + common;
        matrix[a][b] = common.scaled(-1.0);
        matrix[b][a] = common.scaled(-1.0);
        Ok(matrix)
    }
}

/// A load.
#[derive(Debug, Clone, PartialEq)]
pub struct TreeLoad {
    /// Its name.
    pub label: String,
    /// Index of the section at whose end it stands; none at the source itself.
    pub at: Option<usize>,
    /// The wires it stands between.
    pub between: (Wire, Wire),
    /// How it draws.
    pub draws: Draws,
}

/// How a load draws.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Draws {
    /// A resistance, such as a heating element.
    Resistance(Resistance),
    /// The same power whatever the voltage.
    Power {
        /// Real power.
        power: Power,
        /// Power factor, lagging.
        power_factor: Ratio,
    },
    /// A part holds its power, the rest is an impedance.
    Mixed {
        /// Real power at the rated voltage.
        power: Power,
        /// Power factor, lagging.
        power_factor: Ratio,
        /// Voltage the power holds at.
        rated_voltage: Voltage,
        /// The part that holds its power.
        constant_power: Ratio,
    },
}

impl From<Element> for Draws {
    fn from(element: Element) -> Self {
        Self::Resistance(element.resistance())
    }
}

/// What is solved.
#[derive(Debug, Clone, PartialEq)]
pub struct WiringTree {
    /// The supply.
    pub source: SourceVoltages,
    /// Sections, each after the one that feeds it.
    pub sections: Vec<TreeSection>,
    /// Loads that are on together.
    pub loads: Vec<TreeLoad>,
}

/// Result for one load.
#[derive(Debug, Clone, PartialEq)]
pub struct TreeLoadSolution {
    /// Its name.
    pub label: String,
    /// Voltage across it.
    pub voltage: Voltage,
    /// Its current.
    pub current: Current,
    /// Real power it takes.
    pub power: Power,
}

/// Result for one section.
#[derive(Debug, Clone, PartialEq)]
pub struct TreeSectionSolution {
    /// What it is.
    pub label: String,
    /// Current of each wire, as [`Wire::ALL`].
    pub currents: [Current; 4],
    /// Power lost in its wires.
    pub lost: Power,
    /// Voltage of each wire at its end against the source's neutral.
    end: [Complex; 4],
}

impl TreeSectionSolution {
    /// Voltage between two wires at its end.
    pub fn voltage(&self, from: Wire, to: Wire) -> Voltage {
        Voltage::from_volts((self.end[from.index()] - self.end[to.index()]).magnitude())
    }
}

/// Result for the whole tree.
#[derive(Debug, Clone, PartialEq)]
pub struct TreeSolution {
    /// Each load, in order.
    pub loads: Vec<TreeLoadSolution>,
    /// Each section, in order.
    pub sections: Vec<TreeSectionSolution>,
    /// Real power from the source.
    pub source_power: Power,
    /// Steps the solution took.
    pub iterations: usize,
    /// Largest mismatch left, as a share of the largest source voltage.
    pub residual: Ratio,
}

impl TreeSolution {
    /// Power lost in all sections.
    pub fn lost(&self) -> Power {
        self.sections.iter().map(|section| section.lost).sum()
    }
}

/// Solves a wiring tree.
///
/// Vp = Ep − Σq Zpq · Iq, with Iq = Vq/Zq + (Sq/Vq)*, by Newton's method from the open-circuit voltages
///
/// # Symbols
/// | here   | meaning                                                                         | unit |
/// |--------|---------------------------------------------------------------------------------|------|
/// | `tree` | open-circuit voltage Ep of each load's wires; Zq, Sq of each load               | V, Ω, VA |
/// | Zpq   | what the current of load q costs load p: the wires that both have on their way  | Ω    |
/// | result | voltages Vp, currents Iq, powers, losses                                      | V, A, W |
///
/// # Valid
/// Source 1 V to 1000 V; 0 Ω to 100 Ω for each wire; loads 0 W to 1 MW with power factor above 0 to 1, resistances
/// 1 mΩ to 1 MΩ; up to 200 loads.
/// # Outside
/// [`PowerError`]; [`PowerError::NotSettled`] names the load that asks more than its wires can deliver, also when only a
/// solution below half the open-circuit voltage is left.
/// # Assumes
/// Steady state at one frequency; infinite network ahead of the source; no capacitance; the neutral touches earth at the
/// source only. Without loads on power the solution is exact in one step.
/// # Source
/// Ohm's and Kirchhoff's laws. Compared with a public distribution solver in `checks/electrical/wiring_tree.toml`.
/// # Example
/// ```
/// use power::element::Element;
/// use power::supply::supply;
/// use power::wiring_tree::{Impedance, SectionImpedance, SourceVoltages, TreeLoad, TreeSection, Wire, WiringTree, solve_tree};
/// use quantity::{Power, Reactance, Resistance, Voltage};
/// let volts = Voltage::from_volts(240.0);
/// let element = Element::new(Power::from_kilowatts(9.0), volts)?;
/// let tree = WiringTree {
///     source: SourceVoltages::of(supply("120/240 V")?, volts)?,
///     sections: vec![TreeSection {
///         label: "100 ft of 8 AWG".into(), above: None,
///         impedance: SectionImpedance::each_line(Impedance::new(Resistance::from_ohms(0.0778), Reactance::zero())),
///     }],
///     loads: vec![TreeLoad {
///         label: "element".into(), at: Some(0), between: (Wire::A, Wire::B), draws: element.into(),
///     }],
/// };
/// let found = solve_tree(&tree)?;
/// // Fact sheet, case VD2: 36.610 A, 8577.8 W.
/// assert!((found.loads[0].current.as_amperes() - 36.610).abs() < 0.001);
/// assert!((found.loads[0].power.as_watts() - 8577.8).abs() < 0.05);
/// # Ok::<(), power::PowerError>(())
/// ```
pub fn solve_tree(tree: &WiringTree) -> Result<TreeSolution, PowerError> {
    if tree.loads.len() > LOADS_MAX {
        return Err(PowerError::TooMany {
            what: "loads",
            found: tree.loads.len(),
            most: LOADS_MAX,
        });
    }
    let paths = section_paths(&tree.sections)?;
    let matrices = tree
        .sections
        .iter()
        .map(|section| section.impedance.ohms())
        .collect::<Result<Vec<_>, _>>()?;
    let ports = tree
        .loads
        .iter()
        .map(|load| port(tree, load))
        .collect::<Result<Vec<_>, _>>()?;
    let on_path =
        |load: usize, section: usize| tree.loads[load].at.is_some_and(|at| paths[at].contains(&section));
    let transfer: Vec<Vec<Complex>> = (0..ports.len())
        .map(|p| {
            let shared = |q: usize| {
                let both = (0..matrices.len()).filter(|&s| on_path(p, s) && on_path(q, s));
                both.fold(Complex::ZERO, |sum, s| {
                    sum + across(&matrices[s], tree.loads[p].between, tree.loads[q].between)
                })
            };
            (0..ports.len()).map(shared).collect()
        })
        .collect();
    let solved = kernel::settle(&ports, &transfer).map_err(|worst| PowerError::NotSettled {
        load: tree.loads[worst].label.clone(),
    })?;

    let mut wire_currents = vec![[Complex::ZERO; 4]; tree.sections.len()];
    for (load, current) in tree.loads.iter().zip(&solved.currents) {
        for &section in load.at.iter().flat_map(|at| &paths[*at]) {
            let (from, to) = load.between;
            let wires = &mut wire_currents[section];
            wires[from.index()] = wires[from.index()] + *current;
            wires[to.index()] = wires[to.index()] - *current;
        }
    }
    let mut ends: Vec<[Complex; 4]> = Vec::with_capacity(tree.sections.len());
    let mut sections = Vec::with_capacity(tree.sections.len());
    for (index, section) in tree.sections.iter().enumerate() {
        let begin = section.above.map_or_else(
            || tree.source.wires.map(Option::unwrap_or_default),
            |above| ends[above],
        );
        let (end, lost_w) = section_end(begin, &matrices[index], &wire_currents[index]);
        ends.push(end);
        sections.push(TreeSectionSolution {
            label: section.label.clone(),
            currents: wire_currents[index].map(|current| Current::from_amperes(current.magnitude())),
            lost: Power::from_watts(lost_w),
            end,
        });
    }
    let loads: Vec<TreeLoadSolution> = tree
        .loads
        .iter()
        .zip(solved.voltages.iter().zip(&solved.currents))
        .map(|(load, (voltage, current))| TreeLoadSolution {
            label: load.label.clone(),
            voltage: Voltage::from_volts(voltage.magnitude()),
            current: Current::from_amperes(current.magnitude()),
            power: Power::from_watts((*voltage * current.conjugate()).re),
        })
        .collect();
    let source_w = ports
        .iter()
        .zip(&solved.currents)
        .map(|(port, current)| (port.open_v * current.conjugate()).re)
        .sum();
    Ok(TreeSolution {
        loads,
        sections,
        source_power: Power::from_watts(source_w),
        iterations: solved.iterations,
        residual: Ratio::from_fraction(solved.residual),
    })
}

/// More loads than any house here has at once; the work grows with their cube.
const LOADS_MAX: usize = 200;

/// The sections from the source to the end of each section, itself included.
fn section_paths(sections: &[TreeSection]) -> Result<Vec<Vec<usize>>, PowerError> {
    let mut paths: Vec<Vec<usize>> = Vec::with_capacity(sections.len());
    for (index, section) in sections.iter().enumerate() {
        let mut path = match section.above {
            None => Vec::new(),
            Some(above) => paths.get(above).cloned().ok_or_else(|| PowerError::TreeOrder {
                label: section.label.clone(),
                above,
                known: index,
            })?,
        };
        path.push(index);
        paths.push(path);
    }
    Ok(paths)
}

/// A load as the kernel takes it.
fn port(tree: &WiringTree, load: &TreeLoad) -> Result<Port, PowerError> {
    let open_v = tree.source.between(&load.label, load.between)?;
    if let Some(at) = load.at.filter(|at| *at >= tree.sections.len()) {
        return Err(PowerError::TreeOrder {
            label: load.label.clone(),
            above: at,
            known: tree.sections.len(),
        });
    }
    let (admittance_s, power_va) = draw(load.draws)?;
    Ok(Port {
        open_v,
        admittance_s,
        power_va,
    })
}

/// Admittance and constant power of a load.
fn draw(draws: Draws) -> Result<(Complex, Complex), PowerError> {
    match draws {
        Draws::Resistance(resistance) => {
            let ohms = Resistance::from_ohms;
            let resistance = in_range("resistance of a load", resistance, ohms(1e-3), ohms(1e6))?;
            Ok((Complex::new(1.0 / resistance.as_ohms(), 0.0), Complex::ZERO))
        }
        Draws::Power { power, power_factor } => Ok((Complex::ZERO, apparent_va(power, power_factor)?)),
        Draws::Mixed {
            power,
            power_factor,
            rated_voltage,
            constant_power,
        } => {
            let share = |fraction| Ratio::from_fraction(fraction);
            let kept = in_range("constant-power part", constant_power, share(0.0), share(1.0))?.as_fraction();
            let rated = voltage_in_range("rated voltage of a load", rated_voltage)?.as_volts();
            let apparent = apparent_va(power, power_factor)?;
            // Y = S* / V².
            let admittance = apparent.conjugate().scaled((1.0 - kept) / (rated * rated));
            Ok((admittance, apparent.scaled(kept)))
        }
    }
}

/// Complex power of a lagging load.
pub(crate) fn apparent_va(power: Power, power_factor: Ratio) -> Result<Complex, PowerError> {
    let watts = in_range("power of a load", power, Power::zero(), Power::from_watts(1e6))?.as_watts();
    let share = |fraction| Ratio::from_fraction(fraction);
    let factor = in_range("power factor", power_factor, share(0.01), share(1.0))?.as_fraction();
    Ok(Complex::new(
        watts,
        watts * (1.0 / (factor * factor) - 1.0).max(0.0).sqrt(),
    ))
}

/// What one ampere from wire to wire of `q` costs between the wires of `p` in a section.
fn across(matrix: &[[Complex; 4]; 4], p: (Wire, Wire), q: (Wire, Wire)) -> Complex {
    let entry = |row: Wire, column: Wire| matrix[row.index()][column.index()];
    entry(p.0, q.0) - entry(p.0, q.1) - entry(p.1, q.0) + entry(p.1, q.1)
}

/// Voltages at the end of a section, and the power lost in it.
fn section_end(
    begin: [Complex; 4],
    matrix: &[[Complex; 4]; 4],
    currents: &[Complex; 4],
) -> ([Complex; 4], f64) {
    let mut end = begin;
    let mut lost_w = 0.0;
    for (wire, row) in matrix.iter().enumerate() {
        let drop = row
            .iter()
            .zip(currents)
            .fold(Complex::ZERO, |sum, (z, current)| sum + *z * *current);
        end[wire] = begin[wire] - drop;
        lost_w += (drop * currents[wire].conjugate()).re;
    }
    (end, lost_w)
}

#[cfg(test)]
mod tests;
