//! An on-demand unit in time: it sees the flow, waits, ramps up, holds its set point or gives what it has.
//!
//! In: the water that enters, piece by piece. Out: the water that leaves, and the heat put in and lost. Water and body
//! are one mixed volume. It gives all its power until the outlet reaches the set point, then what the heat balance of flow
//! and incoming temperature asks; what it cannot give steadily (below its least power, between two stages) it gives by
//! switching about its set point.

use super::exponential::{cuts, left_after, passes_after};
use super::stream::{Piece, Stream};
use super::tank::StandbyLoss;
use quantity::{Power, Temperature, Time, Volume, VolumeFlow};

/// How a unit sets its power.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Control {
    /// Any power from `least` up.
    Modulating {
        /// Least power it gives.
        least: Power,
    },
    /// Equal stages.
    Staged {
        /// How many.
        stages: u8,
    },
}

/// An on-demand unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OnDemandUnit {
    /// Outlet temperature it is set to.
    pub set_point: Temperature,
    /// Power it really delivers at its real voltage.
    pub power: Power,
    /// How it sets its power.
    pub control: Control,
    /// Flow at which it begins to heat.
    pub activation_flow: VolumeFlow,
    /// Flow below which it stops; not above the activation flow.
    pub drop_out_flow: VolumeFlow,
    /// From first flow to first heat.
    pub start_delay: Time,
    /// From no power to full power.
    pub ramp: Time,
    /// Water in it, with the heat of its body counted as water.
    pub thermal_volume: Volume,
    /// What it loses while it is hot.
    pub standby: StandbyLoss,
    /// Temperature around it.
    pub surroundings: Temperature,
}

/// Numbers of a unit in the units of a run: liters, seconds, °C, and heat in liters times kelvins.
#[derive(Debug, Clone)]
pub(super) struct Unit {
    set_c: f64,
    full: f64,
    control: UnitControl,
    activation_l_per_s: f64,
    drop_out_l_per_s: f64,
    start_delay_s: f64,
    ramp_s: f64,
    volume_l: f64,
    loss_l_per_s: f64,
    around_c: f64,
    firing: Firing,
    power: f64,
    upper: bool,
    temp_c: f64,
    clock_s: f64,
    heated_kl: f64,
    lost_kl: f64,
}

#[derive(Debug, Clone, Copy)]
enum UnitControl {
    Modulating { least: f64 },
    Staged { step: f64 },
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Firing {
    Off,
    Starting { left_s: f64 },
    On,
}

/// The power a unit steers to.
#[derive(Debug, Clone, Copy)]
enum Aim {
    Steady(f64),
    /// Switches between two.
    Between(f64, f64),
}

impl Unit {
    pub(super) fn new(unit: &OnDemandUnit, joules_per_kl: f64) -> Self {
        let power = |power: Power| power.as_watts() / joules_per_kl;
        let full = power(unit.power);
        Self {
            set_c: unit.set_point.as_celsius(),
            full,
            control: match unit.control {
                Control::Modulating { least } => UnitControl::Modulating {
                    least: power(least).min(full),
                },
                Control::Staged { stages } => UnitControl::Staged {
                    step: full / f64::from(stages.max(1)),
                },
            },
            activation_l_per_s: unit.activation_flow.as_liters_per_second(),
            drop_out_l_per_s: unit
                .drop_out_flow
                .min(unit.activation_flow)
                .as_liters_per_second(),
            start_delay_s: unit.start_delay.as_seconds(),
            ramp_s: unit.ramp.as_seconds(),
            volume_l: unit.thermal_volume.as_liters(),
            loss_l_per_s: unit.standby.watts_per_kelvin() / joules_per_kl,
            around_c: unit.surroundings.as_celsius(),
            firing: Firing::Off,
            power: 0.0,
            upper: false,
            temp_c: unit.surroundings.as_celsius(),
            clock_s: 0.0,
            heated_kl: 0.0,
            lost_kl: 0.0,
        }
    }

