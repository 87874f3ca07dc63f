//! Single figures that the electrical rules use: shares, least values, counts, each by edition.
//!
//! In: an edition. Out: every figure with its source. Start at [`figures`]. Applies none of them.

use crate::nec::{NecEdition, Topic, cite};
use crate::sourced::Sourced;
use crate::table::{Table, embedded};
use quantity::{ApparentPower, Current, Ratio};
use serde::Deserialize;
use std::sync::LazyLock;
use trace::SourceStatus;

/// Volt-amperes for each square foot, as the lighting rule writes it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PerSquareFoot(pub ApparentPower);

/// The figures of `edition`.
///
/// ```
/// use tables::figures::figures;
/// use tables::nec::NecEdition;
/// // Branch circuits carry 125 % of a continuous load; dwellings take 40 % beyond the first 8 kVA of 220.83.
/// let figures = figures(NecEdition::Nec2020);
/// assert!((figures.continuous_load.value.as_percent() - 125.0).abs() < 1e-9);
/// assert!((figures.existing_rest_share.value.as_percent() - 40.0).abs() < 1e-9);
/// ```
pub fn figures(edition: NecEdition) -> &'static Figures {
    match edition {
        NecEdition::Nec2017 => &ALL[0],
        NecEdition::Nec2020 => &ALL[1],
        NecEdition::Nec2023 => &ALL[2],
    }
}

/// Turns a number in the unit of the file into the typed figure.
trait FromFile {
    const UNIT: &'static str;
    fn from_file(number: f64) -> Self;
}

impl FromFile for Ratio {
    const UNIT: &'static str = "%";
    fn from_file(number: f64) -> Self {
        Ratio::from_percent(number)
    }
}

impl FromFile for Current {
    const UNIT: &'static str = "A";
    fn from_file(number: f64) -> Self {
        Current::from_amperes(number)
    }
}

impl FromFile for ApparentPower {
    const UNIT: &'static str = "VA";
    fn from_file(number: f64) -> Self {
        ApparentPower::from_volt_amperes(number)
    }
}

impl FromFile for PerSquareFoot {
    const UNIT: &'static str = "VA/ft²";
    fn from_file(number: f64) -> Self {
        PerSquareFoot(ApparentPower::from_volt_amperes(number))
    }
}

impl FromFile for usize {
    const UNIT: &'static str = "count";
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // counts in the file are small whole numbers
    fn from_file(number: f64) -> Self {
        number as usize
    }
}

