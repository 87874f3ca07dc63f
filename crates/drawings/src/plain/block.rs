//! A line chart as a block of characters.
//!
//! Curves are drawn with letters, limits with dashes and colons that end in a number, a shaded area with dots, named
//! points with O; a key below explains each. For a terminal of any width from forty columns on.

use crate::chart::scale::{Scale, with_headroom};
use crate::chart::{LineChart, Region};
use crate::lettering::clean;
use unicode_width::UnicodeWidthStr as _;

const COLUMNS_MIN: usize = 40;
const ROWS_MIN: usize = 6;
/// Widest words beside the upright axis.
const TICK_COLUMNS_MAX: usize = 10;

/// The chart as lines at most `columns` wide, its plot `rows` high.
///
/// ```
/// use drawings::chart::{Axis, LineChart, Series, SeriesStyle, Ticks};
/// let axis = |label: &str| Axis { label: label.into(), unit: "m".into(), ticks: Ticks::Round { from_zero: true } };
/// let chart = LineChart {
///     id: "c".into(), title: "Slope".into(), x: axis("far"), y: axis("high"),
///     series: vec![Series { name: "hill".into(), points: vec![(0.0, 0.0), (3.0, 6.0)], style: SeriesStyle::nth(0) }],
///     x_markers: vec![], y_markers: vec![], region: None, callouts: vec![],
/// };
/// let lines = drawings::plain::line_chart(&chart, 60, 8);
/// assert_eq!(lines[0], "Slope");
/// assert_eq!(lines.last().map(String::as_str), Some("  a  hill"));
/// ```
pub fn line_chart(chart: &LineChart, columns: usize, rows: usize) -> Vec<String> {
    let (columns, rows) = (columns.max(COLUMNS_MIN), rows.max(ROWS_MIN));
    let (xs, ys) = chart.extent();
    let x = Scale::covering(&xs, &chart.x.ticks);
    let y = Scale::covering(&with_headroom(ys), &chart.y.ticks);
    let tick_width = y
        .ticks
        .iter()
        .map(|(_, text)| text.width())
        .max()
        .unwrap_or(0)
        .min(TICK_COLUMNS_MAX);
    let mut plot = Plot {
        cells: vec![vec![' '; columns - tick_width - 2]; rows],
        x,
        y,
    };
    let key = plot.draw(chart);

    let mut lines = wrapped(&chart.title, columns, "", "");
    lines.extend(wrapped(&chart.y.caption(), columns, "", ""));
    let mut tick_of_row: Vec<Option<&str>> = vec![None; rows];
    for (value, text) in &plot.y.ticks {
        tick_of_row[plot.row(*value)] = Some(text);
    }
    for (row, cells) in plot.cells.iter().enumerate() {
        let (text, edge) = match tick_of_row[row] {
            Some(text) if text.width() <= TICK_COLUMNS_MAX => (text, '┤'),
            Some(_) => ("", '┤'),
            None => ("", '│'),
        };
        let pad = " ".repeat(tick_width - text.width().min(tick_width));
        let cells: String = cells.iter().collect();
        lines.push(format!("{pad}{text} {edge}{cells}").trim_end().to_owned());
    }
    lines.extend(plot.level_axis(tick_width));
    let caption = wrapped(&chart.x.caption(), columns - tick_width - 2, "", "");
    lines.extend(
        caption
            .into_iter()
            .map(|line| format!("{}{line}", " ".repeat(tick_width + 2))),
    );
    for (sign, words) in key {
        lines.extend(wrapped(&words, columns, &format!("  {sign}  "), "     "));
    }
    lines
}

struct Plot {
    /// Characters by row and column, the top row first.
    cells: Vec<Vec<char>>,
    x: Scale,
    y: Scale,
}

