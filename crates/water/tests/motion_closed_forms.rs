//! Heat in motion against closed forms: volume over flow, wall heat, exponential cooling, loss on the way, and the exact
//! front of a two-temperature pipe.

#![allow(clippy::unwrap_used, reason = "helpers of tests fail as tests do")]

#[path = "support/line.rs"]
mod line;

use line::{bare, f, gpm, line, open, without_loss, without_wall};
use quantity::{HeatLossPerLength, Ratio, TemperatureDifference, Time};
use tables::pipe::PipeMaterial;
use water::Water;
use water::motion::spread::front_spread;
use water::motion::{DrawResult, PipeRun, Settings, WallHeat};

/// Plug flow alone, and useful only at the very use temperature.
fn sharp() -> Settings {
    Settings {
        wall: WallHeat::AtOnce,
        front_variance: Ratio::from_fraction(0.0),
        useful_within: TemperatureDifference::from_celsius(0.0),
        ..Settings::default()
    }
}

fn wait_s(runs: &[PipeRun], flow_gpm: f64, wanted_f: f64, settings: Settings) -> f64 {
    let mut line = line(runs, f(50.0), f(120.0), settings);
    let mut results: Vec<DrawResult> = Vec::new();
    let draw = open(line.tap, 600.0, gpm(flow_gpm), f(wanted_f));
    line.house.run(&[draw], Time::zero(), &mut results).unwrap();
    results[0].wait.unwrap().as_seconds()
}

#[test]
fn plug_flow_waits_volume_over_flow_with_and_without_wall() {
    // Handbook of the project, water test cases 8 and 9: 50.3 s plain, 60.3 s with the wall's heat.
    for case in &checks::load("water/wait.toml").cases {
        let pipe = without_loss(bare(
            PipeMaterial::CopperL,
            "3/4 in",
            case.given("length_ft"),
            f(50.0),
        ));
        let pipe = if case.given("flow_ratio") > 1.0 {
            pipe
        } else {
            without_wall(pipe)
        };
        let found = wait_s(&[pipe], case.given("flow_gpm"), 105.0, sharp());
        case.close("time_s", found);
    }
}

#[test]
fn a_row_of_pipes_waits_the_sum() {
    let a = without_loss(bare(PipeMaterial::CopperL, "3/4 in", 31.0, f(50.0)));
    let b = without_loss(bare(PipeMaterial::Pex, "1/2 in", 12.0, f(50.0)));
    let (one, other) = (
        wait_s(&[a], 1.2, 105.0, sharp()),
        wait_s(&[b], 1.2, 105.0, sharp()),
    );
    assert!((wait_s(&[a, b], 1.2, 105.0, sharp()) - one - other).abs() < 0.03);
}

#[test]
fn a_standing_pipe_cools_by_the_exponential() {
    // Test cases 35 and 36 of the handbook: 13.9 min bare, 35.9 min in foam, from 120 to 105 °F in 70 °F air. Those
    // count 8.33 lb/gal and 1 Btu/(lb·°F); the pipe here holds 1 % less heat, so the heat loss is scaled alike.
    for case in &checks::load("water/cool_down.toml").cases {
        let mut run = bare(PipeMaterial::CopperL, "3/4 in", 20.0, f(70.0));
        let water = Water::in_house(f(95.0)).unwrap();
        let held =
            water::standing_loss::heat_capacity_per_length(&run.pipe, &water).as_btu_per_foot_fahrenheit();
        run.loss_standing = HeatLossPerLength::from_btu_per_hour_foot_fahrenheit(
            case.given("loss_btu_per_h_ft_f") * held / case.given("capacity_btu_per_ft_f"),
        );
        let mut line = line(&[run], f(70.0), f(120.0), sharp());
        line.house.fill(f(120.0)).unwrap();
        let minutes = case.expected("time_min").unwrap();
        line.house
            .run(&[], Time::from_minutes(minutes), &mut Vec::new())
            .unwrap();
        let found = line.house.temperature_at(line.end).as_fahrenheit();
        // 0.2 min of 13.9 is 0.3 °F.
        assert!(
            (found - case.given("to_f")).abs() < 0.3,
            "{found} at {minutes} min"
        );
    }
}

#[test]
fn water_on_its_way_loses_by_length_over_flow() {
    // Tout = Ta + (Tin - Ta) exp(-UA L/(m cp)); handbook of the project, water section 6.
    for (flow_gpm, feet) in [(0.5, 60.0), (1.5, 60.0), (3.0, 120.0)] {
        let run = bare(PipeMaterial::CopperL, "3/4 in", feet, f(60.0));
        let mut line = line(&[run], f(60.0), f(120.0), Settings::default());
        let mut results = Vec::new();
        let draw = open(line.tap, 1500.0, gpm(flow_gpm), f(100.0));
        line.house.run(&[draw], Time::zero(), &mut results).unwrap();
        let inlet = Water::in_house(f(60.0)).unwrap();
        let per_kelvin = water::heating::power_needed(gpm(flow_gpm), &inlet, f(120.0))
            .unwrap()
            .as_watts()
            / TemperatureDifference::from_fahrenheit(60.0).as_celsius();
        let lost = run.loss_moving.as_watts_per_meter_kelvin() * run.pipe.length().as_meters();
        let expected = 60.0 + 60.0 * (-lost / per_kelvin).exp();
        let found = results[0].trace.last().unwrap().temperature.as_fahrenheit();
        // Parcels of 0.4 °C spread and the capacity at mean instead of inlet density.
        assert!(
            (found - expected).abs() < 0.25,
            "{flow_gpm} gpm, {feet} ft: {found} against {expected}"
        );
    }
}

