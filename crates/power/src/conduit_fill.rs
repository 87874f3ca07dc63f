//! Raceway fill: whether conductors find room in a raceway, and the smallest one they fit in.
//!
//! In: conductor sizes with their numbers, a raceway. Out: their area, the share they take, the smallest trade size.
//! Insulated conductors of the THHN/THWN-2 type; equipment grounds and neutrals take room like any other.

use crate::PowerError;
use quantity::{Area, ConductorSize, Ratio};
use tables::absent::Absent;
use tables::conduit::{Raceway, RacewaySize, fill_share, insulated_area, raceway_sizes};
use tables::sourced::Sourced;

/// Conductors of one size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ConductorCount {
    /// Their size.
    pub size: ConductorSize,
    /// How many.
    pub count: usize,
}

/// How full a raceway is.
#[derive(Debug, Clone, PartialEq)]
pub struct RacewayFill {
    /// The raceway and trade size.
    pub raceway: &'static RacewaySize,
    /// Area of the conductors.
    pub conductors: Area,
    /// Their share of the inside area.
    pub fill: Ratio,
    /// The share they may take.
    pub allowed: Sourced<Ratio>,
    /// They find room.
    pub fits: bool,
}

/// How full a raceway of a trade size is.
///
/// fill = Σ n · Ac / Ar
///
/// # Symbols
/// | here         | meaning                                | unit |
/// |--------------|----------------------------------------|------|
/// | `raceway`    | gives the inside area Ar              | mm²  |
/// | `conductors` | sizes with areas Ac and numbers n     | mm²  |
/// | `nipple`     | the raceway is not longer than 24 in.  | –    |
/// | result       | share taken and share allowed          | –    |
///
/// # Valid
/// Conductors 14 AWG to 500 kcmil, 1 to 1000 of them.
/// # Outside
/// [`PowerError`].
/// # Assumes
/// THHN/THWN-2 insulation; no bend or pull is looked at.
/// # Source
/// Chapter 9, Tables 1, 4 and 5: seen; PVC areas from memory.
/// # Example
/// ```
/// use power::conduit_fill::{ConductorCount, raceway_fill};
/// use tables::conduit::{Raceway, raceway_sizes};
/// let three_quarter = raceway_sizes(Raceway::Emt).find(|size| size.trade_size == "3/4").unwrap();
/// let conductors = [
///     ConductorCount { size: "10 AWG".parse()?, count: 4 },
///     ConductorCount { size: "6 AWG".parse()?, count: 1 },
/// ];
/// // Fact sheet, case CF3, a published example: 25.3 % of 0.533 in².
/// let found = raceway_fill(three_quarter, &conductors, false)?;
/// assert!((found.fill.as_percent() - 25.3).abs() < 0.05 && found.fits);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn raceway_fill(
    raceway: &'static RacewaySize,
    conductors: &[ConductorCount],
    nipple: bool,
) -> Result<RacewayFill, PowerError> {
    let number = total_number(conductors)?;
    let area = conductors
        .iter()
        .map(|group| Ok(insulated_area(group.size)?.value * group.count as f64))
        .sum::<Result<Area, Absent>>()?;
    let allowed = fill_share(number, nipple)?;
    let fill = Ratio::from_fraction(area / raceway.total_area);
    Ok(RacewayFill {
        raceway,
        conductors: area,
        fill,
        allowed,
        fits: fill <= allowed.value,
    })
}

/// The smallest trade size of a raceway that the conductors fit in; see [`raceway_fill`].
pub fn smallest_raceway(
    raceway: Raceway,
    conductors: &[ConductorCount],
    nipple: bool,
) -> Result<RacewayFill, PowerError> {
    for size in raceway_sizes(raceway) {
        let found = raceway_fill(size, conductors, nipple)?;
        if found.fits {
            return Ok(found);
        }
    }
    Err(PowerError::Absent(Absent::Row {
        table: "the table of raceways",
        row: format!("{raceway} for {} conductors", total_number(conductors)?),
        fix: "the sizes carried here end at 2; use more than one raceway",
    }))
}

fn total_number(conductors: &[ConductorCount]) -> Result<usize, PowerError> {
    let most = 1000;
    let number = conductors
        .iter()
        .fold(0_usize, |sum, group| sum.saturating_add(group.count));
    if number > most {
        return Err(PowerError::TooMany {
            what: "conductors in a raceway",
            found: number,
            most,
        });
    }
    Ok(number)
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
    fn a_raceway_without_conductors_or_with_too_many_is_refused() {
        assert!(smallest_raceway(Raceway::Emt, &[], false).is_err());
        assert!(smallest_raceway(Raceway::Pvc40, &[of("4/0 AWG", 20)], false).is_err());
        assert!(smallest_raceway(Raceway::Emt, &[of("8 AWG", usize::MAX), of("8 AWG", 5)], false).is_err());
        assert!(smallest_raceway(Raceway::Emt, &[of("6 mm²", 2)], false).is_err());
    }

    #[test]
    fn a_thicker_wall_or_a_longer_raceway_never_needs_less() {
        let conductors = [of("6 AWG", 4), of("10 AWG", 2)];
        let diameter = |raceway, nipple| {
            smallest_raceway(raceway, &conductors, nipple)
                .unwrap()
                .raceway
                .inside_diameter
        };
        assert!(diameter(Raceway::Emt, true) <= diameter(Raceway::Emt, false));
        let fill = |raceway| smallest_raceway(raceway, &conductors, false).unwrap();
        assert!(fill(Raceway::Pvc80).fill <= fill(Raceway::Pvc80).allowed.value);
    }
}
