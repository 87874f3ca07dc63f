//! What every part of an assessment works from: the record, the editions in force, and the book of assumptions.

use crate::given::Given;
use crate::{Desk, MeterSummary, engine_names};
use job::{ElectricalEdition, HeatSource, Job, PlumbingEdition, SourceKind, SourceStatus};
use quantity::Power;
use rules::{Edition, RuleBook};
use std::cell::RefCell;
use tables::nec::NecEdition;
use trace::{Finding, RecordPath, Severity, Source, SourceStatus as Certainty, Working};

/// The record, the editions in force, the assumptions made so far, and what could not be worked out.
#[derive(Debug)]
pub(crate) struct Context<'job> {
    pub(crate) job: &'job Job,
    pub(crate) given: Given,
    pub(crate) book: &'job RuleBook,
    /// The edition whose tables the engines use; the rules may be of a newer one that follows it.
    pub(crate) electrical: ElectricalEdition,
    /// Name of the electrical edition in force, as the rule book has it.
    pub(crate) electrical_name: String,
    /// Name of the plumbing edition in force, as the rule book has it.
    pub(crate) plumbing_name: String,
    /// Editions of other families that were asked for.
    pub(crate) other_editions: Vec<String>,
    /// What the meter file says, if it was read.
    pub(crate) meter: Option<MeterSummary>,
    gaps: RefCell<Vec<Finding>>,
}

impl<'job> Context<'job> {
    pub(crate) fn new(job: &'job Job, desk: &'job impl Desk) -> Self {
        let given = Given::new(job.about.units);
        let book = desk.rule_book();
        let asked: Vec<&Edition> = desk
            .editions()
            .iter()
            .filter_map(|name| book.editions().iter().find(|edition| &edition.name == name))
            .collect();
        let of_family = |family: &str| asked.iter().find(|edition| edition.family == family);
        let named = of_family("electrical");
        let tables = named.and_then(|edition| {
            book.lineage(&edition.name)
                .iter()
                .find_map(|name| electrical_named(name))
        });
        let electrical = tables.or(desk.electrical_edition()).or(job.about.electrical_code);
        let electrical = given
            .take_other(
                electrical,
                "about.electrical_code".into(),
                "about.electrical_code",
                electrical_named,
            )
            .value;
        let electrical_name = named.map_or(electrical_name(electrical), |edition| edition.name.as_str());
        let plumbing_name = if let Some(edition) = of_family("plumbing") {
            edition.name.clone()
        } else {
            let plumbing = job.about.plumbing_code.or(desk.plumbing_edition());
            let plumbing = given.take_other(
                plumbing,
                "about.plumbing_code".into(),
                "about.plumbing_code",
                plumbing_named,
            );
            self::plumbing_name(plumbing.value).to_owned()
        };
        let context = Self {
            job,
            given,
            book,
            electrical,
            electrical_name: electrical_name.to_owned(),
            plumbing_name,
            other_editions: asked
                .iter()
                .filter(|edition| !matches!(edition.family.as_str(), "electrical" | "plumbing"))
                .map(|edition| edition.name.clone())
                .collect(),
            meter: desk.meter(),
            gaps: RefCell::default(),
        };
        for name in desk.editions() {
            if !asked.iter().any(|edition| &edition.name == name) {
                let why = format!("the rule book has no edition `{name}`, so it was not applied");
                context.gap("rules", "the edition asked for", why);
            }
        }
        if named.is_some() && tables.is_none() {
            let why = format!(
                "`{electrical_name}` follows no edition whose tables are carried; those of {} stand in",
                self::electrical_name(electrical)
            );
            context.gap("rules", "table values of the edition", why);
        }
        context
    }

    pub(crate) fn nec(&self) -> NecEdition {
        engine_names::edition(self.electrical)
    }

    /// The measured maximum demand: of the meter file or as entered, the larger where there are both.
    pub(crate) fn measured_maximum(&self) -> Option<Power> {
        let read = self.meter.map(|meter| meter.maximum);
        let entered = self.job.loads.measured_maximum;
        match (read, entered) {
            (Some(read), Some(entered)) => Some(read.max(entered)),
            (one, other) => one.or(other),
        }
    }

    /// Writes down that something could not be worked out, and why; it counts as unknown, never as met.
    pub(crate) fn gap(&self, subject: impl Into<String>, what: &str, why: impl Into<String>) {
        let why = why.into();
        let finding = Finding {
            rule: "assessment.not-worked-out".into(),
            subject: subject.into(),
            title: format!("{what} could not be worked out"),
            severity: Severity::Unknown,
            message: why.clone(),
            edition: None,
            source: Source {
                document: "this program".into(),
                edition: None,
                place: None,
                status: Certainty::Computed,
            },
            working: Working {
                result: why,
                ..Working::default()
            },
            remedy: Some("correct or complete the record, and work it out again".into()),
            why: None,
            caution: None,
            missing: Vec::new(),
        };
        let mut gaps = self.gaps.borrow_mut();
        if !gaps.contains(&finding) {
            gaps.push(finding);
        }
    }

    /// Splits into the assumptions made and what could not be worked out.
    pub(crate) fn into_parts(self) -> (Vec<trace::Assumption>, Vec<Finding>) {
        (self.given.into_assumptions(), self.gaps.into_inner())
    }

    /// Heaters that stand or are added, with their index.
    pub(crate) fn heaters(&self) -> impl Iterator<Item = (usize, &'job HeatSource)> + use<'job> {
        let sources = self.job.sources.iter().enumerate();
        sources.filter(|(_, source)| source.status != SourceStatus::Removed)
    }
}

/// The place of the source at `index` in the record.
pub(crate) fn source_at(index: usize) -> RecordPath {
    RecordPath::from("sources").item(index)
}

/// What a heater is called in print.
pub(crate) fn source_name(source: &HeatSource) -> String {
    source.name.clone().unwrap_or_else(|| match source.kind {
        SourceKind::OnDemand => format!("on-demand unit {}", source.id),
        SourceKind::Tank => format!("storage tank {}", source.id),
    })
}

/// The edition's name as the record writes it.
pub(crate) fn electrical_name(edition: ElectricalEdition) -> &'static str {
    match edition {
        ElectricalEdition::Nec2017 => "NEC 2017",
        ElectricalEdition::Nec2020 => "NEC 2020",
        ElectricalEdition::Nec2023 => "NEC 2023",
    }
}

/// The edition's name as the record writes it.
pub(crate) fn plumbing_name(edition: PlumbingEdition) -> &'static str {
    match edition {
        PlumbingEdition::Ipc2021 => "IPC 2021",
        PlumbingEdition::Upc2021 => "UPC 2021",
    }
}

fn electrical_named(name: &str) -> Option<ElectricalEdition> {
    [
        ElectricalEdition::Nec2017,
        ElectricalEdition::Nec2020,
        ElectricalEdition::Nec2023,
    ]
    .into_iter()
    .find(|edition| electrical_name(*edition) == name)
}

fn plumbing_named(name: &str) -> Option<PlumbingEdition> {
    [PlumbingEdition::Ipc2021, PlumbingEdition::Upc2021]
        .into_iter()
        .find(|edition| plumbing_name(*edition) == name)
}
