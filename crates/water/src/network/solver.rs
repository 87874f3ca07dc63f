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
use super::evaluation::Evaluation;
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

/// Where hardly anything flows, shares of the flow ask for more than pressures in double precision give: this much may
/// always be left to move, in kg/s (0.004 mL an hour).
const STILL_KG_PER_S: f64 = 1e-9;

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
    evaluation: Evaluation,
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
    /// All changes together at each row.
    push: Vec<f64>,
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
                push: vec![0.0; unknown + 1],
            },
            evaluation: Evaluation::new(&kernel),
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
            // The open air and a regulator's setting feed nothing by themselves, but they stand ready as ends.
            state.fed[self.kernel.unknown..].fill(true);
            if !self.gates.starve(&self.kernel, &state.fed) {
                break;
            }
        }
        for (carries, ends) in state.carries.iter_mut().zip(&self.kernel.ends) {
            *carries &= state.fed[ends.from as usize] && state.fed[ends.to as usize];
        }
        for (flow, carries) in state.flow_kg_per_s.iter_mut().zip(&state.carries) {
            if !carries {
                *flow = 0.0;
            }
        }
        self.followers.gather(&self.kernel, &self.gates, &state.carries);
        self.evaluation.mark(&state.carries);
        for (link, carries) in state.carries.iter().enumerate() {
            if !carries {
                self.step.conductance[link] = 0.0;
                self.step.change[link] = 0.0;
            }
        }
    }

    /// Laws at the present flows, and the system of the next step.
    fn assemble(&mut self) {
        if self.state.any_fresh {
            self.start_fresh();
        }
        let Self {
            kernel,
            state,
            step,
            evaluation,
            ..
        } = self;
        evaluation.run(&kernel.laws, &state.flow_kg_per_s, &mut state.start);
        if state.any_fresh {
            for &link in &evaluation.active {
                let link = link as usize;
                let (usual_flow, usual_slope) = kernel.usual[link];
                if state.flow_kg_per_s[link].abs() < 0.1 * usual_flow {
                    evaluation.slope[link] = evaluation.slope[link].max(usual_slope);
                }
            }
        }
        step.diagonal.fill(0.0);
        step.edges.fill(0.0);
        step.push.fill(0.0);
        for (right, demand) in step.right.iter_mut().zip(&kernel.demand_kg_per_s) {
            *right = -demand;
        }
        let (mut residual_most, mut flow_most) = (0.0_f64, 0.0_f64);
        let (mut flow_sum, mut change_sum) = (0.0, 0.0);
        for &link in &evaluation.active {
            let link = link as usize;
            let ends = &kernel.ends[link];
            let flow = state.flow_kg_per_s[link];
            let pushed = state.pressure_pa[ends.from as usize] - state.pressure_pa[ends.to as usize];
            let residual = evaluation.loss_pa[link] + kernel.lift_pa[link] - pushed;
            let mut conductance = 1.0 / evaluation.slope[link];
            let mut change = conductance * residual;
            if !state.any_fresh
                && let Some((at_gain, fall)) = kernel.laws[link].flow_at_gain(kernel.lift_pa[link] - pushed)
            {
                conductance = fall;
                change = flow - at_gain;
            }
            step.conductance[link] = conductance;
            step.change[link] = change;
            let (from, to) = (ends.row_from as usize, ends.row_to as usize);
            step.diagonal[from] += conductance;
            step.diagonal[to] += conductance;
            step.edges[ends.slot as usize] += conductance;
            step.right[from] -= flow;
            step.right[to] += flow;
            step.push[from] += change;
            step.push[to] -= change;
            flow_sum += flow.abs();
            change_sum += change.abs();
            flow_most = flow_most.max(flow.abs());
            residual_most = residual_most.max(residual.abs());
        }
        for follower in &self.followers.active {
            let leader = follower.leader as usize;
            let flow = follower.ratio * state.flow_kg_per_s[leader];
            let change = follower.ratio * step.change[leader];
            let (from, to) = (follower.row_from as usize, follower.row_to as usize);
            step.right[from] -= flow;
            step.right[to] += flow;
            step.push[from] += change;
            step.push[to] -= change;
        }
        let mut imbalance = 0.0_f64;
        for row in 0..kernel.unknown {
            if state.fed[row] {
                imbalance = imbalance.max(step.right[row].abs());
                step.right[row] += step.push[row];
            } else {
                step.diagonal[row] = 1.0;
                step.right[row] = 0.0;
            }
        }
        state.report = Report {
            iterations: state.report.iterations,
            residual_pa: residual_most,
            imbalance_kg_per_s: imbalance,
            flow_sum,
            flow_most,
            change_sum,
        };
    }

    /// Flows of links that begin anew.
    fn start_fresh(&mut self) {
        let Self { kernel, state, .. } = self;
        for (link, fresh) in state.fresh.iter().enumerate() {
            if *fresh {
                let pump = state.carries[link] && matches!(kernel.laws[link], Law::Pump { .. });
                state.flow_kg_per_s[link] = if pump { kernel.usual[link].0 } else { 0.0 };
            }
        }
    }

    fn settled(&self) -> bool {
        let (report, settings) = (&self.state.report, &self.settings);
        // A sum that is not a number compares as false: it never counts as settled.
        report.residual_pa <= settings.residual_max.as_pascals()
            && report.change_sum <= settings.flow_change_max.as_fraction() * report.flow_sum + STILL_KG_PER_S
            && report.imbalance_kg_per_s
                <= settings.imbalance_max.as_fraction() * report.flow_most + 1e-3 * STILL_KG_PER_S
    }

    /// One of Newton's steps.
    fn advance(&mut self) -> Result<(), NetworkError> {
        let Self {
            kernel,
            state,
            step,
            elimination,
            evaluation,
            followers,
            ..
        } = self;
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
        for &link in &evaluation.active {
            let link = link as usize;
            let ends = &kernel.ends[link];
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
        let worst = self.worst_link();
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

    /// The link whose flow the next step would move most for its size.
    fn worst_link(&self) -> usize {
        let off = |link: &u32| {
            let change = self.step.change[*link as usize].abs();
            if change.is_nan() { f64::INFINITY } else { change }
        };
        let worst = self
            .evaluation
            .active
            .iter()
            .max_by(|a, b| off(a).total_cmp(&off(b)));
        worst.map_or(0, |link| *link as usize)
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
