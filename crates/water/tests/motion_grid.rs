//! Heat in motion against an independent integration: a fine grid of cells for water and wall in each pipe, upwind, in
//! small time steps, with dispersion and loss. Nothing of the engine is used in it but the sizes of the pipes.

#![allow(clippy::unwrap_used, reason = "helpers of tests fail as tests do")]

#[path = "support/line.rs"]
mod line;

use line::{bare, f, gpm, ideal};
use quantity::{Temperature, Time, VolumeFlow};
use tables::pipe::PipeMaterial;
use water::Water;
use water::motion::{Draw, DrawResult, House, PipeRun, Plan, Settings};

/// One pipe on the grid.
struct Grid {
    water_c: Vec<f64>,
    wall_c: Vec<f64>,
    cell_l: f64,
    wall_share: f64,
    run: PipeRun,
    heat_j_per_l_k: f64,
}

impl Grid {
    fn new(run: PipeRun, cells: usize, heat_j_per_l_k: f64, water: &Water) -> Self {
        let around_c = run.surroundings.as_celsius();
        Self {
            water_c: vec![around_c; cells],
            wall_c: vec![around_c; cells],
            cell_l: run.pipe.volume().as_liters() / cells as f64,
            wall_share: run.pipe.wall_heat_ratio(water).as_fraction(),
            run,
            heat_j_per_l_k,
        }
    }

    /// Conductance from water to wall of one cell in W/K: film and a third of the wall, by the usual correlations.
    fn film(&self, flow_l_per_s: f64, water: &Water) -> f64 {
        let bore = self.run.pipe.inside_diameter().as_meters();
        let speed = flow_l_per_s * 1e-3 / self.run.pipe.bore_area().as_square_meters();
        let density = water.density().as_kilograms_per_cubic_meter();
        let (mu, lambda) = (
            water.viscosity().as_pascal_seconds(),
            water.conductivity().as_watts_per_meter_kelvin(),
        );
        let re = speed * bore * density / mu;
        assert!(
            !(2000.0..=4000.0).contains(&re),
            "the grid leaves out the transition: Re {re}"
        );
        let pr = mu * water.specific_heat().as_joules_per_kilogram_kelvin() / lambda;
        let nu = if re < 2000.0 {
            3.66
        } else {
            0.023 * re.powf(0.8) * pr.powf(0.3)
        };
        let wall = (self.run.pipe.outside_diameter().as_meters() / bore).ln()
            / (2.0 * std::f64::consts::PI * self.run.pipe.wall().conductivity.as_watts_per_meter_kelvin());
        let per_meter = 1.0 / (1.0 / (std::f64::consts::PI * nu * lambda) + wall / 3.0);
        per_meter * self.run.pipe.length().as_meters() / self.water_c.len() as f64
    }

    /// Taylor's dispersion, in cells squared per second.
    fn dispersion(&self, flow_l_per_s: f64, water: &Water) -> f64 {
        let bore = self.run.pipe.inside_diameter().as_meters();
        let speed = flow_l_per_s * 1e-3 / self.run.pipe.bore_area().as_square_meters();
        let density = water.density().as_kilograms_per_cubic_meter();
        let re = speed * bore * density / water.viscosity().as_pascal_seconds();
        let alpha = water.conductivity().as_watts_per_meter_kelvin()
            / density
            / water.specific_heat().as_joules_per_kilogram_kelvin();
        let d = if re < 2000.0 {
            alpha + (bore * speed).powi(2) / (192.0 * alpha)
        } else {
            5.05 * bore * speed * (0.316 / re.powf(0.25) / 8.0).sqrt()
        };
        let cell_m = self.run.pipe.length().as_meters() / self.water_c.len() as f64;
        d / (cell_m * cell_m)
    }

