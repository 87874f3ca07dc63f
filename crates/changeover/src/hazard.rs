//! The hazards of the list: their words, what each forbids, and sets of them.
//!
//! In: `data/changeover/hazards.toml`. Out: [`HazardKind`], [`HazardSet`], [`HazardText`]. Which state shows which hazard
//! is worked out elsewhere.

use quantity::{Time, Volume};
use serde::Deserialize;
use std::sync::LazyLock;
use trace::{Severity, Source};

/// A hazard that a state can show.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum HazardKind {
    /// A source has power while no water can come to it.
    EnergizedIsolated,
    /// A source has power while empty or full of air.
    EnergizedDry,
    /// Heated water has no way to relief or expansion.
    Trapped,
    /// A hot outlet is fed over two ways that nothing controls.
    ParallelFeed,
    /// Heated water can run out of a cold outlet.
    HotIntoCold,
    /// Water can run from a source's hot connection to its cold one.
    Backward,
    /// A fixture gets no water on one of its sides.
    Dry,
    /// A source is open to the hot pipe only.
    HangsOnHot,
    /// Nothing drawn anywhere moves the water in a source.
    StillWater,
}

impl HazardKind {
    /// All, in the order of the list.
    pub const ALL: [Self; 9] = [
        Self::EnergizedIsolated,
        Self::EnergizedDry,
        Self::Trapped,
        Self::ParallelFeed,
        Self::HotIntoCold,
        Self::Backward,
        Self::Dry,
        Self::HangsOnHot,
        Self::StillWater,
    ];

    /// Its short name, as the list writes it.
    pub fn id(self) -> &'static str {
        match self {
            Self::EnergizedIsolated => "energized-isolated",
            Self::EnergizedDry => "energized-dry",
            Self::Trapped => "trapped",
            Self::ParallelFeed => "parallel-feed",
            Self::HotIntoCold => "hot-into-cold",
            Self::Backward => "backward",
            Self::Dry => "dry",
            Self::HangsOnHot => "hangs-on-hot",
            Self::StillWater => "still-water",
        }
    }

    /// What it is, why it matters, what it forbids.
    pub fn text(self) -> &'static HazardText {
        // A test reads every kind, so the place is always there.
        &LIST.hazard[self as usize]
    }
}

/// What is written about a hazard.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HazardText {
    /// Which.
    pub kind: HazardKind,
    /// What it is, in a few words.
    pub title: String,
    /// How bad.
    pub severity: Severity,
    /// No order of moves may lead through it.
    pub in_passing: bool,
    /// No mode may rest in it.
    pub at_rest: bool,
    /// Why it matters.
    pub why: String,
    /// What helps.
    pub remedy: String,
    /// Where that comes from.
    pub source: Source,
}

/// When standing water counts, and where that comes from.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HazardList {
    /// A source counts as standing still from this content on.
    pub still_volume_min: Volume,
    /// Water that no draw renews is old after this time.
    pub still_time_max: Time,
    /// Where both come from.
    pub still_source: Source,
    hazard: Vec<HazardText>,
}

/// The list.
pub fn hazard_list() -> &'static HazardList {
    &LIST
}

static LIST: LazyLock<HazardList> = LazyLock::new(|| {
    let text = include_str!("../../../data/changeover/hazards.toml");
    // The file is part of the program and a test reads it.
    let list: HazardList =
        toml::from_str(text).unwrap_or_else(|error| panic!("data/changeover/hazards.toml: {error}"));
    assert!(
        list.hazard.iter().map(|text| text.kind).eq(HazardKind::ALL),
        "data/changeover/hazards.toml: each hazard once, in the order of the type"
    );
    list
});

/// A set of hazards.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, PartialOrd, Ord, Hash)]
pub struct HazardSet(u16);

impl HazardSet {
    /// None.
    pub const NONE: Self = Self(0);

    /// Hazards that no order of moves may lead through.
    pub fn in_passing() -> Self {
        static SET: LazyLock<HazardSet> = LazyLock::new(|| HazardSet::where_text(|text| text.in_passing));
        *SET
    }

    /// Hazards that no mode may rest in.
    pub fn at_rest() -> Self {
        static SET: LazyLock<HazardSet> = LazyLock::new(|| HazardSet::where_text(|text| text.at_rest));
        *SET
    }

    fn where_text(wanted: impl Fn(&HazardText) -> bool) -> Self {
        let all = HazardKind::ALL.into_iter();
        all.filter(|kind| wanted(kind.text()))
            .fold(Self::NONE, Self::with)
    }

    /// The same set with one more.
    #[must_use]
    pub const fn with(self, kind: HazardKind) -> Self {
        Self(self.0 | 1 << kind as u16)
    }

    /// The same set with one more, if `there`.
    #[must_use]
    pub(crate) const fn with_if(self, there: bool, kind: HazardKind) -> Self {
        if there { self.with(kind) } else { self }
    }

    /// Both together.
    #[must_use]
    pub const fn and(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }

    /// Those in both.
    #[must_use]
    pub const fn shared(self, other: Self) -> Self {
        Self(self.0 & other.0)
    }

    /// Whether it holds one.
    pub const fn contains(self, kind: HazardKind) -> bool {
        self.0 & (1 << kind as u16) != 0
    }

    /// Whether it holds none.
    pub const fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// Those it holds, in the order of the list.
    pub fn iter(self) -> impl Iterator<Item = HazardKind> {
        HazardKind::ALL
            .into_iter()
            .filter(move |kind| self.contains(*kind))
    }
}

impl FromIterator<HazardKind> for HazardSet {
    fn from_iter<I: IntoIterator<Item = HazardKind>>(kinds: I) -> Self {
        kinds.into_iter().fold(Self::NONE, Self::with)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_hazard_has_its_words() {
        for kind in HazardKind::ALL {
            let text = kind.text();
            assert_eq!(text.kind, kind);
            assert!(!text.why.is_empty() && !text.remedy.is_empty() && !text.title.is_empty());
            assert!(
                text.at_rest || !text.in_passing,
                "what forbids passing forbids resting: {}",
                text.title
            );
        }
        assert!(hazard_list().still_volume_min > Volume::zero());
    }

    #[test]
    fn sets() {
        let set: HazardSet = [HazardKind::Dry, HazardKind::Trapped].into_iter().collect();
        assert!(set.contains(HazardKind::Dry) && !set.contains(HazardKind::Backward));
        assert_eq!(
            set.iter().collect::<Vec<_>>(),
            [HazardKind::Trapped, HazardKind::Dry]
        );
        assert_eq!(
            set.shared(HazardSet::in_passing()).iter().collect::<Vec<_>>(),
            [HazardKind::Trapped]
        );
        assert!(HazardSet::NONE.is_empty());
    }
}
