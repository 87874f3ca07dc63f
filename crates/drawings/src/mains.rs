//! The chart of the incoming cold water through the year.
//!
//! In: twelve monthly temperatures. Out: a [`LineChart`] with the coldest and the warmest month named. Start at
//! [`chart`]. Knows no climate and no formula.

use crate::chart::{Axis, Callout, LineChart, Series, SeriesStyle, Ticks};
use quantity::{Temperature, UnitSystem};

const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// Everything the chart of the mains temperature shows.
#[derive(Debug, Clone, PartialEq)]
pub struct MainsByMonth {
    /// Title of the chart.
    pub title: String,
    /// Units of the axis.
    pub units: UnitSystem,
    /// January to December.
    pub months: [Temperature; 12],
    /// Where the values come from, such as "model, nearest station" or "measured".
    pub origin: String,
}

/// The chart.
///
/// ```
/// use drawings::mains::{MainsByMonth, chart};
/// use quantity::{Temperature, UnitSystem};
/// let f = [46.0, 45.0, 47.0, 51.0, 57.0, 62.0, 66.0, 67.0, 65.0, 61.0, 55.0, 50.0];
/// let mains = MainsByMonth {
///     title: "Incoming water".into(), units: UnitSystem::Us,
///     months: f.map(Temperature::from_fahrenheit), origin: "model".into(),
/// };
/// let callouts = chart(&mains).callouts;
/// assert_eq!(callouts[0].label, "coldest: February, 45 °F");
/// assert_eq!(callouts[1].label, "warmest: August, 67 °F");
/// ```
pub fn chart(input: &MainsByMonth) -> LineChart {
    let units = input.units;
    let value = |temperature: Temperature| temperature.show(units).value();
    let points: Vec<(f64, f64)> = (1..=12_u32)
        .zip(input.months)
        .map(|(month, temperature)| (f64::from(month), value(temperature)))
        .collect();
    let finite = || (0..12).filter(|at| input.months[*at].is_finite());
    let coldest = finite().min_by(|a, b| points[*a].1.total_cmp(&points[*b].1));
    let warmest = finite()
        .rev()
        .max_by(|a, b| points[*a].1.total_cmp(&points[*b].1));
    let callout = |word: &str, at: usize| Callout {
        at: points[at],
        label: format!("{word}: {}, {}", MONTHS[at], input.months[at].show(units)),
    };
    let callouts = coldest
        .map(|at| callout("coldest", at))
        .into_iter()
        .chain(warmest.map(|at| callout("warmest", at)))
        .collect();
    LineChart {
        id: "mains-by-month".to_owned(),
        title: input.title.clone(),
        x: Axis {
            label: "month".to_owned(),
            unit: String::new(),
            ticks: Ticks::Named(
                points
                    .iter()
                    .zip(MONTHS)
                    .map(|((at, _), month)| (*at, month[..3].to_owned()))
                    .collect(),
            ),
        },
        y: Axis {
            label: "incoming water".to_owned(),
            unit: Temperature::from_celsius(0.0).show(units).unit().to_owned(),
            ticks: Ticks::Round { from_zero: false },
        },
        series: vec![Series {
            name: input.origin.clone(),
            points,
            style: SeriesStyle::nth(0),
        }],
        x_markers: Vec::new(),
        y_markers: Vec::new(),
        region: None,
        callouts,
    }
}
