//! Where the words of a chart stand: names in the right-hand gutter, limits above the plot, points inside it.
//!
//! In: wanted places and sizes. Out: places at which nothing overlaps. The gutter and the lanes above the plot always
//! find room (they grow); a point's name is tried around its point and otherwise goes below the chart.

use crate::clash::Ground;
use crate::lettering::LINE_PITCH;
use crate::shape::{Anchor, Bounds, Label, Point, point};

/// Centers of blocks with the given wanted centers and heights, moved apart as little as possible, order kept, all
/// between `top` and `bottom` when they fit there.
pub(super) fn spread(wanted: &[(f64, f64)], top: f64, bottom: f64) -> Vec<f64> {
    let mut order: Vec<usize> = (0..wanted.len()).collect();
    order.sort_by(|a, b| wanted[*a].0.total_cmp(&wanted[*b].0));
    // Runs of touching blocks: (members, height, middle wanted by them all).
    let mut runs: Vec<(Vec<usize>, f64, f64)> = Vec::new();
    for at in order {
        let (center, height) = wanted[at];
        let mut run = (vec![at], height, clamped(center, height, top, bottom));
        while let Some(last) = runs.last() {
            if last.2 + last.1 / 2.0 <= run.2 - run.1 / 2.0 + 1e-9 {
                break;
            }
            let (mut members, height, middle) = runs.pop().unwrap_or_default();
            // The joined run sits where its members' wishes balance, each counting by its height.
            let total = height + run.1;
            let balanced = ((middle + run.1 / 2.0) * height + (run.2 - height / 2.0) * run.1) / total;
            members.extend(run.0);
            run = (members, total, clamped(balanced, total, top, bottom));
        }
        runs.push(run);
    }
    let mut centers = vec![0.0; wanted.len()];
    for (members, height, middle) in runs {
        let mut edge = middle - height / 2.0;
        for at in members {
            centers[at] = edge + wanted[at].1 / 2.0;
            edge += wanted[at].1;
        }
    }
    centers
}

fn clamped(center: f64, height: f64, top: f64, bottom: f64) -> f64 {
    center.min(bottom - height / 2.0).max(top + height / 2.0)
}

/// Heights above the plot at which labels stand that begin right of their upright leaders: for each its distance from
/// the plot to its lower edge. `spans` holds x of the leader, x where the label ends, height of the label.
pub(super) fn lanes(spans: &[(f64, f64, f64)]) -> Vec<f64> {
    let mut order: Vec<usize> = (0..spans.len()).collect();
    order.sort_by(|a, b| spans[*b].0.total_cmp(&spans[*a].0));
    let mut base = vec![0.0; spans.len()];
    for (rank, at) in order.iter().enumerate() {
        let (_, end, _) = spans[*at];
        // Leaders to the right that rise below this label must end below it.
        base[*at] = order[..rank]
            .iter()
            .filter(|right| spans[**right].0 <= end)
            .map(|right| base[*right] + spans[*right].2)
            .fold(0.0, f64::max);
    }
    base
}

/// Lines of a label that stand free near `target`, near enough to need no leader; `None` when there is no room.
pub(super) fn near(
    ground: &Ground,
    lines: &[String],
    target: Point,
    size: f64,
    within: Bounds,
) -> Option<Vec<Label>> {
    const DIRECTIONS: [(f64, f64); 8] = [
        (0.0, -1.0),
        (0.0, 1.0),
        (0.8, -0.8),
        (-0.8, -0.8),
        (0.8, 0.8),
        (-0.8, 0.8),
        (1.0, 0.0),
        (-1.0, 0.0),
    ];
    let pitch = size * LINE_PITCH;
    let height = lines.len() as f64 * pitch;
    for distance in [9.0, 13.0, 18.0, 24.0] {
        for (dx, dy) in DIRECTIONS {
            let anchor = if dx > 0.5 {
                Anchor::Start
            } else if dx < -0.5 {
                Anchor::End
            } else {
                Anchor::Middle
            };
            let center = target.y + dy * (distance + if dx == 0.0 { height / 2.0 } else { 0.0 });
            let labels = block(lines, point(target.x + dx * distance, center), size, anchor);
            let free = |label: &Label| within.holds(label.bounds()) && ground.is_free_for(label);
            if labels.iter().all(free) {
                return Some(labels);
            }
        }
    }
    None
}

