//! Available fault current: what a bolted short could draw at a transformer and at the end of a run.
//!
//! In: the transformer's rating and impedance, conductors. Out: the symmetrical current, by impedances in series or by the
//! point-to-point method of the trade. For comparing with the interrupting rating of breakers, where the larger figure is
//! the cautious one: the utility's own network is taken as infinitely strong. Not for clearing times, where the smaller is.

use crate::PowerError;
use crate::element::voltage_in_range;
use crate::error::in_range;
use crate::voltage_drop::Impedance;
use quantity::{ApparentPower, Current, Length, Ratio, Reactance, Resistance, Voltage};

/// A transformer as its impedance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Transformer {
    /// Rating.
    pub rating: ApparentPower,
    /// Voltage of the winding looked into.
    pub voltage: Voltage,
    /// Resistance on that base.
    pub resistance: Ratio,
    /// Reactance on that base.
    pub reactance: Ratio,
}

impl Transformer {
    /// Its impedance in ohms, seen from the winding.
    ///
    /// Z = z · V² / S
    ///
    /// # Symbols
    /// | here   | meaning                               | unit |
    /// |--------|---------------------------------------|------|
    /// | z      | resistance and reactance on the base  | –    |
    /// | V, S   | voltage and rating                    | V, VA |
    /// | result | impedance Z                           | Ω    |
    ///
    /// # Valid
    /// 1 kVA to 10 MVA; 1 V to 1000 V; 0 to 20 %.
    /// # Outside
    /// [`PowerError::OutOfRange`].
    /// # Assumes
    /// For a centre-tapped unit the shares of the winding meant: the whole 240 V or one 120 V half.
    /// # Source
    /// Definition of per-unit impedance.
    /// # Example
    /// ```
    /// use power::fault::Transformer;
    /// use quantity::{ApparentPower, Ratio, Voltage};
    /// let unit = Transformer {
    ///     rating: ApparentPower::from_kilovolt_amperes(25.0), voltage: Voltage::from_volts(240.0),
    ///     resistance: Ratio::from_percent(1.2), reactance: Ratio::from_percent(1.7),
    /// };
    /// // 1.2 % of 240² / 25 000 = 0.027648 Ω (arithmetic).
    /// assert!((unit.impedance()?.resistance.as_ohms() - 0.027_648).abs() < 1e-9);
    /// # Ok::<(), power::PowerError>(())
    /// ```
    pub fn impedance(&self) -> Result<Impedance, PowerError> {
        let rating = rating_in_range(self.rating)?;
        let voltage = voltage_in_range("winding voltage", self.voltage)?;
        let base = voltage / (rating / voltage);
        let most = Ratio::from_percent(20.0);
        let nothing = Ratio::from_fraction(0.0);
        let resistance = in_range("transformer resistance", self.resistance, nothing, most)?;
        let reactance = in_range("transformer reactance", self.reactance, nothing, most)?;
        Ok(Impedance {
            resistance: base * resistance.as_fraction(),
            reactance: Reactance::from_ohms(base.as_ohms() * reactance.as_fraction()),
        })
    }
}

/// Fault current behind impedances in series.
///
/// I = V / |Σ Z|
///
/// # Symbols
/// | here         | meaning                                                | unit |
/// |--------------|--------------------------------------------------------|------|
/// | `voltage`    | voltage before the fault V                             | V    |
/// | `impedances` | transformer, and out and back of each run Z            | Ω    |
/// | result       | symmetrical current I                                  | A    |
///
/// # Valid
/// 1 V to 1000 V; together 1 µΩ to 1 kΩ.
/// # Outside
/// [`PowerError::OutOfRange`].
/// # Assumes
/// Bolted fault; infinite network ahead of the transformer; no current from motors.
/// # Source
/// Ohm's law.
/// # Example
/// ```
/// use power::fault::{Transformer, fault_current};
/// use quantity::{ApparentPower, Ratio, Voltage};
/// let unit = Transformer {
///     rating: ApparentPower::from_kilovolt_amperes(25.0), voltage: Voltage::from_volts(240.0),
///     resistance: Ratio::from_percent(1.2), reactance: Ratio::from_percent(1.7),
/// };
/// // Fact sheet, case SC3: 5006 A between lines.
/// let found = fault_current(unit.voltage, &[unit.impedance()?])?;
/// assert!((found.as_amperes() - 5006.0).abs() < 0.5);
/// # Ok::<(), power::PowerError>(())
/// ```
pub fn fault_current(voltage: Voltage, impedances: &[Impedance]) -> Result<Current, PowerError> {
    let voltage = voltage_in_range("voltage before the fault", voltage)?;
    let resistance: Resistance = impedances.iter().map(|z| z.resistance).sum();
    let reactance: Reactance = impedances.iter().map(|z| z.reactance).sum();
    let magnitude = in_range(
        "impedance of the fault loop",
        Resistance::from_ohms(resistance.as_ohms().hypot(reactance.as_ohms())),
        Resistance::from_ohms(1e-6),
        Resistance::from_ohms(1e3),
    )?;
    Ok(voltage / magnitude)
}

