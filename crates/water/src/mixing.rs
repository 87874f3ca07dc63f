//! Hot and cold at a tap: how much hot water a draw takes, what several draws get from one heater, what a power sustains.
//!
//! In: temperatures, mixed flows, a heater. Out: hot shares and flows, temperatures at the taps. Start at [`hot_share`]
//! for one tap and [`serve`] for several. Does not know pipes or pressure.
//!
//! Shares are by mass and weighed by enthalpy, so mixing neither makes nor loses heat; all flows are volumes of the cold
//! inlet water (see the head of the crate). The trade's (Tm − Tc)/(Th − Tc) differs by less than 0.001.

use crate::error::{WaterError, not_below, within};
use crate::heating::{Heater, checked_power, enthalpy_rise, flow_heated};
use crate::properties::Water;
use quantity::{Power, Ratio, Temperature, VolumeFlow};

/// Share of hot water in a mix.
///
/// x = ( h(Tm) − h(Tc) ) / ( h(Th) − h(Tc) )
///
/// # Symbols
/// | here    | meaning                          | kind          |
/// |---------|----------------------------------|---------------|
/// | `mixed` | Tm, temperature of the mix       | `Temperature` |
/// | `hot`   | Th, temperature of the hot side  | `Temperature` |
/// | `cold`  | the cold side: Tc and pressure   | `Water`       |
/// | result  | x, from 0 to 1, by mass          | `Ratio`       |
///
/// # Valid
/// Tc ≤ Tm ≤ Th, Tc < Th.
/// # Outside
/// [`WaterError::NotWarmer`]: no mix of the two is warmer than the hot or cooler than the cold.
/// # Assumes
/// No loss on the way to the tap.
/// # Source
/// Heat balance; handbook of the project, section 7.
/// # Example
/// ```
/// use quantity::Temperature;
/// use water::{Water, mixing::hot_share};
/// let f = Temperature::from_fahrenheit;
/// // 105 °F from 120 and 50 °F: 55/70 = 0.7857 with one specific heat for all; ours weighs enthalpies.
/// let share = hot_share(f(105.0), f(120.0), &Water::in_house(f(50.0))?)?;
/// assert!((share.as_fraction() - 0.7857).abs() < 5e-4);
/// # Ok::<(), water::WaterError>(())
/// ```
pub fn hot_share(mixed: Temperature, hot: Temperature, cold: &Water) -> Result<Ratio, WaterError> {
    not_below("the mix", mixed, "the cold water", cold.temperature())?;
    not_below("the hot water", hot, "the mix", mixed)?;
    let (whole, part) = (enthalpy_rise(cold, hot)?, enthalpy_rise(cold, mixed)?);
    if whole <= 0.0 {
        return Err(WaterError::NotWarmer {
            warmer: "the hot water",
            warm: hot,
            cooler: "the cold water",
            cool: cold.temperature(),
        });
    }
    Ok(Ratio::from_fraction((part / whole).min(1.0)))
}

/// Temperature of a mix with a given share of hot water.
///
/// # Errors
/// When the share is not from 0 to 1 or the hot side is cooler than the cold.
///
/// ```
/// use quantity::{Ratio, Temperature};
/// use water::{Water, mixing::mixed_temperature};
/// let f = Temperature::from_fahrenheit;
/// let mixed = mixed_temperature(Ratio::from_fraction(0.5), f(120.0), &Water::in_house(f(50.0))?)?;
/// assert!((mixed.as_fahrenheit() - 85.0).abs() < 0.1);
/// # Ok::<(), water::WaterError>(())
/// ```
pub fn mixed_temperature(share: Ratio, hot: Temperature, cold: &Water) -> Result<Temperature, WaterError> {
    let share = within("the share of hot water", share, 0.0, 100.0, "%")?;
    not_below("the hot water", hot, "the cold water", cold.temperature())?;
    let rise = enthalpy_rise(cold, hot)?;
    cold.temperature_at_enthalpy(cold.enthalpy_j_per_kg() + share.as_fraction() * rise)
}

