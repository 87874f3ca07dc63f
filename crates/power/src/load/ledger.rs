//! The lines of a load calculation while they are written: items, subtotals, parts with factors.
//!
//! Keeps one promise: what counts is what stands in lines with the role `Part` or `Direct`.

use super::{LineRole, Load, LoadGroup, LoadLine};
use quantity::{ApparentPower, Ratio};
use std::sync::LazyLock;
use trace::{Source, SourceStatus};

/// The lines so far.
#[derive(Debug, Default)]
pub(super) struct Ledger {
    pub(super) lines: Vec<LoadLine>,
}

/// Why a load does not count.
pub(super) const REMOVED: &str = "is taken out";
pub(super) const INTERLOCKED: &str = "an interlock keeps it off while a larger load of its set runs";
pub(super) const SMALLER_SIDE: &str = "the other of heating and cooling is larger";
pub(super) const NOT_COUNTED: &str = "left out by the authority's policy";
pub(super) const BY_POLICY: &str = "counted by itself by the authority's policy";

impl Ledger {
    /// An item of the subtotal that follows.
    pub(super) fn item(
        &mut self,
        group: LoadGroup,
        label: impl Into<String>,
        amount: ApparentPower,
        source: &'static Source,
    ) {
        self.push(group, LineRole::Item, label.into(), amount, whole(), None, source);
    }

    /// A load as an item of the subtotal that follows.
    pub(super) fn load_item(&mut self, group: LoadGroup, load: &Load, source: &'static Source) {
        self.item(group, named(load), load.connected(), source);
    }

    /// The subtotal of the group's items, and its amount.
    pub(super) fn subtotal(
        &mut self,
        group: LoadGroup,
        label: &str,
        source: &'static Source,
    ) -> ApparentPower {
        let amount: ApparentPower = self
            .lines
            .iter()
            .filter(|line| line.group == group && line.role == LineRole::Item)
            .map(|line| line.amount)
            .sum();
        self.push(
            group,
            LineRole::Subtotal,
            label.to_owned(),
            amount,
            whole(),
            None,
            source,
        );
        amount
    }

    /// A part of the subtotal, with its factor.
    pub(super) fn part(
        &mut self,
        group: LoadGroup,
        label: impl Into<String>,
        amount: ApparentPower,
        factor: Ratio,
        source: &'static Source,
    ) {
        self.push(group, LineRole::Part, label.into(), amount, factor, None, source);
    }

    /// Something that counts by itself.
    pub(super) fn direct(
        &mut self,
        group: LoadGroup,
        label: impl Into<String>,
        amount: ApparentPower,
        factor: Ratio,
        note: Option<&'static str>,
        source: &'static Source,
    ) {
        self.push(
            group,
            LineRole::Direct,
            label.into(),
            amount,
            factor,
            note,
            source,
        );
    }

    /// A load that does not count.
    pub(super) fn left_out(
        &mut self,
        group: LoadGroup,
        load: &Load,
        note: &'static str,
        source: &'static Source,
    ) {
        let nothing = Ratio::from_fraction(0.0);
        self.push(
            group,
            LineRole::LeftOut,
            named(load),
            load.connected(),
            nothing,
            Some(note),
            source,
        );
    }

    /// What counts so far.
    pub(super) fn counted(&self) -> ApparentPower {
        self.lines
            .iter()
            .filter(|line| matches!(line.role, LineRole::Part | LineRole::Direct))
            .map(|line| line.counted)
            .sum()
    }

    #[allow(clippy::too_many_arguments)] // one argument a column of the line
    fn push(
        &mut self,
        group: LoadGroup,
        role: LineRole,
        label: String,
        amount: ApparentPower,
        factor: Ratio,
        note: Option<&'static str>,
        source: &'static Source,
    ) {
        self.lines.push(LoadLine {
            label,
            group,
            role,
            amount,
            factor,
            counted: amount * factor.as_fraction(),
            note,
            source,
        });
    }
}

/// All of it.
pub(super) fn whole() -> Ratio {
    Ratio::from_fraction(1.0)
}

/// Where a figure comes from that the authority decides.
pub(super) fn authority() -> &'static Source {
    static AUTHORITY: LazyLock<Source> = LazyLock::new(|| Source {
        document: "Authority having jurisdiction".to_owned(),
        edition: None,
        place: Some("policy entered for this job".to_owned()),
        status: SourceStatus::CommonPractice,
    });
    &AUTHORITY
}

fn named(load: &Load) -> String {
    if load.count == 1 {
        load.name.clone()
    } else {
        format!("{} × {}", load.count, load.name)
    }
}
