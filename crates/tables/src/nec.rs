//! Editions of the electrical code and where each has its rules.
//!
//! In: a topic, an edition, and how surely the value beside it was read. Out: the source line with that edition's
//! article. Start at [`cite`]. Holds article numbers only; the values stand in their own tables.

use crate::table::{Table, embedded};
use serde::Deserialize;
use std::fmt;
use std::sync::LazyLock;
use trace::{Source, SourceStatus};

/// An edition of NFPA 70, oldest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum NecEdition {
    /// The 2017 edition.
    Nec2017,
    /// The 2020 edition.
    Nec2020,
    /// The 2023 edition.
    Nec2023,
}

impl NecEdition {
    /// All that are carried, oldest first.
    pub const ALL: [Self; 3] = [Self::Nec2017, Self::Nec2020, Self::Nec2023];

    /// Its year.
    pub fn year(self) -> u16 {
        match self {
            Self::Nec2017 => 2017,
            Self::Nec2020 => 2020,
            Self::Nec2023 => 2023,
        }
    }

    /// The edition of that year, if carried.
    pub fn from_year(year: u16) -> Option<Self> {
        Self::ALL.into_iter().find(|edition| edition.year() == year)
    }
}

impl fmt::Display for NecEdition {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "NFPA 70 {}", self.year())
    }
}

/// What a rule or table is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Topic {
    /// Allowable ampacities of insulated conductors.
    Ampacity,
    /// Correction of ampacity for ambient temperature.
    AmbientCorrection,
    /// Adjustment of ampacity for more than three current-carrying conductors.
    BundlingAdjustment,
    /// Temperature limits of terminals.
    TerminalLimits,
    /// Standard ratings of overcurrent devices.
    StandardRatings,
    /// Next standard device above the ampacity.
    NextStandardSize,
    /// Overcurrent protection of small conductors.
    SmallConductors,
    /// Load that a branch circuit and its device are sized for.
    BranchCircuitLoad,
    /// Overcurrent protection of a single appliance.
    ApplianceOvercurrent,
    /// Smallest equipment grounding conductor.
    EquipmentGround,
    /// Increase of the equipment grounding conductor.
    EquipmentGroundIncrease,
    /// White conductor used as a hot one.
    WhiteConductor,
    /// Direct-current resistance of conductors.
    ConductorResistance,
    /// Impedance of conductors in conduit.
    ConductorImpedance,
    /// The recommendation on voltage drop.
    VoltageDropNote,
    /// Conductors of a dwelling service.
    DwellingService,
    /// Smallest service disconnect of a dwelling.
    ServiceMinimum,
    /// Share of a raceway that conductors may fill.
    RacewayFill,
    /// Inside areas of raceways.
    RacewayArea,
    /// Outside areas of insulated conductors.
    ConductorArea,
    /// Volume a box needs.
    BoxFill,
    /// Volumes of common metal boxes.
    BoxVolume,
    /// Tightening torque where the maker gives none.
    Torque,
    /// Standard load calculation as a whole.
    StandardLoad,
    /// General lighting load by floor area.
    GeneralLighting,
    /// Demand factors of general lighting.
    LightingDemand,
    /// Small-appliance and laundry circuits.
    SmallApplianceLaundry,
    /// Appliances fastened in place.
    FixedAppliances,
    /// Clothes dryers.
    DryerDemand,
    /// Household cooking appliances.
    CookingDemand,
    /// Addition for the largest motor.
    LargestMotor,
    /// Fixed electric space heating.
    SpaceHeating,
    /// Loads that do not run together.
    NoncoincidentLoads,
    /// Load of the neutral.
    NeutralLoad,
    /// Optional calculation for one dwelling.
    OptionalDwelling,
    /// Optional calculation for an existing dwelling.
    ExistingDwelling,
    /// Existing load from measured demand.
    MeasuredDemand,
    /// Load of electric vehicle supply equipment.
    VehicleCharger,
}

/// Where an edition has a rule, as a source line. The status is the weaker of two: how surely the article number is
/// known, and `values`, how surely the figure taken from there was read.
///
/// ```
/// use tables::nec::{NecEdition, Topic, cite};
/// use trace::SourceStatus;
/// let source = cite(Topic::Ampacity, NecEdition::Nec2017, SourceStatus::Seen);
/// assert_eq!(source.to_string(), "NFPA 70 2017, Table 310.15(B)(16) (seen)");
/// ```
pub fn cite(topic: Topic, edition: NecEdition, values: SourceStatus) -> &'static Source {
    // Sorted by topic and edition, one entry each: `all_topics_are_cited` tests it.
    let at = topic as usize * NecEdition::ALL.len() + edition as usize;
    &CITATIONS[at.min(CITATIONS.len() - 1)].sources[weakness(values)]
}

/// All statuses, surest first.
const BY_WEAKNESS: [SourceStatus; 4] = [
    SourceStatus::Seen,
    SourceStatus::Computed,
    SourceStatus::Memory,
    SourceStatus::CommonPractice,
];

