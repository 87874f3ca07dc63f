//! How far one input may move before the answer of a condition turns: "would turn at 87 ft".
//!
//! In: a condition that answered, and the facts it answered with. Out: for each number in it, the nearest values below
//! and above at which the answer is the other one, all other facts as they are; for each assumed flag, whether the other
//! answer would do. Start at [`turns`]. Exact where a comparison is a straight line in the fact, else by halving between
//! values that differ in sign. Only the fact itself moves; where an
//! engine said which input drives it, that input's value is given too.

use super::evaluate::{truth, value};
use super::node::Node;
use super::syntax::Function;
use super::words::Writer;
use crate::fact_set::FactSet;
use crate::kind::{NumberKind, Value};
use trace::{Origin, Turn};

/// Steps of the search outward, each twice as far as the one before; the last is about a million times the value.
const DOUBLINGS: i32 = 21;
/// The first step, as a share of the value.
const FIRST_STEP: f64 = 1.0 / 1024.0;
/// Halvings between two values: more than the digits of a number.
const HALVINGS: usize = 70;
/// A line is straight when its middle is off by less than this share of its rise.
const STRAIGHT: f64 = 1e-9;
/// Just beyond a turning value, as a share of it: above rounding, below any digit shown.
const BESIDE: f64 = 1e-7;
/// Colder water than this is no water; K.
const COLDEST_K: f64 = 233.15;

/// The values at which the answer turns.
pub(crate) fn turns(root: &Node, outcome: bool, facts: &FactSet<'_>, writer: &Writer<'_>) -> Vec<Turn> {
    let mut found = Vec::new();
    let mut moved = facts.clone();
    for index in used(root) {
        let Some(fact) = facts.get(index).cloned() else {
            continue;
        };
        let definition = &writer.vocabulary.facts()[index];
        let mut add = |other: &Value| {
            found.push(Turn {
                symbol: definition.words(writer.scope),
                value: definition.show(&fact.value, writer.system),
                at: definition.show(other, writer.system),
                origin: fact.origin,
            });
            let driver = facts.driver(index);
            found.extend(driver.and_then(|driver| {
                Some(Turn {
                    symbol: driver.symbol.clone(),
                    value: driver.value.clone(),
                    at: driver.at(other)?,
                    origin: driver.origin,
                })
            }));
        };
        match &fact.value {
            Value::Number(kind, base) => {
                let one = Moved {
                    root,
                    index,
                    kind: *kind,
                    facts: &mut moved,
                };
                for at in one.nearest(*base, outcome) {
                    add(&Value::Number(*kind, at));
                }
            }
            Value::Flag(flag) if fact.origin == Origin::Assumed => {
                let other = Value::Flag(!flag);
                moved.put(index, other.clone());
                if truth(root, &moved) == Ok(!outcome) {
                    add(&other);
                }
            }
            Value::Flag(_) | Value::Text(_) => {}
        }
        moved.put(index, fact.value.clone());
    }
    found
}

/// The facts whose values the condition reads, each once.
fn used(root: &Node) -> Vec<usize> {
    let mut found = Vec::new();
    root.each(&mut |node| {
        if let Node::Fact(index) = node
            && !found.contains(index)
        {
            found.push(*index);
        }
    });
    found
}

/// One fact on the move.
struct Moved<'m, 'f> {
    root: &'m Node,
    index: usize,
    kind: NumberKind,
    facts: &'m mut FactSet<'f>,
}

/// Something that passes through zero where the answer may turn, or where its course has a kink.
enum Crossing<'m> {
    Difference(&'m Node, &'m Node),
    Zero(&'m Node),
}

impl Moved<'_, '_> {
    /// The nearest turning values below and above, in this order; none where there is none.
    fn nearest(mut self, start: f64, outcome: bool) -> Vec<f64> {
        let (kinks, comparisons) = crossings(self.root, self.index);
        let mut marks = Vec::new();
        for crossing in &kinks {
            self.zeros(crossing, start, &[], &mut marks);
        }
        let known = marks.clone();
        for crossing in &comparisons {
            self.zeros(crossing, start, &known, &mut marks);
        }
        marks.retain(|mark| mark.is_finite() && self.possible(*mark));
        marks.sort_by(f64::total_cmp);
        marks.dedup();
        let below = marks.iter().rev().copied().filter(|mark| *mark <= start);
        let below = self.first_turned(below.collect(), start, outcome, -1.0);
        let above = marks.iter().copied().filter(|mark| *mark >= start);
        let above = self.first_turned(above.collect(), start, outcome, 1.0);
        below.into_iter().chain(above).collect()
    }

