//! A center-tapped service transformer as its windings: what a load between the lines sees, and what one on a half sees.
//!
//! In: rating, line voltage, resistance and reactance for a load between the lines. Out: impedance of the primary, as the
//! halves see it, and of each half. Start at [`CenterTapped::windings`]. The network ahead counts as infinite.

use crate::PowerError;
use crate::element::voltage_in_range;
use crate::error::in_range;
use crate::path::Impedance;
use quantity::{ApparentPower, Ratio, Reactance, Resistance, Voltage};
use tables::center_tapped_transformer::winding_shares;

/// A center-tapped transformer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CenterTapped {
    /// Rating.
    pub rating: ApparentPower,
    /// Voltage between the lines.
    pub line_voltage: Voltage,
    /// Resistance for a load between the lines, on the unit's base.
    pub resistance: Ratio,
    /// Reactance for a load between the lines, on the unit's base.
    pub reactance: Ratio,
}

/// Its windings, in ohms at one half.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Windings {
    /// The primary and what is common to both halves.
    pub primary: Impedance,
    /// Each half.
    pub half: Impedance,
}

impl CenterTapped {
    /// Its windings.
    ///
    /// Zb = (V/2)² / S; a load between the lines sees (Zp + Zh/2) / Zb, one on a half (Zp + Zh) / Zb
    ///
    /// # Symbols
    /// | here   | meaning                                                     | unit |
    /// |--------|-------------------------------------------------------------|------|
    /// | V, S   | line voltage and rating                                     | V, VA |
    /// | Zp, Zh | primary and one half                                        | Ω    |
    /// | result | both                                                        | Ω    |
    ///
    /// # Valid
    /// 1 kVA to 10 MVA; 1 V to 1000 V; 0 to 20 %.
    /// # Outside
    /// [`PowerError::OutOfRange`].
    /// # Assumes
    /// Resistance and reactance divide between primary and halves as in the test-feeder units, whatever their size.
    /// # Source
    /// IEEE test-feeder data, seen; star of three windings.
    /// # Example
    /// ```
    /// use power::center_tapped::CenterTapped;
    /// use quantity::{ApparentPower, Ratio, Voltage};
    /// let unit = CenterTapped {
    ///     rating: ApparentPower::from_kilovolt_amperes(25.0), line_voltage: Voltage::from_volts(240.0),
    ///     resistance: Ratio::from_percent(1.2), reactance: Ratio::from_percent(1.7),
    /// };
    /// let windings = unit.windings()?;
    /// // Fact sheet, section 10: a 120 V half has 1.8 % + j2.04 % on a base of 120²/25 000 = 0.576 Ω.
    /// let half_ohm = windings.primary.resistance.as_ohms() + windings.half.resistance.as_ohms();
    /// assert!((half_ohm - 0.018 * 0.576).abs() < 1e-9);
    /// # Ok::<(), power::PowerError>(())
    /// ```
    pub fn windings(&self) -> Result<Windings, PowerError> {
        let kva = ApparentPower::from_kilovolt_amperes;
        let rating = in_range("transformer rating", self.rating, kva(1.0), kva(1e4))?;
        let half = voltage_in_range("winding voltage", self.line_voltage)? * 0.5;
        let (nothing, most) = (Ratio::from_fraction(0.0), Ratio::from_percent(20.0));
        let resistance = in_range("transformer resistance", self.resistance, nothing, most)?;
        let reactance = in_range("transformer reactance", self.reactance, nothing, most)?;
        let base_ohm = (half / (rating / half)).as_ohms();
        let shares = winding_shares().value;
        let split = |whole: Ratio, primary: Ratio, half: Ratio| {
            let between_lines = primary.as_fraction() + half.as_fraction() / 2.0;
            let unit_ohm = base_ohm * whole.as_fraction() / between_lines;
            (unit_ohm * primary.as_fraction(), unit_ohm * half.as_fraction())
        };
        let (primary_r, half_r) = split(resistance, shares.primary_resistance, shares.half_resistance);
        let (primary_x, half_x) = split(reactance, shares.primary_reactance, shares.half_reactance);
        let impedance = |resistance_ohm, reactance_ohm| Impedance {
            resistance: Resistance::from_ohms(resistance_ohm),
            reactance: Reactance::from_ohms(reactance_ohm),
        };
        Ok(Windings {
            primary: impedance(primary_r, primary_x),
            half: impedance(half_r, half_x),
        })
    }
}

/// Resistance and reactance of a unit of which only the magnitude of its impedance is known.
///
/// The usual resistance is taken as far as the magnitude allows, the rest is reactance.
pub fn resistance_and_reactance(impedance: Ratio, usual_resistance: Ratio) -> (Ratio, Ratio) {
    let resistance = usual_resistance.min(impedance);
    let square = impedance.as_fraction().powi(2) - resistance.as_fraction().powi(2);
    (resistance, Ratio::from_fraction(square.max(0.0).sqrt()))
}