impl Plot {
    fn width(&self) -> usize {
        self.cells[0].len()
    }

    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a share of a small count"
    )]
    fn column(&self, value: f64) -> usize {
        (self.x.share(value) * (self.width() - 1) as f64).round() as usize
    }

    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a share of a small count"
    )]
    fn row(&self, value: f64) -> usize {
        ((1.0 - self.y.share(value)) * (self.cells.len() - 1) as f64).round() as usize
    }

    /// Draws everything, what matters most last; gives the key.
    fn draw(&mut self, chart: &LineChart) -> Vec<(char, String)> {
        let mut key = Vec::new();
        let mut limits = Vec::new();
        let mut signs = Vec::new();
        if let Some(region) = &chart.region {
            self.shade(region);
            limits.push(('.', region.label.clone()));
        }
        let mut number = ('1'..='9').chain('A'..='Z');
        for marker in chart.y_markers.iter().filter(|marker| marker.at.is_finite()) {
            let sign = number.next().unwrap_or('#');
            let row = self.row(marker.at);
            self.cells[row].fill('-');
            signs.push((row, self.width() - 1, sign));
            limits.push((sign, clean(&marker.label)));
        }
        for marker in chart.x_markers.iter().filter(|marker| marker.at.is_finite()) {
            let sign = number.next().unwrap_or('#');
            let column = self.column(marker.at);
            for row in &mut self.cells {
                row[column] = ':';
            }
            signs.push((0, column, sign));
            limits.push((sign, clean(&marker.label)));
        }
        let letters: Vec<char> = ('a'..='z').collect();
        for (at, series) in chart.series.iter().enumerate().rev() {
            let letter = letters[at % letters.len()];
            self.curve(&series.points, letter);
            key.insert(0, (letter, clean(&series.name)));
        }
        for (row, column, sign) in signs {
            self.put_left_of(row, column, sign);
        }
        for callout in &chart.callouts {
            if callout.at.0.is_finite() && callout.at.1.is_finite() {
                let (row, column) = (self.row(callout.at.1), self.column(callout.at.0));
                self.cells[row][column] = 'O';
                key.push(('O', clean(&callout.label)));
            }
        }
        key.extend(limits);
        key
    }

    /// Puts a sign into a cell, or into the next one to its left that holds no other sign.
    fn put_left_of(&mut self, row: usize, column: usize, sign: char) {
        let free = (0..=column)
            .rev()
            .find(|at| !self.cells[row][*at].is_ascii_alphanumeric());
        self.cells[row][free.unwrap_or(column)] = sign;
    }

    /// A letter in each column that the curve passes, by straight lines between its points.
    fn curve(&mut self, points: &[(f64, f64)], letter: char) {
        let finite = |p: &(f64, f64)| p.0.is_finite() && p.1.is_finite();
        for point in points.iter().filter(|p| finite(p)) {
            let (row, column) = (self.row(point.1), self.column(point.0));
            self.cells[row][column] = letter;
        }
        for pair in points.windows(2).filter(|pair| pair.iter().all(finite)) {
            let ((x0, y0), (x1, y1)) = (pair[0], pair[1]);
            let (from, to) = (self.column(x0), self.column(x1));
            for column in from.min(to) + 1..from.max(to) {
                let share = (column as f64 - from as f64) / (to as f64 - from as f64);
                let row = self.row(y0 + (y1 - y0) * share);
                self.cells[row][column] = letter;
            }
        }
    }

    fn shade(&mut self, region: &Region) {
        let corners: Vec<(f64, f64)> = region
            .corners
            .iter()
            .filter(|(x, y)| x.is_finite() && y.is_finite())
            .map(|(x, y)| (self.column(*x) as f64, self.row(*y) as f64))
            .collect();
        for (row, cells) in self.cells.iter_mut().enumerate() {
            for (column, cell) in cells.iter_mut().enumerate() {
                let (px, py) = (column as f64, row as f64);
                let crossings = corners
                    .iter()
                    .zip(corners.iter().cycle().skip(1))
                    .filter(|(a, b)| {
                        (a.1 > py) != (b.1 > py) && px < a.0 + (py - a.1) / (b.1 - a.1) * (b.0 - a.0)
                    });
                if crossings.count() % 2 == 1 {
                    *cell = '.';
                }
            }
        }
    }

    /// The level axis and the words of its ticks, as far as they do not touch.
    fn level_axis(&self, tick_width: usize) -> [String; 2] {
        let mut axis = vec!['─'; self.width()];
        let offset = tick_width + 2;
        let mut words = String::new();
        for (value, text) in &self.x.ticks {
            let column = self.column(*value);
            axis[column] = '┴';
            let start = (offset + column).saturating_sub(text.width() / 2);
            let end = start + text.width();
            if (words.is_empty() || start > words.width()) && end <= offset + self.width() {
                words.push_str(&" ".repeat(start - words.width()));
                words.push_str(text);
            }
        }
        let axis: String = axis.into_iter().collect();
        [format!("{}└{axis}", " ".repeat(tick_width + 1)), words]
    }
}

fn wrapped(text: &str, columns: usize, first: &str, rest: &str) -> Vec<String> {
    let options = textwrap::Options::new(columns)
        .initial_indent(first)
        .subsequent_indent(rest);
    textwrap::wrap(&clean(text), options)
        .into_iter()
        .map(|line| line.trim_end().to_owned())
        .collect()
}