    /// One step; gives the temperature that leaves and the heat lost.
    fn step(&mut self, dt_s: f64, flow_l_per_s: f64, inlet_c: f64, water: &Water) -> f64 {
        let n = self.water_c.len();
        let courant = flow_l_per_s * dt_s / self.cell_l;
        assert!(courant < 1.0, "{courant}");
        let out_c = self.water_c[n - 1];
        if flow_l_per_s > 0.0 {
            // The upwind scheme itself disperses by this much: it is taken off.
            let numerical = 0.5 * courant * (1.0 - courant);
            let extra = (self.dispersion(flow_l_per_s, water) * dt_s - numerical).max(0.0);
            assert!(extra < 0.5, "{extra}");
            let mut before = inlet_c;
            for at in 0..n {
                let here = self.water_c[at];
                let next = if at + 1 < n { self.water_c[at + 1] } else { here };
                let upstream = if at == 0 { here } else { before };
                self.water_c[at] = here + courant * (before - here) + extra * (upstream - 2.0 * here + next);
                before = here;
            }
        }
        let loss = if flow_l_per_s > 0.0 {
            self.run.loss_moving
        } else {
            self.run.loss_standing
        };
        let loss_w_per_k = loss.as_watts_per_meter_kelvin() * self.run.pipe.length().as_meters() / n as f64;
        let around_c = self.run.surroundings.as_celsius();
        let water_j = self.heat_j_per_l_k * self.cell_l;
        let wall_j = water_j * self.wall_share;
        // Standing, water and wall come together within seconds.
        let film = if flow_l_per_s > 0.0 {
            self.film(flow_l_per_s, water)
        } else {
            0.2 * wall_j
        };
        let passes = 1.0 - (-film * dt_s * (1.0 / water_j + 1.0 / wall_j)).exp();
        for at in 0..n {
            let mean = (water_j * self.water_c[at] + wall_j * self.wall_c[at]) / (water_j + wall_j);
            let (water, wall) = (&mut self.water_c[at], &mut self.wall_c[at]);
            *water += (mean - *water) * passes;
            *wall += (mean - *wall) * passes;
            // Loss leaves both alike, as the engine's does; the handbook's loss is of the pipe with its water.
            let fall = loss_w_per_k * dt_s / (water_j + wall_j);
            *water -= (*water - around_c) * fall;
            *wall -= (*wall - around_c) * fall;
        }
        out_c
    }
}

struct Case {
    runs: [PipeRun; 3],
    cold: Temperature,
    hot: Temperature,
}

impl Case {
    /// Trunk from the heater to a tee, one branch to each of two taps that take hot water alone.
    fn new(trunk: PipeRun, first: PipeRun, second: PipeRun) -> Self {
        Self {
            runs: [trunk, first, second],
            cold: f(50.0),
            hot: f(120.0),
        }
    }

    fn engine(&self, schedule: &[(usize, f64, f64, VolumeFlow)], until_s: f64) -> Vec<DrawResult> {
        let mut plan = Plan::new(Water::in_house(self.cold).unwrap(), self.hot).unwrap();
        let places = ["street", "heater", "tee", "first", "second"].map(|name| plan.place(name));
        plan.supply(places[0]);
        plan.unit(places[0], places[1], ideal(self.hot));
        plan.pipe(places[1], places[2], self.runs[0]);
        plan.pipe(places[2], places[3], self.runs[1]);
        plan.pipe(places[2], places[4], self.runs[2]);
        let taps = [
            plan.tap("first", Some(places[3]), None),
            plan.tap("second", Some(places[4]), None),
        ];
        let mut house = House::new(&plan, Settings::default()).unwrap();
        let draws: Vec<Draw> = schedule
            .iter()
            .map(|(tap, opens_s, runs_s, flow)| Draw {
                tap: taps[*tap],
                opens: Time::from_seconds(*opens_s),
                runs: Time::from_seconds(*runs_s),
                flow: *flow,
                use_temperature: Some(f(105.0)),
                traced: false,
            })
            .collect();
        let mut results = Vec::new();
        house
            .run(&draws, Time::from_seconds(until_s), &mut results)
            .unwrap();
        results
    }

