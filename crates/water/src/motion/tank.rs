//! A storage tank in time: layers that keep apart by density, elements with thermostats, loss to the room.
//!
//! In: the water that enters at the bottom. Out: the water that leaves at the top, and the heat put in and lost. Layers
//! move up as plugs; the jet of the entering water mixes the bottom; an element warms all water above it that is no
//! warmer, and none below it, which is what a large draw leaves behind and a recovery has to work through.

use super::exponential::passes_after;
use super::stream::{Piece, Stream};
use quantity::{Power, Ratio, Temperature, TemperatureDifference, Volume};

/// Loss of a heater that stands hot: a power at a difference to the room, as a rating states it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StandbyLoss {
    /// Power lost.
    pub power: Power,
    /// At this difference between water and room.
    pub difference: TemperatureDifference,
}

impl StandbyLoss {
    pub(super) fn watts_per_kelvin(&self) -> f64 {
        let difference_k = self.difference.as_celsius();
        if difference_k > 0.0 {
            self.power.as_watts() / difference_k
        } else {
            0.0
        }
    }
}

/// An element of a tank with its thermostat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TankElement {
    /// Power it really delivers.
    pub power: Power,
    /// Where it sits: 0 at the bottom, 1 at the top.
    pub height: Ratio,
}

/// A storage tank with resistance elements.
#[derive(Debug, Clone, PartialEq)]
pub struct StorageTank {
    /// Water in it.
    pub volume: Volume,
    /// Temperature at which its thermostats switch off.
    pub set_point: Temperature,
    /// How far the water at a thermostat falls before it switches on.
    pub dead_band: TemperatureDifference,
    /// Its elements, the upper first, which has the right of way.
    pub elements: Vec<TankElement>,
    /// All may be on at once; otherwise a lower one waits for the upper.
    pub simultaneous: bool,
    /// What it loses.
    pub standby: StandbyLoss,
    /// Part of the tank that the entering water mixes at the bottom.
    pub inlet_mixing: Ratio,
    /// Temperature around it.
    pub surroundings: Temperature,
}

#[derive(Debug, Clone, Copy)]
struct Layer {
    volume_l: f64,
    temp_c: f64,
}

#[derive(Debug, Clone, Copy)]
struct Element {
    power: f64,
    below_l: f64,
    /// What its thermostat asks.
    calls: bool,
    /// Whether the interlock lets it.
    on: bool,
}

/// Numbers of a tank in the units of a run.
#[derive(Debug, Clone)]
pub(super) struct Tank {
    volume_l: f64,
    set_c: f64,
    on_c: f64,
    simultaneous: bool,
    mixing_l: f64,
    loss_per_s: f64,
    around_c: f64,
    elements: Vec<Element>,
    /// From the bottom up.
    layers: Vec<Layer>,
    clock_s: f64,
    heated_kl: f64,
    lost_kl: f64,
}

impl Tank {
    pub(super) fn new(tank: &StorageTank, joules_per_kl: f64) -> Self {
        let volume_l = tank.volume.as_liters();
        let mut new = Self {
            volume_l,
            set_c: tank.set_point.as_celsius(),
            on_c: tank.set_point.as_celsius() - tank.dead_band.as_celsius().max(DEAD_BAND_LEAST_K),
            simultaneous: tank.simultaneous,
            mixing_l: volume_l * tank.inlet_mixing.as_fraction(),
            loss_per_s: tank.standby.watts_per_kelvin() / joules_per_kl / volume_l,
            around_c: tank.surroundings.as_celsius(),
            elements: tank
                .elements
                .iter()
                .map(|element| Element {
                    power: element.power.as_watts() / joules_per_kl,
                    below_l: volume_l * element.height.as_fraction(),
                    calls: false,
                    on: false,
                })
                .collect(),
            layers: Vec::with_capacity(LAYERS_MAX + 8),
            clock_s: 0.0,
            heated_kl: 0.0,
            lost_kl: 0.0,
        };
        new.fill(new.set_c);
        new
    }

    pub(super) fn fill(&mut self, temp_c: f64) {
        self.layers.clear();
        self.layers.push(Layer {
            volume_l: self.volume_l,
            temp_c,
        });
        for element in &mut self.elements {
            element.calls = false;
            element.on = false;
        }
    }

    pub(super) fn set_clock(&mut self, clock_s: f64) {
        self.clock_s = clock_s;
    }

    pub(super) fn heated_kl(&self) -> f64 {
        self.heated_kl
    }

    pub(super) fn lost_kl(&self) -> f64 {
        self.lost_kl
    }

    pub(super) fn stored_kl(&self) -> f64 {
        self.layers
            .iter()
            .map(|layer| layer.volume_l * layer.temp_c)
            .sum()
    }

    pub(super) fn end_temp_c(&self) -> f64 {
        self.layers.last().map_or(self.around_c, |layer| layer.temp_c)
    }

