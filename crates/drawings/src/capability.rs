//! The capability chart: what a heater delivers against the flow drawn, for several temperatures of the cold water.
//!
//! In: curves that the caller computed, as quantities. Out: a [`LineChart`] in the reader's units. Start at [`chart`].
//! Computes no heat; it finds where a given curve crosses the use temperature, by straight lines between given points.

use crate::chart::{Axis, LineChart, Marker, Region, Series, SeriesStyle, Ticks};
use quantity::{Temperature, UnitSystem, VolumeFlow};

/// Everything the capability chart shows.
#[derive(Debug, Clone, PartialEq)]
pub struct Capability {
    /// Title of the chart.
    pub title: String,
    /// Units of the axes.
    pub units: UnitSystem,
    /// Which flow is drawn, such as "hot flow through the heater" or "mixed flow at the taps".
    pub flow: String,
    /// The curves, one for each supply or month, smallest flow first in each.
    pub supplies: Vec<Supply>,
    /// What the heater is set to.
    pub set_point: Temperature,
    /// What the fixtures need.
    pub use_temperature: Temperature,
    /// Flow below which the heater does not start, if known.
    pub activation: Option<VolumeFlow>,
}

/// One curve of the capability chart.
#[derive(Debug, Clone, PartialEq)]
pub struct Supply {
    /// Its name, such as "January, mains 45 °F".
    pub name: String,
    /// Delivered temperature at each flow.
    pub delivered: Vec<(VolumeFlow, Temperature)>,
}

/// The chart.
///
/// The shaded area lies between the use temperature and the weakest supply's curve, from the activation flow on: what
/// holds there holds with every supply drawn.
///
/// ```
/// use drawings::capability::{Capability, Supply, chart};
/// use quantity::{Temperature, UnitSystem, VolumeFlow};
/// let at = |gpm, f| (VolumeFlow::from_gallons_per_minute(gpm), Temperature::from_fahrenheit(f));
/// let capability = Capability {
///     title: "What 18 kW delivers".into(), units: UnitSystem::Us, flow: "hot flow".into(),
///     supplies: vec![Supply { name: "January".into(), delivered: vec![at(1.0, 120.0), at(2.0, 110.0), at(3.0, 90.0)] }],
///     set_point: Temperature::from_fahrenheit(120.0),
///     use_temperature: Temperature::from_fahrenheit(105.0),
///     activation: Some(VolumeFlow::from_gallons_per_minute(0.5)),
/// };
/// // Halfway between 110 and 100 would be 2.5 gpm; 105 lies a quarter of the way from 110 to 90.
/// assert!(chart(&capability).x_markers.iter().any(|marker| marker.label == "holds 105 °F up to 2.25 gpm"));
/// ```
pub fn chart(input: &Capability) -> LineChart {
    let units = input.units;
    let flow = |flow: VolumeFlow| flow.show(units).value();
    let temperature = |temperature: Temperature| temperature.show(units).value();
    let mut x_markers = Vec::new();
    x_markers.extend(input.activation.map(|activation| Marker {
        at: flow(activation),
        label: format!("starts at {}", activation.show(units)),
    }));
    let held = held_by_all(input);
    if let Some(held) = held.as_ref().filter(|held| held.falls) {
        x_markers.push(Marker {
            at: flow(held.to),
            label: format!(
                "holds {} up to {}",
                input.use_temperature.show(units),
                held.to.show(units)
            ),
        });
    }
    let region = held.map(|held| {
        let use_line = temperature(input.use_temperature);
        let mut corners = vec![(flow(held.from), use_line)];
        let upper = held.curve.iter().filter(|(at, _)| *at <= held.to);
        corners.extend(upper.map(|(at, hot)| (flow(*at), temperature(*hot))));
        corners.push((flow(held.to), use_line));
        Region {
            label: format!(
                "can hold {} with every supply drawn",
                input.use_temperature.show(units)
            ),
            corners,
        }
    });
    LineChart {
        id: "capability".to_owned(),
        title: input.title.clone(),
        x: Axis {
            label: input.flow.clone(),
            unit: VolumeFlow::zero().show(units).unit().to_owned(),
            ticks: Ticks::Round { from_zero: true },
        },
        y: Axis {
            label: "delivered temperature".to_owned(),
            unit: input.set_point.show(units).unit().to_owned(),
            ticks: Ticks::Round { from_zero: false },
        },
        series: input
            .supplies
            .iter()
            .enumerate()
            .map(|(at, supply)| Series {
                name: supply.name.clone(),
                points: supply
                    .delivered
                    .iter()
                    .map(|(at, hot)| (flow(*at), temperature(*hot)))
                    .collect(),
                style: SeriesStyle::nth(at),
            })
            .collect(),
        x_markers,
        y_markers: vec![
            Marker {
                at: temperature(input.set_point),
                label: format!("set point {}", input.set_point.show(units)),
            },
            Marker {
                at: temperature(input.use_temperature),
                label: format!("use temperature {}", input.use_temperature.show(units)),
            },
        ],
        region,
        callouts: Vec::new(),
    }
}