    /// Wait in seconds and heat in kJ above the cold water, of each draw.
    fn grid(
        &self,
        schedule: &[(usize, f64, f64, VolumeFlow)],
        until_s: f64,
        dt_s: f64,
    ) -> Vec<(Option<f64>, f64)> {
        let cold = Water::in_house(self.cold).unwrap();
        let mean = Water::in_house(f(85.0)).unwrap();
        let heat_j_per_l_k = water::heating::power_needed(gpm(1.0), &cold, self.hot)
            .unwrap()
            .as_watts()
            / gpm(1.0).as_liters_per_second()
            / (self.hot - self.cold).as_celsius();
        let mut pipes: Vec<Grid> = self
            .runs
            .iter()
            .map(|run| Grid::new(*run, 240, heat_j_per_l_k, &mean))
            .collect();
        let mut found = vec![(None, 0.0); schedule.len()];
        let useful_c = f(105.0).as_celsius() - 1.0;
        let mut t = 0.0;
        while t < until_s {
            let mut flows = [0.0; 2];
            for (tap, opens_s, runs_s, flow) in schedule {
                if t >= *opens_s - 1e-9 && t < opens_s + runs_s - 1e-9 {
                    flows[*tap] += flow.as_liters_per_second();
                }
            }
            // Nothing moves in a pause: larger steps do.
            let fine_s = dt_s;
            let dt_s = if flows.iter().sum::<f64>() <= 0.0 {
                100.0 * fine_s
            } else {
                fine_s
            };
            let tee_c = pipes[0].step(dt_s, flows[0] + flows[1], self.hot.as_celsius(), &mean);
            let out = [
                pipes[1].step(dt_s, flows[0], tee_c, &mean),
                pipes[2].step(dt_s, flows[1], tee_c, &mean),
            ];
            for (at, (tap, opens_s, runs_s, flow)) in schedule.iter().enumerate() {
                if t >= *opens_s - 1e-9 && t < opens_s + runs_s - 1e-9 {
                    found[at].1 += flow.as_liters_per_second()
                        * dt_s
                        * (out[*tap] - self.cold.as_celsius())
                        * heat_j_per_l_k
                        * 1e-3;
                    if found[at].0.is_none() && out[*tap] >= useful_c {
                        found[at].0 = Some(t - opens_s);
                    }
                }
            }
            t += dt_s;
        }
        found
    }
}

#[test]
fn waits_and_heat_of_a_schedule_agree_with_the_grid() {
    let cases = [
        Case::new(
            bare(PipeMaterial::CopperL, "3/4 in", 33.0, f(55.0)),
            bare(PipeMaterial::CopperM, "1/2 in", 12.0, f(70.0)),
            bare(PipeMaterial::CopperM, "1/2 in", 30.0, f(60.0)),
        ),
        Case::new(
            bare(PipeMaterial::Pex, "3/4 in", 45.0, f(55.0)),
            bare(PipeMaterial::Pex, "1/2 in", 10.0, f(70.0)),
            bare(PipeMaterial::Pex, "1/2 in", 25.0, f(50.0)),
        ),
    ];
    // Cold start, a second draw at once, overlap at the tee, a pause, a short draw, a long pause.
    let schedule = [
        (0, 0.0, 150.0, gpm(2.0)),
        (1, 100.0, 90.0, gpm(2.5)),
        (0, 260.0, 30.0, gpm(2.0)),
        (1, 700.0, 60.0, gpm(2.5)),
        (0, 1500.0, 40.0, gpm(2.0)),
        (0, 3900.0, 90.0, gpm(2.0)),
    ];
    for (number, case) in cases.iter().enumerate() {
        let engine = case.engine(&schedule, 4000.0);
        let grid = case.grid(&schedule, 4000.0, 0.005);
        for (at, (result, (wait_s, heat_kj))) in engine.iter().zip(&grid).enumerate() {
            let found_kj = result.heat.as_joules() * 1e-3;
            let (found_s, wait_s) = (result.wait.unwrap().as_seconds(), wait_s.unwrap());
            // The two-temperature pipe meets the one store of the engine within 4 % where a pause lets water and wall
            // come together, which the engine leaves out; elsewhere within 1 %.
            assert!(
                (found_s - wait_s).abs() < 0.25 + 0.04 * wait_s,
                "case {number}, draw {at}: {found_s} s against {wait_s} s"
            );
            assert!(
                (found_kj / heat_kj - 1.0).abs() < 0.005,
                "case {number}, draw {at}: {found_kj} kJ against {heat_kj} kJ"
            );
        }
    }
}
