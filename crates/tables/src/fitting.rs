//! Losses of fittings and valves: coefficient K (all materials) and equivalent length (copper).
//!
//! In: a fitting and the nominal size of the pipe it sits in. Out: the loss with its source. Start at
//! [`loss_coefficient`].
//!
//! The path solver uses K, not equivalent length. Reasons: K covers every material and the valves the length table
//! leaves blank; it does not borrow the pipe's friction factor, so a fitting keeps its loss when the water warms or the
//! flow falls into the laminar range; and K·Q² is smooth with a plain slope. The price: both lists are from memory, and
//! they differ by up to a factor of two and a half for a single small elbow (a test compares them). Neither knows crimped inserts in PEX, whose
//! narrow bore loses more than the K of a standard elbow.

use crate::row_source::row_source;
use crate::table::{Table, embedded};
use crate::unknown_size::UnknownSize;
use quantity::{Length, PipeSize};
use serde::Deserialize;
use std::sync::LazyLock;
use trace::{Source, SourceStatus};

/// A fitting or an open valve.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Fitting {
    /// Elbow of 90 degrees, standard radius.
    #[serde(rename = "elbow-90")]
    Elbow90,
    /// Elbow of 90 degrees, smooth, radius 1.5 diameters.
    #[serde(rename = "elbow-90-long")]
    Elbow90Long,
    /// Elbow of 45 degrees.
    #[serde(rename = "elbow-45")]
    Elbow45,
    /// Tee, flow straight through.
    TeeRun,
    /// Tee, flow turning into or out of the branch.
    TeeBranch,
    /// Coupling or union.
    Coupling,
    /// Return bend of 180 degrees.
    ReturnBend,
    /// Ball valve, full port, open.
    BallValve,
    /// Gate valve, open.
    GateValve,
    /// Globe valve, open.
    GlobeValve,
    /// Angle valve with its seat at 90 degrees, open.
    AngleValve,
    /// Angle valve of the full-flow pattern, open.
    AngleValveFull,
    /// Swing check valve, fully open.
    SwingCheck,
    /// Spring or lift check valve, fully open.
    SpringCheck,
    /// Plug valve, straight, open.
    PlugValve,
    /// Sharp entrance from a vessel into the pipe.
    Entrance,
    /// Exit of the pipe into a vessel.
    Exit,
}

impl Fitting {
    /// All fittings.
    pub const ALL: [Self; 17] = [
        Self::Elbow90,
        Self::Elbow90Long,
        Self::Elbow45,
        Self::TeeRun,
        Self::TeeBranch,
        Self::Coupling,
        Self::ReturnBend,
        Self::BallValve,
        Self::GateValve,
        Self::GlobeValve,
        Self::AngleValve,
        Self::AngleValveFull,
        Self::SwingCheck,
        Self::SpringCheck,
        Self::PlugValve,
        Self::Entrance,
        Self::Exit,
    ];
}

/// Loss coefficient K of a fitting: its loss is K · ρv²/2 with the velocity in the pipe of that size. A plain number.
///
/// K = n · fT, with n by fitting and fT, the fully rough friction factor, by size; or a fixed K.
///
/// # Errors
/// When the list of fully rough factors has no such size.
///
/// ```
/// use tables::fitting::{Fitting, loss_coefficient};
/// // Crane TP-410 form: 30 fT, with fT 0.025 at 3/4 in.
/// let k = loss_coefficient(Fitting::Elbow90, "3/4 in".parse()?)?;
/// assert!((k - 0.75).abs() < 1e-12);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn loss_coefficient(fitting: Fitting, size: PipeSize) -> Result<f64, UnknownSize> {
    let row = row(fitting);
    match (row.multiple, row.fixed_k) {
        (Some(multiple), _) => Ok(multiple * fully_rough_factor(size)?),
        (None, fixed) => Ok(fixed.unwrap_or(0.0)),
    }
}

/// Where the loss coefficients come from.
pub fn loss_coefficient_source() -> &'static Source {
    &LOSSES.source
}

/// Friction factor of fully rough flow in clean steel pipe of this size, the scale of all K values.
///
/// # Errors
/// When the list has no such size.
pub fn fully_rough_factor(size: PipeSize) -> Result<f64, UnknownSize> {
    ROUGH
        .rows
        .iter()
        .find(|row| row.size == size)
        .map(|row| row.factor)
        .ok_or_else(|| UnknownSize {
            table: "fully rough friction factors by size",
            size,
            known: ROUGH.rows.iter().map(|row| row.size).collect(),
        })
}

/// Where a fully rough factor comes from.
///
/// # Errors
/// When the list has no such size.
pub fn fully_rough_source(size: PipeSize) -> Result<Source, UnknownSize> {
    fully_rough_factor(size)?;
    let row = ROUGH.rows.iter().find(|row| row.size == size);
    let status = row.map_or(ROUGH.source.status, |row| row.status);
    Ok(row_source(&ROUGH.source, status))
}

/// Length of copper tube of the same size that loses as much as the fitting; none when the table does not list the
/// fitting, zero where it counts the loss as negligible.
///
/// # Errors
/// When the table has no such size.
pub fn equivalent_length(fitting: Fitting, size: PipeSize) -> Result<Option<Length>, UnknownSize> {
    let row = LENGTHS
        .rows
        .iter()
        .find(|row| row.size == size)
        .ok_or_else(|| UnknownSize {
            table: "equivalent lengths of copper fittings",
            size,
            known: LENGTHS.rows.iter().map(|row| row.size).collect(),
        })?;
    let feet = match fitting {
        Fitting::Elbow90 => row.elbow_90_ft,
        Fitting::Elbow45 => row.elbow_45_ft,
        Fitting::TeeBranch => row.tee_branch_ft,
        Fitting::TeeRun => row.tee_run_ft,
        Fitting::Coupling => row.coupling_ft,
        Fitting::BallValve => row.ball_valve_ft,
        Fitting::GateValve => row.gate_valve_ft,
        Fitting::SwingCheck => row.swing_check_ft,
        _ => return Ok(None),
    };
    Ok(Some(Length::from_feet(feet.unwrap_or(0.0))))
}

