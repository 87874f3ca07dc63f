//! Ampacity of a conductor along its run: correction, adjustment and every cap, with the working.
//!
//! In: size, metal, segments of the run, terminal ratings, edition. Out: the ampacity, what limits it, and each segment's
//! working with the source of every factor. Start at [`run_ampacity`].
//!
//! Does not know loads or breakers. The exception for short hotter or more crowded lengths (10 ft or 10 % of the run,
//! 310.15(A)(2)) is not applied: the worst segment governs, which is the cautious side.

use crate::PowerError;
use crate::error::in_range;
use quantity::{ConductorSize, Current, Length, Ratio, Temperature};
use std::fmt;
use tables::ampacity::{TemperatureColumn, ambient_correction, base_ampacity, bundling_adjustment};
use tables::cable::CableType;
use tables::conductor::ConductorMaterial;
use tables::nec::{NecEdition, Topic, cite};
use tables::sourced::Sourced;
use trace::{Source, SourceStatus};

/// A stretch of a run in one surrounding.
#[derive(Debug, Clone, PartialEq)]
pub struct Segment {
    /// Where it is, in words: "attic".
    pub label: String,
    /// The cable or insulation type there.
    pub cable: &'static CableType,
    /// Length along the run.
    pub length: Length,
    /// Hottest surrounding temperature.
    pub ambient: Temperature,
    /// Current-carrying conductors lying together there, this circuit's included; equipment grounds never count.
    pub current_carrying: u16,
    /// The cable touches thermal insulation.
    pub in_thermal_insulation: bool,
}

/// Temperature marking of the terminals at both ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Terminals {
    /// At the breaker.
    pub supply_end: TemperatureColumn,
    /// At the heater.
    pub load_end: TemperatureColumn,
}

impl Terminals {
    /// The cooler of the two, which holds for the whole conductor.
    pub fn cooler(self) -> TemperatureColumn {
        self.supply_end.min(self.load_end)
    }
}

/// A limit of the ampacity: the column it is read from, the value, and its source.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cap {
    /// Temperature column.
    pub column: TemperatureColumn,
    /// Uncorrected ampacity of that column.
    pub ampacity: Current,
    /// The rule that imposes it.
    pub source: &'static Source,
}

/// The working of one segment.
#[derive(Debug, Clone, PartialEq)]
pub struct SegmentWorking {
    /// Its label.
    pub label: String,
    /// Column of the insulation, which correction and adjustment start from.
    pub column: TemperatureColumn,
    /// Uncorrected ampacity of that column.
    pub base: Sourced<Current>,
    /// Factor for the ambient temperature.
    pub correction: Sourced<Ratio>,
    /// Factor for bundling.
    pub adjustment: Sourced<Ratio>,
    /// Base times both factors.
    pub derated: Current,
    /// What the cable type never exceeds.
    pub cable_cap: Option<Cap>,
    /// The smaller of `derated` and the cap.
    pub ampacity: Current,
}

/// What governs the ampacity of a run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Limit {
    /// Correction and adjustment in that segment.
    Derating {
        /// Index of the segment.
        segment: usize,
    },
    /// The cable type in that segment.
    CableType {
        /// Index of the segment.
        segment: usize,
    },
    /// The terminals.
    Terminals,
}

impl fmt::Display for Limit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Derating { segment } => write!(f, "ambient and bundling in segment {}", segment + 1),
            Self::CableType { segment } => write!(f, "cable type in segment {}", segment + 1),
            Self::Terminals => f.write_str("terminal temperature rating"),
        }
    }
}

/// The ampacity of a run with its working.
#[derive(Debug, Clone, PartialEq)]
pub struct AmpacityWorking {
    /// The result.
    pub ampacity: Current,
    /// What governs it.
    pub limit: Limit,
    /// The same without correction and adjustment: base ampacities and caps only.
    pub before_derating: Current,
    /// What the terminals allow.
    pub terminal_cap: Cap,
    /// Each segment.
    pub segments: Vec<SegmentWorking>,
}