    /// The first mark, going away from the start, at or just beyond which the answer is the other one.
    fn first_turned(&mut self, marks: Vec<f64>, start: f64, outcome: bool, away: f64) -> Option<f64> {
        for mark in marks {
            if self.kind == NumberKind::Count {
                let whole = if away < 0.0 { mark.floor() } else { mark.ceil() };
                let candidates = [whole, whole + away];
                let turned = candidates.into_iter().find(|count| {
                    *count >= 0.0 && (*count - start).abs() >= 0.5 && self.answer(*count) == Some(!outcome)
                });
                if turned.is_some() {
                    return turned;
                }
                continue;
            }
            let beyond = mark + away * BESIDE * mark.abs().max(f64::MIN_POSITIVE);
            if self.answer(mark) == Some(!outcome)
                || (self.possible(beyond) && self.answer(beyond) == Some(!outcome))
            {
                return Some(mark);
            }
        }
        None
    }

    /// Where `crossing` is zero, as the fact moves.
    fn zeros(&mut self, crossing: &Crossing<'_>, start: f64, kinks: &[f64], found: &mut Vec<f64>) {
        let Some(here) = self.height(crossing, start) else {
            return;
        };
        let step = start.abs().max(1e-6);
        if kinks.is_empty()
            && let (Some(one), Some(two)) = (
                self.height(crossing, start + step),
                self.height(crossing, start + 2.0 * step),
            )
        {
            let rise = one - here;
            if (two - one - rise).abs() <= STRAIGHT * rise.abs().max(two.abs()) {
                if rise != 0.0 {
                    found.push(start - here * step / rise);
                }
                return;
            }
        }
        let mut grid = kinks.to_vec();
        grid.push(start);
        for doubling in 0..DOUBLINGS {
            let reach = step * FIRST_STEP * 2_f64.powi(doubling);
            grid.extend([start - reach, start + reach]);
        }
        grid.sort_by(f64::total_cmp);
        grid.retain(|at| self.possible(*at));
        let heights: Vec<(f64, f64)> = grid
            .into_iter()
            .filter_map(|at| Some((at, self.height(crossing, at)?)))
            .collect();
        for pair in heights.windows(2) {
            let [(low, low_height), (high, high_height)] = pair else {
                continue;
            };
            if *low_height == 0.0 {
                found.push(*low);
            } else if (*low_height > 0.0) != (*high_height > 0.0) {
                found.push(self.halved(crossing, (*low, *low_height), *high));
            }
        }
    }

    /// The zero between two values that differ in sign.
    fn halved(&mut self, crossing: &Crossing<'_>, (mut low, low_height): (f64, f64), mut high: f64) -> f64 {
        for _ in 0..HALVINGS {
            let middle = low.midpoint(high);
            match self.height(crossing, middle) {
                Some(height) if (height > 0.0) == (low_height > 0.0) => low = middle,
                _ => high = middle,
            }
        }
        high
    }

    /// How far above zero the crossing is when the fact has this value.
    fn height(&mut self, crossing: &Crossing<'_>, at: f64) -> Option<f64> {
        self.facts.put(self.index, Value::Number(self.kind, at));
        let number = |node: &Node| match value(node, self.facts) {
            Ok(Value::Number(_, base)) => Some(base),
            _ => None,
        };
        let height = match crossing {
            Crossing::Difference(left, right) => number(left)? - number(right)?,
            Crossing::Zero(node) => number(node)?,
        };
        height.is_finite().then_some(height)
    }

    fn answer(&mut self, at: f64) -> Option<bool> {
        self.facts.put(self.index, Value::Number(self.kind, at));
        truth(self.root, self.facts).ok()
    }

    /// Whether the world has such a value.
    fn possible(&self, base: f64) -> bool {
        match self.kind {
            NumberKind::Temperature => base >= COLDEST_K,
            NumberKind::TemperatureDifference | NumberKind::PressureDifference | NumberKind::Plain => true,
            _ => base >= 0.0,
        }
    }
}

/// Kinks (of `abs`, `min`, `max`) and comparisons in which the fact stands.
fn crossings(root: &Node, fact: usize) -> (Vec<Crossing<'_>>, Vec<Crossing<'_>>) {
    let (mut kinks, mut comparisons) = (Vec::new(), Vec::new());
    root.each(&mut |node| {
        if !used(node).contains(&fact) {
            return;
        }
        match node {
            Node::Compare { left, right, .. } => comparisons.push(Crossing::Difference(left, right)),
            Node::Call {
                function: Function::Abs,
                values,
                ..
            } => kinks.extend(values.iter().map(Crossing::Zero)),
            Node::Call {
                function: Function::Min | Function::Max,
                values,
                ..
            } => {
                let pairs = values.iter().enumerate().flat_map(|(at, one)| {
                    let others = values[at + 1..].iter();
                    others.map(move |other| Crossing::Difference(one, other))
                });
                kinks.extend(pairs);
            }
            _ => {}
        }
    });
    (kinks, comparisons)
}