    /// Stands without flow until `until_s`: cools, and heats when a thermostat calls.
    pub(super) fn stand(&mut self, until_s: f64) {
        let mut left_s = until_s - self.clock_s;
        while left_s > STEP_LEAST_S {
            self.thermostats();
            let heating = self.elements.iter().any(|element| element.on);
            let step_s = if heating {
                HEATING_STEP_S
            } else {
                self.quiet_for_s()
            };
            let step_s = step_s.clamp(STEP_LEAST_S, left_s);
            self.cool(step_s);
            self.heat(step_s);
            left_s -= step_s;
        }
        self.clock_s = self.clock_s.max(until_s);
    }

    /// How long until a thermostat calls.
    fn quiet_for_s(&self) -> f64 {
        let mut least_s = f64::INFINITY;
        for element in &self.elements {
            let here_c = self.at(element.below_l);
            if let Some(run) = passes_after(here_c, self.around_c, self.on_c)
                && self.loss_per_s > 0.0
            {
                least_s = least_s.min(run / self.loss_per_s);
            }
        }
        least_s
    }

    /// Passes `inflow` for one event.
    pub(super) fn run(
        &mut self,
        span_s: f64,
        flow_l_per_s: f64,
        inflow: &[Piece],
        out: &mut Stream,
        fine_k: f64,
    ) {
        out.clear();
        let step_most_s = (self.volume_l * STEP_SHARE / flow_l_per_s).min(HEATING_STEP_S);
        for piece in inflow {
            let mut left_s = piece.duration_s;
            while left_s > 0.0 {
                // No sliver is left for a last step.
                let step_s = if left_s < 1.5 * step_most_s {
                    left_s
                } else {
                    step_most_s
                };
                self.thermostats();
                self.cool(step_s);
                self.heat(step_s);
                self.lift(flow_l_per_s * step_s, flow_l_per_s, piece.temp_c, out, fine_k);
                left_s -= step_s;
            }
        }
        self.clock_s += span_s;
    }

    /// Loss of a time, with nothing else happening.
    fn cool(&mut self, span_s: f64) {
        let left = (-self.loss_per_s * span_s).exp();
        for layer in &mut self.layers {
            let excess_k = layer.temp_c - self.around_c;
            self.lost_kl += excess_k * (1.0 - left) * layer.volume_l;
            layer.temp_c = self.around_c + excess_k * left;
        }
    }

    fn thermostats(&mut self) {
        let mut upper_calls = false;
        for at in 0..self.elements.len() {
            let here_c = self.at(self.elements[at].below_l);
            let element = &mut self.elements[at];
            if here_c >= self.set_c - THERE_K {
                element.calls = false;
            } else if here_c <= self.on_c + THERE_K {
                element.calls = true;
            }
            element.on = element.calls && (self.simultaneous || !upper_calls);
            upper_calls |= element.calls;
        }
    }

    /// Temperature just above a height.
    fn at(&self, below_l: f64) -> f64 {
        let mut seen_l = 0.0;
        for layer in &self.layers {
            seen_l += layer.volume_l;
            if seen_l > below_l + LEAST_L {
                return layer.temp_c;
            }
        }
        self.end_temp_c()
    }

    /// Heat from the elements that call, for at most `span_s`.
    fn heat(&mut self, span_s: f64) {
        for at in 0..self.elements.len() {
            let element = self.elements[at];
            let mut left_s = span_s;
            while self.elements[at].on && left_s > 0.0 {
                let bottom = self.split(element.below_l);
                let mut top = bottom;
                // Water above that is no warmer rises into the same plume.
                let mut zone_l = self.layers[bottom].volume_l;
                let mut zone_c = self.layers[bottom].temp_c;
                while top + 1 < self.layers.len() && self.layers[top + 1].temp_c <= zone_c + THERE_K {
                    top += 1;
                    let layer = self.layers[top];
                    zone_c += (layer.temp_c - zone_c) * layer.volume_l / (zone_l + layer.volume_l);
                    zone_l += layer.volume_l;
                }
                let above_c = self
                    .layers
                    .get(top + 1)
                    .map_or(f64::INFINITY, |layer| layer.temp_c);
                let reach_c = above_c.min(self.set_c);
                let needed_s = (reach_c - zone_c).max(0.0) * zone_l / element.power.max(1e-12);
                let step_s = needed_s.min(left_s);
                let put_in = element.power * step_s;
                zone_c += put_in / zone_l;
                self.heated_kl += put_in;
                self.layers[bottom] = Layer {
                    volume_l: zone_l,
                    temp_c: zone_c,
                };
                self.layers.drain(bottom + 1..=top);
                left_s -= step_s;
                if zone_c >= self.set_c - THERE_K {
                    self.elements[at].calls = false;
                    self.elements[at].on = false;
                }
            }
        }
    }

