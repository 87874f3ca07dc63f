//! Voltage drop and delivered power: a heater's element circuits behind shared upstream impedances, solved exactly.
//!
//! In: source voltage; impedances upstream of the panel (transformer, service, feeder); one branch for each element
//! circuit, all energized together; optionally the rest of the house as a constant-power load at the panel. Out:
//! currents, drops, element voltages, delivered and lost power. Start at [`solve`].
//!
//! Elements are resistances, so current and drop follow the real voltage; the usual method with rated current stands
//! beside as `simple_drop`. Reactance may be left out: for a unity power factor load on house wiring it moves the element
//! voltage by hundredths of a volt. Leaves out the neutral, unbalance between legs, and shunt elements.

use crate::PowerError;
use crate::complex::Complex;
use crate::element::{Element, voltage_in_range};
use crate::error::in_range;
pub use crate::path::{Impedance, Path};
use quantity::{Current, Power, Ratio, Voltage};

/// One element circuit from the panel to the heater.
#[derive(Debug, Clone, PartialEq)]
pub struct Branch {
    /// Its name.
    pub label: String,
    /// Its conductors.
    pub path: Path,
    /// The elements on it, in parallel.
    pub elements: Vec<Element>,
}

/// The rest of the house at the panel: draws the same power whatever the voltage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PanelLoad {
    /// Real power.
    pub power: Power,
    /// Power factor, lagging.
    pub power_factor: Ratio,
}

/// What is solved.
#[derive(Debug, Clone, PartialEq)]
pub struct Feed {
    /// Voltage at the source: at the panel when nothing is upstream, else at the transformer or behind it.
    pub source_voltage: Voltage,
    /// Impedances between source and panel, in order.
    pub upstream: Vec<Path>,
    /// Other load at the panel.
    pub panel_load: Option<PanelLoad>,
    /// Element circuits that are on together.
    pub branches: Vec<Branch>,
}

/// A drop and the voltage its percentage refers to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drop {
    /// Fall of the voltage's magnitude.
    pub voltage: Voltage,
    /// Share of the source voltage.
    pub of_source: Ratio,
}

/// Result for one element circuit.
#[derive(Debug, Clone, PartialEq)]
pub struct BranchSolution {
    /// Its name.
    pub label: String,
    /// Current.
    pub current: Current,
    /// Drop from panel to heater.
    pub drop: Drop,
    /// Drop from source to heater.
    pub total_drop: Drop,
    /// Voltage at the elements.
    pub element_voltage: Voltage,
    /// Power the elements deliver.
    pub delivered: Power,
    /// Power lost in the branch's conductors.
    pub lost: Power,
    /// Drop from panel to heater by the usual method, with the rated current.
    pub simple_drop: Voltage,
}

/// Result for the whole feed.
#[derive(Debug, Clone, PartialEq)]
pub struct FeedSolution {
    /// Current from the source.
    pub source_current: Current,
    /// Power from the source.
    pub source_power: Power,
    /// Voltage at the panel.
    pub panel_voltage: Voltage,
    /// Drop of each upstream path, in order.
    pub upstream_drops: Vec<Drop>,
    /// Power lost upstream.
    pub upstream_lost: Power,
    /// Each element circuit, in order.
    pub branches: Vec<BranchSolution>,
}

impl FeedSolution {
    /// Power all elements deliver.
    pub fn delivered(&self) -> Power {
        self.branches.iter().map(|branch| branch.delivered).sum()
    }

    /// Power lost in all conductors.
    pub fn lost(&self) -> Power {
        self.upstream_lost + self.branches.iter().map(|branch| branch.lost).sum()
    }
}

