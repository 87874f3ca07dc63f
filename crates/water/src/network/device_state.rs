//! Devices that open, close or change what they do by themselves, and how their state follows the search.
//!
//! In: flows and pressures after a step. Out: which links carry, and whether anything changed. Start at
//! [`Gates::follow`]. Does not know laws or the system of a step.
//!
//! - A one-way link shuts when its flow turns back and opens when the pressure would push water forward.
//! - A regulator works (its setting feeds the node behind), stands open (the pressure before it does not reach the
//!   setting) or is shut.
//! - Of a mixing valve one side leads, the one with less pressure; the other follows in its share, unless it has still
//!   less. Where one of two needed sides is not fed, the valve is shut.
//!
//! So that no device chatters: each may change freely [`FREE_CHANGES`] times in a solve; from then on only when the
//! flows have settled, one device at a time, the one that changed least first.

use super::kernel::{Ends, Gate, Kernel};

/// Changes a device may make before it has to wait for the flows to settle.
const FREE_CHANGES: u32 = 3;
/// A flow this far below zero shuts a one-way link, in kg/s, if its loss is more than the rounding of pressures, in Pa.
const BACK_FLOW_KG_PER_S: f64 = 1e-9;
const ROUNDING_PA: f64 = 1e-8;
/// A pressure this far beyond the limit changes a state, in Pa.
const BEYOND_PA: f64 = 1e-2;

/// What a device does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum GateState {
    /// Carries freely.
    Open,
    /// Carries nothing.
    Shut,
    /// A regulator at its setting.
    Working,
    /// A mixing valve whose hot side leads.
    HotLeads,
    /// A mixing valve whose cold side leads.
    ColdLeads,
}

/// The states of all devices.
#[derive(Debug, Clone)]
pub(super) struct Gates {
    pub(super) states: Vec<GateState>,
    /// Changes of each in this solve.
    pub(super) changes: Vec<u32>,
}

/// What states follow from: the search as it stands.
pub(super) struct Standing<'a> {
    pub(super) pressure_pa: &'a [f64],
    pub(super) fed: &'a [bool],
    pub(super) open_by_hand: &'a [bool],
}

impl Gates {
    pub(super) fn new(kernel: &Kernel) -> Self {
        Self {
            states: kernel.gates.iter().map(first_state).collect(),
            changes: vec![0; kernel.gates.len()],
        }
    }

    /// Every device as at the beginning.
    pub(super) fn reset(&mut self, kernel: &Kernel) {
        for (state, gate) in self.states.iter_mut().zip(&kernel.gates) {
            *state = first_state(gate);
        }
    }

    /// Changes states that the flows and pressures contradict; true when one changed. `flow_kg_per_s` of links that
    /// shut becomes zero, of links that open a usual flow.
    pub(super) fn follow(
        &mut self,
        kernel: &Kernel,
        standing: &Standing<'_>,
        flow_kg_per_s: &mut [f64],
        settled: bool,
    ) -> bool {
        let mut changed = false;
        let mut waiting: Option<(u32, usize, GateState)> = None;
        for index in 0..kernel.gates.len() {
            let wanted = wanted_state(kernel, index, self.states[index], standing, flow_kg_per_s);
            if wanted == self.states[index] {
                continue;
            }
            let changes = self.changes[index];
            if changes < FREE_CHANGES {
                self.change(kernel, index, wanted, flow_kg_per_s);
                changed = true;
            } else if waiting.is_none_or(|(least, ..)| changes < least) {
                waiting = Some((changes, index, wanted));
            }
        }
        if let (false, true, Some((_, index, wanted))) = (changed, settled, waiting) {
            self.change(kernel, index, wanted, flow_kg_per_s);
            return true;
        }
        changed
    }

