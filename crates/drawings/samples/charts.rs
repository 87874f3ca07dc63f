//! Invented charts: what tests, benchmark and gallery draw.

use drawings::capability::{Capability, Supply};
use drawings::chart::{Axis, Callout, LineChart, Marker, Region, Series, SeriesStyle, Ticks};
use drawings::mains::MainsByMonth;
use quantity::{Temperature, UnitSystem, VolumeFlow};

/// An 18 kW heater on three supplies: 0.1465 kW for each gpm and °F of rise.
pub(crate) fn capability(units: UnitSystem) -> Capability {
    let supply = |name: &str, mains: f64| Supply {
        name: format!(
            "{name}, mains {}",
            Temperature::from_fahrenheit(mains).show(units)
        ),
        delivered: (2..=26)
            .map(|step| {
                let gpm = f64::from(step) * 0.2;
                let hot = (mains + 18.0 / (0.1465 * gpm)).min(120.0);
                (
                    VolumeFlow::from_gallons_per_minute(gpm),
                    Temperature::from_fahrenheit(hot),
                )
            })
            .collect(),
    };
    Capability {
        title: "What 18 kW delivers, by flow and by month".to_owned(),
        units,
        flow: "hot flow through the heater".to_owned(),
        supplies: vec![
            supply("January", 42.0),
            supply("April", 52.0),
            supply("August", 68.0),
        ],
        set_point: Temperature::from_fahrenheit(120.0),
        use_temperature: Temperature::from_fahrenheit(105.0),
        activation: Some(VolumeFlow::from_gallons_per_minute(0.4)),
    }
}

/// A year of incoming water.
pub(crate) fn mains(units: UnitSystem) -> MainsByMonth {
    let f = [
        43.2, 42.1, 44.9, 50.3, 56.8, 62.6, 66.4, 67.4, 64.9, 59.6, 53.0, 47.0,
    ];
    MainsByMonth {
        title: "Incoming water through the year".to_owned(),
        units,
        months: f.map(Temperature::from_fahrenheit),
        origin: "model, nearest weather station".to_owned(),
    }
}

/// Curves that run together, end early, break off, with long, foreign and empty names.
pub(crate) fn ugly() -> LineChart {
    let names = [
        "a name of two hundred letters ".repeat(7),
        "ערב טוב 水 🔥 <b>&\"".to_owned(),
        String::new(),
        "x".repeat(120),
        "five".to_owned(),
        "six".to_owned(),
        "seven".to_owned(),
    ];
    let series = names
        .iter()
        .enumerate()
        .map(|(at, name)| Series {
            name: name.clone(),
            points: (0..40)
                .map(|step| {
                    let x = f64::from(step) * if at == 4 { 0.03 } else { 0.1 };
                    let y = if step == 20 {
                        f64::NAN
                    } else {
                        100.0 - x * x + at as f64 * 0.2
                    };
                    (x, y)
                })
                .collect(),
            style: SeriesStyle::nth(at),
        })
        .collect();
    let axis = |label: &str| Axis {
        label: label.to_owned(),
        unit: "gpm".to_owned(),
        ticks: Ticks::Round { from_zero: false },
    };
    let marker = |at: f64, label: &str| Marker {
        at,
        label: label.to_owned(),
    };
    LineChart {
        id: "ugly".to_owned(),
        title: "A title that is far too long for one line of this sheet ".repeat(4),
        x: axis(&"level axis ".repeat(20)),
        y: axis("upright axis"),
        series,
        x_markers: vec![
            marker(0.5, "first limit"),
            marker(0.55, "second limit, close to the first"),
            marker(3.9, "a limit at the right edge of the plot"),
            marker(f64::NAN, "nowhere"),
        ],
        y_markers: vec![
            marker(95.0, "set point"),
            marker(95.1, "almost the same"),
            marker(95.2, "again"),
        ],
        region: Some(Region {
            label: "a region with a name that is too long for its place".to_owned(),
            corners: vec![(1.0, 99.0), (1.2, 99.0), (1.2, 98.0)],
        }),
        callouts: (0..5)
            .map(|at| Callout {
                at: (1.0 + f64::from(at) * 0.02, 99.0),
                label: format!("point {at}"),
            })
            .collect(),
    }
}

/// Axes with nothing between them.
pub(crate) fn empty() -> LineChart {
    LineChart {
        series: Vec::new(),
        x_markers: Vec::new(),
        y_markers: Vec::new(),
        region: None,
        callouts: Vec::new(),
        id: "empty".to_owned(),
        title: "Nothing measured yet".to_owned(),
        ..ugly()
    }
}