    /// Cuts the layer that holds a height there; gives the index of the layer that begins at it.
    fn split(&mut self, below_l: f64) -> usize {
        let mut seen_l = 0.0;
        for at in 0..self.layers.len() {
            let layer = self.layers[at];
            if seen_l + layer.volume_l > below_l + LEAST_L {
                let under_l = below_l - seen_l;
                if under_l <= LEAST_L {
                    return at;
                }
                self.layers[at].volume_l = layer.volume_l - under_l;
                self.layers.insert(
                    at,
                    Layer {
                        volume_l: under_l,
                        temp_c: layer.temp_c,
                    },
                );
                return at + 1;
            }
            seen_l += layer.volume_l;
        }
        self.layers.len().saturating_sub(1)
    }

    /// Water enters at the bottom and as much leaves at the top.
    fn lift(&mut self, volume_l: f64, flow_l_per_s: f64, inlet_c: f64, out: &mut Stream, fine_k: f64) {
        self.enter(volume_l, inlet_c);
        let mut due_l = volume_l;
        while due_l > 0.0 {
            let Some(top) = self.layers.last_mut() else { break };
            let taken_l = top.volume_l.min(due_l);
            let temp_c = top.temp_c;
            top.volume_l -= taken_l;
            let empty = top.volume_l <= 0.0;
            out.push(taken_l / flow_l_per_s, temp_c, 0.25 * fine_k);
            due_l -= taken_l;
            if empty {
                self.layers.pop();
            }
        }
        self.overturn();
        while self.layers.len() > LAYERS_MAX {
            self.join_the_most_alike();
        }
    }

    /// The entering jet keeps the lowest part mixed; what it pushes out of that part becomes the layer above.
    fn enter(&mut self, volume_l: f64, inlet_c: f64) {
        if self.mixing_l <= LEAST_L {
            self.layers.insert(
                0,
                Layer {
                    volume_l,
                    temp_c: inlet_c,
                },
            );
            return;
        }
        let until = if self.mixing_l >= self.volume_l - LEAST_L {
            self.layers.len()
        } else {
            self.split(self.mixing_l)
        };
        self.join(0, until);
        let zone = &mut self.layers[0];
        let before_c = zone.temp_c;
        zone.temp_c = inlet_c + (before_c - inlet_c) * (-volume_l / zone.volume_l).exp();
        let pushed_c = inlet_c + (before_c - zone.temp_c) * zone.volume_l / volume_l;
        self.layers.insert(
            1,
            Layer {
                volume_l,
                temp_c: pushed_c,
            },
        );
    }

    /// Joins the layers from `from` up to `until`, without it.
    fn join(&mut self, from: usize, until: usize) {
        if until <= from + 1 {
            return;
        }
        let joined = self.layers[from..until].iter().fold(
            Layer {
                volume_l: 0.0,
                temp_c: 0.0,
            },
            |sum, layer| Layer {
                volume_l: sum.volume_l + layer.volume_l,
                temp_c: sum.temp_c
                    + (layer.temp_c - sum.temp_c) * layer.volume_l / (sum.volume_l + layer.volume_l),
            },
        );
        self.layers[from] = joined;
        self.layers.drain(from + 1..until);
    }

    /// Warmer water below cooler rises and mixes with it.
    fn overturn(&mut self) {
        let mut at = 0;
        while at + 1 < self.layers.len() {
            if self.layers[at].temp_c > self.layers[at + 1].temp_c {
                self.join(at, at + 2);
                at = at.saturating_sub(1);
            } else {
                at += 1;
            }
        }
    }

    fn join_the_most_alike(&mut self) {
        let cost = |at: usize| {
            let (a, b) = (self.layers[at], self.layers[at + 1]);
            a.volume_l * b.volume_l / (a.volume_l + b.volume_l) * (a.temp_c - b.temp_c).powi(2)
        };
        let best = (0..self.layers.len() - 1).min_by(|a, b| cost(*a).total_cmp(&cost(*b)));
        if let Some(best) = best {
            self.join(best, best + 2);
        }
    }

    /// How long the top stays between two temperatures; never more than the tank's own steps can tell.
    pub(super) fn end_within(&self, low_c: f64, high_c: f64, flow_l_per_s: f64) -> f64 {
        let mut seen_l = 0.0;
        for layer in self.layers.iter().rev() {
            if layer.temp_c <= low_c || layer.temp_c >= high_c {
                break;
            }
            seen_l += layer.volume_l;
        }
        (seen_l / flow_l_per_s).min(HEATING_STEP_S)
    }
}

const LAYERS_MAX: usize = 24;
/// A thermostat that never rests would switch without end.
const DEAD_BAND_LEAST_K: f64 = 0.5;
/// Closer than this counts as there.
const THERE_K: f64 = 1e-9;
const LEAST_L: f64 = 1e-9;
const STEP_LEAST_S: f64 = 1e-3;
/// Heat and loss take turns within a step of this length.
const HEATING_STEP_S: f64 = 60.0;
/// Part of the tank that passes within one step.
const STEP_SHARE: f64 = 0.02;