    fn change(&mut self, kernel: &Kernel, index: usize, wanted: GateState, flow_kg_per_s: &mut [f64]) {
        let before = self.states[index];
        self.states[index] = wanted;
        self.changes[index] += 1;
        let usual = |link: u32| kernel.usual[link as usize].0;
        match kernel.gates[index] {
            Gate::OneWay { link } => {
                flow_kg_per_s[link as usize] = if wanted == GateState::Open {
                    usual(link)
                } else {
                    0.0
                };
            }
            Gate::Regulator { work, open } => {
                let (work, open) = (work as usize, open as usize);
                let flow = match before {
                    GateState::Working => flow_kg_per_s[work],
                    GateState::Open => flow_kg_per_s[open],
                    _ => 0.0,
                };
                flow_kg_per_s[work] = if wanted == GateState::Working { flow } else { 0.0 };
                flow_kg_per_s[open] = match wanted {
                    GateState::Open if flow > 0.0 => flow,
                    GateState::Open => kernel.usual[open].0,
                    _ => 0.0,
                };
            }
            Gate::Mixer { hot, cold, hot_share } => {
                let (hot, cold) = (hot as usize, cold as usize);
                let total = match before {
                    GateState::HotLeads => flow_kg_per_s[hot] / hot_share.max(1e-6),
                    GateState::ColdLeads => flow_kg_per_s[cold] / (1.0 - hot_share).max(1e-6),
                    _ => kernel.usual[hot].0,
                };
                flow_kg_per_s[hot] = if wanted == GateState::HotLeads {
                    total * hot_share
                } else {
                    0.0
                };
                flow_kg_per_s[cold] = if wanted == GateState::ColdLeads {
                    total * (1.0 - hot_share)
                } else {
                    0.0
                };
            }
        }
    }

    /// Marks the links that carry by the states alone, and those that let water pass on its way (a working regulator
    /// passes water although its open link does not carry).
    pub(super) fn mark(&self, kernel: &Kernel, carries: &mut [bool], passes: &mut [bool]) {
        for (gate, state) in kernel.gates.iter().zip(&self.states) {
            match *gate {
                Gate::OneWay { link } => {
                    let open = *state == GateState::Open;
                    carries[link as usize] &= open;
                    passes[link as usize] &= open;
                }
                Gate::Regulator { work, open } => {
                    carries[work as usize] &= *state == GateState::Working;
                    carries[open as usize] &= *state == GateState::Open;
                    passes[work as usize] = false;
                    passes[open as usize] &= *state != GateState::Shut;
                }
                Gate::Mixer { hot, cold, hot_share } => {
                    carries[hot as usize] &= *state == GateState::HotLeads;
                    carries[cold as usize] &= *state == GateState::ColdLeads;
                    passes[hot as usize] &= *state != GateState::Shut && hot_share > 0.0;
                    passes[cold as usize] &= *state != GateState::Shut && hot_share < 1.0;
                }
            }
        }
    }

    /// Shuts mixing valves of which a needed side is not fed and opens those whose sides are fed again; true when one
    /// changed.
    pub(super) fn starve(&mut self, kernel: &Kernel, fed: &[bool]) -> bool {
        let mut changed = false;
        for (index, gate) in kernel.gates.iter().enumerate() {
            if let Gate::Mixer { hot, cold, hot_share } = *gate {
                let starved = !sides_fed(kernel, hot, cold, hot_share, fed);
                if starved && self.states[index] != GateState::Shut {
                    self.states[index] = GateState::Shut;
                    changed = true;
                }
            }
        }
        changed
    }
}

fn first_state(gate: &Gate) -> GateState {
    match *gate {
        Gate::OneWay { .. } => GateState::Open,
        Gate::Regulator { .. } => GateState::Working,
        Gate::Mixer { hot_share, .. } if hot_share > 0.0 => GateState::HotLeads,
        Gate::Mixer { .. } => GateState::ColdLeads,
    }
}

fn sides_fed(kernel: &Kernel, hot: u32, cold: u32, hot_share: f64, fed: &[bool]) -> bool {
    let side = |link: u32| fed[kernel.ends[link as usize].from as usize];
    (hot_share <= 0.0 || side(hot)) && (hot_share >= 1.0 || side(cold))
}

/// Pressure that would push water through a link at rest.
fn push_pa(kernel: &Kernel, link: u32, pressure_pa: &[f64]) -> f64 {
    let Ends { from, to, .. } = kernel.ends[link as usize];
    let (at_rest, _) = kernel.laws[link as usize].loss_and_slope(0.0, &mut 0.0);
    pressure_pa[from as usize] - pressure_pa[to as usize] - kernel.lift_pa[link as usize] - at_rest
}

/// Whether water runs backwards, by more than rounding makes of a link that hardly loses anything.
fn turns_back(kernel: &Kernel, link: u32, flow_kg_per_s: f64) -> bool {
    if flow_kg_per_s >= -BACK_FLOW_KG_PER_S {
        return false;
    }
    let law = &kernel.laws[link as usize];
    let (at_rest, _) = law.loss_and_slope(0.0, &mut 0.0);
    law.loss_and_slope(flow_kg_per_s, &mut 0.0).0 - at_rest < -ROUNDING_PA
}