/// Which conductors the fault joins.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FaultLoop {
    /// Two lines of a single-phase supply: out and back.
    TwoConductors,
    /// All three lines.
    ThreePhase,
}

impl FaultLoop {
    /// Length of loop for each length of run, and what divides apparent power beside the voltage.
    fn run_factor(self) -> f64 {
        match self {
            Self::TwoConductors => 2.0,
            Self::ThreePhase => 3_f64.sqrt(),
        }
    }

    fn power_factor(self) -> f64 {
        match self {
            Self::TwoConductors => 1.0,
            Self::ThreePhase => 3_f64.sqrt(),
        }
    }
}

/// Fault current at the terminals of a transformer of which only the impedance is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TerminalFault {
    /// Rated current.
    pub full_load: Current,
    /// How many times that the fault draws.
    pub multiplier: Ratio,
    /// The fault current.
    pub current: Current,
}

/// Fault current at the terminals of a transformer.
///
/// I = IFL / (z · t), with IFL = S / V for two conductors and S / (√3 V) for three phases
///
/// # Symbols
/// | here        | meaning                                          | unit |
/// |-------------|--------------------------------------------------|------|
/// | `rating`, `voltage` | S, V                                     | VA, V |
/// | `impedance` | marked impedance z                               | –    |
/// | `tolerance` | what the marking may be off by t: 0.9 in the trade guide, 1 as marked | – |
/// | result      | rated current, multiplier, fault current         | A, –, A |
///
/// # Valid
/// 1 kVA to 10 MVA; 1 V to 1000 V; impedance 0.1 % to 20 %; tolerance 0.5 to 1.
/// # Outside
/// [`PowerError::OutOfRange`].
/// # Assumes
/// Infinite network ahead of the transformer.
/// # Source
/// Point-to-point method, plan-review guide: seen.
/// # Example
/// ```
/// use power::fault::{FaultLoop, terminal_fault};
/// use quantity::{ApparentPower, Ratio, Voltage};
/// let found = terminal_fault(
///     ApparentPower::from_kilovolt_amperes(300.0), Voltage::from_volts(208.0),
///     Ratio::from_percent(2.0), Ratio::from_fraction(0.9), FaultLoop::ThreePhase)?;
/// // Fact sheet, case SC1, from the guide: 46,273 A; the guide rounds 832.7 A to 833 A.
/// assert!((found.current.as_amperes() / 46_273.0 - 1.0).abs() < 1e-3);
/// # Ok::<(), power::PowerError>(())
/// ```
pub fn terminal_fault(
    rating: ApparentPower,
    voltage: Voltage,
    impedance: Ratio,
    tolerance: Ratio,
    fault_loop: FaultLoop,
) -> Result<TerminalFault, PowerError> {
    let rating = rating_in_range(rating)?;
    let voltage = voltage_in_range("winding voltage", voltage)?;
    let percent = Ratio::from_percent;
    let impedance = in_range("transformer impedance", impedance, percent(0.1), percent(20.0))?;
    let tolerance = in_range(
        "tolerance of the impedance",
        tolerance,
        percent(50.0),
        percent(100.0),
    )?;
    let full_load = rating / (voltage * fault_loop.power_factor());
    let multiplier = 1.0 / (impedance.as_fraction() * tolerance.as_fraction());
    Ok(TerminalFault {
        full_load,
        multiplier: Ratio::from_fraction(multiplier),
        current: full_load * multiplier,
    })
}

