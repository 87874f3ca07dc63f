//! Box fill: the volume that conductors, clamps, devices and grounds need in a box.
//!
//! In: what is in the box. Out: the volume with its working. For conductors of 6 AWG and smaller; larger ones take the
//! rules of pull boxes, which are not carried here.

use crate::PowerError;
use crate::conduit_fill::ConductorCount;
use quantity::{ConductorSize, Volume};
use tables::conduit::{MetalBox, box_volume_per_conductor, metal_boxes};
use tables::figures::figures;
use tables::nec::{NecEdition, Topic, cite};
use tables::sourced::Sourced;
use trace::{Source, SourceStatus};

/// What is in a box.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct BoxContents {
    /// Insulated conductors that enter from outside; one that only passes through counts once, pigtails not at all.
    pub conductors: Vec<ConductorCount>,
    /// The box has cable clamps inside.
    pub internal_clamps: bool,
    /// Support fittings, by type.
    pub support_fittings: usize,
    /// Devices: the size of the largest conductor connected to each.
    pub devices: Vec<ConductorSize>,
    /// Equipment grounding conductors.
    pub grounds: Vec<ConductorCount>,
}

/// The volume a box needs.
#[derive(Debug, Clone, PartialEq)]
pub struct BoxVolume {
    /// For the conductors.
    pub conductors: Volume,
    /// For clamps.
    pub clamps: Volume,
    /// For support fittings.
    pub fittings: Volume,
    /// For devices.
    pub devices: Volume,
    /// For all equipment grounds.
    pub grounds: Volume,
    /// All of it.
    pub total: Volume,
    /// The rule.
    pub source: &'static Source,
}

/// Volume that the contents of a box need.
///
/// V = Σ n · v + vmax · (clamps + fittings) + 2 · Σ vdevice + vground · (1 + ¼ · grounds above four)
///
/// # Symbols
/// | here       | meaning                                             | unit |
/// |------------|-----------------------------------------------------|------|
/// | `contents` | what is in the box                                  | –    |
/// | `edition`  | from 2020 on each ground above four adds a quarter  | –    |
/// | v          | volume for one conductor of a size                  | in³  |
/// | result     | volume V by part                                    | in³  |
///
/// # Valid
/// 18 to 6 AWG.
/// # Outside
/// [`PowerError::Absent`] for larger conductors; [`PowerError::Nothing`] for an empty box.
/// # Assumes
/// Clamps and fittings take the largest conductor in the box; no conductor loops of twice the free length.
/// # Source
/// 314.16(B): seen; the quarter of grounds above four from memory.
/// # Example
/// ```
/// use power::box_fill::{BoxContents, box_volume};
/// use power::conduit_fill::ConductorCount;
/// use tables::nec::NecEdition;
/// let size = "14 AWG".parse()?;
/// let contents = BoxContents {
///     conductors: vec![ConductorCount { size, count: 4 }],
///     internal_clamps: true,
///     grounds: vec![ConductorCount { size, count: 2 }],
///     ..BoxContents::default()
/// };
/// // Fact sheet, case BX1, a published quiz: two 14-2 cables and an internal clamp, 12.0 in³.
/// let found = box_volume(&contents, NecEdition::Nec2017)?;
/// assert!((found.total.as_cubic_inches() - 12.0).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn box_volume(contents: &BoxContents, edition: NecEdition) -> Result<BoxVolume, PowerError> {
    let volume = |size| Ok::<Volume, PowerError>(box_volume_per_conductor(size, edition)?.value);
    let entering = || contents.conductors.iter().filter(|group| group.count > 0);
    let largest = entering()
        .chain(contents.grounds.iter().filter(|group| group.count > 0))
        .map(|group| volume(group.size))
        .try_fold(Volume::zero(), |largest, next| {
            Ok::<_, PowerError>(largest.max(next?))
        })?;
    if largest == Volume::zero() {
        return Err(PowerError::Nothing {
            what: "conductor in the box",
        });
    }
    let conductors = entering()
        .map(|group| Ok(volume(group.size)? * group.count as f64))
        .sum::<Result<Volume, PowerError>>()?;
    let clamps = if contents.internal_clamps {
        largest
    } else {
        Volume::zero()
    };
    let fittings = largest * contents.support_fittings as f64;
    let devices = contents
        .devices
        .iter()
        .map(|size| Ok(volume(*size)? * 2.0))
        .sum::<Result<Volume, PowerError>>()?;
    let grounds = ground_volume(contents, edition)?;
    Ok(BoxVolume {
        conductors,
        clamps,
        fittings,
        devices,
        grounds,
        total: conductors + clamps + fittings + devices + grounds,
        source: cite(Topic::BoxFill, edition, SourceStatus::Seen),
    })
}