macro_rules! figures {
    ($( $(#[$doc:meta])* $field:ident: $kind:ty = $id:literal; )+) => {
        /// Every figure of one edition.
        #[derive(Debug, Clone, PartialEq)]
        pub struct Figures {
            $( $(#[$doc])* pub $field: Sourced<$kind>, )+
        }

        fn of_edition(table: &Table<Row>, edition: NecEdition) -> Figures {
            Figures { $( $field: figure(table, $id, edition), )+ }
        }

        #[cfg(test)]
        const IDS: &[&str] = &[$( $id ),+];
    };
}

figures! {
    /// What a continuous load is multiplied by for branch circuit and device.
    continuous_load: Ratio = "continuous-load";
    /// Largest device of a single appliance without a marked one, as a share of its rated current.
    appliance_overcurrent: Ratio = "appliance-overcurrent";
    /// Rated current above which that share applies.
    appliance_overcurrent_threshold: Current = "appliance-overcurrent-threshold";
    /// Largest device at or below that current.
    appliance_overcurrent_small: Current = "appliance-overcurrent-small";
    /// Ampacity that a dwelling service conductor needs, as a share of the service rating.
    dwelling_service_share: Ratio = "dwelling-service-share";
    /// Smallest service rating that share applies to.
    dwelling_service_least: Current = "dwelling-service-least";
    /// Largest service rating that share applies to.
    dwelling_service_most: Current = "dwelling-service-most";
    /// Smallest service disconnect of a one-family dwelling.
    service_minimum: Current = "service-minimum";
    /// General lighting and receptacles.
    general_lighting: PerSquareFoot = "general-lighting";
    /// Each small-appliance circuit.
    small_appliance_circuit: ApparentPower = "small-appliance-circuit";
    /// Each laundry circuit.
    laundry_circuit: ApparentPower = "laundry-circuit";
    /// Number of appliances fastened in place from which the share applies.
    fixed_appliance_count: usize = "fixed-appliance-count";
    /// Smallest appliance fastened in place that the share may be taken of.
    fixed_appliance_least: ApparentPower = "fixed-appliance-least";
    /// Share of appliances fastened in place that counts.
    fixed_appliance_share: Ratio = "fixed-appliance-share";
    /// Least a dryer counts.
    dryer_least: ApparentPower = "dryer-least";
    /// Addition for each kilowatt that a range is rated above 12 kW.
    cooking_step: Ratio = "cooking-step";
    /// Share of the largest motor that is added.
    largest_motor_share: Ratio = "largest-motor-share";
    /// Share of cooking and dryer demand that loads the neutral.
    neutral_cooking_dryer_share: Ratio = "neutral-cooking-dryer-share";
    /// Least a vehicle charger counts; nothing where the edition has no such rule.
    vehicle_charger_least: ApparentPower = "vehicle-charger-least";
    /// Optional method: the part taken in full.
    optional_first: ApparentPower = "optional-first";
    /// Optional method: share of the rest.
    optional_rest_share: Ratio = "optional-rest-share";
    /// Optional method: air conditioning.
    optional_cooling_share: Ratio = "optional-cooling-share";
    /// Optional method: heat pump compressors.
    optional_heat_pump_share: Ratio = "optional-heat-pump-share";
    /// Optional method: supplementary or central electric heat.
    optional_supplementary_share: Ratio = "optional-supplementary-share";
    /// Optional method: space heating with few separate controls.
    optional_few_heaters_share: Ratio = "optional-few-heaters-share";
    /// Optional method: space heating with many separate controls.
    optional_many_heaters_share: Ratio = "optional-many-heaters-share";
    /// Optional method: from how many separate controls that is.
    optional_many_heaters_count: usize = "optional-many-heaters-count";
    /// Existing dwelling: the part taken in full.
    existing_first: ApparentPower = "existing-first";
    /// Existing dwelling: share of the rest.
    existing_rest_share: Ratio = "existing-rest-share";
    /// Existing dwelling: share of added heating or cooling.
    existing_heating_cooling_share: Ratio = "existing-heating-cooling-share";
    /// Existing dwelling: from how many separate controls space heaters stand among the other loads.
    existing_many_heaters_count: usize = "existing-many-heaters-count";
    /// Measured demand: what the measured maximum is multiplied by.
    measured_share: Ratio = "measured-share";
    /// Box fill: equipment grounds that count as one conductor together.
    box_ground_count: usize = "box-ground-count";
    /// Box fill: what each further one adds, as a share of a conductor.
    box_ground_further: Ratio = "box-ground-further";
}

#[derive(Debug, Deserialize)]
struct Row {
    id: String,
    topic: Topic,
    nec_2017: f64,
    nec_2020: f64,
    nec_2023: f64,
    unit: String,
    status: SourceStatus,
}

fn figure<T: FromFile>(table: &Table<Row>, id: &str, edition: NecEdition) -> Sourced<T> {
    let row = table.rows.iter().find(|row| row.id == id && row.unit == T::UNIT);
    // Like a malformed table, a missing figure is caught by `every_figure_stands_in_the_file`.
    let row = row.unwrap_or_else(|| panic!("embedded table `figures`: no row `{id}` in {}", T::UNIT));
    let number = match edition {
        NecEdition::Nec2017 => row.nec_2017,
        NecEdition::Nec2020 => row.nec_2020,
        NecEdition::Nec2023 => row.nec_2023,
    };
    Sourced {
        value: T::from_file(number),
        source: cite(row.topic, edition, row.status),
    }
}

static ALL: LazyLock<[Figures; 3]> = LazyLock::new(|| {
    let table = table();
    NecEdition::ALL.map(|edition| of_edition(&table, edition))
});

fn table() -> Table<Row> {
    embedded(
        "figures",
        include_str!("../../../data/tables/electrical/figures.csv"),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_figure_stands_in_the_file() {
        let in_file: Vec<String> = table().rows.into_iter().map(|row| row.id).collect();
        assert_eq!(in_file, IDS, "the file and the fields have the same order");
        for edition in NecEdition::ALL {
            assert_eq!(figures(edition).fixed_appliance_count.value, 4);
        }
    }

    #[test]
    fn the_vehicle_charger_rule_came_in_2023() {
        // Fact sheet, section 12: 220.57 (2023), larger of 7200 VA and nameplate.
        let least = |edition| figures(edition).vehicle_charger_least.value.as_volt_amperes();
        assert_eq!(
            (least(NecEdition::Nec2020), least(NecEdition::Nec2023)),
            (0.0, 7200.0)
        );
    }
}