/// Flows at which a supply holds the use temperature, from the first that counts.
struct Held {
    from: VolumeFlow,
    to: VolumeFlow,
    /// False when the curve ends before it falls below the use temperature.
    falls: bool,
    /// The curve from `from` on.
    curve: Vec<(VolumeFlow, Temperature)>,
}

/// What the weakest supply holds; `None` when one of them holds the use temperature at no flow.
fn held_by_all(input: &Capability) -> Option<Held> {
    let held: Option<Vec<Held>> = input
        .supplies
        .iter()
        .map(|supply| held_by(supply, input))
        .collect();
    held?.into_iter().min_by(|a, b| {
        a.to.as_gallons_per_minute()
            .total_cmp(&b.to.as_gallons_per_minute())
    })
}

fn held_by(supply: &Supply, input: &Capability) -> Option<Held> {
    let start = input.activation.unwrap_or(VolumeFlow::zero());
    let points = || {
        let finite = |(at, hot): &&(VolumeFlow, Temperature)| at.is_finite() && hot.is_finite();
        supply.delivered.iter().filter(finite).copied()
    };
    let before = points().take_while(|(at, _)| *at < start).last();
    let mut curve: Vec<(VolumeFlow, Temperature)> = points().skip_while(|(at, _)| *at < start).collect();
    let first = *curve.first()?;
    if let Some(before) = before.filter(|_| first.0 > start) {
        let share = (start - before.0) / (first.0 - before.0);
        curve.insert(0, (start, before.1 + (first.1 - before.1) * share));
    }
    let (from, _) = curve
        .first()
        .copied()
        .filter(|(_, hot)| *hot >= input.use_temperature)?;
    let crossing = curve.windows(2).find_map(|pair| {
        let ((at, hot), (next, cooler)) = (pair[0], pair[1]);
        (cooler < input.use_temperature)
            .then(|| at + (next - at) * ((hot - input.use_temperature) / (hot - cooler)))
    });
    let (last, _) = *curve.last()?;
    let to = crossing.unwrap_or(last);
    (to > from).then_some(Held {
        from,
        to,
        falls: crossing.is_some(),
        curve,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn capability(curves: &[&[(f64, f64)]]) -> Capability {
        Capability {
            title: "t".into(),
            units: UnitSystem::Us,
            flow: "flow".into(),
            supplies: curves
                .iter()
                .map(|curve| Supply {
                    name: "s".into(),
                    delivered: curve
                        .iter()
                        .map(|(gpm, f)| {
                            (
                                VolumeFlow::from_gallons_per_minute(*gpm),
                                Temperature::from_fahrenheit(*f),
                            )
                        })
                        .collect(),
                })
                .collect(),
            set_point: Temperature::from_fahrenheit(120.0),
            use_temperature: Temperature::from_fahrenheit(105.0),
            activation: Some(VolumeFlow::from_gallons_per_minute(0.5)),
        }
    }

    #[test]
    fn the_weakest_supply_bounds_what_is_held() {
        let chart = chart(&capability(&[
            &[(0.2, 120.0), (2.0, 120.0), (4.0, 100.0)],
            &[(0.2, 120.0), (1.0, 115.0), (2.0, 95.0)],
        ]));
        let corners = chart.region.unwrap().corners;
        assert!(
            (corners[0].0 - 0.5).abs() < 1e-9,
            "from the activation flow: {corners:?}"
        );
        assert!(
            (corners.last().unwrap().0 - 1.5).abs() < 1e-9,
            "115 to 95 crosses 105 halfway: {corners:?}"
        );
        // 120 to 115 over 0.2 to 1.0 gpm: 118.125 at 0.5 gpm.
        assert!((corners[1].1 - 118.125).abs() < 1e-9, "{corners:?}");
    }

    #[test]
    fn nothing_is_claimed_that_one_supply_cannot_hold() {
        let short: &[(f64, f64)] = &[(0.5, 100.0), (2.0, 80.0)];
        let long: &[(f64, f64)] = &[(0.5, 120.0), (2.0, 118.0)];
        assert!(chart(&capability(&[long, short])).region.is_none());
        assert!(chart(&capability(&[long, &[]])).region.is_none());
        assert!(chart(&capability(&[])).region.is_none());
        let all = chart(&capability(&[long]));
        assert!(all.region.is_some());
        assert_eq!(
            all.x_markers.len(),
            1,
            "no limit where the curve ends without falling: {:?}",
            all.x_markers
        );
    }
}