/// Lines of a label that stand free inside the polygon `corners`, as near its middle as can be.
pub(super) fn inside(ground: &Ground, lines: &[String], corners: &[Point], size: f64) -> Option<Vec<Label>> {
    const GRID: u32 = 24;
    let around = Bounds::around(corners.iter().copied())?;
    let middle = point(
        f64::midpoint(around.left, around.right),
        f64::midpoint(around.top, around.bottom),
    );
    let at = |low: f64, high: f64, step: u32| low + (high - low) * f64::from(step) / f64::from(GRID);
    let mut places: Vec<Point> = (0..=GRID)
        .flat_map(|row| (0..=GRID).map(move |column| (column, row)))
        .map(|(column, row)| {
            point(
                at(around.left, around.right, column),
                at(around.top, around.bottom, row),
            )
        })
        .collect();
    let distance = |p: &Point| (p.x - middle.x).hypot(p.y - middle.y);
    places.sort_by(|a, b| distance(a).total_cmp(&distance(b)));
    places.into_iter().find_map(|place| {
        let labels = block(lines, place, size, Anchor::Middle);
        let free = |label: &Label| {
            let box_around = label.bounds().grown(3.0);
            ground.is_free_for(label)
                && [
                    point(box_around.left, box_around.top),
                    point(box_around.right, box_around.top),
                    point(box_around.left, box_around.bottom),
                    point(box_around.right, box_around.bottom),
                ]
                .into_iter()
                .all(|corner| is_inside(corner, corners))
        };
        labels.iter().all(free).then_some(labels)
    })
}

fn block(lines: &[String], center: Point, size: f64, anchor: Anchor) -> Vec<Label> {
    let pitch = size * LINE_PITCH;
    let first = crate::symbol::centered_baseline(center.y, size) - (lines.len() as f64 - 1.0) * pitch / 2.0;
    lines
        .iter()
        .enumerate()
        .map(|(at, line)| Label {
            plate: true,
            ..Label::new(line, point(center.x, first + at as f64 * pitch), size).anchored(anchor)
        })
        .collect()
}

/// True when `place` lies inside the polygon (even number of crossings to the right means outside).
fn is_inside(place: Point, corners: &[Point]) -> bool {
    let edges = corners.iter().zip(corners.iter().cycle().skip(1));
    edges
        .filter(|(a, b)| {
            (a.y > place.y) != (b.y > place.y) && place.x < a.x + (place.y - a.y) / (b.y - a.y) * (b.x - a.x)
        })
        .count()
        % 2
        == 1
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn lone_blocks_stay_where_they_want() {
        assert_eq!(spread(&[(50.0, 10.0), (80.0, 10.0)], 0.0, 100.0), [50.0, 80.0]);
        assert_eq!(spread(&[(50.0, 10.0), (50.0, 10.0)], 0.0, 100.0), [45.0, 55.0]);
        assert_eq!(spread(&[(2.0, 10.0), (99.0, 10.0)], 0.0, 100.0), [5.0, 95.0]);
    }

    #[test]
    fn leaders_end_below_the_labels_over_them() {
        // Three labels 50 wide whose leaders stand 20 apart: each rises above those to its right.
        let base = lanes(&[(0.0, 50.0, 10.0), (20.0, 70.0, 10.0), (40.0, 90.0, 10.0)]);
        assert_eq!(base, [20.0, 10.0, 0.0]);
        assert_eq!(lanes(&[(0.0, 50.0, 10.0), (60.0, 70.0, 10.0)]), [0.0, 0.0]);
    }

    #[test]
    fn inside_is_by_crossings() {
        let square = [
            point(0.0, 0.0),
            point(10.0, 0.0),
            point(10.0, 10.0),
            point(0.0, 10.0),
        ];
        assert!(is_inside(point(5.0, 5.0), &square));
        assert!(!is_inside(point(15.0, 5.0), &square));
    }

    proptest! {
        #[test]
        fn blocks_never_overlap_and_keep_their_order(
            wanted in proptest::collection::vec((-50.0_f64..350.0, 5.0_f64..30.0), 0..9),
        ) {
            let total: f64 = wanted.iter().map(|(_, height)| height).sum();
            let bottom = total.max(300.0);
            let centers = spread(&wanted, 0.0, bottom);
            let mut order: Vec<usize> = (0..wanted.len()).collect();
            order.sort_by(|a, b| centers[*a].total_cmp(&centers[*b]));
            for pair in order.windows(2) {
                let (a, b) = (pair[0], pair[1]);
                prop_assert!(centers[a] + wanted[a].1 / 2.0 <= centers[b] - wanted[b].1 / 2.0 + 1e-6);
                prop_assert!(wanted[a].0 <= wanted[b].0 + 1e-9);
            }
            for (at, center) in centers.iter().enumerate() {
                prop_assert!(center - wanted[at].1 / 2.0 >= -1e-6);
                prop_assert!(center + wanted[at].1 / 2.0 <= bottom + 1e-6);
            }
        }
    }
}
