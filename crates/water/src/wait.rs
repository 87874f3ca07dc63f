//! Waiting for hot water: how long from opening a tap, and how much water runs away.
//!
//! In: the volume between source and tap, the flow, how much more than that volume has to run, the source's delay.
//! Out: time and water run. Start at [`wait`]. Does not follow temperatures along the pipe: that is a later engine.
//!
//! Water behind the plug of hot water also has to heat the pipe's wall, so more than the pipe's volume runs before hot
//! water arrives. The least such ratio follows from the wall ([`least_flow_ratio`]); laboratory ratios above it are named
//! values of the tables (`tables::water_parameter`), remembered with low confidence.

use crate::error::{WaterError, within};
use crate::pipe::{Pipe, path_volume};
use crate::properties::Water;
use quantity::{Ratio, Time, Volume, VolumeFlow};

/// A wait.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wait {
    /// From opening the tap to hot water.
    pub time: Time,
    /// Water run until then.
    pub water_run: Volume,
}

/// Time from opening a tap to hot water, and the water run until then, by plug flow.
///
/// t = t₀ + r V / Q; water run = r V + Q t₀
///
/// # Symbols
/// | here           | meaning                                       | kind         |
/// |----------------|-----------------------------------------------|--------------|
/// | `volume`       | V, water between source and tap               | `Volume`     |
/// | `flow`         | Q, the flow that really runs                  | `VolumeFlow` |
/// | `flow_ratio`   | r, water to run ÷ pipe volume                 | `Ratio`      |
/// | `start_delay`  | t₀, from first flow to full heat at the source| `Time`       |
///
/// # Valid
/// Flow 0.001 to 100 gpm, volume 0 to 1000 gal, ratio 0.5 to 5, delay 0 to 10 min.
/// # Outside
/// [`WaterError::OutOfRange`]; without flow hot water never comes.
/// # Assumes
/// The pipe is cold throughout, the flow steady, nothing mixes at fittings. A tap that is content with less than the
/// source's temperature may be served sooner than the ratio says.
/// # Source
/// Plug flow by arithmetic; ratio: see [`least_flow_ratio`] and the named values of the tables.
/// # Example
/// ```
/// use quantity::{Ratio, Time, Volume, VolumeFlow};
/// use water::wait::wait;
/// // 50 ft of 3/4 in type L hold 1.257 gal: 50.3 s at 1.5 gpm, 60.3 s with the wall's heat (ratio 1.20).
/// let (volume, flow) = (Volume::from_gallons(1.257), VolumeFlow::from_gallons_per_minute(1.5));
/// let plain = wait(volume, flow, Ratio::from_fraction(1.0), Time::zero())?;
/// assert!((plain.time.as_seconds() - 50.3).abs() < 0.1);
/// let with_wall = wait(volume, flow, Ratio::from_fraction(1.2), Time::zero())?;
/// assert!((with_wall.time.as_seconds() - 60.3).abs() < 0.2);
/// # Ok::<(), water::WaterError>(())
/// ```
pub fn wait(
    volume: Volume,
    flow: VolumeFlow,
    flow_ratio: Ratio,
    start_delay: Time,
) -> Result<Wait, WaterError> {
    within("the volume between source and tap", volume, 0.0, 1000.0, "gal")?;
    within("the flow at the tap", flow, 0.001, 100.0, "gpm")?;
    within(
        "the ratio of water run to pipe volume",
        flow_ratio,
        50.0,
        500.0,
        "%",
    )?;
    within("the start delay of the source", start_delay, 0.0, 600.0, "s")?;
    let in_pipe = volume * flow_ratio.as_fraction();
    Ok(Wait {
        time: start_delay + in_pipe / flow,
        water_run: in_pipe + flow * start_delay,
    })
}

