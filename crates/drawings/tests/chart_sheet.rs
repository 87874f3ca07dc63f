//! Charts stay readable whatever they are given, as a sheet and as characters.

#[path = "../samples/charts.rs"]
mod charts;

use drawings::chart::{Axis, Callout, LineChart, Marker, Region, Series, SeriesStyle, Ticks, sheet};
use drawings::shape::Shape;
use drawings::{capability, clash, mains, plain, svg_print};
use proptest::prelude::*;
use quantity::UnitSystem;
use std::collections::BTreeSet;
use unicode_width::UnicodeWidthStr as _;

fn samples() -> Vec<LineChart> {
    vec![
        capability::chart(&charts::capability(UnitSystem::Us)),
        capability::chart(&charts::capability(UnitSystem::Si)),
        mains::chart(&charts::mains(UnitSystem::Us)),
        mains::chart(&charts::mains(UnitSystem::Si)),
        charts::ugly(),
        charts::empty(),
    ]
}

#[test]
fn sample_charts_are_readable() {
    for chart in samples() {
        let drawing = sheet(&chart);
        let clashes = clash::overlaps(&drawing);
        assert!(clashes.is_empty(), "{}: {}", chart.title, clashes[0]);
        assert_eq!(svg_print::svg(&drawing), svg_print::svg(&sheet(&chart)));
    }
}

#[test]
fn curves_differ_without_color() {
    let styles: BTreeSet<String> = (0..12)
        .map(SeriesStyle::nth)
        .map(|style| format!("{:?} {:?}", style.dash, style.mark))
        .collect();
    assert_eq!(styles.len(), 12);
}

#[test]
fn the_capability_chart_names_its_limits() {
    let chart = capability::chart(&charts::capability(UnitSystem::Us));
    let text = svg_print::svg(&sheet(&chart));
    for wanted in [
        "set point 120 °F",
        "use temperature 105 °F",
        "starts at 0.4 gpm",
        "can hold 105 °F with every",
        "January, mains 42 °F",
        "hot flow through the heater, gpm",
    ] {
        assert!(text.contains(wanted), "`{wanted}` is not on the chart");
    }
    // 18 kW at 63 °F of rise: 18 / (0.1465 × 63) = 1.950 gpm; the curve's straight pieces lie a little above.
    let held = chart.x_markers.last().map(|marker| marker.at);
    assert!(
        held.is_some_and(|gpm| (gpm / 1.950 - 1.0).abs() < 0.005),
        "{held:?}"
    );
}

#[test]
fn the_block_has_the_size_asked_for() {
    for chart in samples() {
        for (columns, rows) in [(40, 6), (76, 16), (120, 30)] {
            let lines = plain::line_chart(&chart, columns, rows);
            let plot = lines.iter().filter(|line| line.contains(['│', '┤'])).count();
            assert_eq!(plot, rows, "{}", chart.title);
            for line in &lines {
                assert!(line.width() <= columns, "{} > {columns}: {line}", line.width());
            }
        }
    }
    let lines = plain::line_chart(&samples()[0], 76, 16).join("\n");
    for wanted in [
        "  a  January, mains 42 °F",
        "  1  set point 120 °F",
        "aaa",
        "---",
        "...",
    ] {
        assert!(lines.contains(wanted), "`{wanted}` is not in\n{lines}");
    }
    for number in ['1', '2', '3', '4'] {
        let ends = lines
            .lines()
            .filter(|line| line.contains(['│', '┤']) && line.contains(number));
        assert!(ends.count() >= 1, "limit {number} is not marked in\n{lines}");
    }
}

fn text() -> impl Strategy<Value = String> {
    prop_oneof![
        4 => "[A-Za-z0-9 ]{0,20}",
        2 => "\\PC{0,40}",
        1 => "[ -~]{100,200}",
        1 => "[W]{60,120}",
        1 => "[😀水ש ]{0,30}",
    ]
}

fn value() -> impl Strategy<Value = f64> {
    prop_oneof![6 => 0.0..10.0, 2 => -1e4..1e4, 1 => Just(f64::NAN), 1 => Just(5.0)]
}

fn marker() -> impl Strategy<Value = Marker> {
    (value(), text()).prop_map(|(at, label)| Marker { at, label })
}

fn ticks() -> impl Strategy<Value = Ticks> {
    prop_oneof![
        3 => any::<bool>().prop_map(|from_zero| Ticks::Round { from_zero }),
        1 => proptest::collection::vec((value(), text()), 0..13).prop_map(Ticks::Named),
    ]
}

fn line_chart() -> impl Strategy<Value = LineChart> {
    let points = || proptest::collection::vec((value(), value()), 0..12);
    let axis = || (text(), text(), ticks()).prop_map(|(label, unit, ticks)| Axis { label, unit, ticks });
    (
        (text(), axis(), axis()),
        proptest::collection::vec((text(), points()), 0..6),
        proptest::collection::vec(marker(), 0..4),
        proptest::collection::vec(marker(), 0..4),
        proptest::option::of((text(), points())),
        proptest::collection::vec((value(), value(), text()), 0..4),
    )
        .prop_map(
            |((title, x, y), series, x_markers, y_markers, region, callouts)| LineChart {
                id: "any".to_owned(),
                title,
                x,
                y,
                series: series
                    .into_iter()
                    .enumerate()
                    .map(|(at, (name, points))| Series {
                        name,
                        points,
                        style: SeriesStyle::nth(at),
                    })
                    .collect(),
                x_markers,
                y_markers,
                region: region.map(|(label, corners)| Region { label, corners }),
                callouts: callouts
                    .into_iter()
                    .map(|(x, y, label)| Callout { at: (x, y), label })
                    .collect(),
            },
        )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 500, max_shrink_iters: 400, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn nothing_overlaps_on_any_chart(chart in line_chart()) {
        let drawing = sheet(&chart);
        let clashes = clash::overlaps(&drawing);
        prop_assert!(clashes.is_empty(), "{}", clashes[0]);
        prop_assert!(drawing.height.is_finite());
        for place in drawing.shapes.iter().flat_map(Shape::outline) {
            prop_assert!(place.x.is_finite() && place.y.is_finite(), "{place:?}");
        }
        for line in plain::line_chart(&chart, 60, 12) {
            prop_assert!(line.width() <= 60, "{line}");
        }
    }
}
