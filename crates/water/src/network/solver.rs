//! Solving a network: Newton's steps on flows and pressures together until every law and every balance is met.
//!
//! In: a [`Network`], then changes of its settings between solves. Out: a [`Solution`], or an error that names an
//! element. Start at [`Solver::new`] and [`Solver::solve`]. All buffers are made at the beginning; a solve allocates
//! nothing (counted in the benchmark). Each solve begins where the last one ended; [`Solver::reset`] forgets it.
//!
//! A step: with loss φ(q) and slope φ′ of each link, r = φ + lift − (P₁ − P₂) is what its energy is off by and M what
//! each node's balance is off by. A·ΔP = M + Σ ± r/φ′ and Δq = (ΔP₁ − ΔP₂ − r)/φ′ (Todini & Pilati 1988). Balances are
//! met after the first step and stay met; only energies are left to settle.

use super::connectivity::Reach;
use super::device_state::{Gates, Standing};
use super::elimination::Elimination;
use super::error::NetworkError;
use super::followers::Followers;
use super::kernel::Kernel;
use super::law::Law;
use super::model::{Device, Network};
use super::solution::Solution;
use quantity::{PressureDifference, Ratio};

/// How hard a solve tries.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SolveSettings {
    /// Energy of each link may stay off by this much; default 0.01 Pa. Less costs a step or none, more moves flows.
    pub residual_max: PressureDifference,
    /// What the next step would still move, all links together, over the flow of all links; default 1e-7.
    pub flow_change_max: Ratio,
    /// A node's balance may stay off by this share of the largest flow; default 1e-9.
    pub imbalance_max: Ratio,
    /// Steps allowed; default 200. Five to ten are usual; devices that change their state take more.
    pub iterations_max: u32,
}

impl Default for SolveSettings {
    fn default() -> Self {
        Self {
            residual_max: PressureDifference::from_pascals(0.01),
            flow_change_max: Ratio::from_fraction(1e-7),
            imbalance_max: Ratio::from_fraction(1e-9),
            iterations_max: 200,
        }
    }
}

/// A compiled network with the state of its last solve.
#[derive(Debug)]
pub struct Solver {
    pub(super) network: Network,
    pub(super) kernel: Kernel,
    pub(super) state: State,
    settings: SolveSettings,
    elimination: Elimination,
    reach: Reach,
    followers: Followers,
    gates: Gates,
    step: StepBuffers,
    /// States or valves changed since the links that carry were last marked.
    stale: bool,
    /// Begin from usual flows.
    cold: bool,
}

/// What a solve leaves behind.
#[derive(Debug, Clone)]
pub(super) struct State {
    pub(super) pressure_pa: Vec<f64>,
    pub(super) flow_kg_per_s: Vec<f64>,
    pub(super) carries: Vec<bool>,
    pub(super) fed: Vec<bool>,
    pub(super) report: Report,
    open_by_hand: Vec<bool>,
    passes: Vec<bool>,
    /// Kept by the laws from step to step.
    start: Vec<f64>,
    /// Begin from the usual flow at the next step.
    fresh: Vec<bool>,
    any_fresh: bool,
}

/// How well the last solve ended.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Report {
    pub(super) iterations: u32,
    pub(super) residual_pa: f64,
    pub(super) worst_link: usize,
    pub(super) imbalance_kg_per_s: f64,
    flow_sum: f64,
    flow_most: f64,
    change_sum: f64,
}

/// Arrays of one step.
#[derive(Debug, Clone)]
struct StepBuffers {
    diagonal: Vec<f64>,
    edges: Vec<f64>,
    right: Vec<f64>,
    conductance: Vec<f64>,
    /// What each link's residual alone would move its flow back by.
    change: Vec<f64>,
}