/// Solves element circuits behind their common supply.
///
/// Vs = Vp + Zu · (Y · Vp + S*/Vp*), with Y = Σ 1/(Zb + Re); the quadratic in |Vp|² is solved in closed form
/// and the larger root taken. Then Ib = Vp/(Zb + Re), P = |Ib|² Re.
///
/// # Symbols
/// | here   | meaning                                                                              | unit |
/// |--------|--------------------------------------------------------------------------------------|------|
/// | `feed` | source voltage Vs, upstream impedance Zu, branch impedances Zb and element resistances Re, panel load S | V, Ω, Ω, Ω, VA |
/// | Vp    | voltage at the panel                                                                 | V    |
/// | result | currents, drops, voltages, powers                                                    | A, V, W |
///
/// # Valid
/// 1 V to 1000 V; each path 0 Ω to 100 Ω; panel load 0 W to 1 MW, power factor above 0 to 1.
/// # Outside
/// [`PowerError`]; [`PowerError::VoltageCollapse`] when the panel load cannot be fed through Zu at all.
/// # Assumes
/// All elements of all branches on; steady state; balanced 240 V load, so the neutral carries nothing. Percentages refer
/// to the source voltage. Drops are differences of magnitudes.
/// # Source
/// Ohm's and Kirchhoff's laws. Compared with a public distribution solver in `checks/electrical/`.
/// # Example
/// ```
/// use power::element::Element;
/// use power::voltage_drop::{Branch, Feed, Path, solve};
/// use quantity::{Length, Power, ResistancePerLength, Voltage};
/// let volts = Voltage::from_volts(240.0);
/// let run = Path::two_conductors(
///     "8 AWG", Length::from_feet(100.0), ResistancePerLength::from_ohms_per_thousand_feet(0.778), None);
/// let element = Element::new(Power::from_kilowatts(9.0), volts)?;
/// let feed = Feed {
///     source_voltage: volts, upstream: vec![], panel_load: None,
///     branches: vec![Branch { label: "heater".into(), path: run, elements: vec![element] }],
/// };
/// let found = solve(&feed)?;
/// // Fact sheet, case VD2: 36.610 A, 5.697 V, 8577.8 W; by the usual method 5.835 V.
/// assert!((found.branches[0].drop.voltage.as_volts() - 5.697).abs() < 0.001);
/// assert!((found.branches[0].delivered.as_watts() - 8577.8).abs() < 0.05);
/// assert!((found.branches[0].simple_drop.as_volts() - 5.835).abs() < 0.001);
/// # Ok::<(), power::PowerError>(())
/// ```
pub fn solve(feed: &Feed) -> Result<FeedSolution, PowerError> {
    let source_v = voltage_in_range("source voltage", feed.source_voltage)?.as_volts();
    if feed.branches.is_empty() {
        return Err(PowerError::Nothing {
            what: "element circuit",
        });
    }
    let upstream_ohm = feed
        .upstream
        .iter()
        .map(Path::ohms)
        .collect::<Result<Vec<_>, _>>()?;
    let branches = feed
        .branches
        .iter()
        .map(BranchOhms::new)
        .collect::<Result<Vec<_>, _>>()?;
    let load_va = feed.panel_load.map_or(Ok(Complex::ZERO), apparent)?;

    let upstream_total_ohm = upstream_ohm.iter().fold(Complex::ZERO, |sum, z| sum + *z);
    let admittance_s = branches.iter().fold(Complex::ZERO, |sum, branch| {
        sum + Complex::ONE / branch.total_ohm()
    });
    // With the panel voltage as reference (real, v): V_s = a v + b/v.
    let a = Complex::ONE + upstream_total_ohm * admittance_s;
    let b = upstream_total_ohm * load_va.conjugate();
    let panel_v = panel_volts(source_v, a, b).ok_or_else(|| PowerError::VoltageCollapse {
        load: feed.panel_load.map_or_else(String::new, |load| {
            load.power.show(quantity::UnitSystem::Us).to_string()
        }),
    })?;

    let source_a = admittance_s.scaled(panel_v) + load_va.conjugate().scaled(1.0 / panel_v);
    // Walk from the panel back to the source; each path lifts the voltage by its own drop.
    let mut voltage = Complex::new(panel_v, 0.0);
    let mut upstream_drops = Vec::with_capacity(upstream_ohm.len());
    for z in upstream_ohm.iter().rev() {
        let above = voltage + *z * source_a;
        upstream_drops.push(drop(above.magnitude() - voltage.magnitude(), source_v));
        voltage = above;
    }
    upstream_drops.reverse();
    let source_power_w = (voltage * source_a.conjugate()).re;
    let square_a2 = source_a.magnitude().powi(2);
    Ok(FeedSolution {
        source_current: Current::from_amperes(source_a.magnitude()),
        source_power: Power::from_watts(source_power_w),
        panel_voltage: Voltage::from_volts(panel_v),
        upstream_drops,
        upstream_lost: Power::from_watts(square_a2 * upstream_total_ohm.re),
        branches: feed
            .branches
            .iter()
            .zip(&branches)
            .map(|(branch, ohms)| ohms.solution(&branch.label, panel_v, source_v))
            .collect(),
    })
}

/// A branch as the kernel sees it.
struct BranchOhms {
    path_ohm: Complex,
    elements_ohm: f64,
    rated_a: f64,
}

impl BranchOhms {
    fn new(branch: &Branch) -> Result<Self, PowerError> {
        if branch.elements.is_empty() {
            return Err(PowerError::Nothing {
                what: "element on the circuit",
            });
        }
        let siemens: f64 = branch
            .elements
            .iter()
            .map(|element| 1.0 / element.resistance().as_ohms())
            .sum();
        Ok(Self {
            path_ohm: branch.path.ohms()?,
            elements_ohm: 1.0 / siemens,
            rated_a: branch
                .elements
                .iter()
                .map(|element| element.rated_current().as_amperes())
                .sum(),
        })
    }

    fn total_ohm(&self) -> Complex {
        self.path_ohm + Complex::new(self.elements_ohm, 0.0)
    }