/// Where the equivalent lengths come from.
pub fn equivalent_length_source() -> &'static Source {
    &LENGTHS.source
}

fn row(fitting: Fitting) -> &'static LossRow {
    LOSSES
        .rows
        .iter()
        .find(|row| row.fitting == fitting)
        .expect("every fitting has a row: a test reads them all")
}

#[derive(Deserialize)]
struct LossRow {
    fitting: Fitting,
    multiple: Option<f64>,
    fixed_k: Option<f64>,
}

#[derive(Deserialize)]
struct RoughRow {
    size: PipeSize,
    factor: f64,
    status: SourceStatus,
}

#[derive(Deserialize)]
struct LengthRow {
    size: PipeSize,
    elbow_90_ft: Option<f64>,
    elbow_45_ft: Option<f64>,
    tee_branch_ft: Option<f64>,
    tee_run_ft: Option<f64>,
    coupling_ft: Option<f64>,
    ball_valve_ft: Option<f64>,
    gate_valve_ft: Option<f64>,
    swing_check_ft: Option<f64>,
}

static LOSSES: LazyLock<Table<LossRow>> = LazyLock::new(|| {
    embedded(
        "fitting_loss",
        include_str!("../../../data/tables/water/fitting_loss.csv"),
    )
});

static ROUGH: LazyLock<Table<RoughRow>> = LazyLock::new(|| {
    embedded(
        "fully_rough_factor",
        include_str!("../../../data/tables/water/fully_rough_factor.csv"),
    )
});

static LENGTHS: LazyLock<Table<LengthRow>> = LazyLock::new(|| {
    embedded(
        "equivalent_length_copper",
        include_str!("../../../data/tables/water/equivalent_length_copper.csv"),
    )
});

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pipe::{PipeMaterial, dimensions, sizes};

    fn size(text: &str) -> PipeSize {
        text.parse().unwrap()
    }

    #[test]
    fn every_fitting_has_one_positive_coefficient() {
        assert_eq!(LOSSES.rows.len(), Fitting::ALL.len());
        for fitting in Fitting::ALL {
            let row = row(fitting);
            assert!(
                row.multiple.is_some() != row.fixed_k.is_some(),
                "{fitting:?}: one of multiple and K"
            );
            assert!(
                loss_coefficient(fitting, size("1 in")).unwrap() > 0.0,
                "{fitting:?}"
            );
        }
    }

    #[test]
    fn every_pipe_size_has_a_factor_that_falls_with_size() {
        for material in PipeMaterial::ALL {
            let factors: Vec<f64> = sizes(material)
                .map(|size| fully_rough_factor(size).unwrap())
                .collect();
            assert!(factors.windows(2).all(|pair| pair[0] >= pair[1]), "{material}");
        }
        assert_eq!(
            fully_rough_source(size("3/8 in")).unwrap().status,
            SourceStatus::Computed
        );
        assert_eq!(
            fully_rough_source(size("3/4 in")).unwrap().status,
            SourceStatus::Memory
        );
    }

    #[test]
    fn the_fully_rough_law_gives_the_listed_factors() {
        // f = 1/(2 log10(3.7 D/k))² with k = 0.0018 in (Moody, clean steel) and the bores of schedule 40 pipe (ASME
        // B36.10). The list is rounded to its upper end, so it may stand above, by 7 % at most.
        for (nominal, bore_in) in [
            ("1/4 in", 0.364),
            ("3/8 in", 0.493),
            ("1/2 in", 0.622),
            ("3/4 in", 0.824),
            ("1 in", 1.049),
            ("1-1/4 in", 1.380),
            ("1-1/2 in", 1.610),
            ("2 in", 2.067),
        ] {
            let law = 1.0 / (2.0 * (3.7 * bore_in / 0.0018_f64).log10()).powi(2);
            let ratio = fully_rough_factor(size(nominal)).unwrap() / law;
            assert!((0.99..1.07).contains(&ratio), "{nominal}: {ratio}");
        }
    }

    #[test]
    fn the_two_methods_agree_in_size_of_loss() {
        // K against f·L/D in type L with f = 0.025, a usual house value: two lists from memory, so only a factor of
        // two and a half is asked for; a slipped row would miss by more.
        let mut compared = 0;
        for size in sizes(PipeMaterial::CopperL) {
            let Ok(Some(length)) = equivalent_length(Fitting::Elbow90, size) else {
                continue;
            };
            let bore = dimensions(PipeMaterial::CopperL, size).unwrap().inside_diameter();
            let by_length = 0.025 * (length / bore);
            let ratio = loss_coefficient(Fitting::Elbow90, size).unwrap() / by_length;
            assert!((0.4..=2.5).contains(&ratio), "{size}: {ratio}");
            compared += 1;
        }
        assert_eq!(compared, 8);
    }

    #[test]
    fn a_blank_is_negligible_and_a_missing_column_is_none() {
        let none = equivalent_length(Fitting::Coupling, size("3/4 in")).unwrap();
        assert_eq!(none, Some(Length::zero()));
        assert_eq!(
            equivalent_length(Fitting::GlobeValve, size("3/4 in")).unwrap(),
            None
        );
        assert!(equivalent_length(Fitting::Elbow90, size("1/4 in")).is_err());
        assert!(loss_coefficient(Fitting::Elbow90, size("22 mm")).is_err());
    }
}