/// A draw of mixed water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Draw {
    /// Flow from the tap, hot and cold together, as the volume of cold inlet water.
    pub flow: VolumeFlow,
    /// Temperature wanted.
    pub use_temperature: Temperature,
}

/// What a heater can do for the draws that run together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Served {
    /// Temperature of the hot water.
    pub hot: Temperature,
    /// Hot water all draws take together.
    pub hot_flow: VolumeFlow,
    /// Power that all draws would take at their use temperatures.
    pub power_wanted: Power,
    /// Power the heater takes.
    pub power: Power,
    /// Whether the heater holds its set point.
    pub holds_set_point: bool,
}

impl Served {
    /// The temperature a draw gets: what it wants, or the hot water unmixed where that is cooler.
    pub fn at(&self, draw: &Draw) -> Temperature {
        draw.use_temperature.min(self.hot)
    }

    /// Whether a draw gets the temperature it wants.
    pub fn satisfies(&self, draw: &Draw) -> bool {
        self.hot >= draw.use_temperature
    }
}

/// What several draws get from one heater, each mixing at its tap.
///
/// Σ ρ Qᵢ ( h(min(Tᵢ, Th)) − h(Tc) ) = P, solved for Th; Th no more than the set point
///
/// # Symbols
/// | here     | meaning                                       | kind          |
/// |----------|-----------------------------------------------|---------------|
/// | `heater` | P and the set point                           | `Heater`      |
/// | `inlet`  | the cold water: Tc, ρ                         | `Water`       |
/// | `draws`  | Qᵢ and Tᵢ, all running together               | `[Draw]`      |
/// | result   | Th and what follows                           | `Served`      |
///
/// # Valid
/// Any number of draws, each 0 to 100 gpm.
/// # Outside
/// [`WaterError::OutOfRange`]. A draw that wants no more than the cold water takes no hot water.
/// # Assumes
/// Whoever runs short opens the hot side until no cold water is mixed in, and keeps the flow; draws that still can, go
/// on mixing. Flows do not change with the position of the tap. No loss on the way.
/// # Source
/// Heat balance. Power does not depend on the set point as long as it is held: handbook of the project, section 7.
/// # Example
/// ```
/// use quantity::{Power, Temperature, VolumeFlow};
/// use water::{Water, heating::Heater, mixing::{Draw, serve}};
/// let f = Temperature::from_fahrenheit;
/// let heater = Heater { power: Power::from_kilowatts(18.0), set_point: f(120.0) };
/// let shower = Draw { flow: VolumeFlow::from_gallons_per_minute(1.8), use_temperature: f(105.0) };
/// // Two showers from 50 °F want 0.1465 · 3.6 · 55 = 29.0 kW; 18 kW warm both to 50 + 18/(0.1465 · 3.6) = 84.1 °F.
/// let served = serve(&heater, &Water::in_house(f(50.0))?, &[shower, shower])?;
/// assert!((served.power_wanted.as_kilowatts() - 29.0).abs() < 0.1);
/// assert!((served.at(&shower).as_fahrenheit() - 84.1).abs() < 0.1);
/// # Ok::<(), water::WaterError>(())
/// ```
pub fn serve(heater: &Heater, inlet: &Water, draws: &[Draw]) -> Result<Served, WaterError> {
    let available = checked_power(heater.power)?;
    for draw in draws {
        within("the flow of a draw", draw.flow, 0.0, 100.0, "gpm")?;
        within(
            "the use temperature of a draw",
            draw.use_temperature,
            0.0,
            100.0,
            "°C",
        )?;
    }
    let power_wanted = power_at(inlet, draws, None)?;
    let set_point = heater.set_point.max(inlet.temperature());
    let at_set_point = power_at(inlet, draws, Some(set_point))?;
    let (hot, power) = if at_set_point <= available {
        (set_point, at_set_point)
    } else {
        (short_hot_temperature(inlet, draws, available)?, available)
    };
    Ok(Served {
        hot,
        hot_flow: hot_flow(inlet, draws, hot)?,
        power_wanted,
        power,
        holds_set_point: at_set_point <= available,
    })
}