/// Ampacity of a conductor along its run.
///
/// I = min over segments of min(Iins · fa · fb, Icable), and not above Iterm
///
/// # Symbols
/// | here        | meaning                                                             | unit |
/// |-------------|---------------------------------------------------------------------|------|
/// | `size`, `material` | conductor                                                    | –    |
/// | `segments`  | surroundings; give Iins, the ambient factor fa, the bundling factor fb, the cable's cap Icable | A, –, –, A |
/// | `terminals` | markings; the cooler column gives Iterm                            | A    |
/// | `edition`   | code edition, for the articles cited                                | –    |
/// | result      | ampacity I and its working                                          | A    |
///
/// # Valid
/// Sizes of the ampacity table; −50 °C to 90 °C ambient, as far as the insulation's column of correction goes.
/// # Outside
/// [`PowerError`]: an empty run, a size or ambient that is not tabulated, a metric size.
/// # Assumes
/// Not more than three current-carrying conductors where `current_carrying` says so; no roof in the sun, no
/// earth; the worst segment governs whatever its length, but crowding up to 24 in. in a row asks for no adjustment
/// outside thermal insulation (seen in trade forums quoting 310.15).
/// # Source
/// Tables 310.16 and of correction and adjustment, 110.14(C)(1), and the article of each cable type; editions and status
/// in the working.
/// # Example
/// ```
/// use power::ampacity::{Segment, Terminals, run_ampacity};
/// use quantity::{Length, Temperature};
/// use tables::{ampacity::TemperatureColumn, cable::cable_type, conductor::ConductorMaterial, nec::NecEdition};
/// let attic = Segment {
///     label: "attic".into(),
///     cable: cable_type("NM-B")?,
///     length: Length::from_feet(30.0),
///     ambient: Temperature::from_celsius(50.0),
///     current_carrying: 6,
///     in_thermal_insulation: true,
/// };
/// let terminals = Terminals { supply_end: TemperatureColumn::C75, load_end: TemperatureColumn::C75 };
/// let found = run_ampacity(
///     "8 AWG".parse()?, ConductorMaterial::Copper, &[attic], terminals, NecEdition::Nec2020)?;
/// // Fact sheet, case AM4: 55 × 0.82 × 0.8 = 36.08 A.
/// assert!((found.ampacity.as_amperes() - 36.08).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn run_ampacity(
    size: ConductorSize,
    material: ConductorMaterial,
    segments: &[Segment],
    terminals: Terminals,
    edition: NecEdition,
) -> Result<AmpacityWorking, PowerError> {
    let terminal_column = terminals.cooler();
    let terminal_cap = Cap {
        column: terminal_column,
        ampacity: base_ampacity(size, material, terminal_column, edition)?.value,
        source: cite(Topic::TerminalLimits, edition, SourceStatus::Seen),
    };
    let workings = segments
        .iter()
        .enumerate()
        .map(|(at, segment)| segment_working(size, material, segment, crowded_briefly(segments, at), edition))
        .collect::<Result<Vec<_>, _>>()?;
    // The first of equal segments governs, so that the same run always names the same segment.
    let (worst, worst_working) = workings
        .iter()
        .enumerate()
        .reduce(|a, b| if b.1.ampacity < a.1.ampacity { b } else { a })
        .ok_or(PowerError::Nothing {
            what: "segment of the run",
        })?;
    let (ampacity, limit) = if terminal_cap.ampacity < worst_working.ampacity {
        (terminal_cap.ampacity, Limit::Terminals)
    } else if worst_working.ampacity < worst_working.derated {
        (worst_working.ampacity, Limit::CableType { segment: worst })
    } else {
        (worst_working.ampacity, Limit::Derating { segment: worst })
    };
    let before_derating = workings
        .iter()
        .map(|working| {
            working
                .cable_cap
                .map_or(working.base.value, |cap| working.base.value.min(cap.ampacity))
        })
        .fold(terminal_cap.ampacity, Current::min);
    Ok(AmpacityWorking {
        ampacity,
        limit,
        before_derating,
        terminal_cap,
        segments: workings,
    })
}

