//! The person at the tap and the power of the heater, solved together with the network.
//!
//! In: a [`Solver`] whose taps are mixing valves with an outlet behind, heaters with power and set point. Out: shares,
//! flows and temperatures at every tap, and what each heater does. Start at [`serve`].
//!
//! A person holds a use temperature and a flow. As long as the heaters hold their set points, the share of hot water
//! follows from the temperatures and the network gives the flow. When a heater cannot, [`WhenShort`] says what the
//! person does. Steady: no wait, no loss on the way (see the head of `steady_heat`).

use super::error::NetworkError;
use super::model::{Device, LinkId};
use super::solver::Solver;
use super::steady_heat::{SteadyHeat, Warming};
use crate::error::within;
use crate::heating::enthalpy_rise;
use crate::properties::Water;
use quantity::{Power, Ratio, Temperature, VolumeFlow};

/// What a person does when the hot water is not hot enough for the wish.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WhenShort {
    /// Leaves the tap as it was set for the heater's set point: the flow stays, the water gets cooler.
    KeepSetting,
    /// Opens the hot side until no cold water is mixed in.
    OpenHot,
    /// Closes the tap down to the largest flow that still has the use temperature.
    Throttle,
}

/// A tap and what is wanted of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tap {
    /// The mixing valve.
    pub mixer: LinkId,
    /// The outlet behind it.
    pub outlet: LinkId,
    /// Temperature wanted.
    pub use_temperature: Temperature,
    /// Flow wanted; none for wide open.
    pub flow: Option<VolumeFlow>,
    /// What happens when hot water is short.
    pub when_short: WhenShort,
}

/// A heater on a link of the network.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Source {
    /// The link that is the heater, from its inlet to its outlet.
    pub heater: LinkId,
    /// Power it can put into the water.
    pub power: Power,
    /// Temperature it aims at.
    pub set_point: Temperature,
}

/// What a tap gets.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TapServed {
    /// Flow from the outlet.
    pub flow: VolumeFlow,
    /// Hot part of it.
    pub hot_flow: VolumeFlow,
    /// Temperature of the mix.
    pub temperature: Temperature,
    /// Temperature of the hot water at the tap.
    pub hot: Temperature,
    /// The flow to aim at where the person throttles the tap.
    pub throttled_to: Option<VolumeFlow>,
}

/// What a heater does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SourceServed {
    /// Flow through it.
    pub flow: VolumeFlow,
    /// Temperature behind it.
    pub outlet: Temperature,
    /// Power it takes.
    pub power: Power,
    /// Whether it holds its set point.
    pub holds_set_point: bool,
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Served {
    /// In the order of the taps.
    pub taps: Vec<TapServed>,
    /// In the order of the sources.
    pub sources: Vec<SourceServed>,
    /// Solves of the network it took.
    pub rounds: u32,
}

/// Solves allowed. Five are usual; a throttled tap beside others takes a few dozen.
const ROUNDS_MAX: u32 = 300;
/// Shares and flows have settled when none moves by more.
const SETTLED: f64 = 1e-8;