/// A run for the point-to-point method.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FaultRun {
    /// One-way length.
    pub length: Length,
    /// Constant of its conductor, siemens for one foot.
    pub constant_siemens_foot: f64,
    /// Conductors in parallel.
    pub in_parallel: u16,
}

/// Fault current at the end of a run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PointToPoint {
    /// Impedance of the run over that ahead of it, f.
    pub run_over_source: Ratio,
    /// Share of the fault current that is left, M.
    pub multiplier: Ratio,
    /// The fault current.
    pub current: Current,
}

/// Fault current at the end of a run, point to point.
///
/// f = k · L · I / (C · n · V), M = 1/(1 + f), Iend = M · I, with k = 2 for two conductors and √3 for three phases
///
/// # Symbols
/// | here       | meaning                                                | unit |
/// |------------|--------------------------------------------------------|------|
/// | `at_start` | fault current ahead of the run I                       | A    |
/// | `voltage`  | voltage between lines V                                | V    |
/// | `run`      | one-way length L in feet, constant C, n in parallel    | ft, S·ft, – |
/// | result     | f, M and the current at the end                        | –, –, A |
///
/// # Valid
/// 1 A to 1 MA; 1 V to 1000 V; 0 to 10 km; C 1 to 1e6; n from 1.
/// # Outside
/// [`PowerError`].
/// # Assumes
/// Impedances of the same angle, so that they add as numbers; the result is then on the low side by some percent where
/// resistance follows reactance.
/// # Source
/// Point-to-point method, plan-review guide: f and M seen.
/// # Example
/// ```
/// use power::fault::{FaultLoop, FaultRun, point_to_point};
/// use quantity::{Current, Length, Voltage};
/// let run = FaultRun { length: Length::from_feet(20.0), constant_siemens_foot: 22_185.0, in_parallel: 2 };
/// let found = point_to_point(
///     Current::from_amperes(46_273.0), Voltage::from_volts(208.0), run, FaultLoop::ThreePhase)?;
/// // Fact sheet, case SC2: f 0.174, M 0.852, 39,425 A.
/// assert!((found.run_over_source.as_fraction() - 0.174).abs() < 5e-4);
/// assert!((found.current.as_amperes() / 39_425.0 - 1.0).abs() < 1e-3);
/// # Ok::<(), power::PowerError>(())
/// ```
pub fn point_to_point(
    at_start: Current,
    voltage: Voltage,
    run: FaultRun,
    fault_loop: FaultLoop,
) -> Result<PointToPoint, PowerError> {
    let at_start = in_range(
        "fault current ahead of the run",
        at_start,
        Current::from_amperes(1.0),
        Current::from_kiloamperes(1e3),
    )?;
    let voltage = voltage_in_range("voltage between lines", voltage)?;
    let length = in_range(
        "length of the run",
        run.length,
        Length::zero(),
        Length::from_meters(1e4),
    )?;
    let constant = in_range(
        "constant of the conductor",
        Ratio::from_fraction(run.constant_siemens_foot),
        Ratio::from_fraction(1.0),
        Ratio::from_fraction(1e6),
    )?;
    if run.in_parallel == 0 {
        return Err(PowerError::Nothing {
            what: "conductor of the run",
        });
    }
    let f = fault_loop.run_factor() * length.as_feet() * at_start.as_amperes()
        / (constant.as_fraction() * f64::from(run.in_parallel) * voltage.as_volts());
    let multiplier = 1.0 / (1.0 + f);
    Ok(PointToPoint {
        run_over_source: Ratio::from_fraction(f),
        multiplier: Ratio::from_fraction(multiplier),
        current: at_start * multiplier,
    })
}

fn rating_in_range(rating: ApparentPower) -> Result<ApparentPower, PowerError> {
    in_range(
        "transformer rating",
        rating,
        ApparentPower::from_kilovolt_amperes(1.0),
        ApparentPower::from_kilovolt_amperes(1e4),
    )
}
