//! The charts of a meter file: demand over the share of the time, over the hours, over the months; with the heater, the
//! peaks of simulated years and the day of the highest.
//!
//! In: a [`MeterReport`] or a [`DemandOverlay`]. Out: [`LineChart`]s in kW. Start at [`duration`]. Computes nothing: it
//! orders and repeats given figures.

use crate::chart::{Axis, LineChart, Marker, Series, SeriesStyle, Ticks};
use assess::MeterReport;
use assess::demand::{DemandOverlay, OverlayDay, Peaks};
use quantity::Power;

const MONTHS: [&str; 12] = [
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
];

fn kilowatts() -> Axis {
    Axis {
        label: "demand".to_owned(),
        unit: "kW".to_owned(),
        ticks: Ticks::Round { from_zero: true },
    }
}

fn chart(id: &str, title: String, x: Axis, y: Axis, series: Vec<Series>) -> LineChart {
    LineChart {
        id: id.to_owned(),
        title,
        x,
        y,
        series,
        x_markers: Vec::new(),
        y_markers: Vec::new(),
        region: None,
        callouts: Vec::new(),
    }
}

fn series(name: String, points: Vec<(f64, f64)>, index: usize) -> Series {
    Series {
        name,
        points,
        style: SeriesStyle::nth(index),
    }
}

fn hours() -> Axis {
    Axis {
        label: "hour of the day".to_owned(),
        unit: String::new(),
        ticks: Ticks::Named(
            (0..=8_u8)
                .map(|step| (f64::from(step) * 3.0, (step * 3).to_string()))
                .collect(),
        ),
    }
}

/// Demand over the share of the time in which it is exceeded.
pub fn duration(report: &MeterReport) -> LineChart {
    let points = report
        .duration
        .iter()
        .map(|(share, power)| (share.as_fraction() * 100.0, power.as_kilowatts()))
        .collect();
    let x = Axis {
        label: "share of the time with more".to_owned(),
        unit: "%".to_owned(),
        ticks: Ticks::Round { from_zero: true },
    };
    let name = format!("mean of {}", report.interval().show_in("min"));
    chart(
        "load-duration",
        "How long the house draws how much".to_owned(),
        x,
        kilowatts(),
        vec![series(name, points, 0)],
    )
}

/// Mean and largest demand of each hour of the day.
pub fn by_hour(report: &MeterReport) -> LineChart {
    let steps = |power: fn(&assess::HourResult) -> Power| {
        let each = (0_u8..).zip(&report.hours);
        each.flat_map(|(hour, one)| {
            let (from, kilowatts) = (f64::from(hour), power(one).as_kilowatts());
            [(from, kilowatts), (from + 1.0, kilowatts)]
        })
        .collect()
    };
    chart(
        "demand-by-hour",
        "Demand through the day".to_owned(),
        hours(),
        kilowatts(),
        vec![
            series("largest".to_owned(), steps(|hour| hour.maximum), 0),
            series("mean".to_owned(), steps(|hour| hour.mean), 1),
        ],
    )
}

/// Largest demand of each month.
pub fn by_month(report: &MeterReport) -> LineChart {
    let places: Vec<(f64, String)> = (0_u32..)
        .zip(&report.months)
        .map(|(at, month)| {
            let name = MONTHS
                .get(usize::from(month.month).saturating_sub(1))
                .unwrap_or(&"?");
            (f64::from(at), (*name).to_owned())
        })
        .collect();
    let points = places
        .iter()
        .zip(&report.months)
        .map(|((at, _), month)| (*at, month.maximum.as_kilowatts()))
        .collect();
    let x = Axis {
        label: "month".to_owned(),
        unit: String::new(),
        ticks: Ticks::Named(places),
    };
    let name = format!("largest mean of {}", report.interval().show_in("min"));
    chart(
        "demand-by-month",
        "Largest demand by month".to_owned(),
        x,
        kilowatts(),
        vec![series(name, points, 0)],
    )
}

/// The share of simulated years whose peak is above so many kW.
pub fn peaks(overlay: &DemandOverlay) -> LineChart {
    let x = Axis {
        label: "highest demand of a year".to_owned(),
        unit: "kW".to_owned(),
        ticks: Ticks::Round { from_zero: true },
    };
    let y = Axis {
        label: "years with more".to_owned(),
        unit: "%".to_owned(),
        ticks: Ticks::Round { from_zero: true },
    };
    let interval = overlay.interval.show_in("min");
    let mut chart = chart(
        "yearly-peaks",
        "How high the house peaks with the heater".to_owned(),
        x,
        y,
        vec![
            series("over one minute".to_owned(), exceedance(&overlay.by_minute), 0),
            series(
                format!("over the meter's {interval}"),
                exceedance(&overlay.by_interval),
                1,
            ),
        ],
    );
    chart.x_markers = vec![
        Marker {
            at: overlay.rating_power.as_kilowatts(),
            label: format!("service {}", overlay.rating.show_in("A")),
        },
        Marker {
            at: overlay.measured_maximum.as_kilowatts(),
            label: "measured, without the heater".to_owned(),
        },
    ];
    chart
}

/// Falls by one year at each year's peak; at most some hundred points.
fn exceedance(peaks: &Peaks) -> Vec<(f64, f64)> {
    let count = peaks.all.len();
    let stride = count.div_ceil(100).max(1);
    let mut points = Vec::new();
    for at in (0..count).step_by(stride) {
        #[allow(clippy::cast_precision_loss, reason = "years are few")]
        let above = (count - at) as f64 / count as f64 * 100.0;
        points.push((peaks.all[at].as_kilowatts(), above));
    }
    points.extend(peaks.all.last().map(|highest| (highest.as_kilowatts(), 0.0)));
    points
}

/// The day of the highest minute; none when nothing was recorded.
pub fn highest_day(overlay: &DemandOverlay) -> Option<LineChart> {
    let day: &OverlayDay = overlay.worst_day.as_ref()?;
    let mut chart = chart(
        "highest-day",
        format!(
            "The highest minute of {} simulated years, laid over {}",
            overlay.years, day.date
        ),
        hours(),
        kilowatts(),
        vec![
            series("with the heater".to_owned(), steps(&day.with_heater), 0),
            series("measured".to_owned(), steps(&day.measured), 1),
        ],
    );
    chart.y_markers = vec![Marker {
        at: overlay.rating_power.as_kilowatts(),
        label: format!("service {}", overlay.rating.show_in("A")),
    }];
    Some(chart)
}

/// Minutes as steps, a point only where the demand changes; a gap breaks the line.
fn steps(minutes: &[Option<Power>]) -> Vec<(f64, f64)> {
    let mut points = Vec::new();
    let mut before: Option<f64> = None;
    for (minute, power) in (0_u32..).zip(minutes) {
        let hour = f64::from(minute) / 60.0;
        let now = power.map(Power::as_kilowatts);
        if now != before {
            points.extend(before.map(|before| (hour, before)));
            points.push((hour, now.unwrap_or(f64::NAN)));
        }
        before = now;
    }
    points.extend(before.map(|last| (f64::from(u32::try_from(minutes.len()).unwrap_or(0)) / 60.0, last)));
    points
}