impl Solver {
    /// Compiles a network and plans its elimination.
    pub fn new(network: &Network) -> Self {
        let mut kernel = Kernel::new(network);
        let unknown = kernel.unknown;
        let row = |place: u32| (place as usize) < unknown;
        let pairs: Vec<_> = kernel
            .ends
            .iter()
            .map(|ends| (row(ends.from) && row(ends.to)).then_some((ends.from, ends.to)))
            .collect();
        let (elimination, slots) = Elimination::plan(unknown, &pairs);
        for (ends, slot) in kernel.ends.iter_mut().zip(slots) {
            ends.slot = slot;
        }
        let links = kernel.laws.len();
        let places = unknown + kernel.known_pressure_pa.len();
        let mut solver = Self {
            network: network.clone(),
            state: State {
                pressure_pa: vec![0.0; places],
                flow_kg_per_s: vec![0.0; links],
                carries: vec![true; links],
                fed: vec![true; places],
                report: Report::default(),
                open_by_hand: vec![true; links],
                passes: vec![true; links],
                start: vec![0.0; links],
                fresh: vec![false; links],
                any_fresh: false,
            },
            settings: SolveSettings::default(),
            step: StepBuffers {
                diagonal: vec![0.0; unknown + 1],
                edges: vec![0.0; elimination.slot_count()],
                right: vec![0.0; unknown + 1],
                conductance: vec![0.0; links],
                change: vec![0.0; links],
            },
            reach: Reach::new(&kernel),
            followers: Followers::new(&kernel),
            gates: Gates::new(&kernel),
            elimination,
            kernel,
            stale: true,
            cold: true,
        };
        for index in 0..network.links.len() {
            solver.take_hand(index);
        }
        solver
    }

    /// The network as it stands, with the settings made since.
    pub fn network(&self) -> &Network {
        &self.network
    }

    /// How hard a solve tries.
    pub fn set_settings(&mut self, settings: SolveSettings) {
        self.settings = settings;
    }

    /// Nodes left to the sparse core after chains and branches.
    pub fn core_size(&self) -> usize {
        self.elimination.core_size()
    }

    /// Forgets the last solve: the next one begins from usual flows.
    pub fn reset(&mut self) {
        self.cold = true;
    }