    pub(super) fn fill(&mut self, temp_c: f64) {
        self.temp_c = temp_c;
        self.firing = Firing::Off;
        self.power = 0.0;
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
        self.volume_l * self.temp_c
    }

    pub(super) fn end_temp_c(&self) -> f64 {
        self.temp_c
    }

    /// Stands without flow until `until_s`; it stops heating at once.
    pub(super) fn stand(&mut self, until_s: f64) {
        let span_s = until_s - self.clock_s;
        if span_s <= 0.0 {
            return;
        }
        self.firing = Firing::Off;
        self.power = 0.0;
        let excess_k = self.temp_c - self.around_c;
        let left = (-self.loss_l_per_s / self.volume_l * span_s).exp();
        self.lost_kl += excess_k * (1.0 - left) * self.volume_l;
        self.temp_c = self.around_c + excess_k * left;
        self.clock_s = until_s;
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
        match self.firing {
            Firing::Off if flow_l_per_s >= self.activation_l_per_s => {
                self.firing = Firing::Starting {
                    left_s: self.start_delay_s,
                };
            }
            Firing::Starting { .. } | Firing::On if flow_l_per_s < self.drop_out_l_per_s => {
                self.firing = Firing::Off;
            }
            _ => {}
        }
        for piece in inflow {
            let mut left_s = piece.duration_s;
            // Each round ends at a change of the unit's own; the count only guards against endless switching.
            for _ in 0..ROUNDS_MAX {
                if left_s <= 0.0 {
                    break;
                }
                let (slope, round_s) = self.round(flow_l_per_s, piece.temp_c, left_s);
                self.pass(flow_l_per_s, piece.temp_c, slope, round_s, out, fine_k);
                if let Firing::Starting { left_s } = &mut self.firing {
                    *left_s -= round_s;
                    if *left_s <= 0.0 {
                        self.firing = Firing::On;
                    }
                }
                left_s -= round_s;
            }
            if left_s > 0.0 {
                self.pass(flow_l_per_s, piece.temp_c, 0.0, left_s, out, fine_k);
            }
        }
        self.clock_s += span_s;
    }

    /// Sets the power at the beginning of a round; gives its slope and how long the round lasts.
    fn round(&mut self, flow_l_per_s: f64, inlet_c: f64, most_s: f64) -> (f64, f64) {
        match self.firing {
            Firing::Off => {
                self.power = 0.0;
                (0.0, most_s)
            }
            Firing::Starting { left_s } => {
                self.power = 0.0;
                (0.0, most_s.min(left_s.max(ROUND_LEAST_S)))
            }
            Firing::On => {
                let aim = self.aim(flow_l_per_s, inlet_c);
                let (target, mut round_s) = match aim {
                    Aim::Steady(power) if power < self.full && self.temp_c < self.set_c - BOOST_K => {
                        (self.full, self.boost_s(flow_l_per_s, inlet_c, most_s))
                    }
                    Aim::Steady(power) => (power, most_s),
                    Aim::Between(low, high) => self.switching(low, high, flow_l_per_s, inlet_c, most_s),
                };
                if self.power >= target || self.ramp_s <= 0.0 {
                    self.power = target;
                    return (0.0, round_s);
                }
                let slope = self.full / self.ramp_s;
                round_s = round_s.min((target - self.power) / slope);
                (slope, round_s.max(BOOST_LEAST_S).min(most_s))
            }
        }
    }

