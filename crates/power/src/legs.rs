//! Current in each conductor of a three-wire service when loads are not spread evenly, in amperes as Annex D does it.
//!
//! In: currents that are there, rows of added loads by leg. Out: the current of each leg and the neutral with 25 % of the
//! largest motor added. For a few known 120 V appliances; the methods in [`crate::load`] work in volt-amperes instead.

use crate::PowerError;
use crate::error::in_range;
use quantity::Current;
use tables::figures::figures;
use tables::nec::NecEdition;

/// Currents of the two legs and the neutral.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LegCurrents {
    /// One leg.
    pub leg_a: Current,
    /// The neutral.
    pub neutral: Current,
    /// The other leg.
    pub leg_b: Current,
}

/// One row of added loads: what it puts on each leg.
#[derive(Debug, Clone, PartialEq)]
pub struct LegRow {
    /// What it is.
    pub label: String,
    /// Current on the one leg.
    pub leg_a: Current,
    /// Current on the other leg.
    pub leg_b: Current,
    /// The load on the one leg is a motor.
    pub motor_a: bool,
    /// The load on the other leg is a motor.
    pub motor_b: bool,
    /// The row's loads are between line and neutral; a load between lines adds nothing to the neutral.
    pub line_to_neutral: bool,
}

/// Currents of a three-wire service with added loads.
///
/// Leg: base + Σ rows + 25 % of its largest motor. Neutral: base + Σ larger leg of each line-to-neutral row + the motor
/// addition of the more heavily loaded leg.
///
/// # Symbols
/// | here      | meaning                                      | unit |
/// |-----------|----------------------------------------------|------|
/// | `base`    | currents that are there                      | A    |
/// | `rows`    | added loads by leg                           | A    |
/// | `edition` | gives the share of the largest motor         | –    |
/// | result    | currents with the additions                  | A    |
///
/// # Valid
/// 0 to 10 kA each.
/// # Outside
/// [`PowerError::OutOfRange`].
/// # Assumes
/// The neutral is not below the difference of the legs, so it lies on the cautious side.
/// # Source
/// Annex D, example D1(b): seen; 99, 83 and 104 A. The 2002 print has 84 A for the neutral, with the addition of the
/// largest motor anywhere.
/// # Example
/// ```
/// use power::legs::{LegCurrents, LegRow, leg_currents};
/// use quantity::Current;
/// use tables::nec::NecEdition;
/// let amperes = Current::from_amperes;
/// let base = LegCurrents { leg_a: amperes(78.0), neutral: amperes(61.0), leg_b: amperes(78.0) };
/// let row = |label: &str, a, b, motor_a, motor_b, line_to_neutral| LegRow {
///     label: label.into(), leg_a: amperes(a), leg_b: amperes(b), motor_a, motor_b, line_to_neutral,
/// };
/// let rows = [
///     row("air conditioner, 230 V", 6.0, 6.0, true, true, false),
///     row("air conditioner, 115 V, and dishwasher", 12.0, 10.0, true, false, true),
///     row("disposer", 0.0, 8.0, false, true, true),
/// ];
/// // Annex D1(b): 99, 83 and 104 A.
/// let found = leg_currents(base, &rows, NecEdition::Nec2017)?;
/// assert!((found.leg_a.as_amperes() - 99.0).abs() < 1e-9);
/// assert!((found.neutral.as_amperes() - 83.0).abs() < 1e-9);
/// assert!((found.leg_b.as_amperes() - 104.0).abs() < 1e-9);
/// # Ok::<(), power::PowerError>(())
/// ```
pub fn leg_currents(
    base: LegCurrents,
    rows: &[LegRow],
    edition: NecEdition,
) -> Result<LegCurrents, PowerError> {
    let ranged = |current| {
        in_range(
            "current of a leg",
            current,
            Current::zero(),
            Current::from_amperes(1e4),
        )
    };
    let mut sum = LegCurrents {
        leg_a: ranged(base.leg_a)?,
        neutral: ranged(base.neutral)?,
        leg_b: ranged(base.leg_b)?,
    };
    let (mut motor_a, mut motor_b) = (Current::zero(), Current::zero());
    for row in rows {
        let (leg_a, leg_b) = (ranged(row.leg_a)?, ranged(row.leg_b)?);
        sum.leg_a += leg_a;
        sum.leg_b += leg_b;
        if row.line_to_neutral {
            sum.neutral += leg_a.max(leg_b);
        }
        if row.motor_a {
            motor_a = motor_a.max(leg_a);
        }
        if row.motor_b {
            motor_b = motor_b.max(leg_b);
        }
    }
    let share = figures(edition).largest_motor_share.value.as_fraction();
    sum.leg_a += motor_a * share;
    sum.leg_b += motor_b * share;
    sum.neutral += if sum.leg_a > sum.leg_b { motor_a } else { motor_b } * share;
    Ok(sum)
}
