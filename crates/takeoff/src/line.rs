//! A line of the list, and the putting together of equal ones.

use quantity::Length;
use trace::Source;

/// One thing to bring.
#[derive(Debug, Clone, PartialEq)]
pub struct MaterialLine {
    /// What it is, in trade words; no maker, no article number.
    pub item: String,
    /// How much of it.
    pub quantity: Quantity,
    /// How it was counted.
    pub basis: String,
    /// Where a factor or a spacing used in counting comes from.
    pub source: Option<Source>,
}

/// How much of a thing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Quantity {
    /// Pieces.
    Count(u32),
    /// Length, rounded up to a length that is sold.
    Length(Length),
    /// Not counted: the record does not say enough. The basis says why.
    NotCounted,
}

impl MaterialLine {
    pub(crate) fn count(item: impl Into<String>, count: u32, basis: impl Into<String>) -> Self {
        Self::new(item, Quantity::Count(count), basis)
    }

    pub(crate) fn length(item: impl Into<String>, length: Length, basis: impl Into<String>) -> Self {
        Self::new(item, Quantity::Length(length), basis)
    }

    pub(crate) fn not_counted(item: impl Into<String>, basis: impl Into<String>) -> Self {
        Self::new(item, Quantity::NotCounted, basis)
    }

    fn new(item: impl Into<String>, quantity: Quantity, basis: impl Into<String>) -> Self {
        Self {
            item: item.into(),
            quantity,
            basis: basis.into(),
            source: None,
        }
    }

    pub(crate) fn from(mut self, source: &Source) -> Self {
        self.source = Some(source.clone());
        self
    }
}

/// Equal items become one line, in the order in which they first came; their bases stand side by side.
pub(crate) fn grouped(lines: Vec<MaterialLine>) -> Vec<MaterialLine> {
    let mut groups: Vec<MaterialLine> = Vec::new();
    for line in lines {
        let known = groups.iter_mut().find_map(|group| {
            let sum = sum(group.quantity, line.quantity).filter(|_| group.item == line.item)?;
            Some((group, sum))
        });
        match known {
            Some((group, sum)) => {
                group.quantity = sum;
                if group.basis != line.basis {
                    group.basis = format!("{}; {}", group.basis, line.basis);
                }
                group.source = group.source.take().or(line.source);
            }
            None => groups.push(line),
        }
    }
    groups
}

/// The sum of two quantities of one kind.
fn sum(one: Quantity, other: Quantity) -> Option<Quantity> {
    match (one, other) {
        (Quantity::Count(one), Quantity::Count(other)) => Some(Quantity::Count(one.saturating_add(other))),
        (Quantity::Length(one), Quantity::Length(other)) => Some(Quantity::Length(one + other)),
        (Quantity::NotCounted, Quantity::NotCounted) => Some(Quantity::NotCounted),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn equal_items_add_up_and_kinds_stay_apart() {
        let lines = vec![
            MaterialLine::count("label", 2, "circuit A"),
            MaterialLine::length("wire", Length::from_feet(3.0), "circuit A"),
            MaterialLine::count("label", 2, "circuit B"),
            MaterialLine::not_counted("label", "not known"),
        ];
        let groups = grouped(lines);
        assert_eq!(groups.len(), 3);
        assert_eq!(groups[0].quantity, Quantity::Count(4));
        assert_eq!(groups[0].basis, "circuit A; circuit B");
    }
}