/// The smallest common metal box of at least that volume, the first of equal ones; none when all are smaller.
pub fn smallest_metal_box(volume: Volume) -> Option<Sourced<&'static MetalBox>> {
    let (boxes, source) = metal_boxes();
    boxes
        .iter()
        .filter(|metal_box| metal_box.volume >= volume)
        .reduce(|a, b| if b.volume < a.volume { b } else { a })
        .map(|value| Sourced { value, source })
}

fn ground_volume(contents: &BoxContents, edition: NecEdition) -> Result<Volume, PowerError> {
    let mut largest = Volume::zero();
    let mut number = 0_usize;
    for group in contents.grounds.iter().filter(|group| group.count > 0) {
        largest = largest.max(box_volume_per_conductor(group.size, edition)?.value);
        number = number.saturating_add(group.count);
    }
    let figures = figures(edition);
    let further = number.saturating_sub(figures.box_ground_count.value) as f64;
    Ok(largest * (1.0 + figures.box_ground_further.value.as_fraction() * further))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(size: &str, count: usize) -> ConductorCount {
        ConductorCount {
            size: size.parse().unwrap(),
            count,
        }
    }

    #[test]
    fn many_grounds_count_more_from_2020_on() {
        let contents = BoxContents {
            conductors: vec![of("12 AWG", 8)],
            devices: vec!["12 AWG".parse().unwrap()],
            support_fittings: 1,
            grounds: vec![of("12 AWG", 6)],
            ..BoxContents::default()
        };
        // 2.25 in³ each: 8 conductors, 1 fitting, device 2, grounds 1 (2017) or 1.5 (2020): 27 and 28.125 in³.
        let total = |edition| box_volume(&contents, edition).unwrap().total.as_cubic_inches();
        assert!((total(NecEdition::Nec2017) - 27.0).abs() < 1e-9);
        assert!((total(NecEdition::Nec2020) - 28.125).abs() < 1e-9);
    }

    #[test]
    fn the_smallest_box_that_is_large_enough() {
        // Box volumes from memory (table 314.16(A)): 12.5 in³ takes 12.0, 15.5 in³ is the next for more.
        let name = |volume_in3| {
            smallest_metal_box(Volume::from_cubic_inches(volume_in3)).map(|found| found.value.name.clone())
        };
        assert_eq!(name(12.0).as_deref(), Some("4 x 1-1/4 round/octagonal"));
        assert_eq!(name(14.5).as_deref(), Some("4 x 1-1/2 round/octagonal"));
        assert_eq!(name(43.0), None);
    }

    #[test]
    fn empty_boxes_and_large_conductors_are_refused() {
        assert!(matches!(
            box_volume(&BoxContents::default(), NecEdition::Nec2023),
            Err(PowerError::Nothing { .. })
        ));
        let large = BoxContents {
            conductors: vec![of("4 AWG", 2)],
            ..BoxContents::default()
        };
        assert!(matches!(
            box_volume(&large, NecEdition::Nec2023),
            Err(PowerError::Absent(_))
        ));
    }
}
