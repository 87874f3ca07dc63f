//! Constants of the thermal model of a small oil-filled transformer.
//!
//! In: nothing. Out: the constants, each as the standards' guides have it for natural cooling and 65 °C average winding
//! rise, with one source whose status is the weakest of the rows. The model stands in the power engine.

use crate::table::{Table, embedded};
use quantity::{Ratio, Temperature, TemperatureDifference, Time};
use serde::Deserialize;
use std::sync::LazyLock;
use trace::Source;

/// The constants.
#[derive(Debug, Clone, PartialEq)]
pub struct TransformerThermal {
    /// Top oil over surroundings at rated load.
    pub top_oil_rise: TemperatureDifference,
    /// Hottest spot of the winding over top oil at rated load.
    pub hot_spot_rise: TemperatureDifference,
    /// Load loss at rated load over no-load loss.
    pub loss_ratio: Ratio,
    /// Exponent of total losses for the oil.
    pub oil_exponent: f64,
    /// Exponent of load for the winding.
    pub winding_exponent: f64,
    /// Time constant of the oil.
    pub oil_time: Time,
    /// Time constant of the winding.
    pub winding_time: Time,
    /// Hot spot at which insulation ages at its rated speed.
    pub aging_reference: Temperature,
    /// Constant of the aging law, K.
    pub aging_constant_k: f64,
    /// Where they come from.
    pub source: Source,
}

/// The constants.
///
/// ```
/// use tables::transformer_thermal::transformer_thermal;
/// // 65 °C average winding rise is 80 °C at the hottest spot (IEEE C57.91, memory): 53 K of oil and 27 K of winding.
/// let constants = transformer_thermal();
/// let rise = constants.top_oil_rise + constants.hot_spot_rise;
/// assert!((rise.as_celsius() - 80.0).abs() < 1e-9);
/// ```
pub fn transformer_thermal() -> &'static TransformerThermal {
    &CONSTANTS
}

#[derive(Debug, Deserialize)]
struct Row {
    id: String,
    value: f64,
}

static CONSTANTS: LazyLock<TransformerThermal> = LazyLock::new(|| {
    let table: Table<Row> = embedded(
        "transformer_thermal",
        include_str!("../../../data/tables/electrical/transformer_thermal.csv"),
    );
    let of = |id: &str| {
        let row = table.rows.iter().find(|row| row.id == id);
        // Caught by the example above, which reads every row.
        row.unwrap_or_else(|| panic!("embedded table `transformer_thermal`: no row `{id}`"))
            .value
    };
    TransformerThermal {
        top_oil_rise: TemperatureDifference::from_celsius(of("top_oil_rise")),
        hot_spot_rise: TemperatureDifference::from_celsius(of("hot_spot_rise")),
        loss_ratio: Ratio::from_fraction(of("loss_ratio")),
        oil_exponent: of("oil_exponent"),
        winding_exponent: of("winding_exponent"),
        oil_time: Time::from_minutes(of("oil_time")),
        winding_time: Time::from_minutes(of("winding_time")),
        aging_reference: Temperature::from_celsius(of("aging_reference")),
        aging_constant_k: of("aging_constant"),
        source: table.source.clone(),
    }
});