/// Power of all draws, each at its use temperature but none above `ceiling`.
fn power_at(inlet: &Water, draws: &[Draw], ceiling: Option<Temperature>) -> Result<Power, WaterError> {
    let mut watts = 0.0;
    for draw in draws {
        let wanted = ceiling.map_or(draw.use_temperature, |hot| draw.use_temperature.min(hot));
        watts += kilograms_per_second(inlet, draw) * enthalpy_rise(inlet, wanted.max(inlet.temperature()))?;
    }
    Ok(Power::from_watts(watts))
}

/// The hot temperature at which the draws take exactly the power there is: those who want more run unmixed.
fn short_hot_temperature(inlet: &Water, draws: &[Draw], available: Power) -> Result<Temperature, WaterError> {
    // The power is straight in the hot side's enthalpy between one use temperature and the next. Whoever wants less
    // than the answer mixes and takes its own heat; the rest share what is left by mass. Start with all short and set
    // aside, round by round, those the common temperature would satisfy.
    let mut common = inlet.temperature();
    loop {
        let mut left_w = available.as_watts();
        let mut sharing_kg_per_s = 0.0;
        for draw in draws {
            if draw.use_temperature <= common {
                left_w -= kilograms_per_second(inlet, draw)
                    * enthalpy_rise(inlet, draw.use_temperature.max(inlet.temperature()))?;
            } else {
                sharing_kg_per_s += kilograms_per_second(inlet, draw);
            }
        }
        if sharing_kg_per_s <= 0.0 {
            return Ok(common);
        }
        let found = inlet
            .temperature_at_enthalpy(inlet.enthalpy_j_per_kg() + (left_w / sharing_kg_per_s).max(0.0))?;
        let satisfied_more = draws
            .iter()
            .any(|draw| draw.use_temperature > common && draw.use_temperature <= found);
        if !satisfied_more {
            return Ok(found);
        }
        // The lowest use temperature that the shared heat would pass joins those who mix.
        common = draws
            .iter()
            .map(|draw| draw.use_temperature)
            .filter(|wanted| *wanted > common && *wanted <= found)
            .fold(found, Temperature::min);
    }
}

fn hot_flow(inlet: &Water, draws: &[Draw], hot: Temperature) -> Result<VolumeFlow, WaterError> {
    let mut sum = VolumeFlow::zero();
    if hot <= inlet.temperature() {
        return Ok(sum);
    }
    for draw in draws {
        let mixed = draw.use_temperature.min(hot).max(inlet.temperature());
        sum += draw.flow * hot_share(mixed, hot, inlet)?.as_fraction();
    }
    Ok(sum)
}

fn kilograms_per_second(inlet: &Water, draw: &Draw) -> f64 {
    crate::heating::mass_flow(draw.flow, inlet).as_kilograms_per_second()
}

/// The largest mixed flow at a use temperature that a power sustains; a tap has to be throttled to it.
///
/// # Errors
/// As [`flow_heated`].
///
/// ```
/// use quantity::{Power, Temperature};
/// use water::{Water, mixing::sustained_flow};
/// let f = Temperature::from_fahrenheit;
/// // 18 kW at 55 °F rise: 18 / (0.1465 · 55) = 2.23 gpm at 105 °F, whatever the set point.
/// let flow = sustained_flow(Power::from_kilowatts(18.0), &Water::in_house(f(50.0))?, f(105.0))?;
/// assert!((flow.as_gallons_per_minute() - 2.23).abs() < 0.01);
/// # Ok::<(), water::WaterError>(())
/// ```
pub fn sustained_flow(
    power: Power,
    inlet: &Water,
    use_temperature: Temperature,
) -> Result<VolumeFlow, WaterError> {
    not_below(
        "the use temperature",
        use_temperature,
        "the cold water",
        inlet.temperature(),
    )?;
    flow_heated(power, inlet, use_temperature)
}

#[cfg(test)]
mod tests;
