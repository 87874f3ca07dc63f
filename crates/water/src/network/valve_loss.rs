//! Loss coefficient of a valve at an opening.
//!
//! In: pattern, coefficient when open, opening. Out: K, or none when closed. The curve is a table (`tables`); here it
//! only meets the valve's own coefficient.

use quantity::Ratio;

/// Pattern of a valve that can be set.
pub use tables::valve_opening::ThrottleValve as ValveKind;

/// Loss coefficient K of a valve at an opening; none when it is closed.
///
/// K = K₁ · m(opening), m from [`tables::valve_opening`]
///
/// # Symbols
/// | here               | meaning                           | kind    |
/// |--------------------|-----------------------------------|---------|
/// | `open_coefficient` | K₁, when fully open               | number  |
/// | `opening`          | travel over full travel           | `Ratio` |
/// | result             | K on the velocity in the pipe     | number  |
///
/// # Valid
/// Opening 0 to 1; more is taken as 1.
/// # Outside
/// None at 0 and below.
/// # Assumes
/// Turbulent flow; valves of one pattern close alike whatever their size.
/// # Source
/// See the head of `valve_opening.csv`.
/// # Example
/// ```
/// use quantity::Ratio;
/// use water::network::{ValveKind, valve_loss_coefficient};
/// // A globe valve of K 9 half open has K 36 in the list it comes from.
/// let k = valve_loss_coefficient(ValveKind::Globe, 9.0, Ratio::from_fraction(0.5)).unwrap();
/// assert!((k - 36.0).abs() < 1e-9);
/// ```
pub fn valve_loss_coefficient(kind: ValveKind, open_coefficient: f64, opening: Ratio) -> Option<f64> {
    tables::valve_opening::loss_multiple(kind, opening.as_fraction().min(1.0))
        .map(|multiple| multiple * open_coefficient)
}