    fn solution(&self, label: &str, panel_v: f64, source_v: f64) -> BranchSolution {
        let current_a = panel_v / self.total_ohm().magnitude();
        let element_v = current_a * self.elements_ohm;
        BranchSolution {
            label: label.to_owned(),
            current: Current::from_amperes(current_a),
            drop: drop(panel_v - element_v, source_v),
            total_drop: drop(source_v - element_v, source_v),
            element_voltage: Voltage::from_volts(element_v),
            delivered: Power::from_watts(current_a * element_v),
            lost: Power::from_watts(current_a * current_a * self.path_ohm.re),
            simple_drop: Voltage::from_volts(self.path_ohm.re * self.rated_a),
        }
    }
}

/// Larger root of |a|² v⁴ + (2 Re(a b*) − Vs²) v² + |b|² = 0; none when the load cannot be fed.
fn panel_volts(source_v: f64, a: Complex, b: Complex) -> Option<f64> {
    let a2 = a.magnitude().powi(2);
    let half = source_v * source_v - 2.0 * (a * b.conjugate()).re;
    let discriminant = half * half - 4.0 * a2 * b.magnitude().powi(2);
    let square = (half + discriminant.sqrt()) / (2.0 * a2);
    // A negative discriminant makes `square` a NaN, which is not above zero either.
    (half > 0.0 && square > 0.0).then(|| square.sqrt())
}

fn drop(volts: f64, source_v: f64) -> Drop {
    Drop {
        voltage: Voltage::from_volts(volts),
        of_source: Ratio::from_fraction(volts / source_v),
    }
}

fn apparent(load: PanelLoad) -> Result<Complex, PowerError> {
    let watts = in_range("panel load", load.power, Power::zero(), Power::from_watts(1e6))?.as_watts();
    let factor = in_range(
        "power factor",
        load.power_factor,
        Ratio::from_fraction(0.01),
        Ratio::from_fraction(1.0),
    )?
    .as_fraction();
    Ok(Complex::new(
        watts,
        watts * (1.0 / (factor * factor) - 1.0).sqrt(),
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::{Reactance, Resistance};

    fn feed(upstream_ohm: f64, load_w: f64) -> Feed {
        let path = |ohm| Path {
            label: "path".into(),
            loop_impedance: Impedance {
                resistance: Resistance::from_ohms(ohm),
                reactance: Reactance::zero(),
            },
        };
        Feed {
            source_voltage: Voltage::from_volts(240.0),
            upstream: vec![path(upstream_ohm)],
            panel_load: Some(PanelLoad {
                power: Power::from_watts(load_w),
                power_factor: Ratio::from_fraction(1.0),
            }),
            branches: vec![Branch {
                label: "heater".into(),
                path: path(0.1),
                elements: vec![Element::new(Power::from_kilowatts(9.0), Voltage::from_volts(240.0)).unwrap()],
            }],
        }
    }

    #[test]
    fn a_load_beyond_what_the_supply_can_feed_is_refused() {
        // Without the heater 240² / (4 · 5 Ω) = 2880 W is the most a 5 Ω supply can deliver (maximum power transfer).
        assert!(matches!(
            solve(&feed(5.0, 3000.0)),
            Err(PowerError::VoltageCollapse { .. })
        ));
        assert!(solve(&feed(0.05, 3000.0)).is_ok());
        // Written with its unit, as a reader knows it.
        assert!(
            solve(&feed(5.0, 3000.0))
                .unwrap_err()
                .to_string()
                .contains("3 kW")
        );
    }

    #[test]
    fn a_feed_without_circuits_or_elements_is_refused() {
        let mut empty = feed(0.05, 0.0);
        empty.branches[0].elements.clear();
        assert!(matches!(solve(&empty), Err(PowerError::Nothing { .. })));
        empty.branches.clear();
        assert!(matches!(solve(&empty), Err(PowerError::Nothing { .. })));
        let mut negative = feed(-0.05, 0.0);
        assert!(solve(&negative).is_err());
        negative.source_voltage = Voltage::from_volts(f64::NAN);
        assert!(solve(&negative).is_err());
    }

    #[test]
    fn circuits_share_the_sag_of_their_supply() {
        // Two 6.4 Ω elements behind a common 0.1 Ω, no branch resistance: V = 240 · 3.2/3.3 (voltage divider).
        let mut shared = feed(0.1, 0.0);
        shared.branches[0].path.loop_impedance.resistance = Resistance::zero();
        shared.branches.push(shared.branches[0].clone());
        let found = solve(&shared).unwrap();
        for branch in &found.branches {
            assert!((branch.element_voltage.as_volts() - 240.0 * 3.2 / 3.3).abs() < 1e-9);
        }
        let alone = solve(&feed(0.1, 0.0)).unwrap();
        assert!(alone.panel_voltage > found.panel_voltage);
    }
}
