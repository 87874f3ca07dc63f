//! The report of one assessment: verdict first, then what asks for something, then the figures behind it.
//!
//! In: an [`Assessment`], drawings made elsewhere, and how much detail. Out: a [`Document`] for any printer. Start at
//! [`report()`]; each part of the report has a file of its own, its words stand in `phrases`, and the digits of each
//! kind of quantity in `digits`.
//!
//! Works out no figure and judges nothing: it orders, groups, names and rounds what the assessment says. The only
//! arithmetic is the difference of two printed figures (a wait that grows, spaces left over, flow to spare). A part
//! without anything in it is left out and named in one list, with what the record lacks for it.

mod activation;
mod alike;
mod assumptions;
mod circuits;
mod digits;
mod findings;
mod fixtures;
mod heating;
mod limits;
mod modes;
mod months;
mod panels;
mod part;
mod phrases;
mod placement;
mod pressure;
mod service;
mod service_detail;
mod situations;
mod standing_water;
mod tubs;
mod verdict;
mod waits;
mod wiring;

use crate::document::{Document, Figure, Head};
use crate::words::{Language, Words};
use assess::{Assessment, HeaterResult};
use digits::Digits;
use job::{SourceKind, SourceStatus};
use part::Part;
use phrases::Phrases;

/// Drawings for the report, made elsewhere. One that is missing is left out.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct ReportDrawings {
    /// The electrical one-line diagram.
    pub one_line: Option<Figure>,
    /// Outlet temperature over flow.
    pub outlet_temperature: Option<Figure>,
    /// Incoming water by month.
    pub mains_by_month: Option<Figure>,
    /// Temperature over time at the tap that waits longest.
    pub wait_over_time: Option<Figure>,
    /// The piping schematic.
    pub piping: Option<Figure>,
}

/// How much is printed of findings that ask for no change.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Hash)]
pub enum ReportDetail {
    /// One row each: rule and result. Rules that lack a fact are rows as well, with the fact and how to find it.
    #[default]
    MetAsTable,
    /// In full with their working, and so are those that lack a fact.
    MetWithWorking,
}

/// The report of an assessment.
///
/// Every circuit and every finding of the assessment stands in it. Figures are printed in the units of its head.
pub fn report(assessment: &Assessment, drawings: &ReportDrawings, detail: ReportDetail) -> Document {
    let language = Language::English;
    let sheet = Sheet {
        assessment,
        drawings,
        detail,
        digits: Digits::new(assessment.head.units),
        phrases: phrases::of(language),
        words: language.words(),
    };
    let mut document = Document::new(sheet.phrases.title, head(&sheet));
    document.subtitle = Some(sheet.phrases.subtitle.to_owned());
    document.units = assessment.head.units;
    document.language = language;

    let mut parts = vec![findings::part(&sheet)];
    let figures = [
        heating::part,
        waits::part,
        pressure::part,
        circuits::part,
        panels::part,
        service::part,
        modes::part,
    ];
    parts.extend(figures.map(|part| part(&sheet)));
    let gaps = parts
        .iter()
        .flat_map(|part| part.gaps().iter().copied())
        .collect::<Vec<_>>();
    parts.extend([
        part::left_out(&sheet, &gaps),
        assumptions::part(&sheet),
        limits::part(&sheet),
    ]);

    document.blocks = verdict::blocks(&sheet);
    document
        .blocks
        .extend(parts.into_iter().flat_map(Part::into_blocks));
    document
}

/// What every part of the report is written from.
struct Sheet<'a> {
    assessment: &'a Assessment,
    drawings: &'a ReportDrawings,
    detail: ReportDetail,
    digits: Digits,
    phrases: &'static Phrases,
    words: &'static Words,
}

impl Sheet<'_> {
    /// Heaters that are there when the work is done.
    fn heaters(&self) -> impl Iterator<Item = &HeaterResult> {
        self.assessment
            .heaters
            .iter()
            .filter(|heater| heater.status != SourceStatus::Removed)
    }

    /// Those of them that heat water as it flows.
    fn on_demand(&self) -> impl Iterator<Item = &HeaterResult> {
        self.heaters()
            .filter(|heater| heater.kind == SourceKind::OnDemand)
    }

    /// The name of the fixture with this id, or the id where there is none.
    fn fixture_name<'s>(&'s self, id: &'s str) -> &'s str {
        self.assessment
            .fixtures
            .iter()
            .find(|fixture| fixture.id == id)
            .map_or(id, |fixture| &fixture.name)
    }
}

fn head(sheet: &Sheet<'_>) -> Head {
    let given = &sheet.assessment.head;
    let labels = &sheet.phrases.head;
    let mut head = Head::new(given.title.clone(), given.date);
    head.revision = known(&given.revision);
    let codes = [&given.electrical_code, &given.plumbing_code];
    head.edition = known(
        &codes
            .into_iter()
            .filter_map(|code| known(code))
            .collect::<Vec<_>>()
            .join(", "),
    );
    head.prepared_by = given.prepared_by.as_deref().and_then(known);
    for (label, fact) in [
        (labels.customer, &given.customer),
        (labels.address, &given.address),
        (labels.place, &given.place),
        (labels.program, &Some(given.program.clone())),
    ] {
        if let Some(fact) = fact.as_deref().and_then(known) {
            head = head.fact(label, fact);
        }
    }
    head
}

/// The text, unless nothing would be seen.
fn known(text: &str) -> Option<String> {
    (!text.trim().is_empty()).then(|| text.to_owned())
}