fn weakness(status: SourceStatus) -> usize {
    BY_WEAKNESS
        .iter()
        .position(|s| *s == status)
        .unwrap_or(BY_WEAKNESS.len() - 1)
}

struct Citation {
    topic: Topic,
    edition: NecEdition,
    sources: [Source; 4],
}

#[derive(Debug, Deserialize)]
struct ArticleRow {
    topic: Topic,
    nec_2017: String,
    nec_2020: String,
    nec_2023: String,
    status: SourceStatus,
}

static CITATIONS: LazyLock<Vec<Citation>> = LazyLock::new(|| {
    let table: Table<ArticleRow> = embedded(
        "articles",
        include_str!("../../../data/tables/electrical/articles.csv"),
    );
    let document = &table.source.document;
    let mut citations = Vec::new();
    for row in &table.rows {
        for (edition, place) in NecEdition::ALL
            .into_iter()
            .zip([&row.nec_2017, &row.nec_2020, &row.nec_2023])
        {
            let sources = BY_WEAKNESS.map(|values| Source {
                document: document.clone(),
                edition: Some(edition.year().to_string()),
                place: Some(place.clone()),
                status: BY_WEAKNESS[weakness(values).max(weakness(row.status))],
            });
            citations.push(Citation {
                topic: row.topic,
                edition,
                sources,
            });
        }
    }
    citations.sort_by_key(|entry| (entry.topic, entry.edition));
    citations
});

#[cfg(test)]
mod tests {
    use super::*;

    const TOPICS: [Topic; 38] = [
        Topic::Ampacity,
        Topic::AmbientCorrection,
        Topic::BundlingAdjustment,
        Topic::TerminalLimits,
        Topic::StandardRatings,
        Topic::NextStandardSize,
        Topic::SmallConductors,
        Topic::BranchCircuitLoad,
        Topic::ApplianceOvercurrent,
        Topic::EquipmentGround,
        Topic::EquipmentGroundIncrease,
        Topic::WhiteConductor,
        Topic::ConductorResistance,
        Topic::ConductorImpedance,
        Topic::VoltageDropNote,
        Topic::DwellingService,
        Topic::ServiceMinimum,
        Topic::RacewayFill,
        Topic::RacewayArea,
        Topic::ConductorArea,
        Topic::BoxFill,
        Topic::BoxVolume,
        Topic::Torque,
        Topic::StandardLoad,
        Topic::GeneralLighting,
        Topic::LightingDemand,
        Topic::SmallApplianceLaundry,
        Topic::FixedAppliances,
        Topic::DryerDemand,
        Topic::CookingDemand,
        Topic::LargestMotor,
        Topic::SpaceHeating,
        Topic::NoncoincidentLoads,
        Topic::NeutralLoad,
        Topic::OptionalDwelling,
        Topic::ExistingDwelling,
        Topic::MeasuredDemand,
        Topic::VehicleCharger,
    ];

    #[test]
    fn all_topics_are_cited() {
        let wanted = TOPICS
            .into_iter()
            .flat_map(|topic| NecEdition::ALL.map(|edition| (topic, edition)));
        // A new topic needs its row in the file and its line above.
        assert!(wanted.eq(CITATIONS.iter().map(|entry| (entry.topic, entry.edition))));
        for (index, topic) in TOPICS.into_iter().enumerate() {
            assert_eq!(topic as usize, index);
        }
        for entry in CITATIONS.iter() {
            assert!(
                entry.sources[0]
                    .place
                    .as_deref()
                    .is_some_and(|place| !place.is_empty())
            );
        }
    }

    #[test]
    fn table_numbers_moved_between_editions() {
        // Fact sheet, section 1: 2017 310.15(B)(16), later 310.16; adjustment 310.15(B)(3)(a), later 310.15(C)(1).
        let place = |topic, edition| cite(topic, edition, SourceStatus::Seen).place.clone().unwrap();
        assert_eq!(place(Topic::Ampacity, NecEdition::Nec2017), "Table 310.15(B)(16)");
        assert_eq!(place(Topic::Ampacity, NecEdition::Nec2020), "Table 310.16");
        assert_eq!(
            place(Topic::BundlingAdjustment, NecEdition::Nec2017),
            "Table 310.15(B)(3)(a)"
        );
        assert_eq!(
            place(Topic::BundlingAdjustment, NecEdition::Nec2023),
            "Table 310.15(C)(1)"
        );
    }

    #[test]
    fn a_status_is_never_upgraded() {
        let status = |topic, values| cite(topic, NecEdition::Nec2023, values).status;
        assert_eq!(
            status(Topic::Ampacity, SourceStatus::Memory),
            SourceStatus::Memory
        );
        assert_eq!(
            status(Topic::AmbientCorrection, SourceStatus::Seen),
            SourceStatus::Memory
        );
        assert_eq!(status(Topic::Ampacity, SourceStatus::Seen), SourceStatus::Seen);
    }

    #[test]
    fn years_are_read_back() {
        assert_eq!(NecEdition::from_year(2020), Some(NecEdition::Nec2020));
        assert_eq!(NecEdition::from_year(2026), None);
    }
}