/// What taps and heaters come to when all run together. The solver is left at the answer.
///
/// x = (h(T) − hc)/(hh − hc) at each tap, hh carried by the flow from heaters that give min(h(Ts), hin + P/m)
///
/// # Symbols
/// | here      | meaning                                              | kind       |
/// |-----------|------------------------------------------------------|------------|
/// | `cold`    | what the supplies give: Tc and pressure               | `Water`    |
/// | `sources` | P and Ts on their links                               | `[Source]` |
/// | `taps`    | T, flow and behavior by tap; others stay as they are  | `[Tap]`    |
/// | result    | flows, temperatures, powers                           | `Served`   |
///
/// # Valid
/// Use temperatures and set points 0 to 100 °C.
/// # Outside
/// [`NetworkError::Value`]; [`NetworkError::NotConverged`] when shares and flows do not settle.
/// # Assumes
/// Steady; no heat lost on the way; a tap without a wish above its cold water takes no hot water.
/// # Source
/// Heat balance, as [`crate::mixing::serve`], whose answer it meets where flows do not depend on pressure.
/// # Example
/// ```
/// use quantity::{GaugePressure, Length, Power, PressureDifference, Ratio, Temperature, VolumeFlow};
/// use water::network::demand::{Source, Tap, WhenShort, serve};
/// use water::network::{Device, Fluid, FrictionLaw, Mixer, Network, OutletLaw, Solver};
/// use water::{LossCurve, Water, outlet::Outlet};
/// let f = Temperature::from_fahrenheit;
/// let (gpm, psi) = (VolumeFlow::from_gallons_per_minute, GaugePressure::from_psi);
/// let cold = Water::in_house(f(50.0))?;
/// let fluid = Fluid::from(cold);
/// let mut network = Network::new(FrictionLaw::Smooth, fluid);
/// let street = network.supply("street", Length::zero(), psi(60.0))?;
/// let hot = network.junction("hot", Length::zero(), VolumeFlow::zero())?;
/// let spout = network.junction("spout", Length::zero(), VolumeFlow::zero())?;
/// let curve = LossCurve::through(&[(gpm(3.0), PressureDifference::from_psi(8.0))])?;
/// let heater = network.link("heater", street, hot, fluid, Device::Loss(curve))?;
/// let side_loss = (gpm(3.0), PressureDifference::from_psi(2.0));
/// let valve = Mixer { hot, cold: street, mixed: spout, hot_share: Ratio::from_fraction(0.5), side_loss };
/// let mixer = network.mixer("valve", valve)?;
/// let head = Outlet::Compensated { flow: gpm(2.5), least_pressure: psi(20.0) };
/// let outlet = network.outlet("head", spout, OutletLaw::Fixture { outlet: head, throttled_to: None })?;
/// let mut solver = Solver::new(&network);
/// let source = Source { heater, power: Power::from_kilowatts(18.0), set_point: f(120.0) };
/// let tap = Tap { mixer, outlet, use_temperature: f(105.0), flow: None, when_short: WhenShort::Throttle };
/// let served = serve(&mut solver, &cold, &[source], &[tap])?;
/// // 18 kW at 55 °F rise: 18 / (0.1465 · 55) = 2.23 gpm at 105 °F, whatever the set point.
/// assert!((served.taps[0].flow.as_gallons_per_minute() - 2.23).abs() < 0.01);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn serve(
    solver: &mut Solver,
    cold: &Water,
    sources: &[Source],
    taps: &[Tap],
) -> Result<Served, NetworkError> {
    let task = Task::new(solver, cold, sources, taps)?;
    let mut search = Search {
        share: vec![Share::default(); taps.len()],
        heat: SteadyHeat::default(),
        unlimited: SteadyHeat::default(),
    };
    for tap in taps {
        solver.set_throttle(tap.outlet, tap.flow)?;
    }
    for rounds in 1..=ROUNDS_MAX {
        solver.solve()?;
        if search.round(solver, &task)? {
            return search.answer(solver, &task, rounds);
        }
    }
    Err(NetworkError::NotConverged {
        element: taps.first().map_or_else(String::new, |tap| {
            solver.network.links[tap.mixer.0 as usize].name.clone()
        }),
        residual_pa: solver.state.report.residual_pa,
        state_changes: 0,
        iterations: ROUNDS_MAX,
    })
}

/// What is asked, in numbers.
struct Task<'a> {
    cold: &'a Water,
    sources: &'a [Source],
    taps: &'a [Tap],
    warming: Vec<Warming>,
    boundless: Vec<Warming>,
    /// Heat content wanted at each tap.
    wanted_j_per_kg: Vec<f64>,
    /// Places of each tap's hot and cold side.
    sides: Vec<(u32, u32)>,
}

impl<'a> Task<'a> {
    fn new(
        solver: &Solver,
        cold: &'a Water,
        sources: &'a [Source],
        taps: &'a [Tap],
    ) -> Result<Self, NetworkError> {
        let unknown = |what: &str| NetworkError::Unknown {
            what: what.to_owned(),
        };
        let content = |what: &'static str, name: &str, temperature: Temperature| {
            within(what, temperature, 0.0, 100.0, "°C")
                .and_then(|temperature| {
                    let warm = temperature.max(cold.temperature());
                    Ok(cold.enthalpy_j_per_kg() + enthalpy_rise(cold, warm)?)
                })
                .map_err(NetworkError::of(name))
        };
        let mut warming = Vec::with_capacity(sources.len());
        for source in sources {
            let index = source.heater.0 as usize;
            let link = solver
                .network
                .links
                .get(index)
                .ok_or_else(|| unknown("the heater"))?;
            within("the power of the heater", source.power, 0.0, 1e4, "kW")
                .map_err(NetworkError::of(&link.name))?;
            warming.push(Warming {
                part: solver.kernel.first_of[index] as usize,
                aim_j_per_kg: content("the set point", &link.name, source.set_point)?,
                power_w: source.power.as_watts(),
            });
        }
        let boundless = warming
            .iter()
            .map(|one| Warming {
                power_w: f64::INFINITY,
                ..*one
            })
            .collect();
        let mut wanted_j_per_kg = Vec::with_capacity(taps.len());
        let mut sides = Vec::with_capacity(taps.len());
        for tap in taps {
            let link = solver.network.links.get(tap.mixer.0 as usize);
            let Some((link, Device::Mixer(mixer))) = link.map(|link| (link, &link.device)) else {
                return Err(unknown("the mixing valve of a tap"));
            };
            wanted_j_per_kg.push(content("the use temperature", &link.name, tap.use_temperature)?);
            let place = |node: super::NodeId| solver.kernel.place_of_node[node.0 as usize];
            sides.push((place(mixer.hot), place(mixer.cold)));
        }
        Ok(Self {
            cold,
            sources,
            taps,
            warming,
            boundless,
            wanted_j_per_kg,
            sides,
        })
    }
}