/// Temperature of the water at the end of a pipe whose wall follows at a finite rate, as the share of a step at the
/// inlet: the integral of Anzelius (1926) and Schumann (1929), from memory, by Simpson's rule.
///
/// T = 1 - e^(-y) ∫₀^x e^(-t) I₀(2√(y t)) dt, x = K L/(m c), y = ks (t - L/v).
fn exact_front(x: f64, y: f64) -> f64 {
    if y < 0.0 {
        return 0.0;
    }
    let n = 120;
    let integrand = |t: f64| {
        let z = 2.0 * (y * t).sqrt();
        // Scaled: e^(-t-y) I₀(z) with I₀(z) = 1/π ∫ e^(z cos θ) dθ.
        let m = 48;
        let mean = (0..m)
            .map(|at| {
                let theta = std::f64::consts::PI * (f64::from(at) + 0.5) / f64::from(m);
                (z * theta.cos() - t - y).exp()
            })
            .sum::<f64>();
        mean / f64::from(m)
    };
    let h = x / f64::from(n);
    let sum: f64 = (0..=n)
        .map(|at| {
            let weight = if at == 0 || at == n {
                1.0
            } else if at % 2 == 1 {
                4.0
            } else {
                2.0
            };
            weight * integrand(h * f64::from(at))
        })
        .sum();
    1.0 - sum * h / 3.0
}

#[test]
fn mean_and_variance_of_the_exact_front() {
    // The algebra behind `spread`: arrival at (1 + r) L/v on average, variance 2 r (L/v)/ks.
    let (r, ks, transit_s) = (0.34, 0.2, 15.0);
    let x = r * ks * transit_s;
    let share = |t: f64| exact_front(x, ks * (t - transit_s));
    let (mut mean, mut square, h) = (0.0, 0.0, 0.2);
    for at in 0..1000 {
        let t = h * (f64::from(at) + 0.5);
        let left = 1.0 - share(t);
        mean += left * h;
        square += 2.0 * t * left * h;
    }
    assert!((mean / ((1.0 + r) * transit_s) - 1.0).abs() < 0.002, "{mean}");
    let variance = square - mean * mean;
    assert!(
        (variance / (2.0 * r * transit_s / ks) - 1.0).abs() < 0.02,
        "{variance}"
    );
}

/// Time at which the exact front reaches a share of its step.
fn exact_arrival_s(x: f64, ks: f64, transit_s: f64, share: f64) -> f64 {
    let (mut low, mut high) = (transit_s, 20.0 * transit_s);
    for _ in 0..30 {
        let middle = 0.5 * (low + high);
        if exact_front(x, ks * (middle - transit_s)) < share {
            low = middle;
        } else {
            high = middle;
        }
    }
    low
}

#[test]
fn fronts_arrive_as_the_exact_ones() {
    // Fast streams, so that the wall spreads the front and the stream hardly does. With plastic a conductance of half
    // the heat flow, with copper four times it: the one store that stands for the wall is exact for little and coarse
    // for much, where the wall hardly spreads the front any more.
    for (material, feet, shares_and_slack) in [
        (
            PipeMaterial::Pex,
            50.0,
            [(0.45, 0.8), (0.7, 0.3), (0.8, 0.3), (0.9, 0.3)],
        ),
        (
            PipeMaterial::CopperL,
            50.0,
            [(0.3, 1.5), (0.5, 1.0), (0.8, 0.7), (0.9, 1.4)],
        ),
    ] {
        let run = without_loss(bare(material, "3/4 in", feet, f(50.0)));
        let water = Water::in_house(f(85.0)).unwrap();
        let flow = gpm(3.0);
        let transit_s = (run.pipe.volume() / flow).as_seconds();
        let r = run.pipe.wall_heat_ratio(&water).as_fraction();
        let sigma_l = front_spread(&run.pipe, &water, flow).unwrap().as_liters();
        // The rate of the wall, back from the variance.
        let ks = 2.0 * r * transit_s * (flow.as_liters_per_second() / sigma_l).powi(2);
        for (share, slack_s) in shares_and_slack {
            let exact_s = exact_arrival_s(r * ks * transit_s, ks, transit_s, share);
            let settings = Settings {
                useful_within: TemperatureDifference::from_celsius(0.0),
                ..Settings::default()
            };
            let found_s = wait_s(&[run], 3.0, 50.0 + 70.0 * share, settings);
            assert!(
                (found_s - exact_s).abs() < slack_s,
                "{material:?} {share}: {found_s} s against {exact_s} s, transit {transit_s} s"
            );
        }
    }
}