    /// The power that holds the set point at this flow, and whether the unit can give it steadily.
    fn aim(&self, flow_l_per_s: f64, inlet_c: f64) -> Aim {
        let needed = flow_l_per_s * (self.set_c - inlet_c) + self.loss_l_per_s * (self.set_c - self.around_c);
        if needed <= 0.0 {
            return Aim::Steady(0.0);
        }
        if needed >= self.full {
            return Aim::Steady(self.full);
        }
        match self.control {
            UnitControl::Modulating { least } if needed >= least => Aim::Steady(needed),
            UnitControl::Modulating { least } => Aim::Between(0.0, least),
            UnitControl::Staged { step } => {
                let below = (needed / step).floor() * step;
                Aim::Between(below, (below + step).min(self.full))
            }
        }
    }

    /// How long full power goes on while the outlet is too cool: until it reaches the set point.
    fn boost_s(&self, flow_l_per_s: f64, inlet_c: f64, most_s: f64) -> f64 {
        // While power still rises, what it will have at the end of a short round stands for all of it: the outlet gets
        // to the set point later than that says, never sooner.
        let (power, most_s) = if self.power < self.full && self.ramp_s > 0.0 {
            let later = self.power + self.full / self.ramp_s * RAMP_ROUND_S;
            (later.min(self.full), most_s.min(RAMP_ROUND_S))
        } else {
            (self.full, most_s)
        };
        let goal_c = self.goal_c(flow_l_per_s, inlet_c, power);
        passes_after(self.temp_c, goal_c, self.set_c)
            .map_or(most_s, |run| {
                (run / self.rate_per_s(flow_l_per_s)).max(BOOST_LEAST_S)
            })
            .min(most_s)
    }

    /// One of two powers, and how long until the outlet has run to the other edge of the band.
    fn switching(&mut self, low: f64, high: f64, flow_l_per_s: f64, inlet_c: f64, most_s: f64) -> (f64, f64) {
        if self.temp_c >= self.set_c + BAND_K {
            self.upper = false;
        } else if self.temp_c <= self.set_c - BAND_K {
            self.upper = true;
        }
        let power = if self.upper { high } else { low };
        let goal_c = self.goal_c(flow_l_per_s, inlet_c, power);
        let edge_c = if self.upper {
            self.set_c + BAND_K
        } else {
            self.set_c - BAND_K
        };
        let round_s = passes_after(self.temp_c, goal_c, edge_c).map_or(most_s, |run| {
            (run / self.rate_per_s(flow_l_per_s)).max(ROUND_LEAST_S)
        });
        (power, round_s.min(most_s))
    }

    fn rate_per_s(&self, flow_l_per_s: f64) -> f64 {
        (flow_l_per_s + self.loss_l_per_s) / self.volume_l
    }

    /// Temperature it runs to at a steady power.
    fn goal_c(&self, flow_l_per_s: f64, inlet_c: f64, power: f64) -> f64 {
        (flow_l_per_s * inlet_c + self.loss_l_per_s * self.around_c + power)
            / (flow_l_per_s + self.loss_l_per_s)
    }

    /// Passes water of one temperature while power rises evenly.
    fn pass(
        &mut self,
        flow_l_per_s: f64,
        inlet_c: f64,
        slope: f64,
        span_s: f64,
        out: &mut Stream,
        fine_k: f64,
    ) {
        let rate = self.rate_per_s(flow_l_per_s);
        // T runs to a goal that itself rises by `climb`.
        let climb = slope / (flow_l_per_s + self.loss_l_per_s);
        let lag_k = climb / rate;
        let goal_c = self.goal_c(flow_l_per_s, inlet_c, self.power);
        let begin_c = self.temp_c;
        let at = |time_s: f64| {
            goal_c + climb * time_s - lag_k + (begin_c - goal_c + lag_k) * left_after(rate * time_s)
        };
        let cuts = cuts((at(span_s) - begin_c).abs(), fine_k);
        let cut_s = span_s / f64::from(cuts);
        for cut in 1..=cuts {
            let (from_c, to_c) = (self.temp_c, at(cut_s * f64::from(cut)));
            let put_in = (self.power + 0.5 * slope * cut_s) * cut_s;
            self.power += slope * cut_s;
            // The balance over the cut gives the mean temperature that leaves.
            let conductance = flow_l_per_s + self.loss_l_per_s;
            let mean_c =
                (flow_l_per_s * inlet_c * cut_s + self.loss_l_per_s * self.around_c * cut_s + put_in
                    - self.volume_l * (to_c - from_c))
                    / (conductance * cut_s);
            self.heated_kl += put_in;
            self.lost_kl += self.loss_l_per_s * (mean_c - self.around_c) * cut_s;
            self.temp_c = to_c;
            out.push(cut_s, mean_c, 0.25 * fine_k);
        }
    }