/// The least water that has to run, over the volume of the pipes, because their walls take heat too.
///
/// r = 1 + Σ V (wall heat ÷ water heat) / Σ V
///
/// # Symbols
/// | here    | meaning                                     | unit |
/// |---------|---------------------------------------------|------|
/// | `pipes` | the pipes from source to tap                | –    |
/// | `water` | the water, for its density and specific heat| –    |
/// | result  | r, at least 1                               | –    |
///
/// # Valid
/// Any pipes; no pipe gives 1.
/// # Outside
/// Nothing is refused.
/// # Assumes
/// Wall and water meet at one temperature, no heat leaves the wall: a lower bound for water at the source's temperature.
/// # Source
/// Heat balance, computed from wall weights (ASTM B88) and specific heats (from memory): 1.20 for 3/4 in type L, 1.31
/// for 3/4 in type K, 1.34 for 3/4 in PEX.
/// # Example
/// ```
/// use quantity::{Length, Temperature};
/// use tables::pipe::PipeMaterial;
/// use water::{Water, pipe::Pipe, wait::least_flow_ratio};
/// let pipe = Pipe::of(PipeMaterial::Pex, "3/4 in".parse()?, Length::from_feet(50.0))?;
/// let ratio = least_flow_ratio(&[pipe], &Water::in_house(Temperature::from_fahrenheit(90.0))?);
/// assert!((ratio.as_fraction() - 1.34).abs() < 0.01);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn least_flow_ratio(pipes: &[Pipe], water: &Water) -> Ratio {
    let volume = path_volume(pipes);
    if volume <= Volume::zero() {
        return Ratio::from_fraction(1.0);
    }
    let with_wall: Volume = pipes
        .iter()
        .map(|pipe| pipe.volume() * pipe.wall_heat_ratio(water).as_fraction())
        .sum();
    Ratio::from_fraction(1.0 + with_wall / volume)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use quantity::{Length, Temperature};
    use tables::pipe::PipeMaterial;

    #[test]
    fn plug_flow_waits() {
        for case in &checks::load("water/wait.toml").cases {
            let pipe = Pipe::of(
                PipeMaterial::CopperL,
                "3/4 in".parse().unwrap(),
                Length::from_feet(case.given("length_ft")),
            )
            .unwrap();
            let found = wait(
                pipe.volume(),
                VolumeFlow::from_gallons_per_minute(case.given("flow_gpm")),
                Ratio::from_fraction(case.given("flow_ratio")),
                Time::zero(),
            )
            .unwrap();
            case.close("time_s", found.time.as_seconds());
        }
    }

    #[test]
    fn a_mixed_path_lies_between_its_pipes() {
        let water = Water::in_house(Temperature::from_fahrenheit(60.0)).unwrap();
        let of = |material, ft| Pipe::of(material, "3/4 in".parse().unwrap(), Length::from_feet(ft)).unwrap();
        let (copper, plastic) = (of(PipeMaterial::CopperM, 30.0), of(PipeMaterial::Pex, 30.0));
        let ratio = |pipes: &[Pipe]| least_flow_ratio(pipes, &water).as_fraction();
        assert!(
            ratio(&[copper]) < ratio(&[copper, plastic]) && ratio(&[copper, plastic]) < ratio(&[plastic])
        );
        assert!((ratio(&[]) - 1.0).abs() < 1e-15);
    }

    #[test]
    fn without_flow_there_is_no_answer() {
        let one = Ratio::from_fraction(1.0);
        for gpm in [0.0, -1.0, f64::NAN] {
            let flow = VolumeFlow::from_gallons_per_minute(gpm);
            assert!(
                wait(Volume::from_gallons(1.0), flow, one, Time::zero()).is_err(),
                "{gpm}"
            );
        }
    }

    proptest! {
        #[test]
        fn the_water_run_is_flow_times_time(gal in 0.0_f64..20.0, gpm in 0.1_f64..10.0, ratio in 1.0_f64..2.0, delay_s in 0.0_f64..60.0) {
            let flow = VolumeFlow::from_gallons_per_minute(gpm);
            let found = wait(Volume::from_gallons(gal), flow, Ratio::from_fraction(ratio), Time::from_seconds(delay_s)).unwrap();
            prop_assert!((found.water_run.as_gallons() - (flow * found.time).as_gallons()).abs() < 1e-9);
        }
    }
}