/// Conductors that lie together without adjustment.
const UNCROWDED: u16 = 3;

/// Inches that more conductors may lie together without adjustment.
const CROWDED_UP_TO_IN: f64 = 24.0;

/// Whether the stretch of crowded segments around one is so short that no adjustment is asked for.
///
/// In thermal insulation the rule for cables holds whatever the length.
fn crowded_briefly(segments: &[Segment], at: usize) -> bool {
    let crowded = |segment: &&Segment| segment.current_carrying > UNCROWDED;
    let before = segments[..at].iter().rev().take_while(crowded);
    let after = segments[at..].iter().take_while(crowded);
    let stretch: Vec<&Segment> = before.chain(after).collect();
    let length: Length = stretch.iter().map(|segment| segment.length).sum();
    !stretch.iter().any(|segment| segment.in_thermal_insulation)
        && length <= Length::from_inches(CROWDED_UP_TO_IN)
}

fn segment_working(
    size: ConductorSize,
    material: ConductorMaterial,
    segment: &Segment,
    crowded_briefly: bool,
    edition: NecEdition,
) -> Result<SegmentWorking, PowerError> {
    let ambient = in_range(
        "ambient temperature",
        segment.ambient,
        Temperature::from_celsius(-50.0),
        Temperature::from_celsius(90.0),
    )?;
    let column = segment.cable.derate_column;
    let base = base_ampacity(size, material, column, edition)?;
    let correction = ambient_correction(ambient, column, edition)?;
    let together = if crowded_briefly {
        segment.current_carrying.min(UNCROWDED)
    } else {
        segment.current_carrying
    };
    let adjustment = bundling_adjustment(together, edition)?;
    let derated = base.value * correction.value.as_fraction() * adjustment.value.as_fraction();
    let cable_cap = match segment.cable.cap(size, segment.in_thermal_insulation) {
        Some(column) => Some(Cap {
            column,
            ampacity: base_ampacity(size, material, column, edition)?.value,
            source: &segment.cable.source,
        }),
        None => None,
    };
    Ok(SegmentWorking {
        label: segment.label.clone(),
        column,
        base,
        correction,
        adjustment,
        derated,
        cable_cap,
        ampacity: cable_cap.map_or(derated, |cap| derated.min(cap.ampacity)),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use tables::cable::cable_type;

    fn segment(inches: f64, current_carrying: u16, in_thermal_insulation: bool) -> Segment {
        Segment {
            label: "run".into(),
            cable: cable_type("THWN-2").unwrap(),
            length: Length::from_inches(inches),
            ambient: Temperature::from_celsius(30.0),
            current_carrying,
            in_thermal_insulation,
        }
    }

    #[test]
    fn crowding_counts_from_two_feet_in_a_row() {
        let factor = |segments: &[Segment]| {
            let terminals = Terminals {
                supply_end: TemperatureColumn::C75,
                load_end: TemperatureColumn::C75,
            };
            let size = "8 AWG".parse().unwrap();
            let edition = NecEdition::Nec2023;
            let found = run_ampacity(size, ConductorMaterial::Copper, segments, terminals, edition).unwrap();
            let factors = found
                .segments
                .iter()
                .map(|one| one.adjustment.value.as_fraction());
            factors.fold(1.0, f64::min)
        };
        // A nipple of 24 in. asks for nothing; a longer one, or two short ones in a row, for 80 % with six conductors.
        assert!((factor(&[segment(24.0, 6, false)]) - 1.0).abs() < 1e-12);
        assert!((factor(&[segment(25.0, 6, false)]) - 0.8).abs() < 1e-12);
        assert!((factor(&[segment(20.0, 6, false), segment(20.0, 4, false)]) - 0.8).abs() < 1e-12);
        let apart = [
            segment(20.0, 6, false),
            segment(200.0, 2, false),
            segment(20.0, 6, false),
        ];
        assert!((factor(&apart) - 1.0).abs() < 1e-12);
        assert!((factor(&[segment(10.0, 6, true)]) - 0.8).abs() < 1e-12);
    }
}