    /// How long the outlet stays between two temperatures while the inlet stays as it is; the flag says whether only a
    /// change of the inlet can end it.
    pub(super) fn end_within(&self, low_c: f64, high_c: f64, flow_l_per_s: f64, inlet_c: f64) -> (f64, bool) {
        let inside = |temp_c: f64| temp_c > low_c && temp_c < high_c;
        if !inside(self.temp_c) {
            return (0.0, false);
        }
        let tau_s = 1.0 / self.rate_per_s(flow_l_per_s);
        let until = |goal_c: f64| {
            let mark_c = if goal_c <= low_c { low_c } else { high_c };
            passes_after(self.temp_c, goal_c, mark_c).unwrap_or(0.0) * tau_s
        };
        let heats = flow_l_per_s >= self.drop_out_l_per_s && self.firing != Firing::Off
            || flow_l_per_s >= self.activation_l_per_s;
        if !heats {
            let goal_c = self.goal_c(flow_l_per_s, inlet_c, 0.0);
            return if inside(goal_c) {
                (0.0, true)
            } else {
                (until(goal_c), false)
            };
        }
        let target = match self.aim(flow_l_per_s, inlet_c) {
            Aim::Steady(power) => power,
            Aim::Between(..) => {
                let whole = inside(self.set_c - 1.1 * BAND_K) && inside(self.set_c + 1.1 * BAND_K);
                return if whole { (0.0, true) } else { (0.25 * tau_s, false) };
            }
        };
        let boosts = target < self.full && self.temp_c < self.set_c - BOOST_K;
        let target = if boosts { self.full } else { target };
        let goal_c = self.goal_c(flow_l_per_s, inlet_c, target);
        match self.firing {
            // A boost ends at the set point, wherever full power would lead.
            Firing::On if boosts && self.power >= target => {
                let end_s = passes_after(self.temp_c, goal_c, self.set_c).unwrap_or(0.0) * tau_s;
                (
                    if inside(goal_c) {
                        end_s
                    } else {
                        end_s.min(until(goal_c))
                    },
                    false,
                )
            }
            Firing::On if self.power >= target => {
                if inside(goal_c) {
                    (0.0, true)
                } else {
                    (until(goal_c), false)
                }
            }
            Firing::On => (RAMP_LOOK_S, false),
            Firing::Starting { left_s } => {
                let cools_to = self.goal_c(flow_l_per_s, inlet_c, 0.0);
                let delay_s = left_s.max(RAMP_LOOK_S);
                if inside(cools_to) {
                    (delay_s, false)
                } else {
                    (until(cools_to).min(delay_s), false)
                }
            }
            Firing::Off => (self.start_delay_s.max(RAMP_LOOK_S).min(tau_s), false),
        }
    }
}

/// How far the outlet swings to either side of the set point while a unit switches between two powers.
const BAND_K: f64 = 1.0;
/// An outlet this much below the set point gets all the power there is.
const BOOST_K: f64 = 0.5;
const RAMP_ROUND_S: f64 = 0.1;
const BOOST_LEAST_S: f64 = 1e-9;
const ROUND_LEAST_S: f64 = 0.01;
const ROUNDS_MAX: usize = 4096;
/// How far an event looks ahead while power ramps.
const RAMP_LOOK_S: f64 = 0.5;
