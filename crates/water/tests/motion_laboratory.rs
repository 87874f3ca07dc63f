//! Heat in motion against laboratory measurements, as far as they are known: all are remembered with low confidence.

#![allow(clippy::unwrap_used, reason = "helpers of tests fail as tests do")]

#[path = "support/line.rs"]
mod line;

use line::{f, gpm, line, open};
use quantity::{Length, Time};
use tables::pipe::PipeMaterial;
use tables::water_parameter::water_parameters;
use water::motion::{PipeRun, Settings};
use water::pipe::Pipe;
use water::standing_loss::{Insulation, heat_loss_per_length};

fn foam(inches: f64) -> Option<Insulation> {
    (inches > 0.0).then(|| Insulation {
        thickness: Length::from_inches(inches),
        conductivity: water_parameters().foam_conductivity.value,
    })
}

#[test]
fn water_run_over_pipe_volume() {
    for case in &checks::load("water/delivery_ratio.toml").cases {
        let size = case.given_text("size").parse().unwrap();
        let pipe = Pipe::of(
            PipeMaterial::CopperL,
            size,
            Length::from_feet(case.given("length_ft")),
        )
        .unwrap();
        let run = PipeRun::in_air(pipe, foam(case.given("foam_in")), f(68.0)).unwrap();
        // The laboratory's use temperature of 105 °F from a source of 120.
        let mut line = line(&[run], f(68.0), f(120.0), Settings::default());
        let mut results = Vec::new();
        let flow = gpm(case.given("flow_gpm"));
        let draw = open(line.tap, 1200.0, flow, f(105.0));
        line.house.run(&[draw], Time::zero(), &mut results).unwrap();
        let found = results[0].run_off.as_gallons() / pipe.volume().as_gallons();
        println!("{} {found:.3}", case.id);
        case.close("ratio", found);
    }
}

#[test]
fn heat_loss_of_standing_pipe() {
    for case in &checks::load("water/pipe_heat_loss_measured.toml").cases {
        let size = case.given_text("size").parse().unwrap();
        let pipe = Pipe::of(PipeMaterial::CopperL, size, Length::from_feet(1.0)).unwrap();
        let film = water_parameters().surface_heat_transfer.value;
        let found = heat_loss_per_length(&pipe, foam(case.given("foam_in")), film).unwrap();
        case.close("loss_btu_per_h_ft_f", found.as_btu_per_hour_foot_fahrenheit());
    }
}