/// Pressure left at a link's second end when it carries a flow.
fn left_pa(kernel: &Kernel, link: u32, pressure_pa: &[f64], flow_kg_per_s: f64) -> f64 {
    let (loss, _) = kernel.laws[link as usize].loss_and_slope(flow_kg_per_s, &mut 0.0);
    pressure_pa[kernel.ends[link as usize].from as usize] - kernel.lift_pa[link as usize] - loss
}

fn wanted_state(
    kernel: &Kernel,
    index: usize,
    state: GateState,
    standing: &Standing<'_>,
    flow_kg_per_s: &[f64],
) -> GateState {
    let Standing {
        pressure_pa,
        fed,
        open_by_hand,
    } = *standing;
    let fed_at = |place: u32| fed[place as usize];
    match kernel.gates[index] {
        Gate::OneWay { link } => {
            let ends = kernel.ends[link as usize];
            if !open_by_hand[link as usize] || !fed_at(ends.from) {
                return state;
            }
            match state {
                GateState::Open if turns_back(kernel, link, flow_kg_per_s[link as usize]) => GateState::Shut,
                GateState::Shut if !fed_at(ends.to) || push_pa(kernel, link, pressure_pa) > BEYOND_PA => {
                    GateState::Open
                }
                _ => state,
            }
        }
        Gate::Regulator { work, open } => {
            let ends = kernel.ends[open as usize];
            if !open_by_hand[open as usize] || !fed_at(ends.from) {
                return state;
            }
            let behind = pressure_pa[ends.to as usize];
            let setting = pressure_pa[kernel.ends[work as usize].from as usize];
            let (work_flow, open_flow) = (flow_kg_per_s[work as usize], flow_kg_per_s[open as usize]);
            match state {
                GateState::Working if turns_back(kernel, work, work_flow) => GateState::Shut,
                GateState::Working if left_pa(kernel, open, pressure_pa, work_flow) < behind - BEYOND_PA => {
                    GateState::Open
                }
                GateState::Open if turns_back(kernel, open, open_flow) => GateState::Shut,
                GateState::Open => {
                    let (fallen, _) = kernel.laws[work as usize].loss_and_slope(open_flow, &mut 0.0);
                    if behind > setting - fallen + BEYOND_PA {
                        GateState::Working
                    } else {
                        state
                    }
                }
                GateState::Shut if !fed_at(ends.to) => GateState::Working,
                GateState::Shut
                    if behind < setting - BEYOND_PA && push_pa(kernel, open, pressure_pa) > BEYOND_PA =>
                {
                    if pressure_pa[ends.from as usize] - kernel.lift_pa[open as usize] > setting {
                        GateState::Working
                    } else {
                        GateState::Open
                    }
                }
                _ => state,
            }
        }
        Gate::Mixer { hot, cold, hot_share } => {
            if !open_by_hand[hot as usize] || !sides_fed(kernel, hot, cold, hot_share, fed) {
                return state;
            }
            let mixed = kernel.ends[hot as usize].to;
            let single = if hot_share <= 0.0 {
                Some(GateState::ColdLeads)
            } else if hot_share >= 1.0 {
                Some(GateState::HotLeads)
            } else {
                None
            };
            let (leader, other, ratio) = match state {
                GateState::HotLeads => (hot, cold, (1.0 - hot_share) / hot_share),
                GateState::ColdLeads => (cold, hot, hot_share / (1.0 - hot_share)),
                _ => {
                    let pushed = |link| push_pa(kernel, link, pressure_pa);
                    let opens = !fed_at(mixed)
                        || ((hot_share <= 0.0 || pushed(hot) > BEYOND_PA)
                            && (hot_share >= 1.0 || pushed(cold) > BEYOND_PA));
                    let leader = single.unwrap_or(if pushed(hot) <= pushed(cold) {
                        GateState::HotLeads
                    } else {
                        GateState::ColdLeads
                    });
                    return if opens { leader } else { state };
                }
            };
            if let Some(single) = single.filter(|single| *single != state) {
                return single;
            }
            let flow = flow_kg_per_s[leader as usize];
            if turns_back(kernel, leader, flow) {
                return GateState::Shut;
            }
            let short = single.is_none()
                && left_pa(kernel, other, pressure_pa, ratio * flow)
                    < pressure_pa[mixed as usize] - BEYOND_PA;
            match (short, state) {
                (true, GateState::HotLeads) => GateState::ColdLeads,
                (true, _) => GateState::HotLeads,
                (false, _) => state,
            }
        }
    }
}
