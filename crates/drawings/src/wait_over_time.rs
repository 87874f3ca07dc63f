//! The chart of a wait: temperature at a tap from opening it, as it is served today and after the work.
//!
//! In: temperatures over time. Out: a [`LineChart`] with the use temperature marked. Start at [`chart`]. Computes nothing.

use crate::chart::{Axis, LineChart, Marker, Series, SeriesStyle, Ticks};
use quantity::{Temperature, Time, UnitSystem};

/// Everything the chart of a wait shows.
#[derive(Debug, Clone, PartialEq)]
pub struct WaitOverTime {
    /// Title of the chart.
    pub title: String,
    /// Units of the axis of temperature.
    pub units: UnitSystem,
    /// What the fixture needs.
    pub use_temperature: Temperature,
    /// Named curves of temperature since the tap was opened.
    pub curves: Vec<(String, Vec<(Time, Temperature)>)>,
}

/// The chart.
///
/// ```
/// use drawings::wait_over_time::{WaitOverTime, chart};
/// use quantity::{Temperature, Time, UnitSystem};
/// let at = |s, f| (Time::from_seconds(s), Temperature::from_fahrenheit(f));
/// let wait = WaitOverTime {
///     title: "Wait at the far shower".into(), units: UnitSystem::Us,
///     use_temperature: Temperature::from_fahrenheit(105.0),
///     curves: vec![("today".into(), vec![at(0.0, 68.0), at(45.0, 60.0), at(60.0, 106.0)])],
/// };
/// let chart = chart(&wait);
/// assert_eq!(chart.y_markers[0].label, "use temperature 105 °F");
/// assert_eq!(chart.series[0].points[2].0, 60.0);
/// ```
pub fn chart(input: &WaitOverTime) -> LineChart {
    let temperature = |temperature: Temperature| temperature.show(input.units).value();
    LineChart {
        id: "wait-over-time".to_owned(),
        title: input.title.clone(),
        x: Axis {
            label: "time since opening".to_owned(),
            unit: "s".to_owned(),
            ticks: Ticks::Round { from_zero: true },
        },
        y: Axis {
            label: "temperature at the tap".to_owned(),
            unit: input.use_temperature.show(input.units).unit().to_owned(),
            ticks: Ticks::Round { from_zero: false },
        },
        series: input
            .curves
            .iter()
            .enumerate()
            .map(|(at, (name, points))| Series {
                name: name.clone(),
                points: points
                    .iter()
                    .map(|(time, temp)| (time.as_seconds(), temperature(*temp)))
                    .collect(),
                style: SeriesStyle::nth(at),
            })
            .collect(),
        x_markers: Vec::new(),
        y_markers: vec![Marker {
            at: temperature(input.use_temperature),
            label: format!("use temperature {}", input.use_temperature.show(input.units)),
        }],
        region: None,
        callouts: Vec::new(),
    }
}
