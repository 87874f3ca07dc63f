//! Which cable or conductor types suit the places a run passes: how wet, with or without raceway, made in that size or not.
//!
//! In: the places in order, a size. Out: every type with the first thing that stands against it, or none. Says what the
//! articles of the types say; damage, rodents and sunlight are for a person to judge.

use quantity::ConductorSize;
use tables::cable::{CableType, RacewayUse, Wetness, cable_types};

/// A place that a run passes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WiringPlace {
    /// Where it is, in words.
    pub label: String,
    /// How wet it is; buried means in the earth, with or without a raceway.
    pub wetness: Wetness,
    /// A raceway holds the conductors there.
    pub raceway: bool,
}

/// What stands against a type.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Obstacle {
    /// The place is wetter than the type may lie in.
    #[error("too wet in {place}")]
    TooWet {
        /// The place.
        place: String,
    },
    /// Single conductors without a raceway.
    #[error("needs a raceway in {place}")]
    NeedsRaceway {
        /// The place.
        place: String,
    },
    /// A cable that is not drawn into a raceway.
    #[error("is not drawn into the raceway in {place}")]
    NotInRaceway {
        /// The place.
        place: String,
    },
    /// Not made in that size.
    #[error("is not made in {size}")]
    NotMade {
        /// The size.
        size: ConductorSize,
    },
}

/// A type and what stands against it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WiringFit {
    /// Its name: "NM-B".
    pub cable: &'static str,
    /// What it is, in words.
    pub name: &'static str,
    /// The first thing against it; none when it suits.
    pub obstacle: Option<Obstacle>,
}

/// Every type with what stands against it.
///
/// ```
/// use power::wiring_choice::{WiringPlace, wiring_choice};
/// use tables::cable::Wetness;
/// let places = [WiringPlace { label: "yard".into(), wetness: Wetness::Buried, raceway: false }];
/// // 334.12 (memory): NM-B not in the earth; UF-B is made for it (340.10).
/// let found = wiring_choice(&places, "8 AWG".parse()?);
/// let against = |id: &str| found.iter().find(|fit| fit.cable == id).and_then(|fit| fit.obstacle.clone());
/// assert!(against("NM-B").is_some() && against("UF-B").is_none());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn wiring_choice(places: &[WiringPlace], size: ConductorSize) -> Vec<WiringFit> {
    cable_types()
        .iter()
        .map(|cable| WiringFit {
            cable: &cable.id,
            name: &cable.name,
            obstacle: obstacle(cable, places, size),
        })
        .collect()
}

fn obstacle(cable: &CableType, places: &[WiringPlace], size: ConductorSize) -> Option<Obstacle> {
    for place in places {
        let label = || place.label.clone();
        // Inside a raceway outdoors or in the earth it is wet, but nothing is buried directly.
        let wetness = if place.raceway {
            place.wetness.min(Wetness::Wet)
        } else {
            place.wetness
        };
        match (cable.raceway, place.raceway) {
            (RacewayUse::Required, false) => return Some(Obstacle::NeedsRaceway { place: label() }),
            (RacewayUse::No, true) => return Some(Obstacle::NotInRaceway { place: label() }),
            (RacewayUse::DryOnly, true) if wetness > Wetness::Dry => {
                return Some(Obstacle::TooWet { place: label() });
            }
            _ => {}
        }
        if wetness > cable.wettest {
            return Some(Obstacle::TooWet { place: label() });
        }
    }
    (!cable.has_size(size)).then_some(Obstacle::NotMade { size })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn suited(wetness: Wetness, raceway: bool, size: &str) -> Vec<&'static str> {
        let place = WiringPlace {
            label: "there".into(),
            wetness,
            raceway,
        };
        wiring_choice(&[place], size.parse().unwrap())
            .into_iter()
            .filter(|fit| fit.obstacle.is_none())
            .map(|fit| fit.cable)
            .collect()
    }

    #[test]
    fn types_follow_their_articles() {
        // Common practice: NM-B indoors, single conductors in conduit outdoors and underground, UF-B in the earth.
        assert!(suited(Wetness::Dry, false, "8 AWG").contains(&"NM-B"));
        assert!(!suited(Wetness::Dry, false, "8 AWG").contains(&"THWN-2"));
        assert_eq!(suited(Wetness::Buried, false, "8 AWG"), ["UF-B"]);
        assert!(suited(Wetness::Buried, true, "8 AWG").contains(&"THWN-2"));
        assert!(!suited(Wetness::Wet, true, "8 AWG").contains(&"NM-B"));
        // NM-B ends at 2 AWG.
        assert!(!suited(Wetness::Dry, false, "1/0 AWG").contains(&"NM-B"));
    }
}