#[derive(Debug, Clone, Copy, Default)]
struct Share {
    hot: f64,
    throttled_to: Option<VolumeFlow>,
}

struct Search {
    share: Vec<Share>,
    heat: SteadyHeat,
    unlimited: SteadyHeat,
}

impl Search {
    /// Sets every tap by the temperatures of the last solve; true when nothing moved.
    fn round(&mut self, solver: &mut Solver, task: &Task<'_>) -> Result<bool, NetworkError> {
        let cold = task.cold.enthalpy_j_per_kg();
        self.heat.spread(solver, cold, &task.warming);
        self.unlimited.spread(solver, cold, &task.boundless);
        let mut still = true;
        for (index, tap) in task.taps.iter().enumerate() {
            let wanted = task.wanted_j_per_kg[index];
            let (hot_side, cold_side) = task.sides[index];
            let found = self.heat.content_j_per_kg[hot_side as usize];
            let at_cold = self.heat.content_j_per_kg[cold_side as usize];
            // At rest the hot side shows the cold supply; then a heater at its set point is expected.
            let ideal = task
                .warming
                .iter()
                .map(|one| one.aim_j_per_kg)
                .fold(self.unlimited.content_j_per_kg[hot_side as usize], f64::max);
            let flows = self.share[index].hot > 0.0;
            let reckoned = match tap.when_short {
                _ if !flows => ideal,
                WhenShort::KeepSetting => self.unlimited.content_j_per_kg[hot_side as usize],
                WhenShort::OpenHot | WhenShort::Throttle => found,
            };
            let share = if wanted <= at_cold {
                0.0
            } else if reckoned <= wanted {
                1.0
            } else {
                (wanted - at_cold) / (reckoned - at_cold)
            };
            let mut throttled_to = self.share[index].throttled_to;
            let short = flows && found < wanted && wanted > at_cold;
            if tap.when_short == WhenShort::Throttle && short && self.share[index].hot >= 1.0 {
                let density = solver.network.entering.density_kg_per_m3;
                let part = solver.kernel.first_of[tap.outlet.0 as usize] as usize;
                let flow_kg_per_s = solver.state.flow_kg_per_s[part];
                let sustained = flow_kg_per_s * ((found - at_cold) / (wanted - at_cold)).max(1e-3);
                let to = VolumeFlow::from_cubic_meters_per_second(sustained.max(1e-6) / density);
                let before = throttled_to.or(tap.flow);
                if before.is_none_or(|before| (to / before - 1.0).abs() > SETTLED) {
                    still = false;
                    throttled_to = Some(to);
                    solver.set_throttle(tap.outlet, throttled_to)?;
                }
            }
            if (share - self.share[index].hot).abs() > SETTLED {
                still = false;
                solver.set_hot_share(tap.mixer, Ratio::from_fraction(share))?;
            }
            self.share[index] = Share {
                hot: share,
                throttled_to,
            };
        }
        Ok(still)
    }

    fn answer(&self, solver: &Solver, task: &Task<'_>, rounds: u32) -> Result<Served, NetworkError> {
        let density = solver.network.entering.density_kg_per_m3;
        let volume = |kg_per_s: f64| VolumeFlow::from_cubic_meters_per_second(kg_per_s / density);
        let temperature = |name: LinkId, content: f64| {
            task.cold
                .temperature_at_enthalpy(content)
                .map_err(NetworkError::of(&solver.network.links[name.0 as usize].name))
        };
        let flow_of =
            |link: LinkId| solver.state.flow_kg_per_s[solver.kernel.first_of[link.0 as usize] as usize];
        let mut taps = Vec::with_capacity(task.taps.len());
        for ((tap, share), (hot_side, cold_side)) in task.taps.iter().zip(&self.share).zip(&task.sides) {
            let flow = flow_of(tap.outlet);
            let hot = self.heat.content_j_per_kg[*hot_side as usize];
            let cold = self.heat.content_j_per_kg[*cold_side as usize];
            taps.push(TapServed {
                flow: volume(flow),
                hot_flow: volume(flow * share.hot),
                temperature: temperature(tap.mixer, cold + share.hot * (hot - cold))?,
                hot: temperature(tap.mixer, hot)?,
                throttled_to: share.throttled_to,
            });
        }
        let mut sources = Vec::with_capacity(task.sources.len());
        for (source, warming) in task.sources.iter().zip(&task.warming) {
            let flow = flow_of(source.heater);
            let inlet = solver.kernel.ends[warming.part].from as usize;
            let before = self.heat.content_j_per_kg[inlet];
            let behind = warming.behind(before, flow);
            sources.push(SourceServed {
                flow: volume(flow),
                outlet: temperature(source.heater, behind)?,
                power: Power::from_watts(flow.max(0.0) * (behind - before)),
                holds_set_point: behind >= warming.aim_j_per_kg - 1e-3,
            });
        }
        Ok(Served {
            taps,
            sources,
            rounds,
        })
    }
}

#[cfg(test)]
mod tests;