    /// Solves, from where the last solve ended.
    ///
    /// # Errors
    /// [`NetworkError::NotConverged`] naming the worst element; never a number that does not satisfy the settings.
    ///
    /// ```
    /// use quantity::{GaugePressure, Length, Temperature, VolumeFlow};
    /// use tables::pipe::PipeMaterial;
    /// use water::network::{Device, Fluid, FrictionLaw, Network, PipeRun, Solver};
    /// use water::{Water, pipe::Pipe};
    /// let cold = Fluid::from(Water::in_house(Temperature::from_fahrenheit(60.0))?);
    /// let mut network = Network::new(FrictionLaw::Smooth, cold);
    /// let street = network.supply("street", Length::zero(), GaugePressure::from_psi(60.0))?;
    /// let tap = network.junction("tap", Length::zero(), VolumeFlow::from_gallons_per_minute(5.0))?;
    /// let pipe = Pipe::of(PipeMaterial::CopperL, "3/4 in".parse()?, Length::from_feet(100.0))?;
    /// network.link("run", street, tap, cold, Device::Pipe(PipeRun::of(&pipe, 0.0)))?;
    /// let mut solver = Solver::new(&network);
    /// let solution = solver.solve()?;
    /// // Darcy-Weisbach worked out independently: 3.023 psi for 100 ft of 3/4 in type L at 5 gpm and 60 °F.
    /// assert!((60.0 - solution.pressure(tap).unwrap().as_psi() - 3.023).abs() < 0.01);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn solve(&mut self) -> Result<Solution<'_>, NetworkError> {
        self.begin();
        self.gates.changes.fill(0);
        for iteration in 0..=self.settings.iterations_max {
            if self.stale {
                self.mark();
            }
            self.assemble();
            self.state.report.iterations = iteration;
            if self.settled() && !self.state.any_fresh {
                if !self.follow(true) {
                    return Ok(Solution::new(self));
                }
                continue;
            }
            if iteration == self.settings.iterations_max {
                break;
            }
            self.advance()?;
            self.follow(false);
        }
        self.cold = true;
        Err(self.not_converged())
    }

    /// Known pressures, and the start if this solve is a cold one.
    fn begin(&mut self) {
        let unknown = self.kernel.unknown;
        self.state.pressure_pa[unknown..].copy_from_slice(&self.kernel.known_pressure_pa);
        if self.cold {
            self.cold = false;
            let most = self.kernel.known_pressure_pa.iter().copied().fold(0.0, f64::max);
            self.state.pressure_pa[..unknown].fill(most);
            self.state.fresh.fill(true);
            self.state.any_fresh = true;
            self.state.start.fill(0.0);
            self.gates.reset(&self.kernel);
            self.stale = true;
        }
    }

    /// Which links carry and which nodes are fed.
    fn mark(&mut self) {
        self.stale = false;
        let state = &mut self.state;
        // A mixing valve that lacks a side is shut, which may starve another behind it.
        for _ in 0..=self.kernel.gates.len() {
            state.carries.copy_from_slice(&state.open_by_hand);
            state.passes.copy_from_slice(&state.open_by_hand);
            self.gates
                .mark(&self.kernel, &mut state.carries, &mut state.passes);
            self.reach
                .spread(&self.kernel.supplies, &state.passes, &mut state.fed);
            if !self.gates.starve(&self.kernel, &state.fed) {
                break;
            }
        }
        for (carries, ends) in state.carries.iter_mut().zip(&self.kernel.ends) {
            // The open air and a regulator's setting stand ready; they count as fed ends.
            let ready = |place: u32| {
                state.fed[place as usize]
                    || (place as usize >= self.kernel.unknown && !self.kernel.supplies.contains(&place))
            };
            *carries &= ready(ends.from) && ready(ends.to);
        }
        for (flow, carries) in state.flow_kg_per_s.iter_mut().zip(&state.carries) {
            if !carries {
                *flow = 0.0;
            }
        }
        self.followers.gather(&self.kernel, &self.gates, &state.carries);
    }

    /// Laws at the present flows, and the system of the next step.
    fn assemble(&mut self) {
        let Self {
            kernel, state, step, ..
        } = self;
        let mut report = Report::default();
        step.diagonal.fill(0.0);
        step.edges.fill(0.0);
        for (right, demand) in step.right.iter_mut().zip(&kernel.demand_kg_per_s) {
            *right = -demand;
        }
        let starting = state.any_fresh;
        for (link, ends) in kernel.ends.iter().enumerate() {
            if !state.carries[link] {
                step.conductance[link] = 0.0;
                step.change[link] = 0.0;
                continue;
            }
            let law = &kernel.laws[link];
            if starting && state.fresh[link] {
                state.flow_kg_per_s[link] = if matches!(law, Law::Pump { .. }) {
                    kernel.usual[link].0
                } else {
                    0.0
                };
            }
            let flow = state.flow_kg_per_s[link];
            let (loss, mut slope) = law.loss_and_slope(flow, &mut state.start[link]);
            if starting {
                let (usual_flow, usual_slope) = kernel.usual[link];
                if flow.abs() < 0.1 * usual_flow {
                    slope = slope.max(usual_slope);
                }
            }
            let pushed = state.pressure_pa[ends.from as usize] - state.pressure_pa[ends.to as usize];
            let residual = loss + kernel.lift_pa[link] - pushed;
            let mut conductance = 1.0 / slope;
            let mut change = conductance * residual;
            if !starting && let Some((at_gain, fall)) = law.flow_at_gain(kernel.lift_pa[link] - pushed) {
                conductance = fall;
                change = flow - at_gain;
            }
            step.conductance[link] = conductance;
            step.change[link] = change;
            step.diagonal[ends.row_from as usize] += conductance;
            step.diagonal[ends.row_to as usize] += conductance;
            step.edges[ends.slot as usize] += conductance;
            step.right[ends.row_from as usize] -= flow;
            step.right[ends.row_to as usize] += flow;
            report.flow_sum += flow.abs();
            report.flow_most = report.flow_most.max(flow.abs());
            report.change_sum += change.abs();
            if residual.abs() > report.residual_pa || residual.is_nan() {
                report.residual_pa = residual.abs();
                report.worst_link = link;
            }
        }
        for follower in &self.followers.active {
            let flow = follower.ratio * state.flow_kg_per_s[follower.leader as usize];
            step.right[follower.row_from as usize] -= flow;
            step.right[follower.row_to as usize] += flow;
        }
        for row in 0..kernel.unknown {
            if state.fed[row] {
                report.imbalance_kg_per_s = report.imbalance_kg_per_s.max(step.right[row].abs());
            } else {
                step.diagonal[row] = 1.0;
                step.right[row] = 0.0;
            }
        }
        state.report = report;
    }

    fn settled(&self) -> bool {
        let (report, settings) = (&self.state.report, &self.settings);
        report.residual_pa <= settings.residual_max.as_pascals()
            && report.change_sum <= settings.flow_change_max.as_fraction() * report.flow_sum + 1e-12
            && report.imbalance_kg_per_s <= settings.imbalance_max.as_fraction() * report.flow_most + 1e-13
    }

    /// One of Newton's steps.
    fn advance(&mut self) -> Result<(), NetworkError> {
        let Self {
            kernel,
            state,
            step,
            elimination,
            followers,
            ..
        } = self;
        for (link, ends) in kernel.ends.iter().enumerate() {
            let change = step.change[link];
            step.right[ends.row_from as usize] += change;
            step.right[ends.row_to as usize] -= change;
        }
        for follower in &followers.active {
            let leader = follower.leader as usize;
            let change = follower.ratio * step.change[leader];
            step.right[follower.row_from as usize] += change;
            step.right[follower.row_to as usize] -= change;
        }
        let singular = |network: &Network, kernel: &Kernel, row: u32| NetworkError::Singular {
            element: kernel
                .place_of_node
                .iter()
                .position(|place| *place == row)
                .map_or_else(String::new, |node| network.nodes[node].name.clone()),
        };
        elimination
            .factor(&mut step.diagonal, &mut step.edges)
            .map_err(|error| singular(&self.network, kernel, error.node))?;
        let none = step.right.len() - 1;
        step.right[none] = 0.0;
        elimination.solve(&mut step.right);
        if !followers.correct(kernel, elimination, &step.conductance, &mut step.right) {
            let row = followers.active.first().map_or(0, |follower| follower.row_from);
            return Err(singular(&self.network, kernel, row));
        }
        step.right[none] = 0.0;
        for (pressure, change) in state.pressure_pa.iter_mut().zip(&step.right[..none]) {
            *pressure += change;
        }
        for (link, ends) in kernel.ends.iter().enumerate() {
            let across = step.right[ends.row_from as usize] - step.right[ends.row_to as usize];
            state.flow_kg_per_s[link] += step.conductance[link] * across - step.change[link];
        }
        if state.any_fresh {
            state.any_fresh = false;
            state.fresh.fill(false);
        }
        Ok(())
    }

    /// Lets devices follow; true when one changed.
    fn follow(&mut self, settled: bool) -> bool {
        let standing = Standing {
            pressure_pa: &self.state.pressure_pa,
            fed: &self.state.fed,
            open_by_hand: &self.state.open_by_hand,
        };
        let changed = self
            .gates
            .follow(&self.kernel, &standing, &mut self.state.flow_kg_per_s, settled);
        self.stale |= changed;
        changed
    }

    fn not_converged(&self) -> NetworkError {
        let worst = self.state.report.worst_link;
        let busiest = (0..self.gates.changes.len())
            .rev()
            .max_by_key(|gate| self.gates.changes[*gate])
            .filter(|gate| self.gates.changes[*gate] > 3);
        let gate_owner = busiest.and_then(|gate| {
            self.kernel
                .gate_of
                .iter()
                .position(|of| of.is_some_and(|of| of as usize == gate))
        });
        let owner =
            gate_owner.unwrap_or_else(|| self.kernel.owner.get(worst).map_or(0, |owner| *owner as usize));
        NetworkError::NotConverged {
            element: self
                .network
                .links
                .get(owner)
                .map_or_else(String::new, |link| link.name.clone()),
            residual_pa: self.state.report.residual_pa,
            state_changes: busiest.map_or(0, |gate| self.gates.changes[gate]),
            iterations: self.state.report.iterations,
        }
    }

    /// Takes over whether a link is open by hand, and whether its valve is closed.
    pub(super) fn take_hand(&mut self, index: usize) {
        let link = &self.network.links[index];
        let shut_valve = matches!(link.device, Device::Valve { opening, .. } if opening.as_fraction() <= 0.0);
        let open = !link.closed && !shut_valve;
        for part in self.kernel.parts_of(index) {
            if self.state.open_by_hand[part] != open {
                self.state.open_by_hand[part] = open;
                self.stale = true;
                if open {
                    self.state.fresh[part] = true;
                    self.state.any_fresh = true;
                }
            }
        }
    }

    /// Works out a link anew after its device, fluid or hand changed.
    pub(super) fn renew(&mut self, index: usize) {
        self.kernel.renew(&self.network, index);
        for part in self.kernel.parts_of(index) {
            self.state.start[part] = 0.0;
        }
        self.take_hand(index);
        // A share of none or all of a mixing valve changes which side carries.
        self.stale |= self.kernel.gate_of[index].is_some();
    }

    /// Compiled flow of a part, followers included, and the flow of the side that follows.
    pub(super) fn followed_by(&self, leader: usize) -> f64 {
        let of = |follower: &&super::followers::Follower| follower.leader as usize == leader;
        self.followers
            .active
            .iter()
            .find(of)
            .map_or(0.0, |follower| follower.ratio * self.state.flow_kg_per_s[leader])
    }
}
